// A set of faults, by their number. Private to this room.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace lugwise::plan::inside {

class FaultSet {
 public:
  FaultSet() = default;
  explicit FaultSet(std::size_t faults) : count_((faults + 63) / 64) {
    if (count_ > kFew) many_.assign(count_, 0);
  }
  FaultSet(const std::uint64_t* words, std::size_t count) : FaultSet(count * 64) { *this |= words; }

  void add(std::size_t fault) { words()[fault / 64] |= std::uint64_t{1} << (fault % 64); }
  void drop(std::size_t fault) { words()[fault / 64] &= ~(std::uint64_t{1} << (fault % 64)); }
  bool has(std::size_t fault) const { return (words()[fault / 64] >> (fault % 64) & 1) != 0; }
  bool empty() const;
  std::size_t size() const;
  std::vector<std::size_t> list() const;
  bool contains(const FaultSet& other) const;

  FaultSet& operator|=(const FaultSet& other) { return *this |= other.words().data(); }
  FaultSet& operator|=(const std::uint64_t* other);  // of the same length
  FaultSet& operator&=(const FaultSet& other);
  FaultSet& operator-=(const FaultSet& other) { return *this -= other.words().data(); }
  FaultSet& operator-=(const std::uint64_t* other);
  friend bool operator==(const FaultSet&, const FaultSet&) = default;

  std::span<std::uint64_t> words() { return {count_ > kFew ? many_.data() : few_.data(), count_}; }
  std::span<const std::uint64_t> words() const {
    return {count_ > kFew ? many_.data() : few_.data(), count_};
  }

 private:
  // A harness's faults fit here, and then a set is copied without the heap.
  static constexpr std::size_t kFew = 4;
  std::array<std::uint64_t, kFew> few_{};
  std::vector<std::uint64_t> many_;
  std::size_t count_ = 0;
};

// Many sets, of which those that are alike are kept once: among a survey's there are a hundred times as many as differ.
class FaultSets {
 public:
  explicit FaultSets(std::size_t faults = 0) : words_((faults + 63) / 64) {}

  // The number of a set: that of an earlier one that is alike, or the next.
  std::uint32_t add(const std::uint64_t* set);

  std::size_t size() const { return size_; }
  // Until the next is added.
  const std::uint64_t* operator[](std::uint32_t number) const { return sets_.data() + number * words_; }

 private:
  static constexpr std::uint32_t kNobody = 0xffffffff;

  void make_room();
  std::size_t seat_of(const std::uint64_t* set) const;

  std::size_t words_ = 0;  // a set's length
  std::size_t size_ = 0;
  std::vector<std::uint64_t> sets_;   // one after the other
  std::vector<std::uint32_t> seats_;  // numbers by what they are hashed to, or kNobody; a power of two
};

// Whether a set has any of these.
inline bool holds_any(const std::uint64_t* set, const FaultSet& of) {
  for (std::size_t w = 0; w < of.words().size(); ++w) {
    if ((set[w] & of.words()[w]) != 0) return true;
  }
  return false;
}

// Whether the outer has all of these that the inner has.
inline bool holds(const std::uint64_t* outer, const std::uint64_t* inner, const FaultSet& of) {
  for (std::size_t w = 0; w < of.words().size(); ++w) {
    if ((inner[w] & ~outer[w] & of.words()[w]) != 0) return false;
  }
  return true;
}

// Faster than std::popcount where the compiler may not count on the machine's own instruction.
inline std::size_t bits(std::uint64_t word) {
  word -= word >> 1 & 0x5555555555555555;
  word = (word & 0x3333333333333333) + (word >> 2 & 0x3333333333333333);
  word = (word + (word >> 4)) & 0x0f0f0f0f0f0f0f0f;
  return static_cast<std::size_t>(word * 0x0101010101010101 >> 56);
}

// How many of these a set has.
inline std::size_t count_of(const std::uint64_t* set, const FaultSet& of) {
  std::size_t sum = 0;
  for (std::size_t w = 0; w < of.words().size(); ++w) sum += bits(set[w] & of.words()[w]);
  return sum;
}

// How many of the candidate's faults are not in `known` yet.
std::size_t count_fresh(const std::uint64_t* candidate, const FaultSet& known);

// A word at a time: byte by byte, as Fingerprint does it for what is kept, takes eight times as long, and here only a seat is
// found.
std::size_t hash_of(const std::uint64_t* words, std::size_t count);

struct HashFaultSet {
  std::size_t operator()(const FaultSet& set) const {
    return hash_of(set.words().data(), set.words().size());
  }
};

}  // namespace lugwise::plan::inside
