// What is wrong where the YAML parser gives up, in words for whoever typed it.
#pragma once

#include <yaml-cpp/exceptions.h>

#include <cstddef>

#include "intake/inside/brackets.h"
#include "source/diagnostic.h"
#include "source/source_text.h"

namespace lugwise::intake::inside {

// One error where the mistake was probably made, which may be before the place that the parser complains of; its own words where
// we know none better. The parser was given the source from `offset` on.
void report_syntax(const SourceText& source, std::size_t offset, const YAML::Exception& problem,
                   const Brackets& brackets, Diagnostics& diagnostics);

}  // namespace lugwise::intake::inside
