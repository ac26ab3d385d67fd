#include "scenarios/sections/read_inverter.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::scenarios {
namespace {

void read_inverter(Section s, Scenario& scenario) {
    models::InverterParameters& i = scenario.inverter;
    i.rated_power_w = s.quantity("rated_power", "W", {100, 1e5});
    auto const eta = s.list("efficiency_at_10_50_100_percent", 3, "", {0.3, 0.999});
    std::optional<double> stated_idle_w;
    if (s.has("idle")) stated_idle_w = s.quantity("idle", "W", {0, 300});
    s.checked([&] {
        auto const curve = models::fit_loss_curve(eta[0], eta[1], eta[2]);
        models::set_loss_curve(i, curve, stated_idle_w);
        double const lowest_w = curve.lowest_loss * i.rated_power_w;
        if (stated_idle_w && *stated_idle_w > lowest_w * (1 + 1e-9))
            scenario.warnings.push_back(fmt::format(
                "inverter.idle: {:.4g} W is more than the efficiency at {:.0f} % leaves for all losses "
                "there, {:.4g} W, and a data sheet's efficiencies include idle: {:.4g} W is used; correct "
                "idle or efficiency_at_10_50_100_percent",
                *stated_idle_w, 100 * curve.lowest_at, lowest_w, lowest_w));
        if (!stated_idle_w && curve.p0 < 0)
            scenario.warnings.push_back(
                "inverter.efficiency_at_10_50_100_percent: the loss falls so fast towards no load that "
                "nothing is left there; state inverter.idle");
    });
    if (s.has("surge_power")) {
        auto const va = s.list("surge_power", 0, "W", {1, 1e6});
        auto const seconds = s.list("surge_times", va.size(), "s", {0.01, 86400});
        for (std::size_t n = 0; n < va.size(); ++n) i.surge.push_back({va[n] / i.rated_power_w, seconds[n]});
    }
    if (s.has("dc_voltage")) {
        double const dc_v = s.quantity("dc_voltage", "V", {10, 800});
        if (scenario.battery_v == 0)
            s.fail("dc_voltage", "needs battery.nominal_voltage (or unit_voltage) to compare");
        if (std::abs(scenario.battery_v - dc_v) > 0.1 * dc_v)
            s.fail(
                "dc_voltage",
                fmt::format(
                    "{:g} V does not suit a battery of {:g} V: put as many units in series as the inverter "
                    "is built for",
                    dc_v, scenario.battery_v));
    }
    i.output_v = s.quantity("output_voltage", "V", {100, 480}, 240);
    int const phases = s.count("phases", 1, 3, 1);
    if (phases == 2) s.fail("phases", "must be 1 or 3; two legs of one phase are split_phase = true");
    bool const three_phases = phases == 3;
    i.legs = s.flag("split_phase", !three_phases) ? 2 : 1;
    if (three_phases && i.legs == 2) s.fail("split_phase", "is not possible beside phases = 3");
    if (three_phases) i.legs = 3;
    i.phase_va = s.quantity("phase_power", "W", {30, 1e5}, 0);
    if (i.phase_va > 0 && !three_phases) s.fail("phase_power", "needs phases = 3");
    i.search_w = s.quantity("search_draw", "W", {0, 100}, 0);
    i.search_wake_w = s.quantity("search_wakes_at", "W", {0, 1000}, 0);
    i.low_voltage_v = s.quantity("low_voltage_cutout", "V", {0, 800}, 0);
    i.pass_through_va = s.quantity("pass_through", "W", {1, 1e6}, no_limit);
    if (s.has("pass_through_draw")) i.pass_through_draw_w = s.quantity("pass_through_draw", "W", {0, 300});
    i.pass_through_efficiency = s.number("pass_through_efficiency", {0.8, 1}, 1);
    s.checked([&] { models::validate(i); });
    scenario.rules.trip_on_overload = s.choice(
        "on_overload",
        std::array{std::pair{std::string_view("hold"), false}, std::pair{std::string_view("trip"), true}},
        false);
    scenario.rules.trip.restart_delay_s = s.quantity("trip_restart_delay", "s", {1, 3600}, 45);
    scenario.rules.trip.restarts = s.count("trip_restarts", 0, 20, 3);
    scenario.rules.trip_reset_h = s.quantity("trip_reset_after", "h", {0.1, 8760}, 24);
    s.checked([&] { models::validate(scenario.rules.trip); });
    if (i.low_voltage_v > 0 && scenario.battery_behavior.voltage.open_circuit.empty())
        s.fail("low_voltage_cutout", "needs battery.voltage_model = true");
    if (scenario.battery_v > 0 && i.low_voltage_v >= scenario.battery_v)
        s.fail("low_voltage_cutout",
               fmt::format("{:g} V is not below the battery's {:g} V: the inverter would never run",
                           i.low_voltage_v, scenario.battery_v));
    if (i.idle_w == 0)
        scenario.warnings.push_back("inverter.idle: 0 W; a real inverter draws 10 to 100 W when awake");
    s.finish();
}

void read_charger(Section s, Scenario& scenario) {
    models::AcChargerParameters& c = scenario.charger;
    c.dc_power_limit_w = s.quantity("power_limit", "W", {0, 1e5});
    c.efficiency = s.number("efficiency", {0.5, 1}, 0.92);
    c.power_factor = s.number("power_factor", {0.3, 1}, 0.95);
    s.checked([&] { models::validate(c); });
    s.finish();
}

// Keys of a heater with a thermostat.
void read_heater(Section& s, ScenarioLoad& load) {
    if (!s.has("thermostat")) {
        for (auto const* key : {"rise_k_per_w", "time_constant", "freezes_below"})
            if (s.has(key)) s.fail(key, "needs thermostat, the temperature at which the heater comes on");
        return;
    }
    models::FrostHeater h;
    h.power_w = load.load.power_w;
    h.thermostat_c = s.quantity("thermostat", "degC", {-20, 40});
    h.rise_k_per_w = s.number("rise_k_per_w", {1e-4, 10});
    h.time_constant_h = s.quantity("time_constant", "h", {0, 240}, 6);
    h.freezes_below_c = s.quantity("freezes_below", "degC", {-20, 40}, 0);
    s.checked([&] { models::validate(h); });
    load.heater = h;
}

// Where the load is connected. On three phases a load names its phase.
int read_leg(Section& s, int inverter_legs) {
    constexpr std::array phases{std::pair{std::string_view("all"), 0}, std::pair{std::string_view("L1"), 1},
                                std::pair{std::string_view("L2"), 2}, std::pair{std::string_view("L3"), 3}};
    if (inverter_legs != 3) {
        if (s.has("phase")) s.fail("phase", "needs inverter.phases = 3; on a split-phase inverter give leg");
        return s.count("leg", 0, 2, 0);
    }
    if (s.has("leg")) s.fail("leg", "belongs to a split-phase inverter; on three phases give phase");
    if (!s.has("phase"))
        s.fail("phase",
               "is missing: the inverter has three phases; accepted: L1, L2 or L3, or all for a three-phase "
               "load");
    return s.choice("phase", phases);
}

ScenarioLoad read_load(Section s, int inverter_legs) {
    ScenarioLoad load;
    load.load.name = s.text("name");
    load.load.power_w = s.quantity("power", "W", {0, 1e5});
    for (auto const* key : {"duty", "profile", "duty_per_kelvin"})
        if (s.has(key) && (s.has("energy_per_volume") || s.has("thermostat")))
            s.fail(key, s.has("thermostat")
                            ? "changes nothing beside thermostat, which says when it runs"
                            : "changes nothing beside energy_per_volume: it runs with the water");
    if (s.has("energy_per_volume") && s.has("thermostat"))
        s.fail("thermostat", "is given beside energy_per_volume; make two loads of it");
    load.energy_wh_per_m3 = 1e3 * s.quantity("energy_per_volume", "kWh/m3", {0, 100}, 0);
    if (s.has("of_uses")) {
        if (!(load.energy_wh_per_m3 > 0)) s.fail("of_uses", "needs energy_per_volume");
        load.of_uses = s.texts("of_uses");
    }
    if (load.energy_wh_per_m3 > 0 && load.load.power_w == 0)
        s.fail("power", "must be above 0: what it draws while water runs");
    read_heater(s, load);
    if (s.has("profile")) {
        auto const shares = s.list("profile", 24, "", {0, 1});
        std::copy(shares.begin(), shares.end(), load.load.profile.begin());
    } else {
        load.load.profile.fill(s.number("duty", {0, 1}, 1));
    }
    load.duty_per_k = s.number("duty_per_kelvin", {-0.1, 0.1}, 0);
    load.load.power_factor = s.number("power_factor", {0.1, 1}, 1);
    load.load.surge_va = s.quantity("surge", "W", {0, 1e5}, 0);
    load.load.phantom_w = s.quantity("phantom", "W", {0, 1000}, 0);
    load.load.priority = s.count("priority", 0, 99, 0);
    load.shed_below = s.number("shed_below", {0, 0.9}, 0);
    load.leg = read_leg(s, inverter_legs);
    s.checked([&] { models::validate(std::vector{load.load}); });
    s.finish();
    return load;
}

}  // namespace

namespace {

// On three phases every pump is a balanced load; a motor that takes one phase only is refused.
void check_phases(Section const& motor, models::MotorParameters const& m,
                  models::InverterParameters const& inverter) {
    bool const drive = m.wiring == models::MotorWiring::drive;
    if (m.phases == 3 && inverter.legs != 3 && !drive)
        motor.fail(
            "phases",
            "a three-phase motor on this single-phase system needs wiring = \"drive\", or an inverter with "
            "phases = 3");
    if (inverter.legs != 3) return;
    if (m.phases != 3)
        motor.fail(
            "phases",
            "the inverter has three phases and the pumps must load them equally: give a three-phase motor "
            "(phases = 3), direct or behind a drive with three-phase input; a single-phase motor on one of "
            "the phases is not modeled. To be on the safe side, enter its phase alone: inverter.phases = 1, "
            "rated_power and surge_power those of one phase, output_voltage the volts to neutral, and all "
            "loads on it, without phase");
    if (drive && std::abs(m.volts - inverter.output_v) > 0.1 * inverter.output_v)
        motor.fail("volts",
                   fmt::format("{:g} V: a drive with three-phase input of {:g} V does not feed this motor",
                               m.volts, inverter.output_v));
}

}  // namespace

void check_motor_voltage(Section& root, Scenario const& scenario) {
    // A table of another name has its message already.
    auto const motor = root.optional_table("motor");
    if (!motor) return;
    check_phases(*motor, scenario.motor, scenario.inverter);
    if (scenario.cistern && scenario.cistern->booster)
        check_phases(root.table("booster").table("motor"), scenario.cistern->booster->motor,
                     scenario.inverter);
    if (scenario.motor.wiring == models::MotorWiring::drive) return;  // the drive makes the voltage
    try {
        models::check_motor_voltage(scenario.inverter, scenario.motor.volts);
    } catch (models::ParameterError const& error) {
        root.fail("motor", fmt::format("volts = {:g} V with inverter.output_voltage = {:g} V: {}",
                                       scenario.motor.volts, scenario.inverter.output_v, error.rule()));
    }
}

void check_load_uses(Section& root, Scenario const& scenario) {
    auto const loads = root.tables("load");
    std::string names;
    for (auto const& use : scenario.demand.uses) names += (names.empty() ? "" : ", ") + use.name;
    for (std::size_t i = 0; i < scenario.loads.size(); ++i)
        for (auto const& name : scenario.loads[i].of_uses)
            if (std::none_of(scenario.demand.uses.begin(), scenario.demand.uses.end(),
                             [&](auto const& use) { return use.name == name; }))
                loads[i].fail("of_uses", fmt::format("\"{}\" is not a [[use]]; {}", name,
                                                     names.empty() ? "there is none: leave of_uses out"
                                                                   : "there are " + names));
}

void read_inverter_side(Section& root, Scenario& scenario) {
    root.attempt(true, [&] { read_inverter(root.table("inverter"), scenario); });
    root.attempt(true, [&] {
        if (auto s = root.optional_table("charger")) read_charger(*s, scenario);
    });
    for (Section& s : root.tables("load"))
        root.attempt(true, [&] { scenario.loads.push_back(read_load(s, scenario.inverter.legs)); });
}

}  // namespace holdwater::scenarios
