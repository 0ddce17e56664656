// One include for both Catch2 versions in use: Debian 12's 2.13 and the current 3.
#pragma once

#if __has_include(<catch2/catch_test_macros.hpp>)
#include <catch2/catch_approx.hpp>
#include <catch2/catch_test_macros.hpp>
#include <catch2/generators/catch_generators.hpp>
#include <catch2/generators/catch_generators_range.hpp>
#include <catch2/matchers/catch_matchers_floating_point.hpp>
#include <catch2/matchers/catch_matchers_string.hpp>
using Catch::Approx;
#else
#include <catch2/catch.hpp>
using Catch::Detail::Approx;
#endif
