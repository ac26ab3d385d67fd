#include "models/array/string_sizing.hpp"

#include <doctest/doctest.h>

#include "models/array/single_diode.hpp"
#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater::models;
using holdwater::test::Near;

namespace {

/// Invented module, design values only.
StringModule const module{.voc_v = 49.5,
                          .vmp_v = 41.5,
                          .isc_a = 11.2,
                          .voc_coefficient_per_k = -0.0027,
                          .vmp_coefficient_per_k = -0.0034};

}  // namespace

TEST_SUITE_BEGIN("models/string_sizing");

TEST_CASE("cold factors by ambient temperature") {
    // NEC 690.7(A) table for crystalline silicon, 2017-2023 editions; compared with a public reproduction,
    // not with the code's own text.
    struct Row {
        int warm_c, cold_c;
        double factor;
    };
    Row const rows[] = {
        {24, 20, 1.02},   {19, 15, 1.04},   {14, 10, 1.06},   {9, 5, 1.08},     {4, 0, 1.10},
        {-1, -5, 1.12},   {-6, -10, 1.14},  {-11, -15, 1.16}, {-16, -20, 1.18}, {-21, -25, 1.20},
        {-26, -30, 1.21}, {-31, -35, 1.23}, {-36, -40, 1.25},
    };
    for (auto const& r : rows) {
        CAPTURE(r.warm_c);
        for (int c = r.cold_c; c <= r.warm_c; ++c) CHECK(cold_voltage_factor(c) == r.factor);
    }
    // Rounded down between whole degrees: -5.5 C counts as -6.
    CHECK(cold_voltage_factor(-5.5) == 1.14);
    CHECK(cold_voltage_factor(-0.5) == 1.12);
    CHECK(cold_voltage_factor(24.5) == 1.02);
    CHECK(cold_voltage_factor(25) == 1.0);
    CHECK_THROWS_AS(cold_voltage_factor(-40.1), ParameterError);
}

TEST_CASE("cold and hot voltage of one module") {
    // Recomputed, 1e-6 relative.
    CHECK(cold_open_circuit_v(module, -25) == Near{56.1825, 0, 1e-6});
    CHECK(cold_open_circuit_v(module, -10) == Near{54.17775, 0, 1e-6});
    CHECK(module.voc_v * cold_voltage_factor(-25) == Near{59.4, 0, 1e-6});
    CHECK(module.voc_v * cold_voltage_factor(-10) == Near{56.43, 0, 1e-6});
    CHECK(hot_mpp_v(module, 70) == Near{35.1505, 0, 1e-6});
    CHECK(3 * hot_mpp_v(module, 70) == Near{105.4515, 0, 1e-6});
}

TEST_CASE("string lengths") {
    // Recomputed: n_max = floor(limit/cold), coefficient and table; the two differ by a module at -10 C and
    // 600 V.
    struct Row {
        double ambient_c, limit_v;
        int by_coefficient, by_table;
    };
    Row const rows[] = {
        {-25, 250, 4, 4}, {-25, 600, 10, 10}, {-25, 150, 2, 2}, {-10, 250, 4, 4}, {-10, 600, 11, 10}};
    for (auto const& r : rows) {
        CAPTURE(r.ambient_c);
        CAPTURE(r.limit_v);
        StringSite s{.ambient_min_c = r.ambient_c, .voltage_limit_v = r.limit_v};
        CHECK(string_limits(module, s).longest == r.by_coefficient);
        s.method = ColdVoltageMethod::table;
        CHECK(string_limits(module, s).longest == r.by_table);
    }
    // 57.6 V absorption + 2 V needs 59.6 V: two modules at 35.1505 V each.
    StringSite const s{.ambient_min_c = -25};
    CHECK(string_limits(module, s).shortest == 2);
    // A limit below two cold modules: no string fits.
    auto const none = string_limits(module, {.ambient_min_c = -25, .voltage_limit_v = 100});
    CHECK(none.longest < none.shortest);
    // A tracking range that begins above the battery counts instead.
    CHECK(string_limits(module, {.ambient_min_c = -25, .tracking_min_v = 120}).shortest == 4);
}

TEST_CASE("exact multiples are not lost to rounding") {
    CHECK(longest_string(600, 60) == 10);
    CHECK(longest_string(0.3, 0.1) == 3);
    CHECK(shortest_string(60, 20) == 3);
    CHECK(shortest_string(0.3, 0.1) == 3);
    CHECK(longest_string(600, 600.001) == 0);
}

TEST_CASE("currents and devices") {
    // NEC 690.8 factors compared with a public reproduction; currents recomputed; device ratings from memory.
    CHECK(source_circuit_current_a(11.2, 1) == Near{14.0, 0, 1e-6});
    CHECK(source_conductor_current_a(11.2, 1) == Near{17.5, 0, 1e-6});
    CHECK(source_conductor_current_a(11.2, 2) == Near{35.0, 0, 1e-6});
    CHECK(equipment_circuit_current_a(60) == 75);
}

TEST_CASE("voltage limits of a site") {
    // NEC 690.7, compared with a public reproduction.
    CHECK(site_voltage_limit_v(PvSite::dwelling) == 600);
    CHECK(site_voltage_limit_v(PvSite::other_building) == 1000);
    CHECK(site_voltage_limit_v(PvSite::not_on_building) == 1500);
}

TEST_CASE("the straight coefficient stays on the safe side of the diode's cold voltage") {
    // Recomputed: module A has 55.56861 V at -20 C, 1000 W/m2. The coefficient taken at 25 C (a slope that
    // flattens in the cold) gives more, never less.
    SingleDiodeParameters const a;
    auto const voc_v = [&](double c) { return open_circuit_voltage_v(translate(a, 1000, c)); };
    StringModule m = module;
    m.voc_v = voc_v(25);
    m.voc_coefficient_per_k = (voc_v(26) - voc_v(24)) / 2 / m.voc_v;
    for (double c = 20; c >= -40; c -= 5) CHECK(cold_open_circuit_v(m, c) >= voc_v(c) - 1e-9);
    CHECK(cold_open_circuit_v(m, -20) == Near{55.56861, 0, 0.01});
}

TEST_CASE("a parameter that cannot be is named") {
    auto m = module;
    m.voc_coefficient_per_k = -0.27;
    CHECK_THROWS_AS(string_limits(m, {}), ParameterError);
    m = module;
    m.vmp_v = 50;
    CHECK_THROWS_AS(string_limits(m, {}), ParameterError);
    CHECK_THROWS_AS(string_limits(module, {.cell_hot_c = 200}), ParameterError);
}

TEST_SUITE_END();
