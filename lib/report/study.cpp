#include "report/study.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "page/document.h"
#include "page/markdown.h"
#include "page/text.h"
#include "report/inside/json.h"
#include "report/inside/words.h"

namespace lugwise {
namespace {

using report::Json;

constexpr std::size_t kMishapsTold = 12;

// "0.42 % (3 of 720)"
std::string share(std::size_t part, std::size_t whole) {
  if (whole == 0) return "none to count";
  return fmt::format("{:.3g} % ({} of {})", 100.0 * static_cast<double>(part) / static_cast<double>(whole),
                     part, whole);
}

double mean(double sum, std::size_t count) { return count == 0 ? 0 : sum / static_cast<double>(count); }

std::string of_visible(const Score& score, std::size_t count) {
  if (score.visible == 0) return "-";
  return fmt::format("{:.1f} %", 100.0 * static_cast<double>(count) / static_cast<double>(score.visible));
}

page::Facts outcome(const StudyOptions& options, const Findings& findings) {
  page::Facts facts;
  const auto row = [&](const char* name, std::string value) {
    facts.rows.push_back({name, std::move(value)});
  };
  const Score& all = findings.all;
  if (findings.sound > 0) {
    row("false alarms on sound ones", share(findings.false_alarms, findings.sound));
    row("sound ones left unsure", share(findings.sound_unsure, findings.sound));
  }
  if (all.cases > 0) {
    row("visible faults", share(all.visible, all.cases));
    row("visible faults missed", share(all.missed, all.visible));
    row("fault in the first group", share(all.named, all.visible));
    row("its place in the first group", share(all.placed, all.visible));
    row("verdict left unsure", share(all.unsure, all.visible));
    if (options.pairs) {
      if (options.whole_sheet) {
        row("of those that no one fault explains", share(all.takes_two_named, all.takes_two));
        row("of those that one other may explain", share(all.one_may_named, all.one_may));
      }
      row("both in the first three groups", share(all.all_named, all.visible));
      row("or one explains all readings", share(all.explained, all.visible));
    }
    if (all.sized > 0) row("size within 20 % or the meter", share(all.size_fits, all.sized));
  }
  row("readings per case",
      fmt::format("{:.2f}; {} taken again", mean(findings.readings, findings.cases), findings.again));
  row("minutes per case", fmt::format("{:.2f}", mean(findings.all_seconds, findings.cases) / 60));
  return facts;
}

page::Table scores(const Findings& findings) {
  page::Table table;
  table.columns = {{"kind", 9, false},         {"cases", 5, true},   {"visible", 8, true},
                   {"missed", 8, true},        {"group 1", 8, true}, {"its place", 10, true},
                   {"first suspect", 0, false}};
  const auto row = [&](const std::string& name, const Score& score) {
    table.rows.push_back({name, std::to_string(score.cases), std::to_string(score.visible),
                          of_visible(score, score.missed), of_visible(score, score.named),
                          of_visible(score, score.placed), of_visible(score, score.first)});
  };
  for (const auto& [name, score] : findings.kinds) row(name, score);
  if (findings.kinds.size() > 1) row("all", findings.all);
  return table;
}

page::Section effort(const Findings& findings) {
  page::Section section;
  section.title = "From the first wrong reading to the answer";
  page::Table table;
  table.columns = {{"who", 44, false}, {"probes", 8, true}, {"minutes", 0, false}};
  const auto row = [&](const char* name, double probes, double seconds) {
    table.rows.push_back({name, fmt::format("{:.2f}", mean(probes, findings.located)),
                          fmt::format("{:.2f}", mean(seconds, findings.located) / 60)});
  };
  row("following the next probe", findings.probes, findings.seconds);
  row("the rest of the plan, then place by place", findings.in_order.probes, findings.in_order.seconds);
  row("halving what the reading may point to", findings.halving.probes, findings.halving.seconds);
  table.rows.push_back({"the least by yes-or-no probes (Huffman)",
                        fmt::format("{:.2f}", mean(findings.bound, findings.located)), "-"});
  section.blocks.emplace_back(std::move(table));
  std::string sizes;
  for (std::size_t i = 0; i < findings.group_sizes.size(); ++i) {
    const bool last = i + 1 == findings.group_sizes.size();
    sizes +=
        fmt::format("{}{}{}: {}", i == 0 ? "" : ", ", i + 1, last ? " or more" : "", findings.group_sizes[i]);
  }
  section.blocks.emplace_back(page::Paragraph{
      fmt::format(
          "{:.1f} places stood at the first wrong reading; at the end the first group had {:.2f} suspects in "
          "{:.2f} places. First groups by size: {}.",
          mean(findings.stood, findings.located), mean(findings.groups, findings.located),
          mean(findings.places, findings.located), sizes),
      2});
  return section;
}

page::Section stated(const Findings& findings) {
  page::Section section;
  section.title = "Suspects, by the probability they were given";
  page::Table table;
  table.columns = {{"given", 16, false}, {"how many", 9, true}, {"mean", 9, true}, {"were right", 0, false}};
  for (const Stated& each : findings.stated) {
    if (each.claims == 0) continue;
    table.rows.push_back({fmt::format("{:.0f} % to {:.0f} %", 100 * each.from, 100 * each.to),
                          std::to_string(each.claims),
                          fmt::format("{:.1f} %", 100 * mean(each.expected, each.claims)),
                          fmt::format("{:.1f} %", 100 * mean(static_cast<double>(each.right), each.claims))});
  }
  section.blocks.emplace_back(std::move(table));
  return section;
}

page::Section mishaps(const Findings& findings) {
  page::Section section;
  section.title = "What went wrong";
  page::Table table;
  table.columns = {{"case", 8, true}, {"how", 0, false}};
  for (std::size_t i = 0; i < std::min(kMishapsTold, findings.mishaps.size()); ++i)
    table.rows.push_back({std::to_string(findings.mishaps[i].number), findings.mishaps[i].what});
  section.blocks.emplace_back(std::move(table));
  section.blocks.emplace_back(
      page::Paragraph{findings.mishaps.size() > kMishapsTold
                          ? "And more: --json lists them. See one with --case NUMBER and the same options."
                          : "See one with --case NUMBER and the same options.",
                      2});
  return section;
}

Json json_of(const Score& score) {
  return {{"cases", score.cases},
          {"visible", score.visible},
          {"missed", score.missed},
          {"unsure", score.unsure},
          {"named", score.named},
          {"placed", score.placed},
          {"first", score.first},
          {"all_named", score.all_named},
          {"explained", score.explained},
          {"sized", score.sized},
          {"size_fits", score.size_fits},
          {"takes_two", score.takes_two},
          {"takes_two_named", score.takes_two_named},
          {"one_may", score.one_may},
          {"one_may_named", score.one_may_named}};
}

Json json_of(double probes, double seconds) {
  return {{"probes", report::number(probes)}, {"seconds", report::number(seconds)}};
}

page::Document document_of(const Heading& heading, const Harness& harness, const StudyOptions& options,
                           const Findings& findings) {
  require_meter(heading);
  std::vector<page::Labelled> about{
      {"cases", fmt::format("{}, seed {}, faults {}{}", findings.cases, options.seed, ills_name(options.ills),
                            options.pairs ? ", two at once" : "")}};
  if (options.stage) about.push_back({"stage", harness.stages()[*options.stage].name});
  if (options.slips > 0)
    about.push_back({"slips", fmt::format("{:.3g} % of the readings are wrong", 100 * options.slips)});
  if (options.whole_sheet) about.push_back({"sheet", "the whole plan is read, then diagnosed once"});
  page::Document document =
      report::titled(heading, "a study of the plan and the diagnosis", std::move(about));
  page::Section& found = document.sections.emplace_back();
  found.blocks.emplace_back(outcome(options, findings));
  if (findings.all.cases > 0) {
    page::Section& kinds = document.sections.emplace_back();
    kinds.title = "By kind of fault";
    kinds.blocks.emplace_back(scores(findings));
  }
  if (findings.located > 0) document.sections.push_back(effort(findings));
  document.sections.push_back(stated(findings));
  if (!findings.mishaps.empty()) document.sections.push_back(mishaps(findings));
  return document;
}

page::Document document_of(const Heading& heading, const Harness& harness, const Case& one) {
  page::Document document = report::titled(heading, fmt::format("case {} of a study", one.number));
  page::Section& truth = document.sections.emplace_back();
  const auto say = [&](std::string text) { truth.blocks.emplace_back(page::Paragraph{std::move(text), 2}); };
  if (one.ills.empty()) say("Nothing is wrong with this one.");
  for (const Case::Ill& ill : one.ills) {
    std::string what = report::first_letter_up(in_words(harness, ill.fault));
    if (ill.size != 0)
      what += ill.fault.mode == Mode::Value ? fmt::format(", {:.3g} times", ill.size)
                                            : ", by " + in_words(ill.size);
    say(what + (one.visible ? "; the plan must show it." : "; the plan may not show it."));
  }
  if (one.lone) say(fmt::format("By itself {} may have shown it all.", in_words(harness, *one.lone)));
  return document;
}

}  // namespace

std::string as_text(const Heading& heading, const Harness& harness, const StudyOptions& options,
                    const Findings& findings, std::size_t columns) {
  return page::as_text(document_of(heading, harness, options, findings), columns);
}

std::string as_markdown(const Heading& heading, const Harness& harness, const StudyOptions& options,
                        const Findings& findings) {
  return page::as_markdown(document_of(heading, harness, options, findings));
}

std::string as_text(const Heading& heading, const Harness& harness, const Case& one, std::size_t columns) {
  return page::as_text(document_of(heading, harness, one), columns);
}

std::string as_markdown(const Heading& heading, const Harness& harness, const Case& one) {
  return page::as_markdown(document_of(heading, harness, one));
}

std::string as_json(const Heading& heading, const Harness& harness, const StudyOptions& options,
                    const Findings& findings) {
  require_meter(heading);
  Json json = report::json_of(heading);
  json["stage"] = options.stage ? Json(harness.stages()[*options.stage].name) : Json(nullptr);
  json["seed"] = options.seed;
  json["faults"] = ills_name(options.ills);
  json["pairs"] = options.pairs;
  json["slips"] = options.slips;
  json["sheet"] = options.whole_sheet;
  json["cases"] = findings.cases;
  json["sound"] = {
      {"cases", findings.sound}, {"false_alarms", findings.false_alarms}, {"unsure", findings.sound_unsure}};
  json["faulty"] = json_of(findings.all);
  json["kinds"] = Json::object();
  for (const auto& [name, score] : findings.kinds) json["kinds"][name] = json_of(score);
  const std::size_t n = findings.located;
  json["located"] = {
      {"cases", n},
      {"places", report::number(mean(findings.stood, n))},
      {"left", report::number(mean(findings.places, n))},
      {"group", report::number(mean(findings.groups, n))},
      {"groups", findings.group_sizes},
      {"counts", findings.probe_counts},
      {"next", json_of(mean(findings.probes, n), mean(findings.seconds, n))},
      {"in_order", json_of(mean(findings.in_order.probes, n), mean(findings.in_order.seconds, n))},
      {"halving", json_of(mean(findings.halving.probes, n), mean(findings.halving.seconds, n))},
      {"huffman", report::number(mean(findings.bound, n))}};
  json["readings"] = report::number(mean(findings.readings, findings.cases));
  json["seconds"] = report::number(mean(findings.all_seconds, findings.cases));
  json["again"] = findings.again;
  json["stated"] = Json::array();
  for (const Stated& each : findings.stated) {
    json["stated"].push_back({{"from", each.from},
                              {"to", each.to},
                              {"claims", each.claims},
                              {"stated", report::number(mean(each.expected, each.claims))},
                              {"right", each.right}});
  }
  json["mishaps"] = Json::array();
  for (const Findings::Mishap& each : findings.mishaps)
    json["mishaps"].push_back({{"case", each.number}, {"what", each.what}});
  return report::written(json);
}

}  // namespace lugwise
