// A command line taken apart as the syntax says. Only parser.cpp knows the library that does it.
#pragma once

#include <string>
#include <vector>

#include "command.h"
#include "syntax.h"

namespace lugwise::app {

// Why a command line makes no sense, as far as parsing tells.
struct Misuse {
  enum class Kind {
    Missing,  // something that must be there, or a command
    TooMuch,  // words that belong to nothing
    Values,   // more or fewer of them than an option takes
    Value,    // one that can't be: `said` tells
    Other,    // `said` tells, in the library's words
  };
  Kind kind = Kind::Other;
  std::vector<std::string> words;  // that are too many
  const Option* option = nullptr;  // with the wrong number of values
  std::string said;
};

struct Parse {
  enum class End { Ready, Help, Version, Misused };
  End end = End::Ready;
  std::vector<const Command*>
      chain;  // the program, the command, the one within it: as far as they were typed
  CommandLine line;
  Misuse misuse;  // where it is misused

  const Command& command() const { return *chain.back(); }
};

Parse parse(const Command& program, const std::vector<std::string>& args);

// "lugwise convert bands"
std::string full_name(const std::vector<const Command*>& chain);

}  // namespace lugwise::app
