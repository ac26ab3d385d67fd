#include "sim/files/csv_text.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdlib>
#include <limits>
#include <string>
#include <vector>

using namespace holdwater;

TEST_SUITE_BEGIN("sim/csv_text");

// RFC 4180, section 2: rules 1 (line breaks are CR LF), 5 and 6 (quotes where line breaks, quotes or commas
// ask for them), 7 (a quote in a field is doubled).
TEST_CASE("fields and lines as RFC 4180 wants them") {
    CHECK(sim::csv_field("aaa") == "aaa");
    CHECK(sim::csv_field("b CRLF\r\nbb") == "\"b CRLF\r\nbb\"");
    CHECK(sim::csv_field("b\"bb") == "\"b\"\"bb\"");
    CHECK(sim::csv_field("b,bb") == "\"b,bb\"");
    CHECK(sim::csv_line({"aaa", "bbb", "ccc"}) == "aaa,bbb,ccc\r\n");
}

// Names of files may hold any character. CSI is U+009B, in UTF-8 C2 9B.
TEST_CASE("a control character that a terminal obeys becomes a question mark, in whatever field") {
    CHECK(sim::csv_field("b\x1b[2J.csv") == "b?[2J.csv");
    CHECK(sim::csv_field("a,\x9b\x7f") == "\"a,??\"");
    CHECK(sim::csv_field("\xc2\x9b"
                         "2J\r") == "?2J?");
    CHECK(sim::csv_field("Z\xc3\xbcrich\ttab") == "Z\xc3\xbcrich\ttab");
}

TEST_CASE("a number reads back as itself, never and not worked out are empty") {
    for (double const value : {0.1, 1.0 / 3, 6.30901964e-5, -2e300, 5e-324, 8760.0, std::nextafter(1.0, 2.0)})
        CHECK(std::strtod(sim::csv_number(value).c_str(), nullptr) == value);
    CHECK(sim::csv_number(0.1) == "0.1");
    CHECK(sim::csv_number(std::numeric_limits<double>::infinity()).empty());
    CHECK(sim::csv_number(std::numeric_limits<double>::quiet_NaN()).empty());
}

TEST_CASE("a heading has its unit behind it") {
    CHECK(sim::csv_heading("pump_run_h", "h") == "pump_run_h [h]");
    CHECK(sim::csv_heading("pump_starts", "1") == "pump_starts");
    CHECK(sim::csv_heading("title", "") == "title");
}

TEST_CASE("a table is a header line and a line for each row") {
    double const none = std::numeric_limits<double>::quiet_NaN();
    sim::Table const table{"t",
                           {{"row", "1", "", std::vector<double>{1, 2}},
                            {"water_m3", "m3", "", std::vector<double>{0.1, none}},
                            {"problem", "", "", std::vector<std::string>{"", "too large, refused"}}}};
    CHECK(sim::csv_header(table) == "row,water_m3 [m3],problem\r\n");
    CHECK(sim::csv_rows(table) == "1,0.1,\r\n2,,\"too large, refused\"\r\n");
    CHECK(sim::csv_rows({"t", {{"row", "1", "", std::vector<double>{}}}}).empty());
}

TEST_SUITE_END();
