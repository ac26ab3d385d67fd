#include "tools/json/typed_axes.hpp"

#include <algorithm>
#include <stdexcept>
#include <utility>

#include "sim/sweep/sweep_axis.hpp"

namespace holdwater::tools {

sim::RangeToTry range_to_try(std::string const& text) {
    auto const axis = sim::read_axis(text);
    if (axis.values.size() != 2)
        throw std::invalid_argument("'" + text +
                                    "': give both ends of its range, such as \"inverter.idle=20 W,60 W\"");
    return {axis.key, axis.values[0], axis.values[1], std::string(only_tried)};
}

void add_axis(scenarios::SearchSettings& settings, std::string const& text) {
    auto const read = sim::read_axis(text);
    auto axis = scenarios::axis_of(read.key, read.values);
    auto const same = std::find_if(settings.axes.begin(), settings.axes.end(), [&](auto const& other) {
        return other.name == axis.name || (other.values[0].size() == 1 && other.values[0][0].key == read.key);
    });
    if (same != settings.axes.end())
        *same = std::move(axis);
    else
        settings.axes.push_back(std::move(axis));
}

}  // namespace holdwater::tools
