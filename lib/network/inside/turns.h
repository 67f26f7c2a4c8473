// Which point's turn is it to be eliminated: that with the fewest neighbours, of several the lowest. Private to this room.
//
// A heap would do, and in a large loom takes half of the time: its entries lie far apart and most are out of date. Here each
// number of neighbours has a bit a point, with a bit above it for each word that is not empty, and so on up to one word.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <queue>
#include <utility>
#include <vector>

namespace lugwise::network::inside {

class Turns {
 public:
  // For points below that number, none of them waiting yet.
  explicit Turns(std::size_t points);

  // The point waits, or goes on waiting, with so many neighbours now.
  void put(std::uint32_t point, std::size_t neighbours);

  // Whose turn it is; it waits no longer. None: nobody waits.
  std::optional<std::uint32_t> take();

 private:
  // A mesh so wide is rare: those with more neighbours stand in a heap.
  static constexpr std::uint32_t kFew = 32;
  static constexpr std::uint32_t kAbsent = 0xffffffff;

  std::uint64_t* row(std::size_t neighbours, std::size_t level) {
    return bits_.data() + neighbours * words_ + levels_[level];
  }
  void set(std::uint32_t point, std::size_t neighbours);
  void clear(std::uint32_t point, std::size_t neighbours);
  std::uint32_t lowest(std::size_t neighbours);

  // Where in a row each begins: a bit a point, a bit a word of those, and so on to one word.
  std::array<std::size_t, 6> levels_{};
  std::size_t height_ = 0;  // levels in use
  std::size_t words_ = 0;   // of all levels together
  std::vector<std::uint64_t> bits_;
  std::vector<std::uint32_t> waits_with_;  // so many neighbours, or kAbsent
  std::size_t least_ = kFew;               // no point waits with fewer
  using Turn = std::pair<std::uint32_t, std::uint32_t>;
  std::priority_queue<Turn, std::vector<Turn>, std::greater<>>
      many_;  // out of date where waits_with_ says otherwise
};

}  // namespace lugwise::network::inside
