// Someone else's program, built against the installed headers only: a bridge of five resistors.

#include <lugwise/network/network.h>
#include <cstdio>

int main() {
  const lugwise::Network bridge(4, {{0, 1, 12}, {0, 2, 18}, {1, 2, 6}, {1, 3, 18}, {2, 3, 12}});
  const auto ohms = bridge.resistance(0, 3);
  std::printf("%.4f ohms\n", ohms.value());
}
