#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <exception>
#include <string_view>
#include <vector>

#include "tests/cvode/as_system.hpp"

// Random days by CVODE and by the engine (tests/cvode/run). A pump that runs draws its mean power over a step
// of the engine, so days on which that power changes as the tank fills are compared at steps of 10 s; how far
// they differ at steps of an hour is printed.
//   holdwater_cvode_days DESIGNS FIRST-SEED
int main(int argc, char** argv) {
    using namespace holdwater;
    int const designs = argc > 1 ? std::atoi(argv[1]) : 200;
    auto const first = argc > 2 ? std::strtoull(argv[2], nullptr, 10) : 1;
    struct Group {
        std::string_view name;
        plant_day::Kind kind;
        double step_s;
        int designs = 0, agree = 0, agree_hourly = 0;
        double worst = 0, worst_hourly = 0;
    };
    std::array<Group, 3> groups{
        {{"the level of the well moves", plant_day::Kind::well, 3600},
         {"the flow falls as the tank fills", plant_day::Kind::tank, 3600},
         {"flow and power change as the tank fills, steps of 10 s", plant_day::Kind::tank_power, 10}}};
    double starts = 0, trips = 0, grid_h = 0, off_h = 0;
    auto const worst_of = [](std::vector<test::DayFigure> const& figures) {
        return *std::max_element(figures.begin(), figures.end(),
                                 [](auto const& a, auto const& b) { return a.share() < b.share(); });
    };
    for (int i = 0; i < designs; ++i) {
        auto const seed = first + static_cast<unsigned long long>(i);
        Group& g = groups[i % 5 < 2 ? 0 : i % 5 < 4 ? 1 : 2];
        ++g.designs;
        try {
            auto const plant = plant_day::random_plant(seed, g.kind);
            auto const figures = test::day_figures(plant, g.step_s);
            auto const worst = worst_of(figures);
            for (auto const& f : figures) {
                starts += f.name == "starts" ? f.ode : 0;
                trips += f.name == "dry-run trips" ? f.ode : 0;
                grid_h += f.name == "on the grid, h" ? f.ode : 0;
                off_h += f.name == "inverter off, h" ? f.ode : 0;
            }
            g.worst = std::max(g.worst, worst.share());
            if (worst.share() <= 1e-6)
                ++g.agree;
            else
                fmt::print("seed {}, {}: {}: engine {:.10g}, CVODE {:.10g}, {:.2g} of its scale\n", seed,
                           g.name, worst.name, worst.engine, worst.ode, worst.share());
            if (g.step_s == 3600) continue;
            double const hourly = worst_of(test::day_figures(plant, 3600)).share();
            g.worst_hourly = std::max(g.worst_hourly, hourly);
            g.agree_hourly += hourly <= 1e-6;
        } catch (std::exception const& e) {
            fmt::print("seed {}, {}: {}\n", seed, g.name, e.what());
        }
    }
    bool all = true;
    for (Group const& g : groups) {
        all = all && g.agree == g.designs;
        fmt::print("{}: {} of {} days agree to 1e-6; largest difference {:.1e}\n", g.name, g.agree, g.designs,
                   g.worst);
        if (g.step_s != 3600)
            fmt::print("  the same in steps of an hour: {} of {}; largest difference {:.1e}\n",
                       g.agree_hourly, g.designs, g.worst_hourly);
    }
    fmt::print("in all {} starts, {} dry-run trips, {:.0f} h on the grid, {:.0f} h with the inverter off\n",
               starts, trips, grid_h, off_h);
    return all ? 0 : 1;
}
