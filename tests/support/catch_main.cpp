// The one main of every test program under Catch2 version 2; version 3 brings its own.
#if !__has_include(<catch2/catch_test_macros.hpp>)
#define CATCH_CONFIG_MAIN
#include <catch2/catch.hpp>
#endif
