#include "sim/replay/replay.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <fstream>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "scenarios/design/design.hpp"
#include "sim/files/result_file.hpp"
#include "sim/files/whole_file.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"
#include "tests/replay/made_log.hpp"
#include "tests/support/command.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using namespace holdwater::sim;
using test::Near;

namespace {

SiteLog read(std::string const& text, LogColumns const& columns = {}) {
    return read_site_log_text(text, "log.csv", columns);
}

// Rows of an hour for some days: the same values in each row, the counters rising.
std::string plain_log(int days, std::string const& header = "time,soc,water_meter (m3)",
                      double water_m3_h = 0.04) {
    std::string text = header + "\n";
    for (int h = 0; h <= 24 * days; ++h)
        text += fmt::format("2023-06-{:02} {:02}:00,0.8,{:.3f}\n", 1 + h / 24, h % 24, water_m3_h * h);
    return text;
}

std::string message_of(std::string const& text, LogColumns const& columns = {}) {
    try {
        read(text, columns);
    } catch (std::exception const& error) {
        return error.what();
    }
    return "accepted";
}

std::string without_column(std::string const& text, std::string const& name) {
    std::string out = text;
    out.replace(out.find(name), name.size(), "unused");
    return out;
}

}  // namespace

TEST_SUITE_BEGIN("sim/replay");

// Logs by the one-second integrator (tests/replay/made_log.hpp): drawn truth, noise, gaps, a clock that is
// wrong. `tests/replay/run` counts how often the 90 % intervals hold the truth in 200 of them; of eight, with
// fixed seeds, at most two may miss in each figure (with 90 % each, three or more miss in 4 %).
TEST_CASE("logs of the one-second integrator give back the truth of the site") {
    auto const scenario = test::replayed_household();
    std::array<int, 5> held{}, determined{};
    int logs = 0;
    for (std::uint64_t seed = 1; logs < 8; ++seed) {
        auto const made = test::make_log(seed);
        if (made.short_m3 > 1e-6) continue;
        ++logs;
        auto const fit = fit_log(read(made.text), scenario, &test::replayed_weather());
        double const truth[] = {made.water_m3_day, made.pump_kwh_m3, made.standing_w, made.usable_kwh,
                                made.array_loss};
        for (std::size_t k = 0; k < held.size(); ++k) {
            auto const& f = *fit.figures()[k];
            CAPTURE(seed);
            CAPTURE(f.name);
            if (!f.determined()) continue;
            ++determined[k];
            held[k] += truth[k] >= f.fitted.low && truth[k] <= f.fitted.high;
            CHECK(f.fitted.center == Near{truth[k], k == 4 ? 0.03 : 0, k == 4 ? 0 : 0.35});
        }
        REQUIRE(fit.clock_ahead_min);
        CHECK(*fit.clock_ahead_min == Near{made.clock_ahead_min, 5, 0});
    }
    for (std::size_t k = 0; k < held.size(); ++k) {
        CAPTURE(k);
        CHECK(determined[k] >= 7);
        CHECK(held[k] >= determined[k] - 2);
    }
}

// A tank from which the taps take 3 to 90 L an hour; once 150 L are missing the pump fills it, with 0.5 kWh
// per m3. At midnight anything up to 150 L is missing, of 1.1 m3 a day, but from pump stop to pump stop the
// energy is that of the water, to the resolution of the log (1 W, 1 L). A pump that stands still has no
// energy for the water.
TEST_CASE("the pump's energy for the water is taken from pump stop to pump stop") {
    auto const log = [](double kwh_m3) {
        std::mt19937 random(5);
        std::string text = "time,water_meter (L),pump_power (W)\n";
        double used_l = 0, missing_l = 0;
        for (int h = 0; h <= 24 * 20; ++h) {
            double const pump_w = missing_l >= 150 ? kwh_m3 * missing_l : 0;
            if (missing_l >= 150) missing_l = 0;
            text += fmt::format("2023-06-{:02} {:02}:00,{:.0f},{:.0f}\n", 1 + h / 24, h % 24, used_l, pump_w);
            double const taps_l = 3 + static_cast<double>(random() % 88);
            used_l += taps_l, missing_l += taps_l;
        }
        return text;
    };
    auto const scenario = test::replayed_household();
    auto const pump = fit_log(read(log(0.5)), scenario, nullptr).pump_energy;
    REQUIRE(pump.determined());
    CHECK(pump.fitted.center == Near{0.5, 0, 0.002});
    CHECK(pump.fitted.low <= 0.5);
    CHECK(pump.fitted.high >= 0.5);
    CHECK(pump.fitted.high - pump.fitted.low < 0.005);
    CHECK(fit_log(read(log(0)), scenario, nullptr).pump_energy.why_not ==
          "the pump did not run on its whole days");
}

TEST_CASE("what the columns cannot determine is said, with the column that is missing") {
    auto const scenario = test::replayed_household();
    auto const made = test::make_log(3);
    auto const fit_without = [&](std::string const& column, bool weather = true) {
        return fit_log(read(without_column(made.text, column)), scenario,
                       weather ? &test::replayed_weather() : nullptr);
    };
    auto const no_meter = fit_without("water_meter (L)");
    CHECK(no_meter.water_use.why_not == "needs the column water_meter");
    CHECK(no_meter.pump_energy.why_not == "needs the column water_meter");
    CHECK(no_meter.usable_battery.determined());
    auto const no_pump = fit_without("pump_power (W)");
    CHECK(no_pump.pump_energy.why_not == "needs the column pump_power");
    CHECK(no_pump.standing_draw.why_not == "needs the column pump_power");
    CHECK(no_pump.usable_battery.why_not == "needs the column pump_power");
    CHECK(no_pump.water_use.determined());
    auto const no_soc = fit_without("soc (%)");
    CHECK(no_soc.standing_draw.why_not == "needs the column soc");
    CHECK(no_soc.array_loss.why_not == "needs the column soc");
    auto const no_weather = fit_without("pump_starts", false);
    CHECK(no_weather.array_loss.why_not == "needs the weather of these dates (--weather)");
    CHECK(!no_weather.clock_ahead_min);
    auto with_generator = scenario;
    with_generator.rules.backup = scenarios::Backup::generator;
    with_generator.rules.transfer_below = 0.2;
    CHECK(fit_log(read(made.text), with_generator, nullptr).usable_battery.why_not ==
          "needs the column generator_power");
    // Without the small loads the draw contains them, and the scenario's idle draw is no match for it.
    auto const no_loads = fit_without("load_power (W)");
    CHECK(no_loads.standing_has_loads);
    CHECK(no_loads.standing_draw.name == "standing draw with small loads");
    CHECK(std::isnan(no_loads.standing_draw.scenario));
    CHECK(!no_loads.standing_draw.differs());
    auto const full = fit_log(read(made.text), scenario, nullptr);
    CHECK(no_loads.standing_draw.fitted.center > full.standing_draw.fitted.center + 5);
    // Too few days.
    CHECK(fit_log(read(plain_log(3)), scenario, nullptr).water_use.why_not ==
          "needs 5 whole days with the water meter; the log has 3");
}

// SOC = level of the night - (E + I t) / K. Through an inverter whose loss is 5 % of what it gives, 50 W more
// in every row of the loads are 52.5 W more of E / t: I is less by as much, K is the same, and both are known
// as well as before.
TEST_CASE(
    "small loads logged 50 W higher lower the standing draw by their DC and leave the intervals as wide") {
    auto scenario = test::replayed_household();
    scenario.inverter.k1 = 0.05;
    scenario.inverter.k2 = 0;
    scenario.inverter.extra_w = 0;
    auto log = read(test::make_log(3).text);
    auto const before = fit_log(log, scenario, nullptr);
    for (double& w : log.values[static_cast<std::size_t>(LogQuantity::load_power)]) w += 50;
    auto const after = fit_log(log, scenario, nullptr);
    REQUIRE(before.standing_draw.determined());
    REQUIRE(after.standing_draw.determined());
    auto const width = [](models::Interval const& i) { return i.high - i.low; };
    auto const &one = before.standing_draw.fitted, &other = after.standing_draw.fitted;
    CHECK(width(one) > 0.1);
    CHECK(other.center == Near{one.center - 52.5, 1e-4, 0});
    CHECK(width(other) == Near{width(one), 0, 1e-5});
    CHECK(after.usable_battery.fitted.center == Near{before.usable_battery.fitted.center, 0, 1e-7});
    CHECK(width(after.usable_battery.fitted) == Near{width(before.usable_battery.fitted), 0, 1e-5});
}

TEST_CASE("a log is read in its own units and names") {
    double const gal = 3.785411784e-3;
    auto const log = read(
        "# made by hand\nStamp,Battery SOC (%),Array [kW],Total (gal)\n2023-03-01 "
        "00:00,50,1.5,100\n2023-03-01 01:00,,2,103\n"
        "2023-03-03 00:00,60,0,200\n2023-03-03 01:00,61,0,200\n",
        {"Stamp",
         {{LogQuantity::soc, "Battery SOC", ""},
          {LogQuantity::array_power, "Array", ""},
          {LogQuantity::water_meter, "Total", ""}}});
    CHECK(log.rows() == 4);
    CHECK(log.of(LogQuantity::soc)[0] == Near{0.5, 1e-12, 0});
    CHECK(std::isnan(log.of(LogQuantity::soc)[1]));
    CHECK(log.of(LogQuantity::array_power)[1] == Near{2000, 1e-9, 0});
    CHECK(log.of(LogQuantity::water_meter)[2] == Near{200 * gal, 1e-12, 0});
    CHECK(log.time_h[2] == Near{48, 1e-9, 0});
    CHECK(log.gap_before(2));
    CHECK(!log.gap_before(1));
    CHECK(log.month == 3);
    CHECK(first_day_of(log) == 59);
    // 31 days of January; 29 February is taken for the 28th of a year of 365 days.
    auto on = log;
    on.month = 2, on.day = 10;
    CHECK(first_day_of(on) == 31 + 9);
    on.day = 29;
    CHECK(first_day_of(on) == 31 + 27);
    CHECK(!log.has(LogQuantity::pump_power));
    REQUIRE(log.notes.size() == 2);
    CHECK(log.notes[0] == "1 gaps, 47.0 h in all");
    CHECK(log.notes[1] == "state of charge: missing in 1 of 4 rows");
    auto const told = read(plain_log(3, "time,soc,water_meter"),
                           {"time", {{LogQuantity::water_meter, "water_meter", "L"}}});
    CHECK(told.of(LogQuantity::water_meter).back() == Near{72 * 0.04e-3, 1e-12, 0});
}

TEST_CASE("a log that cannot be used is refused with its line and what is accepted") {
    std::string const good = plain_log(3);
    CHECK(message_of(good) == "accepted");
    auto const with = [&](std::string const& from, std::string const& to) {
        std::string text = good;
        auto const at = text.find(from);
        REQUIRE(at != std::string::npos);
        return text.replace(at, from.size(), to);
    };
    for (auto const& [text, says] : std::vector<std::pair<std::string, std::string>>{
             {with("time,", "when,"), "no header row with a column \"time\""},
             {with("(m3)", ""), "log.csv:1: the water meter in the column \"water_meter\" has no unit"},
             {with("(m3)", "(W)"), "log.csv:1: column \"water_meter (W)\""},
             {with("soc", "soc (V)"), "log.csv:1: \"V\" is no unit of state of charge; accepted: %, 1"},
             {with("2023-06-01 02:00,0.8", "2023-06-01 02:00,1.8"),
              "log.csv:4: state of charge is 1.8; accepted: 0 to 1"},
             {with("2023-06-01 02:00", "2023-06-31 02:00"),
              "log.csv:4: \"2023-06-31 02:00\" is not a time such as"},
             {with("2023-06-01 02:00", "2023-06-257 02:00"),
              "log.csv:4: \"2023-06-257 02:00\" is not a time such as"},
             {with("2023-06-01 02:00", "2023-262-01 02:00"),
              "log.csv:4: \"2023-262-01 02:00\" is not a time such as"},
             {with("2023-06-01 02:00", "2023-06-01 24:10"),
              "log.csv:4: \"2023-06-01 24:10\" is not a time such as"},
             {with("2023-06-01 02:00", "06/01/2023 02:00"),
              "log.csv:4: \"06/01/2023 02:00\" is not a time such as"},
             {with("2023-06-01 02:00", "2023-06-01 01:00"),
              "log.csv:4: the time 2023-06-01 01:00 is not later than the one above"},
             {with("0.120", "0.010"), "log.csv:5: water meter goes back from 0.08 to 0.01; it must count up"},
             {with("2023-06-01 02:00,0.8,", "2023-06-01 02:00,0.8"),
              "fields where the header in line 1 has 3"},
             {with("2023-06-01 02:00,0.8", "2023-06-01 02:00,high"), "log.csv:4"},
             {plain_log(1), "the log covers 24.0 h; at least 48 h are needed"},
             {"time,humidity\n2023-06-01 00:00,5\n", "no column of a quantity that can be compared"}}) {
        CAPTURE(says);
        CHECK(message_of(text).find(says) != std::string::npos);
    }
    CHECK(message_of(good, {"time", {{LogQuantity::soc, "charge", ""}}}).find("no column \"charge\"") !=
          std::string::npos);
    std::string sparse = "time,soc\n";
    for (int day = 1; day < 9; ++day) sparse += fmt::format("2023-06-{:02} 00:00,0.5\n", day);
    CHECK(message_of(sparse).find("rows are 24.0 h apart; at least one row an hour is needed") !=
          std::string::npos);
}

// Without noise, gaps and a wrong clock the days of the log are those of the integrator, and beside them
// stand those of the year loop for the same design.
TEST_CASE("logged and modeled stand side by side, and promises are judged by the intervals") {
    auto const scenario = test::replayed_household();
    auto const& weather = test::replayed_weather();
    auto const system = make_system(scenario);
    HourlyInputs const in = make_inputs(scenario, weather);
    constexpr int first = 150, days = 20;
    std::vector<test::LoggedInterval> rows;
    test::brute_force(system, in, 24 * first, 24 * days, 1, &rows, 1800);
    auto const log_text = [&](double water_factor) {
        std::string text =
            "time,soc,array_power (W),pump_power (W),load_power (W),water_meter (m3),pump_starts\n";
        auto const begin = weather::calendar_hour(24 * first);
        text += fmt::format("2023-{:02}-{:02} 00:00,,,,,0,0\n", begin.month, begin.day);
        double meter = 0, starts = 0;
        for (std::size_t i = 0; i < rows.size(); ++i) {
            auto const& r = rows[i];
            meter += water_factor * r.delivered_m3, starts += r.starts;
            auto const when = weather::calendar_hour(24 * first + static_cast<int>(i + 1) / 2);
            text += fmt::format("2023-{:02}-{:02} {:02}:{},{:.6f},{:.3f},{:.3f},{:.3f},{:.6f},{:.0f}\n",
                                when.month, when.day, when.hour, i % 2 == 1 ? "00" : "30", r.soc,
                                2e3 * r.array_kwh, 2e3 * r.pump_kwh, 2e3 * r.load_kwh, meter, starts);
        }
        return text;
    };
    auto const stored = replay_year(simulate(system, in, {}).hours);
    auto const replay = replay_log(read(log_text(1)), scenario, weather, &weather, &stored);
    REQUIRE(replay.days.size() >= 18);
    CHECK(replay.days[0].date == "2023-05-31");
    auto const water = static_cast<std::size_t>(DayFigureKind::water),
               pump = static_cast<std::size_t>(DayFigureKind::pump_energy),
               array = static_cast<std::size_t>(DayFigureKind::array_energy);
    // Two weeks of the one-second integrator are within a thousandth to a hundredth (sim/brute_force).
    CHECK(replay.logged_mean[water] == Near{replay.modeled_mean[water], 0, 0.001});
    CHECK(replay.logged_mean[pump] == Near{replay.modeled_mean[pump], 0, 0.05});
    CHECK(replay.logged_mean[array] == Near{replay.modeled_mean[array], 0, 0.05});
    auto const promise = [](Replay const& r, std::string const& begins) -> Promise const& {
        for (auto const& p : r.promises)
            if (p.words.starts_with(begins)) return p;
        FAIL("no promise ", begins);
        return r.promises.front();
    };
    CHECK(promise(replay, "water use").verdict == PromiseVerdict::held);
    CHECK(promise(replay, "pump energy").verdict == PromiseVerdict::held);
    CHECK(promise(replay, "pump starts").verdict == PromiseVerdict::held);
    // Beside the fitted water use stands what the scenario uses on the days of the log.
    double modeled_m3 = 0;
    for (auto const& day : replay.days) modeled_m3 += day.modeled[water];
    CHECK(replay.fit.water_use.scenario ==
          Near{modeled_m3 / static_cast<double>(replay.days.size()), 0, 1e-12});
    auto const thirsty = replay_log(read(log_text(1.5)), scenario, weather, nullptr, &stored);
    CHECK(promise(thirsty, "water use").verdict == PromiseVerdict::not_held);
    CHECK(thirsty.fit.water_use.differs());
    CHECK(promise(thirsty, "soiling").verdict == PromiseVerdict::not_determined);
    CHECK(promise(thirsty, "soiling").why_not == "needs the weather of these dates (--weather)");
    CHECK(replay_log(read(log_text(1)), scenario, weather, nullptr, nullptr).promises.empty());
}

TEST_CASE(
    "the promises come from a whole result: no byte of it has changed, and its hours are the calendar's") {
    test::ScratchFolder folder;
    auto const path = (folder / "r.h5").string();
    auto const file = scenarios::read_design_file(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    auto const scenario = scenarios::base_design(file).scenario;
    RunInputs inputs;
    inputs.scenario_text = file.text;
    inputs.scenario_path = file.path;
    inputs.weather = test::replayed_weather();
    auto const system = make_system(scenario);
    CheckedInputs const hourly(make_inputs(scenario, inputs.weather));
    Clock clock;
    clock.first_hour = 24 * 59;  // 1 March
    auto const run = simulate(system, hourly, clock);
    write_result(path, run, inputs);
    auto const year = replay_year(path);
    REQUIRE(year.soc.size() == run.hours.size());
    for (std::size_t h = 0; h < year.soc.size(); ++h) {
        auto const& hour = run.hours[(h + 8760 - 24 * 59) % 8760];
        REQUIRE(year.soc[h] == hour.battery_soc);
        REQUIRE(year.pump_kwh[h] == hour.pump_kw);
        REQUIRE(year.backup_kwh[h] == hour.grid_kw + hour.generator_kw);
    }
    auto const good = test::file_text(path);
    auto const refusal = [&](auto const& work) -> std::string {
        try {
            work();
        } catch (ResultFileError const& error) {
            return error.what();
        }
        return "was read";
    };
    std::mt19937 random(8);
    for (int i = 0; i < 100; ++i) {
        auto bytes = good;
        auto const at = random() % bytes.size();
        bytes[at] = static_cast<char>(bytes[at] ^ (1 + random() % 255));
        std::ofstream(path, std::ios::binary | std::ios::trunc) << bytes;
        CAPTURE(at);
        CHECK(refusal([&] { (void)replay_year(path); }).starts_with(path + ": cannot be read as a result"));
        CHECK(refusal([&] {
                  (void)read_series(path, "battery_soc");
              }).find("damaged or changed since it was written") != std::string::npos);
    }
    clock.hours = 8759;
    write_result(path, simulate(system, hourly, clock), inputs);
    CHECK(refusal([&] { (void)replay_year(path); }) ==
          path + ": the result covers 8759 h; a result of a whole year of simulate is needed");
}

TEST_SUITE_END();
