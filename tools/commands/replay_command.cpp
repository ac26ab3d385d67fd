#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "scenarios/design/design.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "sim/replay/replay.hpp"
#include "tools/answers/replay_table.hpp"
#include "tools/commands/commands.hpp"
#include "tools/commands/common_options.hpp"
#include "tools/json/replay_json.hpp"
#include "tools/show/json_text.hpp"
#include "tools/show/table_out.hpp"

namespace holdwater::tools {
namespace {

struct ReplayArguments {
    std::string scenario, log, option, weather, result, out;
    std::vector<std::string> columns;
    std::optional<Units> units;
    bool json = false;
};

// "water_meter=Total flow:gal", "time=Timestamp".
sim::LogColumns column_map(std::vector<std::string> const& given) {
    sim::LogColumns map;
    std::string names = "time";
    for (auto const& facts : sim::log_quantity_facts()) names += fmt::format(", {}", facts.name);
    for (std::string const& text : given) {
        auto const equals = text.find('=');
        std::string const quantity = text.substr(0, equals);
        std::string name = equals == std::string::npos ? "" : text.substr(equals + 1), unit;
        if (auto const colon = name.rfind(':'); colon != std::string::npos) {
            unit = name.substr(colon + 1);
            name.erase(colon);
        }
        auto const& all = sim::log_quantity_facts();
        auto const facts =
            std::find_if(all.begin(), all.end(), [&](auto const& f) { return f.name == quantity; });
        if (name.empty() || (quantity != "time" && facts == all.end()))
            throw CLI::ValidationError(
                "--column", fmt::format("\"{}\" is not QUANTITY=NAME or QUANTITY=NAME:UNIT; quantities: {}",
                                        text, names));
        if (quantity == "time") {
            map.time = name;
            continue;
        }
        for (auto const& before : map.columns)
            if (before.quantity == facts->quantity)
                throw CLI::ValidationError("--column", fmt::format("{} is given twice", quantity));
        map.columns.push_back({facts->quantity, name, unit});
    }
    return map;
}

void run(ReplayArguments const& o) {
    check_table_path(o.out, sim::outputs::replay, {o.scenario, o.log, o.weather, o.result});
    auto const scenario = scenarios::named_design(scenarios::read_design_file(o.scenario), o.option).scenario;
    auto const log = sim::read_site_log(o.log, column_map(o.columns));
    auto const typical = scenarios::read_scenario_weather(scenario, o.weather);
    std::optional<sim::ReplayYear> promised;
    if (!o.result.empty()) promised = sim::replay_year(o.result);
    auto const replay = sim::replay_log(log, scenario, typical, o.weather.empty() ? nullptr : &typical,
                                        promised ? &*promised : nullptr);
    if (!o.out.empty())
        sim::write_table(o.out,
                         {{"scenario_path", o.scenario}, {"log", o.log}, {"version", HOLDWATER_VERSION}},
                         scenario.text, {replay_days_table(replay)});
    auto const units = units_of(o.units, scenario);
    print_warnings(scenario.warnings, units);
    if (o.json)
        fmt::print("{}\n", json_text(replay_json(log, replay)));
    else
        fmt::print("{}", replay_table(log, replay, o.result, units));
}

}  // namespace

void add_replay_command(CLI::App& app, int&) {
    auto const o = std::make_shared<ReplayArguments>();
    CLI::App* const c = app.add_subcommand(
        "replay", "What does a site's log say? Fitted inputs, logged beside modeled, promises that held");
    c->add_option("SCENARIO", o->scenario, "Scenario file (TOML)")->required();
    c->add_option("LOG", o->log,
                  "Log of the site (CSV with a header row, at least a row an hour, local standard time). "
                  "Powers are means "
                  "since the row before; meter and starts count up")
        ->required();
    c->add_option("--option", o->option, "One of the scenario's options by its name");
    c->add_option(
         "--column", o->columns,
         "Column of a quantity, with its unit if it is not in brackets behind the name: "
         "\"water_meter=Total flow:gal\". Quantities: time, soc, battery_volts, array_power, pump_power, "
         "pump_starts, load_power, generator_power, water_meter; a column that has this name is found "
         "without it")
        ->option_text("QUANTITY=NAME:UNIT");
    c->add_option("--weather", o->weather,
                  "Weather file of the dates of the log; needed for the soiling of the array")
        ->option_text("FILE");
    c->add_option("--result", o->result, "Result of simulate --out whose promises are judged")
        ->option_text("FILE");
    c->add_option("--out", o->out, "Also write every day, logged and modeled, to this file, .csv or .h5")
        ->option_text("FILE");
    add_units(*c, o->units);
    c->add_flag("--json", o->json, "Print as JSON (SI units) and nothing else");
    c->footer(
        "Examples:\n"
        "  holdwater replay design.toml site.csv --result design.h5\n"
        "  holdwater replay design.toml site.csv --column time=Timestamp --column \"soc=Battery SOC:%\" "
        "--weather 2025.csv");
    c->callback([o] { run(*o); });
}

}  // namespace holdwater::tools
