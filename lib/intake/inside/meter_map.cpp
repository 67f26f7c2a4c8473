#include "intake/inside/meter_map.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

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

}  // namespace

std::optional<Meter> read_meter_map(const Node& node, Span at, Diagnostics& diagnostics) {
  if (!as_map(node, "a meter", diagnostics)) return std::nullopt;
  Fields fields(node, "a meter", at,
                {"counts", "ranges", "accuracy", "leads", "beeps-below", "auto", "cable", "over",
                 "capacitance", "capacitance-accuracy"},
                diagnostics);
  bool fine = fields.fine();
  Meter meter;
  if (const Node* counts = fields.find("counts")) {
    const auto value = read_counts(*counts, diagnostics);
    fine = fine && value;
    meter.counts = value.value_or(meter.counts);
  }
  if (const Node* automatic = fields.find("auto")) {
    const auto value = as_flag(*automatic, "'auto'", diagnostics);
    fine = fine && value;
    meter.automatic = value.value_or(false);
  }
  const auto small = [&](std::string_view key, double most, const char* words, Ohms& into) {
    const Node* value_node = fields.find(key);
    if (!value_node) return false;
    const auto value =
        as_value(*value_node, fmt::format("'{}'", key), "N301", parse_ohms, {0, most, words}, diagnostics);
    fine = fine && value;
    if (value) into = *value;
    return value.has_value();
  };
  if (small("leads", 20, "from 0 to 20 ohms", meter.leads_low)) meter.leads_high = meter.leads_low;
  small("beeps-below", 10'000, "from 0 to 10000 ohms", meter.beeps_below);
  small("cable", 100, "from 0 to 100 ohms", meter.cable);
  fine = read_capacitance(fields, meter, diagnostics) && fine;

  const Node* accuracy = fields.find("accuracy");
  const bool by_range = accuracy && accuracy->kind == Node::Kind::Map;
  std::optional<std::vector<Ohms>> tops;
  bool ranges_known = true;
  if (const Node* ranges = fields.find("ranges")) {
    tops = read_ranges(*ranges, read_range, diagnostics);
    ranges_known = tops.has_value();
  } else if (fields.given("ranges")) {
    ranges_known = false;
  } else if (!by_range) {
    tops.emplace();
    for (const Range& range : usual_ranges(meter.counts, 0, 0)) tops->push_back(range.top);
  }
  fine = fine && ranges_known;

  if (!by_range) {
    const Range assumed = assumed_meter().ranges.front();
    Accuracy given{assumed.share, assumed.digits};
    if (accuracy) {
      const auto value = read_accuracy(*accuracy, diagnostics);
      fine = fine && value;
      given = value.value_or(given);
    }
    for (const Ohms top : tops.value_or(std::vector<Ohms>{}))
      meter.ranges.push_back({top, given.share, given.digits});
  } else {
    struct Line {
      Ohms top;
      Accuracy accuracy;
      const Node* key;
    };
    std::vector<Line> lines;
    if (accuracy->pairs() > kMostRanges) {
      diagnostics.error(
          "M302", accuracy->at,
          fmt::format("a meter has from 1 to {} ranges, not {}", kMostRanges, accuracy->pairs()));
      return std::nullopt;
    }
    for (std::size_t i = 0; i < accuracy->pairs(); ++i) {
      const Node& key = accuracy->key(i);
      const auto top = read_range(key, diagnostics);
      const auto value = read_accuracy(accuracy->value(i), diagnostics);
      if (!top || !value) {
        fine = false;
        ranges_known = false;
        continue;
      }
      const Line* before = nullptr;
      for (const Line& line : lines) {
        if (alike(line.top, *top)) before = &line;
      }
      if (before) {
        diagnostics.error("N113", key.at, fmt::format("key '{}' is given twice", key.text))
            .note("first given", before->key->at);
        fine = false;
        continue;
      }
      if (tops && std::none_of(tops->begin(), tops->end(), [&](Ohms range) { return alike(range, *top); })) {
        diagnostics.error("M304", key.at,
                          fmt::format("an accuracy for '{}', which is not among the ranges", key.text));
        fine = false;
      }
      lines.push_back({*top, *value, &key});
    }
    if (!tops && ranges_known) {  // the ranges are those the accuracy is given for
      std::sort(lines.begin(), lines.end(), [](const Line& a, const Line& b) { return a.top < b.top; });
      tops.emplace();
      for (const Line& line : lines) tops->push_back(line.top);
      if (lines.empty()) {
        diagnostics.error("M304", accuracy->at, "no accuracy is given");
        fine = false;
      }
    }
    for (const Ohms top : tops.value_or(std::vector<Ohms>{})) {
      const Line* found = nullptr;
      for (const Line& line : lines) {
        if (alike(line.top, top)) found = &line;
      }
      if (found) {
        meter.ranges.push_back({top, found->accuracy.share, found->accuracy.digits});
      } else if (ranges_known) {
        diagnostics.error("M304", fields.key_span("accuracy"),
                          fmt::format("no accuracy is given for the range '{}'", range_name(top)));
        fine = false;
      }
    }
  }
  if (const Node* over = fields.find("over")) {
    const auto value = read_over(*over, diagnostics);
    fine = fine && value;
    if (value) meter.over = *value;
    if (fine && value && *value == "1" && shows_a_lone_one(meter)) {
      diagnostics.error("M305", over->at, "'1' is also how this meter shows one ohm");
      fine = false;
    }
  }
  if (!fine) return std::nullopt;
  return meter;
}

std::optional<double> read_temperature(const Node& node, Diagnostics& diagnostics) {
  return as_value(node, "the temperature", "N307", parse_celsius,
                  {-20, 60,
                   "from -20 to 60 \xC2\xB0"
                   "C"},
                  diagnostics);
}

}  // namespace lugwise::intake::inside
