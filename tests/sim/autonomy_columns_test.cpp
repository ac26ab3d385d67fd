#include "sim/designs/autonomy_columns.hpp"

#include <doctest/doctest.h>

#include <atomic>
#include <memory>
#include <vector>

#include "scenarios/design/design.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "sim/verdict/years_to_run.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;

namespace {

// The livestock demo and its array at half the power; no made years, a start date every 45 days.
struct TwoDesigns {
    std::vector<scenarios::Design> designs;
    std::vector<std::shared_ptr<weather::WeatherYear const>> weather;
    sim::AutonomyOptions asked;
    sim::DrawOptions draw;
    TwoDesigns() {
        auto const base = scenarios::named_design(
            scenarios::read_design_file(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml"), "");
        designs = {base, base};
        designs[1].name = "half";
        designs[1].scenario.array.age_factor /= 2;
        auto const year =
            std::make_shared<weather::WeatherYear const>(scenarios::read_scenario_weather(base.scenario));
        weather = {year, year};
        asked.every_days = 45;
        asked.detail = false;
        draw.years = 0;
    }
    [[nodiscard]] std::vector<sim::AutonomyColumn> columns(double years) const {
        return sim::autonomy_columns(designs, weather, years, asked, draw);
    }
};

}  // namespace

TEST_SUITE_BEGIN("sim/autonomy_columns");

TEST_CASE("the columns are the designs as they are, then the same after ten years of service") {
    TwoDesigns two;
    std::vector<double> told;
    two.asked.progress = [&](double share) { told.push_back(share); };
    auto const columns = two.columns(10);
    REQUIRE(columns.size() == 4);
    CHECK(columns[0].design == columns[2].design);
    CHECK(columns[1].design == "half");
    CHECK(columns[3].design == "half");
    CHECK(columns[1].age_y == 0);
    CHECK(columns[3].age_y == 10);
    // Half the array never lasts longer, and neither does an old battery.
    for (auto const& [less, more] : {std::pair{1, 0}, {2, 0}, {3, 1}, {3, 2}}) {
        auto const& a = columns[static_cast<std::size_t>(less)].figures;
        auto const& b = columns[static_cast<std::size_t>(more)].figures;
        CHECK(a.autonomy.water.worst_d <= b.autonomy.water.worst_d);
        CHECK(a.site_period.held <= b.site_period.held);
    }
    CHECK(columns[1].figures.array_kw == doctest::Approx(columns[0].figures.array_kw / 2));
    CHECK(columns[2].battery_left < 1);
    // The share told only grows, and ends below the whole.
    REQUIRE(told.size() > 4);
    CHECK(std::is_sorted(told.begin(), told.end()));
    CHECK(told.back() <= 1);
    // A column does not depend on those beside it.
    auto alone = two;
    alone.designs.pop_back();
    alone.weather.pop_back();
    auto const one = alone.columns(0);
    REQUIRE(one.size() == 1);
    CHECK(one[0].figures.autonomy.water.worst_d == columns[0].figures.autonomy.water.worst_d);
    CHECK(one[0].figures.site_period.held == columns[0].figures.site_period.held);
}

TEST_CASE("a study that is asked to stop has the finished columns") {
    TwoDesigns two;
    std::atomic<bool> stop = true;
    two.asked.stop = &stop;
    CHECK(two.columns(10).empty());
    // Stopped when a first column is nearly finished: of no design the aged one alone.
    stop = false;
    two.asked.progress = [&](double share) { stop = stop || share > 0.24; };
    auto const some = two.columns(10);
    CHECK(some.size() < 4);
    for (auto const& column : some)
        CHECK(std::any_of(some.begin(), some.end(), [&](auto const& other) {
            return other.design == column.design && other.age_y == 0;
        }));
}

TEST_SUITE_END();
