#include "support/draw.h"

#include <map>

namespace lugwise::test {

std::vector<Resistor> draw(const Circuit& circuit, std::mt19937& random) {
  std::uniform_real_distribution<double> even(0, 1);
  std::vector<double> travel;
  for (std::size_t i = 0; i < circuit.travels.size(); ++i) travel.push_back(even(random));
  std::map<ElementId, double> part;
  std::vector<Resistor> resistors;
  for (const Branch& branch : circuit.branches) {
    const auto [place, fresh] = part.try_emplace(branch.element, 0);
    if (fresh) place->second = even(random);
    double ohms = branch.ohms.low + place->second * (branch.ohms.high - branch.ohms.low);
    if (branch.travel) ohms *= branch.at_low + travel[*branch.travel] * (branch.at_high - branch.at_low);
    resistors.push_back({branch.a.index, branch.b.index, ohms});
  }
  return resistors;
}

}  // namespace lugwise::test
