// What the ear said, from one entry of a readings file.
#pragma once

#include <optional>
#include <string_view>

#include "intake/inside/sheet_desk.h"
#include "sheet/sheet.h"

namespace lugwise::intake::inside {

class HeardReader {
 public:
  explicit HeardReader(SheetDesk& desk) : desk_(desk) {}

  // Nothing where it is no map at all; all else that is wrong with it is reported.
  std::optional<Heard> read(const Node& node);

 private:
  std::optional<PartId> read_pickup(const Node& node);
  std::optional<PartId> read_control(const Node& node);

  // A part that a complaint names, which must be one of its kind.
  std::optional<PartId> read_complained(const Node& node, std::string_view kind, std::string_view key,
                                        bool (*fits)(const Part&));

  SheetDesk& desk_;
};

}  // namespace lugwise::intake::inside
