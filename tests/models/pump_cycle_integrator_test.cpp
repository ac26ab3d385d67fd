// The closed-form pump cycle against a general integrator: SUNDIALS CVODE (Adams, root finding) on the same
// equations without any curve of nodes, the operating point solved anew at every evaluation.
#include <cvode/cvode.h>
#include <doctest/doctest.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_context.h>
#include <sunnonlinsol/sunnonlinsol_fixedpoint.h>

#include <array>
#include <cmath>
#include <random>

#include "models/water/pump_cycle.hpp"
#include "tests/models/steady_demand.hpp"
#include "tests/support/invented_pumps.hpp"
#include "tests/support/near.hpp"

using namespace holdwater::models;
using namespace holdwater::test;

namespace {

struct Plant {
    PressureTankParameters tank;
    PumpParameters pump;
    MotorParameters motor;
    PipingParameters piping;
    LiftParameters lift;
    double demand_m3_s = 0;
    double seconds = 0;
};

struct Rates {
    Plant const* plant;
    PumpCurve curve;
    Water water;
    bool on = false;
    double lower_m3 = 0,
           upper_m3 = 0;  // roots: water falls to lower (pump off: cut-in; on: empty), rises to upper
};

OperatingPoint point_at(Rates const& r, double water_m3) {
    double const held = std::max(0.0, water_m3);
    return operating_point(r.curve, r.plant->motor, r.plant->piping, r.plant->lift, r.water,
                           tank_pressure_kpa(r.plant->tank, held));
}

// Scaled by 1e3 so that liters, not cubic meters, meet the absolute tolerance.
int slope(realtype, N_Vector y, N_Vector dy, void* user) {
    auto const& r = *static_cast<Rates*>(user);
    double* d = NV_DATA_S(dy);
    d[0] = -r.plant->demand_m3_s * 1e3;
    d[1] = d[2] = 0;
    if (r.on) {
        auto const o = point_at(r, NV_Ith_S(y, 0) * 1e-3);
        d[0] += o.flow_m3_s * 1e3;
        d[1] = o.flow_m3_s * 1e3;
        d[2] = o.electrical_w * 1e-3;
    }
    return 0;
}

int roots(realtype, N_Vector y, realtype* g, void* user) {
    auto const& r = *static_cast<Rates*>(user);
    g[0] = NV_Ith_S(y, 0) - r.lower_m3 * 1e3;
    g[1] = r.on ? NV_Ith_S(y, 0) - r.upper_m3 * 1e3 : 1.0;
    return 0;
}

// Cut-out to end, contact open at the start.
CycleTotals integrate(Plant const& plant, double* end_water_m3) {
    SUNContext context = nullptr;
    SUNContext_Create(nullptr, &context);
    N_Vector y = N_VNew_Serial(3, context);
    Rates r{&plant, PumpCurve(plant.pump), water_at(plant.lift.water_temperature_c)};
    double const cut_in = stored_water_m3(plant.tank, plant.tank.cut_in_kpa);
    double const cut_out = stored_water_m3(plant.tank, plant.tank.cut_out_kpa);
    NV_Ith_S(y, 0) = cut_out * 1e3;
    NV_Ith_S(y, 1) = NV_Ith_S(y, 2) = 0;
    void* cvode = CVodeCreate(CV_ADAMS, context);
    CVodeInit(cvode, slope, 0, y);
    CVodeSStolerances(cvode, 1e-9, 1e-9);
    CVodeSetUserData(cvode, &r);
    CVodeSetMaxNumSteps(cvode, 200000);
    SUNNonlinearSolver solver = SUNNonlinSol_FixedPoint(y, 0, context);
    CVodeSetNonlinearSolver(cvode, solver);
    CVodeRootInit(cvode, 2, roots);
    CycleTotals sum;
    double t = 0, on_since = 0;
    r.lower_m3 = cut_in;
    r.upper_m3 = cut_out;
    while (t < plant.seconds) {
        CVodeSetStopTime(cvode, plant.seconds);
        int const flag = CVode(cvode, plant.seconds, y, &t, CV_NORMAL);
        REQUIRE(flag >= 0);
        if (flag != CV_ROOT_RETURN) continue;
        if (!r.on) {
            r.on = true;
            ++sum.starts;
            on_since = t;
            r.lower_m3 = 0;
            NV_Ith_S(y, 0) = cut_in * 1e3;
        } else if (NV_Ith_S(y, 0) < cut_in * 1e3) {  // emptied: pressure holds at the precharge from here
            auto const o = point_at(r, 0);
            double const rest = plant.seconds - t;
            NV_Ith_S(y, 0) = 0;
            NV_Ith_S(y, 1) += o.flow_m3_s * rest * 1e3;
            NV_Ith_S(y, 2) += o.electrical_w * rest * 1e-3;
            sum.unmet_m3 += (plant.demand_m3_s - o.flow_m3_s) * rest;
            t = plant.seconds;
            break;
        } else {
            r.on = false;
            sum.run_s += t - on_since;
            r.lower_m3 = cut_in;
            NV_Ith_S(y, 0) = cut_out * 1e3;
        }
        CVodeReInit(cvode, t, y);
    }
    if (r.on) sum.run_s += t - on_since;
    sum.pumped_m3 = NV_Ith_S(y, 1) * 1e-3;
    sum.energy_j = NV_Ith_S(y, 2) * 1e3;
    *end_water_m3 = NV_Ith_S(y, 0) * 1e-3;
    CVodeFree(&cvode);
    SUNNonlinSolFree(solver);
    N_VDestroy(y);
    SUNContext_Free(&context);
    return sum;
}

Plant random_plant(std::mt19937_64& random) {
    auto const draw = [&](double from, double to) {
        return from + (to - from) * static_cast<double>(random() >> 11) * 0x1p-53;
    };
    Plant p;
    constexpr std::array<double, 4> cut_in_psi{20, 30, 40, 50};
    double const on = cut_in_psi[static_cast<std::size_t>(draw(0, 3.999))];
    p.tank = {draw(14, 119) * gal_m3, (on - draw(1, 6)) * psi_kpa, on * psi_kpa,
              (on + 20) * psi_kpa,    draw(70, 101.325),           draw(0, 1) < 0.15 ? draw(0.2, 0.9) : 1.0};
    int const stages = static_cast<int>(draw(6, 34.999));
    p.pump = invented_pump(stages);
    p.motor.rated_power_w = 0.08 * stages * hp_w;
    p.motor.input_intercept_w = draw(100, 250);
    p.motor.input_slope = draw(1.25, 1.5);
    p.piping.segments = {{draw(20, 80), 1.029 * inch_m, 1.5e-6, 150, draw(0, 5)},
                         {draw(5, 60), 1.36 * inch_m, 1.5e-6, 150, draw(0, 8)}};
    p.lift.specific_capacity_m2_s = draw(0.3, 5) * gpm_m3_s / foot_m;
    p.lift.water_temperature_c = draw(5, 20);
    // What is left of the shut-off head after the cut-out pressure, shared between lift and margin.
    double const spare_m = p.pump.curve.front().head_m - (on + 20) * 0.7034;
    p.lift.static_level_m = std::max(0.0, spare_m * draw(0.1, 0.9));
    p.seconds = draw(0.5, 6) * 3600;
    PumpCurve const curve(p.pump);
    auto const at_cut_in = operating_point(curve, p.motor, p.piping, p.lift,
                                           water_at(p.lift.water_temperature_c), p.tank.cut_in_kpa);
    p.demand_m3_s = draw(0.02, 1.15) * at_cut_in.flow_m3_s;
    return p;
}

}  // namespace

TEST_SUITE_BEGIN("models/pump_cycle");

TEST_CASE("200 random plants agree with a general integrator in starts, run time and energy") {
    std::mt19937_64 random(20240611);
    double worst_run = 0, worst_energy = 0;
    int cycling = 0, settled = 0, emptied = 0;
    for (int i = 0; i < 200; ++i) {
        CAPTURE(i);
        Plant const p = random_plant(random);
        auto const curve = make_fill_curve(p.tank, p.pump, p.motor, p.piping, p.lift);
        double end_water_m3 = 0;
        CycleTotals const reference = integrate(p, &end_water_m3);
        SwitchedTank state{curve.cut_out_m3, false};
        CycleTotals const got = run_switched(curve, state, p.demand_m3_s, p.seconds);
        CHECK(got.starts == reference.starts);
        CHECK(got.run_s == Near{reference.run_s, 0, 1e-4});
        CHECK(got.energy_j == Near{reference.energy_j, 0, 1e-4});
        CHECK(got.pumped_m3 == Near{reference.pumped_m3, 0, 1e-4});
        CHECK(got.unmet_m3 == Near{reference.unmet_m3, 1e-5, 1e-4});
        CHECK(got.pumped_m3 - (p.demand_m3_s * p.seconds - got.unmet_m3) ==
              Near{state.water_m3 - curve.cut_out_m3, 1e-11, 0});
        worst_run = std::max(worst_run, std::abs(got.run_s / reference.run_s - 1));
        worst_energy = std::max(worst_energy, std::abs(got.energy_j / reference.energy_j - 1));
        (got.unmet_m3 > 0 ? emptied : got.starts > 1 ? cycling : settled) += 1;
    }
    MESSAGE("worst relative error: run time ", worst_run, ", energy ", worst_energy, "; cycling ", cycling,
            ", few starts ", settled, ", emptied ", emptied);
    CHECK(cycling > 50);  // the random designs must still cover all three kinds
    CHECK(settled > 10);
    CHECK(emptied > 3);
}

TEST_SUITE_END();
