#pragma once

#include <CLI/CLI.hpp>
#include <optional>
#include <string>
#include <vector>

#include "sim/autonomy/cloudy_period_run.hpp"
#include "tools/show/units.hpp"

namespace holdwater::tools {

/// The options of `holdwater autonomy` for one cloudy period.
struct CloudyPeriodArguments {
    std::string scenario, option, weather, out;
    std::vector<std::string> starts;
    sim::CloudyPeriodWeather period;
    std::optional<int> days, hours;
    std::optional<double> soc, cistern, trough;  ///< shares at the start of the period
    std::vector<double> clearness, sun;
    std::string outage;
    bool in_detail = false, with_outage = false, worst = false, no_backup = false, json = false,
         plain = false;
    int require = 0;
    std::optional<Units> units;
};

/// Adds the options that only one cloudy period has, and returns them: if any of them is given, the period is
/// shown.
std::vector<CLI::Option*> add_cloudy_period_options(CLI::App& command, CloudyPeriodArguments& arguments);

/// From every start date: how long the water lasts in the period, what fails first, what would be enough, and
/// when everything is full again. Prints the answer and writes it to `out`.
void answer_one_cloudy_period(CloudyPeriodArguments arguments, int& exit_code);

}  // namespace holdwater::tools
