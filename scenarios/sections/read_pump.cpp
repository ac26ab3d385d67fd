#include "scenarios/sections/read_pump.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>

namespace holdwater::scenarios {

models::PumpParameters read_pump(Section s) {
    models::PumpParameters pump;
    auto const flow = s.list("flow", 0, "m3/s", {0, 0.1});
    auto const head = s.list("head", flow.size(), "m", {0, 1000});
    bool const input = s.has("input_power");
    if (input && s.has("shaft_power")) s.fail("shaft_power", "give shaft_power or input_power, not both");
    auto const power = s.list(input ? "input_power" : "shaft_power", flow.size(), "W", {0, 1e5});
    int const stages = s.count("stages", 1, 500, 1);
    pump.power_is_input = input;
    for (std::size_t i = 0; i < flow.size(); ++i)
        pump.curve.push_back({flow[i], head[i] * stages, power[i] * stages});
    s.checked([&] { models::validate(pump); });
    s.finish();
    return pump;
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

models::PipingParameters read_piping(Section& s) {
    using models::FrictionLaw;
    models::PipingParameters piping;
    piping.law =
        s.choice("friction",
                 std::array{std::pair{std::string_view("darcy-weisbach"), FrictionLaw::darcy_weisbach},
                            std::pair{std::string_view("hazen-williams"), FrictionLaw::hazen_williams}},
                 FrictionLaw::darcy_weisbach);
    for (Section& pipe : s.tables("pipe")) piping.segments.push_back(read_pipe(pipe));
    return piping;
}

namespace {

void read_running(Section& s, models::MotorParameters& m) {
    if (s.has("efficiency")) {
        if (s.has("rated_input")) s.fail("efficiency", "give efficiency or rated_input, not both");
        m.input_intercept_w = 0;
        m.input_slope = 1 / s.number("efficiency", {0.2, 0.98});
        return;
    }
    double const rated_input_w = s.quantity("rated_input", "W", {1, 1e5});
    if (rated_input_w <= m.rated_power_w)
        s.fail("rated_input",
               fmt::format("{:.0f} W is not above rated_power = {:.0f} W at the shaft: no motor gives "
                           "out more than it takes in",
                           rated_input_w, m.rated_power_w));
    if (m.service_factor > 1) {
        double const service_input_w = s.quantity("service_factor_input", "W", {1, 1e5});
        if (service_input_w <= rated_input_w)
            s.fail("service_factor_input",
                   fmt::format("must be above rated_input = {:.0f} W", rated_input_w));
        auto const line = models::loss_line(m.rated_power_w, rated_input_w,
                                            m.rated_power_w * m.service_factor, service_input_w);
        if (line.intercept_w < 0 || line.intercept_w > m.rated_power_w)
            s.fail("service_factor_input",
                   fmt::format(
                       "with rated_input it would mean {:.0f} W at no load, expected 0 to rated_power; check "
                       "rated_power, service_factor and both inputs against the nameplate",
                       line.intercept_w));
        m.input_intercept_w = line.intercept_w;
        m.input_slope = line.slope;
    } else {
        // Some nameplates have both columns although they are the same.
        if (s.has("service_factor_input") &&
            std::abs(s.quantity("service_factor_input", "W", {1, 1e5}) / rated_input_w - 1) > 0.01)
            s.fail("service_factor_input",
                   fmt::format("differs from rated_input = {:.0f} W, but service_factor is 1: give the "
                               "nameplate's service_factor, or leave service_factor_input out",
                               rated_input_w));
        m.input_intercept_w = 0;
        m.input_slope = rated_input_w / m.rated_power_w;
    }
}

void read_starting(Section& s, models::MotorParameters& m) {
    m.full_load_a = s.quantity("full_load", "A", {0.1, 1000}, 0);
    m.locked_rotor_a = s.quantity("locked_rotor", "A", {0.1, 2000}, 0);
    std::string const letter = s.text("code_letter", "");
    if (letter.size() > 1) s.fail("code_letter", "must be one capital letter, as on the nameplate");
    m.code_letter = letter.empty() ? '\0' : letter[0];
    m.locked_rotor_power_factor = s.number("locked_rotor_power_factor", {0.05, 1}, 0.6);
    m.start_seconds = s.quantity("start_seconds", "s", {0.02, 10}, 0.5);
    m.soft_start_ratio = s.number("soft_start", {0.2, 1}, 1);
    // Common practice, no source: a minute, two from 1.5 hp on.
    m.min_run_s = s.quantity("min_run", "s", {0, 3600}, m.rated_power_w < 1.45 * 745.7 ? 60 : 120);
    m.min_rest_s = s.quantity("min_rest", "s", {0, 3600}, 0);
}

}  // namespace

models::MotorParameters read_motor(Section s, std::string const& name, std::vector<std::string>& warnings) {
    models::MotorParameters m;
    m.rated_power_w = s.quantity("rated_power", "W", {1, 30 * 745.7});
    m.service_factor = s.number("service_factor", {1, 2}, 1);
    m.volts = s.quantity("volts", "V", {100, 480}, 230);
    m.phases = s.count("phases", 1, 3, 1);
    m.running_power_factor = s.number("running_power_factor", {0.4, 1}, 0.7);
    using models::MotorWiring;
    m.wiring = s.choice("wiring",
                        std::array{std::pair{std::string_view("two-wire"), MotorWiring::two_wire},
                                   std::pair{std::string_view("three-wire"), MotorWiring::three_wire},
                                   std::pair{std::string_view("drive"), MotorWiring::drive},
                                   std::pair{std::string_view("2-wire"), MotorWiring::two_wire},
                                   std::pair{std::string_view("3-wire"), MotorWiring::three_wire}},
                        MotorWiring::three_wire);
    if (m.phases == 3 && m.wiring == MotorWiring::two_wire)
        s.fail("wiring",
               "\"two-wire\" is a single-phase motor; a three-phase motor needs no wiring key, or \"drive\"");
    s.checked([&] {
        read_running(s, m);
        read_starting(s, m);
        models::validate(m);
    });
    double const rated_input_w = models::electrical_input_w(m, m.rated_power_w);
    double const rated_va = models::phase_factor(m) * m.volts * m.full_load_a;
    if (m.full_load_a > 0 && rated_input_w > 0.97 * rated_va)
        warnings.push_back(
            fmt::format("{}.rated_input: {:.0f} W is volts times amps ({:.0f} VA); watts are that times the "
                        "power factor, so the pump's energy would come out too high",
                        name, rated_input_w, rated_va));
    s.finish();
    return m;
}

std::optional<models::DriveParameters> read_drive(Section& parent, models::MotorParameters const& motor,
                                                  models::PumpParameters const& pump) {
    auto found = parent.optional_table("drive");
    if (!found) {
        if (motor.wiring == models::MotorWiring::drive)
            parent.fail("motor", "wiring = \"drive\" needs a table [drive]");
        return std::nullopt;
    }
    Section& s = *found;
    if (motor.wiring != models::MotorWiring::drive)
        parent.fail("drive", "a motor behind a drive needs wiring = \"drive\"");
    models::DriveParameters d;
    d.efficiency = s.number("efficiency", {0.5, 1}, d.efficiency);
    d.standby_w = s.quantity("standby", "W", {0, 500}, d.standby_w);
    d.min_speed_ratio = s.number("min_speed", {0, 1.2}, d.min_speed_ratio);
    d.max_speed_ratio = s.number("max_speed", {0.3, 1.2}, d.max_speed_ratio);
    d.sleep_flow_m3_s = s.quantity("sleep_flow", "m3/s", {0, 0.1}, d.sleep_flow_m3_s);
    d.input_power_factor = s.number("input_power_factor", {0.3, 1}, d.input_power_factor);
    s.checked([&] { models::validate(d, motor, models::PumpCurve(pump)); });
    s.finish();
    return d;
}

}  // namespace holdwater::scenarios
