#include "plant_day.hpp"

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_context.h>
#include <sunnonlinsol/sunnonlinsol_fixedpoint.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <random>
#include <stdexcept>
#include <string>

namespace plant_day {
namespace {

constexpr double never = std::numeric_limits<double>::infinity();
constexpr double least_stay_h =
    1.0 / 60;  // an inverter that is off, and loads on the grid, stay so for a minute
constexpr int most_roots = 24;

// The unknowns: wells of the battery [kWh], tank [L], drawdown of the well [m], then sums.
enum Unknown : std::size_t {
    available,
    bound,
    tank_l,
    drawdown,
    pv_used,
    charged,
    discharged,
    inverter_loss,
    served,
    pump,
    grid,
    through_loss,
    charger_loss,
    pumped_l,
    delivered_l,
    inflow_l,
    unknowns
};

enum class Source { nothing, inverter, grid };
enum class Charging { discharge, charge, held_full };
enum class Charger { off, full, hold };

/// What an event is; a root of the same index ends the step.
enum class Watch {
    empty_total,
    minimum_soc,
    transfer,
    call_ends,
    charge_to,
    restart,
    available_empty,
    available_full,
    available_back,
    taper_ends,
    charger_needed,
    cut_in,
    cut_out,
    tank_empty,
    node,
    trip,
    band_down,
    band_up,
    yield_reached
};

struct Root {
    Watch what;
    std::function<double(double const*)> g;
};

/// The state between the equations: what is on, and until when.
struct Day {
    Plant const& p;
    double y[unknowns] = {};
    double now_h = 0;
    int hour = 0;

    Source source = Source::inverter;
    bool calling = false, off = false, drained = false, closed = false, running = false, tank_dry = false;
    bool grid_up = true, was_up = true;
    double returned_h = -never, off_until_h = -never, stay_until_h = -never, drained_until_kwh = 0;
    double stopped_h = -never, lockout_until_h = -never;
    std::size_t band = 0;
    Charging charging = Charging::discharge;
    Charger charger = Charger::off;
    double draw_m3_s = 0, served_w = 0;
    std::vector<Root> roots{};
    Figures sums{};

    [[nodiscard]] double stored() const { return y[available] + y[bound]; }
    [[nodiscard]] double depth_m() const { return p.static_level_m + y[drawdown]; }
    [[nodiscard]] double slack() const { return 1e-11 * p.capacity_kwh; }
};

// Pump at an amount of water.
struct PumpNow {
    double flow_m3_s, power_w;
};
PumpNow pump_at(Day const& d, double water_m3) {
    auto const& n = d.p.nodes;
    std::size_t i = 0;
    while (i + 2 < n.size() && water_m3 >= n[i + 1].water_m3) ++i;
    double const share =
        (std::min(water_m3, n.back().water_m3) - n[i].water_m3) / (n[i + 1].water_m3 - n[i].water_m3);
    PumpNow now{n[i].flow_m3_s + share * (n[i + 1].flow_m3_s - n[i].flow_m3_s),
                n[i].power_w + share * (n[i + 1].power_w - n[i].power_w)};
    if (d.p.well) now.flow_m3_s *= d.p.band_flow_factor[d.band], now.power_w *= d.p.band_power_factor[d.band];
    return now;
}
double highest_power_w(Plant const& p) {
    double most = 0;
    for (Node const& n : p.nodes)
        if (n.water_m3 <= p.cut_out_m3) most = std::max(most, n.power_w);
    double factor = 1;
    if (p.well) factor = *std::max_element(p.band_power_factor.begin(), p.band_power_factor.end());
    return most * factor;
}

/// Powers at this moment, all from the state `y`.
struct Powers {
    double pump_w = 0, flow_m3_s = 0, dc_w = 0, inverter_loss_w = 0, sun_w = 0, charger_w = 0, into_w = 0,
           through_w = 0, through_loss_w = 0, offered_w = 0, accepted_w = 0, sun_spare_w = 0, standby_w = 0,
           charger_most_w = 0;
};

double accepted_w(Plant const& p, double const* y) {
    // The available well is full: what flows on into the bound one, and its self-discharge.
    double const c = p.available_fraction, k = p.exchange_per_h * c * (1 - c);
    double const into_store_kw =
        k * (y[available] / c - y[bound] / (1 - c)) + p.self_discharge_per_h * y[available];
    return 1e3 * into_store_kw / p.charge_efficiency;
}

Powers powers(Day const& d, double const* y) {
    Plant const& p = d.p;
    Powers w;
    if (d.running) {
        auto const now = pump_at(d, std::max(y[tank_l] * 1e-3, 0.0));
        w.pump_w = now.power_w, w.flow_m3_s = now.flow_m3_s;
    }
    double const ac_w = d.served_w + w.pump_w;
    auto const h = static_cast<std::size_t>(d.hour);
    double const sun_most_w = std::min(p.array_w[h] * p.controller_efficiency, p.controller_limit_w);
    if (d.source == Source::inverter) {
        w.inverter_loss_w = p.idle_w + std::max(0.0, p.k1 * ac_w + p.k2 * ac_w * ac_w / p.rated_w +
                                                         p.extra_w * std::min(1.0, ac_w / (0.1 * p.rated_w)));
        w.dc_w = ac_w + w.inverter_loss_w;
    }
    if (d.source == Source::grid) {
        w.through_w = ac_w / p.pass_through_efficiency + p.pass_through_draw_w;
        if (ac_w == 0) w.through_w = std::min(w.through_w, p.grid_limit_w);
        w.through_loss_w = w.through_w - ac_w;
        w.charger_most_w =
            std::clamp((p.grid_limit_w - w.through_w) * p.charger_efficiency, 0.0, p.charger_limit_w);
    }
    if (d.charger == Charger::full) w.charger_w = w.charger_most_w;
    w.standby_w = d.drained ? std::min(p.standby_w, sun_most_w + w.charger_w) : p.standby_w;
    w.dc_w += w.standby_w;
    if (d.charger == Charger::hold)
        w.charger_w =
            std::clamp(1e3 * p.self_discharge_per_h * (y[available] + y[bound]) / p.charge_efficiency +
                           w.dc_w - sun_most_w,
                       0.0, w.charger_most_w);
    w.offered_w = sun_most_w + w.charger_w - w.dc_w;
    w.sun_spare_w = sun_most_w - w.dc_w;
    w.accepted_w = accepted_w(p, y);
    w.sun_w = sun_most_w;
    if (d.charging == Charging::discharge) {
        w.into_w = d.drained && d.source != Source::inverter ? 0 : w.offered_w;
    } else {
        w.into_w = std::min(w.offered_w, 1e3 * p.charge_limit_kw);
        if (d.charging == Charging::held_full) w.into_w = w.accepted_w;
        w.sun_w = std::min(sun_most_w, w.dc_w + w.into_w);
        w.charger_w = d.charger == Charger::off ? 0 : std::max(w.dc_w + w.into_w - w.sun_w, 0.0);
    }
    return w;
}

// Per hour; kWh, L, m.
void slopes(Day const& d, double const* y, double* dy) {
    Plant const& p = d.p;
    Powers const w = powers(d, y);
    double const c = p.available_fraction,
                 exchange_kw = p.exchange_per_h * c * (1 - c) * (y[bound] / (1 - c) - y[available] / c);
    double const into_kw = 1e-3 * w.into_w;
    double const store_kw = into_kw > 0 ? into_kw * p.charge_efficiency : into_kw / p.discharge_efficiency;
    dy[available] = store_kw + exchange_kw - p.self_discharge_per_h * y[available];
    dy[bound] = -exchange_kw - p.self_discharge_per_h * y[bound];
    if (d.charging == Charging::held_full) dy[available] = 0;
    dy[charged] = std::max(into_kw, 0.0);
    dy[discharged] = std::max(-into_kw, 0.0);
    dy[pv_used] = 1e-3 * w.sun_w / p.controller_efficiency;
    if (d.charging == Charging::discharge) dy[pv_used] = 1e-3 * w.sun_w / p.controller_efficiency;
    dy[inverter_loss] = 1e-3 * w.inverter_loss_w;
    dy[served] = 1e-3 * d.served_w;
    dy[pump] = 1e-3 * w.pump_w;
    dy[grid] = d.source == Source::grid ? 1e-3 * (w.through_w + w.charger_w / p.charger_efficiency) : 0;
    dy[through_loss] = d.source == Source::grid ? 1e-3 * w.through_loss_w : 0;
    dy[charger_loss] = 1e-3 * w.charger_w * (1 / p.charger_efficiency - 1);
    double const given = d.tank_dry ? std::min(d.draw_m3_s, w.flow_m3_s) : d.draw_m3_s;
    dy[pumped_l] = 3.6e6 * w.flow_m3_s;
    dy[delivered_l] = 3.6e6 * given;
    dy[tank_l] = d.tank_dry ? 0 : 3.6e6 * (w.flow_m3_s - given);
    dy[drawdown] = dy[inflow_l] = 0;
    if (!p.well) return;
    double const inflow = std::min(p.specific_capacity_m2_s * y[drawdown], p.yield_m3_s);
    dy[inflow_l] = 3.6e6 * inflow;
    dy[drawdown] = 3600 * (w.flow_m3_s - inflow) / p.casing_area_m2;
}

// Depth at which the pump leaves its band upward or downward.
double band_height_m(Plant const& p) {
    return (p.trip_depth_m - p.first_edge_m) / static_cast<double>(p.band_flow_factor.size());
}

bool available_has(Day const& d, double level_kwh) {
    return d.y[available] >= d.p.available_fraction * level_kwh - 100 * d.slack();
}

// The rules that apply now, in the order of the program's notes: grid, inverter, transfer, switch, well,
// motor, small loads, battery. The equations hold from here to the next event.
void apply_rules(Day& d) {
    Plant const& p = d.p;
    double const cap = p.capacity_kwh, slack = d.slack();
    for (int round = 0;; ++round) {
        if (round > 20) throw std::runtime_error("the rules do not settle");
        // Grid.
        d.grid_up = true;
        for (Outage const& o : p.outages)
            if (d.now_h >= o.from_h - 1e-12 && d.now_h < o.until_h - 1e-12) d.grid_up = false;
        if (d.grid_up && !d.was_up) d.returned_h = d.now_h;
        d.was_up = d.grid_up;
        bool const usable = p.grid && d.grid_up && d.now_h >= d.returned_h + p.accept_delay_s / 3600 - 1e-12;
        // Wells of the battery.
        if (d.drained && available_has(d, d.drained_until_kwh)) d.drained = false;
        if (!d.drained && d.y[available] <= slack) {
            d.drained = true;
            d.drained_until_kwh = std::min(0.02 * cap, 0.9 * d.stored());
        }
        // Inverter off because of an empty battery: back above its level, in the available well too.
        double const restart = p.restart_above * cap;
        if (d.off && d.now_h >= d.off_until_h - 1e-12 && d.stored() >= restart - slack &&
            available_has(d, restart))
            d.off = false;
        // Call for the grid.
        if (d.calling)
            d.calling =
                d.off || d.stored() < p.return_above * cap - slack || d.now_h < d.stay_until_h - 1e-12;
        else if (p.grid)
            d.calling = d.off || d.stored() <= p.transfer_below * cap + slack;
        Source const was = d.source;
        d.source = usable && d.calling ? Source::grid : d.off ? Source::nothing : Source::inverter;
        bool const broken = (was == Source::grid) != (d.source == Source::grid);
        if (broken) {
            ++d.sums.transfers;
            if (d.source == Source::grid) d.stay_until_h = std::max(d.stay_until_h, d.now_h + least_stay_h);
        }
        double room_w = d.source == Source::inverter ? p.rated_w
                        : d.source == Source::grid   ? std::max(p.grid_limit_w - p.pass_through_draw_w, 0.0) *
                                                         p.pass_through_efficiency
                                                   : 0;
        // Pressure switch, well, rest.
        double const water_m3 = d.y[tank_l] * 1e-3;
        if (water_m3 <= p.cut_in_m3 + 1e-12) d.closed = true;
        if (water_m3 >= p.cut_out_m3 - 1e-12) d.closed = false;
        bool wanted = d.closed, tripped = false;
        if (p.well) {
            double const risen_m =
                d.running ? 1e-7 : 1e-3;  // a level that has risen by a millimeter is a new one
            if (d.now_h < d.lockout_until_h - 1e-12) {
                wanted = false;
            } else if (d.depth_m() >= p.trip_depth_m - risen_m) {
                d.lockout_until_h = d.now_h + p.restart_delay_s / 3600;
                tripped = d.running;
                wanted = false;
            } else {
                double const height = band_height_m(p);
                std::size_t const last = p.band_flow_factor.size() - 1;
                if (!d.running) {
                    double const bands = std::max((d.depth_m() - p.first_edge_m) / height, 0.0);
                    d.band = std::min(static_cast<std::size_t>(bands), last);
                } else {
                    double const down = p.first_edge_m + height * static_cast<double>(d.band + 1),
                                 up = p.first_edge_m + height * (static_cast<double>(d.band) - 0.5);
                    if (d.band < last && d.depth_m() >= down - 1e-7)
                        ++d.band;
                    else if (d.band > 0 && d.depth_m() <= up + 1e-7)
                        --d.band;
                }
            }
        }
        if (tripped) ++d.sums.trips;
        bool const rests = !d.running && d.now_h < d.stopped_h + p.min_rest_s / 3600 - 1e-12;
        bool runs = wanted && !rests && highest_power_w(p) <= room_w;
        if (broken && runs && d.running) {
            if (p.min_rest_s > 0)
                runs = false;
            else
                ++d.sums.starts;
        }
        if (runs && !d.running) ++d.sums.starts;
        if (!runs && d.running) d.stopped_h = d.now_h;
        d.running = runs;
        if (runs) room_w -= highest_power_w(p);
        auto const h = static_cast<std::size_t>(d.hour);
        d.served_w = std::min(p.load_w[h], std::max(room_w, 0.0));
        // Taps.
        double const mean = p.demand_m3[h] / 3600, tap = std::max(p.tap_flow_m3_s[h], mean);
        double const shut_h = d.hour + (tap > mean ? p.demand_m3[h] / tap / 3600 : 1.0);
        d.draw_m3_s = d.now_h < shut_h - 1e-12 ? tap : 0;
        d.tank_dry =
            water_m3 <= 1e-12 && (d.running ? pump_at(d, 0).flow_m3_s <= d.draw_m3_s : d.draw_m3_s > 0);
        // Charger and battery.
        d.charger = Charger::off;
        double const to = p.charge_to * cap;
        if (d.source == Source::grid && p.charge_to > 0) {
            if (std::abs(d.stored() - to) <= slack)
                d.charger = Charger::hold;
            else if (d.stored() < to)
                d.charger = Charger::full;
        }
        d.charging = Charging::discharge;
        Powers w = powers(d, d.y);
        if (w.offered_w > 0) {
            double const into_w = std::min(w.offered_w, 1e3 * p.charge_limit_kw);
            bool const full = d.y[available] >= p.available_fraction * cap - slack;
            d.charging =
                full && into_w >= w.accepted_w * (1 - 1e-12) ? Charging::held_full : Charging::charge;
        }
        // An empty battery switches the inverter off.
        bool const empty = d.stored() <= p.min_soc * cap + slack || d.drained;
        if (d.source == Source::inverter && w.offered_w < 0 && empty) {
            d.off = true;
            d.off_until_h = std::max(d.off_until_h, d.now_h + least_stay_h);
            ++d.sums.inverter_switched_off;
            continue;
        }
        break;
    }
}

/// The levels that end the step; one that is reached now, except for rounding, ends no step again.
void watch(Day& d) {
    Plant const& p = d.p;
    double const cap = p.capacity_kwh;
    d.roots.clear();
    auto const add = [&](Watch what, double scale, std::function<double(double const*)> const& g) {
        if (std::abs(g(d.y)) > 1e-11 * scale) d.roots.push_back({what, g});
    };
    auto const stored_at = [&](Watch what, double level_kwh) {
        add(what, cap, [level_kwh](double const* y) { return y[available] + y[bound] - level_kwh; });
    };
    stored_at(Watch::minimum_soc, p.min_soc * cap);
    if (p.grid) stored_at(Watch::transfer, p.transfer_below * cap);
    if (d.calling) stored_at(Watch::call_ends, p.return_above * cap);
    if (d.source == Source::grid && p.charge_to > 0) stored_at(Watch::charge_to, p.charge_to * cap);
    double const c = p.available_fraction;
    auto const available_at = [&](Watch what, double level_kwh) {
        add(what, cap, [level_kwh](double const* y) { return y[available] - level_kwh; });
    };
    if (d.off) {
        stored_at(Watch::restart, p.restart_above * cap);
        available_at(Watch::available_back, c * p.restart_above * cap);
    }
    if (d.drained) available_at(Watch::available_back, c * d.drained_until_kwh);
    available_at(Watch::available_empty, 0);
    if (d.charging != Charging::held_full) {
        // A full well that first gives more to the bound one than it gets fills again later in the same step.
        double const full_kwh = c * cap + (d.y[available] >= c * cap - d.slack() ? 1e-9 * cap : 0);
        available_at(Watch::available_full, full_kwh);
    } else {
        Day const& self = d;
        add(Watch::taper_ends, 1e3, [&self](double const* y) {
            Powers const w = powers(self, y);
            return std::min(w.offered_w, 1e3 * self.p.charge_limit_kw) - w.accepted_w;
        });
    }
    if (d.source == Source::grid && d.charger != Charger::off) {
        // Where the sun alone is enough, or a limit of the charger applies, the rates have a bend.
        Day const& self = d;
        add(Watch::charger_needed, 1e3, [&self](double const* y) {
            Powers const w = powers(self, y);
            double const wanted_w = self.charging == Charging::held_full
                                        ? w.accepted_w
                                        : 1e3 * self.p.self_discharge_per_h * (y[available] + y[bound]) /
                                              self.p.charge_efficiency;
            return wanted_w - w.sun_spare_w;
        });
    }
    auto const tank_at = [&](Watch what, double water_m3) {
        add(what, 50, [water_m3](double const* y) { return y[tank_l] - 1e3 * water_m3; });
    };
    if (!d.closed) tank_at(Watch::cut_in, p.cut_in_m3);
    if (d.running) tank_at(Watch::cut_out, p.cut_out_m3);
    if (!d.tank_dry) tank_at(Watch::tank_empty, 0);
    if (d.running)
        for (Node const& n : p.nodes)
            if (n.water_m3 > 0 && n.water_m3 < p.cut_out_m3) tank_at(Watch::node, n.water_m3);
    if (!p.well) return;
    auto const depth_at = [&](Watch what, double depth_m) {
        double const level = depth_m - p.static_level_m;
        add(what, 100, [level](double const* y) { return y[drawdown] - level; });
    };
    if (d.running) {
        double const height = band_height_m(p);
        depth_at(Watch::band_down, p.first_edge_m + height * static_cast<double>(d.band + 1));
        if (d.band > 0)
            depth_at(Watch::band_up, p.first_edge_m + height * (static_cast<double>(d.band) - 0.5));
    }
    if (std::isfinite(p.yield_m3_s)) {
        double const level = p.yield_m3_s / p.specific_capacity_m2_s;
        add(Watch::yield_reached, 100, [level](double const* y) { return y[drawdown] - level; });
    }
}

double next_clock_h(Day const& d) {
    Plant const& p = d.p;
    double next = d.hour + 1;
    auto const at = [&](double time_h) {
        if (time_h > d.now_h + 1e-12 && time_h < next) next = time_h;
    };
    auto const h = static_cast<std::size_t>(d.hour);
    double const mean = p.demand_m3[h] / 3600, tap = std::max(p.tap_flow_m3_s[h], mean);
    if (tap > mean) at(d.hour + p.demand_m3[h] / tap / 3600);
    if (p.grid)
        for (Outage const& o : p.outages) at(o.from_h), at(o.until_h);
    if (std::isfinite(d.returned_h)) at(d.returned_h + p.accept_delay_s / 3600);
    if (d.off) at(d.off_until_h);
    if (d.calling) at(d.stay_until_h);
    if (std::isfinite(d.stopped_h)) at(d.stopped_h + p.min_rest_s / 3600);
    at(d.lockout_until_h);
    return next;
}

int cvode_slopes(realtype, N_Vector y, N_Vector dy, void* user) {
    slopes(*static_cast<Day*>(user), NV_DATA_S(y), NV_DATA_S(dy));
    return 0;
}
int cvode_roots(realtype, N_Vector y, realtype* g, void* user) {
    auto const& d = *static_cast<Day*>(user);
    for (std::size_t i = 0; i < most_roots; ++i) g[i] = i < d.roots.size() ? d.roots[i].g(NV_DATA_S(y)) : 1;
    return 0;
}

void require(int flag, char const* what) {
    if (flag < 0) throw std::runtime_error(std::string(what) + " fails: " + std::to_string(flag));
}

// Puts what has reached its level exactly there.
void snap(Day& d, Watch what) {
    Plant const& p = d.p;
    double const c = p.available_fraction, cap = p.capacity_kwh;
    auto const stored = [&](double level_kwh) { d.y[bound] = level_kwh - d.y[available]; };
    switch (what) {
        case Watch::minimum_soc:
            return stored(p.min_soc * cap);
        case Watch::transfer:
            return stored(p.transfer_below * cap);
        case Watch::call_ends:
            return stored(p.return_above * cap);
        case Watch::charge_to:
            return stored(p.charge_to * cap);
        case Watch::restart:
            return stored(p.restart_above * cap);
        case Watch::available_empty:
            d.y[available] = 0;
            return;
        case Watch::available_full:
            d.y[available] = c * cap;
            return;
        case Watch::cut_in:
            d.y[tank_l] = 1e3 * p.cut_in_m3;
            return;
        case Watch::cut_out:
            d.y[tank_l] = 1e3 * p.cut_out_m3;
            return;
        case Watch::tank_empty:
            d.y[tank_l] = 0;
            return;
        default:
            return;
    }
}

}  // namespace

Figures integrate(Plant const& plant, double tolerance) {
    Day d{plant};
    double const c = plant.available_fraction, cap = plant.capacity_kwh;
    d.y[available] = c * plant.start_soc * cap;
    d.y[bound] = (1 - c) * plant.start_soc * cap;
    d.y[tank_l] = 1e3 * plant.cut_out_m3;

    SUNContext context = nullptr;
    SUNContext_Create(nullptr, &context);
    N_Vector y = N_VMake_Serial(static_cast<sunindextype>(unknowns), d.y, context);
    void* cvode = CVodeCreate(CV_ADAMS, context);
    SUNNonlinearSolver solver = SUNNonlinSol_FixedPoint(y, 0, context);
    require(CVodeInit(cvode, cvode_slopes, 0, y), "CVodeInit");
    require(CVodeSStolerances(cvode, tolerance, tolerance), "CVodeSStolerances");
    require(CVodeSetUserData(cvode, &d), "CVodeSetUserData");
    require(CVodeSetMaxNumSteps(cvode, 1000000), "CVodeSetMaxNumSteps");
    require(CVodeSetMaxStep(cvode, 1.0 / 30), "CVodeSetMaxStep");
    require(CVodeSetNonlinearSolver(cvode, solver), "CVodeSetNonlinearSolver");
    require(CVodeRootInit(cvode, most_roots, cvode_roots), "CVodeRootInit");
    require(CVodeSetNoInactiveRootWarn(cvode), "CVodeSetNoInactiveRootWarn");
    std::array<int, most_roots> found{};

    for (d.hour = 0; d.hour < hours; ++d.hour) {
        while (d.now_h < d.hour + 1) {
            apply_rules(d);
            watch(d);
            if (d.roots.size() > most_roots) throw std::runtime_error("too many levels");
            double const until_h = next_clock_h(d), from_h = d.now_h;
            double reached_h = from_h;
            bool root = false;
            if (until_h - from_h > 1e-13) {
                require(CVodeReInit(cvode, from_h, y), "CVodeReInit");
                require(CVodeSetStopTime(cvode, until_h), "CVodeSetStopTime");
                int const flag = CVode(cvode, until_h, y, &reached_h, CV_NORMAL);
                require(flag, "CVode");
                root = flag == CV_ROOT_RETURN;
            }
            d.now_h = root ? reached_h : until_h;
            double const length_h = d.now_h - from_h;
            if (d.source == Source::grid) d.sums.backup_h += length_h;
            if (d.source == Source::nothing) d.sums.inverter_off_h += length_h;
            if (d.running) d.sums.pump_run_h += length_h;
            ++d.sums.events;
            if (d.sums.events > 20000) throw std::runtime_error("the day stands still");
            if (root) {
                require(CVodeGetRootInfo(cvode, found.data()), "CVodeGetRootInfo");
                for (std::size_t i = 0; i < d.roots.size(); ++i)
                    if (found[i] != 0) snap(d, d.roots[i].what);
            }
        }
        auto const h = static_cast<std::size_t>(d.hour);
        d.sums.soc[h] = d.stored() / cap;
        d.sums.tank_m3[h] = d.y[tank_l] * 1e-3;
        d.sums.well_depth_m[h] = plant.well ? d.depth_m() : 0;
    }
    d.sums.pv_used_kwh = d.y[pv_used];
    d.sums.charged_kwh = d.y[charged];
    d.sums.discharged_kwh = d.y[discharged];
    d.sums.inverter_loss_kwh = d.y[inverter_loss];
    d.sums.load_served_kwh = d.y[served];
    d.sums.pump_kwh = d.y[pump];
    d.sums.grid_kwh = d.y[grid];
    d.sums.pass_through_loss_kwh = d.y[through_loss];
    d.sums.charger_loss_kwh = d.y[charger_loss];
    d.sums.pumped_m3 = d.y[pumped_l] * 1e-3;
    d.sums.delivered_m3 = d.y[delivered_l] * 1e-3;
    d.sums.inflow_m3 = d.y[inflow_l] * 1e-3;
    CVodeFree(&cvode);
    SUNNonlinSolFree(solver);
    N_VDestroy(y);
    SUNContext_Free(&context);
    return d.sums;
}

Plant random_plant(std::uint64_t seed, Kind kind) {
    std::mt19937_64 random(seed);
    auto const draw = [&](double from, double to) {
        return from + (to - from) * static_cast<double>(random() >> 11) * 0x1p-53;
    };
    auto const coin = [&] { return draw(0, 1) < 0.5; };
    Plant p;
    p.capacity_kwh = draw(3, 25);
    p.available_fraction = draw(0.2, 0.8);
    p.exchange_per_h = draw(0.1, 1.5);
    p.self_discharge_per_h = coin() ? 0 : draw(1e-5, 1e-3);
    p.charge_efficiency = draw(0.88, 0.99);
    p.discharge_efficiency = draw(0.88, 0.99);
    p.min_soc = draw(0.1, 0.4);
    p.start_soc = draw(p.min_soc + 0.05, 1);
    p.charge_limit_kw = coin() ? 1e3 : draw(0.1, 0.5) * p.capacity_kwh;
    p.controller_efficiency = draw(0.93, 0.99);
    p.controller_limit_w = draw(1000, 8000);
    p.standby_w = draw(0, 15);
    p.rated_w = draw(2500, 8000);
    p.idle_w = draw(10, 80);
    p.k1 = draw(-0.01, 0.03);
    p.k2 = draw(0, 0.08);
    p.extra_w = coin() ? 0 : draw(0, 40);
    p.pass_through_draw_w = draw(5, 60);
    p.pass_through_efficiency = draw(0.96, 1);
    p.charger_limit_w = draw(300, 4000);
    p.charger_efficiency = draw(0.85, 0.96);
    p.grid = draw(0, 1) < 0.75;
    p.grid_limit_w = draw(1500, 8000);
    p.transfer_below = p.min_soc + draw(0.02, 0.2);
    p.return_above = p.transfer_below + draw(0.05, 0.3);
    p.charge_to = coin() ? 0 : draw(p.transfer_below, 1);
    p.restart_above = p.min_soc + draw(0.02, 0.15);
    p.accept_delay_s = coin() ? 0 : draw(5, 600);
    for (double from = draw(0, 12); from < 24 && p.outages.size() < 4; from += draw(1, 10))
        p.outages.push_back({from, from + draw(0.05, 0.9)});
    double const drawdown = draw(0.01, 0.09), flow = draw(0.3e-3, 0.9e-3), power = draw(600, 1900);
    p.cut_in_m3 = draw(0.005, 0.03);
    p.cut_out_m3 = p.cut_in_m3 + drawdown;
    double const falls = kind == Kind::well ? 0 : draw(0.05, 0.4),
                 less = kind == Kind::tank_power ? draw(-0.1, 0.3) : 0;
    for (double const share : {0.0, 0.35, 0.7, 1.0, 1.15}) {
        // The middle nodes lie off the straight line.
        double const bent = share + 0.15 * share * (1 - share);
        double const water = share == 0 ? 0 : p.cut_in_m3 + (share - 0.35) / 0.65 * drawdown;
        p.nodes.push_back({water, flow * (1 - falls * bent), power * (1 - less * bent)});
    }
    p.min_rest_s = coin() ? 0 : draw(5, 240);
    if (kind == Kind::well) {
        p.well = true;
        p.static_level_m = draw(5, 40);
        p.casing_area_m2 = draw(0.008, 0.03);
        double const deep_m = coin() ? draw(1, 8) : draw(5, 60);
        p.specific_capacity_m2_s = flow / deep_m * draw(0.1, 2);
        p.yield_m3_s = coin() ? never : flow * draw(0.3, 1.2);
        p.restart_delay_s = draw(300, 3600);
        p.first_edge_m = p.static_level_m;
        p.trip_depth_m = p.static_level_m + deep_m;
        for (int i = 0; i < 8; ++i) {
            p.band_flow_factor.push_back(1 - 0.03 * i);
            p.band_power_factor.push_back(1 - 0.008 * i);
        }
    }
    double const peak_w = draw(300, 5000), noon = draw(11, 13), cloud = draw(0.2, 1);
    for (int h = 0; h < hours; ++h) {
        auto const i = static_cast<std::size_t>(h);
        double const sun = std::sin((h + 0.5 - noon + 6) / 12 * 3.14159265358979);
        p.array_w[i] = sun > 0 ? peak_w * sun * draw(cloud, 1) : 0;
        p.load_w[i] = draw(0, 1) < 0.15 ? 0 : draw(10, 700);
        p.demand_m3[i] = coin() ? 0 : draw(0, 0.25);
        p.tap_flow_m3_s[i] = flow * draw(0.15, 1.4);
    }
    return p;
}

}  // namespace plant_day
