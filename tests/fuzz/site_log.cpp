#include "sim/replay/site_log.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <functional>
#include <stdexcept>

#include "scenarios/design/design.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "sim/replay/replay.hpp"
#include "tests/fuzz/made_year.hpp"
#include "tests/fuzz/targets.hpp"
#include "tests/support/places.hpp"
#include "weather/weather_error.hpp"

namespace {

using namespace holdwater;

void must(bool holds, char const* what) {
    if (!holds) throw std::logic_error(what);
}

// Column maps: none, names that differ, a time column of another name.
sim::LogColumns columns_of(unsigned choice) {
    using Q = sim::LogQuantity;
    sim::LogColumns map;
    if ((choice & 1) != 0) map.time = "Timestamp";
    if ((choice & 2) != 0) map.columns = {{Q::water_meter, "Total flow", "gal"}, {Q::soc, "Battery", "%"}};
    return map;
}

// A log whose header and times are right and whose values come from the bytes, over and over; 255 is a field
// without a value.
std::string made_log(std::string_view bytes, int days) {
    std::string text =
        "time,soc (%),array_power (W),pump_power (W),pump_starts,load_power (W),"
        "generator_power (W),water_meter (gal)\n";
    std::size_t at = 0;
    auto const next = [&] { return static_cast<unsigned char>(bytes[at++ % bytes.size()]); };
    int const step_min = 60 - next() % 50;
    double starts = 0, gallons = 0;
    for (int minute = 0; minute < 1440 * days; minute += step_min) {
        auto const day = weather::calendar_hour(minute / 60 % weather::hours_per_year);
        text += fmt::format("2025-{:02}-{:02} {:02}:{:02}", day.month, day.day, day.hour, minute % 60);
        std::array<double, 7> const values{next() / 2.54,         20.0 * next(), 10.0 * next(),
                                           starts += next() % 3,  2.0 * next(),  4.0 * (next() / 200),
                                           gallons += next() % 32};
        for (double const value : values) text += next() == 255 ? "," : fmt::format(",{:.5g}", value);
        text += '\n';
    }
    return text;
}

void check(sim::SiteLog const& log) {
    must(log.rows() >= 3, "too few rows");
    for (std::size_t i = 1; i < log.rows(); ++i) must(log.time_h[i] > log.time_h[i - 1], "time goes back");
    for (auto const& facts : sim::log_quantity_facts()) {
        if (!log.has(facts.quantity)) continue;
        must(log.of(facts.quantity).size() == log.rows(), "a column of another length");
        for (double const v : log.of(facts.quantity))
            must(std::isnan(v) || (v >= -0.011 && v <= 1.01e7), "a value out of range");
    }
    must(log.month >= 1 && log.month <= 12 && log.day >= 1 && log.day <= 31, "no date");
}

void check(sim::LogFit const& fit) {
    for (auto const* figure : fit.figures()) {
        if (!figure->determined()) continue;
        auto const& f = figure->fitted;
        must(std::isfinite(f.center) && f.low <= f.center && f.center <= f.high, "a figure without a number");
    }
}

}  // namespace

// A site's log. It is refused with ScenarioError or WeatherError; otherwise what is read is in order, and
// what is fitted to it is either a number with its interval or has a reason why not. First byte: the column
// map, or a log made from the bytes and its days. One log in eight is compared with weather and
// replayed as well.
void holdwater::fuzz::site_log(std::string_view bytes) {
    if (bytes.empty()) return;
    static auto const scenario =
        scenarios::base_design(
            scenarios::read_design_file(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml"))
            .scenario;
    auto const choice = static_cast<unsigned char>(bytes[0]);
    bool const made = (choice & 4) != 0;
    auto const text = std::string(bytes.substr(1));
    try {
        auto const log =
            sim::read_site_log_text(made && !text.empty() ? made_log(text, 2 + (choice >> 3)) : text,
                                    "fuzz.csv", columns_of(made ? 0 : choice));
        check(log);
        // The weather's year and a year of the design take long.
        bool const all = std::hash<std::string_view>{}(bytes) % 8 == 0;
        check(sim::fit_log(log, scenario, all ? &made_year() : nullptr));
        if (all) check(sim::replay_log(log, scenario, made_year(), nullptr, nullptr).fit);
    } catch (scenarios::ScenarioError const&) {
    } catch (weather::WeatherError const&) {
    }
}
