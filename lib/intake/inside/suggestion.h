// Guesses at what a wrong name was meant to be, while they last: each costs a look at every candidate, and a file with
// thousands of wrong names must not take minutes.
#pragma once

#include <cstddef>
#include <string_view>
#include <vector>

#include "source/diagnostic.h"

namespace lugwise::intake::inside {

class Suggestions {
 public:
  // Whether one more look at so many names is affordable.
  bool afford(std::size_t names);

  // Notes the nearest of the candidates, else what there is to choose from if that is a short list: "its lugs are a, b".
  void note(Diagnostic& error, std::string_view name, const std::vector<std::string>& candidates,
            std::string_view choice);

 private:
  std::size_t looked_at_ = 0;
};

}  // namespace lugwise::intake::inside
