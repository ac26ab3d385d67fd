#include "scenarios/sections/read_backup.hpp"

#include <fmt/format.h>

#include <cmath>

#include "scenarios/sections/level_band.hpp"

namespace holdwater::scenarios {
namespace {

// Standard deviation of ln(length), 1.0 to 1.5 from memory: not found in a source.
constexpr double default_length_spread = 1.3;

models::OutageList read_times(std::vector<Section> sections) {
    models::OutageList times;
    for (Section& s : sections) {
        models::Outage time{};
        time.start_h = s.stamp("start");
        time.end_h = time.start_h + s.quantity("length", "h", {0, 8760});
        if (!times.empty() && time.start_h < times.back().end_h)
            s.fail("start", "starts before the one above it has ended; list them in order of time");
        times.push_back(time);
        s.finish();
    }
    return times;
}

// Outages that are known before they come.
void read_warnings(Section& s, Scenario& scenario) {
    SupplyRules& r = scenario.rules;
    if (!s.has("forewarned")) {
        for (auto const* key : {"forewarned_over", "forewarned_charge_to"})
            if (s.has(key)) s.fail(key, "needs forewarned: how long before an outage is it known?");
        return;
    }
    if (r.backup != Backup::grid) s.fail("forewarned", "needs kind = \"grid\": it is the grid's outages");
    r.forewarned_h = s.quantity("forewarned", "h", {0, 336});
    r.forewarned_over_h = s.quantity("forewarned_over", "h", {0, 8760}, r.forewarned_over_h);
    bool const tapers = models::tapers(scenario.battery_behavior.store);
    r.forewarned_charge_to = s.number("forewarned_charge_to", {0, 1}, tapers ? 0.98 : 1);
    if (r.forewarned_charge_to < r.transfer_below)
        s.fail("forewarned_charge_to", fmt::format("{:g} must not be below transfer_below = {:g}",
                                                   r.forewarned_charge_to, r.transfer_below));
    if (r.forewarned_h > 0 && scenario.charger.dc_power_limit_w == 0)
        s.fail("forewarned", "needs a table [charger] with a power_limit above 0 to charge the battery");
}

// The loads are put straight on the grid by hand.
void read_hand_transfer(Section& s, SupplyRules& r) {
    r.by_hand = s.choice("transfer",
                         std::array{std::pair{std::string_view("automatic"), false},
                                    std::pair{std::string_view("by-hand"), true}},
                         false);
    if (!r.by_hand) {
        if (s.has("hand_response")) s.fail("hand_response", "needs transfer = \"by-hand\": who has to come?");
        return;
    }
    if (r.backup != Backup::grid)
        s.fail("transfer",
               "\"by-hand\" needs kind = \"grid\"; a generator is started by hand with "
               "generator.start = \"by-hand\"");
    if (r.grid_first) s.fail("transfer", "\"by-hand\" needs normal_source = \"inverter\"");
    if (r.charge_to > 0 || r.forewarned_h > 0)
        s.fail("transfer",
               "\"by-hand\" does not go with charge_to and forewarned: the charger is out of service "
               "while the inverter is bypassed");
    r.hand_response_h = s.quantity("hand_response", "h", {0, 48}, 0.5);
}

// The SOC at which a backup is called must be reached before the inverter switches off; `before`: what would
// come too late.
void check_call(Section& s, Scenario const& scenario, double transfer_below, char const* before) {
    double const floor = scenario.battery.min_soc;
    if (scenario.battery.capacity_kwh > 0 && transfer_below <= floor)
        s.fail("transfer_below",
               fmt::format("{:g} is not above the battery's minimum SOC {:g} (1 - usable_fraction): the "
                           "inverter would switch off before the {}",
                           transfer_below, floor, before));
}

void check_return(Section& s, double transfer_below, double return_above) {
    if (!apart(transfer_below, return_above))
        s.fail("return_above", fmt::format("{:g} must be at least {:g} above transfer_below = {:g}",
                                           return_above, least_band, transfer_below));
}

void check_charge_to(Section& s, double transfer_below, double charge_to) {
    if (charge_to > 0 && charge_to <= transfer_below)
        s.fail("charge_to",
               fmt::format("{:g} must be above transfer_below = {:g}; leave it out for no charging",
                           charge_to, transfer_below));
}

// `keeps`: what would go on for days.
void check_return_is_reached(Section& s, Scenario const& scenario, double return_above, char const* keeps) {
    if (models::tapers(scenario.battery_behavior.store) && return_above > 0.98)
        s.fail("return_above",
               fmt::format("{:g} is not reached: the battery takes less and less as it fills and would keep "
                           "{}; give at most 0.98",
                           return_above, keeps));
}

void read_backup(Section s, Scenario& scenario) {
    SupplyRules& r = scenario.rules;
    r.backup = s.choice("kind", std::array{std::pair{std::string_view("none"), Backup::none},
                                           std::pair{std::string_view("grid"), Backup::grid},
                                           std::pair{std::string_view("generator"), Backup::generator}});
    if (r.backup == Backup::none) {
        // The other keys may stay in the file while the designer tries the design without backup.
        for (auto const* key :
             {"transfer_below", "return_above", "charge_to", "limit", "normal_source",
              "transfer_below_voltage", "transfer_delay", "accept_delay", "transfer_time", "forewarned",
              "forewarned_over", "forewarned_charge_to", "transfer", "hand_response"})
            (void)s.has(key);
        s.finish();
        return;
    }
    r.grid_first = s.choice(
        "normal_source",
        std::array{std::pair{std::string_view("inverter"), false}, std::pair{std::string_view("grid"), true}},
        false);
    if (r.grid_first && r.backup != Backup::grid)
        s.fail("normal_source", "normal_source = \"grid\" needs kind = \"grid\"");
    if (r.grid_first) {
        r.transfer_below = s.number("transfer_below", {0, 1}, scenario.battery.min_soc);
        r.return_above = s.number("return_above", {0, 1}, 1);
    } else {
        r.transfer_below = s.number("transfer_below", {0, 1});
        r.return_above = s.number("return_above", {0, 1});
        check_call(s, scenario, r.transfer_below, "transfer");
        check_return(s, r.transfer_below, r.return_above);
        if (r.return_above - r.transfer_below < 0.1)
            scenario.warnings.push_back(
                "backup: return_above is less than 0.1 above transfer_below; it will change over often");
    }
    r.charge_to = s.number("charge_to", {0, 1}, 0);
    check_charge_to(s, r.transfer_below, r.charge_to);
    if (!r.grid_first)
        check_return_is_reached(s, scenario, r.return_above, "the loads on the backup for days");
    if (r.charge_to > 0 && !r.grid_first && r.charge_to < r.return_above)
        scenario.warnings.push_back(
            "backup: charge_to is below return_above; the loads stay on the backup until the sun has brought "
            "the "
            "rest");
    if (r.backup == Backup::grid) r.backup_limit_w = s.quantity("limit", "W", {1, 1e6}, no_limit);
    r.transfer_below_v = s.quantity("transfer_below_voltage", "V", {0, 800}, 0);
    if (r.transfer_below_v > 0 && scenario.battery_behavior.voltage.open_circuit.empty())
        s.fail("transfer_below_voltage", "needs battery.voltage_model = true");
    r.transfer_delay_s = s.quantity("transfer_delay", "s", {0, 3600}, 60);
    r.accept_delay_s = s.quantity("accept_delay", "s", {0, 3600}, r.backup == Backup::grid ? 60 : 0);
    r.break_s = s.quantity("transfer_time", "s", {0, 300}, 0.02);
    read_warnings(s, scenario);
    read_hand_transfer(s, r);
    s.finish();
}

void read_second_backup(Section s, Scenario& scenario) {
    SupplyRules& r = scenario.rules;
    bool const used = s.choice("kind", std::array{std::pair{std::string_view("none"), false},
                                                  std::pair{std::string_view("generator"), true}});
    if (!used || r.backup == Backup::none) {  // the keys may stay in the file
        for (auto const* key : {"transfer_below", "return_above", "charge_to", "transfer_time"})
            (void)s.has(key);
        s.finish();
        return;
    }
    if (r.backup != Backup::grid)
        s.fail(
            "kind",
            "needs backup.kind = \"grid\": the second backup is called while the grid is away; a generator "
            "alone is backup.kind = \"generator\"");
    if (r.by_hand)
        s.fail("kind",
               "does not go with backup.transfer = \"by-hand\": a bypassed inverter passes nothing through");
    SecondBackup second;
    second.transfer_below = s.number("transfer_below", {0, 1});
    second.return_above = s.number("return_above", {0, 1});
    second.charge_to = s.number("charge_to", {0, 1}, 0);
    second.break_s = s.quantity("transfer_time", "s", {0, 300}, r.break_s);
    check_call(s, scenario, second.transfer_below, "generator is called");
    check_return(s, second.transfer_below, second.return_above);
    check_return_is_reached(s, scenario, second.return_above, "the generator running");
    check_charge_to(s, second.transfer_below, second.charge_to);
    if (second.charge_to > 0 && second.charge_to < second.return_above)
        scenario.warnings.push_back(
            "second_backup: charge_to is below return_above; the generator runs on until the sun has brought "
            "the rest");
    r.second = second;
    s.finish();
}

models::DailyHours read_hours(Section& s, std::string const& from, std::string const& until) {
    models::DailyHours const hours{s.count(from, 0, 23), s.count(until, 1, 24)};
    if (hours.none()) s.fail(until, "is the same as " + from);
    return hours;
}

void read_tariff(Section s, Scenario& scenario) {
    SupplyRules& r = scenario.rules;
    if (r.backup != Backup::grid) {
        // The keys may stay in the file while the designer tries the design without the grid.
        for (auto const* key :
             {"peak_from", "peak_until", "peak_price", "low_from", "low_until", "low_price", "reserve"})
            (void)s.has(key);
        s.finish();
        return;
    }
    Tariff t;
    t.peak = read_hours(s, "peak_from", "peak_until");
    t.peak_price = s.number("peak_price", {0, 1000});
    for (auto const* key : {"low_until", "low_price"})
        if (s.has(key) && !s.has("low_from")) s.fail(key, "needs low_from: when does the low price begin?");
    if (s.has("low_from")) {
        t.low = read_hours(s, "low_from", "low_until");
        t.low_price = s.number("low_price", {0, 1000});
        for (int hour = 0; hour < 24; ++hour)
            if (t.peak.has(hour) && t.low.has(hour))
                s.fail("low_from", fmt::format("the hour from {}:00 has the high and the low price", hour));
    }
    if (s.has("reserve")) {
        t.reserve = s.number("reserve", {0, 1});
        if (!r.grid_first)
            s.fail(
                "reserve",
                "needs backup.normal_source = \"grid\"; with the inverter as the normal source the battery "
                "carries the loads at every hour");
        if (!(scenario.battery.capacity_kwh > 0)) s.fail("reserve", "needs a battery");
        if (t.reserve < r.transfer_below)
            s.fail("reserve", fmt::format("{:g} must not be below backup.transfer_below = {:g}", t.reserve,
                                          r.transfer_below));
        if (!apart(t.reserve, r.charge_to))
            s.fail("reserve", fmt::format("{:g} must be at least {:g} below backup.charge_to = {:g}: what is "
                                          "discharged in the hours of the high price is charged again later",
                                          t.reserve, least_band, r.charge_to));
    }
    r.tariff = t;
    s.finish();
}

void read_generator_run(Section& s, SupplyRules const& rules, GeneratorOperation& o) {
    models::GeneratorRunParameters& run = o.run;
    run = {};
    run.warm_up_h = s.quantity("warm_up", "h", {0, 1}, 1.0 / 60);
    run.cool_down_h = s.quantity("cool_down", "h", {0, 1}, 3.0 / 60);
    run.min_run_h = s.quantity("minimum_run", "h", {0, 24}, 0.5);
    run.min_rest_h = s.quantity("minimum_rest", "h", {0, 24}, 0.25);
    run.quiet_from_h = s.clock_time("quiet_from", 0);
    run.quiet_to_h = s.clock_time("quiet_to", 0);
    if (s.has("quiet_from") != s.has("quiet_to"))
        s.fail("quiet_from", "quiet hours need quiet_from and quiet_to");
    run.top_up_within_h = s.quantity("top_up_within", "h", {0, 24}, 0);
    o.top_up_below = s.number("top_up_below", {0, 1}, 0);
    if (s.has("top_up_within") != s.has("top_up_below"))
        s.fail(s.has("top_up_within") ? "top_up_within" : "top_up_below",
               "topping up before quiet hours needs top_up_within and top_up_below");
    if (rules.second && s.has("top_up_within"))
        s.fail("top_up_within",
               "is not for the second backup: in an outage the generator is called at "
               "second_backup.transfer_below; raise that");
    if (s.has("top_up_below") && rules.backup == Backup::generator &&
        (o.top_up_below < rules.transfer_below || !apart(o.top_up_below, rules.return_above)))
        s.fail("top_up_below",
               fmt::format("{:g} must be at least transfer_below = {:g} and at least {:g} "
                           "below return_above = {:g}",
                           o.top_up_below, rules.transfer_below, least_band, rules.return_above));
    run.started_by_hand = s.choice("start",
                                   std::array{std::pair{std::string_view("automatic"), false},
                                              std::pair{std::string_view("by-hand"), true}},
                                   false);
    if (run.started_by_hand) {
        run.hand_response_h = s.quantity("hand_response", "h", {0, 48}, 0.5);
        run.attended_from_h = s.clock_time("attended_from", 0);
        run.attended_to_h = s.clock_time("attended_to", 0);
    }
    run.start_failure = s.number("start_failure", {0, 1}, 0);
    o.repair_after_h = s.quantity("repair_after", "h", {0.1, 8760}, 24);
    o.emergency_below = s.number("emergency_below", {0, 1}, 0);
    o.longest_day_h = s.quantity("longest_day", "h", {0.1, 24}, no_limit);
    o.refuel_after_h = s.quantity("refuel_after", "h", {0.1, 8760}, 24);
    o.start_va = s.quantity("motor_start", "W", {1, 1e6}, no_limit);
    o.seed = static_cast<std::uint64_t>(s.count("seed", 0, 1000000000, 1));
    s.checked([&] { models::validate(run); });
}

// The fuel rates of a data sheet at shares of the rated power.
std::vector<models::FuelPoint> read_fuel_table(Section& s, double rated_w) {
    for (auto const* key : {"fuel_loads", "fuel_rates"})
        if (!s.has(key)) s.fail(key, "is missing; a fuel table needs fuel_loads and fuel_rates");
    for (auto const* key : {"fuel_at_half_load", "fuel_at_full_load"})
        if (s.has(key)) s.fail(key, "is given beside fuel_loads; take the two points or the table");
    auto const loads = s.list("fuel_loads", 0, "", {0, 1.2});
    auto const rates = s.list("fuel_rates", loads.size(), "L/h", {0, 100});
    if (loads.size() < 2) s.fail("fuel_loads", "must have two or more loads, such as [0.25, 0.5, 0.75, 1]");
    std::vector<models::FuelPoint> table;
    for (std::size_t i = 0; i < loads.size(); ++i) {
        if (i > 0 && loads[i] <= loads[i - 1])
            s.fail("fuel_loads", fmt::format("{:g} does not come after {:g}; list the loads from low to high",
                                             loads[i], loads[i - 1]));
        if (i > 0 ? rates[i] <= rates[i - 1] : rates[i] <= 0)
            s.fail("fuel_rates",
                   fmt::format("the rate at load {:g} must be above that at less load", loads[i]));
        table.push_back({loads[i] * rated_w, rates[i]});
    }
    double const idle = rates[0] - loads[0] * (rates[1] - rates[0]) / (loads[1] - loads[0]);
    if (idle < 0)
        s.fail("fuel_rates", s.in_own_units(fmt::format(
                                 "the line through the first two points goes down to {:.3g} L/h at no "
                                 "load: a generator would burn nothing when idling; check the points "
                                 "or add one at load 0",
                                 idle)));
    return table;
}

void read_generator(Section s, Scenario& scenario) {
    models::GeneratorParameters g{};
    g.rated_power_w = s.quantity("rated_power", "W", {100, 1e5});
    double half = 0, full = 0;
    if (s.has("fuel_loads") || s.has("fuel_rates")) {
        g.fuel_table = read_fuel_table(s, g.rated_power_w);
        half = models::fuel_l_per_h(g, 0.5 * g.rated_power_w);
        full = models::fuel_l_per_h(g, g.rated_power_w);
    } else {
        half = s.quantity("fuel_at_half_load", "L/h", {0, 100});
        full = s.quantity("fuel_at_full_load", "L/h", {0, 100});
        if (full <= half) s.fail("fuel_at_full_load", "must be more than fuel_at_half_load");
    }
    double const rated_kw = g.rated_power_w * 1e-3;
    g.fuel_b_l_per_kwh = (full - half) / (0.5 * rated_kw);
    g.fuel_a_l_per_h_kw = (full - g.fuel_b_l_per_kwh * rated_kw) / rated_kw;
    if (g.fuel_a_l_per_h_kw < 0 && g.fuel_table.empty())
        s.fail("fuel_at_half_load",
               "is less than half of fuel_at_full_load: a generator would burn nothing when idling");
    g.least_load_fraction = s.number("least_load", {0, 0.9}, 0);
    g.power_factor = s.number("power_factor", {0.5, 1}, 1);
    g.derate_height_m = s.quantity("derate_above", "m", {0, 6000}, 0);
    g.derate_per_300_m = s.number("derate_per_300_m", {0, 0.1}, 0.035);
    g.derate_temperature_c = s.quantity("derate_above_temperature", "degC", {-20, 60}, 25);
    g.fuel_tank_l = s.quantity("fuel_tank", "L", {0, 1e5}, 0);
    s.checked([&] { models::validate(g); });
    read_generator_run(s, scenario.rules, scenario.generator_operation);
    s.finish();
    scenario.generator = g;
}

// Keys of one kind of outage; `prefix` is "" for those of ordinary days.
models::OutageDrawParameters read_outages(Section& s, std::string const& prefix, Scenario& scenario) {
    models::OutageDrawParameters p;
    p.interruptions_per_year = s.number(prefix + "saifi", {0, 1000});
    p.mean_duration_h = s.quantity(prefix + "caidi", "h", {0.01, 2000});
    std::string const spread = prefix + "length_spread";
    p.log_sigma = s.number(spread, {0, 3}, default_length_spread);
    // A mean length says nothing of the longest outages, which empty the tank: `sensitivity` tries the
    // spread.
    if (!s.has(spread))
        scenario.provenance.push_back({"outage_statistics." + spread, Provenance::assumed, std::nullopt,
                                       fmt::format("{}", default_length_spread), "1.0", "1.5"});
    return p;
}

void read_outage_statistics(Section s, Scenario& scenario) {
    auto& statistics = scenario.outage_statistics.emplace();
    statistics.ordinary = read_outages(s, "", scenario);
    if (s.has("major_saifi") || s.has("major_caidi"))
        statistics.major_events = read_outages(s, "major_", scenario);
    if (s.has("by_month")) {
        auto const factors = s.list("by_month", 12, "", {0, 100});
        std::copy(factors.begin(), factors.end(), statistics.ordinary.month_factor.begin());
        if (statistics.major_events) statistics.major_events->month_factor = statistics.ordinary.month_factor;
    }
    auto const seed = static_cast<std::uint64_t>(s.count("seed", 0, 1000000000, 1));
    s.checked([&] {
        models::validate(statistics.ordinary);
        if (statistics.major_events) models::validate(*statistics.major_events);
        scenario.outages = models::merge(scenario.listed_outages, models::outages_by(statistics, seed, 8760));
    });
    s.finish();
}

}  // namespace

void read_backup_side(Section& root, Scenario& scenario) {
    bool sound = root.attempt(true, [&] {
        if (auto s = root.optional_table("backup")) read_backup(*s, scenario);
    });
    sound = root.attempt(sound, [&] {
        if (auto s = root.optional_table("second_backup")) read_second_backup(*s, scenario);
    });
    sound = root.attempt(sound, [&] {
        if (auto s = root.optional_table("tariff")) read_tariff(*s, scenario);
    });
    sound = root.attempt(sound, [&] {
        if (auto s = root.optional_table("generator")) read_generator(*s, scenario);
    });
    bool const times = root.attempt(true, [&] {
        scenario.outages = scenario.listed_outages = read_times(root.tables("outage"));
        if (auto s = root.optional_table("outage_statistics")) read_outage_statistics(*s, scenario);
        scenario.rules.bypass = read_times(root.tables("bypass"));
    });
    if (!sound || !times) return;

    Backup const kind = scenario.rules.backup;
    if (kind == Backup::generator && !scenario.generator)
        root.fail("backup", "kind = \"generator\" needs a table [generator]");
    if (scenario.rules.second && !scenario.generator)
        root.fail("second_backup", "kind = \"generator\" needs a table [generator]");
    if (kind != Backup::grid && !scenario.rules.bypass.empty())
        root.fail("bypass", "needs backup.kind = \"grid\": the pump is plugged straight to the grid");
    if (!uses_generator(scenario.rules) && scenario.generator)
        scenario.warnings.push_back("generator: described but not used; backup.kind is not \"generator\"");
    if (kind != Backup::grid && !scenario.outages.empty())
        scenario.warnings.push_back("outage: outages are listed but not used; backup.kind is not \"grid\"");
    if (kind == Backup::grid && scenario.outage_statistics && !scenario.outage_statistics->major_events &&
        scenario.listed_outages.empty())
        scenario.warnings.push_back(
            "outage_statistics: storms are left out. saifi and caidi without major event days describe "
            "ordinary outages; add major_saifi and major_caidi, or list storms under [[outage]]");
    if (scenario.rules.second && scenario.rules.second->charge_to > 0 &&
        scenario.charger.dc_power_limit_w == 0)
        root.fail("second_backup", "charge_to needs a table [charger] with a power_limit above 0");
    if (scenario.rules.charge_to > 0 && scenario.charger.dc_power_limit_w == 0)
        root.fail("backup", "charge_to needs a table [charger] with a power_limit above 0");
}

}  // namespace holdwater::scenarios
