#include "drawing/inside/cavity.h"

#include <algorithm>

#include "drawing/inside/trade_name.h"

namespace lugwise::drawing::inside {
namespace {

constexpr std::size_t kOnAPlate = 3;  // pickups from which on all hangs on one plate
constexpr std::size_t kManyPots = 4;

}  // namespace

Stock stock_of(const Harness& harness) {
  Stock stock;
  for (const Part& part : harness.parts()) {
    const bool pot = part.pot && !part.pot->gang;
    stock.pickups += part.kind == PartKind::Pickup;
    stock.pots += pot;
    stock.volumes += pot && says(part.name, {"vol"});
    stock.tones += pot && says(part.name, {"tone"});
    stock.modules += part.kind == PartKind::Module;
  }
  return stock;
}

Cavity cavity_of(const Harness& harness, const Stock& stock, const Places& places) {
  if (places.cavity) return *places.cavity;
  const auto called = [&](std::initializer_list<std::string_view> words) {
    return std::any_of(harness.parts().begin(), harness.parts().end(), [&](const Part& part) {
      return part.kind == PartKind::Metal && says(part.name, words);
    });
  };
  if (called({"scratch"})) return Cavity::Scratchplate;
  if (called({"control"})) return Cavity::ControlPlate;
  if (says(harness.name + " " + harness.about, {"hollow body", "hollowbody", "hollow-body"}))
    return Cavity::HollowBody;
  if (stock.pickups >= kOnAPlate) return Cavity::Scratchplate;
  if (stock.pots >= kManyPots || stock.volumes > 1) return Cavity::RearCavity;
  return Cavity::ControlPlate;
}

}  // namespace lugwise::drawing::inside
