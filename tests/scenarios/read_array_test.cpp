#include "scenarios/sections/read_array.hpp"

#include <doctest/doctest.h>

#include <limits>
#include <string>
#include <vector>

#include "models/array/cell_temperature.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "tests/support/near.hpp"
#include "tests/support/solar_scenario.hpp"

using namespace holdwater;
using scenarios::Scenario, scenarios::ScenarioError;
using test::Near, test::plain_controller, test::solar_scenario;

namespace {

std::string const fixed = "[array]\nrated_power = \"1.2 kW\"\ntilt = \"30 deg\"\nazimuth = \"200 deg\"\n";
std::string const data_sheet_values =
    "described_by = \"data sheet\"\nshort_circuit_current = \"10.2 A\"\nopen_circuit_voltage = \"49 V\"\n"
    "max_power_current = \"9.6 A\"\nmax_power_voltage = \"40.6 V\"\n";
std::string const rack = "[array]\ntilt = \"30 deg\"\nazimuth = \"180 deg\"\n";
std::string const mppt = "[controller]\ncurrent_limit = \"60 A\"\n";

std::string refusal(std::string const& array_and_controller,
                    std::string const& weather = "file = \"weather.csv\"\n") {
    try {
        solar_scenario(array_and_controller, weather);
    } catch (ScenarioError const& error) {
        return error.what();
    }
    return "not refused";
}

bool has(std::string const& text, std::string const& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_SUITE_BEGIN("scenarios/read_array");

TEST_CASE("an array by its rated power alone: every other key has its stated default") {
    Scenario const s = solar_scenario(fixed + plain_controller);
    CHECK(s.array.module_model == models::ModuleModel::linear);
    CHECK(s.array.module.rated_power_w == 1200);
    CHECK(s.array.module.gamma_per_k == -0.0037);
    CHECK(s.array.modules_in_series == 1);
    CHECK(s.array.strings_in_parallel == 1);
    CHECK(s.plane.tilt_deg == Near{30, 1e-12, 0});
    CHECK(s.plane.azimuth_deg == Near{200, 1e-12, 0});
    CHECK(s.tilt_changes.empty());
    CHECK_FALSE(s.tracker.has_value());
    CHECK(s.horizon.elevation_deg.empty());
    CHECK(s.snow.days.none());
    CHECK(s.transposition == weather::TranspositionModel::perez);
    CHECK(s.albedo == 0.2);
    CHECK(s.array.incidence.model == models::IncidenceModel::ashrae);
    CHECK(s.array.incidence.ashrae_b0 == 0.05);
    CHECK(s.array.temperature.model == models::CellTemperatureModel::faiman);
    CHECK(s.array.temperature.wind_factor == 0.725);
    CHECK(s.array.dc_loss_fraction == 0.05);
    CHECK(s.array.wiring_loss_fraction_at_stc == 0);
    CHECK(s.array.age_factor == 1);
    for (double const month : s.array.soiling_by_month) CHECK(month == 0.02);
    CHECK(s.controller.kind == models::ControllerKind::maximum_power_point);
    CHECK(s.controller.efficiency == 0.97);
    CHECK(s.controller.power_limit_w == Near{1400, 1e-9, 0});
    CHECK(s.controller.current_limit_a == std::numeric_limits<double>::infinity());
    CHECK(s.battery_nominal_v == 51.2);
    CHECK(s.decomposition == weather::DecompositionModel::brl);
    CHECK_FALSE(s.decompose_all);
    CHECK_FALSE(s.fill_long_gaps);
}

TEST_CASE("each model can be chosen, with its coefficients") {
    using models::CellTemperatureModel, models::IncidenceModel, weather::TranspositionModel;
    auto const with = [](std::string const& keys) { return solar_scenario(fixed + keys + plain_controller); };
    CHECK(with("sky_model = \"isotropic\"\n").transposition == TranspositionModel::isotropic);
    CHECK(with("sky_model = \"hay-davies\"\n").transposition == TranspositionModel::hay_davies);
    CHECK(with("glass_model = \"none\"\n").array.incidence.model == IncidenceModel::none);
    auto const glass = with(
                           "glass_model = \"fresnel\"\nglass_index = 1.5\nglass_thickness = \"3.2 mm\"\n"
                           "glass_extinction = \"0.05 cm-1\"\ncoating_index = 1.3\n")
                           .array.incidence;
    CHECK(glass.model == IncidenceModel::fresnel);
    CHECK(glass.glass_index == 1.5);
    CHECK(glass.glass_thickness_m == Near{0.0032, 1e-12, 0});
    CHECK(glass.extinction_per_m == Near{5, 1e-9, 0});
    CHECK(glass.coating_index == 1.3);
    CHECK(with("glass_b0 = 0.1\n").array.incidence.ashrae_b0 == 0.1);

    auto const roof =
        with("heat_loss_still = \"17 W/(m2 K)\"\nheat_loss_wind = \"2 W s/(m3 K)\"\n").array.temperature;
    CHECK(roof.faiman_u0_w_m2_k == Near{17, 1e-9, 0});
    CHECK(roof.faiman_u1_w_s_m3_k == Near{2, 1e-9, 0});
    auto const king =
        with("temperature_model = \"king\"\nmounting = \"glass-glass close roof\"\n").array.temperature;
    CHECK(king.model == CellTemperatureModel::king);
    CHECK(king.king.a == models::king_glass_glass_close_roof.a);
    CHECK(king.wind_factor == 1);  // King's coefficients are for wind at 10 m
    auto const noct =
        with("temperature_model = \"noct\"\nnominal_cell_temperature = \"47 degC\"\n").array.temperature;
    CHECK(noct.model == CellTemperatureModel::noct);
    CHECK(noct.noct_c == Near{47, 1e-9, 0});
}

TEST_CASE("losses: wiring, age and dirt by month") {
    auto const a =
        solar_scenario(fixed +
                       "dc_loss = \"3 %\"\nwiring_loss = 0.015\nshading = 0.1\nyears_in_service = 10\n"
                       "aging_per_year = 0.006\n"
                       "soiling_by_month = [0, 0, 0, 0, 0, 0.07, 0.08, 0, 0, 0, 0, 0]\n" +
                       plain_controller)
            .array;
    CHECK(a.dc_loss_fraction == Near{0.03, 1e-12, 0});
    CHECK(a.wiring_loss_fraction_at_stc == 0.015);
    CHECK(a.shading_fraction == 0.1);
    CHECK(a.age_factor == Near{0.94, 1e-12, 0});
    CHECK(a.soiling_by_month[6] == 0.08);
    CHECK(a.soiling_by_month[7] == 0);
}

TEST_CASE("the rack: set by hand, turning, and the skyline around it") {
    std::string const power = "[array]\nrated_power = \"1 kW\"\n";
    auto const set = solar_scenario(
        power +
        "azimuth = \"180 deg\"\ntilt_changes = [{from = \"03-20\", tilt = \"15 deg\"}, {from = \"09-22\", "
        "tilt = \"55 deg\"}]\n" +
        plain_controller);
    REQUIRE(set.tilt_changes.size() == 2);
    CHECK(set.tilt_changes[0].first_day == 78);   // 31 + 28 + 19
    CHECK(set.tilt_changes[1].first_day == 264);  // 243 + 21
    CHECK(set.tilt_changes[1].tilt_deg == Near{55, 1e-9, 0});

    auto const turning =
        solar_scenario(power + "[array.tracker]\nturn_limit = \"45 deg\"\n" + plain_controller);
    REQUIRE(turning.tracker.has_value());
    CHECK(turning.tracker->azimuth_deg == 180);
    CHECK(turning.tracker->axis_tilt_deg == 0);
    CHECK(turning.tracker->turn_limit_deg == Near{45, 1e-9, 0});

    auto const hills = solar_scenario(fixed +
                                      "horizon = [{azimuth = \"90 deg\", elevation = \"12 deg\"}, "
                                      "{azimuth = \"180 deg\", elevation = \"0 deg\"}, "
                                      "{azimuth = \"270 deg\", elevation = \"20 deg\"}]\n" +
                                      plain_controller)
                           .horizon;
    REQUIRE(hills.elevation_deg.size() == 36);
    // Straight lines, by hand; from 270 over north to 90 in eighteen steps.
    for (auto const& [azimuth_deg, elevation_deg] : std::vector<std::pair<double, double>>{
             {90, 12}, {135, 6}, {180, 0}, {225, 10}, {270, 20}, {0, 16}, {45, 14}, {315, 18}})
        CHECK(weather::horizon_elevation_deg(hills, azimuth_deg) == Near{elevation_deg, 1e-9, 0});
}

TEST_CASE("snow lies in the middle of a month or on named days, over the year's end too") {
    auto const s = solar_scenario(fixed +
                                  "[array.snow]\ndays_by_month = [5, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0]\n"
                                  "periods = [{from = \"12-30\", to = \"01-02\"}, {from = \"02-10\", to = "
                                  "\"02-10\"}]\n" +
                                  plain_controller);
    CHECK(s.snow.days.count() == 5 + 4 + 1);
    for (int const day : {14, 18, 364, 365, 1, 2, 41}) CHECK(models::snow_factor(s.snow, day) == 0);
    for (int const day : {13, 19, 363, 3, 40, 42}) CHECK(models::snow_factor(s.snow, day) == 1);
}

// A worked fit, recomputed for this project from the printed equations (De Soto, Klein & Beckman 2006, from
// memory): Isc 10.2 A, Voc 49 V, Imp 9.6 A, Vmp 40.6 V, alpha 5.1 mA/K, beta -142.1 mV/K give a0 =
// 1.82763689622 V, IL0 = 10.2103410373 A, I00 = 2.27995669505e-11 A, Rs = 0.286909157778 ohm, Rsh0 =
// 282.996121027 ohm; gamma -0.34358 %/K.
TEST_CASE("a module is fitted to its data sheet, coefficients absolute or in per cent") {
    for (std::string const coefficients :
         {"current_temperature_coefficient = \"5.1 mA/K\"\nvoltage_temperature_coefficient = \"-142.1 "
          "mV/K\"\n",
          "current_temperature_coefficient = \"0.05 %/K\"\nvoltage_temperature_coefficient = \"-0.29 %/K\"\n",
          "current_temperature_coefficient = \"0.0051 A/degC\"\nvoltage_temperature_coefficient = \"-0.29 "
          "%/degC\"\n"}) {
        CAPTURE(coefficients);
        auto const s =
            solar_scenario(rack + "modules_in_series = 3\nstrings = 2\n[array.module]\n" + data_sheet_values +
                           coefficients + "power_temperature_coefficient = \"-0.344 %/K\"\n" + mppt);
        auto const& d = s.array.diode;
        CHECK(s.array.module_model == models::ModuleModel::single_diode);
        CHECK(s.array.modules_in_series == 3);
        CHECK(s.array.strings_in_parallel == 2);
        CHECK(d.a_v == Near{1.82763689622, 0, 1e-6});
        CHECK(d.light_current_a == Near{10.2103410373, 0, 1e-6});
        CHECK(d.saturation_current_a == Near{2.27995669505e-11, 0, 1e-5});
        CHECK(d.series_ohm == Near{0.286909157778, 0, 1e-6});
        CHECK(d.shunt_ohm == Near{282.996121027, 0, 1e-5});
        CHECK(s.warnings.empty());
    }
}

TEST_CASE("a module by its diode, and one by its rated power, counted in strings") {
    auto const diode = solar_scenario(rack + test::module_72_cells + mppt);
    CHECK(diode.array.diode.a_v == 1.85);
    CHECK(diode.array.diode.saturation_current_a == Near{3e-11, 0, 1e-12});
    CHECK(diode.array.diode.alpha_a_per_k == Near{0.0051, 0, 1e-12});
    auto const rated =
        solar_scenario(rack +
                       "modules_in_series = 2\nstrings = 3\n[array.module]\ndescribed_by = \"rated power\"\n"
                       "rated_power = \"400 W\"\n" +
                       mppt);
    CHECK(models::array_rated_power_w(rated.array) == Near{2400, 1e-9, 0});
}

TEST_CASE("the controller: window, limits, and a PWM one") {
    auto const c =
        solar_scenario(rack + "modules_in_series = 3\n" + test::module_72_cells +
                       "[controller]\nkind = \"mppt\"\ncurrent_limit = \"60 A\"\npower_limit = \"3 "
                       "kW\"\nbattery_voltage = \"25.6 V\"\n"
                       "input_max = \"150 V\"\ntracking_min = \"30 V\"\ntracking_max = \"145 V\"\n"
                       "headroom = \"2 V\"\nstart_margin = \"5 V\"\nrun_margin = \"1.5 V\"\n");
    CHECK(c.controller.input_max_v == 150);
    CHECK(c.controller.tracking_min_v == 30);
    CHECK(c.controller.tracking_max_v == 145);
    CHECK(c.controller.headroom_v == 2);
    CHECK(c.controller.run_margin_v == 1.5);
    CHECK(c.controller.current_limit_a == 60);
    CHECK(c.battery_nominal_v == Near{25.6, 1e-9, 0});
    auto const pwm = solar_scenario(
        rack + "strings = 4\n" + test::module_36_cells +
        "[controller]\nkind = \"pwm\"\ncurrent_limit = \"20 A\"\nbattery_voltage = \"12 V\"\n");
    CHECK(pwm.controller.kind == models::ControllerKind::direct);
    CHECK(pwm.controller.drop_v == Near{0.5, 1e-12, 0});
    CHECK(pwm.warnings.empty());
}

TEST_CASE("possible but doubtful designs are warned of") {
    auto const strings_too_short = solar_scenario(rack + test::module_72_cells + mppt);
    REQUIRE(strings_too_short.warnings.size() == 1);
    CHECK(has(strings_too_short.warnings[0], "put more modules in series"));
    // The usual mistake with data sheets: a value in percent entered as the absolute value.
    auto const mistaken =
        solar_scenario(rack + "modules_in_series = 3\n[array.module]\n" + data_sheet_values +
                       "current_temperature_coefficient = \"5.1 mA/K\"\n"
                       "voltage_temperature_coefficient = \"-220 mV/K\"\n"
                       "power_temperature_coefficient = \"-0.344 %/K\"\n" +
                       mppt);
    REQUIRE_FALSE(mistaken.warnings.empty());
    CHECK(has(mistaken.warnings.back(), "check the temperature coefficients"));
}

TEST_CASE("the weather table chooses how GHI is split and what to do with long gaps") {
    auto const s = solar_scenario(fixed + plain_controller,
                                  "file = \"weather.csv\"\ndecomposition = \"erbs\"\ndecompose = \"all\"\n"
                                  "long_gaps = \"fill\"\n");
    CHECK(s.decomposition == weather::DecompositionModel::erbs);
    CHECK(s.decompose_all);
    CHECK(s.fill_long_gaps);
    CHECK(has(refusal(fixed + plain_controller, "file = \"a\"\ndecomposition = \"best\"\n"),
              "key 'weather.decomposition': \"best\" is not a choice; accepted: boland-ridley-lauret, erbs"));
}

TEST_CASE("what contradicts itself or cannot be is refused with its key and its physical reason") {
    struct Row {
        std::string text, key, reason;
    };
    std::string const azimuth = "[array]\nrated_power = \"1 kW\"\nazimuth = \"180 deg\"\n";
    std::string const counted = rack + "modules_in_series = 2\n";
    for (auto const& [text, key, reason] : std::vector<Row>{
             {azimuth + plain_controller, "", "'tilt' is missing in the table [array]"},
             {fixed + "tilt_changes = [{from = \"03-20\", tilt = \"15 deg\"}]\n" + plain_controller,
              "array.tilt", "one of them sets the rack"},
             {azimuth + "tilt_changes = [{from = \"03-20\", tilt = \"15 deg\"}]\n" + plain_controller,
              "array.tilt_changes", "list two or more changes"},
             {azimuth +
                  "tilt_changes = [{from = \"09-20\", tilt = \"15 deg\"}, {from = \"03-20\", tilt = \"50 "
                  "deg\"}]\n" +
                  plain_controller,
              "array.tilt_changes.from", "in the order of the year"},
             {azimuth +
                  "tilt_changes = [{from = \"02-29\", tilt = \"15 deg\"}, {from = \"09-20\", tilt = \"50 "
                  "deg\"}]\n" +
                  plain_controller,
              "array.tilt_changes.from", "\"02-29\" is not a day of a 365-day year"},
             {fixed + "[array.tracker]\n" + plain_controller, "array.tilt", "a rack that turns with the sun"},
             {"[array]\nrated_power = \"1 kW\"\n[array.tracker]\nturn_limit = \"100 deg\"\n" +
                  std::string(plain_controller),
              "array.tracker.turn_limit", "100 deg is out of range; accepted: 0 to 90 deg"},
             {fixed + "horizon = [{azimuth = \"90 deg\", elevation = \"12 deg\"}]\n" + plain_controller,
              "array.horizon", "one point makes no skyline"},
             {fixed +
                  "horizon = [{azimuth = \"95 deg\", elevation = \"12 deg\"}, {azimuth = \"180 deg\", "
                  "elevation = \"0 deg\"}]\n" +
                  plain_controller,
              "array.horizon.azimuth", "multiple of 10 deg"},
             {fixed +
                  "horizon = [{azimuth = \"90 deg\", elevation = \"12 deg\"}, {azimuth = \"80 deg\", "
                  "elevation = \"0 deg\"}]\n" +
                  plain_controller,
              "array.horizon.azimuth", "clockwise from north"},
             {fixed + "glass_model = \"fresnel\"\nglass_b0 = 0.05\n" + plain_controller, "array.glass_b0",
              "only with glass_model = \"ashrae\""},
             {fixed + "glass_index = 1.5\n" + plain_controller, "array.glass_index",
              "only with glass_model = \"fresnel\""},
             {fixed + "glass_model = \"fresnel\"\nglass_index = 1.2\ncoating_index = 1.3\n" +
                  plain_controller,
              "", "coating_index"},
             {fixed + "mounting = \"glass-glass rack\"\n" + plain_controller, "array.mounting",
              "only with temperature_model = \"king\""},
             {fixed + "temperature_model = \"noct\"\nwind_factor = 1\n" + plain_controller,
              "array.wind_factor", "takes no wind"},
             {fixed + "temperature_model = \"king\"\nheat_loss_wind = \"3 W s/(m3 K)\"\n" + plain_controller,
              "array.heat_loss_wind", "only with temperature_model = \"faiman\""},
             {fixed + "soiling = 0.03\nsoiling_by_month = [0,0,0,0,0,0,0,0,0,0,0,0]\n" + plain_controller,
              "array.soiling", "one of them sets the dirt"},
             {fixed + "[array.snow]\n" + plain_controller, "array.snow", "covers no day"},
             {fixed + "[array.snow]\ndays_by_month = [0,30,0,0,0,0,0,0,0,0,0,0]\n" + plain_controller,
              "array.snow", "days of that month"},
             {fixed + "strings = 2\n" + plain_controller, "array.strings", "only when one is described"},
             {fixed + test::module_72_cells + plain_controller, "array.rated_power",
              "the array's power follows from their number"},
             {rack + "modules_in_series = 2.5\n" + test::module_72_cells + mppt, "array.modules_in_series",
              "whole number"},
             {counted + "[array.module]\n" + data_sheet_values +
                  "current_temperature_coefficient = \"5.1 A\"\nvoltage_temperature_coefficient = \"-0.29 "
                  "%/K\"\n" +
                  mppt,
              "array.module.current_temperature_coefficient", "A/K"},
             {counted +
                  "[array.module]\ndescribed_by = \"data sheet\"\nshort_circuit_current = \"9 "
                  "A\"\nopen_circuit_voltage = \"49 V\"\nmax_power_current = \"9.6 A\"\n"
                  "max_power_voltage = \"40.6 V\"\ncurrent_temperature_coefficient = \"0.05 %/K\"\n"
                  "voltage_temperature_coefficient = \"-0.29 %/K\"\n" +
                  mppt,
              "array.module.max_power_current", "9.6 A is out of range; accepted: 4.5 to 9 A"},
             {counted + test::module_72_cells + "light_current = \"9 A\"\n" + mppt, "", "not a TOML file"},
             {fixed + "[controller]\nkind = \"pwm\"\npower_limit = \"1 kW\"\n", "controller.kind",
              "needs the array's voltage"},
             {fixed + "[controller]\ninput_max = \"150 V\"\npower_limit = \"1 kW\"\n", "controller.input_max",
              "needs the array's voltage"},
             {counted + test::module_72_cells + "[controller]\n", "controller",
              "needs 'power_limit' or 'current_limit'"},
             {counted + test::module_72_cells +
                  "[controller]\nkind = \"pwm\"\ncurrent_limit = \"20 A\"\nefficiency = 0.97\n",
              "controller.efficiency", "what a PWM controller loses is its voltage"},
             {counted + test::module_72_cells +
                  "[controller]\nkind = \"pwm\"\ncurrent_limit = \"20 A\"\ntracking_min = \"20 V\"\n",
              "controller.tracking_min", "tracks nothing"},
             {counted + test::module_72_cells + "[controller]\ncurrent_limit = \"20 A\"\ndrop = \"1 V\"\n",
              "controller.drop", "belongs to a PWM controller"},
             {counted + test::module_72_cells +
                  "[controller]\ncurrent_limit = \"20 A\"\ninput_max = \"100 V\"\ntracking_max = \"120 V\"\n",
              "controller.tracking_max", "not above input_max_v"},
             {counted + test::module_72_cells +
                  "[controller]\ncurrent_limit = \"20 A\"\nstart_margin = \"1 V\"\nrun_margin = \"2 V\"\n",
              "controller.start_margin", "at least run_margin_v"},
             {fixed + "tilt_change = 3\n" + plain_controller, "array.tilt_change",
              "the nearest known key is 'tilt_changes'"},
         }) {
        CAPTURE(text);
        std::string const message = refusal(text);
        CAPTURE(message);
        CHECK(message.starts_with("test.toml"));
        if (!key.empty()) CHECK(has(message, "key '" + key + "'"));
        CHECK(has(message, reason));
    }
}

TEST_SUITE_END();
