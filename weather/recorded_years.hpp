#pragma once

#include <string>
#include <vector>

#include "weather/light_model.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::weather {

/// A complete calendar year as recorded, without 29 February.
struct RecordedYear {
    int year = 0;
    WeatherYear weather;  ///< `path` is the file; its repairs and warnings say what was done to the numbers
};

/// Recorded years without a gap between them; the weather continues from one to the next.
struct RecordedChain {
    std::vector<RecordedYear> years;  ///< one or more, consecutive, in their order
    [[nodiscard]] int first_year() const { return years.front().year; }
    [[nodiscard]] int last_year() const { return years.back().year; }
    /// Number of years that begin on any day inside a year and are recorded to their end.
    [[nodiscard]] int verdict_years() const { return static_cast<int>(years.size()) - 1; }
};

/// The recorded years for one irradiance model.
struct RecordedLight {
    LightModel model = LightModel::own;
    std::vector<RecordedChain> chains;  ///< in the order of time
    [[nodiscard]] int year_count() const;
    [[nodiscard]] int verdict_years() const;
};

/// What the user should know about a record, in addition to what is in the years themselves.
struct RecordFinding {
    /// "leap day", "filled", "second file", "repaired", "warning", "left out", "chain", "level", "place" or
    /// "not a recorded year"
    std::string kind;
    LightModel model = LightModel::own;
    std::vector<int> years;  ///< the years concerned, in order; empty: the whole record or a file
    /// Number of hours changed or missing, in all these years together; 0: not about hours.
    int hours = 0;
    std::string text;  ///< a complete sentence
};

/// Everything that recorded files hold.
struct RecordedYears {
    std::vector<std::string> files;     ///< those that were used, in the order given
    std::string second_file;            ///< where missing temperature and wind came from; empty: nowhere
    std::vector<RecordedLight> lights;  ///< side by side if the files hold several models; never empty
    std::vector<RecordFinding> findings;
};

/// "2000 to 2004, 2006": runs of consecutive years. Pre: in order.
std::string words_of_years(std::vector<int> const& years);

}  // namespace holdwater::weather
