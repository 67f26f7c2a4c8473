// A problem as a person and a program read it, part by part.
//
// The first line is as the GNU coding standards have it, with the lasting code at its end: "file:12:19: error: no such point:
// 'jack.slee' (N204)". Then the line of the file, and a caret under the place; then the notes.
#pragma once

#include <string>

#include "source/diagnostic.h"

namespace lugwise {

std::string headline(const Diagnostic& diagnostic);                         // no line feed
std::string excerpt(const Diagnostic& diagnostic, const SourceText& text);  // two lines or nothing
std::string in_words(const Note& note);                                     // "first given at 3:5"

}  // namespace lugwise
