#include "tools/show/run_strip.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "tools/show/strip.hpp"

namespace holdwater::tools {
namespace {

constexpr int cyan = 36, yellow = 33, magenta = 35;

bool any(std::vector<double> const& days) {
    return std::any_of(days.begin(), days.end(), [](double d) { return d > 0; });
}

std::string column_words(std::size_t days) {
    int const step = days_a_column(days);
    return step == 1 ? "a column a day" : fmt::format("a column for {} days", step);
}

}  // namespace

std::string run_strip(sim::RunResult const& result, std::string const& title, Screen const& screen) {
    if (!screen.pictures || result.days.empty()) return "";
    StripRow battery{"battery", StripRow::Kind::level, {}, cyan};
    StripRow dry{"shortage", StripRow::Kind::share, {}, yellow};
    StripRow backup{"backup", StripRow::Kind::share, {}, magenta};
    for (auto const& day : result.days) {
        battery.days.push_back(day.soc_min);
        dry.days.push_back(day.shortage_hours / 24);
    }
    for (std::size_t first = 0; first < result.hours.size(); first += 24) {
        double hours = 0;
        for (std::size_t h = first; h < std::min(first + 24, result.hours.size()); ++h)
            hours += result.hours[h].backup_h;
        backup.days.push_back(hours / 24);
    }
    std::vector<StripRow> rows{battery};
    std::string legend = "lowest SOC of the day, full height is 100 %";
    if (any(dry.days)) {
        rows.push_back(dry);
        legend += "; hours short of water, darker is more";
    }
    if (any(backup.days) && backup.days.size() == battery.days.size()) {
        rows.push_back(backup);
        legend += any(dry.days) ? "; hours on the backup" : "; hours on the backup, darker is more";
    }
    return fmt::format("\n  Day by day, {}\n{}  {:<10}{}: {}\n", title,
                       strip(rows, result.clock.first_hour / 24 % 365, screen), "",
                       column_words(battery.days.size()), legend);
}

std::string cloudy_period_strip(sim::CloudyPeriodOutcome const& outcome, int hours, Screen const& screen) {
    if (!screen.pictures || outcome.starts.size() != 365) return "";
    StripRow wet{"water for", StripRow::Kind::level, {}, cyan};
    for (auto const& start : outcome.starts)
        wet.days.push_back(std::min(start.first_shortage_h / hours, 1.0));
    return fmt::format("\n{}  {:<10}by the day it begins, {}; full height is {:.3g} days\n",
                       strip({wet}, 0, screen), "", column_words(wet.days.size()), hours / 24.0);
}

}  // namespace holdwater::tools
