#include "source/fingerprint.h"

#include <fmt/format.h>

namespace lugwise {

// The upper 16 bits laid over the lower 48.
std::string fingerprint(std::string_view text) {
  Fingerprint whole;
  whole.add(text);
  return fmt::format("{:012x}", (whole.value() ^ (whole.value() >> 48)) & 0xffffffffffffu);
}

}  // namespace lugwise
