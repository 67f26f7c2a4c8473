#include "intake/inside/meter_map.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "intake/display.h"
#include "intake/inside/fields.h"
#include "intake/prompt_word.h"
#include "intake/value.h"
#include "source/nearest.h"

namespace lugwise::intake::inside {
namespace {

constexpr int kFewestCounts = 200;
constexpr int kMostCounts = 10'000'000;
constexpr std::size_t kMostRanges = 20;
constexpr Ohms kHighestRange = 1e11;

struct Accuracy {
  double share;
  double digits;
};

// `0.8% + 2`, `0.8%`, `0.8% + 2 digits`.
std::optional<Accuracy> read_accuracy(const Node& node, Diagnostics& diagnostics) {
  const std::string* text = as_text(node, "an accuracy", diagnostics);
  if (!text) return std::nullopt;
  std::string rest = *text;
  for (const std::string_view sign : {"\xC2\xB1", "+-"}) {
    if (rest.starts_with(sign)) rest.erase(0, sign.size());
  }
  if (rest.starts_with('(') && rest.ends_with(')')) rest = rest.substr(1, rest.size() - 2);
  const std::size_t plus = rest.find('+');
  const Parsed<double> share = parse_share(std::string_view(rest).substr(0, plus));
  Parsed<double> digits{0.0, {}, {}};
  if (plus != std::string::npos) {
    std::string count = rest.substr(plus + 1);
    for (const std::string_view word : {"digits", "digit", "d"}) {
      if (!count.ends_with(word)) continue;
      count.resize(count.size() - word.size());
      break;
    }
    digits = parse_number(count);
  }
  if (!share.value || !digits.value) {
    diagnostics.error("M303", node.at, fmt::format("not an accuracy: '{}'", text->substr(0, 60)))
        .note("write a share of the reading and a count of last digits, as '0.8% + 2'");
    return std::nullopt;
  }
  constexpr double kMostShare = 0.5;
  constexpr double kMostDigits = 1000;
  if (*share.value > kMostShare || *digits.value > kMostDigits) {
    diagnostics.error("N309", node.at,
                      fmt::format("an accuracy must be at most 50% + 1000, not '{}'", *text));
    return std::nullopt;
  }
  return Accuracy{*share.value, *digits.value};
}

std::optional<int> read_counts(const Node& node, Diagnostics& diagnostics) {
  const auto counts =
      as_value(node, "the counts", "M301", parse_number,
               {kFewestCounts - 1, kMostCounts, "a whole number from 200 to 10000000"}, diagnostics);
  if (!counts) return std::nullopt;
  if (*counts != std::floor(*counts)) {
    diagnostics.error("M301", node.at, fmt::format("the counts must be a whole number, not '{}'", node.text));
    return std::nullopt;
  }
  const int whole = static_cast<int>(*counts);
  return whole % 10 == 9 ? whole + 1 : whole;  // up to 1999 are two thousand counts
}

std::optional<Ohms> read_range(const Node& node, Diagnostics& diagnostics) {
  return as_value(node, "a range", "N301", parse_ohms, {1, kHighestRange, "from 1 to 100G"}, diagnostics);
}

using RangeReader = std::optional<double> (*)(const Node&, Diagnostics&);

// Tops that rise, of ohms or of farads.
std::optional<std::vector<double>> read_ranges(const Node& node, RangeReader reader,
                                               Diagnostics& diagnostics) {
  if (!as_list(node, "the ranges", diagnostics)) return std::nullopt;
  if (node.items.empty() || node.items.size() > kMostRanges) {
    diagnostics.error("M302", node.at,
                      fmt::format("a meter has from 1 to {} ranges, not {}", kMostRanges, node.items.size()));
    return std::nullopt;
  }
  std::vector<double> tops;
  bool fine = true;
  const Node* before = nullptr;
  for (const Node& item : node.items) {
    const auto top = reader(item, diagnostics);
    if (!top) {
      fine = false;
      continue;
    }
    if (!tops.empty() && *top <= tops.back()) {
      diagnostics.error("M302", item.at,
                        fmt::format("ranges must rise: '{}' comes after '{}'", item.text, before->text));
      fine = false;
    }
    before = &item;
    tops.push_back(*top);
  }
  if (!fine) return std::nullopt;
  return tops;
}

// What the display says above a range: no more than a display holds, and nothing that it also shows as a value.
std::optional<std::string> read_over(const Node& node, Diagnostics& diagnostics) {
  const std::string* text = as_text(node, "'over'", diagnostics);
  if (!text) return std::nullopt;
  constexpr std::size_t kLongest = 12;
  // Nobody counts the blanks of a display, so what it means without them counts too.
  std::string close = *text;
  std::erase_if(close, [](char c) { return c == ' ' || c == '\t'; });
  const auto else_means = [](const std::string& typed) {
    const Parsed<Shown> means = parse_reading(typed);
    return means.value && means.value->shows != Shows::OverRange;
  };
  const bool other =
      else_means(*text) || else_means(close) || parse_reading(close).hint == "did you mean 'no beep'?";
  const bool word = begins_with_prompt_word(*text);
  if (!close.empty() && text->size() <= kLongest && !other && !word) return *text;
  diagnostics
      .error("M305", node.at,
             fmt::format("not what a display says above its range: '{}'", text->substr(0, 60)))
      .note(other  ? "that is what it shows of something else"
            : word ? "that is a word of a guided session"
                   : "up to 12 characters, as 'OL' or '1 .'");
  return std::nullopt;
}

// A lone 1 is one ohm where a range has no digit after the point.
bool shows_a_lone_one(const Meter& meter) {
  return std::any_of(meter.ranges.begin(), meter.ranges.end(),
                     [&](const Range& range) { return display(meter, range, 1) == "1"; });
}

// What most meters with capacitance ranges are sold as (common practice, no source).
constexpr Accuracy kUsualCapacitance{0.04, 3};

std::optional<double> read_capacitance_range(const Node& node, Diagnostics& diagnostics) {
  return as_value(node, "a capacitance range", "N302", parse_farads, {1e-11, 0.1, "from 10p to 100m"},
                  diagnostics);
}

// Whether nothing is wrong with what a meter says of capacitance; most say nothing.
bool read_capacitance(const Fields& fields, Meter& meter, Diagnostics& diagnostics) {
  bool fine = true;
  Accuracy accuracy = kUsualCapacitance;
  if (const Node* node = fields.find("capacitance-accuracy")) {
    const auto value = read_accuracy(*node, diagnostics);
    fine = value.has_value();
    accuracy = value.value_or(accuracy);
    if (!fields.given("capacitance")) {
      diagnostics
          .error("M304", fields.key_span("capacitance-accuracy"),
                 "an accuracy for capacitance, of which no range is given")
          .note("give them: 'capacitance: [2n, 20n, 200n, 2u, 20u]'");
      fine = false;
    }
  }
  if (const Node* node = fields.find("capacitance")) {
    const auto tops = read_ranges(*node, read_capacitance_range, diagnostics);
    fine = fine && tops;
    for (const double top : tops.value_or(std::vector<double>{}))
      meter.capacitance.push_back({top, accuracy.share, accuracy.digits});
  }
  return fine;
}

bool alike(Ohms a, Ohms b) { return std::abs(a - b) <= 1e-6 * b; }

// A map of a meter while it is read: `fine` until something in it is refused.
class MeterReader {
 public:
  MeterReader(Fields& fields, Diagnostics& diagnostics)
      : fields_(fields), diagnostics_(diagnostics), fine_(fields.fine()) {}

  std::optional<Meter> read() {
    if (const Node* counts = fields_.find("counts")) take(read_counts(*counts, diagnostics_), meter_.counts);
    if (const Node* automatic = fields_.find("auto"))
      take(as_flag(*automatic, "'auto'", diagnostics_), meter_.automatic);
    if (read_ohms("leads", 20, "from 0 to 20 ohms", meter_.leads_low)) meter_.leads_high = meter_.leads_low;
    read_ohms("beeps-below", 10'000, "from 0 to 10000 ohms", meter_.beeps_below);
    read_ohms("cable", 100, "from 0 to 100 ohms", meter_.cable);
    fine_ = read_capacitance(fields_, meter_, diagnostics_) && fine_;
    accuracy_ = fields_.find("accuracy");
    const bool by_range = accuracy_ && accuracy_->kind == Node::Kind::Map;
    read_tops(by_range);
    if (!by_range) {
      take_one_accuracy();
    } else if (!take_accuracy_by_range()) {
      return std::nullopt;
    }
    read_word_above();
    if (!fine_) return std::nullopt;
    return std::move(meter_);
  }

 private:
  struct Line {
    Ohms top;
    Accuracy accuracy;
    const Node* key;
  };

  template <class T>
  bool take(std::optional<T> value, T& into) {
    fine_ = fine_ && value;
    if (value) into = std::move(*value);
    return value.has_value();
  }

  bool read_ohms(std::string_view key, double most, const char* words, Ohms& into) {
    const Node* node = fields_.find(key);
    return node &&
           take(as_value(*node, fmt::format("'{}'", key), "N301", parse_ohms, {0, most, words}, diagnostics_),
                into);
  }

  void read_tops(bool by_range) {
    if (const Node* ranges = fields_.find("ranges")) {
      tops_ = read_ranges(*ranges, read_range, diagnostics_);
      ranges_known_ = tops_.has_value();
    } else if (fields_.given("ranges")) {
      ranges_known_ = false;
    } else if (!by_range) {
      tops_.emplace();
      for (const Range& range : usual_ranges(meter_.counts, 0, 0)) tops_->push_back(range.top);
    }
    fine_ = fine_ && ranges_known_;
  }

  void take_one_accuracy() {
    const Range assumed = assumed_meter().ranges.front();
    Accuracy given{assumed.share, assumed.digits};
    if (accuracy_) take(read_accuracy(*accuracy_, diagnostics_), given);
    for (const Ohms top : tops_.value_or(std::vector<Ohms>{}))
      meter_.ranges.push_back({top, given.share, given.digits});
  }

  // No where there are so many that they are not looked at.
  bool take_accuracy_by_range() {
    if (accuracy_->pairs() > kMostRanges) {
      diagnostics_.error(
          "M302", accuracy_->at,
          fmt::format("a meter has from 1 to {} ranges, not {}", kMostRanges, accuracy_->pairs()));
      return false;
    }
    for (std::size_t i = 0; i < accuracy_->pairs(); ++i) read_line(accuracy_->key(i), accuracy_->value(i));
    if (!tops_ && ranges_known_) {  // the ranges are those the accuracy is given for
      std::sort(lines_.begin(), lines_.end(), [](const Line& a, const Line& b) { return a.top < b.top; });
      tops_.emplace();
      for (const Line& line : lines_) tops_->push_back(line.top);
      if (lines_.empty()) refuse("M304", accuracy_->at, "no accuracy is given");
    }
    for (const Ohms top : tops_.value_or(std::vector<Ohms>{})) {
      if (const Line* found = line_of(top)) {
        meter_.ranges.push_back({top, found->accuracy.share, found->accuracy.digits});
      } else if (ranges_known_) {
        refuse("M304", fields_.key_span("accuracy"),
               fmt::format("no accuracy is given for the range '{}'", range_name(top)));
      }
    }
    return true;
  }

  void read_line(const Node& key, const Node& accuracy) {
    const auto top = read_range(key, diagnostics_);
    const auto value = read_accuracy(accuracy, diagnostics_);
    if (!top || !value) {
      fine_ = false;
      ranges_known_ = false;
      return;
    }
    if (const Line* before = line_of(*top)) {
      refuse("N113", key.at, fmt::format("key '{}' is given twice", key.text))
          .note("first given", before->key->at);
      return;
    }
    if (tops_ && std::none_of(tops_->begin(), tops_->end(), [&](Ohms range) { return alike(range, *top); }))
      refuse("M304", key.at, fmt::format("an accuracy for '{}', which is not among the ranges", key.text));
    lines_.push_back({*top, *value, &key});
  }

  const Line* line_of(Ohms top) const {
    const auto found =
        std::find_if(lines_.rbegin(), lines_.rend(), [&](const Line& line) { return alike(line.top, top); });
    return found != lines_.rend() ? &*found : nullptr;
  }

  void read_word_above() {
    const Node* over = fields_.find("over");
    if (!over) return;
    const bool given = take(read_over(*over, diagnostics_), meter_.over);
    if (fine_ && given && meter_.over == "1" && shows_a_lone_one(meter_))
      refuse("M305", over->at, "'1' is also how this meter shows one ohm");
  }

  Diagnostic& refuse(const char* code, Span at, std::string message) {
    fine_ = false;
    return diagnostics_.error(code, at, std::move(message));
  }

  Fields& fields_;
  Diagnostics& diagnostics_;
  bool fine_;
  Meter meter_;
  const Node* accuracy_ = nullptr;
  std::optional<std::vector<Ohms>> tops_;  // of the ranges, where they are told
  bool ranges_known_ = true;
  std::vector<Line> lines_;  // of an accuracy for each range
};

}  // namespace

std::optional<Meter> read_meter_map(const Node& node, Span at, Diagnostics& diagnostics) {
  if (!as_map(node, "a meter", diagnostics)) return std::nullopt;
  Fields fields(node, "a meter", at,
                {"counts", "ranges", "accuracy", "leads", "beeps-below", "auto", "cable", "over",
                 "capacitance", "capacitance-accuracy"},
                diagnostics);
  return MeterReader(fields, diagnostics).read();
}

std::optional<double> read_temperature(const Node& node, Diagnostics& diagnostics) {
  return as_value(node, "the temperature", "N307", parse_celsius,
                  {-20, 60,
                   "from -20 to 60 \xC2\xB0"
                   "C"},
                  diagnostics);
}

}  // namespace lugwise::intake::inside
