#include "report/match.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "page/document.h"
#include "page/html.h"
#include "page/markdown.h"
#include "report/inside/json.h"
#include "report/inside/words.h"

namespace lugwise {
namespace {

using report::Json;

// "+8.1 % (give or take 0.9 %)"
std::string step_in_words(const Ratio& ratio) {
  return fmt::format("{:+.1f} % (give or take {:.1f} %)", (ratio.ratio - 1) * 100, ratio.off * 100);
}

// As the display had it, with the digits that were written: "7.40 kΩ".
std::string as_read(const MeasuredCoil& coil) {
  const double unit = coil.reads >= 1e6 ? 1e6 : coil.reads >= 1e3 ? 1e3 : 1;
  const double digits = coil.resolution > 0 ? std::ceil(-std::log10(coil.resolution / unit) - 1e-9) : 0;
  return fmt::format("{:.{}f} {}", coil.reads / unit, static_cast<int>(std::clamp(digits, 0.0, 9.0)),
                     unit == 1e6   ? "MΩ"
                     : unit == 1e3 ? "kΩ"
                                   : "Ω");
}

// "give or take 110 Ω": two digits.
std::string off_in_words(Ohms off) {
  if (!(off > 0)) return "give or take 0 Ω";
  const double unit = std::pow(10.0, std::floor(std::log10(off)) - 1);
  return "give or take " + in_words(Ohms{std::round(off / unit) * unit});
}

std::string kelvin(std::optional<double> celsius) {
  return celsius ? fmt::format("{:g} °C", *celsius) : "not known";
}

page::Table table_of(const Lot& lot, const Matching& matching) {
  page::Table table{{{"pickup", 8, false}, {"reads", 8, true}, {"at", 6, true}, {"at 20 °C", 10, false}}, {}};
  for (std::size_t p = 0; p < lot.pickups.size(); ++p) {
    const MeasuredPickup& pickup = lot.pickups[p];
    for (std::size_t c = 0; c < pickup.coils.size(); ++c) {
      const At20& at = matching.at_20[p][c];
      table.rows.push_back(
          {pickup.coils[c].name.empty() ? pickup.name : pickup.name + " " + pickup.coils[c].name,
           as_read(pickup.coils[c]), kelvin(pickup.temperature),
           fmt::format("{} ({})", in_words(at.ohms), off_in_words(at.off))});
    }
    if (pickup.coils.size() < 2) continue;
    const At20& whole = matching.whole[p];
    table.rows.push_back({pickup.name + " in series", "", "",
                          fmt::format("{} ({})", in_words(whole.ohms), off_in_words(whole.off))});
  }
  return table;
}

page::List coils_of(const Lot& lot, const Matching& matching) {
  page::List list;
  for (const CoilPair& pair : matching.coils) {
    const MeasuredPickup& pickup = lot.pickups[pair.pickup];
    std::string text = fmt::format("{}: {} beside {} {}", pickup.name, pickup.coils[pair.other].name,
                                   pickup.coils[pair.one].name, step_in_words(pair.ratio));
    if (pair.apart)
      text +=
          fmt::format(": look: more than {:g} % apart, so they don't cancel hum alike, or turns are shorted",
                      kCoilsApart * 100);
    list.items.push_back({std::move(text), {}});
  }
  return list;
}

std::string names_of(const Lot& lot, const std::vector<std::size_t>& pickups) {
  std::vector<std::string> names;
  for (std::size_t p : pickups) names.push_back(lot.pickups[p].name);
  return report::listed(names);
}

std::string set_in_words(const Lot& lot, const ProposedSet& set) {
  static constexpr const char* kTwo[] = {"neck", "bridge"};
  static constexpr const char* kThree[] = {"neck", "middle", "bridge"};
  std::string text;
  for (std::size_t i = 0; i < set.pickups.size(); ++i) {
    if (i > 0) text += fmt::format(", {} to ", step_in_words(set.steps[i - 1]));
    text +=
        fmt::format("{} {}", set.pickups.size() == 2 ? kTwo[i] : kThree[i], lot.pickups[set.pickups[i]].name);
  }
  if (!set.sure) text += "; the order is within what the meter can tell";
  return text;
}

page::Section section_of(const Lot& lot, const Proposal& proposal) {
  page::Section section{fmt::format("Sets of {}{}", proposal.size == 2 ? "two" : "three",
                                    proposal.group.empty() ? "" : ", " + proposal.group),
                        false,
                        false,
                        {}};
  page::List list;
  for (const ProposedSet& set : proposal.sets) list.items.push_back({set_in_words(lot, set), {}});
  if (list.items.empty()) {
    section.blocks.push_back(
        page::Paragraph{fmt::format("None: no {} go from one to the next by {:g} % at most.",
                                    proposal.size == 2 ? "two" : "three", kMostStep * 100)});
  } else {
    section.blocks.push_back(std::move(list));
  }
  if (!proposal.left.empty())
    section.blocks.push_back(page::Paragraph{"Left over: " + names_of(lot, proposal.left) + "."});
  if (!proposal.best)
    section.blocks.push_back(
        page::Paragraph{"So many that not every choice was weighed: chosen among sixteen at a time, low and "
                        "high ones, and then made anew two by two for as long as that brought them closer "
                        "to the rule."});
  return section;
}

page::Document document_of(const Heading& heading, const Lot& lot, const Matching& matching) {
  page::Document document;
  document.title = "Measured pickups";
  const std::string meter = heading.meter ? report::in_words(*heading.meter) +
                                                (heading.meter->assumed ? "; assumed, as none was named" : "")
                                          : "not known";
  document.opening.push_back(
      page::Facts{{{"file", lot.file.empty() ? "not known" : lot.file},
                   {"meter", meter},
                   {"rule", fmt::format("each nearer the bridge has more ohms than its neighbour, "
                                        "by as near to {:g} % as there are and {:g} % at most",
                                        kSetStep * 100, kMostStep * 100)}},
                  false});
  page::Section cold{"At 20 °C", false, false, {}};
  if (lot.pickups.empty()) {
    cold.blocks.push_back(page::Paragraph{"No pickup is in the file."});
  } else {
    cold.blocks.push_back(table_of(lot, matching));
    cold.blocks.push_back(page::Paragraph{
        "Give or take is the most that the meter's accuracy, its leads, the digits not written and one "
        "degree "
        "may make of it. Between two pickups, below, what both readings have in common is left out."});
  }
  document.sections.push_back(std::move(cold));
  if (!matching.coils.empty())
    document.sections.push_back({"Coil beside coil", false, false, {coils_of(lot, matching)}});
  for (const Proposal& proposal : matching.proposals) document.sections.push_back(section_of(lot, proposal));
  if (matching.proposals.empty() && !lot.pickups.empty())
    document.sections.push_back(
        {"Sets", false, false, {page::Paragraph{"None: too few pickups of one group for a set."}}});
  document.sections.push_back(
      {"What ohms can't know",
       false,
       false,
       {page::Paragraph{
           "Ohms compare pickups of one kind, wound with one wire. They say nothing of turns where the wire "
           "differs, of magnets, of height under the strings, or of which way a coil is wound: check phase "
           "by ear or by a tap, with no amplifier connected to the probes."}}});
  return document;
}

Json json_of(const Ratio& ratio) {
  return {{"ratio", report::number(ratio.ratio)}, {"off", report::number(ratio.off)}};
}

Json names_json(const Lot& lot, const std::vector<std::size_t>& pickups) {
  Json names = Json::array();
  for (std::size_t p : pickups) names.push_back(lot.pickups[p].name);
  return names;
}

}  // namespace

std::string as_text(const Heading& heading, const Lot& lot, const Matching& matching, std::size_t columns) {
  return page::as_text(document_of(heading, lot, matching), columns);
}

std::string as_markdown(const Heading& heading, const Lot& lot, const Matching& matching) {
  return page::as_markdown(document_of(heading, lot, matching));
}

std::string as_html(const Heading& heading, const Lot& lot, const Matching& matching) {
  return page::as_html(document_of(heading, lot, matching), heading.program);
}

std::string as_json(const Heading& heading, const Lot& lot, const Matching& matching) {
  Json json = report::json_of(heading);
  json["file"] = lot.file.empty() ? Json(nullptr) : Json(lot.file);
  json["rule"] = {{"step", kSetStep}, {"most", kMostStep}, {"coils_apart", kCoilsApart}};
  json["pickups"] = Json::array();
  for (std::size_t p = 0; p < lot.pickups.size(); ++p) {
    const MeasuredPickup& pickup = lot.pickups[p];
    Json coils = Json::array();
    for (std::size_t c = 0; c < pickup.coils.size(); ++c) {
      const At20& at = matching.at_20[p][c];
      coils.push_back({{"coil", pickup.coils[c].name.empty() ? Json(nullptr) : Json(pickup.coils[c].name)},
                       {"reads", report::number(pickup.coils[c].reads)},
                       {"ohms", report::number(at.ohms)},
                       {"off", report::number(at.off)}});
    }
    json["pickups"].push_back(
        {{"pickup", pickup.name},
         {"group", pickup.group.empty() ? Json(nullptr) : Json(pickup.group)},
         {"temperature", pickup.temperature ? report::number(*pickup.temperature) : Json(nullptr)},
         {"ohms", report::number(matching.whole[p].ohms)},
         {"off", report::number(matching.whole[p].off)},
         {"coils", std::move(coils)}});
  }
  json["coils"] = Json::array();
  for (const CoilPair& pair : matching.coils) {
    const MeasuredPickup& pickup = lot.pickups[pair.pickup];
    Json one = {{"pickup", pickup.name},
                {"between", {pickup.coils[pair.one].name, pickup.coils[pair.other].name}}};
    one.update(json_of(pair.ratio));
    one["apart"] = pair.apart;
    json["coils"].push_back(std::move(one));
  }
  json["sets"] = Json::array();
  for (const Proposal& proposal : matching.proposals) {
    Json sets = Json::array();
    for (const ProposedSet& set : proposal.sets) {
      Json steps = Json::array();
      for (const Ratio& step : set.steps) steps.push_back(json_of(step));
      sets.push_back({{"pickups", names_json(lot, set.pickups)}, {"steps", steps}, {"sure", set.sure}});
    }
    json["sets"].push_back({{"size", proposal.size},
                            {"group", proposal.group.empty() ? Json(nullptr) : Json(proposal.group)},
                            {"sets", sets},
                            {"left", names_json(lot, proposal.left)},
                            {"best", proposal.best}});
  }
  return report::written(json);
}

}  // namespace lugwise
