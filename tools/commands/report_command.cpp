#include <date/date.h>
#include <fmt/format.h>

#include <chrono>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <optional>

#include "sim/files/whole_file.hpp"
#include "sim/sweep/output_file.hpp"
#include "tools/commands/commands.hpp"
#include "tools/commands/common_options.hpp"
#include "tools/commands/stand_in_weather.hpp"
#include "tools/progress/progress_line.hpp"
#include "tools/progress/stop_on_signal.hpp"
#include "tools/report/report_page.hpp"
#include "tools/show/units.hpp"
#include "tools/show/wrap_text.hpp"

namespace holdwater::tools {
namespace {

struct ReportArguments {
    std::string scenario, out, date, firm, customer, valid_until;
    StandInArguments weather;
    sim::ReportRequest request;
    std::optional<ReportUnits> units;
    bool json = false;
};

std::string today() {
    return date::format("%Y-%m-%d", date::floor<date::days>(std::chrono::system_clock::now()));
}

std::string checked_date(std::string const& text, char const* option) {
    int year = 0, end = 0;
    unsigned month = 0, day = 0;
    bool const read = std::sscanf(text.c_str(), "%4d-%2u-%2u%n", &year, &month, &day, &end) == 3 &&
                      static_cast<std::size_t>(end) == text.size();
    if (!read || !(date::year{year} / month / day).ok())
        throw CLI::ValidationError(option, "'" + text + "' is not a day; accepted: YYYY-MM-DD");
    return text;
}

void run(ReportArguments const& o, int& exit_code) {
    auto request = o.request;
    std::string const date = o.date.empty() ? today() : checked_date(o.date, "--date");
    std::string const valid_until =
        o.valid_until.empty() ? std::string() : checked_date(o.valid_until, "--valid-until");
    std::string const out =
        o.out.empty() ? std::filesystem::path(o.scenario).stem().string() + ".html" : o.out;
    auto const folder = std::filesystem::path(out).parent_path();
    if (!o.json && !folder.empty() && !std::filesystem::is_directory(folder))
        throw sim::ResultFileError(
            fmt::format("{}: cannot be written: there is no folder {}", out, folder.string()));
    if (!o.json) sim::check_output(out, sim::outputs::page, read_paths(o.scenario, o.weather));
    auto const file = scenarios::read_design_file(o.scenario);
    request.weather = stand_in(o.weather, scenarios::named_design(file, request.option).scenario);
    ReportShow const show{o.units.value_or(report_units(scenarios::base_design(file).scenario))};
    request.units = show.units == ReportUnits::us ? sim::ShownUnits::us : sim::ShownUnits::metric;
    request.both_units = show.units == ReportUnits::both;
    StopOnSignal const signal;
    request.weather.stop = &signal.stop();
    std::optional<ProgressLine> line("report");
    request.weather.progress = line->share();
    std::optional<sim::ReportRuns> ran;
    try {
        ran = sim::run_report(file, request);
    } catch (sim::StudyStopped const&) {
        line.reset();
        fmt::print(stderr, "stopped: no page was written\n");
        exit_code = signal.exit_code();
        return;
    }
    line.reset();
    auto const& runs = *ran;
    auto const content =
        report_content(runs, {o.scenario, file.text, date, o.firm, o.customer, valid_until}, show);
    print_warnings(quoted_scenario(runs).warnings, show.units == ReportUnits::us ? Units::us : Units::metric);
    if (o.json) {
        fmt::print("{}\n", content.dump(2, ' ', false, Json::error_handler_t::replace));
        return;
    }
    auto const assets = report_assets();
    if (assets.script.empty())
        fmt::print(stderr,
                   "warning: this holdwater was built without npm: the page has tables in place of plots\n");
    std::string const page = report_page(content, assets);
    sim::write_whole_file(out, page);
    std::string text;
    auto const& answer = content["answer"];
    if (!answer["years"].is_null()) {
        wrap(text, "", answer["years"]["text"].get<std::string>(), 100);
        wrap(text, "In the typical year?  ", answer["answer"].get<std::string>(), 100);
    } else {
        wrap(text, "", answer["answer"].get<std::string>(), 100);
    }
    fmt::print("{}\n{}\n\n{}", content["title"].get<std::string>(), content["place"].get<std::string>(),
               text);
    if (content["answer"]["any_to_settle"].get<bool>()) {
        std::string items;
        fmt::print("\nTo be settled before anything is signed:\n");
        for (auto const& item : content["answer"]["to_settle"])
            wrap(items, "  - ", item.get<std::string>(), 100);
        fmt::print("{}", items);
    }
    fmt::print("\nThe page, to open in a browser and to print from there: {}\n", out);
}

}  // namespace

void add_report_command(CLI::App& app, int& exit_code) {
    auto const o = std::make_shared<ReportArguments>();
    CLI::App* const c = app.add_subcommand(
        "report", "Two pages for the customer and an annex for the file, to open offline and to print");
    c->add_option("SCENARIO", o->scenario, "Scenario file (TOML)")->required();
    c->add_option("--option", o->request.option, "Option to quote, by its name");
    add_weather(*c, o->weather);
    c->add_option("--out", o->out,
                  "The page, HTML (default: the scenario's name with .html, in this folder)");
    add_page_units(*c, o->units, "Units of the page (default: the scenario's `units`, else metric)");
    c->add_option("--date", o->date, "Date on the page, YYYY-MM-DD (default: today)");
    c->add_option("--firm", o->firm, "Name of your firm, for the head of the page")->option_text("NAME");
    c->add_option("--customer", o->customer, "Name of the customer, for the head of the page")
        ->option_text("NAME");
    c->add_option("--valid-until", o->valid_until, "Last day of the offer, YYYY-MM-DD")->option_text("DATE");
    c->add_flag("--json", o->json, "Print what the page says as JSON and nothing else");
    c->footer("Example:  holdwater report scenarios/juniper-bend-household.toml --units both");
    c->callback([o, &exit_code] { run(*o, exit_code); });
}

}  // namespace holdwater::tools
