#include "check/check.h"

#include <algorithm>
#include <tuple>

#include "check/inside/as_drawn.h"
#include "check/inside/rules.h"

namespace lugwise {

using namespace check::inside;

std::vector<Diagnostic> warnings_of(const Harness& harness, const std::string& file) {
  const Drawing drawing(harness);
  Diagnostics found(file);
  for (std::size_t i = 1; i < harness.files.size(); ++i) found.add_file(harness.files[i]);

  // Of a part that is not in yet, what it will be joined to says nothing.
  const bool loose = harness.by_itself();
  const bool all_shorted = grounded_hot(drawing, found);
  if (!all_shorted && !loose) silent_coils(drawing, found);

  if (!loose) floating_metal(drawing, found);
  exchanged_jacks(drawing, found);
  reversed_pickups(drawing, found);

  if (!loose) left_over_points(drawing, found);
  lost_coil_ends(drawing, found);
  dead_switch_lugs(drawing, found);
  bypassed_parts(drawing, found);

  backward_volumes(drawing, found);
  backward_tones(drawing, found);
  idle_pots(drawing, found);

  equal_positions(drawing, found);
  buried_cases(drawing, found);
  if (!loose) missing_jack(drawing, found);
  empty_stages(drawing, found);
  odd_values(drawing, found);
  draining_batteries(drawing, found);

  misspelt_names(drawing, found);

  std::vector<Diagnostic> list = found.list();
  std::stable_sort(list.begin(), list.end(), [](const Diagnostic& a, const Diagnostic& b) {
    return std::tie(a.at.file, a.at.line, a.at.column, a.code) <
           std::tie(b.at.file, b.at.line, b.at.column, b.code);
  });
  return list;
}

}  // namespace lugwise
