#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "fault/naming.h"
#include "report/exercise.h"
#include "report/inside/exercise_words.h"
#include "simulation/dice.h"
#include "text/safe.h"

namespace lugwise {
namespace {

// Wrong answers offered beside the right one in a question to be ticked.
constexpr std::size_t kOthers = 5;

// What is offered to be ticked.
struct Offer {
  std::string text;
  bool right = false;
};

// One of each group in words, as all of them would be the longest choice, which gives it away; the others of its group are
// not offered. Beside them others that are wrong, in no order.
std::vector<Offer> choices_of(const Harness& harness, const std::vector<Fault>& faults,
                              const Exercise& exercise) {
  std::vector<Offer> choices;
  std::vector<std::size_t> taken;
  for (std::size_t g = 0; g < exercise.answer.size(); ++g) {
    const std::vector<std::size_t>& group = exercise.answer[g];
    choices.push_back({in_words(harness, faults[exercise.ailments[g].fault]), true});
    taken.insert(taken.end(), group.begin(), group.end());
  }
  Dice dice(exercise.salt, 7);
  for (std::size_t tries = 0; tries < 200 && choices.size() < exercise.answer.size() + kOthers; ++tries) {
    const std::size_t other = dice.below(faults.size());
    if (std::any_of(taken.begin(), taken.end(),
                    [&](std::size_t f) { return same_place(faults[f], faults[other]); }))
      continue;
    taken.push_back(other);
    choices.push_back({in_words(harness, faults[other]), false});
  }
  for (std::size_t left = choices.size(); left > 1; --left)
    std::swap(choices[left - 1], choices[dice.below(left)]);
  return choices;
}

}  // namespace

std::string as_qti(const Harness& harness, const std::vector<Fault>& faults, const Exercise& exercise) {
  const std::vector<Offer> choices = choices_of(harness, faults, exercise);
  const std::size_t right = exercise.answer.size();
  std::string item = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
  item += fmt::format(
      "<assessmentItem xmlns=\"http://www.imsglobal.org/xsd/imsqti_v2p1\"\n"
      "    xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\"\n"
      "    xsi:schemaLocation=\"http://www.imsglobal.org/xsd/imsqti_v2p1 "
      "http://www.imsglobal.org/xsd/qti/qtiv2p1/imsqti_v2p1.xsd\"\n"
      "    identifier=\"exercise-{0}\" title=\"Exercise {0}\" adaptive=\"false\" timeDependent=\"false\">\n",
      report::number_in_words(exercise));
  item += fmt::format(
      "  <responseDeclaration identifier=\"RESPONSE\" cardinality=\"{}\" baseType=\"identifier\">\n"
      "    <correctResponse>\n",
      right > 1 ? "multiple" : "single");
  for (std::size_t i = 0; i < choices.size(); ++i) {
    if (choices[i].right) item += fmt::format("      <value>choice-{}</value>\n", i + 1);
  }
  item +=
      "    </correctResponse>\n  </responseDeclaration>\n"
      "  <outcomeDeclaration identifier=\"SCORE\" cardinality=\"single\" baseType=\"float\">\n"
      "    <defaultValue>\n      <value>0</value>\n    </defaultValue>\n  </outcomeDeclaration>\n"
      "  <itemBody>\n";
  item += fmt::format("    <p>{}: {}. Complaint: {}.</p>\n", text::in_markup(harness.name),
                      level_in_words(exercise.level),
                      text::in_markup(report::complaints_in_words(harness, exercise)));
  item += fmt::format(
      "    <choiceInteraction responseIdentifier=\"RESPONSE\" shuffle=\"false\" maxChoices=\"{}\">\n"
      "      <prompt>What is wrong?</prompt>\n",
      right);
  for (std::size_t i = 0; i < choices.size(); ++i)
    item += fmt::format("      <simpleChoice identifier=\"choice-{}\">{}</simpleChoice>\n", i + 1,
                        text::in_markup(choices[i].text));
  item +=
      "    </choiceInteraction>\n  </itemBody>\n"
      "  <responseProcessing "
      "template=\"http://www.imsglobal.org/question/qti_v2p1/rptemplates/match_correct\"/>\n"
      "</assessmentItem>\n";
  return item;
}

}  // namespace lugwise
