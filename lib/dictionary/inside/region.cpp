#include "dictionary/inside/region.h"

#include <algorithm>

namespace lugwise::dictionary::inside {
namespace {

// What is left of the places, each with the others it has resistors to, and the stars of those that are gone.
class Mesh {
 public:
  Mesh(std::uint32_t places, const std::vector<Link>& links)
      : n_(places), siemens_(n_ * n_, Corners{}), joined_(n_ * n_, 0), arms_(n_ * n_), count_(n_, 0) {
    for (const Link& link : links) {
      if (link.a == link.b) continue;
      join(link.a, link.b);
      for (std::size_t c = 0; c < 3; ++c) {
        siemens_[link.a * n_ + link.b][c] += link.siemens[c];
        siemens_[link.b * n_ + link.a][c] = siemens_[link.a * n_ + link.b][c];
      }
    }
  }

  // Each place becomes a mesh of its neighbours, the one with the fewest first.
  void eliminate() {
    turns_.reserve(n_);
    totals_.resize(n_);
    std::vector<char> gone(n_, 0);
    for (std::size_t turn = 0; turn < n_; ++turn) {
      std::uint32_t next = 0;
      std::size_t fewest = n_ + 1;
      for (std::uint32_t p = 0; p < n_; ++p) {
        if (gone[p] || count_[p] >= fewest) continue;
        next = p;
        fewest = count_[p];
        if (fewest <= 1) break;
      }
      gone[next] = 1;
      turns_.push_back(next);
      replace(next);
    }
  }

  // They come back one by one, the last first. With p the shares of the star's arms and S its total,
  // R(k,x) = 1/S + sum p_j R(j,x) - 1/2 sum p_i p_j R(i,j); the subtraction is harmless, as lib/network says.
  std::vector<Corners> ohms() const {
    std::vector<Corners> ohms(n_ * n_, Corners{});
    std::vector<Corners> shares;
    for (std::size_t k = turns_.size(); k-- > 0;) {
      const std::uint32_t centre = turns_[k];
      const std::uint32_t* const arms = arms_.data() + centre * n_;
      const Corners first = shared(centre, ohms, shares);
      for (std::size_t back = turns_.size(); --back > k;) {
        const std::uint32_t x = turns_[back];
        Corners sum = first;
        for (std::size_t j = 0; j < shares.size(); ++j) {
          const Corners& far = ohms[arms[j] * n_ + x];
          for (std::size_t c = 0; c < 3; ++c) {
            if (shares[j][c] > 0) sum[c] += shares[j][c] * far[c];
          }
        }
        ohms[centre * n_ + x] = ohms[x * n_ + centre] = sum;
      }
    }
    return ohms;
  }

 private:
  void join(std::uint32_t a, std::uint32_t b) {
    if (joined_[a * n_ + b]) return;
    joined_[a * n_ + b] = joined_[b * n_ + a] = 1;
    arms_[a * n_ + count_[a]++] = b;
    arms_[b * n_ + count_[b]++] = a;
  }

  // The arms of what is gone stay as they were at its turn.
  void replace(std::uint32_t centre) {
    const std::uint32_t* const arms = arms_.data() + centre * n_;
    Corners& total = totals_[centre];
    for (std::size_t i = 0; i < count_[centre]; ++i) {
      for (std::size_t c = 0; c < 3; ++c) total[c] += siemens_[centre * n_ + arms[i]][c];
      std::uint32_t* const of_arm = arms_.data() + arms[i] * n_;
      std::uint32_t* const end = of_arm + count_[arms[i]]--;
      std::uint32_t* const found = std::find(of_arm, end, centre);
      std::copy(found + 1, end, found);
    }
    for (std::size_t i = 0; i < count_[centre]; ++i) {
      for (std::size_t j = 0; j < i; ++j) {
        const std::uint32_t a = arms[i];
        const std::uint32_t b = arms[j];
        join(a, b);
        for (std::size_t c = 0; c < 3; ++c) {
          if (total[c] > 0)
            siemens_[a * n_ + b][c] += siemens_[centre * n_ + a][c] / total[c] * siemens_[centre * n_ + b][c];
          siemens_[b * n_ + a][c] = siemens_[a * n_ + b][c];
        }
      }
    }
  }

  // The shares of a star's arms, and what is the same in the resistances from its centre to anywhere.
  Corners shared(std::uint32_t centre, const std::vector<Corners>& ohms, std::vector<Corners>& shares) const {
    const std::uint32_t* const arms = arms_.data() + centre * n_;
    shares.assign(count_[centre], Corners{});
    Corners first{};
    for (std::size_t c = 0; c < 3; ++c) {
      const double total = totals_[centre][c];
      first[c] = total > 0 ? 1 / total : kOpen;
      if (total <= 0) continue;
      for (std::size_t j = 0; j < shares.size(); ++j)
        shares[j][c] = siemens_[centre * n_ + arms[j]][c] / total;
      for (std::size_t i = 0; i < shares.size(); ++i) {
        for (std::size_t j = 0; j < i; ++j) {
          const double both = shares[i][c] * shares[j][c];
          if (both > 0) first[c] -= both * ohms[arms[i] * n_ + arms[j]][c];
        }
      }
    }
    return first;
  }

  std::size_t n_;
  std::vector<Corners> siemens_;      // row by row
  std::vector<char> joined_;          // row by row
  std::vector<std::uint32_t> arms_;   // row by row, as many of each row as count_ says
  std::vector<std::size_t> count_;    // by place
  std::vector<std::uint32_t> turns_;  // places as they went
  std::vector<Corners> totals_;       // of a star's arms, by its centre
};

}  // namespace

std::vector<Corners> solve_region(std::uint32_t places, const std::vector<Link>& links) {
  Mesh mesh(places, links);
  mesh.eliminate();
  return mesh.ohms();
}

}  // namespace lugwise::dictionary::inside
