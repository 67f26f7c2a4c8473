// A short mark that tells one text from another: twelve hexadecimal digits, the same everywhere and always.
//
// Not proof against someone who wants two texts to have the same one.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace lugwise {

// A number that tells what was added from anything else: FNV-1a of 64 bits (IETF draft-eastlake-fnv: the offset and the
// prime).
class Fingerprint {
 public:
  void add(std::string_view bytes) {
    for (const char byte : bytes) add_byte(static_cast<unsigned char>(byte));
  }
  void add_byte(unsigned char byte) { value_ = (value_ ^ byte) * 0x100000001b3u; }
  std::uint64_t value() const { return value_; }

 private:
  std::uint64_t value_ = 0xcbf29ce484222325u;
};

std::string fingerprint(std::string_view text);

}  // namespace lugwise
