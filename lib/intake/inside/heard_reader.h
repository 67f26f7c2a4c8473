// What the ear said, from one entry of a readings file.
#pragma once

#include <optional>

#include "intake/inside/sheet_desk.h"
#include "sheet/sheet.h"

namespace lugwise::inside {

class HeardReader {
 public:
  explicit HeardReader(SheetDesk& desk) : desk_(desk) {}

  // Nothing where it is no map at all; all else that is wrong with it is reported.
  std::optional<Heard> read(const Node& node);

 private:
  std::optional<PartId> read_pickup(const Node& node);

  SheetDesk& desk_;
};

}  // namespace lugwise::inside
