#include "fault/naming.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <utility>

#include "source/fingerprint.h"
#include "source/nearest.h"

namespace lugwise {
namespace {

// Without those that are easily taken for another; it begins with a letter, so that no reader takes it for a number.
constexpr std::string_view kLetters = "abcdefghjkmnpqrstuvwxyz";
constexpr std::string_view kLettersAndDigits = "23456789abcdefghjkmnpqrstuvwxyz";
constexpr int kFurther = 6;

constexpr std::size_t kNearest = 3;
constexpr std::size_t kMostTyped = 400;  // longer than any fault's words are worth comparing

// Stirred once more at the end: neighbours in the text are to be strangers as numbers.
class Hash {
 public:
  void add(std::string_view text) {
    whole_.add(text);
    whole_.add_byte(0);
  }
  std::uint64_t value() const {
    std::uint64_t x = whole_.value();
    x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9ULL;
    x = (x ^ (x >> 27)) * 0x94d049bb133111ebULL;
    return x ^ (x >> 31);
  }

 private:
  Fingerprint whole_;
};

std::vector<std::string> names_of(const Harness& harness, const std::vector<PointId>& points) {
  std::vector<std::string> names;
  for (PointId point : points) names.push_back(harness[point].name);
  return names;
}

char lower(char letter) {
  return letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
}

std::string in_lower_case(std::string_view text) {
  std::string result(text);
  std::transform(result.begin(), result.end(), result.begin(), lower);
  return result;
}

bool says_nothing(std::string_view word) {
  static constexpr std::array<std::string_view, 8> kWords{"the", "a", "an", "is", "are", "of", "at", "to"};
  return std::find(kWords.begin(), kWords.end(), word) != kWords.end();
}

// What a list prints before and behind a fault's words: "1.4 %: " and " (line 14)".
std::string_view without_margins(std::string_view text) {
  const std::size_t share = text.find("%: ");
  if (share != std::string_view::npos) text.remove_prefix(share + 3);
  const std::size_t line = text.rfind(" (line ");
  if (line != std::string_view::npos && text.ends_with(")")) text = text.substr(0, line);
  return text;
}

// The words that matter, without what stands around them.
std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words;
  std::string word;
  const auto end = [&] {
    while (!word.empty() && std::string_view(".,;:!").find(word.back()) != std::string_view::npos)
      word.pop_back();
    if (!word.empty() && !says_nothing(in_lower_case(word))) words.push_back(std::move(word));
    word.clear();
  };
  for (const char letter : text) {
    if (letter == ' ' || letter == '\t' || letter == '\n' || letter == '\r' || letter == '"' ||
        letter == '\'' || letter == '(' || letter == ')') {
      end();
    } else {
      word += letter;
    }
  }
  end();
  return words;
}

std::vector<std::string> in_lower_case(const std::vector<std::string>& words) {
  std::vector<std::string> result;
  for (const std::string& word : words) result.push_back(in_lower_case(word));
  return result;
}

// The words without regard to their order, and one word for what is said in several ways: "volume.3 touches volume.case" and
// "short of volume.case to volume.3" are one fault.
std::vector<std::string> in_any_order(const std::vector<std::string>& words) {
  static constexpr std::array<std::string_view, 4> kFiller{"and", "each", "other", "with"};
  static constexpr std::array<std::string_view, 5> kTouch{"touches", "touching", "short", "shorted",
                                                          "shorts"};
  std::vector<std::string> result;
  for (const std::string& word : words) {
    if (std::find(kFiller.begin(), kFiller.end(), word) != kFiller.end()) continue;
    const bool touches = std::find(kTouch.begin(), kTouch.end(), word) != kTouch.end();
    result.push_back(touches ? "touch" : word);
  }
  std::sort(result.begin(), result.end());
  return result;
}

// How much of one has to be changed to have the other: a word left out or added counts 1, another word up to 1.5.
double distance(const std::vector<std::string>& typed, const std::vector<std::string>& known) {
  std::vector<double> row(known.size() + 1);
  for (std::size_t j = 0; j < row.size(); ++j) row[j] = static_cast<double>(j);
  for (std::size_t i = 0; i < typed.size(); ++i) {
    double diagonal = row[0];
    row[0] = static_cast<double>(i + 1);
    for (std::size_t j = 0; j < known.size(); ++j) {
      const double limit = static_cast<double>(std::min(typed[i].size(), known[j].size())) / 2;
      const double slips = edit_distance(typed[i], known[j], limit);
      const double other = slips == 0 ? 0 : slips > limit ? 1.5 : 0.25 + slips / 4;
      const double here = std::min({row[j] + 1, row[j + 1] + 1, diagonal + other});
      diagonal = row[j + 1];
      row[j + 1] = here;
    }
  }
  return row.back();
}

}  // namespace

bool touches(const Fault& fault, const std::vector<PointId>& points) {
  const auto here = [&](PointId point) {
    return std::find(points.begin(), points.end(), point) != points.end();
  };
  return std::any_of(fault.points.begin(), fault.points.end(), here) ||
         std::any_of(fault.also.begin(), fault.also.end(), here);
}

std::string fault_id(const Harness& harness, const Fault& fault) {
  std::vector<std::string> names = names_of(harness, fault.points);
  std::vector<std::string> also = names_of(harness, fault.also);
  // The order in which the netlist happens to list two lugs, or the leads of a blob, says nothing of the fault.
  if (fault.mode == Mode::Short && !fault.element) std::sort(names.begin(), names.end());
  if (fault.site == Site::Blob && names.size() > 1) std::sort(names.begin() + 1, names.end());
  if (!also.empty() && also < names) std::swap(names, also);
  Hash hash;
  hash.add(mode_name(fault.mode));
  hash.add(site_name(fault.site));
  for (const std::string& name : names) hash.add(name);
  if (!also.empty()) hash.add("also");
  for (const std::string& name : also) hash.add(name);
  if (fault.in) {
    const Part& control = harness[fault.in->control];
    hash.add("in");
    hash.add(control.name);
    hash.add(control.positions[fault.in->position].name);
  }
  std::uint64_t left = hash.value();
  std::string id(1, kLetters[left % kLetters.size()]);
  left /= kLetters.size();
  for (int i = 0; i < kFurther; ++i) {
    id += kLettersAndDigits[left % kLettersAndDigits.size()];
    left /= kLettersAndDigits.size();
  }
  return id;
}

FaultFound find_fault(const Harness& harness, const std::vector<Fault>& faults, std::string_view typed) {
  const std::string_view text = without_margins(typed);
  const std::vector<std::string> exact =
      text.size() > kMostTyped ? std::vector<std::string>{} : words_of(text);
  const std::vector<std::string> loose = in_lower_case(exact);
  FaultFound found;
  const std::vector<std::string> loosest = in_any_order(loose);
  std::vector<std::size_t> alike, alike_but_for_case, alike_in_any_order;
  std::vector<std::pair<double, std::size_t>> near;
  for (std::size_t f = 0; f < faults.size(); ++f) {
    if (exact.size() == 1 && loose.front() == fault_id(harness, faults[f])) {
      found.fault = f;
      return found;
    }
    const std::vector<std::string> known = words_of(in_words(harness, faults[f]));
    if (known == exact) alike.push_back(f);
    const std::vector<std::string> known_loose = in_lower_case(known);
    if (known_loose == loose) alike_but_for_case.push_back(f);
    const std::vector<std::string> known_loosest = in_any_order(known_loose);
    if (!loosest.empty() && known_loosest == loosest) alike_in_any_order.push_back(f);
    near.emplace_back(std::min(distance(loose, known_loose), distance(loosest, known_loosest)), f);
  }
  const std::vector<std::size_t>& fit = !alike.empty()                ? alike
                                        : !alike_but_for_case.empty() ? alike_but_for_case
                                                                      : alike_in_any_order;
  if (fit.size() == 1) {
    found.fault = fit.front();
    return found;
  }
  const std::string shown(typed.substr(0, kMostTyped));
  if (fit.size() > 1) {
    found.refusal.problem = fmt::format("{} faults are called '{}': name one by its id", fit.size(), shown);
    for (std::size_t f : fit)
      found.refusal.nearest.push_back(fault_id(harness, faults[f]) + ": " + in_words(harness, faults[f]));
    return found;
  }
  found.refusal.problem = fmt::format("no such fault: '{}'", shown);
  if (exact.empty()) return found;
  std::stable_sort(near.begin(), near.end(), [](const auto& x, const auto& y) { return x.first < y.first; });
  // What shares no more than a word with it is no guess.
  const double enough = static_cast<double>(loose.size()) * 0.8 + 2;
  for (const auto& [far, f] : near) {
    if (far > enough || found.refusal.nearest.size() == kNearest) break;
    found.refusal.nearest.push_back(in_words(harness, faults[f]));
  }
  return found;
}

}  // namespace lugwise
