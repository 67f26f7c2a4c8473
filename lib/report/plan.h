// What `plan` says: the checklist, as a technician works through it.
#pragma once

#include <string>

#include "drawing/drawing.h"
#include "harness/harness.h"
#include "page/text.h"
#include "plan/plan.h"
#include "report/heading.h"

namespace lugwise {

// All need Heading::meter.
std::string as_text(const Heading& heading, const Harness& harness, const Plan& plan,
                    std::size_t columns = page::kColumns);
std::string as_markdown(const Heading& heading, const Harness& harness, const Plan& plan);
// With a picture at each step; `places` is where its parts are wanted.
std::string as_html(const Heading& heading, const Harness& harness, const Plan& plan,
                    const Places& places = {});
std::string as_json(const Heading& heading, const Harness& harness, const Plan& plan);

}  // namespace lugwise
