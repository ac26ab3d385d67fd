#include "sim/batch/batch.hpp"

#include <algorithm>
#include <atomic>
#include <map>
#include <memory>
#include <stdexcept>
#include <unordered_map>

#include "scenarios/settings/field_words.hpp"
#include "sim/base/job_pool.hpp"
#include "sim/batch/lane_group.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {
namespace {

// What is computed once for the inputs of a year.
struct SharedInputs {
    InputsDigest digest;
    std::size_t demand = 0;  // the first inputs with the same demand
};

class Batch {
  public:
    Batch(std::span<BatchJob const> jobs, Clock const& clock, BatchOptions const& options)
        : jobs_(jobs), clock_(clock), options_(options) {
        run_.years.resize(jobs.size());
        look_at_inputs();
        sort_by_water();
    }

    BatchRun run() {
        for_each_job(classes_.size(), [&](std::size_t c) { run_class(c); });
        for_each_job(alone_.size(), [&](std::size_t i) { run_alone(alone_[i]); });
        run_.alone = alone_.size();
        for (auto const& jobs : classes_) run_.in_lanes += jobs.size();
        if (run_.in_lanes > 0)
            run_.alone_share =
                static_cast<double>(alone_hours_) / (static_cast<double>(run_.in_lanes) * clock_.hours);
        return std::move(run_);
    }

  private:
    void look_at_inputs() {
        std::vector<CheckedInputs const*> distinct;
        for (BatchJob const& job : jobs_)
            if (position_.emplace(job.inputs, distinct.size()).second) distinct.push_back(job.inputs);
        inputs_.resize(distinct.size());
        for_each_job(distinct.size(), [&](std::size_t i) {
            inputs_[i].digest = digest_of(*distinct[i], clock_, options_.findings);
        });
        std::vector<std::size_t> demands, loads;
        for (std::size_t i = 0; i < inputs_.size(); ++i) {
            auto const alike = std::find_if(loads.begin(), loads.end(), [&](std::size_t l) {
                return same_loads(inputs_[l].digest, inputs_[i].digest);
            });
            if (alike != loads.end())
                inputs_[i].digest.load_w = inputs_[*alike].digest.load_w;
            else
                loads.push_back(i);
            auto const same = std::find_if(demands.begin(), demands.end(), [&](std::size_t d) {
                return same_demand(*distinct[d], *distinct[i]);
            });
            inputs_[i].demand = same != demands.end() ? *same : i;
            if (same == demands.end()) demands.push_back(i);
        }
    }
    SharedInputs const& inputs_of(std::size_t job) const { return inputs_[position_.at(jobs_[job].inputs)]; }
    LaneDesign design_of(std::size_t job) const { return {jobs_[job].system, &inputs_of(job).digest}; }

    void sort_by_water() {
        // Equal water sides have equal keys. The few with equal keys are compared.
        std::map<std::pair<std::size_t, double>, std::vector<std::size_t>> by_key;
        for (std::size_t i = 0; i < jobs_.size(); ++i) {
            SharedInputs const& in = inputs_of(i);
            std::string_view const obstacle =
                clock_.longest_step_s < seconds_per_hour ? "shorter steps" : lane_obstacle(design_of(i));
            if (!obstacle.empty()) {
                alone_.push_back(i);
                run_.years[i].alone_for = obstacle;
                ++run_.alone_for[std::string(obstacle)];
                continue;
            }
            System const& s = *jobs_[i].system;
            double const key = s.tank.total_volume_m3 + 1e3 * s.fill.nodes.front().flow_m3_s +
                               s.tank.cut_in_kpa + s.fill.nodes.front().power_w;
            auto& candidates = by_key[{in.demand, key}];
            auto const same = std::find_if(candidates.begin(), candidates.end(), [&](std::size_t c) {
                System const& first = *jobs_[classes_[c].front()].system;
                return same_water(first, s) &&
                       first.battery_behavior.store.kind == s.battery_behavior.store.kind;
            });
            if (same != candidates.end()) {
                classes_[*same].push_back(i);
            } else {
                candidates.push_back(classes_.size());
                classes_.push_back({i});
            }
        }
    }

    void run_class(std::size_t c) {
        auto const& jobs = classes_[c];
        WaterYear water;
        try {
            water = water_year(*jobs_[jobs.front()].system, *jobs_[jobs.front()].inputs, clock_);
        } catch (std::logic_error const& error) {
            for (std::size_t const job : jobs) run_.years[job].problem = problem_of(error);
            return;
        }
        SupplyYear const supply =
            supply_year(*jobs_[jobs.front()].system, inputs_of(jobs.front()).digest, water, clock_);
        std::size_t const lanes = models::Lanes::count, groups = (jobs.size() + lanes - 1) / lanes;
        for_each_job(groups, [&](std::size_t g) {
            std::size_t const first = g * lanes, count = std::min(lanes, jobs.size() - first);
            run_group(std::span(jobs).subspan(first, count), water, supply);
        });
    }

    void run_group(std::span<std::size_t const> jobs, WaterYear const& water, SupplyYear const& supply) {
        std::vector<LaneDesign> designs;
        for (std::size_t const job : jobs) designs.push_back(design_of(job));
        auto const code = options_.portable ? LaneCode::portable : LaneCode::best;
        try {
            auto const years = run_lane_group(designs, water, supply, clock_, code, options_.findings);
            for (std::size_t i = 0; i < jobs.size(); ++i) {
                BatchYear& year = run_.years[jobs[i]];
                year.summary = years[i].summary;
                year.findings = years[i].findings;
                year.end_soc = years[i].end_soc;
                year.in_lanes = true;
                alone_hours_ += static_cast<std::size_t>(years[i].alone_hours);
            }
        } catch (std::logic_error const& error) {  // an error of one design must not affect the others
            if (jobs.size() == 1)
                run_.years[jobs.front()].problem = problem_of(error);
            else
                for (std::size_t i = 0; i < jobs.size(); ++i) run_group(jobs.subspan(i, 1), water, supply);
        }
    }

    void run_alone(std::size_t job) {
        BatchYear& year = run_.years[job];
        try {
            auto const run = simulate(*jobs_[job].system, *jobs_[job].inputs, clock_,
                                      options_.findings ? Keep::everything : Keep::days_and_summary);
            year.summary = run.summary;
            year.summary.wall_time_s = 0;
            if (options_.findings) year.findings = run.findings;
            year.end_soc = run.days.back().soc_end;
            year.end_water = run.end_water;
        } catch (std::logic_error const& error) {
            year.problem = problem_of(error);
        }
    }

    static std::string problem_of(std::logic_error const& error) {
        bool const of_input = dynamic_cast<std::invalid_argument const*>(&error) != nullptr;
        return of_input ? scenarios::problem_words(error) : std::string("internal error: ") + error.what();
    }

    std::span<BatchJob const> jobs_;
    Clock clock_;
    BatchOptions options_;
    BatchRun run_;
    std::unordered_map<CheckedInputs const*, std::size_t> position_;
    std::vector<SharedInputs> inputs_;
    std::vector<std::vector<std::size_t>> classes_;  // jobs of one water year each
    std::vector<std::size_t> alone_;
    std::atomic<std::size_t> alone_hours_ = 0;
};

}  // namespace

BatchRun run_batch(std::span<BatchJob const> jobs, Clock const& clock, BatchOptions const& options) {
    if (options.threads == BatchOptions::callers) return Batch(jobs, clock, options).run();
    BatchRun run;
    on_threads(options.threads, [&] { run = Batch(jobs, clock, options).run(); });
    return run;
}

}  // namespace holdwater::sim
