#include "plan/inside/survey.h"

#include <bit>

#include "plan/inside/view.h"

namespace lugwise::plan::inside {

Survey survey(const Harness& harness, const std::vector<Fault>& faults, const std::vector<Ohms>& sizes,
              const PlanOptions& options, const std::vector<Setting>& settings, const Access& access,
              const std::vector<PointId>& lifted, const Reached& reached) {
  Survey survey(faults.size());
  survey.access = access;
  survey.lifted = lifted;
  survey.settings = settings;
  survey.beyond.assign(faults.size(), kOpen);
  for (std::uint32_t s = 0; s < settings.size(); ++s) {
    add_candidates({harness, faults, sizes, options, settings[s], access, lifted}, s, survey);
    if (reached) reached(s + 1, settings.size());
  }
  return survey;
}

Survey narrowed(const Survey& survey, const std::vector<std::size_t>& number, std::size_t faults) {
  Survey few(faults);
  few.access = survey.access;
  few.lifted = survey.lifted;
  few.settings = survey.settings;
  few.beyond.assign(faults, kOpen);
  for (std::size_t f = 0; f < number.size(); ++f) {
    if (number[f] < faults) few.beyond[number[f]] = survey.beyond[f];
  }
  for (std::size_t c = 0; c < survey.candidates.size(); ++c) {
    FaultSet set(faults);
    for (std::size_t w = 0; w < survey.words(); ++w) {
      for (std::uint64_t word = survey.set(c)[w]; word != 0; word &= word - 1) {
        const std::size_t f = number[w * 64 + static_cast<std::size_t>(std::countr_zero(word))];
        if (f < faults) set.add(f);
      }
    }
    if (!set.empty()) few.add(survey.candidates[c], set);
  }
  return few;
}

void find_least_sizes(const Harness& harness, const std::vector<Fault>& faults, const PlanOptions& options,
                      const std::vector<Setting>& settings, const Access& access, std::vector<Ohms>& least) {
  for (const Setting& setting : settings)
    lower_sizes({harness, faults, least, options, setting, access, {}}, least);
}

}  // namespace lugwise::plan::inside
