// What a shell offers while a command line is typed: found by walking the same commands that are parsed, so that it
// can't fall behind them.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "syntax.h"

namespace lugwise::app {

// The script for a shell that asks for words_for(); empty for a shell there is none for.
std::string_view completion_script(std::string_view shell);

// The shells there is a script for.
std::vector<std::string> shells();

// For the last of the words after the program's name, which may be empty or only begun: a line "files" where a file is
// expected, else "words" and a line for each word that fits, with a tab and what it means where there is more to say.
// Points, controls and stages are those of the netlist already typed, if it can be read.
std::string words_for(const Command& program, const std::vector<std::string>& typed);

// A line as a shell would split it, program's name and all, nothing being expanded. The last word is the one at the end of
// the line: empty after a space.
struct Typed {
  std::vector<std::string> words;
  char quote = 0;  // the one that the last word still lacks
};
Typed split(std::string_view line);

// What `lugwise completion words ...` and `lugwise completion line LINE` answer, about command lines that are not finished.
// For bash the whole line comes as one word, and the word at its end goes back, as it is without quotes; "single" or "double"
// instead of "words" says that it was begun with such a quote.
std::string offered(const Command& program, const std::vector<std::string>& words, bool whole_line);

}  // namespace lugwise::app
