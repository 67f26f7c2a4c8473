#include "report/inside/group.h"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <utility>

#include "report/inside/suspect.h"
#include "report/inside/words.h"

namespace lugwise::report {
inline namespace inside {
namespace {

// Groups below this are not worth a picture, and of one no more suspects than these are marked on it.
constexpr double kWorthAPicture = 0.05;
constexpr std::size_t kMarked = 9;

// Of one group so many lines.
constexpr std::size_t kMostLines = 10;

// Groups below this are summed up in one line.
constexpr double kWorthALine = 0.001;

// Ways to mend what stands in one group.
constexpr std::size_t kMostWays = 4;

// What no suspect has is told from so much on.
constexpr double kWorthTelling = 0.1;

std::string numbers(std::vector<std::size_t> places) {
  std::sort(places.begin(), places.end());
  std::vector<std::string> texts;
  for (std::size_t place : places) texts.push_back(std::to_string(place));
  return (texts.size() == 1 ? "reading " : "readings ") + listed(texts);
}

// What is to be done about a group, by its likeliest first; as many ways as are worth a line.
std::string mends_in_words(const Suspect* first, const Suspect* last) {
  std::vector<std::string> ways;
  const auto add = [&](const std::string& way) {
    if (!way.empty() && ways.size() < kMostWays && std::find(ways.begin(), ways.end(), way) == ways.end())
      ways.push_back(way);
  };
  for (const Suspect* suspect = first; suspect != last; ++suspect) {
    if (suspect != first && suspect->probability < kWorthALine) continue;
    add(suspect->mend);
    add(suspect->also_mend);
  }
  if (ways.empty()) return "";
  if (last - first == 1) return "to mend: " + mend_in_words(*first);
  return fmt::format("to mend{}: {}", ways.size() > 1 ? ", as it turns out" : "", fmt::join(ways, "; "));
}

// "for: readings 1 and 2; against: reading 3", of the first of a group; and what is done about them all.
std::string evidence_in_words(const std::vector<Observation>& observations, const Suspect* first,
                              const Suspect* last) {
  const Suspect& suspect = *first;
  std::vector<std::size_t> for_it, against;
  for (const Evidence& evidence : suspect.evidence) {
    if (evidence.weight > kSpeaks) for_it.push_back(number_of(observations, evidence.observation));
    if (evidence.weight < -kSpeaks) against.push_back(number_of(observations, evidence.observation));
  }
  std::string text;
  if (!for_it.empty()) text = "for: " + numbers(for_it);
  if (!against.empty()) text += (text.empty() ? "against: " : "; against: ") + numbers(against);
  std::vector<std::string> heard;
  for (const Evidence& evidence : suspect.heard) {
    if (evidence.weight > kSpeaks) heard.push_back(std::to_string(evidence.observation + 1));
  }
  if (!heard.empty()) text += (text.empty() ? "for: heard " : "; heard ") + listed(heard);
  if (const std::string mends = mends_in_words(first, last); !mends.empty())
    text += (text.empty() ? "" : "; ") + mends;
  return text;
}

// Where the shares of the suspects leave much unsaid: who has the rest.
std::string rest_in_words(const Diagnosis& diagnosis) {
  double rest = 1;
  for (const Suspect& suspect : diagnosis.suspects) rest -= suspect.probability;
  if (rest < kWorthTelling) return "";
  return fmt::format(
      "The other {} is left to nothing being wrong, to what is not listed, and to what is less likely than "
      "each of these.",
      percent(rest));
}

// One group, of which these are all.
page::Group group_of(const Harness& harness, const Suspect* first, const Suspect* last, double together,
                     Sketchbook& pictures) {
  page::Group said{fmt::format("group {}", first->group), percent(together), {}, {}, {}};
  const std::vector<Line> lines = folded(harness, first, last);
  double left = 0;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (i < kMostLines && (i == 0 || lines[i].probability >= kWorthALine)) {
      said.suspects.push_back({percent(lines[i].probability), lines[i].words});
    } else {
      left += lines[i].probability;
    }
  }
  if (said.suspects.size() < lines.size())
    said.suspects.push_back(
        {percent(left), fmt::format("{} more; --json lists them", lines.size() - said.suspects.size())});
  if (together < kWorthAPicture) return said;
  std::vector<Fault> faults;
  const auto mark = [&](const Fault& fault) {
    if (faults.size() < kMarked && std::find(faults.begin(), faults.end(), fault) == faults.end())
      faults.push_back(fault);
  };
  for (const Suspect* suspect = first; suspect != last; ++suspect) {
    mark(suspect->fault);
    if (suspect->also) mark(*suspect->also);
  }
  said.picture = pictures.suspects(faults);
  return said;
}

}  // namespace

page::Section suspects_of(const Harness& harness, const std::vector<Observation>& observations,
                          const Diagnosis& diagnosis, Sketchbook& pictures) {
  page::Section section{"Suspects; those in one group no reading so far can tell apart", false, false, {}};
  // The likelier of a lesser group may stand before the last of a greater one.
  std::vector<Suspect> suspects = diagnosis.suspects;
  std::stable_sort(suspects.begin(), suspects.end(),
                   [](const Suspect& x, const Suspect& y) { return x.group < y.group; });
  std::size_t first = 0;
  while (first < suspects.size()) {
    std::size_t last = first;
    double together = 0;
    const int group = suspects[first].group;
    while (last < suspects.size() && suspects[last].group == group) {
      together += suspects[last++].probability;
    }
    if (together < kWorthALine && group > 1) {
      const std::string others = counted(suspects.size() - first, "other");
      section.blocks.push_back(page::Paragraph{others + " less likely still; --json lists them", 6});
      break;
    }
    page::Group said = group_of(harness, suspects.data() + first, suspects.data() + last, together, pictures);
    said.evidence = evidence_in_words(observations, suspects.data() + first, suspects.data() + last);
    section.blocks.push_back(std::move(said));
    first = last;
  }
  if (const std::string rest = rest_in_words(diagnosis); !rest.empty())
    section.blocks.push_back(page::Paragraph{rest, 2});
  return section;
}

}  // namespace inside
}  // namespace lugwise::report
