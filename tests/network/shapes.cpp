#include "shapes.h"

#include <cmath>

namespace lugwise {

double Dice::ohms() { return std::pow(10, -1 + 4 * share()); }

Shape path(std::uint32_t n) {
  Shape shape{n, {}};
  for (std::uint32_t i = 0; i + 1 < n; ++i) shape.add(i, i + 1);
  return shape;
}

Shape cycle(std::uint32_t n) {
  Shape shape = path(n);
  shape.add(n - 1, 0);
  return shape;
}

Shape complete(std::uint32_t n) { return complete_multipartite(n, 1); }

Shape complete_bipartite(std::uint32_t m, std::uint32_t n) {
  Shape shape{m + n, {}};
  for (std::uint32_t i = 0; i < m; ++i) {
    for (std::uint32_t j = 0; j < n; ++j) shape.add(i, m + j);
  }
  return shape;
}

Shape complete_multipartite(std::uint32_t sides, std::uint32_t n) {
  Shape shape{sides * n, {}};
  for (std::uint32_t i = 0; i < shape.points; ++i) {
    for (std::uint32_t j = i + 1; j < shape.points; ++j) {
      if (i / n != j / n) shape.add(i, j);
    }
  }
  return shape;
}

Shape wheel(std::uint32_t n) {
  Shape shape = fan(n);
  shape.add(n - 1, 0);
  return shape;
}

Shape fan(std::uint32_t n) {
  Shape shape = path(n);
  shape.points = n + 1;
  for (std::uint32_t i = 0; i < n; ++i) shape.add(i, n);
  return shape;
}

Shape gear(std::uint32_t n) {
  Shape shape = cycle(2 * n);
  shape.points = 2 * n + 1;
  for (std::uint32_t i = 0; i < n; ++i) shape.add(2 * i, 2 * n);
  return shape;
}

Shape antiprism(std::uint32_t n) {
  Shape shape{2 * n, {}};
  for (std::uint32_t i = 0; i < n; ++i) {
    const std::uint32_t next = (i + 1) % n;
    shape.add(i, next);
    shape.add(n + i, n + next);
    shape.add(i, n + i);
    shape.add(next, n + i);
  }
  return shape;
}

Shape crown(std::uint32_t n) {
  Shape shape{2 * n, {}};
  for (std::uint32_t i = 0; i < n; ++i) {
    for (std::uint32_t j = 0; j < n; ++j) {
      if (i != j) shape.add(i, n + j);
    }
  }
  return shape;
}

Shape grid(std::uint32_t rows, std::uint32_t columns) {
  Shape shape{rows * columns, {}};
  for (std::uint32_t i = 0; i < rows; ++i) {
    for (std::uint32_t j = 0; j < columns; ++j) {
      const std::uint32_t at = i * columns + j;
      if (j + 1 < columns) shape.add(at, at + 1);
      if (i + 1 < rows) shape.add(at, at + columns);
    }
  }
  return shape;
}

Shape generalized_petersen(std::uint32_t n, std::uint32_t k) {
  Shape shape{2 * n, {}};
  for (std::uint32_t i = 0; i < n; ++i) {
    shape.add(i, (i + 1) % n);
    shape.add(i, n + i);
    shape.add(n + i, n + (i + k) % n);
  }
  return shape;
}

Shape icosahedron() {
  Shape shape = antiprism(5);
  shape.points = 12;
  for (std::uint32_t i = 0; i < 5; ++i) {
    shape.add(i, 10);
    shape.add(5 + i, 11);
  }
  return shape;
}

Shape heawood() {
  Shape shape = cycle(14);
  for (std::uint32_t i = 0; i < 14; i += 2) shape.add(i, (i + 5) % 14);
  return shape;
}

std::vector<std::uint32_t> steps_from(const Shape& shape, std::uint32_t from) {
  std::vector<std::uint32_t> steps(shape.points, shape.points);
  steps[from] = 0;
  for (bool changed = true; changed;) {
    changed = false;
    for (const Resistor& r : shape.resistors) {
      for (const auto& [x, y] : {std::pair(r.a, r.b), std::pair(r.b, r.a)}) {
        if (steps[y] <= steps[x] + 1) continue;
        steps[y] = steps[x] + 1;
        changed = true;
      }
    }
  }
  return steps;
}

Shape random_connected(Dice& dice, std::uint32_t points, std::uint32_t loops) {
  Shape shape{points, {}};
  for (std::uint32_t i = 1; i < points; ++i) shape.add(dice.below(i), i, dice.ohms());
  for (std::uint32_t i = 0; i < loops; ++i) shape.add(dice.below(points), dice.below(points), dice.ohms());
  return shape;
}

Shape random_any(Dice& dice, std::uint32_t points, std::uint32_t resistors) {
  Shape shape{points, {}};
  for (std::uint32_t i = 0; i < resistors; ++i) {
    shape.add(dice.below(points), dice.below(points), dice.below(8) == 0 ? 0 : dice.ohms());
  }
  return shape;
}

}  // namespace lugwise
