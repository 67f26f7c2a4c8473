#include "report/faults.h"

#include <algorithm>
#include <map>
#include <set>

#include <fmt/format.h>

#include "component/ohms.h"
#include "page/document.h"
#include "page/markdown.h"
#include "report/inside/json.h"
#include "report/inside/words.h"

namespace lugwise {
namespace {

using report::Json;

std::string found_in_words(const Found& found) {
  if (found.open()) return "OL";
  return in_words(found.nominal.value_or(*found.low));
}

// The controls that do not stand where they rest.
std::string places_in_words(const Harness& harness, const Setting& setting, bool switches_all) {
  const Setting rest(harness);
  std::vector<std::string> places;
  for (PartId control : harness.controls()) {
    const bool told = switches_all && harness[control].kind == PartKind::Switch;
    if (told || !setting.alike(rest, control))
      places.push_back(harness[control].name + " " + setting.place_name(harness, control));
  }
  return fmt::format("{}", fmt::join(places, ", "));
}

std::string reading_in_words(const Harness& harness, const Effect& effect) {
  if (is_worn_track(effect.fault)) return "jumps when the knob is turned between lugs 1 and 2";
  if (!effect.telling) return "no reading within reach tells it";
  const Telling& telling = *effect.telling;
  const std::string set = places_in_words(harness, telling.setting, true);
  return fmt::format(
      "{} to {}{}{}: {} instead of {}", harness[telling.a].name, harness[telling.b].name,
      set.empty() ? "" : ", " + set,
      telling.access.depth > 0 && telling.access.name != "bench" ? " (" + telling.access.name + ")" : "",
      found_in_words(telling.faulty), found_in_words(telling.sound));
}

// "selector front or both"; nothing where it is so in all settings tried.
std::string where_in_words(const Harness& harness, const std::vector<Setting>& in, std::size_t tried) {
  if (in.size() >= tried) return "";
  std::set<std::string> switches;
  std::vector<std::string> places, whole;
  for (const Setting& setting : in) {
    std::vector<std::string> here;
    for (PartId control : harness.controls()) {
      if (harness[control].kind != PartKind::Switch) continue;
      here.push_back(harness[control].name + " " + setting.place_name(harness, control));
      switches.insert(harness[control].name);
      places.push_back(setting.place_name(harness, control));
    }
    whole.push_back(fmt::format("{}", fmt::join(here, ", ")));
  }
  if (switches.empty()) return "";
  if (switches.size() == 1) return fmt::format(" with {} {}", *switches.begin(), fmt::join(places, " or "));
  if (in.size() > 2) return fmt::format(" in {} of {} places of the switches", in.size(), tried);
  return fmt::format(" with {}", fmt::join(whole, "; or "));
}

std::string heard_in_words(const Harness& harness, const Complaint& complaint, std::size_t tried) {
  const std::string who = complaint.pickup ? harness[*complaint.pickup].name + " " : "";
  const std::string where = where_in_words(harness, complaint.in, tried);
  if (!complaint.control) return who + report::sound_in_words(complaint.sound) + where;
  const std::string control = harness[*complaint.control].name;
  // Of the control itself, or of what is heard with it at a stop.
  if (is_of_control(complaint.sound)) return control + " " + report::sound_in_words(complaint.sound) + where;
  return fmt::format("{}{} at {} {}{}", who, report::sound_in_words(complaint.sound), control,
                     complaint.in.front().place_name(harness, *complaint.control), where);
}

std::string heard_in_words(const Harness& harness, const Effect& effect, std::size_t tried) {
  std::vector<std::string> words;
  for (const Complaint& complaint : effect.heard) words.push_back(heard_in_words(harness, complaint, tried));
  if (words.empty())
    return effect.heard_known ? "no change to be heard" : "not known: it goes through a module";
  return fmt::format("{}", fmt::join(words, "; "));
}

std::string_view title_of(Mode mode) {
  static constexpr std::string_view kTitles[] = {"Open", "Cold, dirty or worn, as by 100 Ω",
                                                 "Touching or stuck", "Wrong value, as half of it",
                                                 "Misplaced"};
  return kTitles[static_cast<int>(mode)];
}

// Faults that do the same, the commonest first.
struct Alike {
  std::string reading, heard;
  double share = 0;
  std::vector<const Effect*> effects;
};

page::Section section_of(const Harness& harness, Mode mode, const std::vector<const Effect*>& effects,
                         std::size_t tried) {
  std::vector<Alike> groups;
  std::map<std::pair<std::string, std::string>, std::size_t> known;
  double share = 0;
  for (const Effect* effect : effects) {
    std::string reading = reading_in_words(harness, *effect);
    std::string heard = heard_in_words(harness, *effect, tried);
    const auto [at, fresh] = known.emplace(std::pair(reading, heard), groups.size());
    if (fresh) groups.push_back({std::move(reading), std::move(heard), 0, {}});
    groups[at->second].share += effect->share;
    groups[at->second].effects.push_back(effect);
    share += effect->share;
  }
  std::stable_sort(groups.begin(), groups.end(),
                   [](const Alike& x, const Alike& y) { return x.share > y.share; });
  page::Section section{fmt::format("{}: {}, {}", title_of(mode), report::counted(effects.size(), "fault"),
                                    report::percent(share)),
                        false,
                        false,
                        {}};
  page::List list;
  for (const Alike& group : groups) {
    page::List::Item item{group.reading, {{"heard", group.heard}}};
    for (const Effect* effect : group.effects) {
      const std::uint32_t line = effect->fault.at.line;
      item.more.push_back(
          {report::percent(effect->share),
           in_words(harness, effect->fault) + (line > 0 ? fmt::format(" (line {})", line) : "")});
    }
    list.items.push_back(std::move(item));
  }
  section.blocks.push_back(std::move(list));
  return section;
}

Json json_of(const Found& found) {
  const auto ohms = [](const std::optional<Ohms>& value) {
    return value ? report::number(*value) : Json(nullptr);
  };
  return {{"open", found.open()},
          {"low", ohms(found.low)},
          {"nominal", ohms(found.nominal)},
          {"high", ohms(found.high)}};
}

page::Document document_of(const Heading& heading, const Harness& harness, const FaultList& list) {
  const auto& stage = list.options.stage;
  page::Document document = report::titled(
      heading, list.at.empty() ? "what can be wrong" : "what can be wrong at " + list.at,
      {{"stage", report::stage_in_words(harness, stage)},
       {"faults", list.effects.size() == list.of ? std::to_string(list.of)
                                                 : fmt::format("{} of {}", list.effects.size(), list.of)}});
  if (list.options.setting)
    std::get<page::Facts>(document.opening.front())
        .rows.push_back({"set", report::in_words(harness, *list.options.setting)});
  const std::size_t tried = list.options.setting ? 1 : settings_to_hear(harness, stage).size();
  for (const Mode mode : {Mode::Open, Mode::High, Mode::Short, Mode::Value, Mode::Misplaced}) {
    std::vector<const Effect*> effects;
    for (const Effect& effect : list.effects) {
      if (effect.fault.mode == mode) effects.push_back(&effect);
    }
    if (!effects.empty()) document.sections.push_back(section_of(harness, mode, effects, tried));
  }
  return document;
}

}  // namespace

std::string as_text(const Heading& heading, const Harness& harness, const FaultList& list,
                    std::size_t columns) {
  return page::as_text(document_of(heading, harness, list), columns);
}

std::string as_markdown(const Heading& heading, const Harness& harness, const FaultList& list) {
  return page::as_markdown(document_of(heading, harness, list));
}

std::string as_json(const Heading& heading, const Harness& harness, const FaultList& list) {
  Json json = report::json_of(heading);
  const auto& stage = list.options.stage;
  json["stage"] = stage ? Json(harness.stages()[*stage].name) : Json(nullptr);
  json["at"] = list.at.empty() ? Json(nullptr) : Json(list.at);
  json["of"] = list.of;
  json["faults"] = Json::array();
  for (const Effect& effect : list.effects) {
    Json reading = nullptr;
    if (effect.telling) {
      const Telling& telling = *effect.telling;
      reading = {{"set", report::json_of(harness, telling.setting)},
                 {"cover", telling.access.name},
                 {"between", report::json_of(harness, {telling.a, telling.b})},
                 {"sound", json_of(telling.sound)},
                 {"faulty", json_of(telling.faulty)}};
    }
    Json heard = Json::array();
    for (const Complaint& complaint : effect.heard) {
      Json in = Json::array();
      for (const Setting& setting : complaint.in) in.push_back(report::json_of(harness, setting));
      heard.push_back(
          {{"is", sound_word(complaint.sound)},
           {"pickup", complaint.pickup ? Json(harness[*complaint.pickup].name) : Json(nullptr)},
           {"control", complaint.control ? Json(harness[*complaint.control].name) : Json(nullptr)},
           {"in", in}});
    }
    const double size = usual_size(effect.fault);
    const bool sized = size != 0 && !is_worn_track(effect.fault);
    json["faults"].push_back({{"fault", report::json_of(harness, effect.fault)},
                              {"say", in_words(harness, effect.fault)},
                              {"line", effect.fault.at.known() ? Json(effect.fault.at.line) : Json(nullptr)},
                              {"weight", report::number(effect.fault.weight)},
                              {"share", report::number(effect.share)},
                              {"size", sized ? report::number(size) : Json(nullptr)},
                              {"reading", reading},
                              {"heard", heard},
                              {"heard_known", effect.heard_known}});
  }
  return report::written(json);
}

}  // namespace lugwise
