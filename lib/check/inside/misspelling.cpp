// Names that nothing checks, each used once, that are one slip of the fingers from another.
//
// Names of points and parts that don't exist are errors where the netlist is read. Left are the names a person makes up
// by using them: covers, colours, and parts as they are declared.

#include <algorithm>
#include <cctype>
#include <map>
#include <set>
#include <unordered_map>

#include <fmt/format.h>

#include "check/inside/rules.h"

namespace lugwise::check::inside {

namespace {

constexpr std::size_t kLongestName = 64;
constexpr std::size_t kMostNear = 64;  // names looked at for each spelling with a letter left out
constexpr std::size_t kLeastWord =
    4;  // shorter words differ by a letter too often: `a` and `b`, `hot` and `pot`

struct Use {
  std::string name;
  int times = 0;
  Span at;
  bool reserved = false;  // a word of the netlist's own
};

std::string lower(const std::string& name) {
  std::string text = name;
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

bool letter(char c) {
  return std::isalpha(static_cast<unsigned char>(c)) || (static_cast<unsigned char>(c) & 0x80U);
}

// The word (a run of letters) around a place.
std::size_t word_length(const std::string& name, std::size_t at) {
  std::size_t from = std::min(at, name.size());
  std::size_t to = from;
  while (from > 0 && letter(name[from - 1])) --from;
  while (to < name.size() && letter(name[to])) ++to;
  return to - from;
}

// One letter put in, left out, or mistaken, or two exchanged, within a word and after its first letter; or case alone.
bool one_slip(const std::string& first, const std::string& second) {
  const std::string a = lower(first);
  const std::string b = lower(second);
  if (a == b) return first != second;
  std::size_t head = 0;
  while (head < a.size() && head < b.size() && a[head] == b[head]) ++head;
  std::size_t tail = 0;
  while (tail + head < a.size() && tail + head < b.size() && a[a.size() - 1 - tail] == b[b.size() - 1 - tail])
    ++tail;
  const std::string x = a.substr(head, a.size() - head - tail);
  const std::string y = b.substr(head, b.size() - head - tail);
  const bool one = x.size() <= 1 && y.size() <= 1;
  const bool swapped = x.size() == 2 && y.size() == 2 && x[0] == y[1] && x[1] == y[0];
  if (!one && !swapped) return false;
  if (!std::all_of(x.begin(), x.end(), letter) || !std::all_of(y.begin(), y.end(), letter)) return false;
  if (head == 0 || !letter(a[head - 1])) return false;
  return std::max(word_length(a, head), word_length(b, head)) >= kLeastWord;
}

// The names one slip away are among those that share a spelling with one letter left out: no name is compared with all.
class Neighbours {
 public:
  explicit Neighbours(const std::vector<Use>& uses) : uses_(uses) {
    for (std::uint32_t i = 0; i < uses.size(); ++i) {
      for (const std::string& key : keys(uses[i].name)) by_key_[key].push_back(i);
    }
  }

  // The likeliest name that uses[i] was meant to be: a reserved word, or if it is used once, the most used of the names
  // used more often or before it.
  const Use* meant(std::uint32_t i) const {
    const Use* best = nullptr;
    for (const std::string& key : keys(uses_[i].name)) {
      const std::vector<std::uint32_t>& near = by_key_.at(key);
      for (std::size_t n = 0; n < near.size() && n < kMostNear; ++n) {
        const std::uint32_t j = near[n];
        const Use& other = uses_[j];
        const bool likelier = other.reserved || (uses_[i].times == 1 && (other.times > 1 || j < i));
        if (j == i || !likelier || !one_slip(uses_[i].name, other.name)) continue;
        if (!best || other.reserved || (!best->reserved && other.times > best->times)) best = &other;
      }
    }
    return best;
  }

 private:
  static std::vector<std::string> keys(const std::string& name) {
    if (name.size() > kLongestName) return {};
    const std::string whole = lower(name);
    std::vector<std::string> made{whole};
    for (std::size_t i = 0; i < whole.size(); ++i) {
      if (letter(whole[i])) made.push_back(whole.substr(0, i) + whole.substr(i + 1));
    }
    return made;
  }

  const std::vector<Use>& uses_;
  std::unordered_map<std::string, std::vector<std::uint32_t>> by_key_;
};

// Uses counted by name, in the order of first use.
class Count {
 public:
  void reserve_word(const std::string& name) { use(name, {}).reserved = true; }
  Use& use(const std::string& name, Span at) {
    const auto [known, fresh] = place_.emplace(name, uses_.size());
    if (fresh) uses_.push_back({name, 0, at, false});
    ++uses_[known->second].times;
    return uses_[known->second];
  }
  const std::vector<Use>& uses() const { return uses_; }

 private:
  std::unordered_map<std::string, std::size_t> place_;
  std::vector<Use> uses_;
};

void warn_slips(const char* thing, const std::vector<Use>& uses, Diagnostics& found) {
  if (std::none_of(uses.begin(), uses.end(), [](const Use& use) { return use.reserved || use.times == 1; }))
    return;
  const Neighbours neighbours(uses);
  for (std::uint32_t i = 0; i < uses.size(); ++i) {
    if (uses[i].reserved) continue;
    if (const Use* meant = neighbours.meant(i)) {
      found.warning(
          "W111", uses[i].at,
          fmt::format("{} '{}' looks like a misspelling of '{}': give both one name, or names less alike",
                      thing, uses[i].name, meant->name));
    }
  }
}

// A cover counts once for each part under it.
void misspelt_covers(const Harness& harness, Diagnostics& found) {
  Count count;
  for (const char* word : {"outside", "cavity", "hidden"}) count.reserve_word(word);
  std::set<std::pair<std::string, std::optional<PartId>>> seen;
  for (const Point& point : harness.points()) {
    if (point.reach.kind != ReachKind::Cover) continue;
    const std::optional<PartId> part = point.on ? harness[*point.on].part : point.part;
    if (seen.emplace(point.reach.cover, part).second) count.use(point.reach.cover, point.at);
  }
  warn_slips("the cover", count.uses(), found);
}

void misspelt_colours(const Harness& harness, Diagnostics& found) {
  Count count;
  for (const Wire& wire : harness.wires()) {
    if (!wire.colour.empty()) count.use(wire.colour, wire.at);
  }
  warn_slips("the colour", count.uses(), found);
}

// A part with one joint at most, beside one of its kind with a name one slip away: the same part written twice.
void misspelt_parts(const Drawing& drawing, Diagnostics& found) {
  const Harness& harness = drawing.harness();
  const auto joints = [&](PartId id) {
    int sum = 0;
    for (PointId point : harness[id].points) sum += drawing.joints_at(point);
    return std::max(1, sum);
  };
  for (std::size_t kind = 0; kind < kPartKinds; ++kind) {
    const std::vector<PartId>& parts = drawing.parts(static_cast<PartKind>(kind));
    if (std::none_of(parts.begin(), parts.end(), [&](PartId id) { return joints(id) == 1; })) continue;
    std::vector<Use> uses;
    for (PartId id : parts) uses.push_back({harness[id].name, joints(id), harness[id].at, false});
    warn_slips("the part", uses, found);
  }
}

}  // namespace

void misspelt_names(const Drawing& drawing, Diagnostics& found) {
  misspelt_covers(drawing.harness(), found);
  misspelt_colours(drawing.harness(), found);
  misspelt_parts(drawing, found);
}

}  // namespace lugwise::check::inside
