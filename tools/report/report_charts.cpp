#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "sim/water/water_side.hpp"
#include "tools/answers/verdict_words.hpp"
#include "tools/report/report_content.hpp"
#include "tools/report/what_if_words.hpp"
#include "tools/show/date_text.hpp"

namespace holdwater::tools {
namespace {

double rounded(double value, int decimals) {
    double const scale = std::pow(10.0, decimals);
    return std::round(value * scale) / scale;
}

// Infinity becomes null: more than was run.
Json number(double value, int decimals) {
    return std::isfinite(value) ? Json(rounded(value, decimals)) : Json(nullptr);
}

template <class Get>
Json column(std::vector<sim::HourRecord> const& hours, int decimals, Get const& get) {
    Json values = Json::array();
    for (auto const& h : hours) values.push_back(rounded(get(h), decimals));
    return values;
}

// Where the water is stored, which the reader of the plot looks for.
struct Store {
    char const* name{};
    double sim::HourRecord::*level;
};
Store store_of(sim::System const& s) {
    if (s.cistern) return {"cistern", &sim::HourRecord::cistern_water_m3};
    if (s.trough) return {"trough", &sim::HourRecord::trough_water_m3};
    return {"tank", &sim::HourRecord::tank_water_m3};
}

Json cloudy_period_chart(sim::ReportRuns const& r, ReportShow const& show) {
    using H = sim::HourRecord const&;
    auto const& hours = r.trace.designed.hours;
    auto const backup = r.system.rules.backup;
    std::string source;
    Json short_of = Json::array(), day = Json::array();
    for (std::size_t i = 0; i < hours.size(); ++i) {
        source += source_of(hours[i], backup);
        if (hours[i].water_short_m3 > sim::some_water_m3) short_of.push_back(i);
        if (i % 24 == 0) day.push_back(date_text(r.trace.first_day + static_cast<int>(i / 24)));
    }
    auto const& begins = r.trace.begins;
    Json alone = nullptr;
    if (backup != sim::Backup::none)
        alone = column(r.trace.alone.hours, 1, [](H h) { return 100 * h.battery_soc; });
    auto const store = store_of(r.system);
    return {
        {"days", day},
        {"cloudy_period_days", r.trace.cloudy_period_days},
        {"soc_begin", rounded(100 * begins.soc, 1)},
        {"soc", column(hours, 1, [](H h) { return 100 * h.battery_soc; })},
        {"soc_alone", alone},
        {"min_soc", rounded(100 * r.system.battery.min_soc, 1)},
        {"transfer", backup == sim::Backup::generator ? Json(rounded(100 * r.system.rules.transfer_below, 1))
                                                      : Json(nullptr)},
        {"pv", column(hours, 3, [](H h) { return h.pv_available_kw; })},
        {"load", column(hours, 3, [](H h) { return h.pump_kw + h.load_served_kw; })},
        {"backup", backup == sim::Backup::none
                       ? Json(nullptr)
                       : column(hours, 3, [](H h) { return h.generator_kw + h.grid_kw; })},
        {"backup_name", backup == sim::Backup::grid ? "grid" : "generator"},
        {"store", column(hours, 1, [&](H h) { return show.chart_volume(h.*store.level); })},
        {"store_name", store.name},
        {"source", source},
        {"short", short_of}};
}

Json survival_chart(sim::ReportRuns const& r) {
    Json shares = Json::array(), lines = Json::array();
    for (double const s : r.clear_sky_shares) shares.push_back(std::lround(100 * s));
    for (auto const& design : r.designs) {
        Json days = Json::array();
        for (double const d : design.shortage_days) days.push_back(number(d, 2));
        lines.push_back({{"name", design.design.name}, {"days", days}});
    }
    return {{"shares", shares}, {"lines", lines}, {"most", sim::longest_shortage_days}, {"quoted", r.quoted}};
}

Json tornado_chart(sim::ReportRuns const& r, ReportShow const& show) {
    Json bars = Json::array();
    for (auto const& b : r.what_ifs.bars) {
        auto const words = what_if_words(b, show);
        bars.push_back({{"name", words.name},
                        {"low_text", words.low},
                        {"high_text", words.high},
                        {"low_tried", !std::isnan(b.low_days)},
                        {"high_tried", !std::isnan(b.high_days)},
                        {"low", number(b.low_days, 2)},
                        {"high", number(b.high_days, 2)}});
    }
    return {{"base", number(r.what_ifs.base_days, 2)}, {"most", sim::longest_shortage_days}, {"bars", bars}};
}

Json map_chart(sim::ReportRuns const& r) {
    auto const& s = quoted_scenario(r);
    Json array = Json::array(), battery = Json::array(), values = Json::array(), second = Json::array();
    for (double const f : r.map.array_factor)
        array.push_back(number_text(f * 1e-3 * models::array_rated_power_w(s.array), 2));
    for (double const f : r.map.battery_factor) battery.push_back(number_text(f * s.battery.capacity_kwh, 2));
    for (auto const& row : r.map.cells) {
        Json held = Json::array(), figures = Json::array();
        for (auto const& cell : row) {
            held.push_back(cell.held);
            figures.push_back(rounded(cell.figure, 1));
        }
        values.push_back(held);
        second.push_back(figures);
    }
    static constexpr std::array names{"hours short of water a year", "generator hours a year",
                                      "kWh from the grid a year"};
    bool const typical = r.map.years == 0;
    auto const own = [](std::vector<double> const& factors) {
        return std::find(factors.begin(), factors.end(), 1.0) - factors.begin();
    };
    return {
        {"array", array},
        {"battery", battery},
        {"values", values},
        {"second", second},
        {"years", typical ? 1 : r.map.years},
        {"figure", typical ? std::string("whether the typical year is without a shortage (1) or not (0)")
                           : fmt::format("{} of the first {} {}", winters_or_years(r.verdicts->winters, 2),
                                         r.map.years, held_label(s.years.required))},
        {"second_figure",
         fmt::format("{}{}", names[static_cast<std::size_t>(r.map.figure)], typical ? "" : ", mean")},
        {"battery_age", r.map.judge_new ? "as it is now" : "at the end of its life"},
        {"quoted_array", own(r.map.array_factor)},
        {"quoted_battery", own(r.map.battery_factor)}};
}

// The worst year of the verdict; the typical year where no years were run.
Json year_chart(sim::ReportRuns const& r) {
    auto const& run = r.worst_year ? r.worst_year->run : r.year;
    std::string source;
    Json short_of = Json::array();
    for (std::size_t i = 0; i < run.hours.size(); ++i) {
        source += source_of(run.hours[i], r.system.rules.backup);
        if (run.hours[i].water_short_m3 > sim::some_water_m3) short_of.push_back(i);
    }
    return {
        {"name", r.worst_year ? "worst year of the verdict, " + year_name(*r.worst_year, r.verdicts->winters)
                              : std::string("typical year")},
        {"first_day", run.clock.first_hour / 24},
        {"source", source},
        {"soc", column(run.hours, 0, [](sim::HourRecord const& h) { return 100 * h.battery_soc; })},
        {"short", short_of}};
}

Json months_chart(sim::ReportRuns const& r, ReportShow const& show) {
    std::array<std::array<double, 12>, 7> sums{};
    for (std::size_t i = 0; i < r.year.hours.size(); ++i) {
        auto const& h = r.year.hours[i];
        auto const m = static_cast<std::size_t>(sim::month_of_hour(static_cast<int>(i)) - 1);
        sums[0][m] += h.pv_used_kw;
        sums[1][m] += h.pv_curtailed_kw;
        sums[2][m] += h.generator_kw + h.grid_kw;
        sums[3][m] += h.pump_kw;
        sums[4][m] += h.load_served_kw;
        sums[5][m] += h.water_delivered_m3;
        sums[6][m] += h.water_short_m3;
    }
    auto const list = [](std::array<double, 12> const& values, int decimals) {
        Json out = Json::array();
        for (double const v : values) out.push_back(rounded(v, decimals));
        return out;
    };
    for (std::size_t i = 5; i < 7; ++i)
        for (double& v : sums[i]) v = show.chart_volume(v);
    return {{"pv_used", list(sums[0], 1)},
            {"pv_curtailed", list(sums[1], 1)},
            {"backup", list(sums[2], 1)},
            {"pump", list(sums[3], 1)},
            {"loads", list(sums[4], 1)},
            {"backup_name", r.system.rules.backup == sim::Backup::none
                                ? Json(nullptr)
                                : Json(r.system.rules.backup == sim::Backup::grid ? "grid" : "generator")},
            {"delivered", list(sums[5], 1)},
            {"shortfall", list(sums[6], 1)},
            {"water_unit", show.chart_volume_unit()}};
}

// State of charge that is reached or exceeded in a percentage of the hours.
Json duration_chart(sim::ReportRuns const& r) {
    std::vector<double> socs;
    for (auto const& h : r.year.hours) socs.push_back(100 * h.battery_soc);
    std::sort(socs.begin(), socs.end(), std::greater<>());
    Json points = Json::array();
    for (int percent = 0; percent <= 100; ++percent) {
        auto const at = std::min(socs.size() - 1, socs.size() * static_cast<std::size_t>(percent) / 100);
        points.push_back(rounded(socs[at], 1));
    }
    return {{"soc", points},
            {"min_soc", rounded(100 * r.system.battery.min_soc, 1)},
            {"transfer", r.system.rules.backup == sim::Backup::generator
                             ? Json(rounded(100 * r.system.rules.transfer_below, 1))
                             : Json(nullptr)}};
}

}  // namespace

char source_of(sim::HourRecord const& h, sim::Backup backup) {
    if (h.backup_h >= 0.5) return backup == sim::Backup::generator || h.generator_kw > h.grid_kw ? 'g' : 'r';
    if (h.inverter_off_h >= 0.5) return 'x';
    return h.pv_used_kw > 0 && h.battery_discharge_kw <= h.pv_used_kw ? 's' : 'b';
}

Json report_charts(sim::ReportRuns const& r, ReportShow const& show) {
    return {{"volume_unit", show.chart_volume_unit()},
            {"cloudy_period", cloudy_period_chart(r, show)},
            {"survival", survival_chart(r)},
            {"tornado", tornado_chart(r, show)},
            {"map", map_chart(r)},
            {"year", year_chart(r)},
            {"months", months_chart(r, show)},
            {"duration", duration_chart(r)}};
}

}  // namespace holdwater::tools
