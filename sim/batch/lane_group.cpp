#include "sim/batch/lane_group.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <limits>
#include <memory>
#include <optional>

#include "sim/batch/lane_year.hpp"
#include "sim/year/findings.hpp"
#include "sim/year/summarize.hpp"

namespace holdwater::sim {
namespace {

using models::all, models::any, models::first, models::LaneMask, models::Lanes, models::pick,
    models::same_everywhere;

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
        for (LaneDesign const& d : designs) designs_.push_back(std::make_unique<LaneRun>(d, water, clock));
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
    LaneRun& of(std::size_t lane) { return *designs_[lane < count_ ? lane : 0]; }
    static double const* series_or_none(std::vector<double> const& series) {
        static std::vector<double> const none(hours_per_year, 0.0);
        return series.empty() ? none.data() : series.data();
    }
    void set_lane(std::size_t lane) {
        LaneRun& d = of(lane);
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
        p.controller_efficiency.set(lane, d.system.array_factor * q.controller_efficiency);
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
        LaneRun const& d = of(lane);
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
    void book(LaneRun& d, int hour, std::size_t at, HourRecord& r);
    [[nodiscard]] LaneSums sums_of(std::size_t lane) const;

    WaterYear const& water_;
    SupplyYear const& supply_;
    Clock const& clock_;
    std::size_t count_;
    bool findings_;
    std::vector<Lanes> stored_kwh_;  // at the ends of the hours, for the findings
    std::vector<std::unique_ptr<LaneRun>> designs_;
    Series array_w_, load_w_, load_var_, imbalance_w_;
    GroupState g_;
};

void Group::go_alone(std::size_t lane, int hour, std::size_t at) {
    LaneRun& d = *designs_[lane];
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
void Group::book(LaneRun& d, int hour, std::size_t at, HourRecord& r) {
    if (!d.inputs.load_start_va.empty() &&
        load_start_over(d.system, d.inputs, static_cast<std::size_t>(hour % hours_per_year), r))
        d.load_starts_over_h += 1;
    add(d.alone, r);
    ++d.alone_hours;
    if (d.system.rules.tariff)
        add_by_price(*d.system.rules.tariff, hour, r.grid_kw, d.grid_peak_kwh, d.grid_low_kwh);
    d.supplied_pump_kwh += water_.hours[at].pump_kwh;
    d.apart[at] = r.water_short_m3 > some_water_m3 ? 2 : 1;
}

LaneSums Group::sums_of(std::size_t lane) const {
    auto const& y = g_.year;
    return {.charged_kwh = y.charged_kwh[lane],
            .discharged_kwh = y.discharged_kwh[lane],
            .self_loss_kwh = y.self_loss_kwh[lane],
            .stored_kwh = y.battery.stored_kwh[lane],
            .inverter_dc_kwh = g_.inverter_dc_kwh[lane],
            .stored_sum_kwh = g_.stored_sum_kwh[lane]};
}

std::vector<LaneYear> Group::years() {
    std::vector<LaneYear> years(count_);
    for (std::size_t lane = 0; lane < count_; ++lane) {
        LaneYear& year = years[lane];
        LaneRun const& run = *designs_[lane];
        take_over(lane);
        year.summary = lane_summary(run, water_, clock_, sums_of(lane));
        if (findings_) {
            std::vector<double> stored_kwh;
            stored_kwh.reserve(stored_kwh_.size());
            for (Lanes const& at : stored_kwh_) stored_kwh.push_back(at[lane]);
            year.findings = lane_findings(run, water_, clock_, stored_kwh, year.summary);
        }
        year.end_soc = g_.year.battery.stored_kwh[lane] / run.system.battery.capacity_kwh;
        year.alone_hours = run.alone_hours;
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
