// Sets the blocks of a document in HTML, one after another.
//
// Readings and checklists, which are tables with forms in them, are in html_table.cpp.
#pragma once

#include <string>
#include <string_view>

#include "page/document.h"

namespace lugwise::page::inside {

class BlockSetter {
 public:
  void operator()(const Paragraph& paragraph);
  void operator()(const Facts& facts);
  void operator()(const List& list);
  void operator()(const Blanks& blanks);
  void operator()(const Step& step);
  void operator()(const Map& map);
  // Rows that share a setting stay together, under a line that says it.
  void operator()(const Checklist& checklist);
  void operator()(const Readings& readings);
  void operator()(const Verdict& verdict);
  void operator()(const Group& group);
  void operator()(const Table& table);
  void operator()(const Verbatim& verbatim);
  void operator()(const Picture& picture);

  // Markup as it is.
  void line(std::string_view markup) {
    text_.append(markup);
    text_ += '\n';
  }

  std::string take() { return std::move(text_); }

 private:
  void put_picture(const Picture& picture);
  void put_row(const Checklist::Row& row);

  std::string text_;
};

}  // namespace lugwise::page::inside
