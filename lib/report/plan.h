// What `plan` says: the checklist, as a technician works through it.
#pragma once

#include <string>

#include "drawing/drawing.h"
#include "harness/harness.h"
#include "page/text.h"
#include "plan/plan.h"
#include "report/heading.h"

namespace lugwise {

// Its cautions, its steps in order with what each display means, what they show and what nothing shows; as JSON with every fault that
// a step proves or points to. `columns` is the width of the text, 24 at least. The plan is of this harness. All throw
// std::logic_error where the heading has no meter.
std::string as_text(const Heading& heading, const Harness& harness, const Plan& plan,
                    std::size_t columns = page::kColumns);
std::string as_markdown(const Heading& heading, const Harness& harness, const Plan& plan);
// With a picture at each step, where the harness is not too large for one; `places` is where its netlist wants parts. The short form
// is as_sheet() in report/sheet.h.
std::string as_html(const Heading& heading, const Harness& harness, const Plan& plan,
                    const Places& places = {});
std::string as_json(const Heading& heading, const Harness& harness, const Plan& plan);

}  // namespace lugwise
