#include "models/numeric/parameter_error.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <string>

#include "models/array/cell_temperature.hpp"
#include "models/array/charge_controller.hpp"
#include "models/array/pv_array.hpp"
#include "models/electric/grid.hpp"
#include "models/electric/motor.hpp"
#include "models/water/variable_speed.hpp"

using namespace holdwater::models;

namespace {

// `good` is accepted; with one figure below or above its range, or not a number, it is refused by this
// figure's name.
template <class Parameters>
void refused_outside(Parameters const& good, std::string const& field, double Parameters::*figure,
                     double below, double above) {
    CAPTURE(field);
    CHECK_NOTHROW(validate(good));
    for (double const value : {below, above, std::numeric_limits<double>::quiet_NaN()}) {
        CAPTURE(value);
        auto wrong = good;
        wrong.*figure = value;
        try {
            validate(wrong);
            FAIL_CHECK("was accepted");
        } catch (ParameterError const& error) {
            CHECK(error.field() == field);
        }
    }
}

}  // namespace

TEST_SUITE_BEGIN("models/parameter_error");

TEST_CASE("the message names field, value and rule, and NaN is refused") {
    CHECK_NOTHROW(require(true, "head_m", 3, "must be >= 0"));
    CHECK_THROWS_WITH_AS(require(-1.5 >= 0, "head_m", -1.5, "must be >= 0"), "head_m = -1.5 (must be >= 0)",
                         ParameterError);
    double const nan = std::numeric_limits<double>::quiet_NaN();
    CHECK_THROWS_AS(require(nan >= 0, "head_m", nan, "must be >= 0"), ParameterError);
}

// The ranges are those that the headers state; a value at an end is accepted unless it says "above" or
// "below".
TEST_CASE("a motor with a figure out of its range is refused by the name of this figure") {
    MotorParameters const good = typical_submersible_motor(1, MotorWiring::three_wire);
    refused_outside(good, "rated_power_w", &MotorParameters::rated_power_w, 49, 30001);
    refused_outside(good, "service_factor", &MotorParameters::service_factor, 0.99, 2.01);
    refused_outside(good, "volts", &MotorParameters::volts, 99, 481);
    refused_outside(good, "input_intercept_w", &MotorParameters::input_intercept_w, -1, 746);
    refused_outside(good, "input_slope", &MotorParameters::input_slope, 0.99, 10.1);
    refused_outside(good, "running_power_factor", &MotorParameters::running_power_factor, 0.2, 1.01);
    refused_outside(good, "locked_rotor_a", &MotorParameters::locked_rotor_a, -1, 2000);
    refused_outside(good, "full_load_a", &MotorParameters::full_load_a, -1, 1000);
    refused_outside(good, "locked_rotor_power_factor", &MotorParameters::locked_rotor_power_factor, 0, 1.01);
    refused_outside(good, "start_seconds", &MotorParameters::start_seconds, 0.019, 10.1);
    refused_outside(good, "soft_start_ratio", &MotorParameters::soft_start_ratio, 0.2, 1.01);
    refused_outside(good, "drive_start_ratio", &MotorParameters::drive_start_ratio, 0.99, 3.01);
    refused_outside(good, "min_run_s", &MotorParameters::min_run_s, -1, 3601);
    refused_outside(good, "min_rest_s", &MotorParameters::min_rest_s, -1, 3601);
    // A motor that does not turn draws most.
    refused_outside(good, "locked_rotor_a", &MotorParameters::locked_rotor_a, good.full_load_a, 2000);
}

TEST_CASE(
    "a charge controller, a drive and an array with a figure out of its range are refused by its name") {
    ChargeControllerParameters controller;
    controller.input_max_v = 250;
    controller.tracking_max_v = 240;
    controller.tracking_min_v = 60;
    using Controller = ChargeControllerParameters;
    refused_outside(controller, "efficiency", &Controller::efficiency, 0, 1.01);
    refused_outside(controller, "standby_w", &Controller::standby_w, -1, 101);
    refused_outside(controller, "input_max_v", &Controller::input_max_v, 0, 2001);
    refused_outside(controller, "tracking_max_v", &Controller::tracking_max_v, 0, 251);
    refused_outside(controller, "tracking_min_v", &Controller::tracking_min_v, -1, 241);
    refused_outside(controller, "headroom_v", &Controller::headroom_v, -1, 21);
    refused_outside(controller, "run_margin_v", &Controller::run_margin_v, -1, 51);
    refused_outside(controller, "start_margin_v", &Controller::start_margin_v, controller.run_margin_v - 0.1,
                    51);
    refused_outside(controller, "drop_v", &Controller::drop_v, -0.1, 5.1);

    DriveParameters const drive;
    refused_outside(drive, "efficiency", &DriveParameters::efficiency, 0.5, 1.01);
    refused_outside(drive, "standby_w", &DriveParameters::standby_w, -1, 501);
    refused_outside(drive, "max_speed_ratio", &DriveParameters::max_speed_ratio, 0.3, 1.21);
    refused_outside(drive, "min_speed_ratio", &DriveParameters::min_speed_ratio, -0.01,
                    drive.max_speed_ratio);
    refused_outside(drive, "input_power_factor", &DriveParameters::input_power_factor, 0.3, 1.01);

    CellTemperatureParameters const cell;
    using Cell = CellTemperatureParameters;
    refused_outside(cell, "faiman_u0_w_m2_k", &Cell::faiman_u0_w_m2_k, 4.9, 61);
    refused_outside(cell, "faiman_u1_w_s_m3_k", &Cell::faiman_u1_w_s_m3_k, -0.1, 20.1);
    refused_outside(cell, "noct_c", &Cell::noct_c, 29, 81);
    refused_outside(cell, "wind_factor", &Cell::wind_factor, -0.1, 3.1);

    PvArrayParameters array;
    array.module_model = ModuleModel::linear;
    array.module.rated_power_w = 400;
    using Array = PvArrayParameters;
    refused_outside(array, "dc_loss_fraction", &Array::dc_loss_fraction, -0.01, 1.01);
    refused_outside(array, "wiring_loss_fraction_at_stc", &Array::wiring_loss_fraction_at_stc, -0.01, 0.21);
    refused_outside(array, "age_factor", &Array::age_factor, -0.01, 1.01);
    refused_outside(array, "shading_fraction", &Array::shading_fraction, -0.01, 1.01);

    OutageDrawParameters outages;
    outages.mean_duration_h = 2;
    refused_outside(outages, "interruptions_per_year", &OutageDrawParameters::interruptions_per_year, -1,
                    INFINITY);
    refused_outside(outages, "mean_duration_h", &OutageDrawParameters::mean_duration_h, 0, INFINITY);
    refused_outside(outages, "log_sigma", &OutageDrawParameters::log_sigma, -0.1, 5.1);
}

TEST_SUITE_END();
