#include "report/inside/sketch.h"

#include <fmt/format.h>

#include <utility>

#include "report/inside/words.h"

namespace lugwise::report {
inline namespace inside {

Sketchbook::Sketchbook(const Harness& harness, std::optional<std::size_t> stage, const Places& places)
    : stage_(stage) {
  if (!too_large_to_draw(harness).empty()) return;
  harness_ = &harness;
  layout_ = lay_out(harness, places);
}

page::Picture Sketchbook::probes(const Setting& setting, PointId a, PointId b) {
  if (!harness_) return {};
  Look look;
  look.setting = setting;
  look.probes = {a, b};
  look.small = true;
  return draw(std::move(look), in_words(*harness_, setting));
}

page::Picture Sketchbook::whole(std::vector<Tag> tags) {
  if (!harness_) return {};
  Look look;
  look.tags = std::move(tags);
  look.within = true;
  return draw(std::move(look),
              "A letter is where a probe goes; the small numbers are the steps that go there.");
}

page::Picture Sketchbook::suspects(const std::vector<Fault>& faults) {
  if (!harness_) return {};
  Look look;
  look.marked = faults;
  return draw(std::move(look), faults.size() > 1 ? "Marked: the suspects, numbered in the order of the list."
                                                 : "Marked: the suspect.");
}

page::Picture Sketchbook::finding(const std::vector<Fault>& faults, std::string caption) {
  if (!harness_) return {};
  Look look;
  look.marked = faults;
  look.within = true;
  return draw(std::move(look), std::move(caption));
}

page::Picture Sketchbook::draw(Look look, std::string caption) {
  look.stage = stage_;
  look.id_prefix = fmt::format("picture-{}-", ++drawn_);
  return {picture(*harness_, layout_, look), std::move(caption)};
}

}  // namespace inside
}  // namespace lugwise::report
