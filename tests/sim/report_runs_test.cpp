#include "sim/designs/report_runs.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "sim/year/simulate.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using namespace holdwater::sim;
using test::Near;

namespace {

ReportRuns const& thorn_gully() {
    static auto const runs = [] {
        ReportRequest request;
        request.weather.made_years = 4;
        request.both_units = true;
        return run_report(scenarios::read_design_file(HOLDWATER_SOURCE "/scenarios/thorn-gully-options.toml"),
                          request);
    }();
    return runs;
}

}  // namespace

TEST_SUITE_BEGIN("sim/report_runs");

TEST_CASE("a report has the base design and every option, each with its own year, period and verdict") {
    auto const& r = thorn_gully();
    auto const file = scenarios::read_design_file(HOLDWATER_SOURCE "/scenarios/thorn-gully-options.toml");
    REQUIRE(r.designs.size() == 1 + file.options.size());
    CHECK(r.quoted == 0);
    for (std::size_t i = 0; i < r.designs.size(); ++i) {
        auto const& d = r.designs[i];
        CAPTURE(d.design.name);
        if (i > 0) CHECK(d.design.name == file.options[i - 1].name);
        auto const year = run_year(d.design.scenario, r.weather);
        CHECK(d.figures.year.shortage_hours == year.summary.shortage_hours);
        CHECK(d.figures.year.pump_starts == year.summary.pump_starts);
        CHECK(d.alone.starts.size() == 365);
        CHECK(d.shortage_days.size() == r.clear_sky_shares.size());
        // The brighter the days, the longer it lasts.
        CHECK(std::is_sorted(d.shortage_days.begin(), d.shortage_days.end()));
        REQUIRE(d.design_check_us);
        CHECK(d.design_check_us->checks.size() == d.design_check.checks.size());
        // Without its backup a design does no better.
        CHECK(d.alone.survival.back() <= d.designed.survival.back());
    }
    REQUIRE(r.verdicts);
    CHECK(r.verdicts->designs.size() == r.designs.size());
    CHECK(r.verdicts->designs[0].judged().judged().years.size() == 4);
}

TEST_CASE("the plotted cloudy period is the worst start date, with what is stored on it, until full again") {
    auto const& r = thorn_gully();
    auto const& alone = r.designs[r.quoted].alone;
    auto const& worst = alone.starts[alone.worst];
    CHECK(r.trace.first_day == worst.first_day);
    CHECK(r.trace.cloudy_period_days == site_period_d);
    CHECK(r.trace.begins.soc == worst.begins.soc);
    auto const& hours = r.trace.alone.hours;
    double short_m3 = 0;
    for (std::size_t h = 0; h < 24 * site_period_d; ++h) short_m3 += hours[h].water_short_m3;
    CHECK(short_m3 == Near{worst.water_short_m3, 1e-6, 1e-6});
    CHECK(hours.size() >= 24 * (site_period_d + 3));
    CHECK(hours.size() <= 24 * (site_period_d + 14));
    if (std::isfinite(worst.full_again_h) && worst.full_again_h < 24 * 13)
        CHECK(hours[static_cast<std::size_t>(24 * site_period_d + worst.full_again_h) - 1].battery_soc >=
              full_level);
}

TEST_CASE(
    "a report of an option is the report with this option quoted; without made years it has no verdict") {
    auto const file = scenarios::read_design_file(HOLDWATER_SOURCE "/scenarios/thorn-gully-options.toml");
    ReportRequest request;
    request.option = file.options.at(0).name;
    request.weather.made_years = 0;
    double last = 0;
    request.weather.progress = [&](double share) {
        CHECK(share >= last);
        last = share;
    };
    auto const r = run_report(file, request);
    CHECK(r.quoted == 1);
    CHECK(last == Near{1, 1e-9, 0});
    CHECK(!r.verdicts);
    CHECK(!r.worst_year);
    CHECK(!r.designs[0].design_check_us);
    auto const year = run_year(r.designs[1].design.scenario, r.weather);
    CHECK(r.year.summary.shortage_hours == year.summary.shortage_hours);
    CHECK(r.year.summary.soc_min == year.summary.soc_min);
}

TEST_SUITE_END();
