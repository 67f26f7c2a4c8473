// Any bytes as a value, a meter file or a name: an answer, and never neither value nor problem.

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>

#include "intake/display.h"
#include "intake/instrument.h"
#include "intake/reading_problem.h"
#include "intake/value.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace lugwise;
  const std::string text(reinterpret_cast<const char*>(data), size);
  const auto answered = [](const auto& parsed) {
    if (parsed.value.has_value() != parsed.problem.empty()) std::abort();
  };
  answered(parse_ohms(text));
  answered(parse_farads(text));
  answered(parse_share(text));
  answered(parse_length(text));
  answered(parse_volts(text));
  answered(parse_celsius(text));
  answered(parse_number(text));
  const auto shown = parse_reading(text);
  answered(shown);
  if (shown.value) {
    reading_problem(assumed_meter(), std::nullopt, *shown.value, text);
    reading_problem(assumed_meter(), 20e3, *shown.value, text);
  }
  Diagnostics diagnostics("fuzz.yaml");
  const auto meter = read_meter(text, diagnostics);
  if (meter.has_value() == diagnostics.failed() || (meter && meter->ranges.empty())) std::abort();
  return 0;
}
