#include "tools/start/starter_scenario.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>
#include <string_view>
#include <vector>

#include "models/electric/conductor.hpp"
#include "models/numeric/trade_units.hpp"
#include "sim/base/shown_figure.hpp"

namespace holdwater::tools {
namespace {

using models::MotorWiring;
using scenarios::Backup;

double liters_per_min(double gpm) {
    return sim::shown(gpm * models::m3_s_per_gpm, "m3/s", scenarios::UnitSystem::metric).value;
}

double nearest_step(double value, double step) { return step * std::round(value / step); }

// SI values as a designer writes them in the chosen unit system.
struct Written {
    bool metric{};

    [[nodiscard]] double in(double value, std::string_view unit) const {
        return sim::shown(value, unit, metric ? scenarios::UnitSystem::metric : scenarios::UnitSystem::us)
            .value;
    }
    std::string length(double m) const {
        return metric ? fmt::format("{:.4g} m", nearest_step(m, 0.1)) : fmt::format("{:.0f} ft", in(m, "m"));
    }
    std::string pipe(double inches) const {
        return metric ? fmt::format("{:.1f} mm", 25.4 * inches) : fmt::format("{:.3f} in", inches);
    }
    std::string pressure(double kpa) const {
        return fmt::format("{:.3g} {}", in(kpa, "kPa"), metric ? "bar" : "psi");
    }
    std::string tank(double m3) const { return fmt::format("{:.4g} {}", in(m3, "m3"), metric ? "L" : "gal"); }
    std::string per_day(double m3) const {
        return metric ? fmt::format("{:.0f} L/day", nearest_step(in(m3, "m3"), 5))
                      : fmt::format("{:.0f} gal/day", in(m3, "m3"));
    }
    std::string flow(double gpm) const {
        return metric ? fmt::format("{:.0f} L/min", liters_per_min(gpm)) : fmt::format("{:g} gpm", gpm);
    }
    std::string fuel(double liter_h) const {
        return metric ? fmt::format("{:.1f} L/h", liter_h) : fmt::format("{:.2f} gal/h", in(liter_h, "L/h"));
    }
};

std::string quoted_list(std::array<double, 9> const& values, auto const& write) {
    std::vector<std::string> texts;
    for (double const v : values) texts.push_back("\"" + write(v) + "\"");
    return fmt::format("[{}]", fmt::join(texts, ", "));
}

// A basic string of TOML; the text is one line.
std::string toml_string(std::string const& text) {
    std::string out = "\"";
    for (char const c : text) out += (c == '"' || c == '\\' ? "\\" : "") + std::string(1, c);
    return out + "\"";
}

bool split_phase(StarterAnswers const& a) { return a.volts >= 236 && a.hz == 60; }

std::string battery_place(StarterAnswers const& a) {
    if (a.heated) return "# It stands in a heated room: 25 °C all year.\n\n";
    return R"(
[battery.temperature]         # it stands in an unheated place; both figures are assumed
warmer_than_outside_k = 3     # over the outside air
time_constant         = "12 h"
#heater               = "60 W"   # keeps the cells warm enough to charge; costs energy

)";
}

std::string supply_part(StarterAnswers const& a, sim::StarterDesign const& d) {
    auto const& s = d.sizes;
    std::string const towards = a.latitude_deg < 0 ? "0 deg" : "180 deg";
    std::string const inverter_by =
        s.inverter_by == sim::InverterDecider::motor_start
            ? fmt::format("decided by the motor's start: {:.1f} kVA, 20 % in hand", s.start_kva)
            : fmt::format("decided by the running pump: 1.6 times {:.0f} W", s.pump_w);
    std::string const battery_by =
        s.battery_by == sim::BatteryDecider::days
            ? fmt::format("{:g} days of {:.1f} kWh without sun, in steps of 5.12 kWh", s.battery_days,
                          s.daily_kwh)
            : std::string("two hours of the running pump, in steps of 5.12 kWh");
    return fmt::format(
               R"([array]
rated_power = "{:.1f} kW"        # hand calculation: {:.1f} kWh a day from {:.1f} h of winter sun
tilt        = "{:.0f} deg"         # latitude and 10: winter decides
azimuth     = {:<14}  # towards the equator
dc_loss     = 0.06
soiling     = 0.03

[controller]
power_limit = "{:.1f} kW"

[battery]
chemistry       = "lithium-iron-phosphate"
capacity        = "{:.2f} kWh"  # {}
nominal_voltage = "51.2 V"
voltage_model   = true
usable_fraction = 0.9
start_soc       = 0.9
)",
               s.array_kw, s.daily_kwh, s.sun_h, d.tilt_deg, "\"" + towards + "\"", d.controller_kw,
               s.battery_kwh, battery_by) +
           battery_place(a) +
           fmt::format(R"([inverter]
rated_power    = "{:.0f} kW"       # {}
output_voltage = "{:g} V"      # {:g} Hz
split_phase    = {}
efficiency_at_10_50_100_percent = [0.90, 0.955, 0.94]
surge_power = ["{:.0f} kW", "{:.1f} kW"]   # of its data sheet, in volt-amperes, for so long
surge_times = ["5 s", "30 s"]
low_voltage_cutout = "44 V"
idle        = "{:.0f} W"

)",
                       s.inverter_kw, inverter_by, a.volts, a.hz,
                       split_phase(a) ? fmt::format("true       # {:g}/{:g} V", a.volts / 2, a.volts)
                                      : std::string("false"),
                       2 * s.inverter_kw, 1.5 * s.inverter_kw, s.idle_w);
}

std::string backup_part(StarterAnswers const& a, sim::StarterSizes const& s) {
    if (a.backup == Backup::none)
        return "[backup]\nkind = \"none\"             # or \"grid\", or \"generator\"\n\n";
    bool const grid = a.backup == Backup::grid;
    std::string out = fmt::format(
        R"([charger]
power_limit = "{:.1f} kW"
efficiency  = 0.93

[backup]
kind           = "{}"
transfer_below = 0.25         # a night's use is still in the battery at this state of charge
return_above   = 0.80
charge_to      = 0.80

)",
        s.charger_kw, grid ? "grid" : "generator");
    if (grid)
        return out +
               R"([outage_statistics]           # how often the grid fails: ask the utility and the neighbors
saifi = 6                     # outages a year of over five minutes, without storms
caidi = "4 h"                 # their mean length
major_saifi = 0.5             # storms a year that take the grid away for long
major_caidi = "36 h"          # their mean length

)";
    Written const w{a.metric};
    std::string const power = "\"" + fmt::format("{:.3g} kW", s.generator_kw) + "\"";
    return out + fmt::format(R"([generator]
rated_power       = {:<10}  # {}
fuel_at_half_load = "{}"   # usual for propane, air-cooled, from memory
fuel_at_full_load = "{}"

)",
                             power,
                             a.generator_w && *a.generator_w != 1e3 * sim::starter_generator_kw(a)
                                 ? "as answered"
                                 : "starts the motor while it charges",
                             w.fuel(0.41 * s.generator_kw), w.fuel(0.69 * s.generator_kw));
}

std::string motor_section(StarterAnswers const& a) {
    auto const& m = a.motor;
    // The typical amps of the larger motors are equal to their watts at a power factor of one, so they are no
    // figure from which to start.
    std::string const full_load =
        models::electrical_input_w(m, m.rated_power_w) > 0.97 * m.volts * m.full_load_a
            ? ""
            : fmt::format("full_load            = \"{:g} A\"\n", m.full_load_a);
    bool const two_wire = m.wiring == MotorWiring::two_wire;
    std::string const start_note = fmt::format("of a {} motor, from memory", two_wire ? "2-wire" : "3-wire");
    std::string const hz_note = a.hz == 60 ? "" : "; those are of 60 Hz motors";
    return fmt::format(
        R"([motor]                       # typical of published submersible-motor tables, from memory{}: put the nameplate here
rated_power          = "{}"
service_factor       = {:g}
rated_input          = "{:.0f} W"
service_factor_input = "{:.0f} W"
volts                = "230 V"
wiring               = "{}"   # {}
{}locked_rotor         = "{:g} A"    # {}
running_power_factor = {:.2f}

)",
        hz_note, a.motor_power, m.service_factor, models::electrical_input_w(m, m.rated_power_w),
        models::electrical_input_w(m, m.rated_power_w * m.service_factor),
        two_wire ? "two-wire" : "three-wire",
        two_wire ? "no control box above ground" : "with a control box above ground", full_load,
        m.locked_rotor_a, start_note, m.running_power_factor);
}

std::string well_part(StarterAnswers const& a, sim::StarterDesign const& d) {
    Written const w{a.metric};
    auto const& stage = *d.pump.stage;
    bool const wide = stage.rated_gpm > 10;
    auto const flows = quoted_list(stage.flow_gpm, [&](double gpm) {
        return a.metric ? fmt::format("{:.1f} L/min", liters_per_min(gpm)) : fmt::format("{:g} gpm", gpm);
    });
    auto const heads = quoted_list(stage.head_ft, [&](double ft) {
        return a.metric ? fmt::format("{:.2f} m", ft * models::m_per_ft) : fmt::format("{:g} ft", ft);
    });
    auto const powers = quoted_list(stage.shaft_hp, [&](double hp) {
        return a.metric ? fmt::format("{:.1f} W", hp * models::w_per_hp) : fmt::format("{:.4f} hp", hp);
    });
    std::string const tank_note = a.tank ? "" : "  # sized for the motor's shortest run";
    return fmt::format(
               R"([well]
static_level      = "{}"   # static water level; deeper at the end of a dry summer
specific_capacity = "{}"  # assumed: the driller's test has it
lift_to_tank      = "{}"       # assumed

[pump]                        # {} stages of an invented {} submersible; put the real pump's curve here
stages      = {}
flow        = {}
head        = {}
shaft_power = {}

)",
               w.length(a.depth_m), a.metric ? "12 L/min/m" : "1.0 gpm/ft", w.length(d.site.lift_to_tank_m),
               d.pump.stages, w.flow(stage.rated_gpm), d.pump.stages, flows, heads, powers) +
           motor_section(a) +
           fmt::format(
               R"([[pipe]]
name            = "drop pipe"
length          = "{}"
inside_diameter = "{}"
fittings_k      = 2.5         # check valve

[[pipe]]
name            = "yard pipe" # assumed
length          = "{}"
inside_diameter = "{}"
fittings_k      = 7.7

[tank]
volume    = "{}"{}
count     = {}
cut_in    = "{}"
cut_out   = "{}"
precharge = "{}"          # {} below cut-in, measured with the tank empty

)",
               w.length(d.drop_m), w.pipe(wide ? 1.590 : 1.029), w.length(d.yard_m),
               w.pipe(wide ? 1.590 : 1.360), w.tank(d.tank.each_m3), tank_note, d.tank.count,
               w.pressure(a.cut_in_kpa), w.pressure(a.cut_out_kpa), w.pressure(d.site.precharge_kpa),
               a.metric ? "0.2 bar" : "2 psi");
}

std::string demand_part(StarterAnswers const& a, sim::StarterDesign const& d) {
    Written const w{a.metric};
    return fmt::format(
        R"([demand]
daily    = "{}"      # {:g} people at {}, indoors; a garden or animals are in addition
tap_flow = "{}"

[[load]]
name  = "pressure switch, controls and treatment"
power = "15 W"

[[load]]
name  = "modem and radio link"
power = "12 W"

[[load]]
name  = "refrigerator"
power = "130 W"
duty  = 0.35

)",
        w.per_day(d.site.daily_m3), a.persons, a.metric ? "about 285 L" : "75 gal", w.flow(3));
}

std::string battery_cable(StarterAnswers const& a, sim::StarterSizes const& s) {
    if (a.metric)
        return fmt::format(
            "dc_cable_size   = \"{:g} mm2\"   # look up its ampacity and give it as dc_cable_ampacity\n"
            "dc_cable_length = \"1.5 m\"\n",
            sim::starter_battery_cable_mm2(s.inverter_kw));
    std::string const one = "dc_cable_size   = \"4/0\"\ndc_cable_length = \"5 ft\"\n";
    int const count = sim::starter_battery_cables_awg(s.inverter_kw);
    if (count == 1) return one;
    auto const& c = models::copper("4/0");
    return one + fmt::format(
                     "dc_cable_resistance = \"{:.6f} ohm\"   # {} of 4/0 in parallel: one is too thin here\n"
                     "dc_cable_ampacity   = \"{:.0f} A\"\n",
                     2 * 5 * models::m_per_ft * models::ohm_per_m(c) / count, count, count * c.amp_75c);
}

std::string generator_wiring(StarterAnswers const& a) {
    if (a.backup != Backup::generator) return "";
    bool const us = a.hz == 60;
    return fmt::format(R"(charger_folds_back = true
#generator_frequency = ["{} Hz", "{} Hz"]   # at no load and at full load, read with a meter
#accepted_frequency  = ["{} Hz", "{} Hz"]       # the charger's input window, as set
)",
                       us ? "61.5" : "51.5", us ? "59.5" : "49.5", us ? 57 : 47, us ? 63 : 53);
}

std::string cable_entry(std::string_view name, std::string const& length, std::string const& size,
                        bool metric) {
    return fmt::format(
        "[[cable]]\nname   = \"{}\"\nlength = \"{}\"\nsize   = \"{}\"\n{}\n", name, length, size,
        metric ? "#ampacity = \"20 A\"   # look it up for this section, insulation and way of laying\n"
                 "#ampacity_source = \"national table\"  # which table and row\n"
               : "");
}

std::string wiring_part(StarterAnswers const& a, sim::StarterDesign const& d) {
    Written const w{a.metric};
    double const all_m = d.yard_m + d.drop_m;
    std::string const size = a.metric ? fmt::format("{:g} mm2", sim::starter_cable_mm2(a.motor, all_m))
                                      : std::string(sim::starter_cable_awg(a.motor, all_m));
    return fmt::format(
               R"(# For `holdwater check` only: what lies in the ground and hangs in the well. Assumed throughout.
[wiring]
breaker         = "{:.0f} A"
{}{}dc_fuse         = "{:.0f} A"
{}
)",
               d.breaker_a,
               a.hz == 50 ? "#breaker_curve   = \"C\"      # B, C or D, printed on the breaker\n"
                            "#motor_protection = \"6 A\"   # as the overload relay is set\n"
                          : "",
               battery_cable(a, d.sizes), d.battery_fuse_a, generator_wiring(a)) +
           cable_entry("yard cable", w.length(d.yard_m), size, a.metric) +
           cable_entry("drop cable", w.length(d.drop_m), size, a.metric) +
           (a.heated ? "[check]\nbattery_temperature = \"15 degC\"   # assumed: the coldest the heated room "
                       "gets\n\n"
                     : "[check]\n#battery_temperature = \"-5 degC\"   # the coldest the battery gets: "
                       "measure it\n\n");
}

std::string provenance_part(StarterAnswers const& a) {
    auto const& m = a.motor;
    return fmt::format(
        R"(# Where the figures come from. A verdict that their range could change is UNKNOWN until someone reads the nameplate.
[provenance]
"motor.full_load"                 = "table"
"motor.running_power_factor"      = "table"
"motor.locked_rotor"              = "assumed"
"motor.locked_rotor_power_factor" = "assumed"
"motor.start_seconds"             = "assumed"
"inverter.surge_power"            = "assumed"
"well.static_level"               = "assumed"
"tank.precharge"                  = "assumed"

[assumed_range]
"motor.locked_rotor"              = ["{:.1f} A", "{:.1f} A"]   # the typical figure and 25 % either way
"motor.locked_rotor_power_factor" = [0.4, 0.8]
)",
        0.75 * m.locked_rotor_a, 1.25 * m.locked_rotor_a);
}

std::string running_costs(StarterAnswers const& a) {
    if (a.backup == Backup::grid) return "#grid_per_kwh        = 0.15\n";
    if (a.backup == Backup::generator)
        return "#fuel_per_liter      = 0.9\n#generator_maintenance_per_hour = 1.0\n";
    return "";
}

std::string template_part(StarterAnswers const& a, sim::StarterDesign const& d) {
    auto const& s = d.sizes;
    return fmt::format(
        R"(
# Templates: take the # away from the lines you want. Every figure in them is invented; put your own.

# What it costs. With it `holdwater compare` and `holdwater size` compare money too.
#[prices]
#currency            = "{7}"
#purchase            = 15000   # installed; for `holdwater size` without what the lists below price
#years               = 20
#discount_rate       = 0.04
#maintenance_per_year = 100
#battery_replacement = 4000
#battery_life_years  = 12
{0}
# Other designs to set beside this one, with `holdwater compare`. Leave the prices out where there is no [prices].
#[[option]]
#name = "larger battery"
#"battery.capacity" = "{1:.2f} kWh"
#"prices.purchase"  = 17000

#[[option]]
#name = "larger array"
#"array.rated_power"      = "{2:.1f} kW"
#"controller.power_limit" = "{3:.1f} kW"
#"prices.purchase"        = 16000

# What the design must do and which sizes there are to choose from, for `holdwater size`.
#[search.require]
#demand_met          = 0.999
#cloudy_days         = "3 days"
#starts_within_limit = true

#[[search.axis]]
#name = "battery"
#"battery.capacity" = ["{4:.2f} kWh", "{1:.2f} kWh"]
#price              = [4000, 6000]

#[[search.axis]]
#name = "array"
#"array.rated_power"      = ["{5:.1f} kW", "{2:.1f} kW"]
#"controller.power_limit" = ["{6:.1f} kW", "{3:.1f} kW"]
#price                    = [3000, 4000]
)",
        running_costs(a), d.larger_battery_kwh, d.larger_array_kw, 1.1 * d.larger_array_kw, s.battery_kwh,
        s.array_kw, d.controller_kw, a.metric ? "EUR" : "USD");
}

}  // namespace

std::string no_pump_message(StarterAnswers const& a) {
    auto const site = sim::starter_site(a);
    if (sim::choose_starter_pump(site)) return "";
    Written const w{a.metric};
    double const reach_m = sim::starter_reach_m(site);
    std::string const motor = fmt::format("a {} motor does not lift water from {} to {}", a.motor_power,
                                          w.length(a.depth_m), w.pressure(a.cut_out_kpa));
    if (reach_m < 0) return motor + ": take a larger motor or a lower cut-out pressure";
    return fmt::format("{}; it does from {}: take a larger motor, or check the depth", motor,
                       w.length(std::floor(reach_m)));
}

std::string starter_scenario(StarterAnswers const& a) {
    auto const design = sim::starter_design(a);
    if (!design) throw std::invalid_argument("init: " + no_pump_message(a));
    auto const& d = *design;
    std::string const made =
        a.weather_is_made ? "   # made from the latitude alone: put the site's typical-year file here" : "";
    std::string const head = fmt::format(
        R"(# A start, written by `holdwater init`. What was answered is yours; everything else is usual or invented and says
# so. Replace it by nameplates and measurements, the motor's first; scenarios/README.md lists every key.
title     = {}
place     = {}
question  = "Does the tap run all year on this array and battery?"
elevation = "{}"
units     = "{}"      # of the answers; --units of a command comes before it
{}
[weather]
file = {}{}

)",
        toml_string(a.title), toml_string(a.place), Written{a.metric}.length(a.elevation_m),
        a.metric ? "metric" : "us",
        a.hz == 50 ? "rules     = \"IEC\"         # the national wiring rules decide; or \"US\"\n" : "",
        toml_string(a.weather_file), made);
    return head + supply_part(a, d) + backup_part(a, d.sizes) + well_part(a, d) + demand_part(a, d) +
           wiring_part(a, d) + provenance_part(a) + template_part(a, d);
}

}  // namespace holdwater::tools
