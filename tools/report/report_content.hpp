#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "sim/designs/report_runs.hpp"
#include "tools/report/report_show.hpp"

namespace holdwater::tools {

using Json = nlohmann::ordered_json;

/// What the head and the foot of the page show.
struct ReportFacts {
    std::string scenario_path, scenario_text, date;
    std::string firm, customer, valid_until;  ///< empty: not printed
};

/// The whole page as data: texts that can be printed, tables as rows of cells, `charts` for the plots.
/// Nothing in it is escaped yet.
Json report_content(sim::ReportRuns const& runs, ReportFacts const& facts, ReportShow const& show);

/// The parts of the page, one file each.
Json report_answer(sim::ReportRuns const& runs, ReportShow const& show);  ///< headline and conditions
/// The worst days of the file from their worst start date: what the system delivers, when water is first
/// short, and what the backup changes. It describes the start date in the plot and names any other.
std::string cloudy_period_claim(sim::ReportRuns const& runs, ReportShow const& show);
Json report_options(sim::ReportRuns const& runs, ReportShow const& show);  ///< what a customer compares
Json report_design_figures(sim::ReportRuns const& runs,
                           ReportShow const& show);  ///< the other figures of each design
Json report_limits(sim::ReportRuns const& runs,
                   ReportShow const& show);  ///< what the system does not do, and what to switch off
Json report_boxes(sim::ReportRuns const& runs, ReportShow const& show);  ///< energy, water
Json report_plots(sim::ReportRuns const& runs,
                  ReportShow const& show);  ///< title, caption, alternative text and table of each plot
Json report_charts(sim::ReportRuns const& runs, ReportShow const& show);  ///< numbers for drawing
Json report_checks(sim::ReportRuns const& runs, ReportShow const& show);  ///< check
Json report_inputs(sim::ReportRuns const& runs, ReportShow const& show);  ///< assumptions
/// Cautions for the equipment of this design.
Json report_cautions(sim::ReportRuns const& runs, ReportShow const& show);
Json report_safety(scenarios::Scenario const& scenario);  ///< cautions that always hold
Json report_not_modeled();
/// The numbers of the texts of the page, unrounded and in SI, each once. A test compares the texts with them.
Json report_figures(sim::ReportRuns const& runs);
Json report_energy_figures(sim::ReportRuns const& runs);  ///< of an average day, kWh

/// "5.2 days", "over 60 days": no sun, no backup, battery full at sunset, worst start date.
std::string autonomy_text(sim::ReportedDesign const& design);
/// "after 1.5 days", "none": in the worst days without backup from their worst start date.
std::string first_shortage_alone(sim::ReportedDesign const& design, int days);

inline sim::ReportedDesign const& quoted(sim::ReportRuns const& runs) { return runs.designs[runs.quoted]; }
inline scenarios::Scenario const& quoted_scenario(sim::ReportRuns const& runs) {
    return quoted(runs).design.scenario;
}

/// What supplies the loads for most of an hour: 's' PV, 'b' battery, 'r' grid, 'g' generator, 'x' nothing.
char source_of(sim::HourRecord const& hour, sim::Backup backup);

}  // namespace holdwater::tools
