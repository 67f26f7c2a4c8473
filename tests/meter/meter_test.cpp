#include "meter/meter.h"

#include "support/catch.h"

using namespace lugwise;

TEST_CASE("the worked displays", "[meter]") {
  const Meter meter = assumed_meter();
  const auto on = [&](Ohms top, Ohms shown) { return display(meter, *meter.find_range(top), shown); };
  CHECK(on(20e3, 6710) == "6.71k");
  CHECK(on(200, 0.44) == "0.4");
  CHECK(on(2e6, 251000) == "0.251M");
  CHECK(on(2e3, 3) == "0.003k");
  CHECK(on(20e3, 19994) == "19.99k");
  CHECK(on(20e3, 19995) == "OL");
  CHECK(range_name(20e6) == "20M");
  CHECK(in_words(6710) == "6.71 kΩ");
  CHECK(in_words(0.045) == "0.045 Ω");
  CHECK(in_words(999.96) == "1 kΩ");
  const Window shown = window(meter, *meter.find_range(20e3), {5580, 6200, 6820});
  CHECK(shown.low == Approx(5515.6576));
  CHECK(shown.high == Approx(6894.8624));
}
