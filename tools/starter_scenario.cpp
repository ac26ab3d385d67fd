#include "tools/starter_scenario.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <string_view>

#include "models/conductor.hpp"
#include "models/motor.hpp"
#include "models/trade_units.hpp"

namespace holdwater::tools {
namespace {

using scenarios::Backup;

constexpr double gal_per_person = 75;
constexpr double lift_ft = 15, cut_out_ft = 60 * 2.31, yard_ft = 100, below_water_ft = 40;

// One stage of each of the three invented pumps, as in the parts lists.
struct Stage {
    double gpm, shut_off_ft, most_hp;
    std::string_view flow, head, shaft_power;
};
constexpr std::array stages{
    Stage{
        20, 29, 0.1848,
        R"(["0 gpm", "4 gpm", "8 gpm", "12 gpm", "16 gpm", "20 gpm", "24 gpm", "28 gpm", "32 gpm"])",
        R"(["29 ft", "28.6 ft", "27.9 ft", "26.7 ft", "24.9 ft", "22.3 ft", "18.6 ft", "13.6 ft", "7 ft"])",
        R"(["0.0946 hp", "0.1111 hp", "0.1287 hp", "0.1463 hp", "0.1639 hp", "0.1782 hp", "0.1848 hp", "0.1804 hp", "0.1628 hp"])"},
    Stage{
        10, 27, 0.0896,
        R"(["0 gpm", "2 gpm", "4 gpm", "6 gpm", "8 gpm", "10 gpm", "12 gpm", "14 gpm", "16 gpm"])",
        R"(["27 ft", "26.6 ft", "25.9 ft", "24.8 ft", "23.1 ft", "20.6 ft", "17 ft", "12 ft", "5.5 ft"])",
        R"(["0.0520 hp", "0.0611 hp", "0.0671 hp", "0.0737 hp", "0.0812 hp", "0.0867 hp", "0.0896 hp", "0.0884 hp", "0.0794 hp"])"},
    Stage{
        5, 24, 0.0470, R"(["0 gpm", "1 gpm", "2 gpm", "3 gpm", "4 gpm", "5 gpm", "6 gpm", "7 gpm", "8 gpm"])",
        R"(["24 ft", "23.8 ft", "23.2 ft", "22.2 ft", "20.7 ft", "18.6 ft", "15.7 ft", "12 ft", "7 ft"])",
        R"(["0.0330 hp", "0.0360 hp", "0.0390 hp", "0.0415 hp", "0.0440 hp", "0.0460 hp", "0.0470 hp", "0.0465 hp", "0.0440 hp"])"}};

struct Pump {
    Stage stage;
    int count;
};

Pump choose_pump(StarterAnswers const& a, models::MotorParameters const& motor) {
    double const needed_ft = 1.18 * (a.depth_m / models::m_per_ft + lift_ft + cut_out_ft);
    double const most_hp = a.pump_hp * motor.service_factor;
    for (auto const& stage : stages) {
        int const needed = static_cast<int>(std::ceil(needed_ft / stage.shut_off_ft));
        int const most = static_cast<int>(most_hp / stage.most_hp);
        // Fewer would leave the motor nearly idle; its loss line holds from half its power on.
        if (needed <= most) return {stage, std::max(needed, static_cast<int>(0.7 * most))};
    }
    auto const& last = stages.back();
    double const reach_ft =
        std::floor(most_hp / last.most_hp) * last.shut_off_ft / 1.18 - lift_ft - cut_out_ft;
    throw std::invalid_argument(fmt::format(
        "init: a pump of {:g} hp does not lift water from {:.0f} ft ({:.0f} m) to 60 psi; it does from "
        "{:.0f} ft: give --pump-hp a larger motor, or check --depth (to the resting water)",
        a.pump_hp, a.depth_m / models::m_per_ft, a.depth_m, std::max(reach_ft, 0.0)));
}

// What the answers ask of the supply.
struct Sizes {
    double daily_gal, pump_w, daily_kwh, array_kw, bank_kwh, inverter_kw, idle_w, charger_kw, generator_kw;
};

double up_to(double value, double step) { return step * std::ceil(value / step - 1e-9); }

Sizes size_supply(StarterAnswers const& a, Pump const& pump, models::MotorParameters const& motor) {
    Sizes s{};
    s.daily_gal = gal_per_person * a.persons;
    s.pump_w = models::electrical_input_w(motor, pump.count * pump.stage.most_hp * models::w_per_hp);
    double const start_kva = models::locked_rotor_kva(motor);
    s.inverter_kw = 18;
    for (double const kw : {12.0, 8.0, 6.0, 4.0})
        if (2 * kw >= 1.2 * start_kva && kw >= 1.6e-3 * s.pump_w) s.inverter_kw = kw;
    s.idle_w = 7.5 * s.inverter_kw;
    double const loads_kwh = 24e-3 * (15 + 12 + 0.35 * 130 + s.idle_w);
    s.daily_kwh = s.pump_w * 1e-3 * s.daily_gal / pump.stage.gpm / 60 + loads_kwh;
    double const sun_h = std::clamp(5.5 - 0.07 * std::abs(a.latitude_deg), 1.5, 5.0);
    bool const alone = a.backup == Backup::none;
    s.array_kw = up_to((alone ? 1.7 : 1.2) * s.daily_kwh / (0.7 * sun_h), 0.4);
    s.bank_kwh = up_to(std::max((alone ? 3.0 : 1.5) * s.daily_kwh / 0.9, 2e-3 * s.pump_w), 5.12);
    s.charger_kw = std::min(0.3 * s.inverter_kw, 0.5 * s.bank_kwh);
    s.generator_kw = std::ceil(models::minimum_generator(motor).external_kw + s.charger_kw);
    return s;
}

// A basic string of TOML; the text is one line.
std::string toml_text(std::string const& text) {
    std::string out = "\"";
    for (char const c : text) out += (c == '"' || c == '\\' ? "\\" : "") + std::string(1, c);
    return out + "\"";
}

// The thinnest that loses at most 4 % at the service-factor load; 5 % is the limit for submersible cable.
std::string_view cable_size(double length_m, models::MotorParameters const& m) {
    double const amps = models::running_current_a(m, m.rated_power_w * m.service_factor);
    for (std::string_view const size : {"12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0"})
        if (models::copper(size).amp_60c >= 1.25 * amps &&
            2 * length_m * models::ohm_per_m(models::copper(size)) * amps <= 0.04 * m.volts)
            return size;
    return "4/0";
}

std::string supply_part(StarterAnswers const& a, Sizes const& s) {
    std::string const towards = a.latitude_deg < 0 ? "0 deg" : "180 deg";
    return fmt::format(
        R"([array]
rated_power = "{:.1f} kW"        # reckoned by hand for the winter; try other sizes with `holdwater sweep`
tilt        = "{:.0f} deg"         # latitude and 10: winter decides
azimuth     = {:<14}  # towards the equator
dc_loss     = 0.06
soiling     = 0.03

[controller]
power_limit = "{:.1f} kW"

[bank]
chemistry       = "lithium-iron-phosphate"
capacity        = "{:.2f} kWh"
nominal_voltage = "51.2 V"
voltage_model   = true
usable_fraction = 0.9
start_level     = 0.9

[inverter]
rated_power = "{:.0f} kW"          # chosen for the motor's start
efficiency_at_10_50_100_percent = [0.90, 0.955, 0.94]
surge_power = ["{:.0f} kW", "{:.1f} kW"]   # of its data sheet, in volt-amperes, for so long
surge_times = ["5 s", "30 s"]
low_voltage_cutout = "44 V"
idle        = "{:.0f} W"

)",
        s.array_kw, std::min(std::abs(a.latitude_deg) + 10, 65.0), "\"" + towards + "\"", 1.1 * s.array_kw,
        s.bank_kwh, s.inverter_kw, 2 * s.inverter_kw, 1.5 * s.inverter_kw, s.idle_w);
}

std::string backup_part(StarterAnswers const& a, Sizes const& s) {
    if (a.backup == Backup::none)
        return "[backup]\nkind = \"none\"             # or \"grid\", or \"generator\"\n\n";
    bool const grid = a.backup == Backup::grid;
    std::string out = fmt::format(
        R"([charger]
power_limit = "{:.1f} kW"
efficiency  = 0.93

[backup]
kind           = "{}"
transfer_below = 0.25         # a night's use stays in hand below this
return_above   = 0.80
charge_to      = 0.80

)",
        s.charger_kw, grid ? "grid" : "generator");
    if (grid)
        return out + R"([outage_draw]                 # how often the grid fails: ask the neighbours
per_year    = 6
mean_length = "4 h"

)";
    return out + fmt::format(R"([generator]
rated_power       = "{:.0f} kW"    # starts the motor while it charges; propane, air-cooled
fuel_at_half_load = "{:.1f} L/h"
fuel_at_full_load = "{:.1f} L/h"

)",
                             s.generator_kw, 0.41 * s.generator_kw, 0.69 * s.generator_kw);
}

std::string well_part(StarterAnswers const& a, Pump const& pump, models::MotorParameters const& m) {
    double const drop_ft = a.depth_m / models::m_per_ft + below_water_ft;
    bool const wide = pump.stage.gpm > 10;
    // The usual amps of the larger motors are their watts at a power factor of one: no figure to start from.
    std::string const full_load =
        models::electrical_input_w(m, m.rated_power_w) > 0.97 * m.volts * m.full_load_a
            ? ""
            : fmt::format("full_load            = \"{:g} A\"\n", m.full_load_a);
    return fmt::format(
        R"([well]
static_level      = "{:.0f} ft"   # to the resting water; deeper at the end of a dry summer
specific_capacity = "1.0 gpm/ft"  # assumed: the driller's test has it
lift_to_tank      = "{:.0f} ft"       # assumed

[pump]                        # {} stages of an invented {:.0f} gpm submersible; put the real pump's curve here
stages      = {}
flow        = {}
head        = {}
shaft_power = {}

[motor]                       # {:g} hp, 230 V, three-wire: typical of published submersible-motor tables, from
                              # memory; the nameplate goes here
rated_power          = "{:g} hp"
service_factor       = {:g}
rated_input          = "{:.0f} W"
service_factor_input = "{:.0f} W"
volts                = "230 V"
wiring               = "three-wire"
{}locked_rotor         = "{:g} A"
running_power_factor = {:.2f}

[[pipe]]
name            = "drop pipe"
length          = "{:.0f} ft"
inside_diameter = "{}"
fittings_k      = 2.5         # check valve

[[pipe]]
name            = "yard pipe" # assumed
length          = "{:.0f} ft"
inside_diameter = "{}"
fittings_k      = 7.7

[tank]
volume    = "{}"
count     = {}
cut_in    = "40 psi"
cut_out   = "60 psi"
precharge = "38 psi"          # 2 psi below cut-in, measured with the tank empty

)",
        a.depth_m / models::m_per_ft, lift_ft, pump.count, pump.stage.gpm, pump.count, pump.stage.flow,
        pump.stage.head, pump.stage.shaft_power, a.pump_hp, a.pump_hp, m.service_factor,
        models::electrical_input_w(m, m.rated_power_w),
        models::electrical_input_w(m, m.rated_power_w * m.service_factor), full_load, m.locked_rotor_a,
        m.running_power_factor, drop_ft, wide ? "1.590 in" : "1.029 in", yard_ft,
        wide ? "1.590 in" : "1.360 in",
        pump.stage.gpm < 10 ? "45 gal"
        : wide              ? "120 gal"
                            : "85 gal",
        wide ? 2 : 1);
}

std::string rest_part(StarterAnswers const& a, Sizes const& s, models::MotorParameters const& m) {
    std::string_view const dc_cable =
        s.inverter_kw <= 6
            ? "dc_cable_size   = \"4/0\"\ndc_cable_length = \"5 ft\"\n"
            : "dc_cable_resistance = \"0.0003 ohm\"   # two of 4/0 in parallel, 5 ft: one is too thin here\n";
    std::string out = fmt::format(
        R"([demand]
daily    = "{:.0f} gal/day"      # {:g} persons at 75 gal, indoors; a garden or animals come on top
tap_flow = "3 gpm"

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

# For `holdwater preflight` only: what lies in the ground and hangs in the well. Assumed throughout.
[wiring]
breaker         = "{}"
{}dc_fuse         = "{:.0f} A"
)",
        s.daily_gal, a.persons,
        a.pump_hp < 0.75   ? "15 A"
        : a.pump_hp <= 1.5 ? "20 A"
        : a.pump_hp <= 2   ? "25 A"
        : a.pump_hp <= 3   ? "30 A"
                           : "50 A",
        dc_cable, std::max(up_to(1.25e3 * s.inverter_kw / 0.93 / 44, 50), 200.0));
    if (a.backup == Backup::generator) out += "charger_folds_back = true\n";
    double const drop_ft = a.depth_m / models::m_per_ft + below_water_ft;
    std::string_view const size = cable_size((yard_ft + drop_ft) * models::m_per_ft, m);
    out += fmt::format(R"(
[[cable]]
name   = "yard cable"
length = "{:.0f} ft"
size   = "{}"

[[cable]]
name   = "drop cable"
length = "{:.0f} ft"
size   = "{}"

# Where the figures come from. A verdict that their range could turn is UNKNOWN until somebody reads the nameplate.
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
"motor.locked_rotor"              = ["{:.1f} A", "{:.1f} A"]   # the usual figure and 25 % either way
"motor.locked_rotor_power_factor" = [0.4, 0.8]
)",
                       yard_ft, size, drop_ft, size, 0.75 * m.locked_rotor_a, 1.25 * m.locked_rotor_a);
    return out;
}

}  // namespace

std::string starter_scenario(StarterAnswers const& a) {
    auto const motor = models::typical_submersible_motor(a.pump_hp, models::MotorWiring::three_wire);
    auto const pump = choose_pump(a, motor);
    auto const sizes = size_supply(a, pump, motor);
    std::string const made =
        a.weather_is_made ? "   # made from the latitude alone: put the site's typical-year file here" : "";
    std::string const head = fmt::format(
        R"(# A start, written by `holdwater init`. What was asked for is yours; everything else is usual or invented and says
# so. Replace it by nameplates and measurements, the motor's first; scenarios/README.md lists every key.
title     = {}
place     = {}
question  = "Does the tap run all year on this array and bank?"
elevation = "{:.0f} m"

[weather]
file = {}{}

)",
        toml_text(a.title), toml_text(a.place), a.elevation_m, toml_text(a.weather_file), made);
    return head + supply_part(a, sizes) + backup_part(a, sizes) + well_part(a, pump, motor) +
           rest_part(a, sizes, motor);
}

weather::MakeOptions starter_weather(StarterAnswers const& a, double longitude_deg) {
    weather::MakeOptions made;
    made.place = fmt::format("Made from latitude {:g}", a.latitude_deg);
    made.site.latitude_deg = a.latitude_deg;
    made.site.longitude_deg = longitude_deg;
    made.site.elevation_m = a.elevation_m;
    made.site.utc_offset_h = std::round(longitude_deg / 15);
    double const latitude = std::abs(a.latitude_deg);
    for (std::size_t month = 0; month < 12; ++month) {
        // 1 in July, -1 in January, turned round south of the equator.
        double const season =
            (a.latitude_deg < 0 ? 1 : -1) * std::cos(2 * std::numbers::pi * static_cast<double>(month) / 12);
        made.clearness[month] = 0.5 + 0.08 * season;
        made.temperature_c[month] =
            28 - 0.45 * latitude - 0.0065 * std::max(a.elevation_m, 0.0) + 0.25 * latitude * season;
    }
    return made;
}

}  // namespace holdwater::tools
