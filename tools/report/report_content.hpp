#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "tools/report/report_runs.hpp"
#include "tools/report/report_show.hpp"

namespace holdwater::tools {

using Json = nlohmann::ordered_json;

/// What head and foot of the page name.
struct ReportFacts {
    std::string scenario_path, scenario_text, date;
    std::string firm, customer, valid_until;  ///< empty: not printed
};

/// The whole page as data: texts ready to be read, tables as rows of cells, `charts` for the plots. Nothing
/// in it is escaped yet.
Json report_content(ReportRuns const& runs, ReportFacts const& facts, ReportShow const& show);

/// Parts of it, one file each.
Json report_answer(ReportRuns const& runs, ReportShow const& show);  ///< headline and what was asked
/// The poorest days of the file from their worst start date: what the system delivers, when water is first
/// short, and what the backup changes. It speaks of the start date that is plotted, and names any other.
std::string cloudy_period_claim(ReportRuns const& runs, ReportShow const& show);
Json report_options(ReportRuns const& runs, ReportShow const& show);  ///< what a customer compares
Json report_design_figures(ReportRuns const& runs,
                           ReportShow const& show);                  ///< the other figures of each design
Json report_limits(ReportRuns const& runs, ReportShow const& show);  ///< what is not done, what to switch off
Json report_boxes(ReportRuns const& runs, ReportShow const& show);   ///< energy, water
Json report_plots(ReportRuns const& runs, ReportShow const& show);   ///< title, caption, alt, table of each
Json report_charts(ReportRuns const& runs, ReportShow const& show);  ///< numbers for drawing
Json report_checks(ReportRuns const& runs, ReportShow const& show);  ///< check
Json report_inputs(ReportRuns const& runs, ReportShow const& show);  ///< assumptions
Json report_cautions(ReportRuns const& runs, ReportShow const& show);  ///< those this design calls for
Json report_safety();                                                  ///< those that always hold
Json report_not_modeled();
/// The numbers that the texts of the page are made of, unrounded and in SI, each once: what a text says is
/// held against them.
Json report_figures(ReportRuns const& runs);
Json report_energy_figures(ReportRuns const& runs);  ///< of an average day, kWh

/// "5.2 days", "over 60 days": no sun, no backup, battery full at sunset, worst start date.
std::string autonomy_text(ReportedDesign const& design);
/// "after 35 hours", "none": of the poorest days without backup from their worst start date.
std::string first_shortage_alone(ReportedDesign const& design, int days);

inline ReportedDesign const& quoted(ReportRuns const& runs) { return runs.designs[runs.quoted]; }
inline scenarios::Scenario const& quoted_scenario(ReportRuns const& runs) {
    return quoted(runs).design.scenario;
}

/// What feeds the loads for most of an hour: 's' PV, 'b' battery, 'r' grid, 'g' generator, 'x' nothing.
char source_of(sim::HourRecord const& hour, sim::Backup backup);

}  // namespace holdwater::tools
