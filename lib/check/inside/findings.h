// The warnings found so far.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "source/diagnostic.h"

namespace lugwise {

class Findings {
 public:
  explicit Findings(std::string file) : file_(std::move(file)) {}

  Diagnostic& warn(std::string code, Span at, std::string message) {
    list_.push_back({Severity::Warning, std::move(code), std::move(message), file_, at, {}});
    return list_.back();
  }

  std::vector<Diagnostic> take() { return std::move(list_); }

 private:
  std::string file_;
  std::vector<Diagnostic> list_;
};

}  // namespace lugwise
