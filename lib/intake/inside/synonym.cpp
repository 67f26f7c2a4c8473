#include "intake/inside/synonym.h"

#include <algorithm>
#include <array>

#include "source/nearest.h"

namespace lugwise::intake::inside {
namespace {

// Common usage, no source. A word may stand for several: whichever is asked for here.
struct Synonym {
  std::string_view word;
  std::string_view name;
};
constexpr std::array<Synonym, 51> kSynonyms{{
    {"potentiometer", "pot"}, {"control", "pot"},
    {"knob", "pot"},          {"coil", "pickup"},
    {"humbucker", "pickup"},  {"single-coil", "pickup"},
    {"toggle", "switch"},     {"selector", "switch"},
    {"blade", "switch"},      {"lever", "switch"},
    {"push-pull", "switch"},  {"socket", "jack"},
    {"output", "jack"},       {"condenser", "capacitor"},
    {"preamp", "module"},     {"plate", "metal"},
    {"shielding", "metal"},   {"resistance", "dcr"},
    {"resistance", "track"},  {"resistance", "value"},
    {"ohms", "dcr"},          {"ohms", "track"},
    {"ohms", "value"},        {"value", "dcr"},
    {"value", "track"},       {"capacitance", "value"},
    {"farads", "value"},      {"volts", "voltage"},
    {"curve", "taper"},       {"log", "audio"},
    {"logarithmic", "audio"}, {"antilog", "reverse-audio"},
    {"terminals", "lugs"},    {"awg", "gauge"},
    {"solder", "joints"},     {"description", "about"},
    {"title", "name"},        {"components", "parts"},
    {"hot", "tip"},           {"signal", "tip"},
    {"signal", "hot"},        {"ground", "sleeve"},
    {"earth", "sleeve"},      {"earth", "ground"},
    {"cover", "shield"},      {"baseplate", "shield"},
    {"wiper", "2"},           {"middle", "2"},
    {"body", "case"},         {"shell", "case"},
    {"back", "case"},
}};

std::string lower(std::string_view text) {
  std::string low(text);
  for (char& c : low) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return low;
}

// Without the quotes of a word processor, which are letters to YAML.
std::string_view unquoted(std::string_view name) {
  constexpr std::array<std::string_view, 6> kQuotes{"\u201c", "\u201d", "\u201e",
                                                    "\u2018", "\u2019", "\u00ab"};
  for (const std::string_view quote : kQuotes) {
    if (name.starts_with(quote)) name.remove_prefix(quote.size());
    if (name.ends_with(quote)) name.remove_suffix(quote.size());
  }
  return name;
}

}  // namespace

std::optional<std::string> meant_name(std::string_view typed, const std::vector<std::string>& candidates) {
  const std::string_view name = unquoted(typed);
  const std::string low = lower(name.substr(0, 20));
  for (const Synonym& each : kSynonyms) {
    if (low == each.word && std::find(candidates.begin(), candidates.end(), each.name) != candidates.end())
      return std::string(each.name);
  }
  return nearest_name(name, candidates);
}

}  // namespace lugwise::intake::inside
