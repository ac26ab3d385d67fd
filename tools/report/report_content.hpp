#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "tools/report/report_runs.hpp"
#include "tools/report/report_show.hpp"

namespace holdwater::tools {

using Json = nlohmann::ordered_json;

/// What the foot of the page names.
struct QuoteFacts {
    std::string scenario_path, scenario_text, date;
};

/// The whole page as data: texts ready to be read, tables as rows of cells, `charts` for the plots. Nothing
/// in it is escaped yet.
Json quote_content(QuoteRuns const& runs, QuoteFacts const& facts, QuoteShow const& show);

/// Parts of it, one file each.
Json quote_answer(QuoteRuns const& runs, QuoteShow const& show);    ///< question, answer, glance
Json quote_boxes(QuoteRuns const& runs, QuoteShow const& show);     ///< start, energy, options, water
Json quote_plots(QuoteRuns const& runs, QuoteShow const& show);     ///< title, caption, alt, table of each
Json quote_charts(QuoteRuns const& runs, QuoteShow const& show);    ///< numbers for drawing
Json quote_checks(QuoteRuns const& runs, QuoteShow const& show);    ///< preflight
Json quote_inputs(QuoteRuns const& runs, QuoteShow const& show);    ///< assumptions
Json quote_cautions(QuoteRuns const& runs, QuoteShow const& show);  ///< triggered, and always
Json quote_not_modelled();

inline QuotedDesign const& quoted(QuoteRuns const& runs) { return runs.designs[runs.quoted]; }
inline scenarios::Scenario const& quoted_scenario(QuoteRuns const& runs) {
    return quoted(runs).design.scenario;
}

/// What feeds the loads for most of an hour: 's' sun, 'b' bank, 'r' grid, 'g' generator, 'x' nothing.
char source_of(sim::HourRecord const& hour, sim::Backup backup);

}  // namespace holdwater::tools
