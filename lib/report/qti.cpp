#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "fault/naming.h"
#include "report/exercise.h"
#include "report/inside/exercise_words.h"
#include "simulation/dice.h"

namespace lugwise {
namespace {

// Wrong answers offered beside the right one in a question to be ticked.
constexpr std::size_t kOthers = 5;

std::string escaped_xml(const std::string& text) {
  std::string result;
  for (const char letter : text) {
    switch (letter) {
      case '&':
        result += "&amp;";
        break;
      case '<':
        result += "&lt;";
        break;
      case '>':
        result += "&gt;";
        break;
      case '"':
        result += "&quot;";
        break;
      default:
        result += letter;
    }
  }
  return result;
}

}  // namespace

std::string as_qti(const Harness& harness, const std::vector<Fault>& faults, const Exercise& exercise) {
  struct Choice {
    std::string text;
    bool right = false;
  };
  std::vector<Choice> choices;
  std::vector<std::size_t> taken;
  // One of each group in words: all of them would be the longest choice, which gives it away. The others of its group are
  // not offered.
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
  const std::size_t right = exercise.answer.size();
  std::string text = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
  text += fmt::format(
      "<assessmentItem xmlns=\"http://www.imsglobal.org/xsd/imsqti_v2p1\"\n"
      "    xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\"\n"
      "    xsi:schemaLocation=\"http://www.imsglobal.org/xsd/imsqti_v2p1 "
      "http://www.imsglobal.org/xsd/qti/qtiv2p1/imsqti_v2p1.xsd\"\n"
      "    identifier=\"exercise-{0}\" title=\"Exercise {0}\" adaptive=\"false\" timeDependent=\"false\">\n",
      report::number_in_words(exercise));
  text += fmt::format(
      "  <responseDeclaration identifier=\"RESPONSE\" cardinality=\"{}\" baseType=\"identifier\">\n"
      "    <correctResponse>\n",
      right > 1 ? "multiple" : "single");
  for (std::size_t i = 0; i < choices.size(); ++i) {
    if (choices[i].right) text += fmt::format("      <value>choice-{}</value>\n", i + 1);
  }
  text +=
      "    </correctResponse>\n  </responseDeclaration>\n"
      "  <outcomeDeclaration identifier=\"SCORE\" cardinality=\"single\" baseType=\"float\">\n"
      "    <defaultValue>\n      <value>0</value>\n    </defaultValue>\n  </outcomeDeclaration>\n"
      "  <itemBody>\n";
  text += fmt::format("    <p>{}: {}. Complaint: {}.</p>\n", escaped_xml(harness.name),
                      level_in_words(exercise.level),
                      escaped_xml(report::complaints_in_words(harness, exercise)));
  text += fmt::format(
      "    <choiceInteraction responseIdentifier=\"RESPONSE\" shuffle=\"false\" maxChoices=\"{}\">\n"
      "      <prompt>What is wrong?</prompt>\n",
      right);
  for (std::size_t i = 0; i < choices.size(); ++i)
    text += fmt::format("      <simpleChoice identifier=\"choice-{}\">{}</simpleChoice>\n", i + 1,
                        escaped_xml(choices[i].text));
  text +=
      "    </choiceInteraction>\n  </itemBody>\n"
      "  <responseProcessing "
      "template=\"http://www.imsglobal.org/question/qti_v2p1/rptemplates/match_correct\"/>\n"
      "</assessmentItem>\n";
  return text;
}

}  // namespace lugwise
