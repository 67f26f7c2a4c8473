// Writes SVG elements one by one, numbers short, text escaped.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "drawing/layout.h"

namespace lugwise::drawing::inside {

// With &, <, > and quotes written so that they stay text; what XML can't hold is left out.
std::string escaped(std::string_view text);

// "12", "7.5": two decimals at most.
std::string number(double value);

class Pen {
 public:
  void raw(std::string_view markup) { text_ += markup; }
  void open(std::string_view name, std::string_view attributes) {
    text_ += '<';
    text_ += name;
    if (!attributes.empty()) text_ += ' ';
    text_ += attributes;
    text_ += ">\n";
  }
  void close(std::string_view name) {
    text_ += "</";
    text_ += name;
    text_ += ">\n";
  }
  void line(Spot a, Spot b, std::string_view attributes);
  void path(const std::string& way, std::string_view attributes);
  void circle(Spot at, double radius, std::string_view attributes);
  void box(const Box& box, double radius, std::string_view attributes);
  void text(const Lettering& lettering, std::string_view attributes = {});

  std::string take() { return std::move(text_); }

 private:
  std::string text_;
};

// "M0 0L10 0…"; corners rounded where a radius is given.
std::string way_through(const std::vector<Spot>& spots, double radius = 0);

}  // namespace lugwise::drawing::inside
