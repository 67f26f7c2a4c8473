// A probe that a diagnosis advises, in words.
#pragma once

#include <string>
#include <vector>

#include "diagnosis/diagnosis.h"
#include "harness/harness.h"
#include "meter/meter.h"
#include "page/document.h"
#include "report/inside/sketch.h"

namespace lugwise::report {
inline namespace inside {

// The whole of it, from why it is taken to what a sound harness shows there.
std::string in_words(const Meter& meter, const Harness& harness, const NextProbe& probe);

// The same as a step of a page, with what each outcome would leave. `before` is said before the probe itself.
page::Step step_of(const Meter& meter, const Harness& harness, const Diagnosis& diagnosis,
                   const NextProbe& probe, Sketchbook& pictures, std::vector<std::string> before = {});

// What has to be so before anybody probes, in short; a plan's cautions say it in full.
std::vector<std::string> cautions_of(const Harness& harness);

// Whether two ask for the same, whatever for.
bool same_probe(const NextProbe& x, const NextProbe& y);

}  // namespace inside
}  // namespace lugwise::report
