// A document as Markdown (CommonMark with the tables and task lists most readers know).
#pragma once

#include <string>

#include "page/document.h"

namespace lugwise::page {

// Names are escaped, so that none of them is taken for markup. Pictures are left out, fields to fill in are lines of underscores.
std::string as_markdown(const Document& document);

}  // namespace lugwise::page
