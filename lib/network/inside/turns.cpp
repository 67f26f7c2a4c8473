#include "network/inside/turns.h"

#include <algorithm>
#include <bit>

namespace lugwise::network::inside {

Turns::Turns(std::size_t points) : waits_with_(points, kAbsent) {
  for (std::size_t of = points;;) {
    of = std::max<std::size_t>(1, (of + 63) / 64);
    levels_[height_++] = words_;
    words_ += of;
    if (of == 1) break;
  }
  bits_.assign(kFew * words_, 0);
}

void Turns::put(std::uint32_t point, std::size_t neighbours) {
  const auto now = static_cast<std::uint32_t>(neighbours);
  const std::uint32_t before = std::exchange(waits_with_[point], now);
  if (before == now) return;
  if (before < kFew) clear(point, before);
  if (now < kFew) {
    set(point, now);
    least_ = std::min<std::size_t>(least_, now);
  } else {
    many_.emplace(now, point);
  }
}

std::optional<std::uint32_t> Turns::take() {
  while (least_ < kFew && *row(least_, height_ - 1) == 0) ++least_;
  if (least_ < kFew) {
    const std::uint32_t point = lowest(least_);
    clear(point, least_);
    waits_with_[point] = kAbsent;
    return point;
  }
  while (!many_.empty()) {
    const auto [neighbours, point] = many_.top();
    many_.pop();
    if (waits_with_[point] != neighbours) continue;
    waits_with_[point] = kAbsent;
    return point;
  }
  return std::nullopt;
}

void Turns::set(std::uint32_t point, std::size_t neighbours) {
  std::uint32_t at = point;
  for (std::size_t level = 0; level < height_; ++level, at /= 64)
    row(neighbours, level)[at / 64] |= std::uint64_t{1} << (at % 64);
}

void Turns::clear(std::uint32_t point, std::size_t neighbours) {
  std::uint32_t at = point;
  for (std::size_t level = 0; level < height_; ++level, at /= 64) {
    std::uint64_t& word = row(neighbours, level)[at / 64];
    word &= ~(std::uint64_t{1} << (at % 64));
    if (word != 0) return;
  }
}

// There is one.
std::uint32_t Turns::lowest(std::size_t neighbours) {
  std::size_t at = 0;
  for (std::size_t level = height_; level-- > 0;)
    at = at * 64 + static_cast<std::size_t>(std::countr_zero(row(neighbours, level)[at]));
  return static_cast<std::uint32_t>(at);
}

}  // namespace lugwise::network::inside
