#include "scenarios/sections/read_cistern.hpp"

#include <algorithm>
#include <array>

#include "scenarios/sections/read_pump.hpp"
#include "scenarios/text/unused_key.hpp"

namespace holdwater::scenarios {
namespace {

// Whole hours of the day in which there is power to spare for filling.
models::DailyHours read_fill_hours(Section& s) {
    if (s.has("fill_from") != s.has("fill_until"))
        s.fail(s.has("fill_from") ? "fill_from" : "fill_until",
               "give fill_from and fill_until, such as 10 and 15: the hours in which it is filled");
    if (!s.has("fill_from")) return {};
    models::DailyHours const hours{s.count("fill_from", 0, 23), s.count("fill_until", 1, 24)};
    if (hours.from == hours.until) s.fail("fill_until", "is the same as fill_from");
    return hours;
}

void read_filling(Section& s, CisternSettings& c) {
    using models::FillRule;
    c.rule = s.choice("fill_rule",
                      std::array{std::pair{std::string_view("level"), FillRule::level},
                                 std::pair{std::string_view("prefer-surplus"), FillRule::surplus_or_low},
                                 std::pair{std::string_view("surplus-only"), FillRule::surplus_only}},
                      FillRule::level);
    if (c.rule == FillRule::level) {
        refuse_unused(
            s,
            {"fill_sun_above", "fill_battery_above", "fill_from", "fill_until", "fill_enough", "fill_band"},
            "changes nothing with fill_rule = \"level\"; choose \"prefer-surplus\" or \"surplus-only\"");
        return;
    }
    c.sun_above_w = s.quantity("fill_sun_above", "W", {0, 1e6}, no_limit);
    c.battery_above = s.number("fill_battery_above", {0, 1}, no_limit);
    c.fill_hours = read_fill_hours(s);
    if (c.sun_above_w == no_limit && c.battery_above == no_limit && !s.has("fill_from"))
        s.fail(
            "fill_rule",
            "needs fill_sun_above, fill_battery_above, or fill_from and fill_until: when is there power to "
            "spare for filling?");
    if (c.rule == FillRule::surplus_only)
        refuse_unused(s, {"fill_enough"}, "changes nothing with fill_rule = \"surplus-only\"");
}

void read_levels(Section& s, CisternSettings& c) {
    models::CisternParameters& p = c.cistern;
    p.capacity_m3 = s.quantity("capacity", "m3", {0.05, 10000});
    p.dead_m3 = s.quantity("dead", "m3", {0, 10000}, 0);
    p.reserve_m3 = s.quantity("reserve", "m3", {0, 10000}, 0);
    double const usable_m3 = p.capacity_m3 - models::usable_from_m3(p);
    p.fill_start_m3 = s.quantity("fill_start", "m3", {0, 10000}, p.capacity_m3 - 0.5 * usable_m3);
    p.fill_stop_m3 = s.quantity("fill_stop", "m3", {0, 10000}, p.capacity_m3 - 0.05 * usable_m3);
    read_filling(s, c);
    p.fill_enough_m3 = s.quantity("fill_enough", "m3", {0, 10000}, 0);
    p.floor_area_m2 = s.quantity("floor_area", "m2", {0, 10000}, 0);
    p.floor_elevation_m = s.quantity("floor_elevation", "m", {-200, 500}, 0);
    s.checked([&] { models::validate(p); });
    if (c.rule != models::FillRule::level) {
        c.fill_band_m3 =
            s.quantity("fill_band", "m3", {0, 10000}, std::min(0.05 * usable_m3, 0.5 * p.fill_stop_m3));
        if (c.fill_band_m3 <= 0 || c.fill_band_m3 >= p.fill_stop_m3)
            s.fail(
                "fill_band",
                "must be above 0, or the pump would start for every glass of water, and less than fill_stop");
    }
    double const lowest_m3 = models::usable_from_m3(p);
    c.start_m3 = s.quantity("start", "m3", {0, p.capacity_m3}, p.fill_stop_m3);
    c.resume_m3 = s.quantity("resume", "m3", {lowest_m3, p.capacity_m3},
                             std::min(lowest_m3 + 0.05 * usable_m3, p.fill_stop_m3));
    if (c.resume_m3 <= lowest_m3 || c.resume_m3 > p.fill_stop_m3)
        s.fail("resume",
               "must lie above dead + reserve, or the booster would switch on and off without end, and not "
               "above fill_stop, or it would never come back");
}

}  // namespace

void read_cistern(Section& root, Scenario& scenario) {
    auto found = root.optional_table("cistern");
    if (!found) {
        if (root.has("booster")) root.fail("booster", "needs a table [cistern] to draw from");
        return;
    }
    Section& s = *found;
    CisternSettings c;
    read_levels(s, c);
    if (scenario.drive)
        root.fail("drive",
                  "the well pump fills a cistern and holds no pressure; put the drive at the booster as "
                  "[booster.drive]");
    if (auto booster = root.optional_table("booster")) {
        refuse_unused(s, {"outlet_elevation"}, "changes nothing with a booster");
        Section& b = *booster;
        PumpSet set;
        set.pump = read_pump(b.table("pump"));
        set.motor = read_motor(b.table("motor"), "booster.motor", scenario.warnings);
        set.piping = read_piping(b);
        set.drive = read_drive(b, set.motor, set.pump);
        c.booster_lift_m = b.quantity("lift_to_tank", "m", {-100, 200}, 0);
        b.finish();
        c.booster = set;
    } else {
        c.outlet_elevation_m = s.quantity("outlet_elevation", "m", {-500, 500});
        auto const water = models::water_at(scenario.lift.water_temperature_c);
        double const least_kpa = models::gravity_pressure_kpa(c.cistern, models::usable_from_m3(c.cistern),
                                                              c.outlet_elevation_m, water);
        if (least_kpa <= 0)
            s.fail("outlet_elevation",
                   "lies above the water: nothing runs by gravity; raise the cistern or add a [booster]");
        constexpr double weak_kpa = 15 * 6.894757;
        if (least_kpa < weak_kpa)
            scenario.warnings.push_back(
                "cistern.outlet_elevation: less than 103.4 kPa by gravity when the cistern is low; showers "
                "and "
                "appliances want more (common practice)");
    }
    s.finish();
    scenario.cistern = c;
}

void read_trough(Section& root, Scenario& scenario) {
    auto found = root.optional_table("trough");
    if (!found) return;
    Section& s = *found;
    models::TroughParameters t;
    t.full_m3 = s.quantity("full", "m3", {0.01, 1000});
    t.open_m3 = s.quantity("open", "m3", {0, 1000}, 0.9 * t.full_m3);
    t.float_flow_m3_s = s.quantity("float_flow", "m3/s", {1e-7, 0.1});
    t.fill_battery_above = s.number("fill_battery_above", {0, 1}, no_limit);
    t.fill_hours = read_fill_hours(s);
    bool const second_valve = t.fill_battery_above != no_limit || s.has("fill_from");
    if (s.has("fill_band") && !second_valve)
        s.fail("fill_band", "needs fill_battery_above, or fill_from and fill_until");
    if (second_valve)
        t.fill_band_m3 = s.quantity("fill_band", "m3", {1e-3, 1000}, 0.5 * (t.full_m3 - t.open_m3));
    s.checked([&] { models::validate(t); });
    s.finish();
    scenario.trough = t;
}

}  // namespace holdwater::scenarios
