// What `batch` says: the batch that was begun, one unit, and the report over all of them.
#pragma once

#include <string>

#include "batch/batch.h"
#include "drawing/drawing.h"
#include "harness/harness.h"
#include "page/text.h"
#include "report/heading.h"

namespace lugwise {

// That a batch was begun in a folder, and by which rule it will be judged.
std::string as_text(const BatchHead& head, const Plan& plan, const std::string& folder);
std::string as_json(const Heading& heading, const BatchHead& head, const Plan& plan,
                    const std::string& folder);

// What became of one unit, whose record lies at `path`.
std::string as_text(const Harness& harness, const UnitRecord& unit, const std::string& path);
std::string as_json(const Heading& heading, const Harness& harness, const UnitRecord& unit);

// The report: yield, units, the readings of each step against its limits, what to look at again.
std::string as_text(const Heading& heading, const Harness& harness, const Batch& batch,
                    std::size_t columns = page::kColumns);
std::string as_markdown(const Heading& heading, const Harness& harness, const Batch& batch);
std::string as_json(const Heading& heading, const Harness& harness, const Batch& batch);

// The same with a page for each unit that counts: what was measured, with what, and what it shows. `places` is where parts are
// wanted on its picture.
std::string as_html(const Heading& heading, const Harness& harness, const Batch& batch,
                    const Places& places = {});

}  // namespace lugwise
