#include "weather/quality.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "tests/support/near.hpp"
#include "tests/weather/made_files.hpp"
#include "weather/csv.hpp"

using namespace holdwater::weather;
using holdwater::test::Near;
using holdwater::test::reader_year;

TEST_SUITE_BEGIN("weather/quality");

// Long & Dutton, BSRN recommended QC tests V2; Long & Shi 2008: coefficients of the extremely rare GHI and
// DHI compared with several reprints, the rest with one. Rows recomputed for 1361.1 W/m2.
TEST_CASE("limits of what is possible and what is rare") {
    struct Row {
        double z, ghi, ghi_rare, dhi, dhi_rare, dni, dni_rare;
    };
    for (auto const& r : std::vector<Row>{{30, 1817.98, 1424.38, 1138.05, 888.99, 1361.1, 1266.38},
                                          {60, 988.68, 760.94, 612.83, 474.34, 1361.1, 1135.66},
                                          {80, 349.80, 249.84, 208.20, 154.90, 1361.1, 921.06}}) {
        CAPTURE(r.z);
        double const mu = std::cos(r.z * 3.14159265358979323846 / 180);
        auto const possible = physically_possible(mu, 1361.1), rare = extremely_rare(mu, 1361.1);
        CHECK(possible.ghi_w_m2 == Near{r.ghi, 0.01, 0});
        CHECK(possible.dhi_w_m2 == Near{r.dhi, 0.01, 0});
        CHECK(possible.dni_w_m2 == Near{r.dni, 0.01, 0});
        CHECK(rare.ghi_w_m2 == Near{r.ghi_rare, 0.01, 0});
        CHECK(rare.dhi_w_m2 == Near{r.dhi_rare, 0.01, 0});
        CHECK(rare.dni_w_m2 == Near{r.dni_rare, 0.01, 0});
    }
    CHECK(physically_possible(-0.3, 1361.1).ghi_w_m2 == 100);
}

TEST_CASE("a good year has nothing to report; each fault is counted") {
    Site const site{40, -105, 1600, -7};
    auto const sun = sun_over_year(site);
    auto const good = reader_year(site);
    auto const clean = check_quality(good, sun);
    CHECK(clean.beyond_possible_h + clean.beyond_rare_h + clean.ratio_h + clean.light_without_sun_h +
              clean.stuck_light_h + clean.stuck_temperature_h ==
          0);
    CHECK(clean.closure_residual < 1e-9);
    double ghi = 0;
    for (double v : good.ghi_w_m2) ghi += v / 1000;
    CHECK(clean.ghi_kwh_m2 == Near{ghi, 0, 1e-12});

    auto bad = good;
    auto const noon = static_cast<std::size_t>(hour_index(6, 3, 12));
    bad.ghi_w_m2[noon] = 2400;
    CHECK(check_quality(bad, sun).beyond_possible_h == 1);
    CHECK(check_quality(bad, sun).ratio_h == 1);
    bad = good;
    bad.dhi_w_m2[noon] = 1.2 * bad.ghi_w_m2[noon];
    CHECK(check_quality(bad, sun).ratio_h == 1);
    bad = good;
    bad.ghi_w_m2[static_cast<std::size_t>(hour_index(6, 3, 0))] = 5;
    CHECK(check_quality(bad, sun).light_without_sun_h == 1);
    bad = good;
    for (std::size_t i = noon; i < noon + 4; ++i) bad.ghi_w_m2[i] = 300;
    CHECK(check_quality(bad, sun).stuck_light_h == 4);
    for (std::size_t i = 100; i < 130; ++i) bad.temperature_c[i] = 5;
    CHECK(check_quality(bad, sun).stuck_temperature_h == 30);
    ShiftTest shift;
    add_warnings(bad, check_quality(bad, sun), shift, "");
    CHECK(std::count(bad.warnings.begin(), bad.warnings.end(),
                     "4 hours lie in runs of 4 or more equal GHI values; a stuck sensor?") == 1);
    CHECK(std::count(bad.warnings.begin(), bad.warnings.end(),
                     "30 hours lie in runs of 24 or more equal temperatures; a stuck sensor?") == 1);
}

TEST_CASE("the shift test finds the clock error put in, and agrees with a sun really moved") {
    Site const site{40, -105, 1600, -7};
    auto const year = reader_year(site);
    HourTable hours;
    hours.ghi_w_m2 = year.ghi_w_m2;
    hours.dni_w_m2 = year.dni_w_m2;
    hours.dhi_w_m2 = year.dhi_w_m2;
    for (int error_min : {-60, -30, -10, 0, 10, 30, 60}) {
        CAPTURE(error_min);
        // The sun as the file's wrong clock has it; the test must move it back.
        auto const sun = sun_over_year(site, 2023, error_min);
        std::vector<int> shifts;
        for (int shift = -60; shift <= 60; shift += 10)
            if (shift != 0) shifts.push_back(shift);
        auto const test = closure_shift_test(hours, sun, shifts);
        CHECK(test.best_shift_min == -error_min);
        double const moved = closure_residual(year.ghi_w_m2, year.dni_w_m2, year.dhi_w_m2,
                                              sun_over_year(site, 2023, error_min + test.best_shift_min));
        CHECK(test.best_residual == Near{moved, 0.003, 0});
        CHECK(test.residual ==
              Near{closure_residual(year.ghi_w_m2, year.dni_w_m2, year.dhi_w_m2, sun), 1e-12, 0});
    }
}

TEST_CASE("fields: quotes, blanks, separators, numbers and words for missing") {
    std::vector<std::string_view> fields;
    split_fields(" a , \"b, c\" ,,d\t", ',', fields);
    CHECK(fields == std::vector<std::string_view>{"a", "b, c", "", "d"});
    split_fields("", ',', fields);
    CHECK(fields == std::vector<std::string_view>{""});
    split_fields("\"open, end", ',', fields);
    CHECK(fields == std::vector<std::string_view>{"open, end"});
    split_fields("1;2;", ';', fields);
    CHECK(fields == std::vector<std::string_view>{"1", "2", ""});
    std::string const file = "f";
    CHECK(number("+1.5e1", "x", {file, 1}) == 15);
    CHECK(number("-0.25", "x", {file, 1}) == -0.25);
    for (auto const* word : {"", "NaN", "nan", "NA", "null", "-"})
        CHECK(std::isnan(number(word, "x", {file, 1})));
    CHECK(split_lines("a\r\nb\n\n\n").size() == 2);
    CHECK(to_utf8("caf\xE9") == "caf\xC3\xA9");
    CHECK(to_utf8("caf\xC3\xA9") == "caf\xC3\xA9");
    CHECK(to_utf8("cut \xC3") == "cut \xC3\x83");
}

TEST_SUITE_END();
