#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "sim/base/figure_text.hpp"
#include "sim/base/shown_figure.hpp"
#include "tools/report/report_content.hpp"
#include "tools/show/date_text.hpp"

namespace holdwater::tools {
namespace {

// "Jan" of a place 0 .. 11 in a list of months.
std::string_view month_of(std::size_t place) { return sim::short_month_name(static_cast<int>(place) + 1); }

Json table(Json head, Json rows) { return {{"head", std::move(head)}, {"rows", std::move(rows)}}; }

Json plot(char const* id, std::string title, std::string caption, std::string alt, Json rows) {
    return {{"id", id},
            {"title", std::move(title)},
            {"caption", std::move(caption)},
            {"alt", std::move(alt)},
            {"table", std::move(rows)}};
}

std::string number(Json const& value, int decimals, std::string const& none) {
    return value.is_null() ? none : fixed_text(value.get<double>(), decimals);
}

// Columns of volumes: in liters and, on a page in both systems, in gallons beside them.
std::vector<std::string> volume_units(ReportShow const& show) {
    if (show.units == ReportUnits::both) return {"L", "gal"};
    return {show.chart_volume_unit()};
}
// The volume of a chart in each of these units.
std::vector<std::string> volumes(double chart_volume, ReportShow const& show, int decimals) {
    std::vector<std::string> texts{sim::figure_text(chart_volume, decimals)};
    if (show.units == ReportUnits::both)
        texts.push_back(
            sim::figure_text(sim::shown(chart_volume, "L", scenarios::UnitSystem::us).value, decimals));
    return texts;
}

std::string_view source_word(char source) {
    switch (source) {
        case 's':
            return "PV";
        case 'b':
            return "battery";
        case 'r':
            return "grid";
        case 'g':
            return "generator";
        default:
            return "nothing";
    }
}

Json cloudy_period_plot(sim::ReportRuns const& r, Json const& chart, ReportShow const& show) {
    bool const backed = !chart["soc_alone"].is_null();
    std::vector<bool> is_short(chart["soc"].size());
    for (auto const& i : chart["short"]) is_short[i.get<std::size_t>()] = true;
    std::string const source = chart["source"];
    Json rows = Json::array();
    for (std::size_t i = 0; i < chart["soc"].size(); ++i) {
        Json row{fmt::format("{} {:02}:00", chart["days"][i / 24].get<std::string>(), i % 24),
                 number(chart["soc"][i], 0, ""), number(chart["pv"][i], 2, ""),
                 number(chart["load"][i], 2, "")};
        if (backed) row.push_back(number(chart["backup"][i], 2, ""));
        for (auto const& volume : volumes(chart["store"][i].get<double>(), show, 0)) row.push_back(volume);
        row.push_back(source_word(source[i]));
        row.push_back(is_short[i] ? "short" : "");
        rows.push_back(row);
    }
    Json head{"hour from", "SOC at its end, %", "PV, kW", "load, kW"};
    if (backed) head.push_back(chart["backup_name"].get<std::string>() + ", kW");
    for (auto const& unit : volume_units(show))
        head.push_back(fmt::format("{}, {}", chart["store_name"].get<std::string>(), unit));
    head.push_back("fed by");
    head.push_back("water");
    auto const lowest = *std::min_element(chart["soc"].begin(), chart["soc"].end());
    return plot(
        "cloudy_period",
        fmt::format("The worst cloudy period, hour by hour: {} days from {}", r.trace.cloudy_period_days,
                    date_text(r.trace.first_day)),
        fmt::format(
            "The site's {} cloudy days moved to the worst start date without backup; battery "
            "and water begin where the typical year has them at that date. "
            "The shaded days are the cloudy period, the days after it are those of the typical year.{}",
            r.trace.cloudy_period_days, backed ? " Dashed: the battery without its backup." : ""),
        fmt::format(
            "SOC, PV, load, water in the {} and source over {} hours. The SOC falls to {} %; water is "
            "short in {} hours.",
            chart["store_name"].get<std::string>(), chart["soc"].size(), number(lowest, 0, ""),
            chart["short"].size()),
        table(head, rows));
}

Json survival_plot(Json const& chart) {
    // For a single x, Json{x} is an array with one compiler and x itself with another.
    Json head = Json::array({"light in the cloudy period, % of clear sky"}), rows = Json::array();
    for (auto const& line : chart["lines"]) head.push_back(line["name"].get<std::string>() + ", days");
    for (std::size_t i = 0; i < chart["shares"].size(); ++i) {
        Json row = Json::array({fmt::format("{}", chart["shares"][i].get<int>())});
        for (auto const& line : chart["lines"])
            row.push_back(number(line["days"][i], 1, fmt::format("over {}", sim::longest_shortage_days)));
        rows.push_back(row);
    }
    auto const& first = chart["lines"][chart["quoted"].get<std::size_t>()]["days"];
    return plot(
        "survival", "How long the water lasts, by how cloudy it is",
        fmt::format("Days from sunset to the first shortage of water, battery full, cistern and trough "
                    "where the typical year has them, without backup, from the worst of all start "
                    "dates; every day at one share of a clear sky. Followed for {} days at most.",
                    sim::longest_shortage_days),
        fmt::format("Days to the first shortage against the share of a clear sky. The quoted design "
                    "lasts {} days with no sun and {} at 20 % of a clear sky.",
                    number(first[0], 1, "over 30"), number(first[2], 1, "over 30")),
        table(head, rows));
}

Json tornado_plot(sim::ReportRuns const& r, Json const& chart) {
    Json rows = Json::array();
    std::string const over = fmt::format("over {}", sim::longest_shortage_days);
    auto const cell = [&](Json const& b, char const* side) -> std::string {
        std::string const s(side);
        if (!b[s + "_tried"].get<bool>()) return "–";
        return fmt::format("{}: {}", b[s + "_text"].get<std::string>(), number(b[s], 1, over));
    };
    for (auto const& b : chart["bars"]) rows.push_back({b["name"], cell(b, "low"), cell(b, "high")});
    std::string const base = number(chart["base"], 1, over);
    return plot("tornado", "What changes the days to the first shortage",
                fmt::format("One thing changed at a time under {:.0f} % of a clear sky, battery full at "
                            "sunset, without backup; the line is the design as quoted, {} days. "
                            "The sizes of the changes are common practice, not measurements. First "
                            "measure the input with the longest bar.",
                            100 * r.what_ifs.clear_sky_share, base),
                fmt::format("Bars of days to the first shortage around {} days; the longest belongs to {}.",
                            base, chart["bars"][0]["name"].get<std::string>()),
                table({"changed", "lower, days", "higher, days"}, rows));
}

Json map_plot(Json const& chart) {
    Json head = Json::array({"battery, kWh \\ array, kW"}), rows = Json::array();
    for (auto const& a : chart["array"]) head.push_back(a);
    auto const quoted_battery = chart["quoted_battery"].get<std::size_t>(),
               quoted_array = chart["quoted_array"].get<std::size_t>();
    for (std::size_t j = 0; j < chart["battery"].size(); ++j) {
        Json row = Json::array({chart["battery"][j]});
        for (std::size_t i = 0; i < chart["array"].size(); ++i)
            row.push_back(fmt::format("{} ({}){}", chart["values"][j][i].get<int>(),
                                      number_text(chart["second"][j][i].get<double>(), 1),
                                      j == quoted_battery && i == quoted_array ? " quoted" : ""));
        rows.push_back(row);
    }
    std::string const figure = chart["figure"], second = chart["second_figure"], age = chart["battery_age"];
    return plot(
        "map", fmt::format("Other sizes of array and battery: {}", figure),
        fmt::format("Each cell runs the same weather, water and loads, every year begun full, with the "
                    "battery {}; controller and "
                    "battery limits grow with the sizes. The outlined cell is the quoted design. In brackets "
                    "in the table: {}.",
                    age, second),
        fmt::format("Grid of {} for six array and six battery sizes; the quoted one has {}.", figure,
                    chart["values"][quoted_battery][quoted_array].get<int>()),
        table(head, rows));
}

Json year_plot(Json const& chart) {
    std::string const source = chart["source"];
    int const first_hour = 24 * chart["first_day"].get<int>();
    std::array<std::array<int, 5>, 12> hours{};
    std::array<int, 12> lowest{}, dry{};
    lowest.fill(100);
    static constexpr std::string_view order = "sbrgx";
    for (std::size_t i = 0; i < source.size(); ++i) {
        auto const m = static_cast<std::size_t>(sim::month_of_hour(first_hour + static_cast<int>(i)) - 1);
        ++hours[m][order.find(source[i])];
        lowest[m] = std::min(lowest[m], chart["soc"][i].get<int>());
    }
    for (auto const& i : chart["short"])
        ++dry[static_cast<std::size_t>(sim::month_of_hour(first_hour + i.get<int>()) - 1)];
    Json rows = Json::array();
    std::array<int, 5> all{};
    auto const first_month = static_cast<std::size_t>(sim::month_of_hour(first_hour) - 1);
    for (std::size_t i = 0; i < 12; ++i) {
        std::size_t const m = (first_month + i) % 12;
        Json row = Json::array({month_of(m)});
        for (std::size_t k = 0; k < 5; ++k) {
            row.push_back(fmt::format("{}", hours[m][k]));
            all[k] += hours[m][k];
        }
        row.push_back(fmt::format("{}", lowest[m]));
        row.push_back(fmt::format("{}", dry[m]));
        rows.push_back(row);
    }
    return plot(
        "year",
        fmt::format("The {}: source of power and SOC, hour by hour", chart["name"].get<std::string>()),
        "One column a day, one row an hour, midnight at the top. Source: what supplied the loads for most of "
        "the hour. Crosses: hours short of water.",
        fmt::format("Two maps of day against hour. Hours fed by PV {}, battery {}, grid {}, generator {}, "
                    "nothing {}; "
                    "{} hours short of water.",
                    sim::figure_text(all[0]), sim::figure_text(all[1]), sim::figure_text(all[2]),
                    sim::figure_text(all[3]), sim::figure_text(all[4]),
                    sim::figure_text(static_cast<double>(chart["short"].size()))),
        table({"month", "PV, h", "battery, h", "grid, h", "generator, h", "nothing, h", "lowest SOC, %",
               "short of water, h"},
              rows));
}

Json energy_plot(Json const& chart) {
    bool const backed = !chart["backup_name"].is_null();
    Json rows = Json::array(), head{"month", "PV used, kWh", "PV curtailed, kWh"};
    if (backed) head.push_back(chart["backup_name"].get<std::string>() + ", kWh");
    head.push_back("pump, kWh");
    head.push_back("small loads, kWh");
    for (std::size_t m = 0; m < 12; ++m) {
        Json row{month_of(m), number(chart["pv_used"][m], 0, ""), number(chart["pv_curtailed"][m], 0, "")};
        if (backed) row.push_back(number(chart["backup"][m], 0, ""));
        row.push_back(number(chart["pump"][m], 0, ""));
        row.push_back(number(chart["loads"][m], 0, ""));
        rows.push_back(row);
    }
    return plot("energy", "Energy by month",
                "Typical year, battery as it is now. Sources (left bar) and loads (right bar). The "
                "difference is lost in "
                "inverter, battery and charger, or stored.",
                "Bars by month of PV used, PV curtailed, backup, pump and small loads.", table(head, rows));
}

Json water_plot(Json const& chart, ReportShow const& show) {
    Json rows = Json::array(), head = Json::array({"month"});
    auto const units = volume_units(show);
    for (char const* figure : {"delivered", "shortfall"})
        for (auto const& unit : units) head.push_back(fmt::format("{}, {}", figure, unit));
    for (std::size_t m = 0; m < 12; ++m) {
        Json row = Json::array({month_of(m)});
        for (char const* figure : {"delivered", "shortfall"})
            for (auto const& volume : volumes(chart[figure][m].get<double>(), show, 0)) row.push_back(volume);
        rows.push_back(row);
    }
    return plot(
        "water", "Water by month",
        "Typical year, battery as it is now. Water delivered, and shortfall: demand that was not delivered.",
        "Bars by month of water delivered and shortfall.", table(head, rows));
}

Json duration_plot(Json const& chart) {
    Json rows = Json::array();
    for (std::size_t p = 0; p <= 100; p += 5)
        rows.push_back({fmt::format("{}", p), number(chart["soc"][p], 0, "")});
    return plot("duration", "State of charge over the year, sorted",
                "Typical year, battery as it is now, at each hour's end. Read: for this share of the year "
                "the SOC is at "
                "this value or higher.",
                fmt::format("SOC falling from {} to {} %; half of the year it is at {} % or higher.",
                            number(chart["soc"][0], 0, ""), number(chart["soc"][100], 0, ""),
                            number(chart["soc"][50], 0, "")),
                table({"% of the year", "SOC at least, %"}, rows));
}

}  // namespace

// The customer's plot, then those of the annex.
Json report_plots(sim::ReportRuns const& r, ReportShow const& show) {
    Json const charts = report_charts(r, show);
    return {
        {"customer", Json::array({cloudy_period_plot(r, charts["cloudy_period"], show)})},
        {"outlook",
         {survival_plot(charts["survival"]), tornado_plot(r, charts["tornado"]), map_plot(charts["map"])}},
        {"year",
         {year_plot(charts["year"]), energy_plot(charts["months"]), water_plot(charts["months"], show),
          duration_plot(charts["duration"])}}};
}

}  // namespace holdwater::tools
