#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "models/numeric/statistics.hpp"
#include "scenarios/settings/scenario.hpp"
#include "sim/base/run_result.hpp"
#include "sim/base/stop.hpp"
#include "sim/batch/batch.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// Recorded calendar years, one after the other without a gap: N of them give N - 1 verdict years.
using RecordedChain = std::vector<weather::WeatherYear>;

/// The recorded years by one model of the light. `source` is its name, "recorded" where the files hold one.
struct RecordedSet {
    std::string source = "recorded";
    std::vector<RecordedChain> chains;
    std::vector<std::string> notes;  ///< on what was done to them, passed on with the answer
};

/// ", SUNY light" of a set's source; "" where the files hold one light only.
std::string light_words(std::string const& source);

/// Where the years come from.
struct DrawOptions {
    int years = 50;  ///< made years, 0 .. 100000
    std::uint64_t seed = 1;
    int first = 1;                   ///< number of the first made year, 1 .. 1,000,000
    std::optional<int> start_month;  ///< 1 .. 12; not given: that of the first design
    std::vector<RecordedSet>
        recorded;                    ///< run as well, and reported apart; made years are fitted to the first
    bool recorded_fit_only = false;  ///< recorded years are not run, made years are fitted to them
    int threads = 0;                 ///< 0: all processors
    std::function<void(int done, int all)> progress;  ///< called between batches; may be empty
    StopFlag stop = nullptr;  ///< looked at between batches: the answer is of the years finished by then
};

/// One design and the weather file it was given.
struct DrawnDesign {
    scenarios::Scenario scenario;
    weather::WeatherYear const* own_year = nullptr;
};

/// One year of one design, with findings, from the first of the start month to the end of the month before
/// it. `problem` in words, and no figures, when it could not be run.
struct DrawnYear : BatchYear {
    int number = 0;        ///< of made years 1, 2, ..; of recorded ones the calendar year in which it begins
    double start_soc = 1;  ///< when the year begins, after the run-in
    CarriedWater start_water;  ///< cistern and trough then
    int run_in_days = 0;
    bool recovers = true;  ///< false: full and empty stores still differ after a run-in of a whole year
};

/// A whole calendar year as it stands, nothing drawn, from the scenario's own start.
BatchYear run_year(scenarios::Scenario const& scenario, weather::WeatherYear const& year);

/// What draw_years ran of one set of recorded years.
struct RecordedDraws {
    std::string source, weather;                ///< name of the set; in words: how many years of it
    std::vector<std::vector<DrawnYear>> years;  ///< by design, then by year
    std::vector<std::string> notes;
};

struct Draws {
    int start_month = 1;                        ///< the years begin on the first of it, 1 .. 12
    bool winters = false;                       ///< each of them has one winter in its middle
    std::vector<std::vector<DrawnYear>> years;  ///< made years, by design, then by year
    std::vector<RecordedDraws> recorded;        ///< one for each set
    std::string weather, drawn;  ///< in words: where the made years come from; what is drawn in all years
    std::vector<std::string> notes;
};

/// Month (1 .. 12) whose three-month centered mean of plane light over demand is the largest in the typical
/// year: years that begin on its first day do not cut the hard season in two. Without demand: of the light.
int verdict_start_month(HourlyInputs const& typical);

/// Whether years that begin in this month are spoken of as winters: from May to August north of the equator,
/// from November to February south of it.
bool are_winters(int start_month, double latitude_deg);

/// Runs every design through the same years, the verdict years. Made years are like the design's own weather
/// file or, where five recorded years or more are given, fitted to the first set of them. They begin on the
/// first of one month, chosen from the first design (verdict_start_month). Made year k takes that month to
/// December from calendar year k of the maker and January to the month before from calendar year k + 1; a
/// recorded one likewise from two consecutive years. Year k has the same weather, and the same seeds for
/// outages (those of [outage_statistics]; listed ones come every year), demand (`day_variation`) and
/// generator failures, in all designs, so that they can be compared year by year.
///
/// Each year is run after a run-in over the weather before its start, once begun with full stores and once
/// with empty ones (levels_at_share): 30 days, and longer, up to 365, while the two still differ by more than
/// 0.1 % of a store. Then the design does not recover, and the year counts as failed. The first year of
/// recorded weather has only what its file holds before the start. A run begins with the pressure tank at
/// cut-out, the well rested and the charge of a lead-acid battery evened out.
///
/// Year k does not depend on how many there are, nor on the number of threads.
/// Throws std::invalid_argument; models::ParameterError for options out of range; StudyStopped when it was
/// asked to stop before any year was finished.
Draws draw_years(std::vector<DrawnDesign> const& designs, DrawOptions const& options);

/// One of these years hour by hour: what draw_years ran as `year`, one of its made ones or, with
/// `recorded_set`, one of that set. The hours count from its beginning; `clock.first_hour` says where in the
/// calendar that is.
RunResult run_drawn_year(DrawnDesign const& design, DrawOptions const& options, int start_month,
                         DrawnYear const& year, std::optional<std::size_t> recorded_set);

/// What a figure does over the years. `bad` is the value on the bad side that one year in ten passes.
struct Spread {
    double mean = 0, median = 0, low = 0, high = 0;  ///< low, high: 10 % and 90 % of the years below
    double bad = 0, worst = 0;
};
/// `better`: +1 more is better, -1 less is.
Spread spread_of(std::vector<double> const& values, int better);

/// How often something happened, with the Clopper-Pearson interval (90 %).
struct Odds {
    int times = 0, years = 0;
    models::Interval share;
};
Odds odds_of(std::vector<DrawnYear> const& years, std::function<bool(DrawnYear const&)> const& happened);

/// A year without a shortage: no hour short of water, and its stores do not depend on the start of the
/// run-in.
bool without_shortage(DrawnYear const& year);

}  // namespace holdwater::sim
