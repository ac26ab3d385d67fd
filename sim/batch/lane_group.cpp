#include "sim/batch/lane_group.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <limits>
#include <memory>
#include <optional>

#include "sim/batch/lane_findings.hpp"
#include "sim/year/findings.hpp"
#include "sim/year/quick_path.hpp"
#include "sim/year/summarize.hpp"

namespace holdwater::sim {
namespace {

using models::all, models::any, models::first, models::LaneMask, models::Lanes, models::pick,
    models::same_everywhere;

// Data of one design besides its lane.
struct Design {
    Design(LaneDesign const& design, WaterYear const& water, Clock const& clock)
        : system(*design.system),
          inputs(design.inputs->inputs->hours()),
          digest(*design.inputs),
          water_side(system, events),
          supply(system, events),
          loads(inputs),
          quick(system, *design.inputs->inputs, clock, water_side, supply, loads),
          extra_starts(water.starts_of_day.size(), 0),
          apart(water.hours.size(), 0) {
        water_side.set_tables(water.tables);
    }

    System const& system;
    HourlyInputs const& inputs;
    InputsDigest const& digest;
    std::vector<Event> events;
    WaterSide water_side;  // for hours run alone
    SupplySide supply;
    LoadShedding loads;
    QuickPath quick;
    HourRecord alone;  // sums of the hours that were not quick
    double alone_hours = 0;
    double supplied_pump_kwh = 0;      // of the pump in these hours of the shared year
    double supplied_inverter_kwh = 0;  // input of the inverter if these hours were quick
    // If its water side differs from the shared year: its state and the differences in the sums.
    std::optional<WaterState> own_water;
    std::vector<double> extra_starts;  // by day
    std::vector<char> apart;           // hours with records of their own: 1, or 2 if short of water
    bool other_starts = false, other_shortage_hours = false;
    OwnHours own;
    double load_starts_over_h = 0;
    double more_run_h = 0, more_delivered_m3 = 0, more_unmet_m3 = 0, more_pumped_m3 = 0;
};

// The numbers of the lanes; each lane has what QuickPath has for one design.
struct GroupState {
    QuickSupply<Lanes> plant{};
    QuickHour<Lanes> year;  // the present state of the batteries, and the sums of the quick hours
    // Set lane by lane, and used for all lanes in each hour.
    Lanes above_kwh = 0, start_above_kwh = 0, until_h = 0;
    LaneMask carries_all{};
    bool all_carry_all = false;
    double next_rule_h = 0;     // the earliest of until_h
    Lanes inverter_dc_kwh = 0;  // of all hours, as if they were quick
    Lanes stored_sum_kwh = 0;   // at the ends of all hours
};

// An hourly series of every lane. If all lanes share it, as in a sweep over batteries, it is read only once.
class Series {
  public:
    void set(std::size_t lane, double const* series) {
        series_[lane] = series;
        shared_ = shared_ && series == series_[0];
    }
    [[nodiscard]] Lanes at(std::size_t hour) const {
        return shared_ ? Lanes(series_[0][hour]) : Lanes(series_, hour);
    }
    [[nodiscard]] bool shared() const { return shared_; }
    [[nodiscard]] bool are(double const* series) const { return shared_ && series_[0] == series; }
    [[nodiscard]] double shared_at(std::size_t hour) const { return series_[0][hour]; }

  private:
    std::array<double const*, Lanes::count> series_{};
    bool shared_ = true;
};

// This many hours are computed together, and then it is checked once whether they were quick in all lanes.
constexpr int hours_at_once = 6;

class Group {
  public:
    Group(std::span<LaneDesign const> designs, WaterYear const& water, SupplyYear const& supply,
          Clock const& clock, bool findings)
        : water_(water), supply_(supply), clock_(clock), count_(designs.size()), findings_(findings) {
        if (findings_) stored_kwh_.resize(water.hours.size());
        for (LaneDesign const& d : designs) designs_.push_back(std::make_unique<Design>(d, water, clock));
        for (std::size_t lane = 0; lane < Lanes::count; ++lane) set_lane(lane);
        g_.plant.prepare();
        g_.all_carry_all = models::all(g_.carries_all);
    }

    [[nodiscard]] bool two_wells() const { return designs_[0]->supply.battery().is_two_well(); }
    // The inner loop. Everything that it calls, except go_alone(), is inlined into each of its compilations.
    template <bool two_wells>
    inline __attribute__((always_inline)) void run() {
        for (std::size_t lane = 0; lane < Lanes::count; ++lane) {
            array_w_.set(lane, of(lane).inputs.array_power_w.data());
            load_w_.set(lane, of(lane).digest.load_w);
            load_var_.set(lane, series_or_none(of(lane).inputs.load_var));
            imbalance_w_.set(lane, series_or_none(of(lane).inputs.leg_imbalance_w));
        }
        auto const& p = g_.plant;
        auto const& s = supply_.plant;
        bool const same_needs = load_w_.are(supply_.load_w) && all(p.standby_w == s.standby_w) &&
                                all(p.inverter.idle_w == s.inverter.idle_w) &&
                                all(p.inverter.k1 == s.inverter.k1) &&
                                all(p.inverter.k2_per_w == s.inverter.k2_per_w) &&
                                all(p.inverter.extra_w == s.inverter.extra_w) &&
                                all(p.inverter.extra_share_per_w == s.inverter.extra_share_per_w) &&
                                all(p.battery.self_discharge_per_h == s.battery.self_discharge_per_h) &&
                                all(p.rates.leveling_per_h == s.rates.leveling_per_h);
        bool const same_sun = array_w_.shared() && same_everywhere(p.controller_efficiency) &&
                              same_everywhere(p.controller_limit_w);
        if (!same_needs)
            run<two_wells, Lanes, Lanes>();
        else if (!same_sun)
            run<two_wells, Lanes, double>();
        else
            run<two_wells, double, double>();
    }
    template <bool two_wells, class Sun, class Need>
    inline __attribute__((always_inline)) void run() {
        // A local copy, which the compiler knows cannot change.
        QuickSupply<Lanes> const plant = g_.plant;
        for (int first = 0; first < clock_.hours; first += hours_at_once) {
            int const end = std::min(first + hours_at_once, clock_.hours);
            if (take_quick<two_wells, Sun, Need>(plant, first, end)) continue;
            for (int i = first; i < end; ++i) take_hour<two_wells, Sun, Need>(plant, i);
        }
        if constexpr (std::is_same_v<Need, double>) g_.inverter_dc_kwh = supply_.all_inverter_dc_kwh;
    }

    std::vector<LaneYear> years();

  private:
    [[nodiscard]] std::size_t hour_of_year(int i) const {
        int const h = clock_.first_hour + i;
        return static_cast<std::size_t>(h < hours_per_year ? h : h % hours_per_year);
    }
    // Computes hour `i` as if it were quick in all lanes; returns the input of the inverters.
    template <bool two_wells, class Sun, class Need>
    inline __attribute__((always_inline)) Need go_through_hour(QuickSupply<Lanes> const& plant, int i,
                                                               Sun const& sun_w, QuickHour<Lanes>& q) {
        auto const at = static_cast<std::size_t>(i);
        Need inverter_dc_kwh = 0;
        if constexpr (std::is_same_v<Need, double>) {
            inverter_dc_kwh = supply_.inverter_dc_kwh[at];
            go_through<two_wells>(plant, sun_w, water_.of_hour(std::span(supply_.stretches), at),
                                  std::identity{}, q);
        } else {
            Lanes const load = load_w_.at(hour_of_year(i));
            auto const stretch_of = [&](PumpStretch const& p) __attribute__((always_inline)) {
                return plant.template stretch<two_wells>(p, load, inverter_dc_kwh);
            };
            go_through<two_wells>(plant, sun_w, water_.stretches(at), stretch_of, q);
        }
        return inverter_dc_kwh;
    }
    template <class Sun>
    inline __attribute__((always_inline)) Sun sun_w(QuickSupply<Lanes> const& plant, int i) const {
        if constexpr (std::is_same_v<Sun, double>)
            return controller_output_w(array_w_.shared_at(hour_of_year(i)),
                                       first(plant.controller_efficiency), first(plant.controller_limit_w));
        else
            return controller_output_w(array_w_.at(hour_of_year(i)), plant.controller_efficiency,
                                       plant.controller_limit_w);
    }

    // Runs these hours if they are quick in all lanes; otherwise nothing has changed.
    template <bool two_wells, class Sun, class Need>
    inline __attribute__((always_inline)) bool take_quick(QuickSupply<Lanes> const& plant, int begin,
                                                          int end) {
        GroupState& g = g_;
        if (!g.all_carry_all || g.next_rule_h < clock_.first_hour + end ||
            any(!(g.year.battery.stored_kwh > g.above_kwh)))
            return false;
        QuickHour<Lanes> q = g.year;
        q.lowest_kwh = q.battery.stored_kwh;
        Lanes stored_sum_kwh = g.stored_sum_kwh, inverter_dc_kwh = g.inverter_dc_kwh;
        double starts = 0;
        for (int i = begin; i < end; ++i) {
            Need const hour_dc_kwh = go_through_hour<two_wells, Sun, Need>(plant, i, sun_w<Sun>(plant, i), q);
            if constexpr (std::is_same_v<Need, Lanes>) inverter_dc_kwh += hour_dc_kwh;
            starts += water_.hours[static_cast<std::size_t>(i)].starts;
            stored_sum_kwh += q.battery.stored_kwh;
            if (findings_) stored_kwh_[static_cast<std::size_t>(i)] = q.battery.stored_kwh;
        }
        if (any(!(q.lowest_kwh > (starts > 0 ? g.start_above_kwh : g.above_kwh)))) return false;
        q.lowest_kwh = models::least(g.year.lowest_kwh, q.lowest_kwh);
        g.year = q;
        g.stored_sum_kwh = stored_sum_kwh;
        g.inverter_dc_kwh = inverter_dc_kwh;
        return true;
    }

    // Runs one hour: together in the lanes in which it is quick, and alone in the others.
    template <bool two_wells, class Sun, class Need>
    inline __attribute__((always_inline)) void take_hour(QuickSupply<Lanes> const& plant, int i) {
        GroupState& g = g_;
        int const hour = clock_.first_hour + i;
        auto const at = static_cast<std::size_t>(i);
        WaterYear::Hour const& w = water_.hours[at];
        Sun const sun = sun_w<Sun>(plant, i);
        QuickHour<Lanes> q = g.year;
        q.lowest_kwh = q.battery.stored_kwh;
        Need const inverter_dc_kwh = go_through_hour<two_wells, Sun, Need>(plant, i, sun, q);
        LaneMask quick = q.lowest_kwh > (w.starts > 0 ? g.start_above_kwh : g.above_kwh);
        if (g.next_rule_h < hour + 1.0) quick = quick & (g.until_h >= hour + 1.0);
        if (!g.all_carry_all) {
            auto const h = hour_of_year(i);
            Lanes const most = load_w_.at(h) + (w.run_h > 0 ? water_.running_w : water_.standing_w);
            quick = quick & (g.carries_all |
                             inverter_carries<Lanes>(plant, sun, most, load_var_.at(h), imbalance_w_.at(h)));
        }
        auto const keep = [&](Lanes & now, Lanes const& then) __attribute__((always_inline)) {
            now = pick(quick, then, now);
        };
        keep(g.year.battery.stored_kwh, q.battery.stored_kwh);
        keep(g.year.battery.head_kwh, q.battery.head_kwh);
        keep(g.year.charged_kwh, q.charged_kwh);
        keep(g.year.discharged_kwh, q.discharged_kwh);
        keep(g.year.self_loss_kwh, q.self_loss_kwh);
        keep(g.year.lowest_kwh, models::least(g.year.lowest_kwh, q.lowest_kwh));
        if constexpr (std::is_same_v<Need, Lanes>) g.inverter_dc_kwh += inverter_dc_kwh;
        if (any(!quick))
            for (std::size_t lane = 0; lane < count_; ++lane) {
                if (quick[lane]) continue;
                designs_[lane]->supplied_inverter_kwh += Lanes(inverter_dc_kwh)[lane];
                go_alone(lane, hour, at);
            }
        g.stored_sum_kwh += g.year.battery.stored_kwh;
        if (findings_) stored_kwh_[at] = g.year.battery.stored_kwh;
    }

    // Lanes without a design are copies of the first one, and their results are never used.
    Design& of(std::size_t lane) { return *designs_[lane < count_ ? lane : 0]; }
    static double const* series_or_none(std::vector<double> const& series) {
        static std::vector<double> const none(hours_per_year, 0.0);
        return series.empty() ? none.data() : series.data();
    }
    void set_lane(std::size_t lane) {
        Design& d = of(lane);
        auto const q = d.supply.quick_supply();
        auto& p = g_.plant;
        p.battery.capacity_kwh.set(lane, q.battery.capacity_kwh);
        p.battery.charge_efficiency.set(lane, q.battery.charge_efficiency);
        p.battery.discharge_efficiency.set(lane, q.battery.discharge_efficiency);
        p.battery.min_soc.set(lane, q.battery.min_soc);
        p.battery.charge_limit_kw.set(lane, q.battery.charge_limit_kw);
        p.battery.discharge_limit_kw.set(lane, q.battery.discharge_limit_kw);
        p.battery.self_discharge_per_h.set(lane, q.battery.self_discharge_per_h);
        p.inverter.rated_power_w.set(lane, q.inverter.rated_power_w);
        p.inverter.idle_w.set(lane, q.inverter.idle_w);
        p.inverter.k1.set(lane, q.inverter.k1);
        p.inverter.k2_per_w.set(lane, q.inverter.k2_per_w);
        p.inverter.extra_w.set(lane, q.inverter.extra_w);
        p.inverter.extra_share_per_w.set(lane, q.inverter.extra_share_per_w);
        p.controller_efficiency.set(lane, q.controller_efficiency);
        p.controller_limit_w.set(lane, q.controller_limit_w);
        p.standby_w.set(lane, q.standby_w);
        p.wells.capacity_kwh.set(lane, q.wells.capacity_kwh);
        p.wells.available_fraction.set(lane, q.wells.available_fraction);
        p.wells.exchange_per_h.set(lane, q.wells.exchange_per_h);
        p.wells.self_discharge_per_h.set(lane, q.wells.self_discharge_per_h);

        g_.carries_all.set(lane, lane >= count_ || d.quick.carries_all());
        set_battery(lane);
        g_.year.lowest_kwh.set(lane, d.supply.battery().stored_kwh());
        set_rules(lane);
    }
    void set_battery(std::size_t lane) {
        auto const levels = of(lane).supply.battery().levels();
        g_.year.battery.stored_kwh.set(lane, levels.stored_kwh);
        g_.year.battery.head_kwh.set(lane, levels.head_kwh);
    }
    void take_over(std::size_t lane) {
        auto const& year = g_.year;
        designs_[lane]->supply.take_over({year.battery.stored_kwh[lane], year.battery.head_kwh[lane]},
                                         year.lowest_kwh[lane]);
    }
    // Before the first hour the rules have not been applied yet, so it is run alone, as are all hours of a
    // design with its own water side.
    void set_rules(std::size_t lane) {
        Design const& d = of(lane);
        bool const fills_group = lane >= count_;
        double constexpr never = std::numeric_limits<double>::infinity();
        double const above_kwh = d.own_water ? never : d.quick.above_kwh();
        g_.above_kwh.set(lane, fills_group ? -never : above_kwh);
        g_.start_above_kwh.set(lane, fills_group ? -never : std::max(above_kwh, d.quick.start_above_kwh()));
        g_.until_h.set(lane, fills_group ? never : d.quick.until_h());
        g_.next_rule_h = g_.until_h[0];
        for (std::size_t i = 1; i < Lanes::count; ++i)
            g_.next_rule_h = std::min(g_.next_rule_h, g_.until_h[i]);
    }

    __attribute__((noinline)) void go_alone(std::size_t lane, int hour, std::size_t at);
    void book(Design& d, int hour, std::size_t at, HourRecord& r);
    Summary water_summary(Design const& d) const;
    Summary summary_of(std::size_t lane);
    double load_starts_over_h(Design const& d) const;
    Findings findings_of(std::size_t lane, Summary const& summary) const;

    WaterYear const& water_;
    SupplyYear const& supply_;
    Clock const& clock_;
    std::size_t count_;
    bool findings_;
    std::vector<Lanes> stored_kwh_;  // at the ends of the hours, for the findings
    std::vector<std::unique_ptr<Design>> designs_;
    Series array_w_, load_w_, load_var_, imbalance_w_;
    GroupState g_;
};

void Group::go_alone(std::size_t lane, int hour, std::size_t at) {
    Design& d = *designs_[lane];
    WaterYear::Hour const& w = water_.hours[at];
    take_over(lane);
    HourRecord r;
    if (!d.own_water && d.quick.stays_on_backup(hour)) {
        r.pump_starts = w.starts;
        r.pump_run_h = w.run_h;
        r.water_short_m3 = w.unmet_m3;
        if (d.quick.backup_carries(hour, water_.stretches(at),
                                   r)) {  // the water side stays that of the shared year
            book(d, hour, at, r);
            set_battery(lane);
            return;
        }
        r = {};
    }
    WaterState const* const water_now = d.own_water ? &*d.own_water : &water_.state[at];
    d.water_side.set(*water_now);
    d.water_side.forget_marks();
    if (d.own_water)
        d.quick.go_through(hour, r);
    else
        d.quick.go_coupled(hour, r);
    book(d, hour, at, r);
    set_battery(lane);

    d.own.add(at, r, d.system, d.water_side);
    d.extra_starts[at / 24] += r.pump_starts - w.starts;
    d.other_starts |= r.pump_starts != w.starts;
    d.other_shortage_hours |= (d.apart[at] == 2) != (w.unmet_m3 > some_water_m3);
    d.more_run_h += r.pump_run_h - w.run_h;
    d.more_delivered_m3 += r.water_delivered_m3 - w.delivered_m3;
    d.more_unmet_m3 += r.water_short_m3 - w.unmet_m3;
    d.more_pumped_m3 += r.water_pumped_m3 - w.pumped_m3;
    WaterState const water = d.water_side.state();
    if (same_state(water, water_.state[at + 1]))
        d.own_water.reset();
    else
        d.own_water = water;
    set_rules(lane);
}

// Adds an hour that was run alone to the sums of a design.
void Group::book(Design& d, int hour, std::size_t at, HourRecord& r) {
    if (!d.inputs.load_start_va.empty() &&
        load_start_over(d.system, d.inputs, static_cast<std::size_t>(hour % hours_per_year), r))
        d.load_starts_over_h += 1;
    add(d.alone, r);
    ++d.alone_hours;
    d.supplied_pump_kwh += water_.hours[at].pump_kwh;
    d.apart[at] = r.water_short_m3 > some_water_m3 ? 2 : 1;
}

// The figures of water and pump.
Summary Group::water_summary(Design const& d) const {
    Summary s = water_.summary;
    if (d.other_starts) s.max_starts_per_day = 0;
    for (std::size_t day = 0; d.other_starts && day < d.extra_starts.size(); ++day) {
        s.pump_starts += d.extra_starts[day];
        s.max_starts_per_day =
            std::max(s.max_starts_per_day, water_.starts_of_day[day] + d.extra_starts[day]);
    }
    s.pump_run_h += d.more_run_h;
    s.water_delivered_m3 += d.more_delivered_m3;
    s.water_short_m3 += d.more_unmet_m3;
    s.demand_met_fraction = s.water_demand_m3 > 0 ? s.water_delivered_m3 / s.water_demand_m3 : 1;
    s.water_residual_m3 += d.more_pumped_m3 - d.more_delivered_m3;
    if (d.own_water) s.water_residual_m3 -= d.own_water->tank.tank_m3 - water_.state.back().tank.tank_m3;
    double const shortest_run_s = sim::shortest_run_s(water_, d.own);
    s.shortest_run_s = std::isfinite(shortest_run_s) ? shortest_run_s : 0;
    if (!d.other_shortage_hours) return s;
    ShortageHours dry;
    for (std::size_t h = 0; h < water_.hours.size(); ++h) {
        WaterYear::Hour const& w = water_.hours[h];
        dry.add(d.apart[h] != 0 ? d.apart[h] == 2 : w.unmet_m3 > some_water_m3, w.demand_m3 > 0);
    }
    s.shortage_hours = dry.hours;
    s.longest_shortage_h = dry.longest_h;
    return s;
}

Summary Group::summary_of(std::size_t lane) {
    Design& d = *designs_[lane];
    take_over(lane);
    HourRecord const& c = d.alone;
    double const hours = clock_.hours, quick_hours = hours - d.alone_hours;
    double const capacity_kwh = d.system.battery.capacity_kwh;
    // For the quick hours: the sums of all hours minus those of the other hours.
    double const array_kwh = d.digest.array_kwh - (c.pv_available_kw - c.array_window_loss_kw);
    double const load_kwh = d.digest.load_kwh - c.load_demand_kw;
    double const pump_kwh = water_.pump_kwh - d.supplied_pump_kwh;
    double const inverter_dc_kwh = g_.inverter_dc_kwh[lane] - d.supplied_inverter_kwh;
    double const charged_kwh = g_.year.charged_kwh[lane], discharged_kwh = g_.year.discharged_kwh[lane];
    double const standby_kwh = 1e-3 * d.system.dc_standby_w * quick_hours;
    double const sun_kwh = inverter_dc_kwh + standby_kwh + charged_kwh - discharged_kwh;
    double const used_kwh = sun_kwh / d.system.controller_efficiency;
    Summary s = water_summary(d);
    s.pv_available_kwh = d.digest.available_kwh;
    s.pv_used_kwh = used_kwh + c.pv_used_kw;
    s.pv_curtailed_kwh = array_kwh - used_kwh + c.pv_curtailed_kw;
    s.battery_in_kwh = charged_kwh + c.battery_charge_kw;
    s.battery_out_kwh = discharged_kwh + c.battery_discharge_kw;
    s.battery_loss_kwh =
        battery_loss_kwh(d.system.battery, charged_kwh, discharged_kwh, g_.year.self_loss_kwh[lane]) +
        c.battery_loss_kw;
    s.battery_equivalent_cycles = capacity_kwh > 0 ? s.battery_out_kwh / capacity_kwh : 0;
    s.soc_min = d.supply.soc_min();
    s.soc_mean = capacity_kwh > 0 ? g_.stored_sum_kwh[lane] / capacity_kwh / hours : 0;
    s.load_served_kwh = load_kwh + pump_kwh + c.load_served_kw + c.pump_kw;
    s.load_unserved_kwh = c.load_unserved_kw;
    s.pump_energy_kwh = pump_kwh + c.pump_kw;
    s.inverter_loss_kwh = inverter_dc_kwh - load_kwh - pump_kwh + c.inverter_loss_kw;
    check_inverter_loss(s.inverter_loss_kwh, load_kwh + pump_kwh, clock_.first_hour);
    s.pass_through_loss_kwh = c.pass_through_loss_kw;
    s.grid_kwh = c.grid_kw;
    s.generator_kwh = c.generator_kw;
    s.generator_run_h = c.generator_run_h;
    s.generator_fuel_l = c.generator_fuel_l;
    s.generator_starts = d.supply.generator().starts();
    s.transfers = d.supply.transfers();
    double const other_kwh = used_kwh - sun_kwh + c.controller_loss_kw + c.charger_loss_kw + standby_kwh +
                             c.standby_kw + c.heater_kw;
    s.energy_residual_kwh = energy_residual_kwh(
        s, other_kwh, g_.year.battery.stored_kwh[lane] - d.system.start_soc * d.system.battery.capacity_kwh);
    return s;
}

// Number of quick hours in which the start of a small load is too much; see load_start_over.
double Group::load_starts_over_h(Design const& d) const {
    System const& s = d.system;
    LoadPeaks const& peaks = d.digest.inputs->peaks();
    if (peaks.start_va == 0 || s.inverter.surge.empty()) return 0;
    // In most designs the largest start fits in addition to everything else.
    if (water_.standing_w == 0 &&
        std::hypot(peaks.load_w + water_.running_w + s.motor.start_power_w, peaks.load_var) + peaks.start_va <
            (models::surge_va(s.inverter, 1) - peaks.leg_imbalance_w) * (1 - 1e-9))
        return 0;
    double over_h = 0;
    for (std::size_t at = 0; at < water_.hours.size(); ++at) {
        if (d.apart[at] != 0) continue;
        auto const h = (static_cast<std::size_t>(clock_.first_hour) + at) % hours_per_year;
        HourRecord r;
        r.pump_kw = water_.hours[at].pump_kwh;
        r.pump_run_h = water_.hours[at].run_h;
        r.load_served_kw = 1e-3 * d.digest.load_w[h];
        if (load_start_over(s, d.inputs, h, r)) over_h += 1;
    }
    return over_h;
}

// The findings as from simulate(). What a plain water side and a battery without temperature cannot have
// stays 0.
Findings Group::findings_of(std::size_t lane, Summary const& summary) const {
    Design const& d = *designs_[lane];
    auto const pump = pump_year(water_, d.own);
    Findings f;
    find_pump(f, d.system, d.system.motor, pump.marks, pump.starts_s, clock_);
    f.start_heating_index = pump.marks.start_heating_index;
    f.longest_day_run_h = pump.longest_day_run_h;
    f.peak_draw_m3_s = d.digest.peak_draw_m3_s;
    f.load_starts_over_h = d.load_starts_over_h + load_starts_over_h(d);
    find_supply(f, d.supply);
    std::vector<double> soc{d.system.start_soc};
    soc.reserve(stored_kwh_.size() + 1);
    double const capacity_kwh = d.system.battery.capacity_kwh;
    for (Lanes const& stored_kwh : stored_kwh_) soc.push_back(stored_kwh[lane] / capacity_kwh);
    find_battery(f, d.system, soc, d.supply.battery().temperature_c(), summary.battery_out_kwh);
    return f;
}

std::vector<LaneYear> Group::years() {
    std::vector<LaneYear> years(count_);
    for (std::size_t lane = 0; lane < count_; ++lane) {
        LaneYear& year = years[lane];
        year.summary = summary_of(lane);
        if (findings_) year.findings = findings_of(lane, year.summary);
        year.alone_hours = designs_[lane]->alone_hours;
    }
    return years;
}

#if defined(__x86_64__) && defined(__GNUC__)
#define HOLDWATER_WIDE __attribute__((target("avx2"), flatten))
bool has_wide() { return __builtin_cpu_supports("avx2"); }
#else
#define HOLDWATER_WIDE
bool has_wide() { return false; }
#endif
HOLDWATER_WIDE void run_wide(Group& group) { group.run<false>(); }
HOLDWATER_WIDE void run_wide_wells(Group& group) { group.run<true>(); }
#undef HOLDWATER_WIDE
__attribute__((flatten)) void run_portable(Group& group) { group.run<false>(); }
__attribute__((flatten)) void run_portable_wells(Group& group) { group.run<true>(); }

}  // namespace

std::string_view lane_obstacle(LaneDesign const& d) {
    System const& s = *d.system;
    if (s.carried_supply || s.carried_water) return "a start from an earlier run";
    if (s.well) return "a well with a level of its own";
    if (s.cistern) return "a cistern";
    if (s.trough) return "a trough";
    if (!s.pump_at_level.empty()) return "a drive";
    if (s.pump_gate) return "a pump gate";
    if (!std::isinf(s.battery_behavior.acceptance_per_h)) return "a charge that tapers";
    if (s.battery_behavior.thermal) return "a battery with a temperature";
    if (!(s.battery.capacity_kwh > 0)) return "no battery";
    if (models::sleeps(s.inverter, d.inputs->least_load_w)) return "an inverter that sleeps";
    if (s.rules.grid_first && s.rules.backup == Backup::grid) return "the grid first";
    return "";
}

std::vector<LaneYear> run_lane_group(std::span<LaneDesign const> designs, WaterYear const& water,
                                     SupplyYear const& supply, Clock const& clock, LaneCode code,
                                     bool findings) {
    Group group(designs, water, supply, clock, findings);
    if (code != LaneCode::portable && has_wide())
        group.two_wells() ? run_wide_wells(group) : run_wide(group);
    else
        group.two_wells() ? run_portable_wells(group) : run_portable(group);
    return group.years();
}

}  // namespace holdwater::sim
