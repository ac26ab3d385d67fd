#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>
#include <filesystem>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "scenarios/settings/scenario.hpp"
#include "sim/files/whole_file.hpp"
#include "sim/sweep/output_file.hpp"
#include "tools/commands/commands.hpp"
#include "tools/start/starter_interview.hpp"

namespace holdwater::tools {
namespace {

namespace fs = std::filesystem;

// `init` asks for missing answers on a terminal, otherwise it takes the usual values.
struct InitArguments : StarterTexts {
    std::string file = "my-well.toml";
    bool force = false, json = false;
};

bool on_terminal() { return ::isatty(STDIN_FILENO) == 1 && ::isatty(STDOUT_FILENO) == 1; }

// A line from the terminal; empty: the usual answer.
std::string ask(std::string const& question, std::string const& usual) {
    fmt::print("{} [{}]: ", question, usual);
    std::fflush(stdout);
    std::string line;
    if (!std::getline(std::cin, line)) throw std::invalid_argument("init: the questions were not answered");
    return line.empty() ? usual : line;
}

void refuse_existing(fs::path const& path, bool force) {
    if (!force && fs::exists(path))
        throw std::invalid_argument(fmt::format(
            "{}: is there already; give another name, or --force to write over it", path.string()));
}

void run(InitArguments const& o) {
    fs::path const file = o.file;
    fs::path const made_file = (file.parent_path() / file.stem()).string() + "-weather.csv";
    refuse_existing(file, o.force);
    sim::check_output_is_not_read(file.string(), {o.weather});
    bool const asks = on_terminal() && !o.json;
    if (asks) fmt::print("A few questions; Enter takes what is in brackets.\n");
    StarterTalk const talk{ask, [](std::string const& text) { fmt::print("  {}\n", text); }};
    auto facts = starter_facts(o, asks ? &talk : nullptr);
    auto& a = facts.answers;
    auto const& weather = facts.weather;
    if (a.weather_is_made) {
        a.weather_file = made_file.filename().string();
        refuse_existing(made_file, o.force);
    } else {
        fs::path const folder = fs::absolute(file).parent_path();
        a.weather_file =
            fs::path(weather).is_absolute() ? weather : fs::proximate(fs::absolute(weather), folder).string();
    }

    std::string const text = starter_scenario(a);
    (void)scenarios::read_scenario_text(text, file.string());  // nothing is written that cannot be read back
    if (a.weather_is_made) sim::write_whole_file(made_file.string(), starter_weather_csv(facts));
    sim::write_whole_file(file.string(), text);
    if (o.json) {
        nlohmann::ordered_json json{{"scenario", file.string()}, {"weather", nullptr}};
        json["weather"] = a.weather_is_made ? made_file.string() : weather;
        json["weather_is_made"] = a.weather_is_made;
        fmt::print("{}\n", json.dump(2));
        return;
    }
    fmt::print("{}: a scenario to start from; the motor's nameplate comes next.\n", file.string());
    if (a.weather_is_made)
        fmt::print("{}: a year made from the latitude alone, for a start; no quote should rest on it.\n",
                   made_file.string());
    fmt::print("\nNext:\n  holdwater check {0}\n  holdwater simulate {0}\n", file.string());
}

}  // namespace

void add_init_command(CLI::App& app, int&) {
    auto const o = std::make_shared<InitArguments>();
    CLI::App* const c = app.add_subcommand(
        "init", "Write a scenario to start from; on a terminal it asks for missing answers");
    c->add_option("FILE", o->file, "Scenario file to write")->capture_default_str();
    auto const option = [c](char const* name, std::string& value, char const* takes, char const* text) {
        c->add_option(name, value, text)->option_text(takes);
    };
    option("--units", o->units, "us|metric", "Units the scenario is written in (default us)");
    option("--place", o->place, "NAME", "Name of the place");
    option("--title", o->title, "NAME", "Title (default: Well at PLACE)");
    option("--weather", o->weather, "FILE", "Typical-year weather file; without one a year is made");
    option("--latitude", o->latitude, "DEGREES", "North positive; needed to make a weather year");
    option("--longitude", o->longitude, "DEGREES", "East positive; needed to make a weather year");
    option("--elevation", o->elevation, "LENGTH",
           "Above the sea, such as \"3500 ft\" (default: the weather file's, or 650 ft)");
    option("--pump-hp", o->pump_hp, "0.5|0.75|1|1.5|2|3|5", "Pump motor in hp (default 1)");
    option("--pump-kw", o->pump_kw, "0.37|0.55|0.75|1.1|1.5|2.2|3.7",
           "Pump motor in kW (default with --units metric 0.75)");
    c->get_option("--pump-kw")->excludes("--pump-hp");
    option("--wiring", o->wiring, "2-wire|3-wire", "Motor without or with a control box (default 3-wire)");
    option("--depth", o->depth, "LENGTH",
           "Down to the static water level, such as \"120 ft\" (the default) or \"40 m\"");
    option("--switch", o->pressure_switch, "CUT-IN/CUT-OUT",
           "Pressure switch, such as \"40/60 psi\" (the default) or \"2.8/4.1 bar\"");
    option("--tank", o->tank, "VOLUME",
           "Pressure tank, such as \"85 gal\", \"300 L\" or \"2 x 120 gal\" (default: sized for the pump)");
    option("--people", o->persons, "NUMBER", "People in the house (default 3)");
    option("--backup", o->backup, "none|grid|generator", "Backup (default none)");
    option(
        "--generator", o->generator, "POWER",
        "Generator already on site, such as \"7 kW\" (default: sized to start the motor while it charges)");
    option("--battery-place", o->battery_place, "heated|unheated",
           "Where the battery stands (default heated)");
    option("--ac", o->ac, "VOLTS-AND-HERTZ",
           "\"240 V 60 Hz\" (the default), \"230 V 50 Hz\" (with --units metric) or another");
    c->add_flag("--force", o->force, "Overwrite existing files");
    c->add_flag("--json", o->json, "Print the names of the files as JSON and nothing else; no questions");
    c->footer(
        "Example:  holdwater init my-well.toml --place \"Upper farm\" --latitude 44 --longitude -114 --depth "
        "\"120 "
        "ft\" "
        "--pump-hp 1 --people 3 --backup generator");
    c->callback([o] { run(*o); });
}

}  // namespace holdwater::tools
