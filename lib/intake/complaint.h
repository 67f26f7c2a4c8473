// What a player complains of, in one sentence: "front silent with selector front".
#pragma once

#include <optional>
#include <string_view>

#include "harness/harness.h"
#include "intake/place.h"
#include "sheet/sheet.h"

namespace lugwise {

struct ComplaintFound {
  std::optional<Heard> heard;
  Refusal refusal;  // where there is none
};

// A sound, before or behind it the pickup it is of, and what was set: "with", then a control and its place each, as
// "selector front, volume 10" or "selector=front". Words of a sound may stand apart: "buzzes until touched". What is not
// understood is refused with the nearest word that would have been.
ComplaintFound read_complaint(std::string_view sentence, const Harness& harness);

}  // namespace lugwise
