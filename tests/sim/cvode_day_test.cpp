#include <doctest/doctest.h>

#include <cstdint>
#include <string>
#include <utility>

#include "tests/cvode/as_system.hpp"
#include "tests/support/command.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

// A random day of a whole plant as differential equations with events, integrated by SUNDIALS CVODE with root
// finding at 1e-10 (tests/cvode/plant_day.cpp), against the engine. It proves how the engine integrates, not
// the physics. `tests/cvode/run` does it with 200 designs.

using namespace holdwater;
using test::Near;

namespace {

/// What happened on the days by CVODE.
struct Seen {
    double starts = 0, trips = 0, grid_h = 0, off_h = 0;
};

void compare_day(std::uint64_t seed, plant_day::Kind kind, double longest_step_s, Seen& seen) {
    auto const figures = test::day_figures(plant_day::random_plant(seed, kind), longest_step_s);
    CAPTURE(seed);
    for (auto const& f : figures) {
        CAPTURE(f.name);
        CHECK(f.engine == Near{f.ode, 1e-6 * f.scale, 0});
        for (auto const& [name, sum] :
             {std::pair{"starts", &seen.starts}, std::pair{"dry-run trips", &seen.trips},
              std::pair{"on the grid, h", &seen.grid_h}, std::pair{"inverter off, h", &seen.off_h}})
            if (f.name == name) *sum += f.ode;
    }
}

}  // namespace

TEST_SUITE_BEGIN("sim/cvode_day");

// Among them dry-run trips, transfers and an inverter that switches off.
TEST_CASE("five random days of a whole plant agree with CVODE to a millionth") {
    Seen seen;
    compare_day(1, plant_day::Kind::well, 3600, seen);
    compare_day(2, plant_day::Kind::well, 3600, seen);
    compare_day(4, plant_day::Kind::tank, 3600, seen);
    compare_day(6, plant_day::Kind::tank, 3600, seen);
    compare_day(1, plant_day::Kind::tank_power, 10, seen);
    CHECK(seen.starts > 50);
    CHECK(seen.trips > 0);
    CHECK(seen.grid_h > 10);
    CHECK(seen.off_h > 0.1);
}

TEST_CASE("the equations of the day by CVODE include nothing of the program") {
    for (char const* file :
         {HOLDWATER_SOURCE "/tests/cvode/plant_day.hpp", HOLDWATER_SOURCE "/tests/cvode/plant_day.cpp"}) {
        std::string const code = test::file_text(file);
        REQUIRE(code.size() > 1000);
        for (std::size_t at = code.find("#include \""); at != std::string::npos;
             at = code.find("#include \"", at + 1))
            CHECK(code.compare(at, 24, "#include \"plant_day.hpp\"") == 0);
        CHECK(code.find("holdwater::") == std::string::npos);
    }
}

TEST_SUITE_END();
