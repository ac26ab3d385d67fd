#pragma once

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "scenarios/design/design.hpp"
#include "scenarios/design/record_shelf.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/design/weather_shelf.hpp"
#include "sim/base/progress.hpp"
#include "sim/verdict/made_weather.hpp"
#include "sim/verdict/years_to_run.hpp"
#include "sim/verdict/years_verdict.hpp"

namespace holdwater::tools {

/// What a page holds: a scenario's text and the files it names, and the answers of the commands for it. Texts
/// and bytes come in, JSON goes out; nothing is thrown across.
///
/// Files (parts lists, weather, a measured demand) are put under the names that the scenario has for them,
/// seen from its own folder, before they are used.
class Desk {
  public:
    /// `progress` is told how far a call is, 0 .. 1, while one of the longer ones runs: verdict, cloudiness,
    /// compare, sensitivity, report.
    explicit Desk(sim::TellShare progress = {}) : progress_(std::move(progress)) {}

    /// Keeps the bytes under `path`; an earlier file of that name is replaced. Empty: done; else what was
    /// wrong.
    std::string put_file(std::string const& path, std::string_view bytes);

    /// One request, a JSON object with `call` and what the call needs; the answer is a JSON object too:
    ///   {"answer": ..., "warnings": ["..."]}     or     {"error": "what was wrong and what is accepted"}
    ///
    /// - load_scenario {path}: the file put there becomes the scenario. Answers title, place, units, options.
    /// - load_weather {paths, temperature}: in place of the scenario's file: one file, or several recorded
    ///   years, and for these a file with temperature and wind, if they have none; [] for its own.
    /// - start {answers, path, weather_path}: a scenario from the questions of `init`, put under `path`; the
    ///   year that is made for it, unless `answers.weather` names a file, under `weather_path`. Answers both
    ///   texts.
    /// - describe {units}: every key that a scenario may have, [{key, unit, usual, range, choices, kind,
    /// more,
    ///   help}], in the order of a scenario; unit and range in these units, "us" or "metric".
    /// - keys {units}: every key that the scenario has: [{key, entry, value, shown, note}]; `shown` as a
    ///   person reads it in these units.
    /// - set_keys {changes: [{key, value}], units}, or set_key {key, value, units}: as a person types it
    ///   ("14 kWh", "0.8", "2,8"); a number without a unit is in these units. remove {key}: a key, an entry
    ///   of a list or a table. add {list, lines}: an entry [[list]]; the first [[use]] takes the
    ///   daily demand of [demand] beside it. set_text {text}. A scenario that cannot
    ///   be used with the change stays as it was.
    /// - removable {keys}: those of these keys, entries and tables without which the scenario can be used.
    /// - parts {kind, paths}: the parts of that kind in the lists at these paths; take_part {kind, table,
    ///   name, paths}: its keys in place of those of the table that parts of that kind have. Answers what
    ///   changed.
    /// - save {}: answers the scenario's text.
    /// - year, years, autonomy, compare, size, sensitivity, check: what the command prints with --json. Their
    ///   options have the command's names: option, first_day (0: 1 January), days, age, years, seed,
    ///   clearness, every, leak_m3_s, options_only, vary, require, inputs. autonomy without an option answers
    ///   for every design of the file, or only for the base design with one_design = true. The texts of check
    ///   are metric as with --json, or in US units with units = "us".
    /// - verdict {option, years}: the verdict of `year`, and the words for it and for its worst year.
    /// - verdicts {sets: [[{key, value}, ..], ..], units, option, years}: the design with each of these sets
    /// of
    ///   changes through the same years: [{held, years, needed}], or {error} for one that cannot be used.
    /// - hours {option, year, units}: "typical", or "worst": the worst year of the verdict; columns of its
    ///   hours, and the lines of its table as the command prints it, [{label, text}].
    /// - cloudiness {option, shares}: days to the first shortage at shares of a clear sky, as in the report.
    /// - site_periods {option}: the site's cloudy period, of made years (or of the weather file), and the
    /// worst
    ///   seven days of each set of recorded years: [{source, share, words}], `share` of a clear sky.
    /// - ranges {}: the ranges that the scenario states. cost {option}: the life-cycle cost of the typical
    ///   year; null without prices.
    /// - report {date, units, option, firm, customer, valid_until}: {"page": HTML, "content": what it says}.
    std::string call(std::string const& request);

  private:
    struct Answer;
    struct Request;
    Answer answer(Request const& request);
    Answer load_scenario(Request const& request);
    Answer load_weather(Request const& request);
    Answer start(Request const& request);
    Answer describe(Request const& request);
    Answer keys(Request const& request);
    Answer set_keys(Request const& request);
    Answer set_text(Request const& request);
    Answer remove(Request const& request);
    Answer removable(Request const& request);
    Answer add(Request const& request);
    Answer parts(Request const& request);
    Answer take_part(Request const& request);
    Answer save(Request const& request);
    Answer verdict(Request const& request);
    Answer verdicts(Request const& request);
    Answer hours(Request const& request);
    Answer cloudiness(Request const& request);
    Answer site_periods(Request const& request);
    Answer ranges(Request const& request);
    Answer cost(Request const& request);
    Answer year(Request const& request);
    Answer years(Request const& request);
    Answer autonomy(Request const& request);
    Answer compare(Request const& request);
    Answer size(Request const& request);
    Answer sensitivity(Request const& request);
    Answer check(Request const& request);
    Answer report(Request const& request);

    void use(scenarios::DesignFile file);
    void forget_weather();
    Answer use_text(std::string const& text);
    [[nodiscard]] sim::WeatherStandIn stand_in(Request const& request,
                                               scenarios::Scenario const& scenario) const;
    /// The verdict of one design, with its worst year once it was asked for; the last one is kept, because
    /// several calls show something of it.
    struct Judged {
        std::string asked;
        std::vector<sim::DrawnDesign> designs;
        std::shared_ptr<weather::WeatherYear const> weather;
        sim::DrawOptions draw;
        sim::DesignVerdicts verdicts;
        std::optional<sim::WorstYear> worst_run{};
        sim::WorstYear const& worst();
    };
    /// Empty: the scenario asks for no years but the typical one.
    Judged* judged(Request const& request, scenarios::Scenario const& scenario);
    [[nodiscard]] std::vector<scenarios::Design> all_designs(bool with_base) const;
    std::shared_ptr<weather::WeatherYear const> weather_of(scenarios::Scenario const& scenario);

    sim::TellShare progress_;
    scenarios::DesignFile file_;
    scenarios::OtherYears weather_;
    std::map<std::string, scenarios::WeatherShelf> shelves_;  // by the file in place of the scenario's own
    std::shared_ptr<scenarios::RecordShelf> records_ = std::make_shared<scenarios::RecordShelf>();
    std::shared_ptr<sim::MadeShelf> made_ = std::make_shared<sim::MadeShelf>(sim::MadeShelf::most_years);
    std::optional<Judged> judged_;
};

}  // namespace holdwater::tools
