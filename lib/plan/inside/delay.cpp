#include "plan/inside/delay.h"

namespace lugwise::plan::inside {

Delays::Delays(const Stops& stops, const Costs& costs, const std::vector<Survey>& surveys,
               const std::vector<Fault>& faults, const FaultSet& wanted)
    : stops_(stops), faults_(wanted.words().size() * 64) {
  double all = 0;
  for (const Fault& fault : faults) all += fault.weight;
  FaultSet shown(faults_);
  // What is opened last; stops stand by survey.
  const std::size_t last = stops.size() == 0 ? 0 : stops.all().back().choice.survey;
  for (std::size_t s = 0; s < last; ++s) {
    for (const Stop& stop : stops.all()) {
      if (stop.choice.survey == s) shown |= stop.set;
    }
    shown &= wanted;
    const double opening = surveys[s + 1].access.depth == 1 ? costs.open_cavity : costs.open_cover;
    delayed_.push_back(shown);
    delay_.emplace_back();
    for (const Fault& fault : faults) delay_.back().push_back(costs.faulty * fault.weight / all * opening);
  }
}

double Delays::without(const Order& order, std::size_t place) const {
  double sum = 0;
  FaultSet shown(faults_);
  for (std::size_t s = 0; s < delayed_.size(); ++s) {
    for (std::size_t i = 0; i < order.size(); ++i) {
      if (i != place && stops_[order[i]].choice.survey == s) shown |= stops_[order[i]].set;
    }
    FaultSet late = delayed_[s];
    late -= shown;
    for (std::size_t fault : late.list()) sum += delay_[s][fault];
  }
  return sum;
}

std::vector<FaultSet> Delays::shown_early(const Order& order) const {
  std::vector<FaultSet> early;
  FaultSet shown(faults_);
  for (std::size_t s = 0; s < delayed_.size(); ++s) {
    for (std::size_t stop : order) {
      if (stops_[stop].choice.survey == s) shown |= stops_[stop].set;
    }
    early.push_back(shown);
  }
  return early;
}

}  // namespace lugwise::plan::inside
