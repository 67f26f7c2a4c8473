// What does each fault do to each reading? One setting of a harness, entry by entry.
//
// An entry is what two probes find with one fault in the circuit, at the least, usually and at most. A fault costs only the
// blocks it touches: what hangs on them stays as in the sound circuit, and an open at a cut is open by connection alone.
// Readings are sums along the way, so milliohms keep their digits beside megohms. Nothing is kept that is not asked.
//
//   const Chapter chapter(circuit, probes);
//   const Page page = chapter.page(fault, 0);
//   page.changes(2, 5) ? page(2, 5) : page.sound(2, 5);   // between probes[2] and probes[5]
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <vector>

#include "circuit/circuit.h"
#include "fault/fault.h"
#include "network/network.h"

namespace lugwise {

// No sound joint is less here, so that no two points are ever one. What circuits give as nothing is this.
inline constexpr Ohms kLeastOhms = 1e-9;

// The least, usual and most two probes find; open where there is no way. A module may join what is open without it: then
// only `low` is there. In mid-travel each half of a track is at its own least and most: no reading is outside, though not
// every limit is reached (docs/readings.md).
struct Found {
  std::optional<Ohms> low, nominal, high;
  bool open() const { return !low; }
  friend bool operator==(const Found&, const Found&) = default;
};

class Page;

// One circuit: a setting at a stage. Points that are not there are open to all others.
class Chapter {
 public:
  // `probes` are the points that pages have entries of, none twice; single entries can be asked of any point.
  explicit Chapter(const Circuit& circuit, std::vector<PointId> probes = {});
  ~Chapter();
  Chapter(Chapter&&) noexcept;
  Chapter& operator=(Chapter&&) noexcept;

  const std::vector<PointId>& probes() const;

  // One entry. `size` is that of a High or a Value, as with_fault takes it. Cost: the way between the probes and the
  // blocks that the fault touches. Throw NetworkTooDense.
  Found sound(PointId a, PointId b) const;
  Found with(const Fault& fault, double size, PointId a, PointId b) const;

  // All entries of the probes if all is sound, row by row. Throws as page() does.
  std::vector<Found> sound() const;

  // All entries of the probes with one fault. The first page makes the sound table of the probes; throws NetworkTooDense
  // where that is not to be had.
  Page page(const Fault& fault, double size) const;

  // Which of these faults can change a reading between two points, by their places in the list: for many questions about
  // one list. Valid for this chapter alone.
  struct Index {
    std::vector<std::vector<std::uint32_t>> by_block;
    std::vector<std::uint32_t> joining;  // those that join what is apart
  };
  Index index(const std::vector<Fault>& faults) const;
  std::vector<std::uint32_t> among(const Index& index, PointId a, PointId b) const;

  // Whether a fault can change a reading between two points at all: cheap, and never no where `with` differs from `sound`.
  bool touches(const Fault& fault, PointId a, PointId b) const;

 private:
  friend class Page;
  struct Body;
  std::unique_ptr<const Body> body_;
};

// The entries of one fault, by the places of two probes in Chapter::probes(). Valid as long as its chapter.
class Page {
 public:
  // Whether any entry may differ from the sound one.
  bool changes() const { return !gate_.empty(); }

  // Whether this one may.
  bool changes(std::size_t i, std::size_t j) const {
    return changes() && gate_[i] != gate_[j] && gate_[i] != kNone && gate_[j] != kNone;
  }

  Found operator()(std::size_t i, std::size_t j) const;
  Found sound(std::size_t i, std::size_t j) const;

 private:
  friend class Chapter;
  static constexpr std::uint32_t kNone = 0xffffffff;

  const Chapter::Body* body_ = nullptr;
  // Each probe hangs on one place of what the fault touches; between two places the ohms are solved anew.
  std::vector<std::uint32_t> gate_;         // of each probe, or kNone; empty: nothing is changed
  std::vector<std::array<double, 3>> out_;  // of each probe: to its gate
  std::size_t gates_ = 0;
  std::vector<std::array<double, 3>> between_;
};

}  // namespace lugwise
