#include "tests/year-to-year/typical_months.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "models/numeric/statistics.hpp"
#include "weather/random.hpp"

namespace holdwater::test {

namespace {

struct Index {
    double weight = 0;
    std::vector<std::vector<double>> by_year;  ///< the month's days, NaN where missing
    std::vector<double> long_term;             ///< sorted
    double mean = 0, median = 0, deviation = 0;
};

std::vector<double> without_missing(std::vector<double> const& days) {
    std::vector<double> out;
    for (double x : days)
        if (!std::isnan(x)) out.push_back(x);
    return out;
}

void finish(Index& index) {
    for (auto const& days : index.by_year)
        for (double x : without_missing(days)) index.long_term.push_back(x);
    std::sort(index.long_term.begin(), index.long_term.end());
    index.mean = models::mean(index.long_term);
    index.median = models::quantile(index.long_term, 0.5);
    index.deviation = models::sample_deviation(index.long_term);
}

std::vector<Index> indices_of(DailyRecord const& record, std::size_t month) {
    auto const first = static_cast<std::size_t>(weather::month_start_hour[month] / 24),
               end = static_cast<std::size_t>(weather::month_start_hour[month + 1] / 24);
    std::vector<Index> indices(record.has_temperature ? 4 : 1);
    indices[0].weight = 10;
    if (record.has_temperature) indices[1].weight = 1, indices[2].weight = 1, indices[3].weight = 2;
    for (auto const& year : record.years) {
        for (Index& index : indices) index.by_year.emplace_back();
        for (std::size_t d = first; d < end; ++d) {
            bool const whole = year.whole[month];
            indices[0].by_year.back().push_back(whole ? year.clearness[d] * record.outside_kwh_m2[d]
                                                      : std::nan(""));
            if (indices.size() == 1) continue;
            indices[1].by_year.back().push_back(year.warmest_c[d]);
            indices[2].by_year.back().push_back(year.coldest_c[d]);
            indices[3].by_year.back().push_back(0.5 * (year.warmest_c[d] + year.coldest_c[d]));
        }
    }
    for (Index& index : indices) finish(index);
    return indices;
}

void count_runs(Candidate& c, std::vector<double> const& days, double below, double above) {
    std::vector<bool> low, high;
    for (double x : days) {
        low.push_back(x < below);  // false for a missing day
        high.push_back(x > above);
    }
    for (auto const& side : {low, high})
        for (int length : runs_of(side)) {
            ++c.runs;
            c.longest_run = std::max(c.longest_run, length);
        }
}

}  // namespace

double finkelstein_schafer(std::vector<double> days, std::vector<double> const& sorted_long_term) {
    std::sort(days.begin(), days.end());
    auto const n = static_cast<double>(days.size());
    double sum = 0;
    for (std::size_t i = 0; i < days.size(); ++i) {
        auto const below = std::upper_bound(sorted_long_term.begin(), sorted_long_term.end(), days[i]) -
                           sorted_long_term.begin();
        double const long_share = static_cast<double>(below) / static_cast<double>(sorted_long_term.size());
        sum += std::abs(long_share - (static_cast<double>(i) + 0.5) / n);
    }
    return sum / n;
}

std::vector<int> runs_of(std::vector<bool> const& day) {
    std::vector<int> runs;
    int length = 0;
    for (std::size_t i = 0; i <= day.size(); ++i) {
        if (i < day.size() && day[i]) {
            ++length;
            continue;
        }
        if (length >= 2) runs.push_back(length);
        length = 0;
    }
    return runs;
}

std::vector<Candidate> candidates_of(DailyRecord const& record, std::size_t month) {
    auto const indices = indices_of(record, month);
    constexpr std::size_t fewest_days = 20;
    std::vector<Candidate> all;
    for (std::size_t y = 0; y < record.years.size(); ++y) {
        if (!record.years[y].whole[month]) continue;
        Candidate c;
        c.year = record.years[y].year;
        double weights = 0;
        for (Index const& index : indices) {
            auto const days = without_missing(index.by_year[y]);
            if (days.size() < fewest_days) continue;
            weights += index.weight;
            c.difference += index.weight * finkelstein_schafer(days, index.long_term);
            c.distance += index.weight *
                          (std::abs(models::mean(days) - index.mean) +
                           std::abs(models::quantile(days, 0.5) - index.median)) /
                          index.deviation;
        }
        c.difference /= weights;
        c.distance /= weights;
        double const none = HUGE_VAL;
        count_runs(c, indices[0].by_year[y], models::quantile(indices[0].long_term, 0.33), none);
        if (indices.size() > 1)
            count_runs(c, indices[3].by_year[y], models::quantile(indices[3].long_term, 0.33),
                       models::quantile(indices[3].long_term, 0.67));
        all.push_back(c);
    }
    if (all.empty()) throw std::invalid_argument(record.name + ": no whole month");
    auto const by = [](double Candidate::*what) {
        return [what](Candidate const& a, Candidate const& b) { return a.*what < b.*what; };
    };
    std::stable_sort(all.begin(), all.end(), by(&Candidate::difference));
    if (all.size() > 5) all.resize(5);
    std::stable_sort(all.begin(), all.end(), by(&Candidate::distance));
    if (all.size() == 1) return all;
    int longest = 0, most = 0;
    for (auto const& c : all) longest = std::max(longest, c.longest_run), most = std::max(most, c.runs);
    for (auto& c : all) c.rejected = c.longest_run == longest || c.runs == most || c.runs == 0;
    return all;
}

TypicalYear typical_year_of(DailyRecord const& record) {
    TypicalYear typical;
    typical.clearness.assign(days_of_year, 0);
    for (std::size_t m = 0; m < 12; ++m) {
        auto const five = candidates_of(record, m);
        auto const taken =
            std::find_if(five.begin(), five.end(), [](Candidate const& c) { return !c.rejected; });
        typical.year[m] = (taken == five.end() ? five.front() : *taken).year;
        auto const& days =
            record.years[static_cast<std::size_t>(typical.year[m] - record.years[0].year)].clearness;
        auto const first = static_cast<std::size_t>(weather::month_start_hour[m] / 24),
                   end = static_cast<std::size_t>(weather::month_start_hour[m + 1] / 24);
        for (std::size_t d = first; d < end; ++d) {
            std::size_t before = d, after = d;
            while (before > first && std::isnan(days[before])) --before;
            while (after + 1 < end && std::isnan(days[after])) ++after;
            if (std::isnan(days[before])) before = after;
            if (std::isnan(days[after])) after = before;
            double const share =
                after > before ? static_cast<double>(d - before) / static_cast<double>(after - before) : 0;
            typical.clearness[d] = days[before] + share * (days[after] - days[before]);
        }
    }
    return typical;
}

DailyRecord resampled(DailyRecord const& record, std::uint64_t seed) {
    weather::Random random(seed);
    auto out = record;
    for (RecordedDays& year : out.years) {
        int const number = year.year;
        year =
            record
                .years[static_cast<std::size_t>(random.uniform() * static_cast<double>(record.years.size()))];
        year.year = number;
    }
    return out;
}

}  // namespace holdwater::test
