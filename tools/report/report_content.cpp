#include "tools/report/report_content.hpp"

#include <fmt/format.h>

#include <cmath>
#include <set>

#include "sim/files/text_hash.hpp"
#include "sim/year/water_remarks.hpp"
#include "tools/show/remark_words.hpp"

namespace holdwater::tools {
namespace {

std::string weather_years(weather::WeatherYear const& w) {
    std::set<int> const years(w.file_year.begin(), w.file_year.end());
    if (years.empty()) return "one year";
    if (years.size() == 1) return fmt::format("year {}", *years.begin());
    return fmt::format("one year of months from {} to {}", *years.begin(), *years.rbegin());
}

Json foot(sim::ReportRuns const& r, ReportFacts const& facts) {
    auto const& s = quoted_scenario(r);
    auto const& site = r.weather.site;
    std::string const file_name = facts.scenario_path.substr(facts.scenario_path.find_last_of('/') + 1);
    Json lines = Json::array();
    auto const add = [&](char const* label, std::string value) {
        lines.push_back({{"label", label}, {"value", std::move(value)}});
    };
    add("scenario file", file_name);
    add("its hash (FNV-1a, 64 bit)", sim::text_hash(facts.scenario_text));
    if (r.designs.size() > 1) add("quoted", quoted(r).design.name);
    add("weather",
        fmt::format("{}; {}, {}; {:.4g}° {}, {:.4g}° {}", r.weather.station, r.weather.format,
                    weather_years(r.weather), std::abs(site.latitude_deg), site.latitude_deg < 0 ? "S" : "N",
                    std::abs(site.longitude_deg), site.longitude_deg < 0 ? "W" : "E"));
    if (!r.weather.repairs.empty())
        add("repairs to the weather", fmt::format("{}; see holdwater weather", r.weather.repairs.size()));
    add("seeds", fmt::format("demand {}, generator {}", s.demand.seed, s.generator_operation.seed));
    add("made with", "holdwater " HOLDWATER_VERSION);
    add("date", facts.date);
    return lines;
}

}  // namespace

Json report_content(sim::ReportRuns const& r, ReportFacts const& facts, ReportShow const& show) {
    auto const& s = quoted_scenario(r);
    auto remarks = words(sim::water_remarks(r.system, r.hourly, r.year));
    std::vector<std::string> warnings = s.warnings;
    warnings.insert(warnings.end(), r.weather.warnings.begin(), r.weather.warnings.end());
    warnings.insert(warnings.end(), r.hourly->warnings.begin(), r.hourly->warnings.end());
    remarks.insert(remarks.end(), warnings.begin(), warnings.end());
    for (auto& remark : remarks) remark = show.words(remark);
    Json summary;
    for (auto const& field : sim::repeatable_fields())
        summary[std::string(field.name)] = r.year.summary.*field.value;
    auto const told = [](std::string const& text) { return text.empty() ? Json(nullptr) : Json(text); };
    return {{"title", s.title},
            {"place", s.place},
            {"date", facts.date},
            {"firm", told(facts.firm)},
            {"customer", told(facts.customer)},
            {"valid_until", told(facts.valid_until)},
            {"design", r.designs.size() > 1 ? Json(quoted(r).design.name) : Json(nullptr)},
            {"answer", report_answer(r, show)},
            {"options", report_options(r, show)},
            {"design_figures", report_design_figures(r, show)},
            {"limits", report_limits(r, show)},
            {"boxes", report_boxes(r, show)},
            {"plots", report_plots(r, show)},
            {"checks", report_checks(r, show)},
            {"inputs", report_inputs(r, show)},
            {"any_remarks", !remarks.empty()},
            {"remarks", remarks},
            {"not_modeled", report_not_modeled()},
            {"cautions", report_cautions(r, show)},
            {"safety", report_safety(s)},
            {"foot", foot(r, facts)},
            {"scenario_text", facts.scenario_text},
            {"summary", summary},
            {"figures", report_figures(r)},
            {"charts", report_charts(r, show)}};
}

}  // namespace holdwater::tools
