#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <functional>
#include <optional>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

#include "scenarios/design/design.hpp"
#include "scenarios/design/search_settings.hpp"
#include "scenarios/settings/field_words.hpp"
#include "scenarios/text/key_list.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using scenarios::Override;

namespace {

std::string text_of(std::filesystem::path const& path) {
    std::ifstream in(path);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

bool in_a_name(char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_'; }

// The first argument of every call that reads a key, where it is a literal: number("tilt", ...) or
// read_pair(s, "accepted_volts", ...).
std::set<std::string> keys_asked_for(std::string const& source) {
    constexpr std::array<std::string_view, 14> readers{
        "quantity", "number",     "text",        "choice", "days",      "flag",      "list",
        "has",      "clock_time", "read_window", "stamp",  "read_pair", "read_size", "texts"};
    std::set<std::string> keys;
    for (std::size_t quote = source.find('"'); quote != std::string::npos;
         quote = source.find('"', quote + 1)) {
        std::size_t open = quote;
        if (open >= 3 && source.compare(open - 3, 3, "s, ") == 0) open -= 3;
        if (open == 0 || source[open - 1] != '(') continue;
        std::size_t begin = open - 1;
        while (begin > 0 && in_a_name(source[begin - 1])) --begin;
        std::string_view const call(source.data() + begin, open - 1 - begin);
        if (std::find(readers.begin(), readers.end(), call) == readers.end()) continue;
        std::size_t const end = source.find('"', quote + 1);
        std::string const key = source.substr(quote + 1, end - quote - 1);
        if (!key.empty() && std::all_of(key.begin(), key.end(), in_a_name)) keys.insert(key);
    }
    return keys;
}

// A design with further tables and values, so that every key of the list is read in one of them. The errors
// of a scenario are listed together, so the designs need not be complete.
struct Ground {
    std::string demo, added;
    std::vector<Override> changes;
    std::vector<Override> removed{};
};

std::vector<Ground> const& grounds() {
    static std::vector<Ground> const list{
        {"juniper-bend-household", "", {}},
        {"juniper-bend-household",
         "[[outage]]\nstart = \"01-02 03:00\"\nlength = \"2 h\"\n[[bypass]]\nstart = \"01-02 03:00\"\nlength "
         "= \"2 h\"\n"
         "[[array.horizon]]\nazimuth = \"90 deg\"\nelevation = \"5 deg\"\n[[array.tilt_changes]]\nfrom = "
         "\"03-21\"\n"
         "tilt = \"30 deg\"\n[[array.snow.periods]]\nfrom = \"01-02\"\nto = \"01-09\"\n[[waiver]]\ncheck = "
         "\"x\"\n"
         "reason = \"x\"\n[weather.columns]\ntime = \"t\"\n[provenance]\n\"battery.capacity\" = "
         "\"assumed\"\n",
         {}},
        {"juniper-bend-household",
         "[array.tracker]\naxis_tilt = \"0 deg\"\n",
         {},
         {{"array.tilt", ""}, {"array.azimuth", ""}}},
        {"juniper-bend-household",
         "[[array.tilt_changes]]\nfrom = \"03-21\"\ntilt = \"30 deg\"\n",
         {},
         {{"array.tilt", ""}}},
        {"juniper-bend-household", "", {{"backup.kind", "\"grid\""}}},
        {"juniper-bend-household", "", {}, {{"battery.capacity", ""}, {"battery.nominal_voltage", ""}}},
        {"juniper-bend-household",
         "",
         {{"battery.unit_voltage", "\"12 V\""}, {"battery.in_series", "4"}, {"battery.in_parallel", "1"}},
         {{"battery.capacity", ""}, {"battery.nominal_voltage", ""}}},
        {"juniper-bend-household",
         "",
         {{"generator.fuel_loads", "[0.5, 1]"}, {"generator.fuel_rates", "[\"2 L/h\", \"3 L/h\"]"}},
         {{"generator.fuel_at_half_load", ""}, {"generator.fuel_at_full_load", ""}}},
        {"juniper-bend-household",
         "",
         {{"outage_statistics.saifi", "1"},
          {"outage_statistics.caidi", "\"1 h\""},
          {"outage_statistics.major_saifi", "1"},
          {"outage_statistics.major_caidi", "\"1 h\""}}},
        {"juniper-bend-household", "", {{"array.glass_model", "\"fresnel\""}}},
        {"juniper-bend-household", "", {{"array.temperature_model", "\"king\""}}},
        {"juniper-bend-household", "", {{"array.temperature_model", "\"noct\""}}},
        {"juniper-bend-household",
         "[array.module]\ndescribed_by = \"data sheet\"\nshort_circuit_current = \"10 "
         "A\"\nopen_circuit_voltage = \"50 V\"\n"
         "max_power_current = \"9.5 A\"\nmax_power_voltage = \"41 V\"\ncurrent_temperature_coefficient = "
         "\"0.05 %/K\"\n"
         "voltage_temperature_coefficient = \"-0.28 %/K\"\n",
         {{"controller.kind", "\"pwm\""}},
         {{"array.rated_power", ""}}},
        {"juniper-bend-household", "", {}, {{"motor.rated_input", ""}, {"motor.service_factor_input", ""}}},
        {"larkspur-rim-choice",
         "parts = [\"parts\"]",
         {{"tank.part", "\"captive-air-85gal\""}},
         {{"prices.purchase", ""}, {"tank.volume", ""}}},
        {"juniper-bend-household", "", {}, {{"pump.shaft_power", ""}}},
        {"juniper-bend-household", "", {}, {{"well.static_level", ""}}},
        {"juniper-bend-household", "", {}, {{"tank.volume", ""}}},
        {"juniper-bend-household",
         "",
         {{"pump_gate.from", "\"09:00\""},
          {"pump_gate.until", "\"15:00\""},
          {"pump_gate.battery_above", "0.5"}}},
        {"juniper-bend-household", "", {{"latitude", "\"44 deg\""}, {"longitude", "\"-114 deg\""}}},
        {"juniper-bend-household",
         "[[use]]\nname = \"x\"\nkind = \"livestock\"\nheads = 3\nper_head = [\"9 gal\", \"12 gal\"]\n",
         {},
         {{"demand.daily", ""}, {"demand.tap_flow", ""}}},
        {"juniper-bend-household", "", {{"controller.kind", "\"pwm\""}}},
        {"juniper-bend-household", "", {{"generator.start", "\"by-hand\""}}},
        {"juniper-bend-household",
         "",
         {{"array.module.described_by", "\"diode\""}},
         {{"array.rated_power", ""}}},
        {"juniper-bend-household",
         "",
         {{"array.module.described_by", "\"data sheet\""}},
         {{"array.rated_power", ""}}},
        {"juniper-bend-household",
         "",
         {{"array.module.described_by", "\"rated power\""}},
         {{"array.rated_power", ""}}},
        {"juniper-bend-household", "", {{"battery.unit_voltage", "\"12 V\""}}},
        {"juniper-bend-household", "", {{"battery.rated_hours", "[\"5 h\", \"20 h\"]"}}},
        {"juniper-bend-household",
         "",
         {{"demand.series.file", "\"x.csv\""},
          {"demand.series.time", "\"t\""},
          {"demand.series.volume", "\"v\""},
          {"demand.series.volume_unit", "\"gal\""}},
         {{"demand.daily", ""}}},
        {"juniper-bend-household",
         "",
         {{"well.intake_depth", "\"150 ft\""}, {"well.transmissivity", "\"0.001 m2/s\""}}},
        {"juniper-bend-household", "[[use]]\nname = \"x\"\nkind = \"household\"\npersons = 3\n", {}},
        {"juniper-bend-household", "[[use]]\nname = \"x\"\nkind = \"livestock\"\nheads = 3\n", {}},
        {"juniper-bend-household",
         "[[use]]\nname = \"x\"\nkind = \"livestock\"\nheads = 3\nper_head = [\"9 gal\"]\n",
         {}},
        {"juniper-bend-household",
         "[[use]]\nname = \"x\"\nkind = \"irrigation\"\nfrom_hour = 3\nuntil_hour = 5\n"
         "daily_by_month = [\"1 gal/day\",\"1 gal/day\",\"1 gal/day\",\"1 gal/day\",\"1 gal/day\",\"1 "
         "gal/day\",\"1 gal/day\","
         "\"1 gal/day\",\"1 gal/day\",\"1 gal/day\",\"1 gal/day\",\"1 gal/day\"]\n",
         {}},
        {"juniper-bend-household", "[[use]]\nname = \"x\"\nkind = \"leak\"\n", {}},
        {"juniper-bend-household", "[[use]]\nname = \"x\"\nkind = \"other\"\n", {}},
        {"juniper-bend-household", "[[use]]\nname = \"x\"\nkind = \"backwash\"\n", {}},
        {"saltbush-livestock", "", {{"trough.fill_battery_above", "0.5"}}},
        {"saltbush-livestock", "", {{"trough.fill_from", "9"}, {"trough.fill_until", "15"}}},
        {"juniper-bend-household", "", {{"load.1.thermostat", "\"4 degC\""}}},
        {"juniper-bend-household", "", {{"tank.low_pressure_cutoff", "\"20 psi\""}}},
        {"juniper-bend-household",
         "",
         {{"tank.low_pressure_cutoff", "\"20 psi\""}, {"tank.low_pressure_reset", "\"automatic\""}}},
        {"alder-flat-outages", "", {{"backup.forewarned", "\"24 h\""}}},
        {"juniper-bend-household",
         "",
         {{"backup.kind", "\"grid\""}, {"backup.transfer", "\"by-hand\""}},
         {{"backup.charge_to", ""}}},
        {"juniper-bend-household",
         "[tariff]\npeak_from = 16\npeak_until = 21\npeak_price = 0.5\nlow_from = 0\nlow_until = "
         "6\nlow_price = 0.1\n",
         {{"backup.kind", "\"grid\""},
          {"backup.normal_source", "\"grid\""},
          {"backup.charge_to", "0.9"},
          {"tariff.reserve", "0.5"}}},
        {"juniper-bend-household",
         "[second_backup]\nkind = \"generator\"\ntransfer_below = 0.4\nreturn_above = 0.8\n",
         {{"backup.kind", "\"grid\""}}},
        {"juniper-bend-household", "", {{"inverter.phases", "3"}, {"inverter.split_phase", "false"}}},
        {"juniper-bend-household", "", {{"wiring.motor_protection", "\"8 A\""}}},
        {"juniper-bend-household", "", {{"cable.1.size", "\"4 mm2\""}}},
        {"alder-flat-cistern", "", {{"cistern.fill_from", "9"}, {"cistern.fill_until", "15"}}},
        {"juniper-bend-tankless", "", {}},
        {"alder-flat-cistern", "", {}},
        {"alder-flat-outages", "", {}},
        {"saltbush-livestock", "", {}},
        {"thorn-gully-options", "", {}},
        {"larkspur-rim-choice", "", {}},
        {"larkspur-rim-choice", "parts = [\"parts\"]", {}}};
    return list;
}

std::string text_of(Ground const& ground) {
    auto const demo = text_of(HOLDWATER_SOURCE "/scenarios/" + ground.demo + ".toml");
    return ground.added.starts_with("parts") ? ground.added + "\n" + demo : demo + "\n" + ground.added;
}

// What the readers say of the design with one key set, and nothing else of the same name wrong before.
std::string said(Ground const& ground, std::string const& key, std::string const& value) {
    auto changes = ground.changes;
    changes.push_back({key, value});
    try {
        auto const file = scenarios::read_design_text(text_of(ground), HOLDWATER_SOURCE "/scenarios/x.toml");
        (void)scenarios::option_design(file, {"x", changes, ground.removed, 0});
    } catch (std::exception const& error) {
        return error.what();
    }
    return "";
}

// [search] is read by itself.
std::string said_of_search(std::string const& key, std::string const& value) {
    auto const dot = key.rfind('.');
    auto const table = key.substr(0, dot);
    auto const head = table == "search.axis"
                          ? "[[search.axis]]\nname = \"x\"\n\"battery.capacity\" = [\"1 kWh\"]\n"
                          : "[" + table + "]\n";
    auto const line = key == "search.axis.name" ? "" : key.substr(dot + 1) + " = " + value + "\n";
    try {
        (void)scenarios::read_search({"x.toml", head + line, {}, {}, nullptr});
    } catch (std::exception const& error) {
        return error.what();
    }
    return "";
}

bool in_text(std::string_view key) {
    constexpr std::array<std::string_view, 7> texts{"text",          "path",   "column",    "unit",
                                                    "list of paths", "letter", "YYYY-MM-DD"};
    auto const* const k = scenarios::key_text(key);
    return std::find(texts.begin(), texts.end(), k->unit) != texts.end();
}

// The key with the number of the entry that `grounds` have: "pipe.1.length".
std::string placed(std::string const& key) {
    for (char const* const list :
         {"load", "pipe", "cable", "use", "outage", "bypass", "waiver", "array.tilt_changes"})
        if (key.starts_with(std::string(list) + "."))
            return fmt::format("{}.1{}", list, key.substr(std::string_view(list).size()));
    return key;
}

// Keys that stand for any key, and those of an option, which other tests read.
bool any_key(std::string const& key) {
    return key.find("KEY") != std::string::npos || key.starts_with("option.");
}

// How a design is read with the key set to a value.
using Said = std::function<std::string(std::string const& value)>;

// What the readers say of a value that they cannot accept, and the design of which they say it.
struct Refusal {
    std::string line;
    Said said;
};

// The first line about the key with this word in it.
std::string line_about(std::string const& key, std::string const& said, std::string const& word) {
    std::istringstream lines(said);
    for (std::string line; std::getline(lines, line);)
        if (line.find(fmt::format(" key '{}':", key)) != std::string::npos &&
            line.find("no such") == std::string::npos && line.find(word) != std::string::npos)
            return line;
    return "";
}

// Whether an option cannot change the key in this design, or the design does not have it.
bool denies(std::string const& key, std::string const& said) {
    std::istringstream lines(said);
    for (std::string line; std::getline(lines, line);) {
        bool const of_key = line.find(fmt::format(" key '{}':", key)) != std::string::npos;
        if (line.find("no such") != std::string::npos
                ? of_key
                : line.find("'" + placed(key) + "'") != std::string::npos && !of_key)
            return true;
    }
    return false;
}

// With this word in it, from the first design that reads the key.
Refusal refusal(std::string const& key, std::string const& value, std::string const& word = "") {
    if (key.starts_with("search.")) {
        Said const search = [key](std::string const& v) { return said_of_search(key, v); };
        return {search(value), search};
    }
    // Entries of a list below a table are no keys that an option can change.
    for (auto const& [list, before] :
         {std::pair{"array.horizon", ""},
          {"array.snow.periods", ""},
          {"demand.fixture", ""},
          {"use.fixture",
           "[[use]]\nname = \"x\"\nkind = \"household\"\npersons = 3\ndrawn_as = \"events\"\n"}})
        if (key.starts_with(std::string(list) + ".")) {
            std::string const head =
                fmt::format("{}[[{}]]\n{} = ", before, list, key.substr(std::string_view(list).size() + 1));
            Said const entry = [head](std::string const& v) {
                return said({"juniper-bend-household", head + v + "\n", {}}, "demand.drawn_as", "\"events\"");
            };
            return {entry(value), entry};
        }
    for (auto const& ground : grounds()) {
        Said const here = [&ground, key](std::string const& v) { return said(ground, placed(key), v); };
        auto const all = here(value), named = line_about(key, all, word);
        // A list has the errors of its first entry, where `ground` has the value.
        if (!denies(key, all) && (in_text(key) || !named.empty())) return {named, here};
    }
    return {"no design reads it", {}};
}

// The names that models give to their errors: require(holds, "name", ...) and ParameterError("name", ...). Of
// a name that is put together, the text at its end: "power_w" of at + "power_w".
std::set<std::string> names_of_fields(std::string const& source) {
    static std::regex const call("(\\brequire\\(|\\bParameterError\\()");
    static std::regex const text(R"re("((?:[^"\\]|\\.)+)")re");
    std::set<std::string> names;
    for (std::sregex_iterator at(source.begin(), source.end(), call), end; at != end; ++at) {
        std::size_t const name_at = at->str(1).starts_with("require") ? 1 : 0;
        // The arguments: commas outside of brackets and quotes divide them.
        std::vector<std::string> arguments(1);
        bool quoted = false;
        int depth = 1;
        for (auto i = static_cast<std::size_t>(at->position() + at->length()); i < source.size(); ++i) {
            char const c = source[i];
            if (c == '"' && source[i - 1] != '\\') quoted = !quoted;
            if (!quoted)
                depth += c == '(' || c == '[' || c == '{' ? 1 : c == ')' || c == ']' || c == '}' ? -1 : 0;
            if (depth == 0) break;
            if (!quoted && depth == 1 && c == ',')
                arguments.emplace_back();
            else
                arguments.back() += c;
        }
        if (name_at >= arguments.size()) continue;
        std::string const name = arguments[name_at];
        std::string last;
        for (std::sregex_iterator t(name.begin(), name.end(), text); t != end; ++t)
            if (auto const piece = t->str(1); std::any_of(piece.begin(), piece.end(), in_a_name))
                last = piece;
        last.erase(std::min(last.find_first_of("['\\"), last.size()));
        last.erase(last.find_last_not_of(' ') + 1);
        if (!last.empty()) names.insert(last);
    }
    return names;
}

struct Limits {
    double low = 0, high = 0;
    std::string unit;
};

// "0.05-1000", "-450-6000 m", "1e-30-1"; nothing for a rule in words.
std::optional<Limits> limits_of(std::string const& range) {
    static std::regex const form("(-?[0-9.]+(?:e-?[0-9]+)?)-(-?[0-9.]+(?:e-?[0-9]+)?)( [^ ,]+)?(, .*)?");
    std::smatch match;
    if (!std::regex_match(range, match, form)) return std::nullopt;
    return Limits{std::stod(match[1]), std::stod(match[2]), match[3].matched ? match[3].str().substr(1) : ""};
}

bool is_number(std::string_view unit) {
    return unit.empty() || unit == "whole number" || unit == "money" || unit.starts_with("number of") ||
           unit == "number per hour" || unit == "days";
}

}  // namespace

TEST_SUITE_BEGIN("scenarios/keys");

// The readers ask for every key by a literal name; each name must be in the list.
TEST_CASE("the list of keys names every key that is read") {
    std::set<std::string> asked, listed{"part", "name", "about", "price", "currency"};
    for (auto const& entry : std::filesystem::recursive_directory_iterator(HOLDWATER_SOURCE "/scenarios"))
        if (entry.path().extension() == ".cpp") asked.merge(keys_asked_for(text_of(entry.path())));
    CHECK(asked.size() > 150);
    for (auto const& k : scenarios::key_list()) {
        std::istringstream parts{std::string(k.key)};
        for (std::string part; std::getline(parts, part, '.');) listed.insert(part);
    }
    for (std::string const& key : asked) {
        CAPTURE(key);
        CHECK(listed.count(key) == 1);
    }
}

TEST_CASE("every key of the list is read, and no key is in it twice") {
    std::set<std::string> seen;
    for (auto const& k : scenarios::key_list()) {
        std::string const key(k.key);
        CAPTURE(key);
        CHECK(seen.insert(key).second);
        CHECK_FALSE(k.help.empty());
        if (any_key(key)) continue;
        auto const text = refusal(key, in_text(key) ? "\"x\"" : "\"?\"").line;
        CAPTURE(text);
        CHECK(text != "no design reads it");
        if (!in_text(key)) CHECK(text.find(key.substr(key.rfind('.') + 1)) != std::string::npos);
    }
}

TEST_CASE("the ranges and choices of the list are those of the readers") {
    int ranges = 0, choices = 0;
    for (auto const& k : scenarios::key_list()) {
        std::string const key(k.key), unit(k.unit);
        CAPTURE(key);
        if (any_key(key)) continue;
        if (unit == "choice") {
            auto const text = refusal(key, "\"?\"", "accepted:").line;
            CAPTURE(text);
            CHECK(text.find("accepted: " + std::string(k.range)) != std::string::npos);
            ++choices;
            continue;
        }
        auto const limits = limits_of(std::string(k.range));
        // Lists are read with the range of one value, but need their number of values.
        bool const list = unit.find("list") != std::string::npos || unit.find(" x ") != std::string::npos ||
                          unit.ends_with("numbers");
        if (!limits || list) continue;
        auto const in = limits->unit.empty() ? unit : limits->unit;
        auto const text = refusal(key, is_number(unit) ? "2e30" : "\"2e30 " + in + "\"", "accepted:").line;
        CAPTURE(text);
        std::smatch found;
        bool const said_so =
            std::regex_search(text, found, std::regex("accepted: (-?[0-9.e+-]+) to (-?[0-9.e+-]+)"));
        CHECK(said_so);
        if (!said_so) continue;
        CHECK(std::stod(found[1]) == test::Near{limits->low, 0, 2e-3});
        CHECK(std::stod(found[2]) == test::Near{limits->high, 0, 2e-3});
        ++ranges;
    }
    CHECK(ranges > 200);
    CHECK(choices > 30);
}

// Before: "20000 L" was out of range and 20000 L accepted, because the conversion to m3 rounds.
TEST_CASE("a limit as a message prints it is accepted, in every unit of the key") {
    int limits = 0;
    for (auto const& k : scenarios::key_list()) {
        std::string const key(k.key), unit(k.unit);
        auto const range = limits_of(std::string(k.range));
        bool const list = unit.find("list") != std::string::npos || unit.find(" x ") != std::string::npos ||
                          unit.ends_with("numbers");
        if (any_key(key) || unit == "choice" || !range || list) continue;
        std::set<std::string> units{range->unit};
        if (is_number(unit)) {
            units = {""};
            if (unit.empty()) units.insert("%");
        } else {
            auto rest = unit;
            for (auto at = rest.find(" or "); at != std::string::npos; at = rest.find(" or ")) {
                units.insert(rest.substr(0, at));
                rest.erase(0, at + 4);
            }
            units.insert(rest);
            units.erase("");
        }
        for (auto const& in : units) {
            auto const typed = [&](std::string const& number) {
                return in.empty() ? number : "\"" + number + " " + in + "\"";
            };
            auto const above = refusal(key, typed("2e30"), "accepted:");
            CAPTURE(key);
            CAPTURE(above.line);
            std::smatch found;
            bool const said_so = std::regex_search(
                above.line, found, std::regex("accepted: (-?[0-9.e+-]+) to (-?[0-9.e+-]+)( .+)?$"));
            CHECK(said_so);
            if (!said_so) continue;
            CHECK(found[3].str() == (in.empty() ? "" : " " + in));
            for (auto const& limit : {found[1].str(), found[2].str()}) {
                CAPTURE(limit);
                CHECK(line_about(key, above.said(typed(limit)), "out of range") == "");
                ++limits;
            }
        }
    }
    CHECK(limits > 600);
}

// A message has the words of the trade, not the names of the code: "search_w", "isc_a", "ohm_per_m".
TEST_CASE("what a model says of its parameters is said with the scenario's key or in words") {
    std::set<std::string> names, keys;
    // models/numeric gets nothing that a user types.
    for (auto const& entry : std::filesystem::recursive_directory_iterator(HOLDWATER_SOURCE "/models"))
        if (entry.path().extension() == ".cpp" && entry.path().parent_path().filename() != "numeric")
            names.merge(names_of_fields(text_of(entry.path())));
    CHECK(names.size() > 200);
    for (auto const& k : scenarios::key_list()) {
        std::istringstream parts{std::string(k.key)};
        for (std::string part; std::getline(parts, part, '.');) keys.insert(part);
    }
    // Words of letters, as in a sentence; numbers with what they count.
    static std::regex const in_words(
        "[A-Za-z][a-z]*(?:-[A-Za-z]+)*(?: (?:[A-Za-z]+(?:-[a-z]+)*|[0-9.]+|%))*");
    std::set<std::string> const of_the_code{"imp",    "isc",  "vmp", "voc",   "soc",  "ohm",   "ev",
                                            "hz",     "kva",  "mm",  "alpha", "beta", "gamma", "king",
                                            "faiman", "noct", "k",   "a",     "b",    "l",     "v",
                                            "w",      "m",    "s",   "h",     "c",    "ashrae"};
    for (auto const& name : names) {
        CAPTURE(name);
        std::string const key(scenarios::key_of_field(name));
        if (!key.empty()) CHECK(keys.count(key) == 1);
        auto const said = scenarios::field_words(models::ParameterError(name, 1, "rule"));
        auto const words = said.substr(0, said.find(" = "));
        CAPTURE(words);
        CHECK(std::regex_match(words, in_words));
        std::istringstream each(words);
        bool counted = false;  // "for each 300 m"
        for (std::string word; each >> word; counted = std::isdigit(static_cast<unsigned char>(word[0])) != 0)
            CHECK((counted || of_the_code.count(word) == 0));
    }
}

TEST_CASE("an unknown key is told what the table has, and all of it is in the list") {
    std::size_t tables = 0;
    for (auto const& ground : grounds())
        for (char const* const table :
             {"weather",   "array",  "controller", "battery", "inverter", "charger", "backup",
              "generator", "well",   "pump",       "motor",   "drive",    "tank",    "cistern",
              "booster",   "trough", "demand",     "wiring",  "check",    "required"}) {
            auto const text = said(ground, std::string(table) + ".qqqqqqqqqqqqqqqqqqqq", "1");
            std::string const mark =
                fmt::format("key '{}.qqqqqqqqqqqqqqqqqqqq': no such key; accepted here: ", table);
            auto const at = text.find(mark);
            if (at == std::string::npos) continue;
            ++tables;
            auto const end = text.find('\n', at);
            std::istringstream names(text.substr(at + mark.size(), end - at - mark.size()));
            for (std::string name; std::getline(names >> std::ws, name, ',');) {
                std::string const key = fmt::format("{}.{}", table, name);
                CAPTURE(key);
                auto const keys = scenarios::key_list();
                bool const holds = std::any_of(keys.begin(), keys.end(), [&](auto const& k) {
                    return k.key.starts_with(key + ".") ||
                           (key.starts_with("booster.") && k.key.starts_with(name + "."));
                });
                CHECK((holds || name == "years_columns" || scenarios::key_text(key) != nullptr));
            }
        }
    CHECK(tables > 100);
}

TEST_CASE("a key's text is found for an entry of a list and for the booster's tables") {
    using scenarios::key_text;
    CHECK(key_text("pipe.2.length") == key_text("pipe.length"));
    CHECK(key_text("load.refrigerator.power") == key_text("load.power"));
    CHECK(key_text("booster.pipe.1.length") == key_text("pipe.length"));
    CHECK(key_text("booster.pump.flow") == key_text("pump.flow"));
    CHECK(key_text("booster.lift_to_tank")->key == "booster.lift_to_tank");
    CHECK(key_text("weather.years_columns.ghi") == key_text("weather.columns.ghi"));
    CHECK(key_text("battery.capacty") == nullptr);
    CHECK(scenarios::key_hint("battery.nominal_voltage") == "V, 10-800: of the whole battery");
    CHECK(scenarios::key_hint("nothing").empty());
}

TEST_SUITE_END();
