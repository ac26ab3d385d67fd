#include "models/electric/conductor.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

TEST_SUITE_BEGIN("models/conductor");

// The same table's ohm/km, printed to 1e-3 (4/0 to 1e-4), against ohm/kft x 3.28084. Provenance of the
// resistances as in the header: 14 to 8 from memory.
TEST_CASE("resistances per foot and per meter are the same wire") {
    struct Row {
        std::string size;
        double ohm_per_km, digit;
    };
    for (auto const& row : std::vector<Row>{{"14", 10.302, 5e-4},
                                            {"12", 6.496, 5e-4},
                                            {"10", 4.068, 5e-4},
                                            {"8", 2.552, 5e-4},
                                            {"6", 1.611, 5e-4},
                                            {"4", 1.010, 5e-4},
                                            {"3", 0.804, 5e-4},
                                            {"2", 0.636, 5e-4},
                                            {"1", 0.505, 5e-4},
                                            {"1/0", 0.400, 5e-4},
                                            {"2/0", 0.317, 5e-4},
                                            {"3/0", 0.251, 5e-4},
                                            {"4/0", 0.1995, 5e-5}}) {
        CAPTURE(row.size);
        CHECK(1000 * ohm_per_m(copper(row.size)) == Near{row.ohm_per_km, row.digit, 0});
    }
}

TEST_CASE("thicker copper resists less and carries more") {
    auto const table = copper_conductors();
    CHECK(table.size() == 13);
    for (std::size_t i = 1; i < table.size(); ++i) {
        CHECK(table[i].ohm_per_kft < table[i - 1].ohm_per_kft);
        CHECK(table[i].amp_60c > table[i - 1].amp_60c);
        CHECK(table[i].amp_75c > table[i].amp_60c);
        CHECK(table[i].amp_90c > table[i].amp_75c);
    }
}

// Physics outside the tables: a stranded conductor of A square meters of copper has rho / A, three sizes of
// AWG halve the section. Section of n AWG: pi/4 (0.127 mm 92^((36-n)/39))^2; resistivity of annealed copper
// at 20 deg C 1.7241e-8 ohm m (IEC 60028), coefficient 0.00393 /K; stranding adds about 2 %. All from memory.
TEST_CASE("the resistances are those of copper") {
    struct Row {
        std::string size;
        double gauge;
    };
    for (auto const& [size, gauge] : std::vector<Row>{{"14", 14},
                                                      {"12", 12},
                                                      {"10", 10},
                                                      {"8", 8},
                                                      {"6", 6},
                                                      {"4", 4},
                                                      {"3", 3},
                                                      {"2", 2},
                                                      {"1", 1},
                                                      {"1/0", 0},
                                                      {"2/0", -1},
                                                      {"3/0", -2},
                                                      {"4/0", -3}}) {
        CAPTURE(size);
        double const diameter_m = 0.127e-3 * std::pow(92, (36 - gauge) / 39);
        double const area_m2 = 3.14159265358979 / 4 * diameter_m * diameter_m;
        double const at_75 = 1.7241e-8 * (1 + 0.00393 * 55) / area_m2 * 1.02;
        CHECK(ohm_per_m(copper(size)) == Near{at_75, 0, 0.01});
    }
}

// By hand: 0.017241 ohm mm2/m x 1.02 / 2.5 mm2 = 7.034328e-3 ohm/m at 20 deg C; at 75 deg C x (1 + 0.00393 x
// 55) = x 1.21615 = 8.554798e-3. The resistivity, its coefficient and the lay of 2 % are from memory.
TEST_CASE("a metric section's resistance is computed from resistivity, area and temperature") {
    CHECK(computed_ohm_per_m(2.5, 20) == Near{7.034328e-3, 5e-10, 0});
    CHECK(computed_ohm_per_m(2.5, 75) == Near{8.554798e-3, 5e-10, 0});
    CHECK(size_ohm_per_m("2.5 mm2") == computed_ohm_per_m(2.5, 75));
    CHECK(size_ohm_per_m("12") == ohm_per_m(copper("12")));
    // The same copper by either name: AWG 10 is 5.2612 mm2, 4/0 is 107.219 mm2 (pi/4 of the gauge's
    // diameter).
    CHECK(size_ohm_per_m("5.2612 mm2") == Near{size_ohm_per_m("10"), 0, 0.01});
    CHECK(size_ohm_per_m("107.219 mm2") == Near{size_ohm_per_m("4/0"), 0, 0.01});
    CHECK_THROWS_AS(computed_ohm_per_m(0, 20), ParameterError);
}

TEST_CASE("a conductor size has one spelling, whatever is typed") {
    for (auto const& [typed, size] :
         std::vector<std::pair<std::string, std::string>>{{"12", "12"},
                                                          {"12 AWG", "12"},
                                                          {"AWG 12", "12"},
                                                          {"#12", "12"},
                                                          {" 4/0 ", "4/0"},
                                                          {"4/0 AWG", "4/0"},
                                                          {"2.5 mm2", "2.5 mm2"},
                                                          {"2.5mm2", "2.5 mm2"},
                                                          {"2.50 mm\u00b2", "2.5 mm2"},
                                                          {"70 mm2", "70 mm2"}}) {
        CAPTURE(typed);
        CHECK(conductor_size(typed) == size);
    }
    CHECK(section_mm2("2.5 mm2") == 2.5);
    CHECK(section_mm2("4/0") == 0);
    for (auto const* const wrong :
         {"", "11", "2.5", "mm2", "2,5 mm2", "-4 mm2", "0.1 mm2", "1e9 mm2", "4 mm2 x", "nan mm2", "5/0"}) {
        CAPTURE(wrong);
        CHECK_THROWS_AS(conductor_size(wrong), ParameterError);
    }
}

// 9.8 A over 60 m one way at 230 V, at most 5 % = 11.5 V: by hand 2 x 60 x 9.8 x 0.021387 / A = 25.151 / A,
// so at least 2.187 mm2.
TEST_CASE("the smallest metric section that keeps the drop") {
    CHECK(smallest_section_mm2(0, 60, 9.8, 230, 0.05) == 2.5);
    CHECK(smallest_section_mm2(0, 52, 9.8, 230, 0.05) == 2.5);
    CHECK(smallest_section_mm2(0, 41, 9.8, 230, 0.05) == 1.5);
    CHECK(smallest_section_mm2(4, 41, 9.8, 230, 0.05) == 4);
    CHECK_THROWS_AS(smallest_section_mm2(0, 50000, 9.8, 230, 0.05), ParameterError);
}

// Recomputed: 30 m of 10 AWG, 12 A at 100 V; 400 ft at 9.8 A and 230 V; 2 m of 4/0 at 125 A and 48 V. Printed
// to the digits shown.
TEST_CASE("voltage drop of PV, pump and battery cable") {
    auto const drop_v = [](double length_m, std::string const& size, double current_a) {
        return voltage_drop_v({length_m, ohm_per_m(copper(size))}, current_a);
    };
    CHECK(drop_v(30, "10", 12) == Near{2.92913, 5e-6, 0});
    CHECK(drop_v(400 * meters_per_foot, "12", 9.8) == Near{15.5232, 5e-5, 0});
    CHECK(drop_v(400 * meters_per_foot, "12", 9.8) / 230 == Near{0.0675, 5e-5, 0});  // over 5 %
    CHECK(drop_v(400 * meters_per_foot, "10", 9.8) == Near{9.7216, 5e-5, 0});
    CHECK(drop_v(400 * meters_per_foot, "10", 9.8) / 230 == Near{0.0423, 5e-5, 0});
    CHECK(drop_v(2, "4/0", 125) == Near{0.09974, 5e-6, 0});
    CHECK(drop_v(2, "4/0", 125) / 48 == Near{0.00208, 5e-6, 0});
    CableRun const inductive{100, 0.003, 1.6e-4};
    CHECK(voltage_drop_v(inductive, 10, 0.8) == Near{2 * 100 * 10 * (0.003 * 0.8 + 1.6e-4 * 0.6), 0, 1e-12});
}

// 230 V, 9.8 A, 5 %: recomputed, printed to 0.01 ft and 0.01 m.
TEST_CASE("longest drop cable") {
    struct Row {
        std::string size;
        double feet, meters;
    };
    for (auto const& row : std::vector<Row>{
             {"14", 186.86, 56.95}, {"12", 296.33, 90.32}, {"10", 473.17, 144.22}, {"8", 754.16, 229.87}}) {
        CAPTURE(row.size);
        double const length_m = longest_run_m(0.05, 230, 9.8, ohm_per_m(copper(row.size)));
        CHECK(length_m == Near{row.meters, 5e-3, 0});
        CHECK(length_m / meters_per_foot == Near{row.feet, 5e-3, 0});
    }
    // At 115 V and the same power a quarter.
    CHECK(longest_run_m(0.05, 115, 19.6, ohm_per_m(copper("12"))) / meters_per_foot == Near{74.08, 5e-3, 0});
}

// 10 AWG, 90 deg C insulation at 45 deg C: 40 x 0.87 = 34.8 A; 8 AWG 47.85 A (recomputed; terminals left
// out).
TEST_CASE("ampacity falls with heat and company, and the terminals cap it") {
    auto const bare = [](std::string const& size) {
        return ampacity_a(copper(size), Insulation::c90) * ambient_factor(Insulation::c90, 45);
    };
    CHECK(bare("10") == Near{34.8, 1e-12, 0});
    CHECK(bare("8") == Near{47.85, 1e-12, 0});
    CHECK(corrected_ampacity_a(copper("10"), Insulation::c90, Insulation::c75, 45) == Near{34.8, 1e-12, 0});
    CHECK(corrected_ampacity_a(copper("10"), Insulation::c90, Insulation::c60, 45) == 30);
    CHECK(corrected_ampacity_a(copper("10"), Insulation::c90, Insulation::c75, 45, 6) ==
          Near{27.84, 1e-12, 0});
    CHECK(ambient_factor(Insulation::c60, -5) == 1.29);
    CHECK(ambient_factor(Insulation::c60, 30) == 1.00);
    CHECK(ambient_factor(Insulation::c60, 30.1) == 0.91);
    CHECK(ambient_factor(Insulation::c60, 55) == 0.41);
    CHECK(ambient_factor(Insulation::c60, 56) == 0);
    CHECK(ambient_factor(Insulation::c75, 70) == 0.33);
    CHECK(ambient_factor(Insulation::c90, 85) == 0.29);
    CHECK(ambient_factor(Insulation::c90, 86) == 0);
    struct Row {
        int conductors;
        double factor;
    };
    for (auto const& [conductors, factor] : std::vector<Row>{
             {3, 1}, {4, 0.8}, {6, 0.8}, {7, 0.7}, {10, 0.5}, {21, 0.45}, {40, 0.40}, {41, 0.35}})
        CHECK(bundling_factor(conductors) == factor);
}

// The base of the ambient factors: sqrt((T_insulation - T_ambient) / (T_insulation - 30)), NEC 310.15(B)
// equation, from memory. At the upper end of each band it gives the printed factor to within its rounding.
TEST_CASE("ambient factors are those of the heat balance") {
    int compared = 0;
    for (auto const& [insulation, rated_c] :
         {std::pair{Insulation::c60, 60.0}, {Insulation::c75, 75.0}, {Insulation::c90, 90.0}})
        for (double ambient_c = 10; ambient_c < rated_c; ambient_c += 5) {
            CAPTURE(rated_c);
            CAPTURE(ambient_c);
            CHECK(ambient_factor(insulation, ambient_c) ==
                  Near{std::sqrt((rated_c - ambient_c) / (rated_c - 30)), 0.0051, 0});
            ++compared;
        }
    CHECK(compared == 39);
}

// Standard sizes from memory (NEC 240.6(A)).
TEST_CASE("overcurrent devices and motor branches") {
    CHECK(next_overcurrent_a(17.5) == 20);
    CHECK(next_overcurrent_a(35) == 35);
    CHECK_THROWS_AS(next_overcurrent_a(7000), ParameterError);
    CHECK(motor_branch_ampacity_a(8.0, 9.8) == Near{12.25, 1e-12, 0});
}

TEST_CASE("the smallest size that carries the current and keeps the drop") {
    CHECK(smallest_copper(12.25, 400 * meters_per_foot, 9.8, 230, 0.05).size == "10");
    CHECK(smallest_copper(12.25, 10, 9.8, 230, 0.05).size == "14");
    CHECK(smallest_copper(60, 10, 48, 230, 0.05).size == "4");
    CHECK_THROWS_AS(smallest_copper(12.25, 50000, 9.8, 230, 0.05), ParameterError);
    CHECK_THROWS_AS(copper("16"), ParameterError);
    CHECK_THROWS_WITH_AS(validate(CableRun{-1, 0.003}), "length_m = -1 (must be >= 0, one way)",
                         ParameterError);
}

TEST_SUITE_END();
