#include <fmt/format.h>

#include <cmath>
#include <memory>
#include <utility>

#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/design/weather_shelf.hpp"
#include "scenarios/settings/field_words.hpp"
#include "scenarios/text/assumed_inputs.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "sim/designs/design_figures.hpp"
#include "sim/files/result_file.hpp"
#include "sim/files/table_file.hpp"
#include "sim/verdict/years_to_run.hpp"
#include "sim/verdict/years_verdict.hpp"
#include "tools/answers/comparison.hpp"
#include "tools/answers/years_table.hpp"
#include "tools/commands/commands.hpp"
#include "tools/commands/common_options.hpp"
#include "tools/commands/stand_in_weather.hpp"
#include "tools/json/comparison_json.hpp"
#include "tools/progress/progress_line.hpp"
#include "tools/progress/stop_on_signal.hpp"
#include "tools/show/provenance_view.hpp"
#include "tools/show/table_out.hpp"

namespace holdwater::tools {
namespace {

struct CompareArguments {
    std::string scenario, out;
    StandInArguments weather;
    int threads = 0;
    bool json = false, without_base = false, detail = false;
    std::optional<Units> units;
};

sim::Draws draw(CompareArguments const& o, std::vector<sim::DrawnDesign> drawn, sim::DrawOptions options,
                std::string& no_years) {
    if (!sim::any_years(options)) return {};
    options.threads = o.threads;
    ProgressLine line("years");
    options.progress = line.years();
    try {
        return sim::draw_years(drawn, options);
    } catch (std::invalid_argument const& error) {
        if (o.weather.made_years) throw;
        // The user did not ask for years, so the comparison is made without them.
        no_years = fmt::format("No range over years: {}.", scenarios::problem_words(error));
        return {};
    } catch (sim::StudyStopped const&) {
        no_years = "No range over years: stopped before one was finished.";
        return {};
    }
}

struct Finished {
    std::size_t years = 0, of = 0;
};

Finished finished_years(sim::Draws const& draws, sim::DrawOptions const& asked) {
    Finished f{draws.years.empty() ? 0 : draws.years[0].size(), static_cast<std::size_t>(asked.years)};
    for (auto const& set : draws.recorded) f.years += set.years[0].size();
    for (auto const& set : asked.recorded)
        for (auto const& chain : set.chains) f.of += chain.empty() ? 0 : chain.size() - 1;
    return f;
}

void run(CompareArguments const& o, int& exit_code) {
    check_table_path(o.out, sim::outputs::compare, read_paths(o.scenario, o.weather));
    auto const file = scenarios::read_design_file(o.scenario);
    if (file.options.empty())
        throw scenarios::ScenarioError(
            o.scenario, 0, "",
            "has no [[option]] to compare; add tables [[option]] with a name and the keys "
            "that change, such as \"battery.capacity\" = \"14 kWh\"");
    std::vector<scenarios::Design> designs;
    if (!o.without_base) designs.push_back(scenarios::base_design(file));
    for (auto const& option : file.options) designs.push_back(scenarios::option_design(file, option));
    auto const weather = stand_in(o.weather, designs[0].scenario);
    scenarios::WeatherShelf shelf(weather.file);
    std::vector<std::shared_ptr<weather::WeatherYear const>> years;
    std::vector<sim::DrawnDesign> drawn;
    for (auto const& design : designs) {
        years.push_back(shelf.of(design.scenario));
        drawn.push_back({design.scenario, years.back().get()});
    }
    StopOnSignal const signal;
    auto options = sim::years_to_run(designs[0].scenario, weather);
    options.stop = &signal.stop();
    std::optional<ProgressLine> line("designs");
    auto figures = sim::figures_to_compare(drawn, options, line->share());
    line.reset();
    if (figures.size() < designs.size()) {
        fmt::print(stderr, "stopped: {} of {} designs are finished; a comparison needs all of them\n",
                   figures.size(), designs.size());
        exit_code = signal.exit_code();
        return;
    }
    for (std::size_t i = 0; i < designs.size(); ++i)
        print_warnings(figures[i].warnings, units_of(o.units, designs[i].scenario), designs[i].name + ": ");
    std::string no_years;
    auto const at_age = [&](auto const& age_of) {
        auto aged = drawn;
        for (auto& design : aged) design.scenario = age_of(design.scenario);
        return draw(o, std::move(aged), options, no_years);
    };
    auto const draws = at_age(sim::as_judged);
    auto ranking = sim::rank_designs(designs, std::move(figures), sim::years_to_show(draws));
    auto comparison =
        comparison_of(designs, std::move(ranking), draws, units_of(o.units, designs.front().scenario));
    if (!no_years.empty()) comparison.years_note = no_years;
    if (o.detail && no_years.empty())
        if (auto const other = at_age(sim::as_not_judged); no_years.empty())
            add_other_age(comparison, other, designs);
    if (!o.out.empty())
        sim::write_table(o.out,
                         {{"scenario_path", o.scenario},
                          {"scenario_hash_fnv1a64", sim::text_hash(file.text)},
                          {"first", first_of(comparison).name},
                          {"order", comparison.order},
                          {"cost_note", comparison.cost_note},
                          {"years_note", comparison.years_note},
                          {"version", HOLDWATER_VERSION}},
                         file.text, {designs_table(comparison)});
    auto const provenance = scenarios::provenance_lines_of_run(designs[0].scenario);
    if (auto const finished = finished_years(draws, options); signal.stop() && finished.years < finished.of) {
        fmt::print(stderr, "stopped: all designs and {} of {} years are finished; the answer is of these\n",
                   finished.years, finished.of);
        exit_code = signal.exit_code();
    }
    if (o.json) return fmt::print("{}\n", comparison_json(comparison, provenance).dump(2));
    fmt::print("{}\n{}\n\n{}{}", designs[0].scenario.title, designs[0].scenario.place,
               comparison_table(comparison),
               provenance_text(provenance, units_of(o.units, designs[0].scenario)));
    if (!o.out.empty()) fmt::print("\nAs a table: {}\n", o.out);
}

}  // namespace

void add_compare_command(CLI::App& app, int& exit_code) {
    auto const o = std::make_shared<CompareArguments>();
    CLI::App* const c =
        app.add_subcommand("compare", "The options of a scenario side by side, best first, and why");
    c->add_option("SCENARIO", o->scenario, "Scenario file (TOML) with tables [[option]]")->required();
    add_weather(*c, o->weather);
    add_threads(*c, o->threads);
    c->add_option("--out", o->out, "Also write the figures to this file, .csv or .h5, a row a design");
    c->add_flag("--options-only", o->without_base, "Leave out the base design");
    c->add_flag("--detail", o->detail,
                "Also the winters that hold with the battery at the age that [required] does not judge: as "
                "it is now, or at the end of its life; takes twice as long");
    add_units(*c, o->units);
    c->add_flag("--json", o->json,
                "Print as JSON (SI units) and nothing else; null: longer than the period that was run");
    c->footer("Example:  holdwater compare scenarios/thorn-gully-options.toml");
    c->callback([o, &exit_code] { run(*o, exit_code); });
}

}  // namespace holdwater::tools
