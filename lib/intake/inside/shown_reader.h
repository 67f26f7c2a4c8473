// What the meter showed, from one entry of a readings file: judged as far as meter and range are known here.
#pragma once

#include <string>

#include "intake/inside/fields.h"
#include "intake/inside/sheet_desk.h"
#include "intake/judge.h"
#include "sheet/sheet.h"

namespace lugwise::intake::inside {

class ShownReader {
 public:
  explicit ShownReader(SheetDesk& desk) : desk_(desk) {}

  void read(Fields& fields, Entry& entry);
  void read_ends(const Node& node, const Fields& fields, Entry& entry);
  void read_tips(Fields& fields, Entry& entry);

 private:
  void read_range(const Node& node, Entry& entry);
  bool on_meter(const Fields& fields, const Entry& entry) const;
  bool measures_capacitor(const Fields& fields, const Entry& entry);
  void refuse(const Misread& wrong, const Fields& fields, const Node& reads, TypedAs as = TypedAs::Reading);
  static std::string hint_for(const Fields& fields, const std::string& hint);

  SheetDesk& desk_;
};

}  // namespace lugwise::intake::inside
