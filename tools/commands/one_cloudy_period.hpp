#pragma once

#include <CLI/CLI.hpp>
#include <optional>
#include <string>
#include <vector>

#include "sim/autonomy/cloudy_period_run.hpp"
#include "tools/show/units.hpp"

namespace holdwater::tools {

/// What `holdwater autonomy` is asked about one cloudy period.
struct CloudyPeriodArguments {
    std::string scenario, option, weather, out;
    std::vector<std::string> starts;
    sim::CloudyPeriodWeather period;
    std::optional<int> days, hours;
    std::optional<double> soc, cistern, trough;  ///< shares when it begins
    std::vector<double> clearness, sun;
    std::string outage;
    bool in_detail = false, with_outage = false, worst = false, no_backup = false, json = false,
         plain = false;
    int require = 0;
    std::optional<Units> units;
};

/// Adds the options that one cloudy period has beyond those of the table. Returns them: any of them asks for
/// it.
std::vector<CLI::Option*> add_cloudy_period_options(CLI::App& command, CloudyPeriodArguments& arguments);

/// How long the water lasts in it from every start date, what fails first, what would have been enough, and
/// when every store is full again; printed, and written to `out`.
void answer_one_cloudy_period(CloudyPeriodArguments arguments, int& exit_code);

}  // namespace holdwater::tools
