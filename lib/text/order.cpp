#include "text/order.h"

#include <cstddef>

namespace lugwise::text {
namespace {

bool is_digit(char letter) { return letter >= '0' && letter <= '9'; }

// The number at this place without its leading zeros.
std::string_view number_at(std::string_view text, std::size_t at) {
  std::size_t end = at;
  while (end < text.size() && is_digit(text[end])) ++end;
  while (at + 1 < end && text[at] == '0') ++at;
  return text.substr(at, end - at);
}

std::size_t end_of_number(std::string_view text, std::size_t at) {
  while (at < text.size() && is_digit(text[at])) ++at;
  return at;
}

}  // namespace

bool stands_before(std::string_view one, std::string_view other) {
  std::size_t i = 0;
  std::size_t j = 0;
  while (i < one.size() && j < other.size()) {
    if (is_digit(one[i]) && is_digit(other[j])) {
      const std::string_view x = number_at(one, i);
      const std::string_view y = number_at(other, j);
      if (x.size() != y.size()) return x.size() < y.size();
      if (x != y) return x < y;
      i = end_of_number(one, i);
      j = end_of_number(other, j);
    } else {
      if (one[i] != other[j])
        return static_cast<unsigned char>(one[i]) < static_cast<unsigned char>(other[j]);
      ++i;
      ++j;
    }
  }
  if (i < one.size() || j < other.size()) return j < other.size();
  return one < other;
}

}  // namespace lugwise::text
