#include "scenarios/sections/read_battery.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "models/battery/battery_bank.hpp"
#include "scenarios/sections/level_band.hpp"

namespace holdwater::scenarios {
namespace {

using models::Chemistry;

constexpr std::array chemistries{
    std::pair{std::string_view("lithium-iron-phosphate"), Chemistry::lithium_iron_phosphate},
    std::pair{std::string_view("flooded-lead-acid"), Chemistry::flooded_lead_acid},
    std::pair{std::string_view("sealed-lead-acid"), Chemistry::sealed_lead_acid},
    std::pair{std::string_view("LFP"), Chemistry::lithium_iron_phosphate},
    std::pair{std::string_view("AGM"), Chemistry::sealed_lead_acid}};

// A small alarm battery has 0.08 kWh. A pump empties a smaller battery within seconds. Common practice, no
// source.
constexpr double least_capacity_kwh = 0.05;

// Nominal voltage and charge of the battery; 0 if not given.
struct Rating {
    double volts = 0, ah = 0, parallel = 1;
};

// From units in series and parallel, or from capacity and voltage.
Rating read_rating(Section& s, models::EnergyBucketParameters& b) {
    Rating rating;
    if (s.has("unit_voltage")) {
        if (s.has("capacity"))
            s.fail("capacity", "give capacity, or unit_voltage, unit_capacity, in_series and in_parallel");
        rating.volts = s.quantity("unit_voltage", "V", {1, 800}) * s.count("in_series", 1, 400);
        rating.parallel = s.count("in_parallel", 1, 100);
        rating.ah = s.quantity("unit_capacity", "A.h", {1, 10000}) * rating.parallel;
        b.capacity_kwh = rating.volts * rating.ah * 1e-3;
    } else {
        b.capacity_kwh = s.quantity("capacity", "kWh", {0, 1000});
        rating.volts = s.quantity("nominal_voltage", "V", {10, 800}, 0);
        if (rating.volts > 0) rating.ah = b.capacity_kwh * 1e3 / rating.volts;
    }
    return rating;
}

void read_wells(Section& s, Rating const& rating, models::EnergyBucketParameters& b,
                BatteryBehavior& behavior, std::vector<std::string>& warnings) {
    if (rating.volts == 0)
        s.fail("rated_capacities", "needs nominal_voltage (or unit_voltage) to turn Ah into kWh");
    auto const hours = s.list("rated_hours", 0, "h", {0.1, 1000});
    auto const ah = s.list("rated_capacities", hours.size(), "A.h", {0.1, 1e5});
    std::vector<models::RatedCapacity> table;
    for (std::size_t i = 0; i < hours.size(); ++i)
        table.push_back({hours[i], ah[i] * rating.parallel * rating.volts * 1e-3});
    s.checked([&] {
        auto const fit = models::fit_two_well(table);
        if (fit.rate_independent) {
            warnings.push_back(
                "battery.rated_capacities: the battery gives the same at every rate; kept as one store");
            return;
        }
        if (fit.worst_residual > 0.03)
            warnings.push_back(
                fmt::format("battery.rated_capacities: two wells fit the table to {:.1f} % only",
                            100 * fit.worst_residual));
        behavior.store.kind = models::BatteryKind::two_well;
        b.capacity_kwh = fit.parameters.capacity_kwh;
        behavior.store.available_fraction = fit.parameters.available_fraction;
        behavior.store.exchange_per_h = fit.parameters.exchange_per_h;
    });
}

void read_temperature(Section s, Chemistry chemistry, BatteryBehavior& behavior) {
    models::BatteryThermalParameters t{};
    behavior.place_offset_k = s.number("warmer_than_outside_k", {-30, 40}, 0);
    t.time_constant_h = s.quantity("time_constant", "h", {0, 240}, 12);
    t.heater_w = s.quantity("heater", "W", {0, 2000}, 0);
    t.heater_rise_k_per_w = s.number("heater_rise_k_per_w", {0, 5}, 0.15);
    t.heater_on_below_c = s.quantity("heater_on_below", "degC", {-20, 30}, 3);
    t.heater_off_above_c = s.quantity("heater_off_above", "degC", {-20, 40}, 7);
    behavior.charge_rule = models::charge_temperature_rule(chemistry);
    if (!s.flag("cold_charge_refused", true)) behavior.charge_rule = {};
    if (s.flag("cold_takes_capacity", true)) behavior.capacity_at = models::capacity_table(chemistry);
    behavior.cold_resistance_factor = models::chemistry_defaults(chemistry).cold_resistance_factor;
    s.checked([&] {
        models::validate(t);
        models::validate(behavior.charge_rule);
    });
    s.finish();
    behavior.thermal = t;
}

BatteryLifeSettings read_life(Section s, Chemistry chemistry) {
    BatteryLifeSettings life;
    auto const defaults = models::chemistry_defaults(chemistry);
    life.calendar_life_y = s.number("calendar_years", {1, 50}, defaults.calendar_life_y);
    life.calendar_halving_k = defaults.calendar_halving_k;
    life.throughput_life_kwh = s.quantity("throughput", "kWh", {1, 1e9}, no_limit);
    if (s.has("depths") || s.has("cycles")) {
        auto const depths = s.list("depths", 0, "", {0.01, 1});
        auto const cycles = s.list("cycles", depths.size(), "", {1, 1e6});
        std::vector<models::CyclesAtDepth> rows;
        for (std::size_t i = 0; i < depths.size(); ++i) rows.push_back({depths[i], cycles[i]});
        s.checked([&] { life.cycle_life = models::fit_cycle_life(rows); });
    }
    using models::LifeCombination;
    life.combination =
        s.choice("combination",
                 std::array{std::pair{std::string_view("shortest"), LifeCombination::shortest},
                            std::pair{std::string_view("additive"), LifeCombination::additive}},
                 LifeCombination::shortest);
    s.finish();
    return life;
}

}  // namespace

void read_battery(Section s, Scenario& scenario) {
    models::EnergyBucketParameters& b = scenario.battery;
    BatteryBehavior& behavior = scenario.battery_behavior;
    std::optional<Chemistry> chemistry;
    if (s.has("chemistry")) chemistry = s.choice("chemistry", chemistries);
    behavior.chemistry = chemistry;
    Rating const rating = read_rating(s, b);
    scenario.battery_v = rating.volts;
    if (s.has("rated_hours") || s.has("rated_capacities"))
        read_wells(s, rating, b, behavior, scenario.warnings);
    if (b.capacity_kwh > 0 && b.capacity_kwh < least_capacity_kwh * (1 - 1e-9))
        s.fail(
            s.has("capacity") ? "capacity" : "unit_capacity",
            fmt::format("{:g} kWh is too little: an inverter would empty and refill it many times a minute; "
                        "at least {:g} kWh, or capacity = \"0 kWh\" for no battery",
                        b.capacity_kwh, least_capacity_kwh));
    if (b.capacity_kwh == 0)
        scenario.warnings.push_back(
            "battery.capacity: 0 is no battery: loads and pump are on the backup while it is there, else on "
            "what "
            "the sun gives at that moment");

    // With a chemistry, its usual values are used for keys that the scenario leaves out; without one, these
    // keys are required.
    auto const usual = models::chemistry_defaults(chemistry.value_or(Chemistry::lithium_iron_phosphate));
    auto const or_usual = [&](std::string_view key, auto const& read, double otherwise) {
        return chemistry && !s.has(key) ? otherwise : read();
    };
    b.min_soc = or_usual(
        "usable_fraction",
        [&] {
            return 1 - s.number("usable_fraction", {0.1, 1});
        },
        usual.min_soc);
    b.charge_efficiency = or_usual(
        "charge_efficiency",
        [&] {
            return s.number("charge_efficiency", {0.5, 1});
        },
        usual.one_way_efficiency);
    b.discharge_efficiency = or_usual(
        "discharge_efficiency",
        [&] {
            return s.number("discharge_efficiency", {0.5, 1});
        },
        usual.one_way_efficiency);
    b.charge_limit_kw = or_usual(
        "charge_limit",
        [&] {
            return s.quantity("charge_limit", "kW", {0, 1000});
        },
        usual.charge_rate_per_h * b.capacity_kwh);
    b.discharge_limit_kw = or_usual(
        "discharge_limit",
        [&] {
            return s.quantity("discharge_limit", "kW", {0, 1000});
        },
        usual.discharge_rate_per_h * b.capacity_kwh);
    b.self_discharge_per_h = models::self_discharge_per_h(
        s.number("self_discharge_per_month", {0, 0.5}, chemistry ? usual.self_discharge_per_month : 0.03));
    scenario.battery_standby_w = s.quantity("standby", "W", {0, 200}, 0);
    scenario.start_soc = s.number("start_soc", {0, 1}, 1);
    scenario.years.battery_end_of_life = s.number("end_of_life", {0.3, 1}, 0.8);
    scenario.rules.restart_above = s.number("restart_above", {0, 1}, std::min(b.min_soc + 0.1, 1.0));
    if (behavior.store.kind == models::BatteryKind::energy_bucket)
        behavior.store.acceptance_per_h =
            s.number("acceptance_per_hour", {0.05, 100},
                     chemistry ? usual.acceptance_per_h : behavior.store.acceptance_per_h);

    bool const voltage = s.flag("voltage_model", false);
    if (voltage) {
        if (!chemistry || rating.volts == 0)
            s.fail("voltage_model", "needs chemistry and nominal_voltage (or unit_voltage)");
        if (b.capacity_kwh == 0) s.fail("voltage_model", "capacity is 0, no battery: it has no voltage");
        double const blocks = rating.volts / (chemistry == Chemistry::lithium_iron_phosphate ? 12.8 : 12);
        behavior.voltage.open_circuit = models::in_series(models::open_circuit_12v(*chemistry), blocks);
        behavior.voltage.resistance_ohm =
            s.quantity("resistance", "ohm", {0, 1},
                       models::battery_resistance_ohm(usual.block_resistance_ohm, rating.volts, rating.ah));
        s.checked([&] { models::validate(behavior.voltage); });
    }
    if (auto t = s.optional_table("temperature")) {
        if (!chemistry) s.fail("temperature", "needs chemistry, which says what cold does to the battery");
        read_temperature(*t, *chemistry, behavior);
    }
    if (auto l = s.optional_table("life"))
        scenario.battery_life = read_life(*l, chemistry.value_or(Chemistry::lithium_iron_phosphate));

    s.checked([&] { models::validate(models::BatteryParameters{behavior.store, b}); });
    if (models::tapers(behavior.store) && scenario.rules.restart_above > 0.98)
        s.fail(
            "restart_above",
            fmt::format("{:g} is not reached: the battery takes less and less as it fills; give at most 0.98",
                        scenario.rules.restart_above));
    if (b.capacity_kwh > 0 && !apart(b.min_soc, scenario.rules.restart_above))
        s.fail(
            "restart_above",
            fmt::format(
                "{:g} is not at least {:g} above the battery's minimum SOC {:g} (1 - usable_fraction); the "
                "inverter would switch on and off without end",
                scenario.rules.restart_above, least_band, b.min_soc));
    s.finish();
}

}  // namespace holdwater::scenarios
