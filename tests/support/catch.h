// Catch2 in one include, the same for version 2.13 and version 3: test macros, matchers, generators.
//
// Write matchers in their version 3 spelling (`ContainsSubstring`); this header supplies it for version 2.
#pragma once

#if __has_include(<catch2/catch_test_macros.hpp>)

#include <catch2/catch_template_test_macros.hpp>
#include <catch2/catch_test_macros.hpp>
#include <catch2/generators/catch_generators_all.hpp>
#include <catch2/matchers/catch_matchers_all.hpp>

#else

#include <catch2/catch.hpp>

namespace Catch::Matchers {
inline auto ContainsSubstring(std::string const& part, CaseSensitive::Choice choice = CaseSensitive::Yes) {
  return Contains(part, choice);
}
}  // namespace Catch::Matchers

#endif
