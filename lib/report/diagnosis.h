// What `diagnose` says: which readings agree, what is wrong and what to probe next.
#pragma once

#include <string>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "drawing/drawing.h"
#include "harness/harness.h"
#include "page/text.h"
#include "record/job.h"
#include "report/heading.h"
#include "sheet/sheet.h"

namespace lugwise {

// What a readings file holds beside the readings that are weighed.
struct Filed {
  std::vector<Entry> entries;
  std::vector<Heard> heard;
  std::vector<FoundBefore> before;
  std::optional<Scope> scope = {};  // of the plan that the readings are held against
};

// The whole answer: at the bench (text) from the readings to the verdict and what to do next, for the file (Markdown, HTML) from the
// verdict to what it rests on; as JSON with all that was worked out. `observations` are those that `diagnosis` is of; they are called
// by their place in the readings file, or in the list where they have none. `filed` is all that file holds; what was not weighed is
// told beside them. `columns` is the width of the text, 24 at least. Ohms stand as Heading::meter shows them. All throw
// std::logic_error where the heading has no meter.
std::string as_text(const Heading& heading, const Harness& harness,
                    const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                    const Filed& filed = {}, std::size_t columns = page::kColumns);
std::string as_markdown(const Heading& heading, const Harness& harness,
                        const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                        const Filed& filed = {});
// With the suspects and the probes on pictures, where the harness is not too large for one; `places` is where its netlist wants parts.
std::string as_html(const Heading& heading, const Harness& harness,
                    const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                    const Filed& filed = {}, const Places& places = {});
std::string as_json(const Heading& heading, const Harness& harness,
                    const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                    const Filed& filed = {});

}  // namespace lugwise
