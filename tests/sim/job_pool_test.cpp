#include "sim/base/job_pool.hpp"

#include <doctest/doctest.h>

#include <atomic>
#include <chrono>
#include <stdexcept>
#include <thread>

using namespace holdwater;

TEST_SUITE_BEGIN("sim/job_pool");

// A job throws while another one is in a loop of its own. That loop returns with all of its jobs done,
// because what follows it uses their results.
TEST_CASE("a loop that returns has done all of its jobs, even inside one that fails") {
    std::atomic<int> done = 0;
    std::atomic<bool> began = false, returned = false;
    int done_at_return = 0;
    auto const run = [&] {
        sim::on_threads(2, [&] {
            sim::for_each_job(2, [&](std::size_t job) {
                using namespace std::chrono_literals;
                if (job == 1) {
                    sim::for_each_job(200, [&](std::size_t) {
                        began = true;
                        std::this_thread::sleep_for(1ms);
                        ++done;
                    });
                    done_at_return = done;
                    returned = true;
                    return;
                }
                // One processor alone may run this job first.
                for (int i = 0; i < 1000 && !began; ++i) std::this_thread::sleep_for(1ms);
                throw std::runtime_error("fails");
            });
        });
    };
    CHECK_THROWS_AS(run(), std::runtime_error);
    if (returned) CHECK(done_at_return == 200);
}

TEST_CASE("with a limit of one thread, jobs run one after the other") {
    using namespace std::chrono_literals;
    sim::ThreadLimit const limit(1);
    std::atomic<int> running = 0, most = 0;
    sim::for_each_job(20, [&](std::size_t) {
        int const now = ++running;
        if (now > most) most = now;
        std::this_thread::sleep_for(2ms);
        --running;
    });
    CHECK(most == 1);
}

TEST_SUITE_END();
