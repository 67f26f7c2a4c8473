#include "intake/complaint.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>
#include <vector>

#include "hearing/sound.h"
#include "source/nearest.h"

namespace lugwise {
namespace {

// Words of one sound are at most so many: "buzzes until touched".
constexpr std::size_t kMostWords = 4;

// Longer sentences are no complaint.
constexpr std::size_t kLongest = 1000;

bool is_any(std::string_view word, std::initializer_list<std::string_view> of) {
  return std::find(of.begin(), of.end(), word) != of.end();
}

std::vector<std::string> words_of(std::string_view sentence) {
  std::vector<std::string> words(1);
  for (const char c : sentence) {
    if (c == ' ' || c == '\t' || c == ',' || c == ';') {
      if (!words.back().empty()) words.emplace_back();
    } else {
      words.back() += c;
    }
  }
  if (words.back().empty()) words.pop_back();
  return words;
}

class ComplaintReader {
 public:
  ComplaintReader(std::string_view sentence, const Harness& harness)
      : harness_(harness), words_(words_of(sentence)) {
    heard_.setting = Setting(harness);
  }

  ComplaintFound read() {
    while (refusal_.problem.empty() && at_ < words_.size()) read_word();
    if (refusal_.problem.empty() && !sound_) {
      refuse("what was heard?", "");
      refusal_.hint = how();
    }
    if (!refusal_.problem.empty()) return {std::nullopt, refusal_};
    heard_.sound = *sound_;
    return {heard_, {}};
  }

 private:
  void read_word() {
    const std::string& word = words_[at_];
    if (const std::size_t equals = word.find('='); equals != std::string::npos) {
      set(word.substr(0, equals), word.substr(equals + 1));
      ++at_;
      return;
    }
    const std::optional<PartId> part = harness_.find_part(word);
    if (!part && is_any(word, {"with", "at", "when", "in"})) {
      setting_ = true;
      ++at_;
      return;
    }
    if (!part && is_any(word, {"is", "the", "and", "pickup", "control"})) {
      ++at_;
      return;
    }
    if (setting_) return read_place();
    if (!sound_ && (!part || !sound_behind(at_ + 1)) && take_sound()) return;
    if (part) return take_part(*part);
    if (sound_ && find_sound(word)) {
      refusal_ = {fmt::format("'{}' and '{}': a complaint is of one sound", sound_word(*sound_), word),
                  "make two complaints of it",
                  {}};
      return;
    }
    refuse(fmt::format("'{}' is no pickup, no control and no sound", word.substr(0, 60)), word);
  }

  // A sound's words may stand apart, and the longest counts: "buzzes until touched" is no "buzzes".
  bool take_sound() {
    for (std::size_t n = std::min(kMostWords, words_.size() - at_); n > 0; --n) {
      sound_ = find_sound(joined(at_, n));
      if (!sound_) continue;
      at_ += n;
      return true;
    }
    return false;
  }

  bool sound_behind(std::size_t from) const {
    for (std::size_t i = from; i < words_.size(); ++i) {
      for (std::size_t n = 1; n <= std::min(kMostWords, words_.size() - i); ++n) {
        if (find_sound(joined(i, n))) return true;
      }
    }
    return false;
  }

  std::string joined(std::size_t from, std::size_t count) const {
    std::string text = words_[from];
    for (std::size_t i = 1; i < count; ++i) text += "-" + words_[from + i];
    return text;
  }

  void take_part(PartId id) {
    const std::string& name = words_[at_];
    const bool pickup = harness_[id].kind == PartKind::Pickup;
    if (sound_ && !pickup) return read_place();
    if (!pickup && !can_be_complained_of(harness_[id]))
      return refuse(fmt::format("'{}' is no pickup and no control", name), "");
    std::optional<PartId>& of = pickup ? heard_.pickup : heard_.control;
    if (of)
      return refuse(fmt::format("'{}' and '{}': a complaint is of one {} or of all", harness_[*of].name, name,
                                pickup ? "pickup" : "control"),
                    "");
    of = id;
    ++at_;
  }

  // A control and where it stood.
  void read_place() {
    const std::string control = words_[at_++];
    while (at_ < words_.size() && is_any(words_[at_], {"=", "at", "on", "in", "is", "set", "to"}) &&
           !names_place(control, words_[at_]))
      ++at_;
    if (at_ == words_.size()) return set(control, "");
    set(control, words_[at_++]);
  }

  // Whether a filling word is itself a place of this control: a switch may stand 'on'.
  bool names_place(const std::string& control, const std::string& word) const {
    const std::optional<PartId> part = harness_.find_part(control);
    if (!part) return false;
    const auto& positions = harness_[*part].positions;
    return std::any_of(positions.begin(), positions.end(),
                       [&](const auto& each) { return each.name == word; });
  }

  void set(const std::string& control, const std::string& place) {
    const auto refusal = apply_setting(harness_, control, place, heard_.setting);
    heard_.set_given = true;
    if (!refusal) return;
    if (place.empty() && refusal->about_place) {
      refusal_.problem = fmt::format("where did '{}' stand?", control);
      refusal_.hint = fmt::format("write '{} PLACE'", control);
      return;
    }
    refusal_ = refusal->refusal;
  }

  void refuse(std::string problem, const std::string& word) {
    refusal_.problem = std::move(problem);
    std::vector<std::string> names = sound_words();
    for (const Part& part : harness_.parts()) {
      if (part.kind == PartKind::Pickup || can_be_complained_of(part)) names.push_back(part.name);
    }
    const auto nearest = word.empty() ? std::nullopt : nearest_name(word, names);
    const bool a_sound = nearest && find_sound(*nearest);
    // Before a sound stands what it is heard of: there no other sound is near.
    refusal_.hint = nearest && !(a_sound && sound_behind(at_ + 1)) ? fmt::format("nearest is '{}'", *nearest)
                    : sound_behind(at_ + 1)                        ? of_what()
                                                                   : how();
  }

  std::string of_what() const {
    std::vector<std::string> controls;
    for (const Part& part : harness_.parts()) {
      if (can_be_complained_of(part)) controls.push_back(part.name);
    }
    return fmt::format("the pickups are {}; the controls {}", fmt::join(pickups(), ", "),
                       fmt::join(controls, ", "));
  }

  std::vector<std::string> pickups() const {
    std::vector<std::string> names;
    for (const Part& part : harness_.parts()) {
      if (part.kind == PartKind::Pickup) names.push_back(part.name);
    }
    return names;
  }

  std::string how() const {
    const std::vector<std::string> of = pickups();
    std::string with;
    for (const PartId id : harness_.controls()) {
      if (!with.empty() || harness_[id].kind == PartKind::Jack) continue;
      with = fmt::format(" with {} {}", harness_[id].name, Setting(harness_).place_name(harness_, id));
    }
    return fmt::format(
        "say of which pickup or control, what was heard, and what was set: '{}silent{}'; a sound is one of "
        "{}",
        of.empty() ? "" : of.front() + " ", with, fmt::join(sound_words(), ", "));
  }

  const Harness& harness_;
  std::vector<std::string> words_;
  std::size_t at_ = 0;
  bool setting_ = false;  // behind "with"
  std::optional<Sound> sound_;
  Heard heard_;
  Refusal refusal_;
};

}  // namespace

ComplaintFound read_complaint(std::string_view sentence, const Harness& harness) {
  if (sentence.size() > kLongest)
    return {std::nullopt,
            {fmt::format("a complaint of {} characters is too long", sentence.size()),
             fmt::format("at most {} are read", kLongest),
             {}}};
  return ComplaintReader(sentence, harness).read();
}

}  // namespace lugwise
