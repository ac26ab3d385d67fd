#include "weather/read_recorded_years.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <set>

#include "weather/raw_table.hpp"
#include "weather/read_raw_table.hpp"
#include "weather/record_findings.hpp"
#include "weather/site_distance.hpp"
#include "weather/split_years.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::weather {

namespace {

/// Files whose places are farther apart than this are not of one place (common practice, no source).
constexpr double one_place_km = 25;

struct Piece {
    RawTable table;
    int hours = 0;  ///< number of hours that have irradiance, 29 February left out
};
/// By year: the parts of it that the files hold.
using Pieces = std::map<int, std::vector<Piece>>;

/// The record in the files for one irradiance model.
struct Record {
    std::vector<RawTable> tables;
    std::set<int> years;
};

bool same_file(std::string const& a, std::string const& b) {
    std::error_code ignored;
    return std::filesystem::equivalent(a, b, ignored);
}

constexpr std::size_t most_minutes_of_a_year = 366 * 1440;

std::size_t minutes_of(RawTable const& table) {
    return table.rows.size() * static_cast<std::size_t>(table.interval_min);
}

/// Whether the rows jump between years, as those of a typical year do from month to month, and cover no more
/// than a year.
bool is_typical_year(RawTable const& table) {
    if (minutes_of(table) > most_minutes_of_a_year) return false;
    for (std::size_t i = 1; i < table.rows.size(); ++i) {
        RawRow const &a = table.rows[i - 1], &b = table.rows[i];
        int const days = (b.year - a.year) * 365 + (b.month - a.month) * 30 + b.day - a.day;
        if (a.year != 0 && b.year != 0 && std::abs(days) > 300) return true;
    }
    return false;
}

int hours_with_light(RawTable const& table) {
    auto const rows = std::count_if(table.rows.begin(), table.rows.end(), [](RawRow const& row) {
        return !(row.month == 2 && row.day == 29) &&
               !(std::isnan(row.ghi_w_m2) && std::isnan(row.dni_w_m2) && std::isnan(row.dhi_w_m2));
    });
    return static_cast<int>(rows) * table.interval_min / 60;
}

/// The parts of one year from several files as one table. Throws WeatherError if two files hold the same
/// hour.
RawTable put_together(std::vector<Piece>& pieces, int year) {
    auto const largest = std::max_element(pieces.begin(), pieces.end(), [](Piece const& a, Piece const& b) {
        return a.table.rows.size() < b.table.rows.size();
    });
    std::iter_swap(pieces.begin(), largest);
    RawTable& whole = pieces[0].table;
    std::map<int, std::string> file_of_minute;
    auto const minute_of = [](RawRow const& row) { return (row.month * 32 + row.day) * 10000 + row.minute; };
    if (pieces.size() > 1)
        for (RawRow const& row : whole.rows) file_of_minute.emplace(minute_of(row), whole.path);
    for (std::size_t i = 1; i < pieces.size(); ++i) {
        RawTable& part = pieces[i].table;
        if (part.interval_min != whole.interval_min || part.stamp != whole.stamp ||
            part.instants != whole.instants)
            throw WeatherError(part.path, 0,
                               fmt::format("holds a part of {}, as {} does, but in rows of another kind ({} "
                                           "and {} min); parts of one year must be alike",
                                           year, whole.path, part.interval_min, whole.interval_min));
        for (RawRow& row : part.rows) {
            auto const [at, fresh] = file_of_minute.emplace(minute_of(row), part.path);
            if (!fresh && at->second != part.path)
                throw WeatherError(part.path, row.line,
                                   fmt::format("an hour of {} that {} holds too (month {}, day {}); a record "
                                               "has each hour once",
                                               year, at->second, row.month, row.day));
            row.line = 0;  // it belongs to a file other than the one that messages would name
            whole.rows.push_back(row);
        }
    }
    std::stable_sort(whole.rows.begin(), whole.rows.end(),
                     [&](RawRow const& a, RawRow const& b) { return minute_of(a) < minute_of(b); });
    return std::move(whole);
}

class Reader {
  public:
    explicit Reader(RecordOptions const& options) : options_(options) {
        options_.reading.whole_years_only = true;
        if (options_.reading.second) result_.second_file = options_.reading.second->path;
    }

    RecordedYears read(std::vector<WeatherPath> const& files) {
        if (files.empty()) throw WeatherError("recorded years", 0, "no file was given");
        for (auto const& file : files) read_file(file);
        for (auto& [model, record] : records_) read_record(model, record);
        auto& lights = result_.lights;
        std::erase_if(lights, [](RecordedLight const& light) { return light.chains.empty(); });
        if (lights.empty()) refuse_empty(files);
        add_summaries(result_);
        return std::move(result_);
    }

  private:
    void read_file(WeatherPath const& file) {
        auto const& second = options_.reading.second;
        if (!file.named && second && second->one_year_for_all && same_file(file.path, second->path)) return;
        std::error_code ignored;
        if (!file.named && !std::filesystem::exists(file.path, ignored))
            return pass_over(file.path, "is a link to a file that is not there; it was passed over");
        auto const text = text_of_weather_file(file.path);
        auto reading = options_.reading;
        bool const known = reading.columns || looks_like_weather(text);
        if (!file.named && !known)
            return pass_over(file.path, "is not a weather file of a known kind; it was passed over");
        bool const archive = !reading.columns && looks_like_station_archive(text);
        auto const models = archive ? options_.models : std::vector<LightModel>{LightModel::own};
        bool used = false;
        for (LightModel const model : models) {
            reading.light = model;
            auto table = read_raw_table(text, file.path, reading, needs_of(reading));
            if (is_typical_year(table)) {
                constexpr char const* what =
                    "holds a typical year, with months of different years, and no "
                    "recorded one";
                if (file.named)
                    throw WeatherError(file.path, 0, fmt::format("{}; give it as file in [weather]", what));
                return pass_over(file.path, fmt::format("{}; it was passed over", what));
            }
            if (!file.named && !table.rows.empty() && table.rows[0].year == 0)
                return pass_over(file.path, "has no column of years; it was passed over");
            check_site(table);
            check_place(table);
            auto& record = records_[model];
            record.years.merge(years_in(table));
            if (archive) archive_years_.insert(record.years.begin(), record.years.end());
            record.tables.push_back(std::move(table));
            used = true;
        }
        if (used) result_.files.push_back(file.path);
    }

    void pass_over(std::string const& path, std::string const& why) {
        result_.findings.push_back({"not a recorded year", LightModel::own, {}, 0, path + " " + why});
    }

    void check_place(RawTable const& table) {
        if (!first_file_.empty()) {
            double const km = distance_km(site_, table.site);
            if (km > one_place_km || site_.utc_offset_h != table.site.utc_offset_h)
                throw WeatherError(
                    table.path, 0,
                    fmt::format("is of latitude {:g}, longitude {:g}, UTC{:+g} h and {} of {:g}, {:g}, "
                                "UTC{:+g} h; recorded years must be of one place (within {:g} km) and clock",
                                table.site.latitude_deg, table.site.longitude_deg, table.site.utc_offset_h,
                                first_file_, site_.latitude_deg, site_.longitude_deg, site_.utc_offset_h,
                                one_place_km));
            return;
        }
        first_file_ = table.path;
        site_ = table.site;
        if (!options_.reading.second) return;
        double const km = distance_km(site_, options_.reading.second->site);
        if (km > one_place_km)
            result_.findings.push_back(
                {"place",
                 LightModel::own,
                 {},
                 0,
                 fmt::format("temperature and wind come from {}, {:.0f} km from the place of the record",
                             result_.second_file, km)});
    }

    void read_record(LightModel model, Record& record) {
        Pieces pieces;
        for (RawTable& table : record.tables)
            for (auto& [year, part] : split_years(std::move(table), options_.reading, record.years)) {
                int const hours = hours_with_light(part);
                pieces[year].push_back({std::move(part), hours});
            }
        RecordedLight light{model, {}};
        std::vector<int> dark;
        for (auto& [year, parts] : pieces) {
            int hours = 0;
            for (auto const& part : parts) hours += part.hours;
            if (hours == 0) {
                dark.push_back(year);
                continue;
            }
            try {
                RecordedYear recorded{year, assemble(put_together(parts, year), options_.reading)};
                if (light.chains.empty() || light.chains.back().last_year() + 1 != year)
                    light.chains.emplace_back();
                light.chains.back().years.push_back(std::move(recorded));
            } catch (GapError const& gap) {
                result_.findings.push_back(
                    {"left out",
                     model,
                     {year},
                     std::max(0, hours_per_year - hours),
                     fmt::format("{} is left out; {} of its {} hours have light: {}", year,
                                 std::min(hours, hours_per_year), hours_per_year, gap.what())});
            }
        }
        if (!dark.empty())
            result_.findings.push_back({"left out", model, dark,
                                        hours_per_year * static_cast<int>(dark.size()),
                                        fmt::format("{} left out: the files hold no light of this model "
                                                    "there",
                                                    words_of_years(dark))});
        result_.lights.push_back(std::move(light));
    }

    [[noreturn]] void refuse_empty(std::vector<WeatherPath> const& files) const {
        std::string why;
        for (auto const& finding : result_.findings)
            if (why.empty() || finding.kind == "left out") {
                why = finding.text;
                if (finding.kind == "left out") break;
            }
        throw WeatherError(
            files.front().path, 0,
            fmt::format("{}no whole recorded year is among the files{}{}",
                        files.size() > 1 ? fmt::format("(and {} more) ", files.size() - 1) : "",
                        why.empty() ? "" : "; ", why));
    }

    void add_summaries(RecordedYears& record) const {
        add_record_findings(record);
        // The irradiance in the archive rises in 1998: measured from its own files at 31 stations, annual
        // means before and after (not published).
        auto const early =
            std::count_if(archive_years_.begin(), archive_years_.end(), [](int year) { return year < 1998; });
        if (early > 0 && static_cast<std::size_t>(early) < archive_years_.size())
            record.findings.push_back(
                {"level",
                 LightModel::own,
                 {archive_years_.begin(), std::next(archive_years_.begin(), early)},
                 0,
                 "the station archive's light is lower before 1998 than from 1998 on (on average over 31 "
                 "stations GHI by 7.5 %, DNI by 23 %), by its making and not by the weather; better give its "
                 "years from 1998 on"});
    }

    RecordOptions options_;
    RecordedYears result_;
    std::map<LightModel, Record> records_;
    std::set<int> archive_years_;
    std::string first_file_;
    Site site_;
};

}  // namespace

RecordedYears read_recorded_years(std::vector<WeatherPath> const& files, RecordOptions const& options) {
    return Reader(options).read(files);
}

RecordedYears read_recorded_years(std::vector<std::string> const& given, RecordOptions const& options) {
    return read_recorded_years(weather_paths(given), options);
}

bool is_record(std::vector<WeatherPath> const& files, RecordOptions const& options) {
    if (files.size() != 1) return true;
    auto const text = text_of_weather_file(files[0].path);
    auto reading = options.reading;
    if (!reading.columns && looks_like_station_archive(text)) return options.models.size() > 1;
    auto const table = read_raw_table(text, files[0].path, reading, needs_of(reading));
    return minutes_of(table) > most_minutes_of_a_year && years_in(table).size() > 1;
}

}  // namespace holdwater::weather
