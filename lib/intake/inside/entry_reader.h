// What was done, from one entry of a readings file: where the probes were, how the controls stood, what was moved.
#pragma once

#include <optional>

#include "intake/inside/fields.h"
#include "intake/inside/sheet_desk.h"
#include "sheet/sheet.h"

namespace lugwise::intake::inside {

class EntryReader {
 public:
  explicit EntryReader(SheetDesk& desk) : desk_(desk) {}

  // Nothing where it can't be said what it is; all else that is wrong with it is reported.
  std::optional<Entry> read(const Node& node);

 private:
  bool read_kind(Fields& fields, Entry& entry);
  void read_step(const Fields& fields, Entry& entry);
  void read_action(const Fields& fields, Entry& entry);
  void read_between(Fields& fields, Entry& entry);
  void read_lifted(const Node& node, Entry& entry);
  void read_cover(const Node& node, Entry& entry);

  SheetDesk& desk_;
};

}  // namespace lugwise::intake::inside
