// Volts at every point for one ampere from one point to another. Private to this room.
//
// Each point but the two is replaced by the mesh of its neighbours, those with the fewest first, and comes back last to
// first as the mean of its neighbours: the star-mesh transform, with nothing subtracted. Written for the thousands of small
// circuits that a list of effects listens to; lib/network answers more, slower.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace lugwise::hearing::inside {

class Potentials {
 public:
  struct Link {
    std::uint32_t a = 0;
    std::uint32_t b = 0;
    double ohms = 0;  // nothing makes two points one
  };

  // By point; none where there is no way from `from` to `to`, or no ohms between them. Points that hang on neither are at
  // nought. Valid until the next call.
  const std::vector<double>* solve(std::size_t points, const std::vector<Link>& links, std::uint32_t from,
                                   std::uint32_t to);

 private:
  struct Arm {
    std::uint32_t to;
    double siemens;
  };
  // The arms of one point. Almost all points have few, and those take no memory of their own.
  class Arms {
   public:
    std::size_t size() const { return count_; }
    bool empty() const { return count_ == 0; }
    Arm* begin() { return many_.empty() ? few_.data() : many_.data(); }
    Arm* end() { return begin() + count_; }
    Arm& front() { return *begin(); }
    Arm& back() { return *(end() - 1); }
    void pop_back() { --count_; }
    void clear() { count_ = 0; }
    void push_back(const Arm& arm) {
      if (many_.empty() && count_ == kFew) many_.assign(few_.begin(), few_.end());
      if (!many_.empty() && count_ == many_.size()) many_.resize(2 * many_.size());
      *end() = arm;
      ++count_;
    }

   private:
    static constexpr std::size_t kFew = 6;
    std::size_t count_ = 0;
    std::array<Arm, kFew> few_;
    std::vector<Arm> many_;  // once there were more
  };
  struct Star {
    std::uint32_t centre;
    std::uint32_t first, count;  // of stars_arms_
    double total;
  };

  std::uint32_t root(std::uint32_t point);
  void join(std::uint32_t a, std::uint32_t b, double siemens);
  void replace(std::uint32_t centre);

  std::vector<std::uint32_t> one_;  // points that are one: the way to the first of them
  std::vector<Arms> arms_;          // what is left of the circuit
  std::vector<Star> stars_;
  std::vector<Arm> star_arms_;
  std::vector<std::uint32_t> few_;  // points with two neighbours or fewer
  std::vector<char> gone_;
  std::vector<double> volts_;
};

}  // namespace lugwise::hearing::inside
