#include "sim/base/job_pool.hpp"

#ifdef HOLDWATER_THREADS
#include <oneapi/tbb/global_control.h>
#include <oneapi/tbb/parallel_for.h>
#include <oneapi/tbb/task_arena.h>
#endif

namespace holdwater::sim {

#ifdef HOLDWATER_THREADS

struct ThreadLimit::Held {
    explicit Held(std::size_t threads)
        : limit(oneapi::tbb::global_control::max_allowed_parallelism, threads) {}
    oneapi::tbb::global_control limit;
};

void for_each_job(std::size_t count, std::function<void(std::size_t)> const& job) {
    // A context of its own: when a job of an outer loop throws, oneTBB would end this loop before its jobs
    // are done, without an exception here, and what follows would use results that are not there.
    oneapi::tbb::task_group_context alone(oneapi::tbb::task_group_context::isolated);
    oneapi::tbb::parallel_for(
        std::size_t{0}, count, [&](std::size_t i) { job(i); }, alone);
}

void on_threads(int threads, std::function<void()> const& work) {
    // A separate arena, because the common arena of the process keeps the size of its first use.
    oneapi::tbb::task_arena arena(threads > 0 ? threads : oneapi::tbb::task_arena::automatic);
    arena.execute([&] { work(); });
}

ThreadLimit::ThreadLimit(int threads) {
    if (threads > 0) held_ = std::make_unique<Held>(static_cast<std::size_t>(threads));
}

#else

struct ThreadLimit::Held {};

void for_each_job(std::size_t count, std::function<void(std::size_t)> const& job) {
    for (std::size_t i = 0; i < count; ++i) job(i);
}

void on_threads(int, std::function<void()> const& work) { work(); }

ThreadLimit::ThreadLimit(int) {}

#endif

ThreadLimit::~ThreadLimit() = default;

}  // namespace holdwater::sim
