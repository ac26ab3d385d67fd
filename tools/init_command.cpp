#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <sstream>
#include <stdexcept>

#include "scenarios/quantity.hpp"
#include "scenarios/scenario.hpp"
#include "sim/output_file.hpp"
#include "sim/whole_file.hpp"
#include "tools/commands.hpp"
#include "tools/option_checks.hpp"
#include "tools/starter_scenario.hpp"
#include "weather/read_weather.hpp"
#include "weather/weather_maker.hpp"

namespace holdwater::tools {
namespace {

namespace fs = std::filesystem;
using scenarios::Backup;

struct InitArguments {
    std::string file = "my-well.toml", title, place, weather, depth, backup;
    std::optional<double> latitude_deg, longitude_deg, elevation_m, pump_hp, persons;
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

double in_range(char const* option, double value, double low, double high) {
    if (!(value >= low && value <= high))
        throw std::invalid_argument(
            fmt::format("init: {} {:g} is out of range; accepted: {:g} to {:g}", option, value, low, high));
    return value;
}

double number(char const* option, std::string const& text) {
    if (is_decimal_number(text)) return std::strtod(text.c_str(), nullptr);
    throw std::invalid_argument(fmt::format("init: {} \"{}\" is not a number", option, text));
}

void ask_for_the_rest(InitArguments& o) {
    auto const ask_number = [](std::optional<double>& value, char const* option, char const* question,
                               char const* usual) {
        if (!value) value = number(option, ask(question, usual));
    };
    fmt::print("A few questions; Enter takes what is in brackets.\n");
    if (o.place.empty()) o.place = ask("Name of the place", "My place");
    if (o.weather.empty() && !o.latitude_deg)
        o.weather = ask("Typical-year weather file, or none to make a year from the latitude", "none");
    if (o.weather == "none") o.weather.clear();
    if (o.weather.empty()) {
        ask_number(o.latitude_deg, "--latitude", "Latitude, degrees north", "44");
        ask_number(o.longitude_deg, "--longitude", "Longitude, degrees east (west is negative)", "-100");
    }
    ask_number(o.pump_hp, "--pump-hp", "Pump motor, hp (0.5, 0.75, 1, 1.5, 2, 3 or 5)", "1");
    if (o.depth.empty()) o.depth = ask("Depth down to the resting water, such as 120 ft or 40 m", "120 ft");
    ask_number(o.persons, "--people", "People in the house", "3");
    if (o.backup.empty()) o.backup = ask("Backup: none, grid or generator", "none");
}

Backup backup_of(std::string const& name) {
    if (name.empty() || name == "none") return Backup::none;
    if (name == "grid") return Backup::grid;
    if (name == "generator") return Backup::generator;
    throw std::invalid_argument(
        fmt::format("init: --backup \"{}\" is not a choice; accepted: none, grid, generator", name));
}

double depth_m(std::string const& text) {
    try {
        return in_range("--depth (m)", scenarios::QuantityReader().read(text, "m"), 0, 300);
    } catch (scenarios::QuantityError const& error) {
        throw std::invalid_argument(fmt::format("init: --depth: {}", error.what()));
    }
}

std::string one_line(char const* option, std::string const& text) {
    if (std::any_of(text.begin(), text.end(), [](unsigned char c) { return c < 0x20 || c == 0x7f; }))
        throw std::invalid_argument(fmt::format("init: {} must be one line of text", option));
    return text;
}

void refuse_existing(fs::path const& path, bool force) {
    if (!force && fs::exists(path))
        throw std::invalid_argument(fmt::format(
            "{}: is there already; give another name, or --force to write over it", path.string()));
}

void run(InitArguments o) {
    fs::path const file = o.file;
    fs::path const made_file = (file.parent_path() / file.stem()).string() + "-weather.csv";
    refuse_existing(file, o.force);
    sim::check_output_is_not_read(file.string(), {o.weather});
    bool const asked = on_terminal() && !o.json;
    if (asked) ask_for_the_rest(o);
    StarterAnswers a;
    a.weather_is_made = o.weather.empty();
    if (a.weather_is_made) {
        if (!o.latitude_deg || !o.longitude_deg)
            throw std::invalid_argument(
                "init: give --weather FILE, or --latitude and --longitude to make a year for a start");
        a.latitude_deg = in_range("--latitude", *o.latitude_deg, -65, 65);
        a.elevation_m = in_range("--elevation-m", o.elevation_m.value_or(200), -400, 4000);
        a.weather_file = made_file.filename().string();
        refuse_existing(made_file, o.force);
    } else {
        auto const site = weather::read_weather(o.weather).site;
        a.latitude_deg = site.latitude_deg;
        a.elevation_m = o.elevation_m.value_or(site.elevation_m);
        fs::path const folder = fs::absolute(file).parent_path();
        a.weather_file = fs::path(o.weather).is_absolute()
                             ? o.weather
                             : fs::proximate(fs::absolute(o.weather), folder).string();
    }
    a.place = one_line("--place", o.place.empty() ? "My place" : o.place);
    a.title = one_line("--title", o.title.empty() ? "Well at " + a.place : o.title);
    a.pump_hp = o.pump_hp.value_or(1);
    a.depth_m = depth_m(o.depth.empty() ? "120 ft" : o.depth);
    a.persons = in_range("--people", o.persons.value_or(3), 0, 1000);
    a.backup = backup_of(o.backup);

    std::string const text = starter_scenario(a);
    (void)scenarios::read_scenario_text(text, file.string());  // nothing is written that cannot be read
    if (a.weather_is_made) {
        std::ostringstream csv;
        weather::write_plain_csv(csv, weather::make_weather(starter_weather(a, *o.longitude_deg)));
        sim::write_whole_file(made_file.string(), csv.str());
    }
    sim::write_whole_file(file.string(), text);
    if (o.json) {
        nlohmann::ordered_json json{{"scenario", file.string()}, {"weather", nullptr}};
        json["weather"] = a.weather_is_made ? made_file.string() : o.weather;
        json["weather_is_made"] = a.weather_is_made;
        fmt::print("{}\n", json.dump(2));
        return;
    }
    fmt::print("{}: a scenario to start from; the motor's nameplate comes next.\n", file.string());
    if (a.weather_is_made)
        fmt::print("{}: a year made from the latitude alone, for a start; no quote should rest on it.\n",
                   made_file.string());
    fmt::print("\nNext:\n  holdwater preflight {0}\n  holdwater simulate {0}\n", file.string());
}

}  // namespace

void add_init_command(CLI::App& app, int&) {
    auto const o = std::make_shared<InitArguments>();
    CLI::App* const c = app.add_subcommand(
        "init", "Write a scenario to start from; on a terminal it asks for what is not given");
    c->add_option("FILE", o->file, "Scenario file to write")->capture_default_str();
    c->add_option("--place", o->place, "Name of the place");
    c->add_option("--title", o->title, "Title (default: Well at PLACE)");
    c->add_option("--weather", o->weather, "Typical-year weather file; without one a year is made");
    c->add_option("--latitude", o->latitude_deg, "Degrees, north positive; where a year is made");
    c->add_option("--longitude", o->longitude_deg, "Degrees, east positive; where a year is made")
        ->check(CLI::Range(-180.0, 180.0));
    c->add_option("--elevation-m", o->elevation_m,
                  "Metres above the sea (default: the weather file's, or 200)");
    c->add_option("--pump-hp", o->pump_hp, "Pump motor in hp (default 1)")
        ->check(CLI::IsMember(std::vector<double>{0.5, 0.75, 1, 1.5, 2, 3, 5}))
        ->option_text("0.5|0.75|1|1.5|2|3|5");
    c->add_option("--depth", o->depth,
                  "Down to the resting water, such as \"120 ft\" (the default) or \"40 m\"");
    c->add_option("--people", o->persons, "People in the house (default 3)");
    c->add_option("--backup", o->backup, "Backup (default none)")->option_text("none|grid|generator");
    c->add_flag("--force", o->force, "Write over files that are there");
    c->add_flag("--json", o->json, "Print the names of the files as JSON and nothing else; no questions");
    c->footer(
        "Example:  holdwater init my-well.toml --place \"Upper farm\" --latitude 44 --longitude -114 --depth "
        "\"120 "
        "ft\" "
        "--pump-hp 1 --people 3 --backup generator");
    c->callback([o] { run(*o); });
}

}  // namespace holdwater::tools
