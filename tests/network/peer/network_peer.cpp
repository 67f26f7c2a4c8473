// Reads networks from standard input and answers with readings, so that networkx_test.py can compare.
//
//   points N
//   resistor A B OHMS      any number of them
//   pair A B               answered by one line: the ohms to all digits, or "open"
//
// `points` begins the next network; all resistors come before the first pair.
#include <fmt/format.h>

#include <iostream>
#include <memory>
#include <string>

#include "network/network.h"

int main() {
  std::size_t points = 0;
  std::vector<lugwise::Resistor> resistors;
  std::unique_ptr<lugwise::Network> network;
  for (std::string word; std::cin >> word;) {
    if (word == "points") {
      network.reset();
      resistors.clear();
      std::cin >> points;
    } else if (word == "resistor") {
      lugwise::Resistor r;
      std::cin >> r.a >> r.b >> r.ohms;
      resistors.push_back(r);
    } else if (word == "pair") {
      std::uint32_t a = 0;
      std::uint32_t b = 0;
      std::cin >> a >> b;
      if (!network) network = std::make_unique<lugwise::Network>(points, resistors);
      const std::optional<double> ohms = network->resistance(a, b);
      fmt::print("{}\n", ohms ? fmt::format("{:.17g}", *ohms) : "open");
    } else {
      fmt::print(stderr, "network_peer: cannot read {}\n", word);
      return 2;
    }
  }
  return std::cin.eof() ? 0 : 2;
}
