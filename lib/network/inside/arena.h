// Memory for very many short rows that come and go together: they lie side by side, and none is given back before all are.
// What std::pmr::monotonic_buffer_resource does, which the page's library has not. Private to this room.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <memory>
#include <type_traits>
#include <vector>

namespace lugwise::network::inside {

class Arena {
 public:
  Arena() = default;
  Arena(const Arena&) = delete;
  Arena& operator=(const Arena&) = delete;

  void* allocate(std::size_t bytes) {
    constexpr std::size_t kAlign = alignof(std::max_align_t);
    bytes = (bytes + kAlign - 1) / kAlign * kAlign;
    if (bytes > left_) {
      left_ = std::max(bytes, 2 * last_);
      last_ = left_;
      further_.push_back(std::make_unique<std::byte[]>(left_));
      next_ = further_.back().get();
    }
    std::byte* const here = next_;
    next_ += bytes;
    left_ -= bytes;
    return here;
  }

 private:
  static constexpr std::size_t kFirst = 4096;

  alignas(std::max_align_t) std::array<std::byte, kFirst> first_;
  std::vector<std::unique_ptr<std::byte[]>> further_;
  std::byte* next_ = first_.data();
  std::size_t left_ = kFirst;
  std::size_t last_ = kFirst;
};

// For a vector whose memory is an arena's, which must outlive it.
template <class T>
class ArenaAllocator {
 public:
  using value_type = T;
  using propagate_on_container_move_assignment = std::true_type;
  using propagate_on_container_swap = std::true_type;

  ArenaAllocator(Arena& arena) : arena_(&arena) {}
  template <class Other>
  ArenaAllocator(const ArenaAllocator<Other>& other) : arena_(&other.arena()) {}

  T* allocate(std::size_t count) { return static_cast<T*>(arena_->allocate(count * sizeof(T))); }
  void deallocate(T*, std::size_t) {}

  Arena& arena() const { return *arena_; }
  friend bool operator==(const ArenaAllocator& a, const ArenaAllocator& b) { return a.arena_ == b.arena_; }

 private:
  Arena* arena_;
};

}  // namespace lugwise::network::inside
