#include "plan/inside/fault_set.h"

#include <algorithm>
#include <bit>

namespace lugwise::plan::inside {

bool FaultSet::empty() const {
  return std::all_of(words().begin(), words().end(), [](std::uint64_t word) { return word == 0; });
}

std::size_t FaultSet::size() const {
  std::size_t count = 0;
  for (std::uint64_t word : words()) count += static_cast<std::size_t>(std::popcount(word));
  return count;
}

std::vector<std::size_t> FaultSet::list() const {
  std::vector<std::size_t> faults;
  for (std::size_t w = 0; w < words().size(); ++w) {
    for (std::uint64_t word = words()[w]; word != 0; word &= word - 1)
      faults.push_back(w * 64 + static_cast<std::size_t>(std::countr_zero(word)));
  }
  return faults;
}

bool FaultSet::contains(const FaultSet& other) const {
  for (std::size_t i = 0; i < words().size(); ++i) {
    if ((other.words()[i] & ~words()[i]) != 0) return false;
  }
  return true;
}

FaultSet& FaultSet::operator|=(const std::uint64_t* other) {
  for (std::size_t i = 0; i < words().size(); ++i) words()[i] |= other[i];
  return *this;
}

FaultSet& FaultSet::operator&=(const FaultSet& other) {
  for (std::size_t i = 0; i < words().size(); ++i) words()[i] &= other.words()[i];
  return *this;
}

FaultSet& FaultSet::operator-=(const std::uint64_t* other) {
  for (std::size_t i = 0; i < words().size(); ++i) words()[i] &= ~other[i];
  return *this;
}

std::size_t count_fresh(const std::uint64_t* candidate, const FaultSet& known) {
  std::size_t count = 0;
  for (std::size_t i = 0; i < known.words().size(); ++i) {
    count += static_cast<std::size_t>(std::popcount(candidate[i] & ~known.words()[i]));
  }
  return count;
}

std::size_t hash_of(const std::uint64_t* words, std::size_t count) {
  std::uint64_t mixed = 0;
  for (std::size_t w = 0; w < count; ++w) mixed = (mixed ^ words[w]) * 0x9e3779b97f4a7c15 ^ mixed >> 32;
  return static_cast<std::size_t>(mixed ^ mixed >> 32);
}

std::uint32_t FaultSets::add(const std::uint64_t* set) {
  if (2 * (size_ + 1) > seats_.size()) make_room();
  std::uint32_t& seat = seats_[seat_of(set)];
  if (seat == kNobody) {
    seat = static_cast<std::uint32_t>(size_++);
    sets_.insert(sets_.end(), set, set + words_);
  }
  return seat;
}

void FaultSets::make_room() {
  seats_.assign(std::max<std::size_t>(64, 2 * seats_.size()), kNobody);
  for (std::uint32_t number = 0; number < size_; ++number) seats_[seat_of((*this)[number])] = number;
}

// Where it is, or the first free seat after the one it is hashed to.
std::size_t FaultSets::seat_of(const std::uint64_t* set) const {
  std::size_t at = hash_of(set, words_);
  for (;; ++at) {
    at &= seats_.size() - 1;
    if (seats_[at] == kNobody || std::equal(set, set + words_, (*this)[seats_[at]])) return at;
  }
}

}  // namespace lugwise::plan::inside
