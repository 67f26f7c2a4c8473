// SVG, element by element: where the picture of a harness and the plots of a report are written alike.
//
//   svg::Pen pen;
//   pen.line({0, 0}, {10, 0}, svg::stroke("#000", 2));
//   svg::framed({{0, 0, 10, 4}, 10, 4, "", "A line", ""}, pen.take());
//
// Lengths are in units of the picture, colours "#rgb" or "#rrggbb". `attributes` and `more` go in as they are: what comes from
// outside is escaped before. Titles, words and lettering are escaped here.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "drawing/layout.h"

namespace lugwise::svg {

// With &, <, > and quotes written so that they stay text; what XML can't hold is left out.
std::string escaped(std::string_view text);

// "12", "7.5": two decimals at most.
std::string number(double value);

// The attributes of a line, of an area, and of an area with an edge.
std::string stroke(std::string_view colour, double width, std::string_view more = {});
std::string filled(std::string_view colour, std::string_view more = {});
std::string outlined(std::string_view colour, std::string_view edge, double width,
                     std::string_view more = {});

class Pen {
 public:
  // What another pen has written.
  void add(std::string_view elements) { text_ += elements; }

  void open(std::string_view name, std::string_view attributes);
  void close(std::string_view name);
  // Of the element that was opened last: shown where it is pointed at.
  void title(std::string_view words);

  void line(Spot a, Spot b, std::string_view attributes);
  // `way` as the attribute d has it: see way_through().
  void path(std::string_view way, std::string_view attributes);
  void circle(Spot at, double radius, std::string_view attributes, std::string_view title = {});
  // `radius` rounds its corners.
  void box(const Box& box, double radius, std::string_view attributes, std::string_view title = {});
  // With its width stated, so that any font is set to the same.
  void text(const Lettering& lettering, std::string_view attributes = {});
  // As wide as its font makes it.
  void words(Spot at, std::string_view words, std::string_view attributes = {});

  std::string take() { return std::move(text_); }

 private:
  void end(std::string_view name, std::string_view title);

  std::string text_;
};

// "M0 0L10 0…"; corners rounded where a radius is given.
std::string way_through(const std::vector<Spot>& spots, double radius = 0);

// A picture that stands by itself: what is seen of it, how large, and what it says to whom can't see it.
struct Frame {
  Box view;
  double width = 0, height = 0;
  std::string id_prefix;           // of the ids of title and description
  std::string title, description;  // of these the second may be empty
  std::string attributes = {};     // of the whole
};
std::string framed(const Frame& frame, std::string_view content);

}  // namespace lugwise::svg
