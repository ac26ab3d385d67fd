#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include "models/water/pump_cycle.hpp"
#include "sim/base/system.hpp"

namespace holdwater::test {

/// What the plain loop below adds up.
struct BruteForce {
    double delivered_m3 = 0, battery_in_kwh = 0, battery_out_kwh = 0, generator_h = 0, grid_kwh = 0,
           pass_through_kwh = 0, pump_starts = 0, ac_served_kwh = 0, pumped_m3 = 0, well_inflow_m3 = 0,
           trips = 0, spilled_m3 = 0, fill_run_h = 0, cutoffs = 0, generator_kwh = 0, transfers = 0,
           inverter_trips = 0, overload_transfers = 0, coldest_place_c = 0, freezing_h = 0;
    std::vector<double> well_level_m, trough_m3;  // at the end of each hour
};

struct PumpNow {
    double flow_m3_s = 0, power_w = 0;
};
using FillPointNow = PumpNow;

/// Well, cistern and trough of the plain loop, in steps of `dt_s`; between the levels whose pump curves are
/// known the pump is interpolated, where the year loop takes the nearest.
class Wet {
  public:
    Wet(sim::System const& s, double dt_s) : s_(s), dt_s_(dt_s) {
        if (s.cistern) volume_ = s.cistern->start_m3;
        if (s.trough) trough_ = s.trough->full_m3;
        if (has_casing()) level_ = rest_ = s.well->casing->static_level_m[0];
    }
    [[nodiscard]] bool has_casing() const { return s_.well && s_.well->casing; }

    [[nodiscard]] double peak_w(double w_out) const {
        double peak = 0;
        auto const look = [&](models::TankFillCurve const& c) {
            for (auto const& n : c.nodes)
                if (n.water_m3 <= w_out) peak = std::max(peak, n.power_w);
        };
        if (s_.pump_at_level.empty()) look(s_.fill);
        for (auto const& c : s_.pump_at_level) {
            look(c.full_speed);
            for (double const p : c.hold_power_w) peak = std::max(peak, p);
        }
        return peak;
    }

    void begin_hour(int hour, sim::HourlyInputs const& in) {
        hour_ = static_cast<std::size_t>(hour % sim::hours_per_year);
        in_ = &in;
        if (!has_casing()) return;
        static constexpr int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
        int day = (hour / 24) % 365;
        month_ = 0;
        while (day >= days[month_]) day -= days[month_++];
        double const rest = s_.well->casing->static_level_m[month_];
        if (first_) level_ = rest;
        first_ = false;
        rest_ = rest;
    }

    // The mean draw of the step that begins `t` seconds into the hour.
    [[nodiscard]] double draw_m3_s(double t) const {
        double draw = 0;
        if (in_->first_draw.empty()) {
            double const mean = in_->demand_m3[hour_] / 3600, tap = std::max(in_->tap_flow_m3_s[hour_], mean);
            double const open_s = tap > 0 ? in_->demand_m3[hour_] / tap : 0;
            if (t < open_s) draw = tap * std::min(1.0, (open_s - t) / dt_s_);
        } else {
            double from = t;
            for (auto d = in_->first_draw[hour_]; d < in_->first_draw[hour_ + 1]; ++d) {
                double const to = std::min(in_->draws[d].until_s, t + dt_s_);
                if (to > from) draw += in_->draws[d].flow_m3_s * (to - from) / dt_s_;
                from = std::max(from, to);
            }
        }
        if (s_.trough && valve_) draw += s_.trough->float_flow_m3_s;
        return draw;
    }

    // The pump at the pressure tank: from the well, or from the cistern.
    bool pressure_pump_has_water(bool running) {
        if (!s_.cistern) return well_ready(running);
        if (volume_ <= floor_m3()) dry_ = true;
        if (volume_ >= s_.cistern->resume_m3) dry_ = false;
        return !dry_;
    }
    [[nodiscard]] bool well_ready(bool) const { return !has_casing() || lockout_s_ <= 0; }

    [[nodiscard]] PumpNow pump_now(double w, double w_out, double draw) const {
        auto const at = [&](models::TankFillCurve const& c, models::DriveCurve const* d) {
            if (s_.constant_pressure && w >= w_out && draw <= models::flow_at_m3_s(c, w_out))
                return PumpNow{draw, models::hold_power_w(*d, draw)};
            double flow = models::flow_at_m3_s(c, w), power = models::power_at_w(c, w);
            // A drive does not fill beyond its set point.
            if (s_.constant_pressure) flow = std::min(flow, std::max(draw, draw + (w_out - w) / dt_s_));
            return PumpNow{flow, power};
        };
        if (s_.pump_at_level.empty()) return at(s_.fill, nullptr);
        auto const& curves = s_.pump_at_level;
        if (curves.size() == 1) return at(curves[0].full_speed, &curves[0]);  // from a cistern: no level
        auto const [i, share] = place();
        auto const a = at(s_.pump_at_level[i].full_speed, &s_.pump_at_level[i]);
        if (share == 0) return a;
        auto const b = at(s_.pump_at_level[i + 1].full_speed, &s_.pump_at_level[i + 1]);
        return {a.flow_m3_s + share * (b.flow_m3_s - a.flow_m3_s),
                a.power_w + share * (b.power_w - a.power_w)};
    }
    [[nodiscard]] FillPointNow fill_now() const {
        auto const& points = s_.cistern->filling;
        auto const [i, share] = place();
        auto const& a = points[i];
        if (share == 0) return {a.flow_m3_s, a.power_w};
        auto const& b = points[i + 1];
        return {a.flow_m3_s + share * (b.flow_m3_s - a.flow_m3_s),
                a.power_w + share * (b.power_w - a.power_w)};
    }

    [[nodiscard]] bool filling_called(bool filling, bool surplus) const {
        if (!s_.cistern) return false;
        auto const& c = s_.cistern->cistern;
        if (volume_ >= c.fill_stop_m3) return false;
        bool const low = volume_ <= c.fill_start_m3;
        if (s_.cistern->rule == models::FillRule::level) return low || filling;
        bool const band = surplus && (filling || volume_ <= c.fill_stop_m3 - s_.cistern->fill_band_m3);
        if (band || s_.cistern->rule == models::FillRule::surplus_only) return band;
        double const enough = c.fill_enough_m3 > 0 ? c.fill_enough_m3 : c.fill_stop_m3;
        return low || (filling && volume_ < enough);
    }

    double cistern_step(double in, double out, bool gravity, BruteForce& sum) {
        if (gravity) out = std::min(out, std::max(volume_ + in - floor_m3(), 0.0));
        volume_ += in - out;
        double const over = std::max(volume_ - s_.cistern->cistern.capacity_m3, 0.0);
        volume_ -= over;
        sum.spilled_m3 += over;
        return out;
    }

    void well_step(bool running, double pumped, double dt, BruteForce& sum) {
        if (!has_casing()) return;
        auto const& w = *s_.well->casing;
        lockout_s_ -= dt;
        double const inflow = models::inflow_m3_s(w, level_ - rest_) * dt;
        level_ += (pumped - inflow) / models::casing_area_m2(w);
        sum.well_inflow_m3 += inflow;
        if (!running || level_ < s_.well->band_edges_m.back()) return;
        sum.trips += 1;
        lockout_s_ = w.restart_delay_s;
    }

    void fills_trough(bool surplus) { fills_trough_ = surplus; }
    double trough_step(double given, double draw, double dt) {
        if (!s_.trough) return given;
        double const valve = valve_ && draw > 0 ? given * s_.trough->float_flow_m3_s / draw : 0;
        double const drinking =
            (in_->trough_m3.empty() ? in_->demand_m3[hour_] : in_->trough_m3[hour_]) / 3600 * dt;
        double const drunk = std::min(drinking, trough_ + valve);
        trough_ += valve - drunk;
        if (trough_ >= s_.trough->full_m3) valve_ = false;
        if (trough_ <= s_.trough->open_m3) valve_ = true;
        if (fills_trough_ && trough_ <= s_.trough->full_m3 - s_.trough->fill_band_m3) valve_ = true;
        return given - valve + drunk;
    }

    void end_hour(BruteForce& sum) const {
        sum.well_level_m.push_back(level_);
        sum.trough_m3.push_back(trough_);
    }

  private:
    [[nodiscard]] double floor_m3() const { return models::usable_from_m3(s_.cistern->cistern); }
    struct Place {
        std::size_t index;
        double share;  // of the next one
    };
    [[nodiscard]] Place place() const {
        if (!s_.well) return {0, 0};
        if (!has_casing()) return {s_.well->curve_of_month[month_], 0};
        auto const& edges = s_.well->band_edges_m;
        double const band = edges[1] - edges[0];
        double const x =
            std::clamp((level_ - edges[0]) / band - 0.5, 0.0, static_cast<double>(edges.size() - 2));
        auto const i = std::min(static_cast<std::size_t>(x), edges.size() - 3);
        return {i, x - static_cast<double>(i)};
    }

    sim::System const& s_;
    double dt_s_;
    sim::HourlyInputs const* in_ = nullptr;
    std::size_t hour_ = 0, month_ = 0;
    bool first_ = true, dry_ = false, valve_ = false, fills_trough_ = false;
    double volume_ = 0, trough_ = 0, level_ = 0, rest_ = 0, lockout_s_ = 0;
};

}  // namespace holdwater::test
