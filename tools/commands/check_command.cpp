#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <memory>

#include "scenarios/design/design.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/assumed_inputs.hpp"
#include "sim/check/design_check.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "tools/answers/check_table.hpp"
#include "tools/commands/commands.hpp"
#include "tools/commands/common_options.hpp"
#include "tools/json/check_json.hpp"
#include "tools/show/provenance_view.hpp"
#include "tools/show/units.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::tools {
namespace {

struct CheckArguments {
    std::string scenario, option;
    std::optional<Units> units;
    bool sources = false;
    bool json = false, require = false;
};

void run(CheckArguments const& o, int& exit_code) {
    auto const scenario = scenarios::named_design(scenarios::read_design_file(o.scenario), o.option).scenario;
    sim::CheckOptions options;
    options.units = o.json ? Units::metric : units_of(o.units, scenario);
    std::string no_weather;
    if (!scenario.design_check.sun_h) {
        // On site there may be no weather file yet; the checks are then made without sun hours.
        try {
            auto const year = scenarios::read_scenario_weather(scenario, "");
            options.darkest_month_kwh_per_day =
                sim::darkest_month_kwh_per_day(sim::make_inputs(scenario, year)->array_power_w);
        } catch (scenarios::MissingWeatherError const& error) {
            no_weather = error.what();
        } catch (weather::WeatherError const& error) {
            no_weather = error.what();
        }
    }
    auto const design_check = sim::design_check(scenario, options);
    print_warnings(scenario.warnings, options.units);
    if (!no_weather.empty()) fmt::print(stderr, "warning: no sun for array-to-load: {}\n", no_weather);
    if (o.json)
        fmt::print("{}\n", check_json(scenario, design_check).dump(2));
    else
        fmt::print("{}{}", check_table(scenario, design_check, o.sources),
                   provenance_text(scenarios::provenance_lines(scenario), options.units));
    if (!o.require) return;
    for (auto const& c : design_check.checks) {
        if (!sim::stands_in_the_way(c)) continue;
        fmt::print(stderr, "requirement failed: {} ({}): {}\n", c.name, c.title, c.change);
        exit_code = requirement_failed;
    }
}

}  // namespace

void add_check_command(CLI::App& app, int& exit_code) {
    auto const o = std::make_shared<CheckArguments>();
    CLI::App* const c =
        app.add_subcommand("check", "Do the nameplates fit: motor start, cables, battery, array, tank");
    c->add_option("SCENARIO", o->scenario, "Scenario file (TOML)")->required();
    c->add_option("--option", o->option, "One of the scenario's options by its name");
    c->add_flag("--sources", o->sources,
                "Every check by group, with its figures and the source of its limit");
    add_units(*c, o->units);
    c->add_flag("--json", o->json, "Print the checks as JSON (SI units) and nothing else");
    c->add_flag("--require", o->require, "Exit with 1 when a check fails that is not waived");
    c->footer("Example:  holdwater check scenarios/juniper-bend-household.toml --units us");
    c->callback([o, &exit_code] { run(*o, exit_code); });
}

}  // namespace holdwater::tools
