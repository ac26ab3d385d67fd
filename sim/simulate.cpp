#include "sim/simulate.hpp"

#include <chrono>
#include <cmath>
#include <limits>
#include <stdexcept>

#include "models/parameter_error.hpp"
#include "sim/power_flow.hpp"

namespace holdwater::sim {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

struct WaterState {
    double tank_m3 = 0;
    bool contact_closed = false;  // the pressure switch calls for the pump
    bool running = false;
    bool whole_run = false;  // the present run began at cut-in, so its length says something about the tank
    double run_s = 0;        // length of the present run so far
};

// The levels of the bank at which something changes [kWh].
struct BankLevels {
    double floor, transfer, come_back, charge_to, restart, full;
};

class YearRun {
  public:
    YearRun(System const& system, HourlyInputs const& inputs, Clock const& clock)
        : s_(system), in_(inputs), clock_(clock) {
        double const capacity = s_.bank.capacity_kwh;
        levels_ = {s_.bank.floor_soc * capacity,      s_.rules.transfer_below * capacity,
                   s_.rules.return_above * capacity,  s_.rules.charge_to * capacity,
                   s_.rules.restart_above * capacity, capacity};
        cut_in_m3_ = models::stored_water_m3(s_.tank, s_.tank.cut_in_kpa);
        cut_out_m3_ = models::stored_water_m3(s_.tank, s_.tank.cut_out_kpa);
        for (auto const& node : s_.fill.nodes)
            if (node.water_m3 <= cut_out_m3_) pump_peak_w_ = std::max(pump_peak_w_, node.power_w);
        stored_kwh_ = s_.start_soc * capacity;
        soc_min_ = s_.start_soc;
        water_.tank_m3 = cut_out_m3_;
        shortest_run_s_ = infinity;
    }

    RunResult run() {
        RunResult result;
        result.clock = clock_;
        result.hours.reserve(static_cast<std::size_t>(clock_.hours));
        double const stored_before_kwh = stored_kwh_, tank_before_m3 = water_.tank_m3;
        for (int i = 0; i < clock_.hours; ++i) result.hours.push_back(hour(clock_.first_hour + i));
        result.events = std::move(events_);
        summarise(result, stored_before_kwh, tank_before_m3);
        return result;
    }

  private:
    // A volume of water that counts as some: far below a drop, far above rounding.
    static constexpr double some_water_m3 = 1e-9;

    HourRecord hour(int hour_index) {
        auto const h = static_cast<std::size_t>(hour_index % hours_per_year);
        HourRecord r;
        double const array_w = in_.array_power_w[h], load_w = in_.load_w[h], demand_m3 = in_.demand_m3[h];
        double const mean_flow = demand_m3 / seconds_per_hour;
        double const tap_flow = std::max(in_.tap_flow_m3_s[h], mean_flow);
        // An hour's demand that fills the hour must not leave a rounding sliver of shut taps.
        double const taps_shut_s = tap_flow > mean_flow ? demand_m3 / tap_flow : seconds_per_hour;

        double t_s = 0;
        int standing_still = 0;
        while (t_s < seconds_per_hour) {
            double const dt_s = step(hour_index, t_s, taps_shut_s, tap_flow, array_w, load_w, r);
            t_s += dt_s;
            standing_still = dt_s > 0 ? 0 : standing_still + 1;
            if (standing_still > 50)
                throw std::logic_error("the year loop stands still at hour " + std::to_string(hour_index));
        }

        finish(r, array_w, load_w, demand_m3);
        bool const dry = r.water_unmet_m3 > some_water_m3;
        if (dry != was_dry_ && (dry || demand_m3 > 0)) {
            note(hour_index, dry ? EventKind::water_short : EventKind::water_back,
                 models::tank_pressure_kpa(s_.tank, water_.tank_m3));
            was_dry_ = dry;
        }
        return r;
    }

    // One step from `t_s` in the hour; returns its length, 0 when only a state changed.
    double step(int hour_index, double t_s, double taps_shut_s, double tap_flow, double array_w,
                double load_w, HourRecord& r) {
        double const now_h = hour_index + t_s / seconds_per_hour;
        double limit_s = seconds_per_hour - t_s;
        bool const taps_open = t_s < taps_shut_s;
        if (taps_open) limit_s = std::min(limit_s, taps_shut_s - t_s);
        if (clock_.longest_step_s < seconds_per_hour) {
            double const next_s =
                (std::floor(t_s / clock_.longest_step_s * (1 + 1e-12)) + 1) * clock_.longest_step_s;
            limit_s = std::min(limit_s, next_s - t_s);
        }
        bool grid_up = true;
        if (s_.rules.backup == Backup::grid) {
            grid_up = models::grid_up(s_.outages, now_h);
            limit_s =
                std::min(limit_s, (models::next_grid_change_h(s_.outages, now_h) - now_h) * seconds_per_hour);
        }
        choose_supply(now_h, grid_up);
        double const capacity_w = ac_capacity_w(s_, supply_, array_w);

        // Pressure switch, then whether the source can carry the pump.
        if (water_.tank_m3 <= cut_in_m3_) water_.contact_closed = true;
        if (water_.tank_m3 >= cut_out_m3_) water_.contact_closed = false;
        bool const running = water_.contact_closed && pump_peak_w_ <= capacity_w;
        if (water_.contact_closed && !running) r.limit_reason = static_cast<double>(why_not());
        set_running(running, r);

        // How long the tank allows, and the pump's mean power over that time.
        double const flow = taps_open ? tap_flow : 0;
        double dt_s = std::min(limit_s, tank_event_s(flow));
        models::FillStep fill;
        double pump_w = 0;
        if (running) {
            fill = models::advance(s_.fill, water_.tank_m3, flow, dt_s);
            pump_w = fill.energy_j / dt_s;
        }
        double const served_w = std::min(load_w, std::max(capacity_w - (running ? pump_peak_w_ : 0), 0.0));
        PowerFlow power = power_flow(s_, supply_, stored_kwh_, array_w, served_w, pump_w);

        // The bank cannot give below its floor.
        if (power.bank_w > 0 && stored_kwh_ <= levels_.floor && !supply_.transferred &&
            !supply_.inverter_off) {
            supply_.inverter_off = true;
            note(now_h, EventKind::inverter_off, soc());
            return 0;
        }
        auto const [bank_h, level_kwh] = bank_event(power.bank_w * 1e-3);
        double const bank_s = bank_h * seconds_per_hour;
        bool const bank_first = bank_s < dt_s;
        if (bank_first) {
            dt_s = bank_s;
            if (running) fill = models::advance(s_.fill, water_.tank_m3, flow, dt_s);
        }

        book_power(power, load_w, dt_s, bank_first ? level_kwh : std::numeric_limits<double>::quiet_NaN(), r);
        book_water(flow, running, fill, dt_s, r);
        return dt_s;
    }

    // Supply choice: design rules in DEVELOPERS.md, "Supply".
    void choose_supply(double now_h, bool grid_up) {
        Backup const backup = s_.rules.backup;
        bool const present = backup == Backup::generator || (backup == Backup::grid && grid_up);
        if (supply_.transferred && (!present || stored_kwh_ >= levels_.come_back)) {
            supply_.transferred = false;
            transfer(now_h, EventKind::to_inverter);
        } else if (!supply_.transferred && present &&
                   (supply_.inverter_off || stored_kwh_ <= levels_.transfer)) {
            supply_.transferred = true;
            supply_.inverter_off = false;
            transfer(now_h, EventKind::to_backup);
        }
        if (supply_.inverter_off && stored_kwh_ >= levels_.restart) {
            supply_.inverter_off = false;
            note(now_h, EventKind::inverter_on, soc());
        }
    }

    void transfer(double now_h, EventKind kind) {
        ++transfers_;
        note(now_h, kind, soc());
        if (s_.rules.backup == Backup::generator) {
            bool const start = kind == EventKind::to_backup;
            note(now_h, start ? EventKind::generator_start : EventKind::generator_stop, soc());
            if (start) ++generator_starts_;
        }
        restart_pump_ =
            water_.running;  // the break stops a running pump; it starts again on the other source
    }

    LimitReason why_not() const {
        if (supply_.transferred) return LimitReason::backup_limit;
        return supply_.inverter_off ? LimitReason::bank_empty : LimitReason::inverter_limit;
    }

    void set_running(bool running, HourRecord& r) {
        if (running && restart_pump_) r.pump_starts += 1;
        restart_pump_ = false;
        if (running == water_.running) return;
        if (running) {
            r.pump_starts += 1;
            water_.run_s = 0;
            water_.whole_run = water_.tank_m3 == cut_in_m3_;
        } else if (water_.whole_run && water_.tank_m3 == cut_out_m3_) {
            shortest_run_s_ = std::min(shortest_run_s_, water_.run_s);
        }
        water_.running = running;
    }

    // Time until the tank reaches cut-out, cut-in or empty at this draw.
    double tank_event_s(double flow_m3_s) const {
        if (water_.running) {
            double const target = water_.tank_m3 < cut_out_m3_ ? cut_out_m3_ : infinity;
            return models::time_to_reach_s(s_.fill, water_.tank_m3, target, flow_m3_s);
        }
        if (!(flow_m3_s > 0) || water_.tank_m3 <= 0) return infinity;
        double const target = water_.tank_m3 > cut_in_m3_ && !water_.contact_closed ? cut_in_m3_ : 0;
        return (water_.tank_m3 - target) / flow_m3_s;
    }

    struct BankEvent {
        double hours, level_kwh;
    };

    // The next level of the bank at which a rule applies, and when it is reached at this power.
    BankEvent bank_event(double bank_kw) const {
        double const rate_kw =
            models::store_power_kw(s_.bank, bank_kw) - s_.bank.self_discharge_per_h * stored_kwh_;
        BankEvent next{infinity, 0};
        auto const watch = [&](double level_kwh) {
            double const hours = models::hours_until(s_.bank, stored_kwh_, bank_kw, level_kwh);
            if (hours < next.hours) next = {hours, level_kwh};
        };
        if (rate_kw < 0) {
            if (stored_kwh_ > levels_.floor) watch(levels_.floor);
            if (stored_kwh_ > 0) watch(0);
            if (s_.rules.backup != Backup::none && stored_kwh_ > levels_.transfer) watch(levels_.transfer);
            if (supply_.transferred && stored_kwh_ > levels_.charge_to) watch(levels_.charge_to);
        } else if (rate_kw > 0) {
            if (stored_kwh_ < levels_.full) watch(levels_.full);
            if (supply_.transferred && stored_kwh_ < levels_.come_back) watch(levels_.come_back);
            if (supply_.transferred && stored_kwh_ < levels_.charge_to) watch(levels_.charge_to);
            if (supply_.inverter_off && stored_kwh_ < levels_.restart) watch(levels_.restart);
        }
        return next;
    }

    void book_power(PowerFlow const& p, double load_w, double dt_s, double reached_kwh, HourRecord& r) {
        double const hours = dt_s / seconds_per_hour, kwh = 1e-3 * hours;
        auto const bank = models::after(s_.bank, stored_kwh_, p.bank_w * 1e-3, hours);
        bool const held = stored_kwh_ == levels_.full || stored_kwh_ == levels_.charge_to;
        bool const still = std::abs(bank.stored_kwh - stored_kwh_) < 1e-13 * levels_.full;
        // Standing on a level up to rounding is standing on it.
        if (!(held && still)) stored_kwh_ = std::isnan(reached_kwh) ? bank.stored_kwh : reached_kwh;
        soc_min_ = std::min(soc_min_, soc());
        r.array_used_kw += p.array_used_w * kwh;
        r.array_curtailed_kw += p.array_curtailed_w * kwh;
        r.controller_loss_kw += p.controller_loss_w * kwh;
        (p.bank_w > 0 ? r.battery_discharge_kw : r.battery_charge_kw) += std::abs(p.bank_w) * kwh;
        r.battery_loss_kw += bank.loss_kwh + bank.self_loss_kwh;
        if (p.inverter_dc_w > 0) r.inverter_loss_kw += (p.inverter_dc_w - p.load_served_w - p.pump_w) * kwh;
        r.standby_kw += p.standby_w * kwh;
        r.charger_loss_kw += (p.charger_ac_w - p.charger_dc_w) * kwh;
        r.load_served_kw += p.load_served_w * kwh;
        if (p.load_served_w < load_w) {
            r.load_unserved_kw += (load_w - p.load_served_w) * kwh;
            r.limit_reason = static_cast<double>(why_not());
        }
        r.pump_kw += p.pump_w * kwh;
        if (supply_.inverter_off) r.inverter_off_h += hours;
        if (!supply_.transferred) return;
        r.backup_h += hours;
        if (s_.rules.backup == Backup::grid) {
            r.grid_kw += p.backup_w * kwh;
        } else {
            r.generator_kw += p.backup_w * kwh;
            r.generator_run_h += hours;
            r.generator_fuel_l += models::fuel_l_per_h(*s_.generator, p.backup_w) * hours;
        }
    }

    void book_water(double flow_m3_s, bool running, models::FillStep const& fill, double dt_s,
                    HourRecord& r) {
        double const wanted_m3 = flow_m3_s * dt_s;
        if (running) {
            double const delivered_m3 = fill.pumped_m3 - (fill.water_m3 - water_.tank_m3);
            if (wanted_m3 - delivered_m3 > some_water_m3)
                r.limit_reason = static_cast<double>(LimitReason::pump_flow);
            r.water_delivered_m3 += delivered_m3;
            r.water_pumped_m3 += fill.pumped_m3;
            r.pump_run_h += dt_s / seconds_per_hour;
            water_.run_s += dt_s;
            water_.tank_m3 = snapped(fill.water_m3);
        } else {
            double const delivered_m3 = std::min(wanted_m3, water_.tank_m3);
            r.water_delivered_m3 += delivered_m3;
            water_.tank_m3 = snapped(water_.tank_m3 - delivered_m3);
        }
    }

    // A tank that has reached a switch point up to rounding stands on it.
    double snapped(double tank_m3) const {
        double const slack_m3 = 1e-13;
        if (std::abs(tank_m3 - cut_in_m3_) < slack_m3) return cut_in_m3_;
        if (std::abs(tank_m3 - cut_out_m3_) < slack_m3) return cut_out_m3_;
        return tank_m3 < slack_m3 ? 0 : tank_m3;
    }

    void finish(HourRecord& r, double array_w, double load_w, double demand_m3) const {
        r.array_available_kw = array_w * 1e-3;
        r.load_wanted_kw = load_w * 1e-3;
        r.water_demand_m3 = demand_m3;
        r.water_unmet_m3 = std::max(demand_m3 - r.water_delivered_m3, 0.0);
        r.battery_stored_kwh = stored_kwh_;
        r.battery_soc = soc();
        r.tank_water_m3 = water_.tank_m3;
        r.tank_pressure_kpa = models::tank_pressure_kpa(s_.tank, water_.tank_m3);
    }

    void note(double time_h, EventKind kind, double value) { events_.push_back({time_h, kind, value}); }
    double soc() const { return s_.bank.capacity_kwh > 0 ? stored_kwh_ / s_.bank.capacity_kwh : 0; }

    void summarise(RunResult& result, double stored_before_kwh, double tank_before_m3) const;

    System const& s_;
    HourlyInputs const& in_;
    Clock const& clock_;
    BankLevels levels_{};
    double cut_in_m3_ = 0, cut_out_m3_ = 0, pump_peak_w_ = 0;

    double stored_kwh_ = 0, soc_min_ = 1;
    SupplyState supply_;
    WaterState water_;
    bool restart_pump_ = false, was_dry_ = false;
    double transfers_ = 0, generator_starts_ = 0, shortest_run_s_ = infinity;
    std::vector<Event> events_;
};

void YearRun::summarise(RunResult& result, double stored_before_kwh, double tank_before_m3) const {
    Summary& s = result.summary;
    double standby = 0, controller_loss = 0, charger_loss = 0, pumped_m3 = 0, soc_sum = 0, dry_run_h = 0;
    for (std::size_t i = 0; i < result.hours.size(); ++i) {
        HourRecord const& r = result.hours[i];
        std::size_t const day = i / 24;
        if (day == result.days.size()) result.days.emplace_back();
        DayRecord& d = result.days[day];
        bool const dry = r.water_unmet_m3 > some_water_m3;
        d.array_available_kwh += r.array_available_kw;
        d.pump_kwh += r.pump_kw;
        d.load_kwh += r.load_served_kw;
        d.grid_kwh += r.grid_kw;
        d.generator_kwh += r.generator_kw;
        d.water_delivered_m3 += r.water_delivered_m3;
        d.water_unmet_m3 += r.water_unmet_m3;
        d.pump_starts += r.pump_starts;
        d.dry_hours += dry ? 1 : 0;
        d.soc_min = std::min(d.soc_min, r.battery_soc);
        d.soc_end = r.battery_soc;

        s.water_demand_m3 += r.water_demand_m3;
        s.water_delivered_m3 += r.water_delivered_m3;
        s.water_unmet_m3 += r.water_unmet_m3;
        pumped_m3 += r.water_pumped_m3;
        if (dry) {
            s.dry_hours += 1;
            dry_run_h += 1;
        } else if (r.water_demand_m3 > 0) {
            dry_run_h = 0;
        } else if (dry_run_h > 0) {
            dry_run_h += 1;
        }
        if (dry) s.longest_dry_h = std::max(s.longest_dry_h, dry_run_h);
        s.pump_starts += r.pump_starts;
        s.pump_run_h += r.pump_run_h;
        s.pv_available_kwh += r.array_available_kw;
        s.pv_used_kwh += r.array_used_kw;
        s.pv_curtailed_kwh += r.array_curtailed_kw;
        s.battery_in_kwh += r.battery_charge_kw;
        s.battery_out_kwh += r.battery_discharge_kw;
        s.battery_loss_kwh += r.battery_loss_kw;
        s.load_served_kwh += r.load_served_kw + r.pump_kw;
        s.load_unserved_kwh += r.load_unserved_kw;
        s.pump_energy_kwh += r.pump_kw;
        s.inverter_loss_kwh += r.inverter_loss_kw;
        s.grid_kwh += r.grid_kw;
        s.generator_kwh += r.generator_kw;
        s.generator_run_h += r.generator_run_h;
        s.generator_fuel_l += r.generator_fuel_l;
        controller_loss += r.controller_loss_kw;
        standby += r.standby_kw;
        charger_loss += r.charger_loss_kw;
        soc_sum += r.battery_soc;
    }
    for (DayRecord const& d : result.days)
        s.max_starts_per_day = std::max(s.max_starts_per_day, d.pump_starts);
    s.water_kept_fraction = s.water_demand_m3 > 0 ? s.water_delivered_m3 / s.water_demand_m3 : 1;
    s.shortest_run_s = std::isinf(shortest_run_s_) ? 0 : shortest_run_s_;
    s.battery_equivalent_cycles = s_.bank.capacity_kwh > 0 ? s.battery_out_kwh / s_.bank.capacity_kwh : 0;
    s.soc_min = soc_min_;
    s.soc_mean = result.hours.empty() ? soc_min_ : soc_sum / static_cast<double>(result.hours.size());
    s.transfers = transfers_;
    s.generator_starts = generator_starts_;
    s.energy_residual_kwh = s.pv_used_kwh + s.grid_kwh + s.generator_kwh - s.load_served_kwh -
                            s.inverter_loss_kwh - standby - controller_loss - charger_loss -
                            s.battery_loss_kwh - (stored_kwh_ - stored_before_kwh);
    s.water_residual_m3 = pumped_m3 - s.water_delivered_m3 - (water_.tank_m3 - tank_before_m3);
}

void check(std::vector<double> const& values, char const* name) {
    models::require(values.size() == static_cast<std::size_t>(hours_per_year), name,
                    static_cast<double>(values.size()), "must hold 8760 hourly values");
    for (double const v : values)
        models::require(v >= 0 && std::isfinite(v), name, v, "must be finite and not negative in every hour");
}

}  // namespace

RunResult simulate(System const& system, HourlyInputs const& inputs, Clock const& clock) {
    auto const begin = std::chrono::steady_clock::now();
    check(inputs.array_power_w, "array_power_w");
    check(inputs.load_w, "load_w");
    check(inputs.demand_m3, "demand_m3");
    check(inputs.tap_flow_m3_s, "tap_flow_m3_s");
    RunResult result = YearRun(system, inputs, clock).run();
    result.summary.wall_time_s =
        std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    return result;
}

}  // namespace holdwater::sim
