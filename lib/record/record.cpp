#include "record/record.h"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

#include "hearing/sound.h"

#include "text/character.h"
#include "text/safe.h"
#include "text/scalar.h"

namespace lugwise {
namespace {

using text::as_scalar;

// A file whose name no text can hold is left out: whoever goes on names it.
bool can_be_named(std::string_view file) {
  for (std::string_view rest = file; !rest.empty(); rest.remove_prefix(text::character_length(rest))) {
    if (text::is_unseen(text::character_at(rest))) return false;
  }
  return !file.empty() && text::is_utf8(file);
}

std::string names(const Harness& harness, const std::vector<PointId>& points) {
  std::vector<std::string> texts;
  for (PointId point : points) texts.push_back(as_scalar(harness[point].name));
  return fmt::format("[{}]", fmt::join(texts, ", "));
}

std::string set_of(const Harness& harness, const Setting& setting) {
  std::vector<std::string> places;
  for (PartId control : harness.controls()) {
    places.push_back(fmt::format("{}: {}", as_scalar(harness[control].name),
                                 as_scalar(setting.place_name(harness, control))));
  }
  return fmt::format("{{{}}}", fmt::join(places, ", "));
}

// A share of the reading and some digits: "0.8% + 2".
std::string accuracy(const Range& range) {
  return fmt::format("{:.12g}% + {:.12g}", range.share * 100, range.digits);
}

std::string ranges_of(const std::vector<Range>& ranges, std::string (*name)(double)) {
  std::vector<std::string> tops;
  for (const Range& range : ranges) tops.push_back(name(range.top));
  return fmt::format("[{}]", fmt::join(tops, ", "));
}

std::string meter_map(const Meter& meter) {
  std::vector<std::string> keys{fmt::format("counts: {}", meter.counts)};
  const auto alike = [](const std::vector<Range>& ranges) {
    return std::all_of(ranges.begin(), ranges.end(), [&](const Range& one) {
      return one.share == ranges.front().share && one.digits == ranges.front().digits;
    });
  };
  keys.push_back("ranges: " + ranges_of(meter.ranges, range_name));
  if (alike(meter.ranges)) {
    keys.push_back("accuracy: " + accuracy(meter.ranges.front()));
  } else {
    std::vector<std::string> each;
    for (const Range& one : meter.ranges)
      each.push_back(fmt::format("{}: {}", range_name(one.top), accuracy(one)));
    keys.push_back(fmt::format("accuracy: {{{}}}", fmt::join(each, ", ")));
  }
  if (meter.automatic) keys.push_back("auto: true");
  if (meter.leads_low == meter.leads_high) keys.push_back(fmt::format("leads: {:.12g}", meter.leads_low));
  keys.push_back(fmt::format("beeps-below: {:.12g}", meter.beeps_below));
  if (meter.cable > 0) keys.push_back(fmt::format("cable: {:.12g}", meter.cable));
  if (meter.over != "OL") keys.push_back("over: " + as_scalar(meter.over));
  if (!meter.capacitance.empty()) {
    keys.push_back("capacitance: " + ranges_of(meter.capacitance, capacitance_range_name));
    keys.push_back("capacitance-accuracy: " + accuracy(meter.capacitance.front()));
  }
  return fmt::format("{{{}}}", fmt::join(keys, ", "));
}

std::string unit_map(const Unit& unit) {
  std::vector<std::string> keys;
  const auto add = [&](std::string_view key, const std::string& text) {
    if (!text.empty()) keys.push_back(fmt::format("{}: {}", key, as_scalar(text)));
  };
  add("serial", unit.serial);
  add("date", unit.date);
  add("by", unit.by);
  add("meter", unit.meter);
  add("calibration-due", unit.calibration_due);
  return fmt::format("{{{}}}", fmt::join(keys, ", "));
}

// A line of a file; nothing where none were chosen.
std::string values_line(const std::vector<ChosenValue>& values) {
  if (values.empty()) return "";
  std::vector<std::string> keys;
  for (const ChosenValue& value : values)
    keys.push_back(fmt::format("{}: {}", as_scalar(value.name), as_scalar(value.text)));
  return fmt::format("values: {{{}}}\n", fmt::join(keys, ", "));
}

std::string plan_map(const PlanReference& plan) {
  std::string text = fmt::format("{{id: {}", plan.id);
  if (!plan.stage.empty()) text += fmt::format(", stage: {}", as_scalar(plan.stage));
  text += fmt::format(", depth: {}", depth_name(plan.depth));
  if (plan.aim != Aim::Usual) text += fmt::format(", aim: {}", aim_name(plan.aim));
  if (plan.lift) text += ", lift: true";
  if (!plan.after.empty()) text += ", after: " + as_scalar(plan.after);
  return text + "}";
}

// Where and how a reading was taken, without what stood on the display.
std::vector<std::string> place_of(const Harness& harness, const Observation& seen) {
  std::vector<std::string> keys{"between: " + names(harness, {seen.a, seen.b})};
  if (!harness.controls().empty()) keys.push_back("set: " + set_of(harness, seen.setting));
  if (!seen.lifted.empty()) keys.push_back("lifted: " + names(harness, seen.lifted));
  if (seen.swept) keys.push_back("sweep: " + as_scalar(harness[*seen.swept].name));
  if (!seen.wiggled.empty()) keys.push_back("wiggle: " + names(harness, seen.wiggled));
  return keys;
}

// "0.3 on 200"
std::string end_of(const Display& end) {
  return as_scalar(end.range ? fmt::format("{} on {}", end.text, range_name(end.range->top)) : end.text);
}

std::vector<std::string> keys_of(const Harness& harness, const Deed& deed) {
  std::vector<std::string> keys;
  const auto add = [&](std::string_view key, std::string_view text) {
    if (!text.empty()) keys.push_back(fmt::format("{}: {}", key, as_scalar(text)));
  };
  const Observation& seen = deed.seen;
  switch (deed.kind) {
    case EntryKind::Reading:
      keys = place_of(harness, seen);
      add("reads", seen.text);
      if (!seen.ends.empty())
        keys.push_back(fmt::format("ends: [{}, {}]", end_of(seen.ends.front()), end_of(seen.ends.back())));
      if (seen.range)
        keys.push_back("range: " + (seen.capacitor ? capacitance_range_name(seen.range->top)
                                                   : range_name(seen.range->top)));
      break;
    case EntryKind::Tips:
      keys = {"tips: together"};
      add("reads", seen.text);
      break;
    case EntryKind::Skipped:
      keys = place_of(harness, seen);
      break;
    case EntryKind::Done:
    case EntryKind::Note:
      break;
    case EntryKind::Repaired:
      keys = {"repaired: " + names(harness, deed.repaired)};
      break;
  }
  const bool placed = deed.kind == EntryKind::Reading || deed.kind == EntryKind::Skipped;
  if (placed && (seen.access.depth > 0 || seen.access.name == "bench")) add("cover", seen.access.name);
  add("aside", word_of(deed.aside));
  if (!deed.aside.is(Aside::Kind::Said)) add("reason", deed.aside.reason);
  add(deed.kind == EntryKind::Skipped ? "skipped"
      : deed.kind == EntryKind::Done  ? "done"
                                      : "note",
      deed.note);
  return keys;
}

std::string heard_map(const Harness& harness, const Heard& heard) {
  std::string text = "{";
  if (heard.pickup) text += fmt::format("pickup: {}, ", as_scalar(harness[*heard.pickup].name));
  if (heard.control) text += fmt::format("control: {}, ", as_scalar(harness[*heard.control].name));
  if (heard.set_given) text += fmt::format("set: {}, ", set_of(harness, heard.setting));
  if (heard.aside) text += fmt::format("aside: {}, ", as_scalar(word_of(heard.aside)));
  return text + fmt::format("is: {}}}", sound_word(heard.sound));
}

}  // namespace

std::string as_readings_file(const Harness& harness, const Record& record) {
  std::string text = "lugwise-readings: 1\n";
  if (can_be_named(record.harness_file)) text += fmt::format("harness: {}\n", as_scalar(record.harness_file));
  text += values_line(record.values);
  if (record.unit != Unit{}) text += fmt::format("unit: {}\n", unit_map(record.unit));
  if (!record.plan.id.empty()) text += fmt::format("plan: {}\n", plan_map(record.plan));
  if (record.meter) text += fmt::format("meter: {}\n", meter_map(*record.meter));
  if (record.temperature) text += fmt::format("temperature: {:.12g}\n", *record.temperature);
  text += record.deeds.empty() ? "readings: []\n" : "readings:\n";
  for (const Deed& deed : record.deeds)
    text += fmt::format("  - {{{}}}\n", fmt::join(keys_of(harness, deed), ", "));
  if (!record.heard.empty()) text += "heard:\n";
  for (const Heard& heard : record.heard) text += fmt::format("  - {}\n", heard_map(harness, heard));
  return text;
}

std::string as_batch_file(const BatchHead& head, std::string_view rule) {
  std::string text = "lugwise-batch: 1\n";
  text += fmt::format("harness: {}\n", as_scalar(head.harness_file));
  text += fmt::format("harness-id: {}\n", as_scalar(head.harness_id));
  text += values_line(head.values);
  text += fmt::format("plan: {{id: {}", head.plan.id);
  if (!head.plan.stage.empty()) text += fmt::format(", stage: {}", as_scalar(head.plan.stage));
  text += fmt::format(", depth: {}, aim: {}}}\n", depth_name(head.plan.depth), aim_name(head.plan.aim));
  if (head.meter) text += fmt::format("meter: {}\n", meter_map(*head.meter));
  if (head.temperature) text += fmt::format("temperature: {:.12g}\n", *head.temperature);
  if (head.unit != Unit{}) text += fmt::format("unit: {}\n", unit_map(head.unit));
  return text + fmt::format("rule: {}\n", as_scalar(rule));
}

}  // namespace lugwise
