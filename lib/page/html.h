// A document as one HTML page that needs nothing else: to print, or to keep on a tablet.
#pragma once

#include <string>

#include "page/document.h"

namespace lugwise::page {

// Valid HTML 5 with its own style, and with no script but, where it has a checklist, the one that keeps what is typed into that;
// every text is escaped, only pictures go in as they are. `program`, name and version, is said to have made it. Anything else that
// is filled in on a screen stays there only while the page is open.
std::string as_html(const Document& document, const std::string& program);

}  // namespace lugwise::page
