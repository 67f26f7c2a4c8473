// An answer in the form that the command line asks for.
#pragma once

#include <string>

#include "command.h"

namespace lugwise::app {

// Of what the report has an as_text() and the like for; only some answers are pages too.
template <class... Answer>
void answer(Run& run, const Answer&... what) {
  if (run.line.json) return give(run, as_json(run.heading, what...));
  if (run.line.markdown) return give(run, as_markdown(run.heading, what...));
  if constexpr (requires { as_html(run.heading, what...); }) {
    if (run.line.html) return give(run, as_html(run.heading, what...));
  }
  give(run, as_text(run.heading, what..., run.width()));
}

}  // namespace lugwise::app
