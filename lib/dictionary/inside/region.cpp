#include "dictionary/inside/region.h"

#include <algorithm>

namespace lugwise::dictionary::inside {

std::vector<Corners> solve_region(std::uint32_t places, const std::vector<Link>& links) {
  const std::size_t n = places;
  std::vector<Corners> siemens(n * n, Corners{});
  std::vector<std::vector<std::uint32_t>> arms(n);
  std::vector<char> joined(n * n, 0);
  const auto join = [&](std::uint32_t a, std::uint32_t b) {
    if (joined[a * n + b]) return;
    joined[a * n + b] = joined[b * n + a] = 1;
    arms[a].push_back(b);
    arms[b].push_back(a);
  };
  for (const Link& link : links) {
    if (link.a == link.b) continue;
    join(link.a, link.b);
    for (std::size_t c = 0; c < 3; ++c) {
      siemens[link.a * n + link.b][c] += link.siemens[c];
      siemens[link.b * n + link.a][c] = siemens[link.a * n + link.b][c];
    }
  }

  // Each place becomes a mesh of its neighbours, the one with the fewest first.
  struct Star {
    std::uint32_t centre;
    std::vector<std::uint32_t> arms;
    Corners total{};
  };
  std::vector<Star> stars;
  stars.reserve(n);
  std::vector<char> gone(n, 0);
  for (std::size_t turn = 0; turn < n; ++turn) {
    std::uint32_t next = 0;
    std::size_t fewest = n + 1;
    for (std::uint32_t p = 0; p < n; ++p) {
      if (gone[p] || arms[p].size() >= fewest) continue;
      next = p;
      fewest = arms[p].size();
      if (fewest <= 1) break;
    }
    gone[next] = 1;
    Star star{next, std::move(arms[next]), {}};
    for (std::uint32_t arm : star.arms) {
      for (std::size_t c = 0; c < 3; ++c) star.total[c] += siemens[next * n + arm][c];
      arms[arm].erase(std::find(arms[arm].begin(), arms[arm].end(), next));
    }
    for (std::size_t i = 0; i < star.arms.size(); ++i) {
      for (std::size_t j = 0; j < i; ++j) {
        const std::uint32_t a = star.arms[i];
        const std::uint32_t b = star.arms[j];
        join(a, b);
        for (std::size_t c = 0; c < 3; ++c) {
          if (star.total[c] > 0)
            siemens[a * n + b][c] += siemens[next * n + a][c] / star.total[c] * siemens[next * n + b][c];
          siemens[b * n + a][c] = siemens[a * n + b][c];
        }
      }
    }
    stars.push_back(std::move(star));
  }

  // They come back one by one, the last first. With p the shares of the star's arms and S its total,
  // R(k,x) = 1/S + sum p_j R(j,x) - 1/2 sum p_i p_j R(i,j); the subtraction is harmless, as lib/network says.
  std::vector<Corners> ohms(n * n, Corners{});
  std::vector<std::uint32_t> back;
  back.reserve(n);
  std::vector<Corners> shares;
  for (std::size_t k = stars.size(); k-- > 0;) {
    const Star& star = stars[k];
    const std::size_t count = star.arms.size();
    shares.assign(count, Corners{});
    Corners first{};
    for (std::size_t c = 0; c < 3; ++c) {
      first[c] = star.total[c] > 0 ? 1 / star.total[c] : kApart;
      if (star.total[c] <= 0) continue;
      for (std::size_t j = 0; j < count; ++j)
        shares[j][c] = siemens[star.centre * n + star.arms[j]][c] / star.total[c];
      for (std::size_t i = 0; i < count; ++i) {
        for (std::size_t j = 0; j < i; ++j) {
          const double both = shares[i][c] * shares[j][c];
          if (both > 0) first[c] -= both * ohms[star.arms[i] * n + star.arms[j]][c];
        }
      }
    }
    for (std::uint32_t x : back) {
      Corners sum = first;
      for (std::size_t j = 0; j < count; ++j) {
        const Corners& far = ohms[star.arms[j] * n + x];
        for (std::size_t c = 0; c < 3; ++c) {
          if (shares[j][c] > 0) sum[c] += shares[j][c] * far[c];
        }
      }
      ohms[star.centre * n + x] = ohms[x * n + star.centre] = sum;
    }
    back.push_back(star.centre);
  }
  return ohms;
}

}  // namespace lugwise::dictionary::inside
