#include "drawing/inside/lettering.h"

#include <algorithm>
#include <array>
#include <cstdint>

#include "text/character.h"

namespace lugwise::drawing::inside {
namespace {

// Thousandths of the size, from the space to the tilde, of the metrics that the usual sans-serif faces share.
constexpr std::array<std::uint16_t, 95> kRegular{
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333,  278, 278, 556, 556, 556,
    556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667,
    611, 778, 722, 278, 500, 667, 556, 833, 722, 778, 667, 778, 722, 667,  611, 722, 667, 944, 667,
    667, 611, 278, 278, 278, 469, 556, 333, 556, 556, 500, 556, 556, 278,  556, 556, 222, 222, 500,
    222, 833, 556, 556, 556, 556, 333, 500, 278, 556, 500, 722, 500, 500,  500, 334, 260, 334, 584};
constexpr std::array<std::uint16_t, 95> kBold{
    278, 333, 474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556,
    556, 556, 556, 556, 556, 556, 556, 333, 333, 584, 584, 584, 611, 975, 722, 722, 722, 722, 667,
    611, 778, 722, 278, 556, 722, 611, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667,
    667, 611, 333, 278, 333, 584, 556, 333, 556, 611, 556, 611, 556, 333, 611, 611, 278, 278, 556,
    278, 889, 611, 611, 611, 611, 389, 556, 333, 611, 556, 778, 556, 556, 500, 389, 280, 389, 584};
constexpr double kWide = 1.0;  // any other character, in sizes: wide enough for all but a few

}  // namespace

double text_width(std::string_view text, double size, bool bold) {
  double width = 0;
  for (char c : text) {
    if (!lugwise::text::begins_character(c)) continue;
    const auto at = static_cast<unsigned char>(c);
    width += at >= 32 && at < 127 ? (bold ? kBold : kRegular)[at - 32u] / 1000.0 : kWide;
  }
  return width * size;
}

std::string shortened(std::string_view text, double size, double most, bool bold) {
  if (text_width(text, size, bold) <= most) return std::string(text);
  const double dots = size * kWide;
  double width = 0;
  std::size_t end = 0;
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t next = i + lugwise::text::character_length(text.substr(i));
    width += text_width(text.substr(i, next - i), size, bold);
    if (width + dots > most) break;
    end = i = next;
  }
  return std::string(text.substr(0, end)) + "…";
}

std::vector<std::string> wrapped(std::string_view text, double size, double most, std::size_t lines,
                                 bool bold) {
  std::vector<std::string> done;
  while (!text.empty()) {
    const bool last = done.size() + 1 == lines;
    if (last || text_width(text, size, bold) <= most) {
      done.push_back(shortened(text, size, most, bold));
      break;
    }
    std::size_t cut = 0;
    for (std::size_t i = 1; i < text.size(); ++i) {
      if (text_width(text.substr(0, i), size, bold) > most) break;
      if (text[i - 1] == ' ' || text[i - 1] == '-' || text[i - 1] == '_') cut = i;
    }
    if (cut == 0) {
      done.push_back(shortened(text, size, most, bold));
      break;
    }
    std::string line(text.substr(0, cut));
    while (!line.empty() && line.back() == ' ') line.pop_back();
    done.push_back(std::move(line));
    text.remove_prefix(cut);
  }
  return done;
}

Box box_of(const Lettering& lettering) {
  const double width = text_width(lettering.text, lettering.size, lettering.bold);
  const double up = 0.78 * lettering.size, down = 0.22 * lettering.size;
  const double back = lettering.from == Lettering::From::Start    ? 0
                      : lettering.from == Lettering::From::Middle ? width / 2
                                                                  : width;
  if (lettering.upright) return {lettering.at.x - up, lettering.at.y - width + back, up + down, width};
  return {lettering.at.x - back, lettering.at.y - up, width, up + down};
}

}  // namespace lugwise::drawing::inside
