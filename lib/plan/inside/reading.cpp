#include "plan/inside/reading.h"

#include "handling/handling.h"

namespace lugwise::plan::inside {

Circuit circuit_at(const Harness& harness, const PlanOptions& options, const Step& step) {
  return circuit_of(harness,
                    {step.setting, options.stage, step.access.depth > 0, step.lifted, options.temperature});
}

void expect_reading(const Harness& harness, const Meter& meter, const Circuit& circuit, Step& step) {
  step.expected = expect(circuit, step.a, step.b);
  const int plugs = plugs_among(harness, step.a, step.b);
  step.range = step.expected.open ? meter.ranges.back() : range_for(meter, step.expected.ohms.high, plugs);
  step.shows = window(meter, step.range, step.expected.ohms, plugs);
}

}  // namespace lugwise::plan::inside
