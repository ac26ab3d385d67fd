#include <bit>
#include <cstdint>
#include <cstdio>
#include <list>
#include <vector>

#include "sim/base/job_pool.hpp"
#include "sim/batch/batch.hpp"
#include "tests/sim/random_system.hpp"

// Runs a batch of random designs with one thread and with four, for the thread sanitizer and for the
// comparison of builds. The batch has designs in lanes, designs that run some of their hours alone, and
// designs that lanes do not carry. Exit code 1 if a figure differs.

using namespace holdwater;

int main() {
    constexpr int hours = 24 * 14;
    std::list<sim::System> systems;
    std::list<sim::CheckedInputs> inputs;
    std::vector<sim::BatchJob> jobs;
    for (std::uint64_t seed = 1; seed <= 12; ++seed) {
        test::Draw draw(seed);
        auto const first = test::random_system(draw);
        auto const& common = inputs.emplace_back(test::random_inputs(draw, hours));
        for (int i = 0; i < 20; ++i) {
            auto system = test::random_system(draw);
            if (i < 18) static_cast<sim::WaterSystem&>(system) = first;
            auto const* in = &common;
            if (i % 3 == 2) {
                sim::HourlyInputs own = common;
                test::add_supply_features(draw, system, own, hours);
                in = &inputs.emplace_back(std::move(own));
            }
            jobs.push_back({&systems.emplace_back(std::move(system)), in});
        }
    }
    // Otherwise there are never more threads than processors, whatever number is given.
    sim::ThreadLimit const limit(4);
    auto const one = sim::run_batch(jobs, {0, hours}, {1});
    auto const four = sim::run_batch(jobs, {0, hours}, {4});
    int differing = 0;
    std::uint64_t all = 0;
    for (std::size_t i = 0; i < jobs.size(); ++i)
        for (auto const& f : sim::summary_fields()) {
            differing += one.years[i].summary.*f.value != four.years[i].summary.*f.value;
            all = 1099511628211U * (all ^ std::bit_cast<std::uint64_t>(one.years[i].summary.*f.value));
        }
    // The last value is a hash of every bit of every figure, for the comparison of builds
    // (tests/reproduce/run).
    std::printf("batch: %zu designs, %zu in lanes, %d figures differ, all of them: %016llx\n", jobs.size(),
                four.in_lanes, differing, static_cast<unsigned long long>(all));
    return differing == 0 && four.in_lanes > 0 && four.alone > 0 ? 0 : 1;
}
