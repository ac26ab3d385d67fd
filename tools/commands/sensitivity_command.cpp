#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>

#include "scenarios/settings/unit_text.hpp"
#include "scenarios/text/assumed_inputs.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/designs/sensitivity.hpp"
#include "sim/files/result_file.hpp"
#include "sim/files/table_file.hpp"
#include "sim/sweep/output_file.hpp"
#include "tools/answers/verdict_words.hpp"
#include "tools/commands/commands.hpp"
#include "tools/commands/common_options.hpp"
#include "tools/commands/stand_in_weather.hpp"
#include "tools/json/sensitivity_json.hpp"
#include "tools/json/typed_axes.hpp"
#include "tools/progress/progress_line.hpp"
#include "tools/progress/stop_on_signal.hpp"
#include "tools/show/provenance_view.hpp"
#include "tools/show/wrap_text.hpp"

namespace holdwater::tools {
namespace {

struct SensitivityArguments {
    std::string scenario, option, out;
    StandInArguments weather;
    std::vector<std::string> inputs;
    std::optional<Units> units;
    bool json = false;
};

// A row of the table: a figure or verdict at the low end, of the base design and at the high end.
struct Row {
    std::string name, low, written, high;
};

std::string lines_of(std::vector<Row> const& rows) {
    std::size_t width = 46;
    for (auto const& r : rows) width = std::max(width, r.name.size());
    std::string out;
    for (auto const& r : rows)
        out += fmt::format("    {:<{}}{:>12}{:>13}{:>12}\n", r.name, width, r.low, r.written, r.high);
    return out;
}

void add_figure(std::vector<Row>& rows, std::string const& name, double low, double written, double high,
                int digits) {
    if (low == written && high == written) return;
    rows.push_back({"  " + name, sim::figure_text(low, digits), sim::figure_text(written, digits),
                    sim::figure_text(high, digits)});
}

// The number of years held at both ends and of the base design, for each set of years.
void add_years_held(std::vector<Row>& rows, sim::SensitivityAnswer const& a, sim::Sensitivity const& t) {
    for (std::size_t i = 0; i < t.written.years.size(); ++i) {
        auto const& [source, v] = t.written.years[i];
        std::string const recorded = source == "made"                      ? ""
                                     : source == sim::RecordedSet().source ? "recorded "
                                                                           : "recorded (" + source + ") ";
        add_figure(rows,
                   fmt::format("{}{} of {} {}", recorded, winters_or_years(a.winters, 2), v.years,
                               held_label(a.settings.required)),
                   t.low.years.at(i).verdict.held, v.held, t.high.years.at(i).verdict.held, 0);
    }
}

std::string table(sim::SensitivityAnswer const& answer, Units units) {
    auto const& tried = answer.inputs;
    std::string out;
    if (!answer.base.years.empty())
        out += verdict_lines(answer.base.years[0].verdict, answer.settings,
                             {answer.winters, answer.base.years[0].source != "made", answer.start_month}) +
               fmt::format("  {}.\n\n", other_age_words(answer.base_at_other_age.at(0).verdict,
                                                        answer.winters, answer.settings.required));
    std::string decides;
    bool assumed = false;  // not only "what if" of values that are known
    for (auto const& t : tried)
        if (!t.flipped.empty()) {
            decides += (decides.empty() ? "" : ", ") + t.input;
            assumed |= t.provenance != only_tried;
        }
    wrap(out, "Which input decides?  ",
         decides.empty()
             ? std::string("None: no verdict changes at either end of any range.")
             : fmt::format("{}{}: a verdict changes within the range.", assumed ? "Measure " : "", decides),
         100);
    for (auto const& t : tried) {
        auto const shown = [units](std::string const& typed) { return scenarios::in_units(units, typed); };
        out += fmt::format("\n  {}, {} to {} ({})\n", t.input, shown(t.low.value), shown(t.high.value),
                           t.provenance);
        for (auto const* end : {&t.low, &t.high})
            if (!end->problem.empty())
                out += fmt::format("      {} cannot be run: {}\n", shown(end->value), shown(end->problem));
        std::vector<Row> rows{{"", "low end", "base design", "high end"}};
        for (auto const& v : t.flipped) rows.push_back({"* " + v.name, v.at_low, v.as_written, v.at_high});
        bool const both = t.low.problem.empty() && t.high.problem.empty();
        if (both) {
            add_years_held(rows, answer, t);
            add_figure(rows, "hours short of water in the typical year", t.low.shortage_hours,
                       t.written.shortage_hours, t.high.shortage_hours, 0);
            add_figure(rows, "generator in the typical year, h", t.low.generator_h, t.written.generator_h,
                       t.high.generator_h, 1);
            add_figure(rows, "grid in the typical year, kWh", t.low.grid_kwh, t.written.grid_kwh,
                       t.high.grid_kwh, 0);
        }
        out += rows.size() > 1 ? lines_of(rows) : "      no verdict and no figure changes\n";
    }
    out += "\n  * a verdict that changes. Everything else stays as in the base design.\n";
    if (!answer.weather.empty()) out += years_run_lines(answer.weather, answer.drawn, answer.notes);
    return out;
}

void write_file(SensitivityArguments const& o, sim::SensitivityAnswer const& answer,
                std::string const& scenario_text, std::vector<std::string> const& provenance) {
    std::vector<std::string> inputs, names, lows, written, highs;
    for (auto const& t : answer.inputs)
        for (auto const& v : t.flipped) {
            inputs.push_back(t.input), names.push_back(v.name);
            lows.push_back(v.at_low), written.push_back(v.as_written), highs.push_back(v.at_high);
        }
    sim::Table const flipped{"flipped",
                             {{"input", "1", "key of the scenario", inputs},
                              {"verdict", "1", "verdict that changes", names},
                              {"at_low", "1", "at the low end of the range", lows},
                              {"base_design", "1", "at the scenario's value", written},
                              {"at_high", "1", "at the high end of the range", highs}}};
    sim::write_tables(o.out,
                      {{"scenario_path", o.scenario},
                       {"scenario_hash_fnv1a64", sim::text_hash(scenario_text)},
                       {"version", HOLDWATER_VERSION}},
                      {{"scenario", scenario_text}, {"provenance", provenance_file_text(provenance)}},
                      {flipped});
}

void run(SensitivityArguments const& o, int& exit_code) {
    sim::check_output(o.out, sim::outputs::sensitivity, read_paths(o.scenario, o.weather));
    auto const file = scenarios::read_design_file(o.scenario);
    auto const scenario = scenarios::named_design(file, o.option).scenario;
    std::vector<sim::RangeToTry> ranges;
    for (auto const& text : o.inputs) ranges.push_back(range_to_try(text));
    if (ranges.empty()) ranges = sim::stated_ranges(scenario);
    if (ranges.empty())
        throw scenarios::ScenarioError(
            o.scenario, 0, "assumed_range",
            "states no range to try; add [assumed_range] with lines such as \"inverter.idle\" = [\"20 W\", "
            "\"60 W\"], or give --input \"inverter.idle=20 W,60 W\"");
    StopOnSignal const signal;
    std::optional<ProgressLine> line("inputs at both ends");
    auto weather = stand_in(o.weather, scenario);
    weather.progress = line->share();
    auto const answer = sim::sensitivity(file, o.option, weather, ranges, &signal.stop());
    line.reset();
    auto const& tried = answer.inputs;
    if (answer.stopped) {
        fmt::print(stderr, "stopped: {} of {} inputs were tried at both ends{}\n", tried.size(),
                   ranges.size(),
                   tried.empty() ? "" : ", without the verdicts over many years; the answer is of these");
        exit_code = signal.exit_code();
        if (tried.empty()) return;
    }
    auto const provenance = scenarios::provenance_lines(scenario);
    if (!o.out.empty()) write_file(o, answer, scenario.text, provenance);
    auto const units = units_of(o.units, scenario);
    print_warnings(scenario.warnings, units);
    if (o.json) return fmt::print("{}\n", sensitivity_json(answer, provenance).dump(2));
    fmt::print("{}\n{}\n\n{}", scenario.title, scenario.place, table(answer, units));
    if (!o.out.empty()) fmt::print("\nVerdicts that change: {}\n", o.out);
}

}  // namespace

void add_sensitivity_command(CLI::App& app, int& exit_code) {
    auto const o = std::make_shared<SensitivityArguments>();
    CLI::App* const c = app.add_subcommand(
        "sensitivity",
        "Which input decides: each assumed input at both ends of its range, and the verdicts that change");
    c->add_option("SCENARIO", o->scenario, "Scenario file (TOML), with [assumed_range]")->required();
    c->add_option("--input", o->inputs,
                  "In place of [assumed_range]: this key at these two values, such as \"inverter.idle=20 "
                  "W,60 W\"; repeatable");
    c->add_option("--option", o->option, "One of the scenario's options by its name");
    add_weather(*c, o->weather);
    c->add_option("--out", o->out, "Also write the verdicts that change to this file, HDF5");
    add_units(*c, o->units);
    c->add_flag("--json", o->json, "Print as JSON (SI units) and nothing else");
    c->footer(
        "Example:  holdwater sensitivity scenarios/juniper-bend-household.toml --input \"inverter.idle=20 "
        "W,60 "
        "W\"");
    c->callback([o, &exit_code] { run(*o, exit_code); });
}

}  // namespace holdwater::tools
