#include "scenarios/read_supply.hpp"

#include <date/date.h>
#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <limits>

namespace holdwater::scenarios {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

void read_bank(Section s, Scenario& scenario) {
    models::EnergyBucketParameters& b = scenario.bank;
    b.capacity_kwh = s.quantity("capacity", "kWh", {0, 1000});
    b.floor_soc = 1 - s.number("usable_fraction", {0.1, 1});
    b.charge_efficiency = s.number("charge_efficiency", {0.5, 1});
    b.discharge_efficiency = s.number("discharge_efficiency", {0.5, 1});
    b.charge_limit_kw = s.quantity("charge_limit", "kW", {0, 1000});
    b.discharge_limit_kw = s.quantity("discharge_limit", "kW", {0, 1000});
    b.self_discharge_per_h =
        models::self_discharge_per_h(s.number("self_discharge_per_month", {0, 0.5}, 0.03));
    scenario.bank_standby_w = s.quantity("standby", "W", {0, 200}, 0);
    scenario.start_soc = s.number("start_level", {0, 1}, 1);
    scenario.restart_above = s.number("restart_above", {0, 1}, std::min(b.floor_soc + 0.1, 1.0));
    s.checked([&] { models::validate(b); });
    if (scenario.restart_above <= b.floor_soc)
        s.fail("restart_above",
               fmt::format("{:g} is not above the bank's floor {:g} (1 - usable_fraction); the "
                           "inverter would switch on and off without end",
                           scenario.restart_above, b.floor_soc));
    s.finish();
}

void read_inverter(Section s, Scenario& scenario) {
    models::InverterParameters& i = scenario.inverter;
    i.rated_power_w = s.quantity("rated_power", "W", {100, 1e5});
    auto const eta = s.list("efficiency_at_10_50_100_percent", 3, "", {0.3, 0.999});
    s.checked([&] {
        auto const curve = models::fit_loss_curve(eta[0], eta[1], eta[2]);
        i.idle_w = s.quantity("idle", "W", {0, 300}, curve.p0 * i.rated_power_w);
        i.k1 = curve.k1;
        i.k2 = curve.k2;
        if (curve.inconsistent)
            scenario.warnings.push_back(
                "inverter.efficiency_at_10_50_100_percent: the three points do not belong to one loss curve; "
                "the nearest curve is used");
        models::validate(i);
    });
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

models::SmallLoad read_load(Section s) {
    models::SmallLoad load;
    load.name = s.text("name");
    load.power_w = s.quantity("power", "W", {0, 1e5});
    if (s.has("profile")) {
        auto const shares = s.list("profile", 24, "", {0, 1});
        std::copy(shares.begin(), shares.end(), load.profile.begin());
    } else {
        load.profile.fill(s.number("duty", {0, 1}, 1));
    }
    s.checked([&] { models::validate(std::vector{load}); });
    s.finish();
    return load;
}

// "01-14 06:00" as hours since 00:00 on 1 January.
double read_stamp(Section& s, std::string_view key) {
    std::string const text = s.text(key);
    unsigned month = 0, day = 0, hour = 0, minute = 0;
    int end = 0;
    bool const read =
        std::sscanf(text.c_str(), "%2u-%2u %2u:%2u%n", &month, &day, &hour, &minute, &end) == 4 &&
        static_cast<std::size_t>(end) == text.size() && hour < 24 && minute < 60;
    // Any year without 29 February serves.
    date::year_month_day const given = date::year(2023) / date::month(month) / date::day(day);
    if (!read || !given.ok())
        s.fail(key,
               "must be month, day and local standard time, such as \"01-14 06:00\" (29 February is not in "
               "the year)");
    using namespace date::literals;
    auto const days = date::sys_days{given} - date::sys_days{date::January / 1 / 2023};
    return days.count() * 24.0 + hour + minute / 60.0;
}

models::OutageList read_outages(std::vector<Section> sections) {
    models::OutageList outages;
    for (Section& s : sections) {
        models::Outage outage{};
        outage.start_h = read_stamp(s, "start");
        outage.end_h = outage.start_h + s.quantity("length", "h", {0, 8760});
        if (!outages.empty() && outage.start_h < outages.back().end_h)
            s.fail("start", "starts before the outage above it has ended; list outages in order of time");
        outages.push_back(outage);
        s.finish();
    }
    return outages;
}

void read_backup(Section s, Scenario& scenario) {
    BackupSettings& b = scenario.backup;
    b.kind = s.choice("kind", std::array{std::pair{std::string_view("none"), BackupKind::none},
                                         std::pair{std::string_view("grid"), BackupKind::grid},
                                         std::pair{std::string_view("generator"), BackupKind::generator}});
    if (b.kind == BackupKind::none) {
        // The rest may stay in the file while a designer tries without backup.
        for (auto const* key : {"transfer_below", "return_above", "charge_to", "limit"}) (void)s.has(key);
    } else {
        double const floor = scenario.bank.floor_soc;
        b.transfer_below = s.number("transfer_below", {0, 1});
        b.return_above = s.number("return_above", {0, 1});
        b.charge_to = s.number("charge_to", {0, 1}, 0);
        b.limit_w = b.kind == BackupKind::grid ? s.quantity("limit", "W", {1, 1e6}, infinity) : 0;
        if (b.transfer_below <= floor)
            s.fail("transfer_below",
                   fmt::format(
                       "{:g} is not above the bank's floor {:g} (1 - usable_fraction): the inverter would "
                       "switch off before the transfer",
                       b.transfer_below, floor));
        if (b.return_above <= b.transfer_below)
            s.fail("return_above",
                   fmt::format("{:g} must be above transfer_below = {:g}", b.return_above, b.transfer_below));
        if (b.return_above - b.transfer_below < 0.1)
            scenario.warnings.push_back(
                "backup: return_above is less than 0.1 above transfer_below; it will change over often");
        if (b.charge_to > 0 && b.charge_to <= b.transfer_below)
            s.fail("charge_to",
                   fmt::format("{:g} must be above transfer_below = {:g}; leave it out for no charging",
                               b.charge_to, b.transfer_below));
    }
    s.finish();
}

void read_generator(Section s, Scenario& scenario) {
    models::GeneratorParameters g{};
    g.rated_power_w = s.quantity("rated_power", "W", {100, 1e5});
    double const half = s.quantity("fuel_at_half_load", "L/h", {0, 100});
    double const full = s.quantity("fuel_at_full_load", "L/h", {0, 100});
    double const rated_kw = g.rated_power_w * 1e-3;
    if (full <= half) s.fail("fuel_at_full_load", "must be more than fuel_at_half_load");
    g.fuel_b_l_per_kwh = (full - half) / (0.5 * rated_kw);
    g.fuel_a_l_per_h_kw = (full - g.fuel_b_l_per_kwh * rated_kw) / rated_kw;
    if (g.fuel_a_l_per_h_kw < 0)
        s.fail("fuel_at_half_load",
               "is less than half of fuel_at_full_load: a set would burn nothing when idling");
    s.checked([&] { models::validate(g); });
    s.finish();
    scenario.generator = g;
}

}  // namespace

void read_supply_side(Section& root, Scenario& scenario) {
    read_bank(root.table("bank"), scenario);
    read_inverter(root.table("inverter"), scenario);
    if (auto s = root.optional_table("charger")) read_charger(*s, scenario);
    for (Section& s : root.tables("load")) scenario.loads.push_back(read_load(s));
    if (auto s = root.optional_table("backup")) read_backup(*s, scenario);
    if (auto s = root.optional_table("generator")) read_generator(*s, scenario);
    scenario.outages = read_outages(root.tables("outage"));

    BackupKind const kind = scenario.backup.kind;
    if (kind == BackupKind::generator && !scenario.generator)
        root.fail("backup", "kind = \"generator\" needs a table [generator]");
    if (kind != BackupKind::generator && scenario.generator)
        scenario.warnings.push_back("generator: described but not used; backup.kind is not \"generator\"");
    if (kind != BackupKind::grid && !scenario.outages.empty())
        scenario.warnings.push_back("outage: outages are listed but not used; backup.kind is not \"grid\"");
    if (scenario.backup.charge_to > 0 && scenario.charger.dc_power_limit_w == 0)
        root.fail("backup", "charge_to needs a table [charger] with a power_limit above 0");
}

}  // namespace holdwater::scenarios
