#include "sim/water/motor_run.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace holdwater;

TEST_SUITE_BEGIN("sim/motor_run");

// A motor that should run 60 s: a run of 60 s is long enough, one of 59 s is not.
TEST_CASE(
    "a run of exactly the least run time is not counted as short, by its switch or by the dry-run "
    "protection") {
    sim::MotorDuty duty;
    duty.least_run_s = 60;
    for (double const run_s : {60.0, 59.0}) {
        CAPTURE(run_s);
        double const count = run_s < 60 ? 1 : 0;
        sim::MotorRun by_switch(duty, 1000), protected_run(duty, 1000), cut(duty, 1000);
        for (auto* motor : {&by_switch, &protected_run, &cut}) {
            CHECK(motor->set_running(true, true, 0));
            motor->advance(run_s);
        }
        by_switch.set_running(false, true, run_s);
        CHECK(by_switch.state().short_runs == count);
        CHECK(by_switch.state().shortest_run_s == run_s);
        protected_run.stop_protected(run_s);
        CHECK(protected_run.state().short_protected == count);
        CHECK(protected_run.state().short_runs == 0);
        // A run that the supply cuts short says nothing about the tank.
        cut.set_running(false, false, run_s);
        CHECK(cut.state().short_runs == 0);
        CHECK(std::isinf(cut.state().shortest_run_s));
    }
}

TEST_SUITE_END();
