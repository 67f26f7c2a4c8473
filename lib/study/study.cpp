#include "study/study.h"

#include <array>

#include "study/inside/bench.h"
#include "study/inside/visit.h"

namespace lugwise {

using namespace study::inside;
namespace {

constexpr std::array<std::string_view, 9> kIllsNames{"mixed", "none",  "any",  "open",     "high",
                                                     "short", "value", "worn", "misplaced"};

Plan plan_of(const Harness& harness, const std::string& harness_id, const StudyOptions& options,
             const Reached& reached) {
  PlanOptions wanted;
  static_cast<Circumstances&>(wanted) = options;
  return plan_for(harness, harness_id, wanted, reached);
}

}  // namespace

std::string_view ills_name(Ills ills) { return kIllsNames[static_cast<std::size_t>(ills)]; }

struct Study::Shop {
  Bench bench;
};

Study::Study(const Harness& harness, const std::string& harness_id, const StudyOptions& options,
             const Reached& reached)
    : shop_(std::make_unique<Shop>(Shop{Bench(
          harness, options, std::make_shared<const Plan>(plan_of(harness, harness_id, options, reached)))})) {
}
Study::Study(const Study& other) : shop_(std::make_unique<Shop>(*other.shop_)) {}
Study::~Study() = default;

Case Study::run(std::size_t number) { return follow(number).end; }

Study::Followed Study::follow(std::size_t number) {
  shop_->bench.begin();
  return Visit(shop_->bench, number).follow();
}

const Plan& Study::plan() const { return shop_->bench.plan(); }

}  // namespace lugwise
