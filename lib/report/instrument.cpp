#include "report/instrument.h"

#include "page/html.h"
#include "report/inside/instrument_page.h"

namespace lugwise {

std::string as_instrument_page(const Heading& heading, const Harness& harness,
                               const std::vector<Observation>& observations, const Diagnosis& diagnosis,
                               const Filed& filed, const Owned& owned, const Places& places) {
  require_meter(heading);
  return page::as_html(
      report::InstrumentPage(heading, harness, observations, diagnosis, filed, owned).document(places),
      heading.program);
}

}  // namespace lugwise
