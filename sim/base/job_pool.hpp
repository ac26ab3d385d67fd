#pragma once

#include <cstddef>
#include <functional>
#include <memory>

namespace holdwater::sim {

/// Calls `job(0)` .. `job(count - 1)`, each once, on as many threads as there are processors, and returns
/// when all are done. The order is not defined, so a job must not depend on another. The first exception of a
/// job is rethrown. This is the only place where the engine uses threads; built without a thread pool
/// (HOLDWATER_THREADS off), it is a plain loop.
void for_each_job(std::size_t count, std::function<void(std::size_t)> const& job);

/// Runs `work` with its own `threads` threads (0: as many as there are processors) for its jobs.
void on_threads(int threads, std::function<void()> const& work);

/// While this object exists, at most `threads` threads work at a time; 0: as many as there are processors.
class ThreadLimit {
  public:
    explicit ThreadLimit(int threads);
    ~ThreadLimit();
    ThreadLimit(ThreadLimit const&) = delete;
    ThreadLimit& operator=(ThreadLimit const&) = delete;

  private:
    struct Held;
    std::unique_ptr<Held> held_;
};

}  // namespace holdwater::sim
