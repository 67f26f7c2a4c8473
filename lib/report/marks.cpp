#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "page/document.h"
#include "page/html.h"
#include "page/markdown.h"
#include "report/exercise.h"
#include "report/inside/json.h"
#include "report/inside/words.h"
#include "text/order.h"

namespace lugwise {
namespace {

using report::Json;

std::string points(double value) { return fmt::format("{:.0f}", value); }

// Means are shown with one decimal, as half points decide between students.
std::string mean_in_words(double value) { return fmt::format("{:.1f}", value); }

struct Student {
  std::string name;
  std::map<std::string, double> totals;  // by exercise; the last one handed in counts
  double mean() const {
    double sum = 0;
    for (const auto& [exercise, total] : totals) sum += total;
    return totals.empty() ? 0 : sum / static_cast<double>(totals.size());
  }
};

std::vector<Student> students_of(const ClassMarks& marks) {
  std::vector<Student> students;
  for (const Marked& one : marks.marked) {
    const auto at = std::find_if(students.begin(), students.end(),
                                 [&](const Student& student) { return student.name == one.by; });
    Student& student = at != students.end() ? *at : students.emplace_back(Student{one.by, {}});
    student.totals[one.exercise] = one.mark.total();
  }
  std::stable_sort(students.begin(), students.end(),
                   [](const Student& x, const Student& y) { return text::stands_before(x.name, y.name); });
  return students;
}

std::vector<std::string> exercises_of(const ClassMarks& marks) {
  std::vector<std::string> exercises;
  for (const Marked& one : marks.marked) {
    if (std::find(exercises.begin(), exercises.end(), one.exercise) == exercises.end())
      exercises.push_back(one.exercise);
  }
  std::sort(exercises.begin(), exercises.end(), text::stands_before);
  return exercises;
}

page::Table class_of(const ClassMarks& marks) {
  const std::vector<std::string> exercises = exercises_of(marks);
  page::Table table;
  table.columns.push_back({"student", 8, false});
  table.columns.push_back({"mean", 5, true});
  for (const std::string& exercise : exercises) table.columns.push_back({exercise, 3, true});
  for (const Student& student : students_of(marks)) {
    std::vector<std::string> row{student.name, mean_in_words(student.mean())};
    for (const std::string& exercise : exercises) {
      const auto total = student.totals.find(exercise);
      row.push_back(total == student.totals.end() ? "–" : points(total->second));
    }
    table.rows.push_back(std::move(row));
  }
  return table;
}

// What was right, once for each exercise however many answered it.
page::Facts answers_of(const ClassMarks& marks) {
  page::Facts facts;
  for (const std::string& exercise : exercises_of(marks)) {
    const auto one = std::find_if(marks.marked.begin(), marks.marked.end(),
                                  [&](const Marked& marked) { return marked.exercise == exercise; });
    std::vector<std::string> groups;
    for (const std::vector<std::string>& group : one->right)
      groups.push_back(fmt::format("{}", fmt::join(group, ", or ")));
    facts.rows.push_back({exercise, fmt::format("{}", fmt::join(groups, "; and "))});
  }
  return facts;
}

std::string place_in_words(const Marked& one) {
  const auto found = std::count(one.mark.right.begin(), one.mark.right.end(), true);
  if (one.right.size() > 1) return fmt::format("{} of {} found", found, one.right.size());
  return found > 0 ? "found" : "not found";
}

// A claim that names no fault may be a right one badly copied: whoever marks is told.
std::string claim_in_words(const Marked& one, std::size_t claim) {
  const std::string& typed = one.attempt.claims[claim].words;
  if (!one.refused[claim]) return typed;
  std::string words = fmt::format("{}: names no fault of this harness", typed);
  const std::vector<std::string>& nearest = one.refused[claim]->nearest;
  if (!nearest.empty())
    words +=
        fmt::format("; near it {} '{}'", nearest.size() == 1 ? "is" : "are", fmt::join(nearest, "', or '"));
  return words;
}

std::vector<std::string> claims_of(const Marked& one) {
  std::vector<std::string> words;
  for (const ClaimedFault& claim : one.attempt.claims) words.push_back(claim.words);
  return words;
}

std::string why_wasted(const Marked& one, std::size_t probe) {
  const ProbeMark& mark = one.mark.each[probe];
  if (probe >= kMostJudged) return fmt::format("behind the first {}", kMostJudged);
  if (mark.repeats) return fmt::format("the same as probe {}, which was in no doubt", *mark.repeats + 1);
  return "hardly anything that could still be wrong would read otherwise";
}

page::Section section_of(const Marked& one) {
  const Grade& mark = one.mark;
  page::Section section{fmt::format("{}, exercise {}: {} of 100", one.by, one.exercise, points(mark.total())),
                        false,
                        false,
                        {}};
  page::Facts facts;
  facts.rows.push_back({"place", fmt::format("{} ({})", points(mark.place), place_in_words(one))});
  if (!one.attempt.probes.empty()) {
    facts.rows.push_back({"probes", fmt::format("{} for {}", points(mark.probes),
                                                report::counted(one.attempt.probes.size(), "probe"))});
    facts.rows.push_back(
        {"hands", fmt::format("{} for {}", points(mark.hands), report::minutes(mark.seconds))});
  } else if (mark.most < 100) {
    facts.rows.push_back({"probes", "none taken: the place alone counts"});
  }
  for (std::size_t claim : mark.wrong_claims) facts.rows.push_back({"wrong", claim_in_words(one, claim)});
  for (std::size_t i = 0; i < mark.each.size(); ++i) {
    if (mark.each[i].wasted)
      facts.rows.push_back(
          {"wasted", fmt::format("probe {}, {}: {}", i + 1, one.probes[i], why_wasted(one, i))});
  }
  section.blocks.push_back(std::move(facts));
  return section;
}

page::Document document_of(const ClassMarks& marks) {
  page::Document document;
  document.title = "Marks";
  document.opening.push_back(page::Facts{
      {{"rule",
        fmt::format(
            "{:g} for the place, {:g} for what the probes could be expected to tell, {:g} for the time of "
            "the hands, {:g} off for each wrong claim; of 100",
            marks.rule.place, marks.rule.probes, marks.rule.hands, marks.rule.wrong)}},
      false});
  document.sections.push_back({"The class", false, false, {class_of(marks)}});
  document.sections.push_back({"What was right", false, false, {answers_of(marks)}});
  std::vector<const Marked*> order;
  for (const Marked& one : marks.marked) order.push_back(&one);
  std::stable_sort(order.begin(), order.end(), [](const Marked* x, const Marked* y) {
    if (x->by != y->by) return text::stands_before(x->by, y->by);
    return text::stands_before(x->exercise, y->exercise);
  });
  for (const Marked* one : order) document.sections.push_back(section_of(*one));
  return document;
}

std::string csv_field(std::string text) {
  // A sheet of cells takes these for the beginning of a formula, in quotes too.
  if (text.find_first_of("=+-@\t\r") == 0) text.insert(0, 1, '\'');
  if (text.find_first_of(",\"\n\r") == std::string::npos) return text;
  std::string quoted = "\"";
  for (const char letter : text) {
    if (letter == '"') quoted += '"';
    quoted += letter;
  }
  return quoted + "\"";
}

}  // namespace

std::string as_text(const Heading&, const ClassMarks& marks, std::size_t columns) {
  return page::as_text(document_of(marks), columns);
}

std::string as_markdown(const Heading&, const ClassMarks& marks) {
  return page::as_markdown(document_of(marks));
}

std::string as_html(const Heading& heading, const ClassMarks& marks) {
  return page::as_html(document_of(marks), heading.program);
}

std::string as_csv(const ClassMarks& marks) {
  std::string text = "student,exercise,total,place,probes,hands,wrong,readings,seconds,wasted,claims\r\n";
  for (const Marked& one : marks.marked) {
    const auto wasted = std::count_if(one.mark.each.begin(), one.mark.each.end(),
                                      [](const ProbeMark& each) { return each.wasted; });
    text += fmt::format("{},{},{:.1f},{:.1f},{:.1f},{:.1f},{:.1f},{},{:.0f},{},{}\r\n", csv_field(one.by),
                        csv_field(one.exercise), one.mark.total(), one.mark.place, one.mark.probes,
                        one.mark.hands, one.mark.wrong, one.attempt.probes.size(), one.mark.seconds, wasted,
                        csv_field(fmt::format("{}", fmt::join(claims_of(one), "; "))));
  }
  return text;
}

std::string as_json(const Heading& heading, const ClassMarks& marks) {
  Json json = report::json_of(heading);
  json["rule"] = {{"place", report::number(marks.rule.place)},
                  {"probes", report::number(marks.rule.probes)},
                  {"hands", report::number(marks.rule.hands)},
                  {"wrong", report::number(marks.rule.wrong)}};
  json["marks"] = Json::array();
  for (const Marked& one : marks.marked) {
    Json probes = Json::array();
    for (std::size_t i = 0; i < one.mark.each.size(); ++i) {
      const ProbeMark& each = one.mark.each[i];
      probes.push_back({{"probe", one.probes[i]},
                        {"bits", report::number(each.bits)},
                        {"best", report::number(each.best)},
                        {"seconds", report::number(each.seconds)},
                        {"wasted", each.wasted ? Json(why_wasted(one, i)) : Json(nullptr)}});
    }
    Json unknown = Json::array();
    const std::vector<std::string> claims = claims_of(one);
    for (std::size_t c = 0; c < claims.size(); ++c) {
      if (one.refused[c]) unknown.push_back({{"claim", claims[c]}, {"nearest", one.refused[c]->nearest}});
    }
    json["marks"].push_back({{"by", one.by},
                             {"exercise", one.exercise},
                             {"file", one.file},
                             {"total", report::number(one.mark.total())},
                             {"place", report::number(one.mark.place)},
                             {"probes", report::number(one.mark.probes)},
                             {"hands", report::number(one.mark.hands)},
                             {"wrong", report::number(one.mark.wrong)},
                             {"of", report::number(one.mark.most)},
                             {"right", one.mark.right},
                             {"claims", claims},
                             {"unknown", unknown},
                             {"seconds", report::number(one.mark.seconds)},
                             {"taken", probes}});
  }
  json["class"] = Json::array();
  for (const Student& student : students_of(marks))
    json["class"].push_back({{"by", student.name}, {"mean", report::number(student.mean())}});
  return report::written(json);
}

}  // namespace lugwise
