#include "sim/region/region_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>
#include <string_view>

#include "scenarios/text/quantity.hpp"

namespace holdwater::sim {
namespace {

constexpr std::string_view of_scenario = "as in the scenario";

struct Asked {
    std::string_view option, what, unit, example;
    double least = 0, most = 0;
};
constexpr Asked array_asked{"--array", "rated powers of arrays", "W", "1.6 kW,2.2 kW", 1, 1e5},
    demand_asked{"--demand", "daily demands", "m3/day", "150 gal/day,225 gal/day", 1e-4, 1000},
    battery_asked{"--battery", "battery capacities", "kWh", "5 kWh,10 kWh,16 kWh", 1e-3, 1e4};

[[noreturn]] void refuse_asked(Asked const& a, std::string const& text, std::string const& why) {
    throw std::invalid_argument(
        fmt::format("{} \"{}\": {}; accepted: a list such as \"{}\", or a range such as \"{}\"", a.option,
                    text, why, a.example,
                    a.unit == "W"     ? "1.2 kW..3 kW/4"
                    : a.unit == "kWh" ? "4 kWh..40 kWh/10"
                                      : "100 gal/day..300 gal/day/5"));
}

std::vector<double> numbers_of(Asked const& a, std::string const& text) {
    SweepAxis axis;
    try {
        axis = read_axis(fmt::format("{}={}", a.unit, text));
    } catch (std::invalid_argument const&) {
        refuse_asked(a, text, fmt::format("these are no {}", a.what));
    }
    if (axis.values.empty()) refuse_asked(a, text, "the number of values behind the range is missing");
    std::vector<double> numbers;
    for (auto const& value : axis.values) {
        double number = 0;
        try {
            auto const [typed_number, unit] = scenarios::split_quantity(value);
            number = unit == a.unit ? typed_number : scenarios::read_quantity(value, a.unit);
        } catch (scenarios::QuantityError const& error) {
            refuse_asked(a, text, error.what());
        }
        if (!(number >= a.least && number <= a.most))
            refuse_asked(a, text,
                         fmt::format("{} is not within {:g} .. {:g} {}", value, a.least, a.most, a.unit));
        if (std::find(numbers.begin(), numbers.end(), number) != numbers.end())
            refuse_asked(a, text, fmt::format("{} stands in it twice", value));
        numbers.push_back(number);
    }
    return numbers;
}

SweepSpec region_spec(RegionQuestion const& q) {
    constexpr std::size_t most_stations = 10000;
    if (q.stations < 1 || q.stations > most_stations)
        throw std::invalid_argument(
            fmt::format("--stations: {} weather files; 1 to {} are accepted", q.stations, most_stations));
    for (auto const& [asked, text] :
         {std::pair{&array_asked, &q.arrays}, std::pair{&demand_asked, &q.demands}})
        if (!text->empty()) (void)numbers_of(*asked, *text);
    auto const typed_or_own = [](std::string const& text) {
        return text.empty() ? std::string(of_scenario) : text;
    };
    SweepSpec spec;
    spec.seed = 0;
    spec.vary = {q.stations == 1 ? "station=1" : fmt::format("station=1..{0}/{0}", q.stations),
                 "array=" + typed_or_own(q.arrays), "demand=" + typed_or_own(q.demands)};
    return spec;
}

}  // namespace

std::size_t RegionPlan::rows_per_station() const {
    return rows.axes()[1].values.size() * rows.axes()[2].values.size();
}

RegionPlan plan_region(RegionQuestion const& q) {
    auto batteries = numbers_of(battery_asked, q.batteries);
    std::sort(batteries.begin(), batteries.end());
    return {SweepPlan(region_spec(q)), std::move(batteries)};
}

RegionCell cell_of(SweepRow const& row) {
    RegionCell cell;
    cell.station = static_cast<std::size_t>(number_in(row[0])) - 1;
    if (row[1] != of_scenario) cell.array_w = scenarios::read_quantity(row[1], "W");
    if (row[2] != of_scenario) cell.daily_demand_m3 = scenarios::read_quantity(row[2], "m3/day");
    return cell;
}

}  // namespace holdwater::sim
