#include "drawing/inside/palette.h"

#include <array>
#include <cctype>
#include <utility>

namespace lugwise::drawing::inside {
namespace {

constexpr std::array<std::pair<std::string_view, std::string_view>, 33> kPaints{{
    {"black", "#2b2b2b"},  {"brown", "#8a5a33"},     {"red", "#d33a2f"},     {"orange", "#ee8522"},
    {"yellow", "#f5d327"}, {"green", "#3f9a4b"},     {"blue", "#2f6fc4"},    {"violet", "#8c5bb5"},
    {"purple", "#8c5bb5"}, {"grey", "#9a9a9a"},      {"gray", "#9a9a9a"},    {"white", "#ffffff"},
    {"pink", "#f3a6bd"},   {"turquoise", "#3dbdb4"}, {"teal", "#1f8a86"},    {"cream", "#f6ecc6"},
    {"ivory", "#f6ecc6"},  {"tan", "#cfa977"},       {"beige", "#dcc8a0"},   {"amber", "#e5a50a"},
    {"rose", "#e0708a"},   {"slate", "#66788a"},     {"lilac", "#c3a2d8"},   {"bare", "#d9a878"},
    {"copper", "#d08a55"}, {"silver", "#cfd2d6"},    {"tinned", "#cfd2d6"},  {"gold", "#d4af37"},
    {"clear", "#eef1f2"},  {"braid", "#cfd2d6"},     {"natural", "#efe3c8"}, {"navy", "#25408f"},
    {"lime", "#a5cf3a"},
}};

}  // namespace

Paint paint_of(std::string_view words) {
  Paint paint{std::string(kUncoloured), "", false};
  std::string word;
  const auto take = [&] {
    for (const auto& [name, colour] : kPaints) {
      if (word != name) continue;
      if (!paint.known) {
        paint.base = colour;
        paint.known = true;
      } else if (paint.stripe.empty() && paint.base != colour) {
        paint.stripe = colour;
      }
    }
    word.clear();
  };
  for (char c : words) {
    const auto byte = static_cast<unsigned char>(c);
    if (std::isalpha(byte)) {
      word += static_cast<char>(std::tolower(byte));
    } else {
      take();
    }
  }
  take();
  return paint;
}

}  // namespace lugwise::drawing::inside
