// What `diagnose` says: which readings agree, what is wrong and what to probe next.
#pragma once

#include <string>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "harness/harness.h"
#include "page/text.h"
#include "report/heading.h"

namespace lugwise {

// All need Heading::meter. `observations` are those that were diagnosed; they are called by their place, from 1.
std::string as_text(const Heading& heading, const Harness& harness,
                    const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                    std::size_t columns = page::kColumns);
std::string as_markdown(const Heading& heading, const Harness& harness,
                        const std::vector<Observation>& observations, const Diagnosis& diagnosis);
std::string as_html(const Heading& heading, const Harness& harness,
                    const std::vector<Observation>& observations, const Diagnosis& diagnosis);
std::string as_json(const Heading& heading, const Harness& harness,
                    const std::vector<Observation>& observations, const Diagnosis& diagnosis);

}  // namespace lugwise
