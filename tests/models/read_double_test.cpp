#include <doctest/doctest.h>
#include <fmt/format.h>

#include <bit>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <random>
#include <string>
#include <system_error>

// The reader for libraries whose std::from_chars reads no doubles, under a name of its own: here the library
// has one that it can be compared with.
#undef __cpp_lib_to_chars
#define read_double read_double_by_strtod
#include "models/numeric/read_double.hpp"
#undef read_double

using holdwater::models::read_double_by_strtod;

namespace {

void reads_the_same(std::string const& text) {
    CAPTURE(text);
    double read = -7, expected = -7;  // stays where the text is no number
    char const *const first = text.data(), *const last = first + text.size();
    auto const a = read_double_by_strtod(first, last, read);
    auto const b = std::from_chars(first, last, expected);
    CHECK(a.ec == b.ec);
    CHECK(a.ptr - first == b.ptr - first);
    CHECK(std::bit_cast<std::uint64_t>(read) == std::bit_cast<std::uint64_t>(expected));
}

}  // namespace

TEST_SUITE_BEGIN("models/read_double");

TEST_CASE("without the library's reader, numbers are read to the same bits and up to the same character") {
    for (char const* text : {"0",        "-0",
                             "12",       "1.5",
                             ".5",       "5.",
                             "-.25",     "1e3",
                             "1E3",      "2.5e-3",
                             "2.5e+3",   "-7e-2",
                             "1e",       "1e+",
                             "1e-",      "1ex",
                             "e5",       "",
                             "-",        ".",
                             "-.",       "+1",
                             " 1",       "1 ",
                             "1,5",      "1..2",
                             "0x1p3",    "48 V",
                             "1.2e3kWh", "0e9",
                             "0.0e-9",   "1e308",
                             "1e309",    "-1e400",
                             "1e-310",   "1e-400",
                             "0.1",      "123456789012345678901234"})
        reads_the_same(text);
    std::mt19937_64 random(1);
    std::string const characters = "0123456789012345678901234567890123456789..--+eE x";
    for (int i = 0; i < 5000; ++i) {
        std::string text(1 + random() % 12, ' ');
        for (char& c : text) c = characters[random() % characters.size()];
        reads_the_same(text);
        reads_the_same(fmt::format("{}", std::bit_cast<double>(random() & ~(std::uint64_t{1} << 62))));
    }
}

TEST_CASE("by hand: 2.5e-3 is 5/2000, and what follows the number is left") {
    std::string const text = "2.5e-3 kW";
    double value = 0;
    auto const read = read_double_by_strtod(text.data(), text.data() + text.size(), value);
    CHECK(value == 5.0 / 2000);
    CHECK(std::string(read.ptr) == " kW");
}

TEST_CASE("without the library's reader, inf and nan are no numbers") {
    for (std::string const text : {"inf", "-inf", "nan", "infinity"}) {
        double value = -7;
        CHECK(read_double_by_strtod(text.data(), text.data() + text.size(), value).ec ==
              std::errc::invalid_argument);
        CHECK(value == -7);
    }
}

TEST_SUITE_END();
