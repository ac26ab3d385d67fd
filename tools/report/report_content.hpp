#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "sim/designs/report_runs.hpp"
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
Json report_content(sim::ReportRuns const& runs, ReportFacts const& facts, ReportShow const& show);

/// Parts of it, one file each.
Json report_answer(sim::ReportRuns const& runs, ReportShow const& show);  ///< headline and what was asked
/// The poorest days of the file from their worst start date: what the system delivers, when water is first
/// short, and what the backup changes. It speaks of the start date that is plotted, and names any other.
std::string cloudy_period_claim(sim::ReportRuns const& runs, ReportShow const& show);
Json report_options(sim::ReportRuns const& runs, ReportShow const& show);  ///< what a customer compares
Json report_design_figures(sim::ReportRuns const& runs,
                           ReportShow const& show);  ///< the other figures of each design
Json report_limits(sim::ReportRuns const& runs,
                   ReportShow const& show);  ///< what is not done, what to switch off
Json report_boxes(sim::ReportRuns const& runs, ReportShow const& show);  ///< energy, water
Json report_plots(sim::ReportRuns const& runs,
                  ReportShow const& show);  ///< title, caption, alt, table of each
Json report_charts(sim::ReportRuns const& runs, ReportShow const& show);    ///< numbers for drawing
Json report_checks(sim::ReportRuns const& runs, ReportShow const& show);    ///< check
Json report_inputs(sim::ReportRuns const& runs, ReportShow const& show);    ///< assumptions
Json report_cautions(sim::ReportRuns const& runs, ReportShow const& show);  ///< those this design calls for
Json report_safety();                                                       ///< those that always hold
Json report_not_modeled();
/// The numbers that the texts of the page are made of, unrounded and in SI, each once: what a text says is
/// held against them.
Json report_figures(sim::ReportRuns const& runs);
Json report_energy_figures(sim::ReportRuns const& runs);  ///< of an average day, kWh

/// "5.2 days", "over 60 days": no sun, no backup, battery full at sunset, worst start date.
std::string autonomy_text(sim::ReportedDesign const& design);
/// "after 35 hours", "none": of the poorest days without backup from their worst start date.
std::string first_shortage_alone(sim::ReportedDesign const& design, int days);

inline sim::ReportedDesign const& quoted(sim::ReportRuns const& runs) { return runs.designs[runs.quoted]; }
inline scenarios::Scenario const& quoted_scenario(sim::ReportRuns const& runs) {
    return quoted(runs).design.scenario;
}

/// What feeds the loads for most of an hour: 's' PV, 'b' battery, 'r' grid, 'g' generator, 'x' nothing.
char source_of(sim::HourRecord const& hour, sim::Backup backup);

}  // namespace holdwater::tools
