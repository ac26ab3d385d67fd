#include "models/electric/conductor.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <string>

#include "models/numeric/parameter_error.hpp"
#include "models/numeric/read_double.hpp"

namespace holdwater::models {

namespace {

constexpr std::array<Conductor, 13> copper_table{{
    {"14", 3.14, 15, 20, 25},
    {"12", 1.98, 20, 25, 30},
    {"10", 1.24, 30, 35, 40},
    {"8", 0.778, 40, 50, 55},
    {"6", 0.491, 55, 65, 75},
    {"4", 0.308, 70, 85, 95},
    {"3", 0.245, 85, 100, 115},
    {"2", 0.194, 95, 115, 130},
    {"1", 0.154, 110, 130, 145},
    {"1/0", 0.122, 125, 150, 170},
    {"2/0", 0.0967, 145, 175, 195},
    {"3/0", 0.0766, 165, 200, 225},
    {"4/0", 0.0608, 195, 230, 260},
}};

constexpr std::array<double, 15> sections_mm2{1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120, 150, 185, 240};

std::string_view without_blanks(std::string_view text) {
    auto const first = text.find_first_not_of(" \t");
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

bool take_prefix(std::string_view& text, std::string_view prefix) {
    if (!text.starts_with(prefix)) return false;
    text = without_blanks(text.substr(prefix.size()));
    return true;
}

bool take_suffix(std::string_view& text, std::string_view suffix) {
    if (!text.ends_with(suffix)) return false;
    text = without_blanks(text.substr(0, text.size() - suffix.size()));
    return true;
}

// Columns: ambient up to 10, 15, 20, ... 85 deg C.
constexpr std::array<std::array<double, 16>, 3> ambient_table{{
    {1.29, 1.22, 1.15, 1.08, 1.00, 0.91, 0.82, 0.71, 0.58, 0.41, 0, 0, 0, 0, 0, 0},
    {1.20, 1.15, 1.11, 1.05, 1.00, 0.94, 0.88, 0.82, 0.75, 0.67, 0.58, 0.47, 0.33, 0, 0, 0},
    {1.15, 1.12, 1.08, 1.04, 1.00, 0.96, 0.91, 0.87, 0.82, 0.76, 0.71, 0.65, 0.58, 0.50, 0.41, 0.29},
}};

constexpr std::array<double, 37> overcurrent_table{
    15,  20,  25,  30,  35,  40,  45,  50,  60,  70,   80,   90,   100,  110,  125,  150,  175,  200, 225,
    250, 300, 350, 400, 450, 500, 600, 700, 800, 1000, 1200, 1600, 2000, 2500, 3000, 4000, 5000, 6000};

}  // namespace

std::span<Conductor const> copper_conductors() { return copper_table; }

Conductor const& copper(std::string_view size) {
    auto const found = std::find_if(copper_table.begin(), copper_table.end(),
                                    [size](Conductor const& c) { return c.size == size; });
    if (found == copper_table.end())
        throw ParameterError("conductor size '" + std::string(size) + "'", 0,
                             "is not one of 14 12 10 8 6 4 3 2 1 1/0 2/0 3/0 4/0 (AWG), nor a cross section "
                             "such as 2.5 mm2");
    return *found;
}

std::string conductor_size(std::string_view text) {
    std::string_view body = without_blanks(text);
    if (take_suffix(body, "mm2") || take_suffix(body, "mm\u00b2")) {
        double area_mm2 = 0;
        auto const [end, failure] = read_double(body.data(), body.data() + body.size(), area_mm2);
        bool const read = failure == std::errc{} && end == body.data() + body.size();
        if (!read || !(area_mm2 >= 0.5 && area_mm2 <= 1000))
            throw ParameterError("conductor size '" + std::string(text) + "'", area_mm2,
                                 "is not a cross section of 0.5 to 1000 mm2 such as 2.5 mm2");
        return fmt::format("{} mm2", area_mm2);
    }
    if (!take_suffix(body, "AWG") && !take_prefix(body, "AWG")) (void)take_prefix(body, "#");
    return std::string(copper(body).size);
}

double section_mm2(std::string_view size) {
    double area_mm2 = 0;
    if (size.ends_with(" mm2")) (void)read_double(size.data(), size.data() + size.size(), area_mm2);
    return area_mm2;
}

double computed_ohm_per_m(double area_mm2, double temperature_c) {
    require(area_mm2 > 0 && std::isfinite(area_mm2), "area_mm2", area_mm2, "must be above 0");
    constexpr double ohm_mm2_per_m_20c = 1.7241e-2, per_k = 0.00393, lay = 1.02;
    return ohm_mm2_per_m_20c * (1 + per_k * (temperature_c - 20)) * lay / area_mm2;
}

double size_ohm_per_m(std::string_view size) {
    double const area_mm2 = section_mm2(size);
    return area_mm2 > 0 ? computed_ohm_per_m(area_mm2, 75) : ohm_per_m(copper(size));
}

std::span<double const> common_sections_mm2() { return sections_mm2; }

double smallest_section_mm2(double least_mm2, double length_m, double current_a, double volts,
                            double drop_fraction) {
    for (double const area_mm2 : sections_mm2)
        if (area_mm2 >= least_mm2 &&
            voltage_drop_v({length_m, computed_ohm_per_m(area_mm2, 75)}, current_a) <= drop_fraction * volts)
            return area_mm2;
    throw ParameterError(
        "length_m", length_m,
        "needs more copper than 240 mm2: raise the voltage, allow more drop or move the source");
}

void validate(CableRun const& r) {
    require(r.length_m >= 0 && std::isfinite(r.length_m), "length_m", r.length_m, "must be >= 0, one way");
    require(r.ohm_per_m >= 0 && r.ohm_per_m < 1, "ohm_per_m", r.ohm_per_m, "must be at least 0 and below 1");
    require(r.reactance_ohm_per_m >= 0 && r.reactance_ohm_per_m < 1, "reactance_ohm_per_m",
            r.reactance_ohm_per_m, "must be at least 0 and below 1");
}

double voltage_drop_v(CableRun const& r, double current_a, double power_factor) {
    double const sine = std::sqrt(1 - power_factor * power_factor);
    return current_a * (loop_ohm(r) * power_factor + loop_reactance_ohm(r) * sine);
}

double longest_run_m(double drop_fraction, double volts, double current_a, double ohm_per_m) {
    return drop_fraction * volts / (2 * current_a * ohm_per_m);
}

double ampacity_a(Conductor const& c, Insulation insulation) {
    switch (insulation) {
        case Insulation::c60:
            return c.amp_60c;
        case Insulation::c75:
            return c.amp_75c;
        case Insulation::c90:
            return c.amp_90c;
    }
    return 0;
}

double ambient_factor(Insulation insulation, double ambient_c) {
    auto const& row = ambient_table[static_cast<std::size_t>(insulation)];
    double const column = std::max(0.0, std::ceil((ambient_c - 10) / 5));
    return column < static_cast<double>(row.size()) ? row[static_cast<std::size_t>(column)] : 0;
}

double bundling_factor(int n) {
    require(n >= 1, "current_carrying", n, "must be at least 1");
    if (n <= 3) return 1;
    if (n <= 6) return 0.80;
    if (n <= 9) return 0.70;
    if (n <= 20) return 0.50;
    if (n <= 30) return 0.45;
    return n <= 40 ? 0.40 : 0.35;
}

double corrected_ampacity_a(Conductor const& c, Insulation insulation, Insulation terminals, double ambient_c,
                            int current_carrying) {
    double const corrected =
        ampacity_a(c, insulation) * ambient_factor(insulation, ambient_c) * bundling_factor(current_carrying);
    return std::min(corrected, ampacity_a(c, terminals));
}

double next_overcurrent_a(double current_a) {
    auto const found = std::lower_bound(overcurrent_table.begin(), overcurrent_table.end(), current_a);
    require(found != overcurrent_table.end(), "overcurrent current_a", current_a,
            "is above the largest standard device");
    return *found;
}

Conductor const& smallest_copper(double needed_ampacity_a, double length_m, double current_a, double volts,
                                 double drop_fraction) {
    for (auto const& c : copper_table)
        if (c.amp_60c >= needed_ampacity_a &&
            voltage_drop_v({length_m, ohm_per_m(c)}, current_a) <= drop_fraction * volts)
            return c;
    throw ParameterError("length_m", length_m,
                         "needs more copper than 4/0: raise the voltage, allow more drop or move the source");
}

}  // namespace holdwater::models
