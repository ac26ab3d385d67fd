#include "sim/designs/size_design.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <memory>
#include <stdexcept>
#include <utility>

#include "models/array/pv_array.hpp"
#include "models/numeric/read_double.hpp"
#include "scenarios/design/weather_shelf.hpp"
#include "scenarios/settings/field_words.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "sim/base/job_pool.hpp"
#include "sim/batch/scenario_years.hpp"
#include "sim/designs/design_cost.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/verdict/years_verdict.hpp"

namespace holdwater::sim {
namespace {

using scenarios::SearchLeast;

std::optional<double> plain_number(std::string const& toml) {
    double value = 0;
    auto const end = toml.data() + toml.size();
    auto const [at, failure] = models::read_double(toml.data(), end, value);
    if (failure != std::errc() || at != end) return std::nullopt;
    return value;
}

// Prices of its own, of its parts, or through the purchase price that it changes.
bool has_prices(scenarios::SearchAxis const& axis) {
    if (!axis.prices.empty()) return true;
    return std::any_of(axis.values[0].begin(), axis.values[0].end(), [](scenarios::Override const& o) {
        return o.key == "prices.purchase" || o.key.ends_with(".part");
    });
}

double controller_passes_w(scenarios::Scenario const& s) {
    return std::min(s.controller.power_limit_w, s.controller.current_limit_a * s.battery_nominal_v);
}

// A combination that will be run.
struct SizeJob {
    scenarios::Design design;
    std::shared_ptr<weather::WeatherYear const> year;
};

class Sizer {
  public:
    Sizer(scenarios::DesignFile const& file, scenarios::SearchSettings const& settings,
          SizeOptions const& options)
        : file_(file), options_(options), shelf_(options.weather.file) {
        answer_.settings = settings;
        // A problem of the base design itself is no finding about a combination.
        base_ = scenarios::option_design(file, options.base);
        answer_.settings_of_years = base_.scenario.years;
        draw_ = years_to_run(base_.scenario, options.weather);
        draw_.stop = options.stop;
        // Without made years the choice is made on the first set of recorded ones.
        draw_.recorded_fit_only = draw_.years > 0;
        answer_.chosen_on_recorded = draw_.years == 0 && any_years(draw_);
        answer_.years_of_choice = draw_.years;
        answer_.requirements = names_of(settings.require, any_years(draw_));
        check();
    }

    SizeAnswer answer();
    void begin();
    std::vector<SizeRun> runs_of(std::vector<Combination> const& combinations);

  private:
    void check();
    void check_key(scenarios::Override const& change) const;
    void check_prices(bool priced);
    void note_controller();
    scenarios::DesignOption option_of(Combination const& c) const;
    double price_of(Combination const& c) const;
    std::vector<double> least_objective(Combination const& c) const;
    std::vector<double> bound(scenarios::Prices const& prices, std::vector<double> const& order) const;
    std::vector<double> objective(Combination const& c, SizeRun const& run) const;
    std::vector<Judged> run(std::vector<Combination> const& combinations);
    std::vector<std::vector<DrawnYear>> years_of(std::vector<std::optional<SizeJob>> const& jobs,
                                                 std::vector<std::size_t> const& place,
                                                 std::vector<BatchYear> const& run);
    void tell_years_of_choice();
    void confirm();
    void search_all(SizeSearch& search);
    std::optional<Combination> best_of_runs() const;
    std::optional<Combination> nearest() const;

    scenarios::DesignFile const& file_;
    SizeOptions const& options_;
    scenarios::WeatherShelf shelf_;
    InputsShelf inputs_;
    scenarios::Design base_;
    DrawOptions draw_;
    bool whole_ = false;  // prices need the whole design, because it takes parts from lists or an option
    SizeAnswer answer_;
};

void Sizer::check() {
    auto const& settings = answer_.settings;
    if (settings.axes.empty())
        throw scenarios::ScenarioError(
            file_.path, 0, "search",
            "there is nothing to choose from; add tables [[search.axis]] with a name and lists of values, or "
            "give --vary \"battery.capacity=5 kWh,10 kWh\"");
    if (answer_.requirements.empty())
        throw scenarios::ScenarioError(file_.path, 0, "search.require",
                                       "nothing is required; add a table [search.require] with keys such as "
                                       "demand_met = 0.999, or give --require demand_met=0.999");
    bool const priced = base_.prices.has_value();
    whole_ = !base_.scenario.parts.empty();
    answer_.least = settings.least.value_or(priced ? SearchLeast::cost : SearchLeast::size);
    check_prices(priced);
    bool prices_wanted = answer_.least != SearchLeast::size || settings.require.purchase;
    for (auto const& axis : settings.axes) {
        prices_wanted = prices_wanted || !axis.prices.empty();
        for (auto const& value : axis.values)
            for (auto const& o : value) {
                whole_ = whole_ || o.key.ends_with(".part") || o.key == scenarios::option_key;
                check_key(o);
                if (o.key != scenarios::option_key) continue;
                if (auto const* option = scenarios::chosen_option(file_, o))
                    for (auto const& change : option->overrides) check_key(change);
            }
    }
    if (prices_wanted && !priced)
        throw scenarios::ScenarioError(file_.path, 0, "search",
                                       "money is compared, but the scenario has no table [prices]");
    if (priced) {
        answer_.currency = base_.prices->currency;
        answer_.years = base_.prices->years;
    }
    note_controller();
}

// A list whose values all cost nothing has no prices.
void Sizer::check_prices(bool priced) {
    if (!priced || answer_.least == SearchLeast::size) return;
    auto const& settings = answer_.settings;
    std::string without;
    std::size_t count = 0;
    for (auto const& axis : settings.axes) {
        if (has_prices(axis)) continue;
        ++count;
        without += (without.empty() ? "" : ", ") + axis.name;
    }
    if (count == 0) return;
    if (count < settings.axes.size()) {
        answer_.partly_priced = true;
        answer_.notes.push_back(
            fmt::format("No price is given in: {}. Their values count as costing the same.", without));
        return;
    }
    if (settings.least)
        throw scenarios::ScenarioError(
            file_.path, 0, "search.least",
            fmt::format("\"{}\" compares money, but no list has a price, so every size would cost the same "
                        "({}); add price = [...] to each [[search.axis]], or give least = \"size\"",
                        answer_.least == SearchLeast::cost ? "cost" : "purchase", without));
    answer_.least = SearchLeast::size;
    answer_.notes.push_back(
        fmt::format("Ranked by size, not by cost: no list has a price ({}). Add price = [...] to each "
                    "[[search.axis]] to find the cheapest.",
                    without));
}

// An array that is sized without its controller reaches the limit of the controller; if the controller's
// limit is in the same list, it grows with the array.
void Sizer::note_controller() {
    bool sized = false, taken_along = false;
    for (auto const& axis : answer_.settings.axes)
        for (auto const& o : axis.values[0]) {
            sized = sized || o.key == "array.rated_power" || o.key == "array.modules_in_series" ||
                    o.key == "array.strings" || o.key == "array.module.part";
            taken_along = taken_along || o.key.starts_with("controller.");
        }
    if (!sized || taken_along) return;
    struct Sized {
        std::size_t axis = 0, value = 0;
        double array_w = 0, passed_w = 0;
    };
    std::vector<Sized> sizes;
    for (std::size_t a = 0; a < answer_.settings.axes.size(); ++a)
        for (std::size_t v = 0; v < answer_.settings.axes[a].values.size(); ++v) sizes.push_back({a, v});
    for_each_job(sizes.size(), [&](std::size_t i) {
        auto option = options_.base;
        auto const& value = answer_.settings.axes[sizes[i].axis].values[sizes[i].value];
        option.overrides.insert(option.overrides.end(), value.begin(), value.end());
        try {
            auto const design = scenarios::option_design(file_, option);
            sizes[i].array_w =
                models::array_rated_power_w(design.scenario.array) * design.scenario.controller.efficiency;
            sizes[i].passed_w = controller_passes_w(design.scenario);
        } catch (scenarios::ScenarioError const&) {
            // The message comes from its run.
        }
    });
    auto const largest = *std::max_element(
        sizes.begin(), sizes.end(), [](Sized const& a, Sized const& b) { return a.array_w < b.array_w; });
    if (largest.array_w <= largest.passed_w) return;
    auto const& axis = answer_.settings.axes[largest.axis];
    answer_.notes.push_back(fmt::format(
        "The charge controller does not grow with the array: with {} the array could give {:.1f} kW, "
        "the controller passes on {:.1f} kW. Add \"controller.power_limit\" = [...] to the same "
        "[[search.axis]] to size both together.",
        fmt::format("{} {}", axis.name, axis.labels[largest.value]), 1e-3 * largest.array_w,
        1e-3 * largest.passed_w));
}

void Sizer::check_key(scenarios::Override const& o) const {
    if (o.key == "prices.years" || o.key == "prices.discount_rate" || o.key == "prices.currency")
        throw scenarios::ScenarioError(file_.path, o.line, o.key,
                                       "must be the same for all that is to be compared");
}

scenarios::DesignOption Sizer::option_of(Combination const& c) const {
    auto option = options_.base;
    option.name = name_of(answer_, c);
    std::vector<scenarios::Override> changes;
    for (std::size_t a = 0; a < c.size(); ++a) {
        auto const& value = answer_.settings.axes[a].values[c[a]];
        changes.insert(changes.end(), value.begin(), value.end());
    }
    changes = scenarios::options_first(std::move(changes));
    option.overrides.insert(option.overrides.end(), changes.begin(), changes.end());
    return option;
}

double Sizer::price_of(Combination const& c) const {
    double sum = 0;
    for (std::size_t a = 0; a < c.size(); ++a)
        if (auto const& prices = answer_.settings.axes[a].prices; !prices.empty()) sum += prices[c[a]];
    return sum;
}

std::vector<double> Sizer::least_objective(Combination const& c) const {
    std::vector<double> const order(c.begin(), c.end());
    if (answer_.least == SearchLeast::size) return order;
    auto prices = *base_.prices;
    if (whole_) {  // parts and options have prices of their own
        try {
            prices = *scenarios::option_design(file_, option_of(c)).prices;
        } catch (scenarios::ScenarioError const&) {
            return {-std::numeric_limits<double>::infinity()};  // it will be run, and refused with the reason
        }
        prices.purchase = std::max(0.0, prices.purchase + price_of(c));
        return bound(prices, order);
    }
    // Prices with the changes of the lists, without reading the whole design.
    for (std::size_t a = 0; a < c.size(); ++a)
        for (auto const& o : answer_.settings.axes[a].values[c[a]]) {
            auto const value = plain_number(o.value);
            if (!value) continue;  // the message comes from reading the design
            if (o.key == "prices.purchase") prices.purchase = *value;
            if (o.key == "prices.maintenance_per_year") prices.maintenance_per_year = *value;
            if (o.key == "prices.battery_replacement") prices.battery_replacement = *value;
            if (o.key == "prices.battery_life_years") prices.battery_life_y = *value;
        }
    prices.purchase = std::max(0.0, prices.purchase + price_of(c));
    return bound(prices, order);
}

std::vector<double> Sizer::bound(scenarios::Prices const& prices, std::vector<double> const& order) const {
    std::vector<double> out{answer_.least == SearchLeast::cost ? least_cost(prices) : prices.purchase};
    // Combinations of equal cost are distinguished by size; a cost before the run is only a bound.
    if (answer_.least == SearchLeast::purchase) out.insert(out.end(), order.begin(), order.end());
    return out;
}

std::vector<double> Sizer::objective(Combination const& c, SizeRun const& run) const {
    std::vector<double> out;
    if (answer_.least == SearchLeast::cost) out.push_back(*run.figures.cost);
    if (answer_.least == SearchLeast::purchase) out.push_back(*run.figures.purchase);
    out.insert(out.end(), c.begin(), c.end());
    return out;
}

std::vector<SizeRun> Sizer::runs_of(std::vector<Combination> const& combinations) {
    stop_if_asked(options_.stop);
    std::vector<std::optional<SizeJob>> jobs(combinations.size());
    std::vector<SizeRun> runs(combinations.size());
    for_each_job(combinations.size(), [&](std::size_t i) {
        try {
            auto design = scenarios::option_design(file_, option_of(combinations[i]));
            if (design.prices)
                design.prices->purchase = std::max(0.0, design.prices->purchase + price_of(combinations[i]));
            jobs[i] = SizeJob{std::move(design), nullptr};
        } catch (scenarios::ScenarioError const& error) {
            runs[i].problem = error.first();
        }
    });
    for (std::size_t i = 0; i < combinations.size(); ++i) {
        if (!jobs[i]) continue;
        try {
            jobs[i]->year = shelf_.of(jobs[i]->design.scenario);
        } catch (scenarios::ScenarioError const& error) {
            jobs[i].reset();
            runs[i].problem = error.first();
        }
    }
    std::vector<ScenarioYear> years;
    std::vector<std::size_t> place;
    for (std::size_t i = 0; i < jobs.size(); ++i) {
        if (!jobs[i]) continue;
        years.push_back({&jobs[i]->design.scenario, jobs[i]->year});
        place.push_back(i);
    }
    auto const run = run_scenario_years(years, inputs_);
    auto const many = years_of(jobs, place, run);
    auto const& require = answer_.settings.require;
    for_each_job(years.size(), [&](std::size_t y) {
        std::size_t const i = place[y];
        runs[i].problem = run[y].problem;
        if (!run[y].problem.empty()) return;
        try {
            runs[i].figures = requirement_figures(jobs[i]->design, *jobs[i]->year, require, run[y],
                                                  any_years(draw_), many[i]);
            judge(runs[i], require);
            if (!answer_.chosen_on_recorded) runs[i].years_problem = problem_note(many[i]);
        } catch (std::invalid_argument const& error) {  // including models::ParameterError
            runs[i].problem = scenarios::problem_words(error);
        }
    });
    return runs;
}

std::vector<Judged> Sizer::run(std::vector<Combination> const& combinations) {
    std::vector<SizeRun> runs;
    if (options_.known == nullptr)
        runs = runs_of(combinations);
    else
        for (auto const& c : combinations) runs.push_back(options_.known->at(c));
    std::vector<Judged> judged;
    for (std::size_t i = 0; i < combinations.size(); ++i) {
        Judged j;
        j.possible = runs[i].problem.empty();
        if (j.possible) {
            j.objective = objective(combinations[i], runs[i]);
            for (auto const& v : runs[i].verdicts)
                j.holds.push_back(static_cast<char>(v.holds ? 1 : v.looked_at ? 0 : 2));
        }
        judged.push_back(std::move(j));
        answer_.runs.emplace(combinations[i], std::move(runs[i]));
    }
    if (options_.progress) options_.progress(answer_.runs.size(), answer_.combinations);
    return judged;
}

// Runs the made years of each combination that does not already miss two requirements.
std::vector<std::vector<DrawnYear>> Sizer::years_of(std::vector<std::optional<SizeJob>> const& jobs,
                                                    std::vector<std::size_t> const& place,
                                                    std::vector<BatchYear> const& run) {
    std::vector<std::vector<DrawnYear>> years(jobs.size());
    if (!any_years(draw_)) return years;
    std::vector<int> missed(place.size(), 2);
    for_each_job(place.size(), [&](std::size_t y) {
        if (!run[y].problem.empty()) return;
        auto const& job = *jobs[place[y]];
        missed[y] = quick_misses(job.design, *job.year, answer_.settings.require, run[y]);
    });
    std::vector<DrawnDesign> designs;
    std::vector<std::size_t> of;
    for (std::size_t y = 0; y < place.size(); ++y) {
        if (missed[y] >= 2) continue;
        auto const& job = *jobs[place[y]];
        designs.push_back({as_judged(job.design.scenario), job.year.get()});
        of.push_back(place[y]);
    }
    if (designs.empty()) return years;
    auto draw = draw_;
    if (options_.progress)
        draw.progress = [&](int done, int all) {
            auto const part = jobs.size() * static_cast<std::size_t>(done) / static_cast<std::size_t>(all);
            options_.progress(answer_.runs.size() + part, answer_.combinations);
        };
    auto draws = draw_years(designs, draw);
    stop_if_asked(options_.stop);  // a part of the years gives no verdict
    auto& of_designs = answer_.chosen_on_recorded ? draws.recorded.at(0).years : draws.years;
    for (std::size_t i = 0; i < of.size(); ++i) years[of[i]] = std::move(of_designs[i]);
    if (answer_.chosen_on_recorded && answer_.weather.empty()) {
        answer_.weather = draws.recorded[0].weather;
        answer_.drawn = draws.drawn;
        answer_.notes_on_years = draws.recorded[0].notes;
        answer_.years_of_choice = static_cast<int>(years[of[0]].size());
    }
    return years;
}

// The made years in words: those of the choice or, without one, of the nearest combination, or of the first
// one whose years were run.
void Sizer::tell_years_of_choice() {
    if (answer_.chosen_on_recorded) return;
    auto const ran_years = [](auto const& run) { return run.second.figures.years.has_value(); };
    auto run = answer_.choice    ? answer_.runs.find(*answer_.choice)
               : answer_.nearest ? answer_.runs.find(*answer_.nearest)
                                 : answer_.runs.end();
    if (run == answer_.runs.end() || !ran_years(*run))
        run = std::find_if(answer_.runs.begin(), answer_.runs.end(), ran_years);
    if (run == answer_.runs.end()) return;
    auto const design = scenarios::option_design(file_, option_of(run->first));
    auto const year = shelf_.of(design.scenario);
    auto one = draw_;  // what all years have in common
    one.years = 1;
    one.stop = nullptr;
    auto const draws = run_made_years({{as_judged(design.scenario), year.get()}}, one);
    answer_.weather = made_words(static_cast<std::size_t>(draw_.years), draw_);
    answer_.drawn = draws.drawn;
    answer_.notes_on_years = draws.notes;
    if (!run->second.years_problem.empty()) answer_.notes_on_years.push_back(run->second.years_problem);
}

void Sizer::confirm() {
    if (!any_years(draw_) || !answer_.choice) return;
    auto const design = scenarios::option_design(file_, option_of(*answer_.choice));
    auto const year = shelf_.of(design.scenario);
    auto others = draw_;
    others.first = draw_.years + 1;
    others.years = answer_.chosen_on_recorded ? 0 : confirming_years;
    others.recorded_fit_only = false;
    others.stop = nullptr;
    auto draws = draw_years({{as_judged(design.scenario), year.get()}}, others);
    auto const& required = design.scenario.years.required;
    if (others.years > 0) answer_.confirmed = verdict_of(draws.years.at(0), required);
    for (std::size_t i = answer_.chosen_on_recorded ? 1 : 0; i < draws.recorded.size(); ++i) {
        auto& set = draws.recorded[i];
        add_notes(answer_.notes_on_years, set.notes);
        if (!set.years.at(0).empty())
            answer_.recorded.push_back(
                {set.source, verdict_of(set.years[0], required), std::move(set.years[0])});
    }
}

std::optional<Combination> Sizer::nearest() const {
    std::optional<Combination> best;
    std::vector<double> least;
    for (auto const& [c, r] : answer_.runs) {
        if (!r.problem.empty()) continue;
        auto const missed =
            std::count_if(r.verdicts.begin(), r.verdicts.end(), [](auto const& v) { return !v.holds; });
        std::vector<double> key{static_cast<double>(missed), -r.figures.year.demand_met_fraction};
        auto const& objective = answer_.judged.at(c).objective;
        key.insert(key.end(), objective.begin(), objective.end());
        if (best && key >= least) continue;
        best = c;
        least = std::move(key);
    }
    return best;
}

// The same start month for all combinations.
void Sizer::begin() {
    if (!any_years(draw_)) return;
    auto const year = shelf_.of(base_.scenario);
    draw_.start_month = answer_.start_month = verdict_start_month(make_inputs(base_.scenario, *year));
    answer_.winters = are_winters(*draw_.start_month, year->site.latitude_deg);
}

SizeAnswer Sizer::answer() {
    ThreadLimit const limit(options_.threads);
    begin();
    SearchProblem problem;
    double count = 1;
    for (auto const& axis : answer_.settings.axes) {
        problem.lengths.push_back(axis.values.size());
        problem.more_never_hurts.push_back(axis.more_never_hurts);
        count *= static_cast<double>(axis.values.size());
    }
    for (auto const& name : answer_.requirements) problem.met_by_more.push_back(name.met_by_more);
    problem.least_objective = [this](Combination const& c) { return least_objective(c); };
    problem.run = [this](std::vector<Combination> const& cs) { return run(cs); };
    problem.all = answer_.all_run = count <= static_cast<double>(options_.all_up_to);
    SizeSearch search(std::move(problem));
    answer_.combinations = search.combinations();
    try {
        search_all(search);
    } catch (StudyStopped const&) {
        answer_.stopped = true;
        answer_.judged = search.runs();
        answer_.dropped.clear();
        answer_.one_less.clear();
        answer_.choice = best_of_runs();
    }
    return std::move(answer_);
}

// The best combination that has been run so far.
std::optional<Combination> Sizer::best_of_runs() const {
    std::optional<Combination> best;
    for (auto const& [c, judged] : answer_.judged)
        if (answer_.runs.at(c).meets_all && (!best || judged.objective < answer_.judged.at(*best).objective))
            best = c;
    return best;
}

void Sizer::search_all(SizeSearch& search) {
    std::vector<char> required(answer_.requirements.size(), 1);
    answer_.choice = search.best(required);
    if (std::all_of(answer_.runs.begin(), answer_.runs.end(),
                    [](auto const& r) { return !r.second.problem.empty(); }))
        throw std::invalid_argument("no combination can be built: " + answer_.runs.begin()->second.problem);
    for (std::size_t r = 0; r < required.size(); ++r) {
        required[r] = 0;
        auto would_do = search.best(required);
        required[r] = 1;
        if (would_do == answer_.choice) would_do.reset();
        answer_.dropped.push_back({r, std::move(would_do)});
    }
    if (answer_.choice)
        for (std::size_t a = 0; a < answer_.choice->size(); ++a) {
            auto less = *answer_.choice;
            if (less[a] == 0) continue;
            --less[a];
            (void)search.look_at(less);
            answer_.one_less.push_back({a, std::move(less)});
        }
    answer_.judged = search.runs();
    answer_.contradiction = search.contradiction();
    if (!answer_.choice) answer_.nearest = nearest();
    tell_years_of_choice();
    confirm();
    answer_.frontier = frontier(answer_.judged, [this](Combination const& c) {
        return answer_.runs.at(c).figures.year.demand_met_fraction;
    });
}

}  // namespace

SizeAnswer size_design(scenarios::DesignFile const& file, scenarios::SearchSettings const& settings,
                       SizeOptions const& options) {
    return Sizer(file, settings, options).answer();
}

std::function<std::vector<SizeRun>(std::vector<Combination> const&)> combination_runs(
    scenarios::DesignFile const& file, scenarios::SearchSettings const& settings,
    SizeOptions const& options) {
    auto const sizer = std::make_shared<Sizer>(file, settings, options);
    sizer->begin();
    return [sizer](std::vector<Combination> const& combinations) { return sizer->runs_of(combinations); };
}

void judge(SizeRun& run, scenarios::Requirements const& require) {
    run.verdicts = verdicts(run.figures, require);
    run.meets_all =
        std::all_of(run.verdicts.begin(), run.verdicts.end(), [](auto const& v) { return v.holds; });
}

std::string name_of(SizeAnswer const& answer, Combination const& c) {
    std::string out;
    for (std::size_t a = 0; a < c.size(); ++a) {
        auto const& axis = answer.settings.axes[a];
        out += fmt::format("{}{} {}", a == 0 ? "" : ", ", axis.name, axis.labels[c[a]]);
    }
    return out;
}

}  // namespace holdwater::sim
