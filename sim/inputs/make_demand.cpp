#include "sim/inputs/make_demand.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <numeric>
#include <span>

#include "models/numeric/random_stream.hpp"
#include "models/water/demand.hpp"
#include "sim/inputs/draw_segments.hpp"

namespace holdwater::sim {
namespace {

constexpr auto year_hours = static_cast<std::size_t>(hours_per_year);

// The draws of one hour: all taps are open at its beginning, and the flow falls as they shut one after
// another.
void add_draws(std::vector<models::TapOpening> openings, std::vector<DrawSegment>& draws) {
    std::erase_if(openings, [](auto const& o) { return !(o.open_s > 0); });
    std::sort(openings.begin(), openings.end(),
              [](auto const& a, auto const& b) { return a.open_s < b.open_s; });
    for (std::size_t i = 0; i < openings.size(); ++i) {
        if (i + 1 < openings.size() && openings[i + 1].open_s == openings[i].open_s) continue;
        // The taps that are still open: this one, equal ones before it, and all that shut later.
        double flow = 0;
        for (auto const& o : openings)
            if (o.open_s >= openings[i].open_s) flow += o.flow_m3_s;
        draws.push_back({openings[i].open_s, flow});
    }
}

// Random numbers of the measured use, and of the use at each place of the list.
constexpr std::uint64_t measured_stream = 999, uses_stream = 1000;

// The uses of one kind of water through the year. `demand_m3(hour)`: its volume. `wanted_m3` gets what they
// draw in each hour.
template <class Demand>
void add_events(std::vector<models::Fixture> const& fixtures, Demand const& demand_m3, std::uint64_t stream,
                std::uint64_t seed, OpenTaps& taps, std::vector<double>& wanted_m3) {
    wanted_m3.assign(year_hours, 0);
    for (std::size_t day = 0; day < year_hours / 24; ++day) {
        std::array<double, 24> hourly_m3{};
        for (std::size_t h = 0; h < 24; ++h) hourly_m3[h] = demand_m3(24 * day + h);
        for (auto event : models::draw_events(fixtures, hourly_m3, models::stream_seed(seed, stream, day))) {
            event.start_s += 86400 * static_cast<double>(day);
            taps.add(event, wanted_m3);
        }
    }
}

// Measured use as events.
void add_series_events(scenarios::DemandSettings const& d, OpenTaps& taps, std::vector<double>& wanted_m3) {
    add_events(
        d.series_fixtures, [&](std::size_t h) { return d.series->hourly_m3[h]; }, measured_stream, d.seed,
        taps, wanted_m3);
}

void add_uses_with_events(scenarios::DemandSettings const& d, models::DemandYear const& demand,
                          HourlyInputs& in) {
    OpenTaps taps;
    in.demand_m3.assign(year_hours, 0);
    for (std::size_t u = 0; u < d.uses.size(); ++u) {
        auto& wanted_m3 = in.uses[u].wanted_m3.edit();
        if (!d.uses[u].fixtures.empty()) {
            add_events(
                d.uses[u].fixtures, [&](std::size_t h) { return demand.at(h, u).volume_m3; }, uses_stream + u,
                d.seed, taps, wanted_m3);
        } else {
            for (std::size_t h = 0; h < year_hours; ++h) {
                auto const& cell = demand.at(h, u);
                wanted_m3[h] = cell.volume_m3;
                if (d.from_trough[u]) {
                    in.trough_m3[h] += cell.volume_m3;
                } else {
                    auto const tap = models::tap_opening(cell);
                    taps.add_at_start(h, tap.open_s, tap.flow_m3_s);
                }
            }
        }
        for (std::size_t h = 0; h < year_hours; ++h) in.demand_m3[h] += wanted_m3[h];
    }
    if (d.series) {
        auto& measured_m3 = in.uses.back().wanted_m3.edit();
        if (d.series_fixtures.empty())
            for (std::size_t h = 0; h < year_hours; ++h) {
                auto const tap = models::tap_opening({measured_m3[h], d.tap_flow_m3_s});
                taps.add_at_start(h, tap.open_s, tap.flow_m3_s);
            }
        else
            add_series_events(d, taps, measured_m3);
        for (std::size_t h = 0; h < year_hours; ++h) in.demand_m3[h] += measured_m3[h];
    }
    taps.fill(in);
}

}  // namespace

bool follows_temperature(scenarios::DemandSettings const& d) {
    return std::any_of(d.uses.begin(), d.uses.end(), [](auto const& use) { return !use.drinking.empty(); });
}

void add_demand(scenarios::DemandSettings const& d, bool trough, weather::WeatherYear const& year,
                HourlyInputs& in) {
    models::DemandYearOptions options;
    options.year = d.calendar_year;
    options.seed = d.seed;
    options.leap_day = false;
    if (d.uses.empty()) {
        in.tap_flow_m3_s.assign(year_hours, d.tap_flow_m3_s);
        auto& demand_m3 = in.demand_m3.edit();
        if (d.series && !d.series_fixtures.empty()) {
            OpenTaps taps;
            add_series_events(d, taps, demand_m3);
            taps.fill(in);
        } else if (d.series) {
            demand_m3 = d.series->hourly_m3;
        } else if (d.varying && !d.varying->fixtures.empty()) {
            auto const demand = models::make_demand_year(std::span(&*d.varying, 1), options);
            OpenTaps taps;
            add_events(
                d.varying->fixtures, [&](std::size_t h) { return demand.at(h, 0).volume_m3; }, uses_stream,
                d.seed, taps, demand_m3);
            taps.fill(in);
        } else if (d.varying) {
            auto const demand = models::make_demand_year(std::span(&*d.varying, 1), options);
            for (std::size_t h = 0; h < year_hours; ++h) demand_m3.push_back(demand.at(h, 0).volume_m3);
        } else {
            auto const day = models::hourly_volumes_m3(d.profile, d.daily_m3);
            for (std::size_t h = 0; h < year_hours; ++h) demand_m3.push_back(day[h % 24]);
        }
        return;
    }
    std::vector<double> day_c(year_hours / 24);
    for (std::size_t day = 0; day < day_c.size(); ++day) {
        auto const first = year.temperature_c.begin() + static_cast<std::ptrdiff_t>(24 * day);
        day_c[day] = std::accumulate(first, first + 24, 0.0) / 24;
    }
    options.day_temperature_c = day_c;
    auto const demand = models::make_demand_year(d.uses, options);
    for (auto const& use : d.uses)
        in.uses.push_back({use.name, use.priority, std::vector<double>(year_hours)});
    if (d.series) in.uses.push_back({"measured demand", 0, d.series->hourly_m3});
    in.tap_flow_m3_s.assign(year_hours, 0);
    if (trough) in.trough_m3.assign(year_hours, 0);
    if (scenarios::draws_events(d)) return add_uses_with_events(d, demand, in);
    auto& demand_m3 = in.demand_m3.edit();
    for (std::size_t h = 0; h < year_hours; ++h) {
        in.first_draw.push_back(static_cast<std::uint32_t>(in.draws.size()));
        std::vector<models::TapOpening> openings;
        for (std::size_t u = 0; u < d.uses.size(); ++u) {
            auto const& cell = demand.at(h, u);
            in.uses[u].wanted_m3[h] = cell.volume_m3;
            if (d.from_trough[u])
                in.trough_m3[h] += cell.volume_m3;
            else
                openings.push_back(models::tap_opening(cell));
        }
        double const measured_m3 = d.series ? d.series->hourly_m3[h] : 0;
        if (d.series) openings.push_back(models::tap_opening({measured_m3, d.tap_flow_m3_s}));
        demand_m3.push_back(demand.hour_volume_m3(h) + measured_m3);
        add_draws(std::move(openings), in.draws);
    }
    in.first_draw.push_back(static_cast<std::uint32_t>(in.draws.size()));
}

}  // namespace holdwater::sim
