// Values as they stand beside a part: "250k", "47n", "9 V".
#pragma once

#include <string>

#include "component/ohms.h"

namespace lugwise::drawing::inside {

std::string ohms_text(Ohms ohms);
std::string farads_text(double farads);

}  // namespace lugwise::drawing::inside
