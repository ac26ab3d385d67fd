#include "tools/answers/outage_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/base/figure_text.hpp"
#include "tools/show/date_text.hpp"

namespace holdwater::tools {

std::string outage_length_text(double hours) {
    return fmt::format("{:.{}f} h", hours, std::abs(hours - std::round(hours)) < 0.05 ? 0 : 1);
}

std::vector<std::string> failed_outages(std::vector<sim::OutageRecord> const& outages,
                                        std::function<std::string(double)> const& volume_text) {
    std::vector<sim::OutageRecord> failed;
    std::copy_if(outages.begin(), outages.end(), std::back_inserter(failed),
                 [](auto const& o) { return o.shortage_hours > 0; });
    std::stable_sort(failed.begin(), failed.end(),
                     [](auto const& a, auto const& b) { return a.water_short_m3 > b.water_short_m3; });
    std::vector<std::string> lines;
    lines.reserve(failed.size());
    for (auto const& o : failed)
        lines.push_back(fmt::format("{} for {}: {} short in {} h, the first at {}, lowest SOC {} %",
                                    stamp_text(o.start_h), outage_length_text(o.length_h),
                                    volume_text(o.water_short_m3), sim::figure_text(o.shortage_hours),
                                    stamp_text(o.first_short_h), sim::figure_text(100 * o.soc_min)));
    return lines;
}

std::string outages_in_a_sentence(std::vector<sim::OutageRecord> const& outages) {
    auto const [least, most] = std::minmax_element(
        outages.begin(), outages.end(), [](auto const& a, auto const& b) { return a.length_h < b.length_h; });
    auto const failed =
        std::count_if(outages.begin(), outages.end(), [](auto const& o) { return o.shortage_hours > 0; });
    std::string const lengths = outages.size() == 1
                                    ? outage_length_text(least->length_h)
                                    : fmt::format("{} to {}", outage_length_text(least->length_h),
                                                  outage_length_text(most->length_h));
    std::string const what =
        failed == 0 ? std::string("no water short in any") : fmt::format("water short in {} of them", failed);
    return fmt::format(
        "{} of the grid, {}: {}",
        outages.size() == 1 ? std::string("1 outage") : fmt::format("{} outages", outages.size()), lengths,
        what);
}

}  // namespace holdwater::tools
