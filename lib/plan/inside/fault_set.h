// A set of faults, by their number. Private to this room.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace lugwise {

class FaultSet {
 public:
  FaultSet() = default;
  explicit FaultSet(std::size_t faults) : words_((faults + 63) / 64, 0) {}
  FaultSet(const std::uint64_t* words, std::size_t count) : words_(words, words + count) {}

  void add(std::size_t fault) { words_[fault / 64] |= std::uint64_t{1} << (fault % 64); }
  void drop(std::size_t fault) { words_[fault / 64] &= ~(std::uint64_t{1} << (fault % 64)); }
  bool has(std::size_t fault) const { return (words_[fault / 64] >> (fault % 64) & 1) != 0; }
  bool empty() const;
  std::size_t size() const;
  std::vector<std::size_t> list() const;
  bool contains(const FaultSet& other) const;
  bool meets(const FaultSet& other) const;

  FaultSet& operator|=(const FaultSet& other) { return *this |= other.words_.data(); }
  FaultSet& operator|=(const std::uint64_t* other);  // of the same length
  FaultSet& operator&=(const FaultSet& other);
  FaultSet& operator-=(const FaultSet& other) { return *this -= other.words_.data(); }
  FaultSet& operator-=(const std::uint64_t* other);
  friend bool operator==(const FaultSet&, const FaultSet&) = default;

  std::vector<std::uint64_t>& words() { return words_; }
  const std::vector<std::uint64_t>& words() const { return words_; }

 private:
  std::vector<std::uint64_t> words_;
};

// How many of the candidate's faults are not in `known` yet.
std::size_t count_fresh(const std::uint64_t* candidate, const FaultSet& known);

struct HashFaultSet {
  std::size_t operator()(const FaultSet& set) const;
};

}  // namespace lugwise
