#include "sim/region/least_batteries.hpp"

#include <algorithm>
#include <cstddef>
#include <iterator>
#include <limits>
#include <set>
#include <utility>

#include "models/numeric/expects.hpp"
#include "sim/verdict/years_verdict.hpp"

namespace holdwater::sim {
namespace {

// The answer is one of the places low .. high of the list; its end stands for none.
struct ListBracket {
    std::size_t low = 0, high = 0;
    [[nodiscard]] bool open() const { return low < high; }
    [[nodiscard]] std::size_t middle() const { return (low + high) / 2; }
    [[nodiscard]] bool holds(std::size_t place) const { return place >= low && place < high; }
};

// A design with one battery of the list, and its years so far.
struct Trial {
    DrawnDesign design;
    std::size_t place = 0, number = 0;  // in the list, and of the design
    int allowed = 0;                    // failed years with which some share that is asked can still be met
    std::vector<DrawnYear> years;
    bool lost = false;  // none of them can be met any more
};

int failures_allowed(std::size_t share, int years) {
    scenarios::YearsRequired required;
    required.years_without_shortage = winter_shares[share];
    return years - verdict_of(std::vector<DrawnYear>(static_cast<std::size_t>(years)), required).needed;
}

// A quarter of the years first: a battery that is far too small is lost there, and its years take longest.
void run_trials(std::vector<Trial>& trials, DrawOptions const& options) {
    DrawOptions draw = options;
    draw.recorded_fit_only = true;
    int const quarter = std::max(1, (options.years + 3) / 4);
    for (int done = 0; done < options.years; done += draw.years) {
        draw.first = options.first + done;
        draw.years = done == 0 ? quarter : options.years - done;
        std::vector<Trial*> open;
        std::vector<DrawnDesign> designs;
        for (auto& trial : trials)
            if (!trial.lost) {
                open.push_back(&trial);
                designs.push_back(trial.design);
            }
        if (open.empty()) return;
        auto years = draw_years(designs, draw).years;
        stop_if_asked(draw.stop);
        for (std::size_t i = 0; i < open.size(); ++i) {
            Trial& trial = *open[i];
            std::move(years[i].begin(), years[i].end(), std::back_inserter(trial.years));
            auto const verdict = verdict_of(trial.years, trial.design.scenario.years.required);
            trial.lost = verdict.years - verdict.held > trial.allowed || !verdict.limit_met;
        }
    }
}

}  // namespace

std::vector<LeastBatteries> least_batteries(std::vector<DrawnDesign> designs,
                                            std::vector<double> const& batteries_kwh,
                                            DrawOptions const& options) {
    std::vector<double> own_kwh;
    for (auto& design : designs) {
        auto& s = design.scenario;
        HOLDWATER_EXPECTS(s.battery.capacity_kwh > 0);
        own_kwh.push_back(s.battery.capacity_kwh);
        s.rules = scenarios::without_backup(s.rules);
        s.generator.reset();
        s = as_judged(std::move(s));
    }
    std::vector<LeastBatteries> answers(designs.size());
    for (auto& answer : answers) answer.winters = options.years;
    std::vector<std::array<ListBracket, winter_shares.size()>> brackets(designs.size());
    for (auto& of_design : brackets) of_design.fill({0, batteries_kwh.size()});
    while (true) {
        std::set<std::pair<std::size_t, std::size_t>> wanted;  // design and place in the list
        for (std::size_t d = 0; d < designs.size(); ++d)
            for (auto const& bracket : brackets[d])
                if (bracket.open()) wanted.insert({d, bracket.middle()});
        if (wanted.empty()) break;
        std::vector<Trial> trials;
        for (auto const& [d, place] : wanted) {
            auto& trial = trials.emplace_back(Trial{designs[d], place, d, 0, {}, false});
            trial.design.battery_factor = batteries_kwh[place] / own_kwh[d];
            for (std::size_t share = 0; share < winter_shares.size(); ++share)
                if (brackets[d][share].holds(place))
                    trial.allowed = std::max(trial.allowed, failures_allowed(share, options.years));
        }
        run_trials(trials, options);
        for (auto const& trial : trials) {
            auto required = designs[trial.number].scenario.years.required;
            int const problems =
                static_cast<int>(std::count_if(trial.years.begin(), trial.years.end(),
                                               [](auto const& year) { return !year.problem.empty(); }));
            auto& answer = answers[trial.number];
            answer.winters = std::min(answer.winters, options.years - problems);
            for (std::size_t share = 0; share < winter_shares.size(); ++share) {
                ListBracket& bracket = brackets[trial.number][share];
                if (!bracket.holds(trial.place)) continue;
                required.years_without_shortage = winter_shares[share];
                if (!trial.lost && verdict_of(trial.years, required).met)
                    bracket.high = trial.place;
                else
                    bracket.low = trial.place + 1;
            }
        }
    }
    for (std::size_t d = 0; d < designs.size(); ++d)
        for (std::size_t share = 0; share < winter_shares.size(); ++share) {
            auto const place = brackets[d][share].high;
            answers[d].battery_kwh[share] =
                place < batteries_kwh.size() ? batteries_kwh[place] : std::numeric_limits<double>::infinity();
        }
    return answers;
}

}  // namespace holdwater::sim
