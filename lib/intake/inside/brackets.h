// The brackets and quotes of a text: what is never closed, and what closes another than it should.
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

namespace lugwise::intake::inside {

// Deeper than this nothing is read.
inline constexpr std::size_t kDeepest = 40;

// Walks over brackets, skipping quotes and comments well enough for netlists; block scalars are not recognised. All places are
// bytes of the text.
class Brackets {
 public:
  explicit Brackets(std::string_view text);

  // Where the quote that begins there ends; npos where it doesn't.
  static std::size_t quote_end(std::string_view text, std::size_t start);

  std::optional<std::size_t> too_deep() const { return too_deep_; }
  std::optional<std::size_t> open_quote() const { return open_quote_; }
  // A bracket, and what closes it and is none of its kind.
  std::optional<std::pair<std::size_t, std::size_t>> mismatch() const { return mismatch_; }
  std::optional<std::size_t> unclosed() const {
    if (open_.empty()) return std::nullopt;
    return open_.back();
  }

 private:
  std::vector<std::size_t> open_;
  std::optional<std::size_t> too_deep_, open_quote_;
  std::optional<std::pair<std::size_t, std::size_t>> mismatch_;
};

}  // namespace lugwise::intake::inside
