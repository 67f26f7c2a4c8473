#include "exercise/inside/draw.h"

#include <algorithm>

#include "simulation/simulation.h"

namespace lugwise::exercise::inside {

Draw::Draw(const Harness& harness, const std::vector<Fault>& faults, const ExerciseOptions& options)
    : harness_(harness), faults_(faults), level_(options.level), listener_(harness, options.stage) {
  for (std::size_t f = 0; f < faults_.size(); ++f) {
    if (options.chosen ? f == *options.chosen : offered(faults_[f])) drawn_from_.push_back(f);
  }
}

bool Draw::offered(const Fault& fault) const {
  return level_ != 1 || fault.mode == Mode::Open || fault.mode == Mode::Short;
}

std::size_t Draw::draw_fault(Dice& dice) const {
  double weights = 0;
  for (std::size_t f : drawn_from_) weights += faults_[f].weight;
  double left = dice.even() * weights;
  for (std::size_t f : drawn_from_) {
    left -= faults_[f].weight;
    if (left < 0) return f;
  }
  return drawn_from_.back();
}

bool Draw::fill(Exercise& exercise, Dice& dice) {
  const std::size_t first = draw_fault(dice);
  exercise.ailments.push_back({first, draw_size(harness_, faults_[first], dice), false});
  if (level_ == 4) {
    const Fault& fault = faults_[first];
    const bool joint = fault.site == Site::Joint || fault.site == Site::Blob || fault.site == Site::Contact;
    if (joint && fault.mode == Mode::Open && dice.chance(0.5)) {
      exercise.ailments.front().comes_and_goes = true;
    } else if (!add_second(exercise, dice)) {
      return false;
    }
  }
  for (const Ailment& each : exercise.ailments) hear(exercise, each);
  return level_ != 3 || !exercise.heard.empty();
}

// The second is any other of the list, also where the first was chosen.
bool Draw::add_second(Exercise& exercise, Dice& dice) const {
  const std::size_t first = exercise.ailments.front().fault;
  std::size_t second = first;
  for (int tries = 0; tries < 50 && second == first; ++tries) {
    const std::size_t other = dice.below(faults_.size());
    if (!same_place(faults_[other], faults_[first])) second = other;
  }
  if (second == first) return false;
  exercise.ailments.push_back({second, draw_size(harness_, faults_[second], dice), false});
  return true;
}

// Whether it is heard wherever anything of it should sound: to name one setting would then tell the student what is not so.
bool Draw::heard_everywhere(const Complaint& complaint) const {
  for (std::size_t i = 0; i < listener_.settings(); ++i) {
    const Setting& setting = listener_.setting(i);
    const bool sounds = complaint.pickup ? listener_.sounds(i, *complaint.pickup)
                                         : complaint.control || !listener_.sounding(setting).empty();
    if (sounds && std::find(complaint.in.begin(), complaint.in.end(), setting) == complaint.in.end())
      return false;
  }
  return true;
}

// What the player says of one fault: the first of it, where it is loudest.
void Draw::hear(Exercise& exercise, const Ailment& ailment) {
  const double size = ailment.size;
  for (const Complaint& complaint : listener_.complaints(faults_[ailment.fault], size)) {
    const Complaint said = ailment.comes_and_goes
                               ? Complaint{Sound::CutsOut, complaint.pickup, std::nullopt, complaint.in}
                               : complaint;
    if (said.in.empty()) continue;
    Heard heard;
    heard.pickup = said.pickup;
    heard.control = said.control;
    heard.sound = said.sound;
    heard.set_given = !heard_everywhere(said);
    heard.setting = heard.set_given ? said.in.front() : Setting(harness_);
    const bool said_before =
        std::any_of(exercise.heard.begin(), exercise.heard.end(), [&](const Heard& other) {
          return other.pickup == heard.pickup && other.control == heard.control &&
                 other.sound == heard.sound && other.set_given == heard.set_given &&
                 other.setting == heard.setting;
        });
    if (!said_before) exercise.heard.push_back(heard);
    return;
  }
}

}  // namespace lugwise::exercise::inside
