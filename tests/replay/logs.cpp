#include <fmt/format.h>

#include <array>
#include <cstdlib>
#include <string_view>

#include "tests/replay/made_log.hpp"

// How often the 90 % intervals of `replay` hold the truth (tests/replay/run).
//   holdwater_replay_logs LOGS FIRST-SEED
int main(int argc, char** argv) {
    using namespace holdwater;
    int const logs = argc > 1 ? std::atoi(argv[1]) : 200;
    auto seed = argc > 2 ? std::strtoull(argv[2], nullptr, 10) : 1;
    struct Count {
        std::string_view name;
        int determined = 0, held = 0;
        double width = 0, error = 0;
    };
    std::array<Count, 5> counts{
        {{"water use"}, {"pump energy"}, {"standing draw"}, {"usable battery"}, {"loss of the array"}}};
    auto const scenario = test::replayed_household();
    int redrawn = 0, clocks = 0;
    for (int i = 0; i < logs; ++seed) {
        auto const made = test::make_log(seed);
        if (made.short_m3 > 1e-6) {  // the water that was not delivered is in no meter
            ++redrawn;
            continue;
        }
        ++i;
        auto const log = sim::read_site_log_text(made.text, "log.csv", {});
        auto const fit = sim::fit_log(log, scenario, &test::replayed_weather());
        double const truth[] = {made.water_m3_day, made.pump_kwh_m3, made.standing_w, made.usable_kwh,
                                made.array_loss};
        for (std::size_t k = 0; k < counts.size(); ++k) {
            auto const& f = *fit.figures()[k];
            if (!f.determined()) continue;
            ++counts[k].determined;
            counts[k].held += truth[k] >= f.fitted.low && truth[k] <= f.fitted.high;
            counts[k].width += (f.fitted.high - f.fitted.low) / 2 / truth[k];
            counts[k].error += (f.fitted.center - truth[k]) / truth[k];
        }
        clocks += fit.clock_ahead_min && std::abs(*fit.clock_ahead_min - made.clock_ahead_min) <= 5;
    }
    bool all = true;
    for (auto const& c : counts) {
        double const share = c.determined > 0 ? 100.0 * c.held / c.determined : 0;
        all = all && share >= 85 && share <= 95;
        fmt::print(
            "{}: determined by {} of {} logs; the 90 % interval holds the truth in {:.1f} %; half-width "
            "{:.1f} %, "
            "mean error {:+.2f} %\n",
            c.name, c.determined, logs, share, 100 * c.width / std::max(c.determined, 1),
            100 * c.error / std::max(c.determined, 1));
    }
    fmt::print(
        "clock found to 5 minutes in {} of {} logs; {} logs with a shortage of water were drawn again\n",
        clocks, logs, redrawn);
    return all ? 0 : 1;
}
