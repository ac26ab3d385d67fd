#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <random>
#include <string>
#include <vector>

#include "scenarios/settings/scenario.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/replay/replay.hpp"
#include "tests/sim/brute_force.hpp"
#include "tests/support/places.hpp"
#include "weather/read_weather.hpp"

// Logs of a site whose truth is known: the household demo with other figures, run by the one-second
// integrator of tests/sim, which shares no code with sim/.
namespace holdwater::test {

/// What the site really is, and the log with noise, gaps and a wrong clock.
struct MadeLog {
    std::string text;
    double water_m3_day = 0, pump_kwh_m3 = 0, standing_w = 0, usable_kwh = 0, array_loss = 0,
           clock_ahead_min = 0;
    double short_m3 = 0;
};

/// The scenario as the designer wrote it: more sun than the demo, no generator.
inline scenarios::Scenario replayed_household() {
    auto s = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml");
    s.rules.backup = scenarios::Backup::none;
    s.rules.transfer_below = 0;
    s.array.strings_in_parallel *= 2;
    return s;
}

inline weather::WeatherYear const& replayed_weather() {
    static auto const year = weather::read_weather(replayed_household().weather_path);
    return year;
}

/// Days are 30 to 60 long in five-minute rows; SOC with noise of 0.5 % and a resolution of 1 %, powers with
/// noise of 1 % and a resolution of 1 W, the meter in liters.
inline MadeLog make_log(std::uint64_t seed) {
    std::mt19937_64 random(seed);
    auto const draw = [&](double from, double to) {
        return from + (to - from) * static_cast<double>(random() >> 11) * 0x1p-53;
    };
    auto const normal = [&] {
        double const u = 1 - draw(0, 1), v = draw(0, 1);
        return std::sqrt(-2 * std::log(u)) * std::cos(6.283185307179586 * v);
    };
    auto site = replayed_household();
    MadeLog log;
    site.battery.capacity_kwh *= draw(0.8, 1.2);
    site.inverter.idle_w = draw(20, 80);
    log.array_loss = draw(0, 0.2);
    site.array.soiling_by_month.fill(log.array_loss);
    site.start_soc = draw(0.5, 0.9);
    auto system = sim::make_system(site);
    double const pump_factor = draw(0.9, 1.4);
    auto nodes = system.fill.nodes;
    for (auto& n : nodes) n.power_w *= pump_factor;
    system.fill = models::fill_curve_from_nodes(nodes, system.fill.cut_in_m3, system.fill.cut_out_m3);
    system.motor.start_extra_j *= pump_factor;
    sim::HourlyInputs in = sim::make_inputs(site, replayed_weather());
    // Days differ by a quarter about their mean.
    double const use = draw(0.6, 1.3), sigma = 0.246;
    log.water_m3_day = 0;
    for (double const v : in.demand_m3) log.water_m3_day += use * v / 365;
    for (std::size_t d = 0; d < 365; ++d) {
        double const day = use * std::exp(sigma * normal() - 0.5 * sigma * sigma);
        for (std::size_t h = 24 * d; h < 24 * d + 24; ++h) in.demand_m3[h] *= day;
    }
    for (double& w : in.load_w.edit()) w *= draw(0.5, 1.5);
    log.standing_w = site.inverter.idle_w + system.dc_standby_w;
    log.usable_kwh =
        site.battery.capacity_kwh * site.battery.discharge_efficiency * (1 - site.battery.min_soc);

    int const first_day = static_cast<int>(draw(1, 300)), days = static_cast<int>(draw(30, 61));
    constexpr int step_s = 300;
    std::vector<LoggedInterval> rows;
    // The site goes on for another 60 days: what the pump needs for the water is that of all days, from a
    // pump stop to a pump stop, so that the tank holds the same at both ends (23 L off are 0.02 % of the
    // water).
    brute_force(system, in, 24 * first_day, 24 * (days + 60), 1, &rows, step_s);
    auto const logged = static_cast<std::size_t>(24 * days * 3600 / step_s);
    double wanted_m3 = 0, given_m3 = 0, soc = 0;
    for (int h = 24 * first_day; h < 24 * (first_day + days); ++h)
        wanted_m3 += in.demand_m3[static_cast<std::size_t>(h % 8760)];
    for (std::size_t i = 0; i < logged; ++i)
        given_m3 += rows[i].delivered_m3, soc += rows[i].soc / static_cast<double>(logged);
    double kwh = 0, m3 = 0, kwh_at_stop = 0, m3_at_stop = 0;
    bool stopped = false;
    for (std::size_t i = 0; i + 1 < rows.size(); ++i) {
        if (stopped) kwh += rows[i].pump_kwh, m3 += rows[i].delivered_m3;
        if (!(rows[i].pump_kwh > 0 && rows[i + 1].pump_kwh <= 0)) continue;
        stopped = true;
        kwh_at_stop = kwh, m3_at_stop = m3;
    }
    rows.resize(logged);
    log.short_m3 = wanted_m3 - given_m3;
    log.pump_kwh_m3 = kwh_at_stop / m3_at_stop;
    log.standing_w +=
        1e3 * site.battery.self_discharge_per_h * soc * log.usable_kwh / (1 - site.battery.min_soc);

    struct Gap {
        double from_h, until_h;
    };
    std::vector<Gap> gaps;
    int const number = static_cast<int>(draw(0, 7));
    for (int i = 0; i < number; ++i) {
        double const from = draw(0, 24.0 * days);
        gaps.push_back({from, from + draw(0.2, 30)});
    }
    log.clock_ahead_min = std::round(draw(-40, 40));
    log.text = "time,soc (%),array_power (W),pump_power (W),load_power (W),water_meter (L),pump_starts\n";
    double meter_l = std::floor(draw(0, 1e5)), starts = 0;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        auto const& r = rows[i];
        meter_l += 1e3 * r.delivered_m3, starts += r.starts;
        double const time_h = static_cast<double>(i + 1) * step_s / 3600.0;
        if (std::any_of(gaps.begin(), gaps.end(),
                        [&](Gap const& g) { return time_h > g.from_h && time_h < g.until_h; }))
            continue;
        // The clock of the year 2023; a log that begins before midnight of its first day would begin a day
        // early.
        double const minute = 24.0 * 60 * (first_day + 1) + 60 * time_h + log.clock_ahead_min;
        int const at = static_cast<int>(std::lround(minute));
        auto const when = weather::calendar_hour((at / 60 - 24 + 8760) % 8760);
        auto const mean_w = [&](double row_kwh) {
            double const w = row_kwh * 3.6e6 / step_s;
            return std::max(0.0, std::round(w * (1 + 0.01 * normal())));
        };
        double const shown = std::clamp(std::round(100 * (r.soc + 0.005 * normal())), 0.0, 100.0);
        double const array_w = mean_w(r.array_kwh), pump_w = mean_w(r.pump_kwh), load_w = mean_w(r.load_kwh);
        fmt::format_to(std::back_inserter(log.text),
                       "{:04}-{:02}-{:02} {:02}:{:02},{:.0f},{:.0f},{:.0f},{:.0f},{:.0f},{:.0f}\n",
                       at / 60 - 24 >= 8760 ? 2024 : 2023, when.month, when.day, when.hour, at % 60, shown,
                       array_w, pump_w, load_w, std::floor(meter_l), starts);
    }
    return log;
}

}  // namespace holdwater::test
