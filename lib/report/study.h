// What `study` says: how often the answers were right and how soon they came, as text, JSON and a plot.
#pragma once

#include <string>

#include "harness/harness.h"
#include "page/text.h"
#include "report/heading.h"
#include "study/findings.h"
#include "study/study.h"

namespace lugwise {

// How often the answer was right, how far stated probabilities held, how many probes and seconds it took, against probing in order and
// by halving. `options` are those of the study. `columns` is the width of the text, 24 at least. All but as_svg() throw
// std::logic_error where the heading has no meter.
std::string as_text(const Heading& heading, const Harness& harness, const StudyOptions& options,
                    const Findings& findings, std::size_t columns = page::kColumns);
std::string as_markdown(const Heading& heading, const Harness& harness, const StudyOptions& options,
                        const Findings& findings);
std::string as_json(const Heading& heading, const Harness& harness, const StudyOptions& options,
                    const Findings& findings);

// One case in full: what was wrong, each probe with what it read, and what was answered.
std::string as_text(const Heading& heading, const Harness& harness, const Case& one,
                    std::size_t columns = page::kColumns);
std::string as_markdown(const Heading& heading, const Harness& harness, const Case& one);

// A plot of 860 by 440 units, in two panels: probabilities as stated against how often they were right, and probes to the answer. Black on white; told
// apart by shape and words, not by colour.
std::string as_svg(const Heading& heading, const Findings& findings);

}  // namespace lugwise
