#include "tests/year-to-year/coverage.hpp"

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>
#include <cmath>

#include "models/numeric/statistics.hpp"
#include "weather/random.hpp"

namespace holdwater::test {

namespace {

constexpr std::size_t tail_days = 20;  // a run may end in the year that follows

std::size_t month_first(std::size_t m) { return static_cast<std::size_t>(weather::month_start_hour[m] / 24); }

/// Days of a year and the first of the next, NaN where missing.
using YearAndTail = std::array<double, days_of_year + tail_days>;

double lowest_run(YearAndTail const& light, YearAndTail const& climate, std::size_t length,
                  std::size_t* found) {
    double lowest = HUGE_VAL;
    double sum = 0, usual = 0;
    std::size_t since_missing = 0;
    *found = 0;
    // Sums are built anew after a missing day.
    for (std::size_t d = 0; d < days_of_year + length - 1; ++d) {
        if (std::isnan(light[d])) {
            since_missing = 0, sum = 0, usual = 0;
            continue;
        }
        sum += light[d];
        usual += climate[d];
        if (++since_missing > length) sum -= light[d - length], usual -= climate[d - length];
        if (since_missing < length) continue;
        lowest = std::min(lowest, sum / usual);
        ++*found;
    }
    return lowest;
}

struct Figurer {
    DailyRecord const& record;
    YearAndTail climate{};
    double year_mean = 0;
    std::array<double, 12> month_mean{};

    explicit Figurer(DailyRecord const& r) : record(r) {
        auto const days = climate_of(r);
        for (std::size_t d = 0; d < climate.size(); ++d) climate[d] = days[d % days_of_year];
        for (std::size_t m = 0; m < 12; ++m)
            for (std::size_t d = month_first(m); d < month_first(m + 1); ++d) {
                month_mean[m] += days[d] / static_cast<double>(month_first(m + 1) - month_first(m));
                year_mean += days[d] / static_cast<double>(days_of_year);
            }
    }

    void add(YearAndTail const& light, std::array<bool, 12> const& whole, YearFigures& out) const {
        bool all = true;
        double year = 0;
        for (std::size_t m = 0; m < 12; ++m) {
            all = all && whole[m];
            if (!whole[m]) continue;
            double sum = 0, days = 0;
            for (std::size_t d = month_first(m); d < month_first(m + 1); ++d)
                if (!std::isnan(light[d])) sum += light[d], ++days;
            double const mean = sum / days;
            out.of[1 + m].push_back(mean / month_mean[m]);
            year += mean * static_cast<double>(month_first(m + 1) - month_first(m)) / days_of_year;
        }
        if (all) out.of[0].push_back(year / year_mean);
        for (std::size_t r = 0; r < run_lengths.size(); ++r) {
            std::size_t found = 0;
            double const lowest =
                lowest_run(light, climate, static_cast<std::size_t>(run_lengths[r]), &found);
            constexpr std::size_t fewest_runs = 330;
            if (found >= fewest_runs) out.of[13 + r].push_back(lowest);
        }
    }
};

double bootstrap_error_of_median(std::vector<double> const& values) {
    weather::Random random(1);
    std::vector<double> medians, drawn(values.size());
    for (int i = 0; i < 1000; ++i) {
        for (double& x : drawn)
            x = values[static_cast<std::size_t>(random.uniform() * static_cast<double>(values.size()))];
        medians.push_back(models::quantile(drawn, 0.5));
    }
    return models::sample_deviation(medians);
}

}  // namespace

std::string quantity_name(std::size_t quantity) {
    static char const* const months[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                         "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    if (quantity == 0) return "year";
    if (quantity <= 12) return months[quantity - 1];
    return std::to_string(run_lengths.at(quantity - 13)) + " d";
}

std::array<double, days_of_year> climate_of(DailyRecord const& record) {
    std::array<double, days_of_year> mean{}, light{};
    for (std::size_t d = 0; d < days_of_year; ++d) {
        double sum = 0, years = 0;
        for (auto const& year : record.years)
            if (year.whole[weather::month_of_day[d]] && !std::isnan(year.clearness[d]))
                sum += year.clearness[d], ++years;
        mean[d] = sum / years;
    }
    constexpr std::size_t to_each_side = 10;
    for (std::size_t d = 0; d < days_of_year; ++d) {
        for (std::size_t k = 0; k <= 2 * to_each_side; ++k)
            light[d] += mean[(d + days_of_year + k - to_each_side) % days_of_year] / (2 * to_each_side + 1);
        light[d] *= record.outside_kwh_m2[d];
    }
    return light;
}

YearFigures recorded_figures(DailyRecord const& record) {
    Figurer const figurer(record);
    YearFigures out;
    for (std::size_t y = 0; y < record.years.size(); ++y) {
        YearAndTail light{};
        for (std::size_t d = 0; d < light.size(); ++d) {
            std::size_t const of = y + d / days_of_year, day = d % days_of_year;
            light[d] = of < record.years.size() ? record.years[of].clearness[day] * record.outside_kwh_m2[day]
                                                : std::nan("");
        }
        figurer.add(light, record.years[y].whole, out);
    }
    return out;
}

YearFigures made_figures(DailyRecord const& record, weather::DayFit const& fit, std::uint64_t seed,
                         int years) {
    Figurer const figurer(record);
    std::array<bool, 12> whole{};
    whole.fill(true);
    YearFigures out;
    auto const light_of = [&](int index, YearAndTail& light, std::size_t at) {
        auto const deviates = weather::day_deviates(fit.chain, seed, index);
        for (std::size_t d = 0; d < days_of_year && at + d < light.size(); ++d)
            light[at + d] =
                fit.days[weather::month_of_day[d]].at(deviates.clearness[d]) * record.outside_kwh_m2[d];
    };
    YearAndTail next{};
    light_of(0, next, 0);
    for (int index = 0; index < years; ++index) {
        YearAndTail light = next;
        light_of(index + 1, next, 0);
        std::copy(next.begin(), next.begin() + tail_days, light.begin() + days_of_year);
        figurer.add(light, whole, out);
    }
    return out;
}

std::vector<Cell> cells_of(DailyRecord const& record, YearFigures const& recorded, YearFigures made,
                           std::size_t first) {
    std::vector<Cell> cells;
    for (std::size_t q = first; q < quantities; ++q) {
        auto const& of_record = recorded.of[q];
        auto& of_made = made.of[q];
        std::sort(of_made.begin(), of_made.end());
        Cell c;
        c.place = record.name;
        c.quantity = quantity_name(q);
        c.years = static_cast<int>(of_record.size());
        double const n = c.years;
        c.recorded_median = models::quantile(of_record, 0.5);
        c.made_median = models::quantile(of_made, 0.5);
        // Median and lowest of n draws are order statistics, of rank (n + 1)/2 and 1.
        double const half = 0.5 * (n + 1);
        c.median_low = models::quantile(of_made, boost::math::ibeta_inv(half, half, 0.05));
        c.median_high = models::quantile(of_made, boost::math::ibeta_inv(half, half, 0.95));
        c.recorded_worst = *std::min_element(of_record.begin(), of_record.end());
        c.worst_low = models::quantile(of_made, 1 - std::pow(0.95, 1 / n));
        c.worst_high = models::quantile(of_made, 1 - std::pow(0.05, 1 / n));
        auto const worse =
            std::lower_bound(of_made.begin(), of_made.end(), c.recorded_worst) - of_made.begin();
        c.worst_place = 1 - std::pow(1 - static_cast<double>(worse) / static_cast<double>(of_made.size()), n);
        c.allowed = std::max(0.10, 2 * bootstrap_error_of_median(of_record) / c.recorded_median);
        cells.push_back(c);
    }
    return cells;
}

}  // namespace holdwater::test
