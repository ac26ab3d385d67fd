#include "sim/region/least_batteries.hpp"

#include <cstddef>
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
};

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
    DrawOptions draw = options;
    draw.recorded_fit_only = true;
    std::vector<LeastBatteries> answers(designs.size());
    std::vector<std::array<ListBracket, winter_shares.size()>> brackets(designs.size());
    for (auto& of_design : brackets) of_design.fill({0, batteries_kwh.size()});
    while (true) {
        std::set<std::pair<std::size_t, std::size_t>> wanted;  // design and place in the list
        for (std::size_t d = 0; d < designs.size(); ++d)
            for (auto const& bracket : brackets[d])
                if (bracket.open()) wanted.insert({d, bracket.middle()});
        if (wanted.empty()) break;
        std::vector<DrawnDesign> tried;
        tried.reserve(wanted.size());
        for (auto const& [d, place] : wanted) {
            tried.push_back(designs[d]);
            tried.back().battery_factor = batteries_kwh[place] / own_kwh[d];
        }
        auto const years = draw_years(tried, draw).years;
        stop_if_asked(draw.stop);
        std::size_t next = 0;
        for (auto const& [d, place] : wanted) {
            auto required = designs[d].scenario.years.required;
            auto const& of_tried = years[next++];
            for (std::size_t share = 0; share < winter_shares.size(); ++share) {
                required.years_without_shortage = winter_shares[share];
                auto const verdict = verdict_of(of_tried, required);
                answers[d].winters = verdict.years;
                ListBracket& bracket = brackets[d][share];
                if (place < bracket.low || place >= bracket.high) continue;
                if (verdict.met)
                    bracket.high = place;
                else
                    bracket.low = place + 1;
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
