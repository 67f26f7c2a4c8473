// What `faults` says: all that can be wrong, what it would do to a reading, and what the player would hear.
#pragma once

#include <string>
#include <vector>

#include "effect/effect.h"
#include "harness/harness.h"
#include "page/text.h"
#include "report/heading.h"

namespace lugwise {

// What was asked for, and what came of it.
struct FaultList {
  std::vector<Effect> effects;  // of the faults asked for: effects_of() in effect/effect.h
  std::size_t of = 0;           // how many faults there are at the stage, asked for or not
  std::string at;               // the point or part asked for, as typed; empty: all
  EffectOptions options;        // that the effects were worked out with
};

// By kind of fault (open, cold or worn, touching, wrong value, misplaced), the commonest first. As text and Markdown faults that read
// and sound alike are told together; JSON has one object for each, with its weight, its share of all faults, and the reading that
// tells it in ohms. `columns` is the width of the text, 24 at least. Throws nothing of its own: a heading without a meter says so.
std::string as_text(const Heading& heading, const Harness& harness, const FaultList& list,
                    std::size_t columns = page::kColumns);
std::string as_markdown(const Heading& heading, const Harness& harness, const FaultList& list);
std::string as_json(const Heading& heading, const Harness& harness, const FaultList& list);

}  // namespace lugwise
