#include "sim/designs/autonomy_columns.hpp"

#include <cstddef>
#include <optional>
#include <utility>

#include "sim/base/job_pool.hpp"
#include "sim/verdict/site_cloudy_period.hpp"

namespace holdwater::sim {

std::vector<AutonomyColumn> autonomy_columns(
    std::vector<scenarios::Design> const& designs,
    std::vector<std::shared_ptr<weather::WeatherYear const>> const& weather, double years,
    AutonomyOptions const& options, DrawOptions draw) {
    std::vector<DrawnDesign> drawn;
    for (std::size_t i = 0; i < designs.size(); ++i) drawn.push_back({designs[i].scenario, weather[i].get()});
    draw.stop = options.stop;
    std::size_t const ages = years == 0 ? 1 : 2;
    std::vector<std::optional<AutonomyColumn>> columns(ages * designs.size());
    try {
        auto const sites = site_cloudy_periods(drawn, draw);
        ShareOfParts shares(options.progress, columns.size());
        for_each_job(columns.size(), [&](std::size_t c) {
            std::size_t const i = c % designs.size();
            AutonomyOptions own = options;
            own.site = sites[i];
            own.progress = shares.of(c);
            auto const& design = designs[i];
            if (c < designs.size()) {
                columns[c] = {design.name, 0, 1, 1, false, study_autonomy(design.scenario, *weather[i], own)};
            } else {
                auto const a = aged(design.scenario, *weather[i], years);
                columns[c] = {design.name,  years,          a.battery_left,
                              a.array_left, a.life_assumed, study_autonomy(a.scenario, *weather[i], own)};
            }
        });
    } catch (StudyStopped const&) {  // the finished ones
    }
    std::vector<AutonomyColumn> finished;
    for (std::size_t c = 0; c < columns.size(); ++c)
        if (columns[c] && columns[c % designs.size()]) finished.push_back(*columns[c]);
    return finished;
}

}  // namespace holdwater::sim
