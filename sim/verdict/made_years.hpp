#pragma once

#include <cstdint>
#include <functional>
#include <memory>
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

class MadeShelf;

/// Consecutive recorded calendar years. N of them give N - 1 years of a verdict.
using RecordedChain = std::vector<weather::WeatherYear>;

/// The recorded years by one irradiance model. `source` is its name, "recorded" if the files have only one.
struct RecordedSet {
    std::string source = "recorded";
    std::vector<RecordedChain> chains;
    std::vector<std::string> notes;  ///< notes on what was done to them, passed on with the answer
};

/// ", SUNY light" for the source of a set; "" if the files have only one irradiance model.
std::string light_words(std::string const& source);

/// Which years are run.
struct DrawOptions {
    int years = 50;  ///< number of made years, 0 .. 100000
    std::uint64_t seed = 1;
    int first = 1;                   ///< number of the first made year, 1 .. 1,000,000
    std::optional<int> start_month;  ///< 1 .. 12; not given: the one chosen from the first design
    std::vector<RecordedSet>
        recorded;  ///< also run, and reported separately; made years are fitted to the first set
    bool recorded_fit_only = false;  ///< recorded years are not run; made years are still fitted to them
    /// Keeps the made weather for the next study with these options; empty: only for this one.
    std::shared_ptr<MadeShelf> shelf;
    bool begin_full = false;  ///< every year begins with full stores, without a run-in
    int threads = 0;          ///< 0: all processors
    std::function<void(int done, int all)> progress;  ///< called between batches; may be empty
    /// Checked between batches; the answer is then from the years that are finished.
    StopFlag stop = nullptr;
};

/// One design with its weather file, and with an array and a battery of another size: the factors are those
/// of with_array_factor and with_battery_factor.
struct DrawnDesign {
    scenarios::Scenario scenario;
    weather::WeatherYear const* own_year = nullptr;
    double array_factor = 1, battery_factor = 1;
};

/// One year of one design, from the first of the start month to the end of the month before it. If it could
/// not be run, `problem` gives the reason and there are no figures. It has findings only if some design asks
/// for the life of its battery.
struct DrawnYear : BatchYear {
    /// 1, 2, .. for made years; for recorded ones the calendar year in which it begins.
    int number = 0;
    double start_soc = 1;      ///< at the beginning of the year, after the run-in
    CarriedWater start_water;  ///< cistern and trough at that time
    int run_in_days = 0;
    bool recovers = true;  ///< false: runs begun full and empty still differ after a run-in of a whole year
};

/// A whole calendar year of weather as it is, run with the scenario's own start and seeds.
BatchYear run_year(scenarios::Scenario const& scenario, weather::WeatherYear const& year);

/// The results of draw_years for one set of recorded years.
struct RecordedDraws {
    std::string source, weather;                ///< name of the set; number of its years, in words
    std::vector<std::vector<DrawnYear>> years;  ///< by design, then by year
    std::vector<std::string> notes;
};

struct Draws {
    int start_month = 1;                        ///< the years begin on the first day of this month, 1 .. 12
    bool winters = false;                       ///< each year has one whole winter in its middle
    std::vector<std::vector<DrawnYear>> years;  ///< made years, by design, then by year
    std::vector<RecordedDraws> recorded;        ///< one for each set of recorded years
    std::string weather, drawn;  ///< in words: how the made years were made; what is random in all years
    std::vector<std::string> notes;
};

/// The years that a comparison shows: the made ones or, if none were made, those of the first recorded set.
std::vector<std::vector<DrawnYear>> const& years_to_show(Draws const& draws);

/// Adds the notes that are not there yet.
void add_notes(std::vector<std::string>& notes, std::vector<std::string> const& more);
/// The notes on all years of a study, each once: on the made ones, then on each set of recorded ones.
std::vector<std::string> notes_on(Draws const& draws);

/// Month (1 .. 12) for which the mean of plane irradiance over demand, over three months around it, is
/// largest in the typical year. Years that begin on its first day do not cut the worst season in two. Without
/// demand: for the irradiance alone.
int verdict_start_month(HourlyInputs const& typical);

/// Whether years that begin in this month are called winters: from May to August north of the equator, from
/// November to February south of it.
bool are_winters(int start_month, double latitude_deg);

/// Runs every design through the same years, the years of the verdict. Made years are like the design's own
/// weather file or, if five recorded years or more are given, fitted to the first set of them. They begin on
/// the first day of one month, which is chosen from the first design (verdict_start_month). Made year k takes
/// that month to December from calendar year k of the maker, and January to the month before from calendar
/// year k + 1; a recorded year is made from two consecutive years in the same way. Year k has the same
/// weather in all designs, and the same seeds for outages (those of [outage_statistics]; listed outages come
/// every year), demand (`day_variation`) and generator failures, so that designs can be compared year by
/// year.
///
/// Each year is run after a run-in over the weather before its start, once begun with full stores and once
/// with empty ones (levels_at_share). The run-in is 30 days, or longer, up to 365 days, while the two still
/// differ by more than 0.1 % of a store and one filling of tank, cistern and trough; that filling does not
/// count, because two runs may fill them at different hours for good. If they still differ after 365 days,
/// the design does not recover, and the year counts as failed. Of the first recorded year the run-in
/// is what its record holds before it; if full and empty still differ after that, the year is left out, with
/// the reason in `problem`. A run begins with the pressure tank at cut-out, the well at its static level and
/// the two wells of a battery in balance.
///
/// Year k does not depend on the number of years or threads. Throws std::invalid_argument;
/// models::ParameterError for options out of range; StudyStopped if it was asked to stop before any year was
/// finished.
Draws draw_years(std::vector<DrawnDesign> const& designs, DrawOptions const& options);

/// The made years of draw_years alone, as runs: `weather` stays empty, the notes are those on how the years
/// are made, and it is no error if none could be run. tell_years then says the rest of all of them.
Draws run_made_years(std::vector<DrawnDesign> const& designs, DrawOptions const& options);
/// "50 made years like the weather file, seed 1": `made` of them were run.
std::string made_words(std::size_t made, DrawOptions const& options);
/// "3 of the 50 years could not be run: ..."; "" if all could.
std::string problem_note(std::vector<DrawnYear> const& years);
/// Sets `weather` of the made years, and adds the notes on years that could not be run. Throws
/// std::invalid_argument if none could.
void tell_years(Draws& draws, DrawOptions const& options);

/// One of these years hour by hour: what draw_years ran as `year`, a made year or, with `recorded_set`, a
/// year of that set. Hours count from its beginning; `clock.first_hour` is its beginning in the calendar.
RunResult run_drawn_year(DrawnDesign const& design, DrawOptions const& options, int start_month,
                         DrawnYear const& year, std::optional<std::size_t> recorded_set);

/// A figure over the years. `bad` is the value that one year in ten exceeds on the bad side.
struct Spread {
    /// 10 % of the years are below the first, 90 % below the second.
    double mean = 0, median = 0, low = 0, high = 0;
    double bad = 0, worst = 0;
};
/// `better`: +1 more is better, -1 less is better.
Spread spread_of(std::vector<double> const& values, int better);

/// In how many years something happened, with the Clopper-Pearson interval (90 %).
struct Odds {
    int times = 0, years = 0;
    models::Interval share;
};
Odds odds_of(std::vector<DrawnYear> const& years, std::function<bool(DrawnYear const&)> const& happened);

/// A year without a shortage: no hour is short of water, and the state after the run-in does not depend on
/// how the run-in was begun.
bool without_shortage(DrawnYear const& year);

}  // namespace holdwater::sim
