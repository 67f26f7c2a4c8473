// SHA-256 (FIPS 180-4), by which seeds are spread and answers sealed. Private to this room.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

namespace lugwise::exercise::inside {

using Digest = std::array<std::uint8_t, 32>;

Digest digest(std::string_view bytes);

// The first 64 bits of it.
std::uint64_t digest_number(std::string_view bytes);

}  // namespace lugwise::exercise::inside
