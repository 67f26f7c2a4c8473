// Someone else's program, built against the installed headers only: a netlist of one pickup and what its plug shows.

#include <lugwise/circuit/circuit.h>
#include <lugwise/expectation/expectation.h>
#include <lugwise/intake/netlist.h>

#include <cstdio>

int main() {
  lugwise::Diagnostics diagnostics("inline");
  const auto netlist = lugwise::read_netlist(R"(lugwise: 1
name: Fernhollow 90
parts:
  single: {kind: pickup, dcr: 8k}
  volume: {kind: pot, track: 500k}
  jack:   {kind: jack}
joints:
  - [volume.3, single.hot]
  - [volume.case, single.ground, volume.1]
wires:
  - [volume.2, jack.tip]
  - [volume.case, jack.sleeve]
)",
                                             diagnostics);
  if (!netlist) return 1;
  const lugwise::Harness& harness = netlist->harness;
  lugwise::State state;
  state.setting = lugwise::Setting(harness);
  const lugwise::Circuit circuit = lugwise::circuit_of(harness, state);
  const auto expected = lugwise::expect(circuit, harness.find_point("jack.plug-tip").value(),
                                        harness.find_point("jack.plug-sleeve").value());
  std::printf("%.0f ohms\n", expected.ohms.nominal);
}
