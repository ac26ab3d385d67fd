#include "sim/designs/starter_design.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include "models/numeric/trade_units.hpp"

namespace holdwater::sim {
namespace {

using models::MotorWiring;

constexpr double gal_per_person = 75, kpa_per_bar = 100;
constexpr double small_loads_w = 15 + 12 + 0.35 * 130;

// Assumptions about the site, in round figures of either unit system.
double lift_m(bool metric) { return metric ? 5 : 15 * models::m_per_ft; }
double yard_m(bool metric) { return metric ? 30 : 100 * models::m_per_ft; }
double below_water_m(bool metric) { return metric ? 12 : 40 * models::m_per_ft; }
// Precharge below cut-in: 2 psi, or 0.2 bar. Common practice.
double precharge_kpa(StarterAnswers const& a) {
    return std::max(a.cut_in_kpa - (a.metric ? 0.2 * kpa_per_bar : 2 * models::kpa_per_psi), 0.0);
}

StarterTank usual_tank(StarterAnswers const& a, StarterSite const& site, StarterPump const& pump) {
    double const needed_m3 = starter_tank_m3(site, pump);
    double const unit_m3 = a.metric ? 1e-3 : models::m3_per_gal;
    std::array<double, 4> const sizes =
        a.metric ? std::array<double, 4>{80, 150, 300, 500} : std::array<double, 4>{20, 45, 85, 120};
    for (double const size : sizes)
        if (size * unit_m3 >= needed_m3) return {1, size * unit_m3};
    double const largest_m3 = sizes.back() * unit_m3;
    return {static_cast<int>(std::ceil(needed_m3 / largest_m3)), largest_m3};
}

}  // namespace

models::MotorParameters typical_starter_motor(double size, bool in_kw, MotorWiring wiring) {
    struct Size {
        double hp{}, kw{};
    };
    constexpr std::array sizes{Size{0.5, 0.37}, Size{0.75, 0.55}, Size{1, 0.75}, Size{1.5, 1.1},
                               Size{2, 1.5},    Size{3, 2.2},     Size{5, 3.7}};
    auto const found = std::find_if(sizes.begin(), sizes.end(),
                                    [&](Size const& s) { return (in_kw ? s.kw : s.hp) == size; });
    if (found == sizes.end())
        throw std::invalid_argument(
            fmt::format("{:g} is not a usual size; accepted: {}", size,
                        in_kw ? "0.37, 0.55, 0.75, 1.1, 1.5, 2.2, 3.7 kW" : "0.5, 0.75, 1, 1.5, 2, 3, 5 hp"));
    if (wiring == MotorWiring::two_wire && found->hp > 1.5)
        throw std::invalid_argument("a 2-wire motor is 1.5 hp (1.1 kW) or less; a larger one is 3-wire");
    auto motor = models::typical_submersible_motor(found->hp, wiring);
    if (in_kw) motor.rated_power_w = 1e3 * found->kw;
    return motor;
}

StarterSite starter_site(StarterAnswers const& a) {
    StarterSite site;
    site.motor = a.motor;
    site.static_level_m = a.depth_m;
    site.lift_to_tank_m = lift_m(a.metric);
    site.cut_in_kpa = a.cut_in_kpa;
    site.cut_out_kpa = a.cut_out_kpa;
    site.precharge_kpa = precharge_kpa(a);
    site.daily_m3 = gal_per_person * a.persons * models::m3_per_gal;
    site.small_loads_w = small_loads_w;
    site.latitude_deg = a.latitude_deg;
    site.backup = a.backup;
    site.generator_w = a.generator_w;
    return site;
}

std::optional<StarterDesign> starter_design(StarterAnswers const& a) {
    StarterDesign d{};
    d.site = starter_site(a);
    auto const pump = choose_starter_pump(d.site);
    if (!pump) return std::nullopt;
    d.pump = *pump;
    d.tank = a.tank ? *a.tank : usual_tank(a, d.site, d.pump);
    d.sizes = size_starter(d.site, d.pump);
    d.tilt_deg = std::min(std::abs(a.latitude_deg) + 10, 65.0);
    d.controller_kw = 1.1 * d.sizes.array_kw;
    d.yard_m = yard_m(a.metric);
    d.drop_m = a.depth_m + below_water_m(a.metric);
    d.breaker_a = starter_breaker_a(a.motor, a.metric);
    d.battery_fuse_a = std::max(50 * std::ceil(starter_battery_amps(d.sizes.inverter_kw) / 50 - 1e-9), 200.0);
    d.larger_array_kw = d.sizes.array_kw + 0.8;
    d.larger_battery_kwh = d.sizes.battery_kwh + 5.12;
    return d;
}

double starter_generator_kw(StarterAnswers const& a) {
    auto site = starter_site(a);
    site.generator_w.reset();
    auto const pump = choose_starter_pump(site);
    return pump ? size_starter(site, *pump).generator_kw : 0;
}

weather::MakeOptions starter_weather(StarterAnswers const& a, double longitude_deg) {
    weather::MakeOptions made;
    made.site.latitude_deg = a.latitude_deg;
    made.site.longitude_deg = longitude_deg;
    made.site.elevation_m = a.elevation_m;
    made.site.utc_offset_h = std::round(longitude_deg / 15);
    double const latitude = std::abs(a.latitude_deg);
    for (std::size_t month = 0; month < 12; ++month) {
        // 1 in July, -1 in January; reversed south of the equator.
        double const season =
            (a.latitude_deg < 0 ? 1 : -1) * std::cos(2 * std::numbers::pi * static_cast<double>(month) / 12);
        made.clearness[month] = 0.5 + 0.08 * season;
        made.temperature_c[month] =
            28 - 0.45 * latitude - 0.0065 * std::max(a.elevation_m, 0.0) + 0.25 * latitude * season;
    }
    return made;
}

}  // namespace holdwater::sim
