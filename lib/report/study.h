// What `study` says: how often the answers were right and how soon they came, as text, JSON and a plot.
#pragma once

#include <string>

#include "harness/harness.h"
#include "page/text.h"
#include "report/heading.h"
#include "study/findings.h"
#include "study/study.h"

namespace lugwise {

// All need Heading::meter.
std::string as_text(const Heading& heading, const Harness& harness, const StudyOptions& options,
                    const Findings& findings, std::size_t columns = page::kColumns);
std::string as_markdown(const Heading& heading, const Harness& harness, const StudyOptions& options,
                        const Findings& findings);
std::string as_json(const Heading& heading, const Harness& harness, const StudyOptions& options,
                    const Findings& findings);

// One case in full: what was wrong and what was answered.
std::string as_text(const Heading& heading, const Harness& harness, const Case& one,
                    std::size_t columns = page::kColumns);
std::string as_markdown(const Heading& heading, const Harness& harness, const Case& one);

// Two panels: probabilities as stated against how often they were right, and probes to the answer. Black on white; told
// apart by shape and words, not by colour.
std::string as_svg(const Heading& heading, const Findings& findings);

}  // namespace lugwise
