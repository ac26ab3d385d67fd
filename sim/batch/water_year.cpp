#include "sim/batch/water_year.hpp"

#include <cmath>

#include "sim/year/summarize.hpp"

namespace holdwater::sim {

WaterYear water_year(System const& system, HourlyInputs const& inputs, Clock const& clock) {
    RunResult result;
    WaterSide water(system, result.events);
    result.start.tank_water_m3 = water.stored_m3();
    YearBooks books(result, system, result.start);
    WaterYear year;
    auto const hours = static_cast<std::size_t>(clock.hours);
    year.pump.reserve(2 * hours);
    year.first_stretch.reserve(hours + 1);
    year.first_start.reserve(hours + 1);
    year.state.reserve(hours + 1);
    year.hours.reserve(hours);
    year.marks.reserve(hours);
    year.running_w = water.running_w();
    year.standing_w = water.standing_w();
    year.first_stretch.push_back(0);
    std::vector<PumpStretch> pump;
    std::vector<HourRecord> day;
    for (int i = 0; i < clock.hours; ++i) {
        int const hour = clock.first_hour + i;
        HourRecord& r = day.emplace_back();
        water.forget_marks();
        year.state.push_back(water.state());
        if (water.stand_through_hour(inputs.demand_m3[static_cast<std::size_t>(hour % hours_per_year)], r)) {
            year.pump.push_back({1, water.standing_w()});
        } else {
            water.begin_hour(hour, inputs);
            water.run_supplied_hour(r, pump);
            water.end_hour(r);
            year.pump.insert(year.pump.end(), pump.begin(), pump.end());
        }
        year.first_stretch.push_back(static_cast<std::uint32_t>(year.pump.size()));
        for (PumpStretch const& p : year.stretches(static_cast<std::size_t>(i)))
            r.pump_kw += 1e-3 * p.power_w * p.hours;
        year.pump_kwh += r.pump_kw;
        year.hours.push_back({r.pump_starts, r.pump_run_h, r.pump_kw, r.water_demand_m3, r.water_delivered_m3,
                              r.water_short_m3, r.water_pumped_m3});
        auto const& starts_s = water.pump().start_times_s();
        year.first_start.push_back(static_cast<std::uint32_t>(year.starts_s.size()));
        year.starts_s.insert(year.starts_s.end(), starts_s.begin(), starts_s.end());
        PumpMarks& marks = year.marks.emplace_back(water.marks());
        marks.start_heating_index = start_heating_index(r, system.motor);
        if (marks.shortest_run_s < year.marks[year.shortest_run_at].shortest_run_s)
            year.shortest_run_at = static_cast<std::size_t>(i);
        if (i % 24 == 0) {
            year.marks_of_day.emplace_back();
            year.run_h_of_day.push_back(0);
        }
        year.run_h_of_day.back() += r.pump_run_h;
        year.marks_of_day.back().add(marks);
        if (i % 24 == 23 || i + 1 == clock.hours) {
            books.add_day(day);
            day.clear();
        }
    }
    water.forget_marks();
    year.first_start.push_back(static_cast<std::uint32_t>(year.starts_s.size()));
    year.state.push_back(water.state());
    books.finish();
    year.summary = result.summary;
    year.tables = water.pressure()->tables();
    for (DayRecord const& d : result.days) year.starts_of_day.push_back(d.pump_starts);
    return year;
}

bool same_water(System const& a, System const& b) {
    if (&a == &b) return true;
    return has_plain_water(a) && has_plain_water(b) && a.constant_pressure == b.constant_pressure &&
           a.pump_at_level.empty() && b.pump_at_level.empty() && a.tank == b.tank && a.motor == b.motor &&
           a.fill.cut_in_m3 == b.fill.cut_in_m3 && a.fill.cut_out_m3 == b.fill.cut_out_m3 &&
           a.fill.nodes == b.fill.nodes;
}

bool same_demand(HourlyInputs const& a, HourlyInputs const& b) {
    return &a == &b || (a.demand_m3 == b.demand_m3 && a.tap_flow_m3_s == b.tap_flow_m3_s &&
                        a.first_draw == b.first_draw && a.draws == b.draws);
}

bool same_state(WaterState const& a, WaterState const& b) {
    auto const near = [](double x, double y, double scale) { return std::abs(x - y) <= 1e-9 * scale; };
    return a.tank.closed == b.tank.closed && a.motor.running == b.motor.running &&
           (!a.motor.running || a.motor.whole == b.motor.whole) && near(a.tank.tank_m3, b.tank.tank_m3, 1) &&
           near(a.motor.start_left_j, b.motor.start_left_j, 1e6) &&
           (!a.motor.running || near(a.motor.run_s, b.motor.run_s, 1e4)) &&
           (a.motor.rest_s == b.motor.rest_s || near(a.motor.rest_s, b.motor.rest_s, 1e4));
}

}  // namespace holdwater::sim
