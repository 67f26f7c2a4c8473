// What may be given once only: the second time is one error, and it says where the first was.
#pragma once

#include <map>
#include <string>
#include <utility>

#include "source/diagnostic.h"

namespace lugwise::intake::inside {

template <class Key>
class GivenOnce {
 public:
  explicit GivenOnce(Diagnostics& diagnostics) : diagnostics_(diagnostics) {}

  // Whether this is the first of its kind. If not, reports `problem()`, the sentence for it, under that code.
  template <class Problem>
  bool take(const Key& key, Span at, const char* code, Problem&& problem) {
    const auto [before, fresh] = first_.emplace(key, at);
    if (!fresh) diagnostics_.error(code, at, problem()).note("first given", before->second);
    return fresh;
  }

  // Where each was given first, in the order of the keys.
  const std::map<Key, Span>& first() const { return first_; }

 private:
  Diagnostics& diagnostics_;
  std::map<Key, Span> first_;
};

}  // namespace lugwise::intake::inside
