// What `faults` says: all that can be wrong, what it would do to a reading, and what the player would hear.
#pragma once

#include <string>
#include <vector>

#include "effect/effect.h"
#include "harness/harness.h"
#include "page/text.h"
#include "report/heading.h"

namespace lugwise {

struct FaultList {
  std::vector<Effect> effects;  // of the faults asked for
  std::size_t of = 0;           // how many there are at the stage
  std::string at;               // the place asked for; empty: all
  EffectOptions options;
};

std::string as_text(const Heading& heading, const Harness& harness, const FaultList& list,
                    std::size_t columns = page::kColumns);
std::string as_markdown(const Heading& heading, const Harness& harness, const FaultList& list);
std::string as_json(const Heading& heading, const Harness& harness, const FaultList& list);

}  // namespace lugwise
