#include "sim/verdict/made_years.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <stdexcept>

#include "models/numeric/parameter_error.hpp"
#include "models/numeric/random_stream.hpp"
#include "models/numeric/statistics.hpp"
#include "models/water/pressure_tank.hpp"
#include "scenarios/settings/field_words.hpp"
#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/autonomy/store_levels.hpp"
#include "sim/base/job_pool.hpp"
#include "sim/batch/scenario_years.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/verdict/made_weather.hpp"
#include "sim/year/battery_life.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {
namespace {

constexpr int shortest_run_in_days = 30, longest_run_in_days = 365;
constexpr int first_batch_years = 8, most_batch_years = 64;  // that are run at a time
constexpr double levels_agree = 1e-3;  // share of the capacity of a battery, cistern or trough
enum Stream : std::uint64_t { outage_stream = made_weather_stream + 1, demand_stream, generator_stream };
using SharedYear = std::shared_ptr<weather::WeatherYear const>;

// A run may pass the end of the year. Events that happen once a year then happen again a year later.
models::OutageList every_year(models::OutageList const& outages) {
    auto later = outages;
    for (auto& o : later) {
        o.start_h += hours_per_year;
        o.end_h += hours_per_year;
    }
    return models::merge(outages, later);
}

scenarios::Scenario redrawn(scenarios::Scenario s, std::uint64_t seed, std::uint64_t year) {
    auto const of = [&](Stream stream) { return models::stream_seed(seed, stream, year); };
    if (s.outage_statistics)
        s.outages = models::merge(
            s.listed_outages, models::outages_by(*s.outage_statistics, of(outage_stream), hours_per_year));
    s.outages = every_year(s.outages);
    s.demand.seed = of(demand_stream);
    s.generator_operation.seed = of(generator_stream);
    return s;
}

SharedYear not_owned(weather::WeatherYear const& year) { return {std::shared_ptr<void>(), &year}; }

System sized_system(DrawnDesign const& design) {
    return with_array_factor(with_battery_factor(make_system(design.scenario), design.battery_factor),
                             design.array_factor);
}

// `drawn`: the scenario with what is drawn for a year. Pump, pipes and well are the same in every year.
System with_drawn(System system, scenarios::Scenario const& drawn) {
    system.outages = drawn.outages;
    system.generator_operation.seed = drawn.generator_operation.seed;
    return system;
}

std::string what_is_drawn(std::vector<DrawnDesign> const& designs) {
    bool outages = false, demand = false, generator = false;
    for (auto const& design : designs) {
        auto const& s = design.scenario;
        outages = outages || (s.outage_statistics && s.rules.backup == scenarios::Backup::grid);
        demand = demand || scenarios::varies_by_day(s.demand);
        generator =
            generator || (scenarios::uses_generator(s.rules) && s.generator_operation.run.start_failure > 0);
    }
    std::string text = "weather";
    if (outages) text += ", outages";
    if (demand) text += ", demand from day to day";
    if (generator) text += ", generator starts that fail";
    return text;
}

// Seeds of recorded years, different from those of made ones. They are the same for every irradiance model,
// so that only the irradiance differs between the models.
constexpr std::uint64_t recorded_seeds = std::uint64_t{1} << 32;

// The calendar year of a recorded year; its position if the file gives no year.
int number_of(weather::WeatherYear const& year, std::size_t place) {
    return year.file_year.empty() ? static_cast<int>(place) : year.file_year[0];
}

// Year `i` of a verdict from consecutive recorded years, 0 .. their number - 2. A year that begins in January
// is a calendar year, and the whole one before it is its run-in.
struct ChainYear {
    int number = 0;
    SharedYear weather;
};
ChainYear year_of_chain(RecordedChain const& chain, std::size_t i, int first_hour) {
    if (first_hour == 0) return {number_of(chain[i + 1], i + 1), not_owned(chain[i + 1])};
    return {number_of(chain[i], i),
            std::make_shared<weather::WeatherYear const>(joined(chain[i], chain[i + 1], first_hour))};
}

// Consecutive years of a verdict: the weather of year i, and of the run-in before it.
struct YearsInOrder {
    std::vector<int> numbers;
    std::vector<SharedYear> weather;  // of year i, at position i + 1; position 0 is for the first run-in
    int first_run_in_days = longest_run_in_days;
    std::uint64_t first_seed = 0;  // seed number of position 0
};

struct OpenYear {
    std::size_t design = 0, year = 0;  // of a batch
};

class YearsRun {
  public:
    YearsRun(std::vector<DrawnDesign> const& designs, DrawOptions const& options, int first_hour,
             InputsShelf& inputs)
        : designs_(designs),
          seed_(options.seed),
          begin_full_(options.begin_full),
          first_hour_(first_hour),
          shelf_(inputs) {}

    // By design, then by year. `weather_of(design)` gives the weather of its years.
    std::vector<std::vector<DrawnYear>> run(std::vector<YearsInOrder const*> const& weather_of) {
        std::size_t const count = weather_of[0]->numbers.size();
        out_.assign(designs_.size(), std::vector<DrawnYear>(count));
        for (std::size_t d = 0; d < designs_.size(); ++d)
            for (std::size_t i = 0; i < count; ++i) out_[d][i].number = weather_of[d]->numbers[i];
        make(weather_of);
        run_in(weather_of);
        run_years();
        for_each_job(designs_.size(), [&](std::size_t d) { systems_[d].clear(); });
        return std::move(out_);
    }

  private:
    void make(std::vector<YearsInOrder const*> const& weather_of) {
        std::size_t const places = weather_of[0]->weather.size();
        inputs_.assign(designs_.size(), std::vector<std::shared_ptr<CheckedInputs const>>(places));
        systems_.resize(designs_.size());
        problems_.assign(designs_.size(), std::vector<std::string>(places));
        std::vector<std::optional<System>> systems(designs_.size());
        for_each_job(designs_.size(), [&](std::size_t d) {
            systems_[d].resize(places);
            try {
                systems[d] = sized_system(designs_[d]);
            } catch (std::invalid_argument const& error) {  // including models::ParameterError
                problems_[d].assign(places, scenarios::problem_words(error));
            }
        });
        for_each_job(designs_.size() * places, [&](std::size_t j) {
            // The irradiance of a year is computed once.
            std::size_t const d = j % designs_.size(), place = j / designs_.size();
            if (!weather_of[d]->weather[place] || !systems[d]) return;
            try {
                auto const scenario = redrawn(designs_[d].scenario, seed_, weather_of[d]->first_seed + place);
                inputs_[d][place] = shelf_.of(scenario, weather_of[d]->weather[place]);
                systems_[d][place] = with_drawn(*systems[d], scenario);
            } catch (std::invalid_argument const& error) {  // including models::ParameterError
                problems_[d][place] = scenarios::problem_words(error);
            }
        });
    }

    // The years for which full and empty stores have not yet come together at the beginning of the year.
    void run_in(std::vector<YearsInOrder const*> const& weather_of) {
        std::vector<OpenYear> open;
        for (std::size_t d = 0; d < designs_.size(); ++d)
            for (std::size_t i = 0; i < out_[d].size(); ++i) {
                if (!problems_[d][i].empty() || !problems_[d][i + 1].empty()) {
                    out_[d][i].problem = problems_[d][i].empty() ? problems_[d][i + 1] : problems_[d][i];
                    continue;
                }
                open.push_back({d, i});
            }
        if (begin_full_) {
            for (OpenYear const& job : open) {
                DrawnYear& year = out_[job.design][job.year];
                auto const full = levels_at_share(*systems_[job.design][job.year + 1], 1);
                year.start_soc = full.soc;
                year.start_water = {0, full.cistern_m3, full.trough_m3};
            }
            return;
        }
        for (int days = shortest_run_in_days; !open.empty(); days = longer(days)) {
            open = run_in(weather_of, open, days);
            if (days == longest_run_in_days) break;
        }
    }
    static int longer(int days) { return days < longest_run_in_days / 2 ? 2 * days : longest_run_in_days; }

    std::vector<OpenYear> run_in(std::vector<YearsInOrder const*> const& weather_of,
                                 std::vector<OpenYear> const& open, int days) {
        std::map<int, std::vector<OpenYear>> by_days;
        for (OpenYear const& job : open) {
            int const most = job.year == 0 ? weather_of[job.design]->first_run_in_days : longest_run_in_days;
            by_days[std::min(days, most)].push_back(job);
        }
        std::vector<OpenYear> differ;
        for (auto const& of_length : by_days) {  // clang 14 lets no lambda have parts of a structured binding
            int const run_days = of_length.first;
            auto const& jobs = of_length.second;
            std::vector<std::unique_ptr<System>> begin(2 * jobs.size());
            std::vector<BatchJob> runs(begin.size());
            for_each_job(begin.size(), [&](std::size_t r) {
                auto const [design, year] = jobs[r / 2];
                System const& system = *systems_[design][year];
                begin[r] = std::make_unique<System>(
                    with_levels(system, levels_at_share(system, r % 2 == 0 ? 1 : 0)));
                runs[r] = {begin[r].get(), inputs_[design][year].get()};
            });
            Clock clock;
            clock.hours = 24 * run_days;
            clock.first_hour = first_hour_ - clock.hours;
            if (clock.first_hour < 0) clock.first_hour += hours_per_year;
            auto const ends = run_batch(runs, clock, {.threads = BatchOptions::callers}).years;
            for_each_job(begin.size(), [&](std::size_t r) { begin[r].reset(); });
            for (std::size_t j = 0; j < jobs.size(); ++j) {
                DrawnYear& year = out_[jobs[j].design][jobs[j].year];
                BatchYear const &full = ends[2 * j], &empty = ends[2 * j + 1];
                year.run_in_days = run_days;
                year.start_soc = full.end_soc;
                year.start_water = full.end_water;
                if (!full.problem.empty() || !empty.problem.empty())
                    year.problem = full.problem.empty() ? empty.problem : full.problem;
                else if (System const& system = *systems_[jobs[j].design][jobs[j].year];
                         !agree(system, full, empty,
                                cycles_of(designs_[jobs[j].design].scenario, system, full, empty))) {
                    if (run_days < days)
                        year.problem = fmt::format(
                            "what is stored when it begins is not known: its record begins only {} days "
                            "before it",
                            run_days);
                    else if (days == longest_run_in_days)
                        year.recovers = false;
                    else
                        differ.push_back(jobs[j]);
                }
            }
        }
        return differ;
    }
    // By how much two runs can differ for good although nothing is missing: one filled the tank, the cistern
    // or the trough some hours before the other, and its battery gave the energy for it.
    struct Cycles {
        double soc = 0, cistern_m3 = 0, trough_m3 = 0;
    };
    static Cycles cycles_of(scenarios::Scenario const& scenario, System const& s, BatchYear const& a,
                            BatchYear const& b) {
        Cycles c;
        bool const tank = !s.cistern || !s.cistern->gravity;
        if (s.cistern) c.cistern_m3 = s.cistern->cistern.fill_stop_m3 - s.cistern->cistern.fill_start_m3;
        if (s.trough) c.trough_m3 = s.trough->full_m3 - s.trough->open_m3;
        double const water_m3 = (tank ? models::drawdown_m3(scenario.tank) : 0) + c.cistern_m3 + c.trough_m3;
        for (auto const* run : {&a, &b}) {
            Summary const& sum = run->summary;
            if (sum.water_delivered_m3 <= 0 || s.battery.capacity_kwh <= 0) continue;
            double const pump_kwh = water_m3 * sum.pump_energy_kwh / sum.water_delivered_m3;
            double const battery_kwh =
                pump_kwh * (1 + sum.inverter_loss_kwh / sum.ac_served_kwh) / s.battery.discharge_efficiency;
            c.soc = std::max(c.soc, battery_kwh / s.battery.capacity_kwh);
        }
        return c;
    }
    static bool agree(System const& s, BatchYear const& a, BatchYear const& b, Cycles const& cycles) {
        auto const near = [](double x, double y, double whole, double cycle) {
            return std::abs(x - y) <= levels_agree * whole + cycle;
        };
        return near(a.end_soc, b.end_soc, 1, cycles.soc) &&
               (!s.cistern || near(a.end_water.cistern_m3, b.end_water.cistern_m3,
                                   s.cistern->cistern.capacity_m3, cycles.cistern_m3)) &&
               (!s.trough ||
                near(a.end_water.trough_m3, b.end_water.trough_m3, s.trough->full_m3, cycles.trough_m3));
    }

    void run_years() {
        std::vector<OpenYear> jobs;
        for (std::size_t d = 0; d < designs_.size(); ++d)
            for (std::size_t i = 0; i < out_[d].size(); ++i)
                if (out_[d][i].problem.empty()) jobs.push_back({d, i});
        std::vector<std::unique_ptr<System>> begin(jobs.size());
        std::vector<BatchJob> runs(jobs.size());
        for_each_job(jobs.size(), [&](std::size_t j) {
            auto const [d, i] = jobs[j];
            DrawnYear const& year = out_[d][i];
            begin[j] = std::make_unique<System>(
                with_levels(*systems_[d][i + 1],
                            {year.start_soc, year.start_water.cistern_m3, year.start_water.trough_m3}));
            runs[j] = {begin[j].get(), inputs_[d][i + 1].get()};
        });
        Clock clock;
        clock.first_hour = first_hour_;
        // Of the findings a study of years needs the life of the battery alone.
        bool const findings = std::any_of(begin.begin(), begin.end(),
                                          [](auto const& s) { return asks_for_life(s->battery_life); });
        auto run = run_batch(runs, clock, {.threads = BatchOptions::callers, .findings = findings});
        for_each_job(begin.size(), [&](std::size_t j) { begin[j].reset(); });
        for (std::size_t j = 0; j < jobs.size(); ++j)
            static_cast<BatchYear&>(out_[jobs[j].design][jobs[j].year]) = std::move(run.years[j]);
    }

    std::vector<DrawnDesign> const& designs_;
    std::uint64_t seed_;
    bool begin_full_;
    int first_hour_;
    InputsShelf& shelf_;
    std::vector<std::vector<std::shared_ptr<CheckedInputs const>>> inputs_;  // by design, then by place
    std::vector<std::vector<std::optional<System>>> systems_;
    std::vector<std::vector<std::string>> problems_;
    std::vector<std::vector<DrawnYear>> out_;
};

RecordedDraws run_recorded(RecordedSet const& set, std::vector<DrawnDesign> const& designs,
                           DrawOptions const& o, int first_hour) {
    // Not the shelf that outlives this call: it knows a year by its address, and these belong to the caller.
    InputsShelf inputs;
    RecordedDraws draws{set.source, "", std::vector<std::vector<DrawnYear>>(designs.size()), set.notes};
    std::uint64_t chain_seed = recorded_seeds;
    for (auto const& chain : set.chains) {
        YearsInOrder years;
        years.first_seed = chain_seed;
        chain_seed += chain.size();
        if (chain.size() < 2) continue;
        years.weather.push_back(not_owned(chain[0]));
        years.first_run_in_days = first_hour == 0 ? longest_run_in_days : first_hour / 24;
        for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
            auto const [number, weather] = year_of_chain(chain, i, first_hour);
            years.numbers.push_back(number);
            years.weather.push_back(weather);
        }
        auto run = YearsRun(designs, o, first_hour, inputs)
                       .run(std::vector<YearsInOrder const*>(designs.size(), &years));
        for (std::size_t d = 0; d < designs.size(); ++d)
            std::move(run[d].begin(), run[d].end(), std::back_inserter(draws.years[d]));
    }
    std::size_t const count = draws.years[0].size();
    if (count == 0)
        draws.notes.push_back(fmt::format(
            "No recorded year{} could be run: a year needs two consecutive calendar years",
            set.source == RecordedSet().source ? std::string() : fmt::format(" by {} light", set.source)));
    draws.weather =
        fmt::format("{} recorded year{}{}", count, count == 1 ? "" : "s", light_words(set.source));
    return draws;
}

bool not_run_year(DrawnYear const& year) { return !year.problem.empty(); }

// Adds to the notes how many of the years could not be run and why, and keeps one reason in `problem`.
// Returns whether any could be run.
bool note_problems(std::vector<std::vector<DrawnYear>> const& designs, std::vector<std::string>& notes,
                   std::string& problem) {
    bool any_run = false;
    for (auto const& years : designs) {
        any_run = any_run || !std::all_of(years.begin(), years.end(), not_run_year);
        auto const note = problem_note(years);
        if (note.empty()) continue;
        problem = std::find_if(years.begin(), years.end(), not_run_year)->problem;
        notes.push_back(note);
    }
    return any_run;
}

}  // namespace

std::string light_words(std::string const& source) {
    return source == RecordedSet().source ? std::string() : fmt::format(", {} light", source);
}

BatchYear run_year(scenarios::Scenario const& scenario, weather::WeatherYear const& year) {
    InputsShelf inputs;
    ScenarioYear const job{&scenario, not_owned(year)};
    return run_scenario_years(std::span(&job, 1), inputs).front();
}

int verdict_start_month(HourlyInputs const& typical) {
    std::array<double, 12> light{}, demand{};
    for (int month = 0; month < 12; ++month)
        for (auto h = static_cast<std::size_t>(weather::month_start_hour[month]);
             h < static_cast<std::size_t>(weather::month_start_hour[month + 1]); ++h) {
            light[static_cast<std::size_t>(month)] += typical.plane_light_w_m2.at(h);
            demand[static_cast<std::size_t>(month)] += typical.demand_m3.at(h);
        }
    double most = -1;
    int start = 1;
    for (std::size_t month = 0; month < 12; ++month) {
        double light3 = 0, demand3 = 0;
        for (std::size_t const m : {(month + 11) % 12, month, (month + 1) % 12}) {
            light3 += light[m];
            demand3 += demand[m];
        }
        double const ratio = demand3 > 0 ? light3 / demand3 : std::numeric_limits<double>::infinity();
        if (ratio > most) {
            most = ratio;
            start = static_cast<int>(month) + 1;
        }
    }
    if (std::any_of(demand.begin(), demand.end(), [](double m3) { return m3 > 0; })) return start;
    auto brightest = typical;
    brightest.demand_m3.assign(brightest.demand_m3.size(), 1);
    return brightest.demand_m3.empty() ? 1 : verdict_start_month(brightest);
}

bool are_winters(int start_month, double latitude_deg) {
    return latitude_deg >= 0 ? start_month >= 5 && start_month <= 8 : start_month >= 11 || start_month <= 2;
}

Draws run_made_years(std::vector<DrawnDesign> const& designs, DrawOptions const& o) {
    models::require(o.years >= 0 && o.years <= 100000, "draws", o.years, "must be 0 .. 100000");
    models::require(o.first >= 1 && o.first <= 1000000, "first", o.first, "must be 1 .. 1,000,000");
    Draws draws;
    auto const shelf = o.shelf ? o.shelf : std::make_shared<MadeShelf>();
    DrawnDesign const& first_design = designs[0];
    draws.start_month =
        o.start_month
            ? *o.start_month
            : verdict_start_month(make_inputs(first_design.scenario, *first_design.own_year,
                                              *shelf->inputs().sun_of(first_design.own_year->site)));
    draws.winters = are_winters(draws.start_month, designs[0].own_year->site.latitude_deg);
    int const first_hour = weather::month_start_hour[draws.start_month - 1];
    draws.drawn = what_is_drawn(designs);
    ThreadLimit const limit(o.threads);
    draws.years.resize(designs.size());

    // Most designs share one weather file.
    std::map<weather::WeatherYear const*, MadeShelf::Made> made_like;
    if (o.years > 0)
        for (auto const& design : designs) {
            auto const* const own_year = design.own_year;
            if (made_like.contains(own_year)) continue;
            auto const made = made_like.emplace(own_year, shelf->maker(*own_year, o)).first;
            auto const& notes = made->second->notes();
            draws.notes.insert(draws.notes.end(), notes.begin(), notes.end());
        }
    // More years at a time while they are quick, so that slow ones can be watched and stopped.
    for (int done = 0, batch = first_batch_years, count = 0; done < o.years && !asked_to_stop(o.stop);
         done += count) {
        auto const began = std::chrono::steady_clock::now();
        count = std::min(batch, o.years - done);
        int const first = o.first - 1 + done, end = first + count;
        // The run-in of a year is in the year before it.
        std::map<weather::WeatherYear const*, YearsInOrder> weather;
        for (auto const& [own_year, made] : made_like) {
            YearsInOrder& years = weather[own_year];
            years.first_seed = static_cast<std::uint64_t>(first);
            years.weather = shelf->years(made, first, static_cast<std::size_t>(end - first) + 1, first_hour);
            for (int number = first + 1; number <= end; ++number) years.numbers.push_back(number);
        }
        std::vector<YearsInOrder const*> weather_of;
        weather_of.reserve(designs.size());
        for (auto const& design : designs) weather_of.push_back(&weather.at(design.own_year));
        auto run = YearsRun(designs, o, first_hour, shelf->inputs()).run(weather_of);
        for (std::size_t d = 0; d < designs.size(); ++d)
            std::move(run[d].begin(), run[d].end(), std::back_inserter(draws.years[d]));
        if (o.progress) o.progress(end - o.first + 1, o.years);
        if (std::chrono::steady_clock::now() - began < std::chrono::milliseconds(300))
            batch = std::min(2 * batch, most_batch_years);
    }
    return draws;
}

std::string made_words(std::size_t made, DrawOptions const& o) {
    return fmt::format("{} made years like the {}, seed {}", made,
                       fitted_to_recorded(o) ? "recorded years" : "weather file", o.seed);
}

std::string problem_note(std::vector<DrawnYear> const& years) {
    auto const count = std::count_if(years.begin(), years.end(), not_run_year);
    if (count == 0) return "";
    return fmt::format("{} of the {} years could not be run: {}", count, years.size(),
                       std::find_if(years.begin(), years.end(), not_run_year)->problem);
}

void tell_years(Draws& draws, DrawOptions const& o) {
    auto const made = draws.years[0].size();
    if (made > 0) draws.weather = made_words(made, o);
    std::string problem;
    bool any_run = note_problems(draws.years, draws.notes, problem);
    for (auto& set : draws.recorded) any_run = note_problems(set.years, set.notes, problem) || any_run;
    if (!any_run) throw std::invalid_argument("no year could be run: " + problem);
}

Draws draw_years(std::vector<DrawnDesign> const& designs, DrawOptions const& o) {
    models::require(o.years > 0 || !o.recorded.empty(), "draws", o.years,
                    "must be above 0 where no recorded years are given");
    auto draws = run_made_years(designs, o);
    int const first_hour = weather::month_start_hour[draws.start_month - 1];
    ThreadLimit const limit(o.threads);
    for (auto const& set : o.recorded)
        if (!o.recorded_fit_only && !asked_to_stop(o.stop))
            draws.recorded.push_back(run_recorded(set, designs, o, first_hour));
    auto const made = draws.years[0].size();
    std::size_t recorded = 0;
    for (auto const& set : draws.recorded) recorded += set.years[0].size();
    if (made + recorded == 0 && asked_to_stop(o.stop)) throw StudyStopped();
    models::require(o.years > 0 || recorded > 0, "recorded years", static_cast<double>(recorded),
                    "must be two calendar years one after the other for one verdict year");
    tell_years(draws, o);
    return draws;
}

RunResult run_drawn_year(DrawnDesign const& design, DrawOptions const& o, int start_month,
                         DrawnYear const& year, std::optional<std::size_t> recorded_set) {
    int const first_hour = weather::month_start_hour[start_month - 1];
    auto const shelf = o.shelf ? o.shelf : std::make_shared<MadeShelf>();
    InputsShelf of_recorded;  // as in run_recorded
    SharedYear weather;
    std::uint64_t seed_number = 0;
    if (recorded_set) {
        std::uint64_t chain_seed = recorded_seeds;
        for (auto const& chain : o.recorded.at(*recorded_set).chains) {
            for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
                auto const [number, weather_of_year] = year_of_chain(chain, i, first_hour);
                if (number != year.number) continue;
                weather = weather_of_year;
                seed_number = chain_seed + i + 1;
            }
            chain_seed += chain.size();
        }
        models::require(seed_number > 0, "recorded year", year.number, "must be one of those given");
    } else {
        auto const made = shelf->maker(*design.own_year, o);
        weather = shelf->years(made, year.number, 1, first_hour).front();
        seed_number = static_cast<std::uint64_t>(year.number);
    }
    auto const scenario = redrawn(design.scenario, o.seed, seed_number);
    Clock clock;
    clock.first_hour = first_hour;
    return simulate(with_levels(with_drawn(sized_system(design), scenario),
                                {year.start_soc, year.start_water.cistern_m3, year.start_water.trough_m3}),
                    *(recorded_set ? of_recorded : shelf->inputs()).of(scenario, weather), clock);
}

std::vector<std::vector<DrawnYear>> const& years_to_show(Draws const& draws) {
    bool const made = !draws.years.empty() && !draws.years[0].empty();
    return made || draws.recorded.empty() ? draws.years : draws.recorded[0].years;
}

void add_notes(std::vector<std::string>& notes, std::vector<std::string> const& more) {
    for (auto const& note : more)
        if (std::find(notes.begin(), notes.end(), note) == notes.end()) notes.push_back(note);
}

std::vector<std::string> notes_on(Draws const& draws) {
    std::vector<std::string> notes;
    add_notes(notes, draws.notes);
    for (auto const& set : draws.recorded) add_notes(notes, set.notes);
    return notes;
}

Spread spread_of(std::vector<double> const& values, int better) {
    Spread s{};
    s.mean = models::mean(values);
    s.median = models::quantile(values, 0.5);
    s.low = models::quantile(values, 0.1);
    s.high = models::quantile(values, 0.9);
    s.bad = better > 0 ? s.low : s.high;
    s.worst = better > 0 ? *std::min_element(values.begin(), values.end())
                         : *std::max_element(values.begin(), values.end());
    return s;
}

Odds odds_of(std::vector<DrawnYear> const& years, std::function<bool(DrawnYear const&)> const& happened) {
    Odds odds{0, 0, {}};
    for (auto const& year : years) {
        if (!year.problem.empty()) continue;
        ++odds.years;
        odds.times += happened(year) ? 1 : 0;
    }
    models::require(odds.years > 0, "years", 0, "could not be run");
    odds.share = models::clopper_pearson_interval(odds.times, odds.years);
    return odds;
}

bool without_shortage(DrawnYear const& year) { return year.recovers && year.summary.shortage_hours == 0; }

}  // namespace holdwater::sim
