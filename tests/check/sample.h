// For each warning a netlist that earns it: the sound one below with a few words changed.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace lugwise::test {

// Fernhollow 2: two single coils, volume, tone, three-way selector. Nothing to warn of.
extern const std::string kSound;

struct Sample {
  std::string code;
  std::vector<std::pair<std::string, std::string>> changes;  // words of kSound, and what stands there instead
  std::vector<std::string> codes;                            // of every warning it earns, by place
};

const std::vector<Sample>& samples();

// kSound with the changes made; each must find its words exactly once.
std::string changed(const std::vector<std::pair<std::string, std::string>>& changes);

}  // namespace lugwise::test
