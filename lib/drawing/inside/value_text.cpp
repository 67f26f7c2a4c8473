#include "drawing/inside/value_text.h"

#include <fmt/format.h>

namespace lugwise::drawing::inside {

std::string ohms_text(Ohms ohms) {
  if (ohms >= 1e6) return fmt::format("{:.4g}M", ohms / 1e6);
  if (ohms >= 1e3) return fmt::format("{:.4g}k", ohms / 1e3);
  return fmt::format("{:.4g} Ω", ohms);
}

std::string farads_text(double farads) {
  if (farads >= 0.9999e-6) return fmt::format("{:.4g}u", farads * 1e6);
  if (farads >= 0.9999e-9) return fmt::format("{:.4g}n", farads * 1e9);
  return fmt::format("{:.4g}p", farads * 1e12);
}

}  // namespace lugwise::drawing::inside
