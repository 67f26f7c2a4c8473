#include "diagnosis/inside/reading_table.h"

#include <algorithm>
#include <cmath>

#include "expectation/corner.h"

namespace lugwise::diagnosis::inside {
namespace {

constexpr std::uint32_t kNone = ~0U;

// Below this a branch's current can't be told from the drop across it.
constexpr Ohms kLeastOhms = 1e-3;

// How far off what a fault adds may be, and a path that only a fault makes.
constexpr double kOfFault = 0.2;

}  // namespace

ReadingTable::ReadingTable(const Harness& harness, Circuit circuit, const std::vector<PointId>& probes)
    : ReadingTable(probes, harness.elements().size(), std::move(circuit)) {}

ReadingTable::ReadingTable(const std::vector<PointId>& probes, std::size_t elements, Circuit circuit)
    : circuit_(std::move(circuit)), probes_(probes), seat_(circuit_.points, kNone) {
  for (PointId probe : probes) ask(probe);
  // Wherever a fault may lie: all that conducts, and all that may touch.
  for (const Branch& branch : circuit_.branches) {
    ask(branch.a);
    ask(branch.b);
  }
  branches_.resize(elements);
  for (std::uint32_t b = 0; b < circuit_.branches.size(); ++b) {
    const std::uint32_t element = circuit_.branches[b].element.index;
    if (element < elements) branches_[element].push_back(b);  // a short is no element
  }
  network_.emplace(network_at(circuit_, resistors_at(circuit_, Corner::Nominal)));
  std::vector<std::uint32_t> rows(asked_.begin(),
                                  asked_.begin() + static_cast<std::ptrdiff_t>(probes_.size()));
  for (const std::optional<double>& each : network_->all_pairs(rows, asked_))
    nominal_.push_back(each.value_or(kOpen));
  sound_reads_ = each_pair([&](std::size_t i, std::size_t j) { return sound(i, j); });
  detours_.resize(circuit_.branches.size());
}

ReadingTable ReadingTable::with(const Fault& fault, double size) const {
  return ReadingTable(probes_, branches_.size(), with_fault(circuit_, fault, size));
}

void ReadingTable::ask(PointId point) {
  if (seat_[point.index] != kNone) return;
  seat_[point.index] = static_cast<std::uint32_t>(asked_.size());
  asked_.push_back(point.index);
}

template <class Reads>
std::vector<double> ReadingTable::each_pair(const Reads& reads) const {
  const std::size_t n = probes_.size();
  std::vector<double> table(n * n, 0);
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = i + 1; j < n; ++j) table[i * n + j] = reads(i, j);
  }
  return table;
}

double ReadingTable::deviation(std::size_t i, std::size_t j, double ohms) const {
  if (std::isinf(ohms)) return 0;
  const std::size_t at = i * probes_.size() + j;
  const double fair = sound_reads_[at];
  if (half_width_.empty()) find_half_widths();
  const double half = half_width_[at];
  if (std::isinf(fair)) return (kOfFault * ohms + kShort.high) / 2;
  // Less than a sound one: what is left of the path is as far off as the whole was.
  if (ohms < fair) return (half * std::max(ohms / fair, 0.0) + kShort.high) / 2;
  return std::hypot(half, kOfFault * (ohms - fair)) / 2;
}

void ReadingTable::find_half_widths() const {
  std::vector<std::uint32_t> ends;
  for (PointId probe : probes_) ends.push_back(probe.index);
  const auto low =
      network_at(circuit_, loose_resistors_at(circuit_, Corner::Low), Modules::Joined).all_pairs(ends);
  const auto high = network_at(circuit_, loose_resistors_at(circuit_, Corner::High)).all_pairs(ends);
  half_width_.reserve(low.size());
  for (std::size_t k = 0; k < low.size(); ++k)
    half_width_.push_back(low[k] && high[k] ? static_cast<float>((*high[k] - *low[k]) / 2) : 0.0F);
}

double ReadingTable::between(std::size_t x, std::size_t y) const {
  if (x < probes_.size()) return sound(x, y);
  if (y < probes_.size()) return sound(y, x);
  return network_->resistance(asked_[x], asked_[y]).value_or(kOpen);
}

std::vector<double> ReadingTable::under(const Fault& fault, double size) const {
  if (is_worn_track(fault) || !acts_in(fault, circuit_)) return sound_reads_;
  if (fault.mode == Mode::Short) return shorted(fault);
  if (fault.mode == Mode::Misplaced) return solved(fault, size);
  if (!fault.element) return sound_reads_;
  const std::vector<std::uint32_t>& hit = branches_[fault.element->index];
  if (hit.empty()) return sound_reads_;
  const Branch& branch = circuit_.branches[hit.front()];
  if (hit.size() > 1 || branch.travel || branch.ohms.nominal < kLeastOhms) return solved(fault, size);
  return changed(fault, size, hit.front());
}

// The drop from x to y for one ampere from i to j; nothing where they are apart.
double ReadingTable::drop(std::size_t i, std::size_t j, std::size_t x, std::size_t y) const {
  const double twice = sound(i, y) - sound(i, x) + sound(j, x) - sound(j, y);
  return std::isfinite(twice) ? twice / 2 : 0;
}

double ReadingTable::detour(std::uint32_t branch) const {
  std::optional<double>& known = detours_[branch];
  if (!known) known = network_->detour(branch).value_or(kOpen);
  return *known;
}

std::vector<double> ReadingTable::shorted(const Fault& fault) const {
  const bool closed =
      fault.element && fault.site == Site::Contact && !branches_[fault.element->index].empty();
  if (!circuit_.has(fault.a) || !circuit_.has(fault.b) || closed) return sound_reads_;
  // A point that nothing conducts to is no seat.
  if (seat(fault.a) == kNone || seat(fault.b) == kNone) return solved(fault, 0);
  const std::size_t x = seat(fault.a);
  const std::size_t y = seat(fault.b);
  const double loop = kShort.nominal + between(x, y);
  return each_pair([&](std::size_t i, std::size_t j) {
    if (std::isinf(sound(i, j)))
      return std::min(sound(i, x) + sound(j, y), sound(i, y) + sound(j, x)) + kShort.nominal;
    const double v = drop(i, j, x, y);
    return v == 0 ? sound(i, j) : sound(i, j) - v * v / loop;
  });
}

// One branch of another resistance, or gone.
std::vector<double> ReadingTable::changed(const Fault& fault, double size, std::uint32_t number) const {
  const Branch& branch = circuit_.branches[number];
  const double r = branch.ohms.nominal;
  const double more = fault.mode == Mode::Open ? kOpen : fault.mode == Mode::High ? size : r * (size - 1);
  const double loop = r + detour(number);
  // All of the current in a cut, or a part of it that the way round takes over.
  const double by_current = std::isinf(loop) ? more : std::isinf(more) ? loop : more / (1 + more / loop);
  const std::size_t x = seat(branch.a);
  const std::size_t y = seat(branch.b);
  return each_pair([&](std::size_t i, std::size_t j) {
    double amperes = drop(i, j, x, y) / r;
    if (std::isinf(loop)) amperes = std::abs(amperes) > 0.5 ? 1 : 0;
    return amperes == 0 ? sound(i, j) : sound(i, j) + amperes * amperes * by_current;
  });
}

std::vector<double> ReadingTable::solved(const Fault& fault, double size) const {
  const Circuit faulty = with_fault(circuit_, fault, size);
  std::vector<std::uint32_t> ends;
  for (PointId probe : probes_) ends.push_back(probe.index);
  const auto table = network_at(faulty, resistors_at(faulty, Corner::Nominal)).all_pairs(ends);
  return each_pair([&](std::size_t i, std::size_t j) { return table[i * ends.size() + j].value_or(kOpen); });
}

}  // namespace lugwise::diagnosis::inside
