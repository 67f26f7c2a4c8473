#include "source/fingerprint.h"

#include <fmt/format.h>

#include <cstdint>

namespace lugwise {

// FNV-1a with 64 bits, the upper 16 laid over the lower 48.
std::string fingerprint(std::string_view text) {
  std::uint64_t hash = 0xcbf29ce484222325u;
  for (const char byte : text) {
    hash ^= static_cast<unsigned char>(byte);
    hash *= 0x100000001b3u;
  }
  return fmt::format("{:012x}", (hash ^ (hash >> 48)) & 0xffffffffffffu);
}

}  // namespace lugwise
