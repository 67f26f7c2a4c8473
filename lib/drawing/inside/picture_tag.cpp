#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "drawing/inside/lettering.h"
#include "drawing/inside/picture.h"

namespace lugwise::drawing::inside {
namespace {

// Of the picture's width: on a page of 18 cm a letter is then some 3.5 mm, to be read at arm's length.
constexpr double kShare = 0.02;
constexpr double kSmallest = 12, kLargest = 22;

}  // namespace

Spot Picture::place_for_tag(Spot point, double width, double height) const {
  constexpr int kWays = 16;
  constexpr double kOnWords = 40, kNearest = 6, kFarthest = 130;
  double best = 1e18;
  Spot made = point;
  for (double far = kNearest; far <= kFarthest; far += 6) {
    if (far >= best) break;
    for (int i = 0; i < kWays; ++i) {
      const double turn = 2 * kPi * (i + 0.5) / kWays;
      // The tag's nearest edge is `far` from the point.
      const Spot at{point.x + std::cos(turn) * (far + width / 2),
                    point.y - std::sin(turn) * (far + height / 2)};
      const Box box{at.x - width / 2 - 1.5, at.y - height / 2 - 1.5, width + 3, height + 3};
      if (box.x < body_.x || box.y < body_.y || box.x + box.width > body_.x + body_.width ||
          box.y + box.height > body_.y + body_.height)
        continue;
      double price = far + placer_.overlap(box);
      for (const Box& words : words_) {
        if (words.meets(box)) price += kOnWords * std::min(width, words.width);
      }
      if (price >= best) continue;
      best = price;
      made = at;
    }
  }
  return made;
}

void Picture::draw_tags() {
  if (look_.tags.empty()) return;
  const double size = std::clamp(kShare * body_.width, kSmallest, kLargest), small = 0.72 * size;
  const double height = 1.3 * size;
  pen_.open("g", "class=\"tags\"");
  std::vector<Spot> tips;
  for (const Tag& tag : look_.tags) {
    if (const auto at = layout_.spot(harness_, tag.point)) {
      placer_.avoid(Box{at->x - 4, at->y - 4, 8, 8});
      words_.push_back({at->x - 4, at->y - 4, 8, 8});
    }
  }
  for (const Tag& tag : look_.tags) {
    const auto tip = layout_.spot(harness_, tag.point);
    if (!tip) continue;
    const double letter = std::max(height, text_width(tag.letter, size, true) + 0.5 * size);
    const double words = tag.words.empty() ? 0 : text_width(tag.words, small, true) + 0.6 * size;
    const double width = letter + words;
    const Spot at = place_for_tag(*tip, width, height);
    const Box box{at.x - width / 2, at.y - height / 2, width, height};
    pen_.open("g", fmt::format("class=\"tag\" data-tag=\"{}\" data-at=\"{}\"", escaped(tag.letter),
                               escaped(harness_[tag.point].name)));
    pen_.title(fmt::format("{} at {}", tag.letter, point_in_words(harness_, tag.point)));
    const Spot edge{std::clamp(tip->x, box.x, box.x + box.width),
                    std::clamp(tip->y, box.y, box.y + box.height)};
    pen_.line(*tip, edge, stroke(kWhite, 3.4));
    pen_.line(*tip, edge, stroke(kBlack, 1.4));
    pen_.circle(*tip, 3, outlined(kBlack, kWhite, 1.2));
    pen_.box(box, height / 2, outlined(kWhite, kBlack, 1.4));
    pen_.box({box.x, box.y, letter, height}, height / 2, filled(kBlack));
    Lettering text;
    text.text = tag.letter;
    text.at = {box.x + letter / 2, at.y + 0.36 * size};
    text.size = size;
    text.bold = true;
    write(text, filled(kWhite));
    if (!tag.words.empty()) {
      text.text = tag.words;
      text.at = {box.x + letter + 0.2 * size, at.y + 0.36 * small};
      text.size = small;
      text.from = Lettering::From::Start;
      write(text, filled(kBlack));
    }
    pen_.close("g");
    placer_.avoid(box);
    words_.push_back(box);
  }
  pen_.close("g");
}

}  // namespace lugwise::drawing::inside
