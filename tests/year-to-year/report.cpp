// Made years against recorded ones, place by place: see tests/year-to-year/README.md.
//   holdwater_coverage SHARED-WEATHER [YEARS]            every cell, with the rules found without the place
//   holdwater_coverage SHARED-WEATHER --search [YEARS]   finds those rules
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <string>

#include "tests/year-to-year/coverage.hpp"
#include "tests/year-to-year/rules.hpp"
#include "tests/year-to-year/typical_months.hpp"

using namespace holdwater;
using namespace holdwater::test;

namespace {

constexpr std::uint64_t seed = 11, search_seed = 5;

struct PlaceData {
    DailyRecord record;
    TypicalYear typical;
    YearFigures recorded;
};

std::vector<PlaceData> places_in(std::string const& shared_weather) {
    std::vector<PlaceData> places;
    for (auto& record : read_records(shared_weather)) {
        auto typical = typical_year_of(record);
        auto recorded = recorded_figures(record);
        places.push_back({std::move(record), std::move(typical), std::move(recorded)});
    }
    return places;
}

std::vector<Cell> cells(PlaceData const& place, weather::TypicalRule const& rule, std::uint64_t of_seed,
                        int years) {
    auto const fit = weather::fit_typical_year(place.typical.clearness, rule);
    return cells_of(place.record, place.recorded, made_figures(place.record, fit, of_seed, years));
}

void print_rule(std::string const& name, weather::TypicalRule const& r) {
    fmt::print("        {{\"{}\", rule({:.2f}, {:.1f}, {:.2f}, {:.2f})}},\n", name, r.memory_base,
               r.memory_by_clearness, r.spread_factor, r.dark_days_share);
}

// Of each place its typical year and those of four records drawn from its own, so that a rule is not chosen
// for what the months of one typical year happen to be.
void search(std::vector<PlaceData> const& places, int years) {
    auto const rules = rules_to_try();
    constexpr std::uint64_t drawn_records = 4;
    std::vector<std::vector<TypicalYear>> typical;
    for (PlaceData const& place : places) {
        auto& of_place = typical.emplace_back(std::vector{place.typical});
        for (std::uint64_t i = 1; i <= drawn_records; ++i)
            of_place.push_back(typical_year_of(resampled(place.record, i)));
    }
    std::vector<std::vector<std::vector<PlaceFit>>> found;
    for (auto const& rule : rules) {
        auto& of_rule = found.emplace_back();
        for (std::size_t p = 0; p < places.size(); ++p) {
            auto& of_place = of_rule.emplace_back();
            for (TypicalYear const& of : typical[p])
                of_place.push_back(
                    place_fit(places[p].record, places[p].recorded,
                              made_figures(places[p].record, weather::fit_typical_year(of.clearness, rule),
                                           search_seed, years)));
        }
    }
    auto const best_without = [&](std::size_t left_out) {
        std::size_t best = 0;
        double least = HUGE_VAL;
        for (std::size_t i = 0; i < rules.size(); ++i) {
            std::vector<PlaceFit> others;
            for (std::size_t p = 0; p < places.size(); ++p)
                if (p != left_out) others.insert(others.end(), found[i][p].begin(), found[i][p].end());
            double const m = misfit(others);
            if (m < least) least = m, best = i;
        }
        return rules[best];
    };
    print_rule("all", best_without(places.size()));
    for (std::size_t i = 0; i < places.size(); ++i) print_rule(places[i].record.name, best_without(i));
}

void report(std::vector<PlaceData> const& places, int years) {
    std::vector<Cell> runs;
    for (auto const& place : places) {
        fmt::print("\n{}: {} years, typical months from", place.record.name, place.record.years.size());
        for (int year : place.typical.year) fmt::print(" {}", year);
        fmt::print("\n  not in the record: {}\n", place.record.lacks);
        fmt::print("         median                                  worst year\n");
        fmt::print(
            "         recorded   made  error  allowed  5-95 %         recorded  5-95 %         place\n");
        auto const known = rules_without().find(place.record.name);
        auto const& rule = known == rules_without().end() ? rules_without().at("all") : known->second;
        for (auto const& c : cells(place, rule, seed, years)) {
            bool const run = c.quantity.back() == 'd';
            if (run) runs.push_back(c);
            bool const median_missed =
                run ? std::abs(c.error()) > c.allowed
                    : c.recorded_median < c.median_low || c.recorded_median > c.median_high;
            bool const worst_missed = c.worst_place < 0.05 || c.worst_place > 0.95;
            fmt::print(
                "  {:<5} {:8.3f} {:7.3f} {:+5.1f}% {:7}  {:.3f} - {:.3f} {} {:8.3f}  {:.3f} - {:.3f}  "
                "{:.4f}{}\n",
                c.quantity, c.recorded_median, c.made_median, 100 * c.error(),
                run ? fmt::format("{:.0f}%", 100 * c.allowed) : "", c.median_low, c.median_high,
                median_missed ? "*" : " ", c.recorded_worst, c.worst_low, c.worst_high, c.worst_place,
                worst_missed ? " *" : "");
        }
    }
    fmt::print("\nRuns of all places:\n");
    int inside = 0, beyond = 0, within = 0;
    for (std::size_t r = 0; r < run_lengths.size(); ++r) {
        double mean = 0, n = 0;
        for (Cell const& c : runs)
            if (c.quantity == quantity_name(13 + r)) mean += c.error(), ++n;
        fmt::print("  mean error of the median, {:>4}: {:+.1f} % (wanted: within 5 %)\n",
                   quantity_name(13 + r), 100 * mean / n);
    }
    for (Cell const& c : runs) {
        within += std::abs(c.error()) <= c.allowed;
        inside += c.worst_place >= 0.05 && c.worst_place <= 0.95;
        beyond += c.worst_place < 0.001 || c.worst_place > 0.999;
    }
    fmt::print("  medians within the allowed error: {} of {} (wanted: all)\n", within, runs.size());
    fmt::print("  worst years inside 5-95 %: {} of {} (wanted: 24 of 28)\n", inside, runs.size());
    fmt::print("  worst years outside 0.1-99.9 %: {} (wanted: none)\n", beyond);
}

}  // namespace

int main(int argc, char** argv) {
    std::vector<std::string> const arguments(argv + 1, argv + argc);
    if (arguments.empty()) return 2;
    auto const places = places_in(arguments[0]);
    auto const number = [&](std::size_t i, int otherwise) {
        return i < arguments.size() ? std::atoi(arguments[i].c_str()) : otherwise;
    };
    if (arguments.size() > 1 && arguments[1] == "--search")
        search(places, number(2, 800));
    else
        report(places, number(1, 10000));
}
