#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "sim/designs/report_runs.hpp"
#include "tools/report/report_show.hpp"

namespace holdwater::tools {

using Json = nlohmann::ordered_json;

/// What the foot of the page names.
struct ReportFacts {
    std::string scenario_path, scenario_text, date;
};

/// The whole page as data: texts ready to be read, tables as rows of cells, `charts` for the plots. Nothing
/// in it is escaped yet.
Json report_content(sim::ReportRuns const& runs, ReportFacts const& facts, ReportShow const& show);

/// Parts of it, one file each.
Json report_answer(sim::ReportRuns const& runs, ReportShow const& show);  ///< question, answer, glance
Json report_boxes(sim::ReportRuns const& runs, ReportShow const& show);   ///< start, energy, options, water
Json report_plots(sim::ReportRuns const& runs,
                  ReportShow const& show);  ///< title, caption, alt, table of each
Json report_charts(sim::ReportRuns const& runs, ReportShow const& show);    ///< numbers for drawing
Json report_checks(sim::ReportRuns const& runs, ReportShow const& show);    ///< check
Json report_inputs(sim::ReportRuns const& runs, ReportShow const& show);    ///< assumptions
Json report_cautions(sim::ReportRuns const& runs, ReportShow const& show);  ///< triggered, and always
Json report_not_modeled();

inline sim::ReportedDesign const& quoted(sim::ReportRuns const& runs) { return runs.designs[runs.quoted]; }
inline scenarios::Scenario const& quoted_scenario(sim::ReportRuns const& runs) {
    return quoted(runs).design.scenario;
}

/// What feeds the loads for most of an hour: 's' sun, 'b' battery, 'r' grid, 'g' generator, 'x' nothing.
char source_of(sim::HourRecord const& hour, sim::Backup backup);

}  // namespace holdwater::tools
