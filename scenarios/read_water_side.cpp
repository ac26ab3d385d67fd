#include "scenarios/read_water_side.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>

namespace holdwater::scenarios {
namespace {

void read_well(Section s, Scenario& scenario) {
    models::LiftParameters& l = scenario.lift;
    l.static_level_m = s.quantity("static_level", "m", {0, 400});
    l.specific_capacity_m2_s =
        s.quantity("specific_capacity", "m2/s", {1e-7, 1}, std::numeric_limits<double>::infinity());
    l.elevation_m = s.quantity("lift_to_tank", "m", {-100, 200}, 0);
    l.water_temperature_c = s.quantity("water_temperature", "degC", {0.1, 40}, 10);
    s.checked([&] { models::validate(l); });
    s.finish();
}

void read_pump(Section s, Scenario& scenario) {
    auto const flow = s.list("flow", 0, "m3/s", {0, 0.1});
    auto const head = s.list("head", flow.size(), "m", {0, 1000});
    bool const input = s.has("input_power");
    if (input && s.has("shaft_power")) s.fail("shaft_power", "give shaft_power or input_power, not both");
    auto const power = s.list(input ? "input_power" : "shaft_power", flow.size(), "W", {0, 1e5});
    double const stages = s.number("stages", {1, 500}, 1);
    scenario.pump.power_is_input = input;
    for (std::size_t i = 0; i < flow.size(); ++i)
        scenario.pump.curve.push_back({flow[i], head[i] * stages, power[i] * stages});
    s.checked([&] { models::validate(scenario.pump); });
    s.finish();
}

void read_motor(Section s, Scenario& scenario) {
    models::MotorParameters& m = scenario.motor;
    m.rated_power_w = s.quantity("rated_power", "W", {1, 30 * 745.7});
    m.service_factor = s.number("service_factor", {1, 2}, 1);
    m.volts = s.quantity("volts", "V", {100, 480}, 230);
    m.running_power_factor = s.number("running_power_factor", {0.4, 1}, 0.7);
    using models::MotorWiring;
    m.wiring = s.choice("wiring",
                        std::array{std::pair{std::string_view("two-wire"), MotorWiring::two_wire},
                                   std::pair{std::string_view("three-wire"), MotorWiring::three_wire}},
                        MotorWiring::three_wire);
    if (s.has("efficiency")) {
        if (s.has("rated_input")) s.fail("efficiency", "give efficiency or rated_input, not both");
        m.input_intercept_w = 0;
        m.input_slope = 1 / s.number("efficiency", {0.2, 0.98});
    } else {
        double const rated_input_w = s.quantity("rated_input", "W", {1, 1e5});
        if (m.service_factor > 1) {
            double const service_input_w = s.quantity("service_factor_input", "W", {1, 1e5});
            auto const line = models::loss_line(m.rated_power_w, rated_input_w,
                                                m.rated_power_w * m.service_factor, service_input_w);
            m.input_intercept_w = line.intercept_w;
            m.input_slope = line.slope;
        } else {
            m.input_intercept_w = 0;
            m.input_slope = rated_input_w / m.rated_power_w;
        }
    }
    s.checked([&] { models::validate(m); });
    s.finish();
}

models::PipeSegment read_pipe(Section s) {
    models::PipeSegment p;
    (void)s.text("name", "");
    p.length_m = s.quantity("length", "m", {0, 5000});
    p.inside_diameter_m = s.quantity("inside_diameter", "m", {0.005, 0.5});
    p.roughness_m = s.quantity("roughness", "m", {0, 0.005}, 1.5e-6);
    p.hazen_williams_c = s.number("hazen_williams_c", {50, 160}, 150);
    p.minor_loss_k = s.number("fittings_k", {0, 1000}, 0);
    s.checked([&] { models::validate(p); });
    s.finish();
    return p;
}

void read_tank(Section s, Scenario& scenario, double elevation_m) {
    models::PressureTankParameters& t = scenario.tank;
    t.total_volume_m3 = s.quantity("volume", "m3", {0.002, 20});
    t.cut_in_kpa = s.quantity("cut_in", "kPa", {60, 700});
    t.cut_out_kpa = s.quantity("cut_out", "kPa", {80, 800});
    t.precharge_kpa =
        s.quantity("precharge", "kPa", {0, 700}, std::max(t.cut_in_kpa - 2 * 6.894757293168361, 0.0));
    t.air_fraction = s.number("air_left", {0.01, 1}, 1);
    t.atmosphere_kpa = models::standard_atmosphere_kpa_at(elevation_m);
    s.checked([&] { models::validate(t); });
    s.finish();
}

void read_demand(Section s, Scenario& scenario) {
    DemandSettings& d = scenario.demand;
    d.daily_m3 = s.quantity("daily", "m3/day", {0, 1000});
    if (s.has("profile")) {
        auto const weights = s.list("profile", 24, "", {0, 1e6});
        std::copy(weights.begin(), weights.end(), d.profile.begin());
        s.checked([&] { models::validate(d.profile); });
    }
    d.tap_flow_m3_s = s.quantity("tap_flow", "m3/s", {1e-7, 0.1}, 3 * 3.785411784e-3 / 60);
    s.finish();
}

}  // namespace

void read_water_side(Section& root, Scenario& scenario) {
    double const elevation_m = scenario.elevation_m;
    Section well = root.table("well");
    read_well(well, scenario);
    read_pump(root.table("pump"), scenario);
    read_motor(root.table("motor"), scenario);
    using models::FrictionLaw;
    scenario.piping.law =
        root.choice("friction",
                    std::array{std::pair{std::string_view("darcy-weisbach"), FrictionLaw::darcy_weisbach},
                               std::pair{std::string_view("hazen-williams"), FrictionLaw::hazen_williams}},
                    FrictionLaw::darcy_weisbach);
    for (Section& s : root.tables("pipe")) scenario.piping.segments.push_back(read_pipe(s));
    Section tank = root.table("tank");
    read_tank(tank, scenario, elevation_m);
    read_demand(root.table("demand"), scenario);
    tank.checked([&] {
        models::require_reaches_cut_out(models::PumpCurve(scenario.pump), scenario.lift,
                                        models::water_at(scenario.lift.water_temperature_c),
                                        scenario.tank.cut_out_kpa);
    });
}

}  // namespace holdwater::scenarios
