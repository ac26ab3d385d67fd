#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <string>

#include "tests/support/command.hpp"
#include "tests/support/near.hpp"
#include "tests/weather/recorded_files.hpp"
#include "weather/read_recorded_years.hpp"
#include "weather/read_second_record.hpp"
#include "weather/weather_error.hpp"

using namespace holdwater::weather;
using namespace holdwater::test;

namespace {

Site const field{40, -105, 1600, -7};

WeatherYear const& like() {
    static WeatherYear const year = reader_year(field);
    return year;
}

std::string write(ScratchFolder const& folder, std::string const& name, Lines const& lines) {
    std::ofstream(folder / name) << join(lines);
    return (folder / name).string();
}

Lines plain(std::vector<int> const& years, Site const& site = field) {
    auto lines = plain_head(site);
    for (int year : years) append(lines, plain_rows(like(), year));
    return lines;
}

RecordOptions with_second(std::string const& path) {
    RecordOptions options;
    options.reading.second = std::make_shared<SecondRecord const>(read_second_record(path));
    return options;
}

std::string error_of(std::vector<std::string> const& given, RecordOptions const& options = {}) {
    try {
        read_recorded_years(given, options);
    } catch (WeatherError const& error) {
        return error.what();
    }
    return "no error";
}

bool has(std::string const& text, std::string const& part) { return text.find(part) != std::string::npos; }

/// The first finding of the kind whose text holds `part`; an empty one when there is none.
RecordFinding finding(RecordedYears const& record, std::string const& kind, std::string const& part = "") {
    for (auto const& f : record.findings)
        if (f.kind == kind && has(f.text, part)) return f;
    return {};
}

std::vector<int> years_of(RecordedChain const& chain) {
    std::vector<int> years;
    for (auto const& y : chain.years) years.push_back(y.year);
    return years;
}

double sum(std::vector<double> const& values) {
    double total = 0;
    for (double v : values) total += v;
    return total;
}

using Years = std::vector<int>;

}  // namespace

TEST_SUITE_BEGIN("weather/recorded_years");

TEST_CASE("many years in one plain file: each hour in its year, leap days dropped and listed") {
    ScratchFolder const folder;
    auto const record = read_recorded_years({write(folder, "r.csv", plain({2019, 2020, 2021}))});
    REQUIRE(record.lights.size() == 1);
    auto const& light = record.lights[0];
    CHECK(light.model == LightModel::own);
    REQUIRE(light.chains.size() == 1);
    CHECK(years_of(light.chains[0]) == Years{2019, 2020, 2021});
    CHECK(light.verdict_years() == 2);
    for (auto const& [number, year] : light.chains[0].years) {
        CAPTURE(number);
        CHECK(sum(year.ghi_w_m2) == Near{factor_of(number) * sum(like().ghi_w_m2), 0, 1e-5});
        CHECK(year.temperature_c[4000] == Near{like().temperature_c[4000], 1e-3, 0});
        // The hour after 28 February is the first of March.
        auto const march = static_cast<std::size_t>(hour_index(3, 1, 0));
        CHECK(year.temperature_c[march + 12] == Near{like().temperature_c[march + 12], 1e-3, 0});
        CHECK(year.file_year[march] == number);
    }
    auto const leap = finding(record, "leap day");
    CHECK(leap.years == Years{2020});
    CHECK(leap.hours == 24);
}

TEST_CASE("years in files of their own, by a folder, by a pattern and by name, are one chain") {
    ScratchFolder const folder;
    for (int year : {2001, 2003, 2002}) write(folder, fmt::format("y{}.csv", year), plain({year}));
    std::ofstream(folder / "notes.csv") << "a,b\n1,2\n";
    std::ofstream(folder / "README.md") << "not read\n";
    write(folder, "typical.csv", tmy3_lines(like()));
    std::filesystem::create_symlink("gone.csv", folder / "y2004.csv");
    auto const by_folder = read_recorded_years({folder.text()});
    REQUIRE(by_folder.lights.size() == 1);
    CHECK(years_of(by_folder.lights[0].chains[0]) == Years{2001, 2002, 2003});
    CHECK(by_folder.files.size() == 3);
    CHECK(has(finding(by_folder, "not a recorded year", "notes.csv").text, "passed over"));
    CHECK(has(finding(by_folder, "not a recorded year", "typical.csv").text, "typical year"));
    CHECK(has(finding(by_folder, "not a recorded year", "y2004.csv").text,
              "a link to a file that is not there"));
    auto const by_pattern = read_recorded_years({folder.text() + "/y*.csv", folder.text() + "/y2002.csv"});
    CHECK(by_pattern.files == by_folder.files);
    auto const by_name = read_recorded_years({folder.text() + "/y2003.csv", folder.text() + "/y2002.csv"});
    CHECK(years_of(by_name.lights[0].chains[0]) == Years{2002, 2003});

    auto const typical = (folder / "typical.csv").string();
    CHECK(error_of({typical}) ==
          typical +
              ": holds a typical year, with months of different years, and no recorded one; give it as "
              "file in [weather]");
    auto const notes = (folder / "notes.csv").string();
    CHECK(has(error_of({notes}), "notes.csv:1: not a weather file of a known kind"));
    CHECK(error_of({folder.text() + "/z*.csv"}) ==
          folder.text() + "/z*.csv: no file has a name like this; * stands for any letters, ? for one");
    CHECK(has(error_of({folder.text() + "/gone.csv"}), "gone.csv: cannot be opened: No such file"));
    std::filesystem::create_directory(folder / "empty");
    CHECK(error_of({(folder / "empty").string()}) ==
          (folder / "empty").string() +
              ": the folder holds no weather file; files that end in .csv or .epw are expected");
}

TEST_CASE("a missing year breaks the chain; so does a partial one and one with a long gap") {
    ScratchFolder const folder;
    auto lines = plain({2000, 2001, 2003, 2004, 2005, 2006});
    // 2005 ends in May; of 10 June 2001 five hours about noon are missing.
    std::erase_if(lines, [](std::string const& line) {
        return (line.starts_with("2005,") && std::stoi(line.substr(5)) > 5) ||
               (line.starts_with("2001,6,10,") && std::stoi(line.substr(10)) >= 10 &&
                std::stoi(line.substr(10)) < 15);
    });
    auto const path = write(folder, "r.csv", lines);
    auto const record = read_recorded_years({path});
    auto const& chains = record.lights[0].chains;
    REQUIRE(chains.size() == 3);
    CHECK(years_of(chains[0]) == Years{2000});
    CHECK(years_of(chains[1]) == Years{2003, 2004});
    CHECK(years_of(chains[2]) == Years{2006});
    CHECK(record.lights[0].verdict_years() == 1);
    CHECK(record.lights[0].year_count() == 4);
    auto const gap = finding(record, "left out", "2001 is left out");
    CHECK(gap.years == Years{2001});
    CHECK(gap.hours == 5);
    CHECK(has(gap.text, "8755 of its 8760 hours have light"));
    CHECK(has(gap.text, "no usable irradiance for 5 hours from 06-10 10:00"));
    CHECK(has(gap.text, "long_gaps = \"fill\""));
    auto const partial = finding(record, "left out", "2005 is left out");
    CHECK(partial.hours == (365 - 151) * 24);
    CHECK(finding(record, "chain", "between 2000 and 2003").years == Years{2001, 2002});
    CHECK(finding(record, "chain", "between 2004 and 2006").years == Years{2005});

    // Filling mends the gap, and not half a year.
    RecordOptions fill;
    fill.reading.allow_long_gaps = true;
    auto const filled = read_recorded_years({path}, fill);
    CHECK(years_of(filled.lights[0].chains[0]) == Years{2000, 2001});
    CHECK(has(finding(filled, "left out", "2005").text, "at most 438 (5 %) are filled in a recorded year"));
    auto const counted = finding(filled, "filled", "clearness");
    CHECK(counted.years == Years{2001});
    CHECK(counted.hours == 5);
}

TEST_CASE("short gaps are filled and counted over the years") {
    ScratchFolder const folder;
    auto lines = plain({2001, 2002});
    std::erase_if(lines, [](std::string const& line) {
        return line.starts_with("2001,6,10,12,") || line.starts_with("2002,7,1,11,") ||
               line.starts_with("2002,7,1,12,");
    });
    auto const record = read_recorded_years({write(folder, "r.csv", lines)});
    auto const filled = finding(record, "filled", "clearness interpolated");
    CHECK(filled.years == Years{2001, 2002});
    CHECK(filled.hours == 3);
    CHECK(record.lights[0].verdict_years() == 1);
}

TEST_CASE("the station archive: two models side by side, place and air of the second file") {
    ScratchFolder const folder;
    Lines const files[] = {archive_lines(like(), 2003), archive_lines(like(), 2004)};
    auto const a = write(folder, "999999_2003_solar.csv", files[0]),
               b = write(folder, "999999_2004_solar.csv", files[1]);
    auto const typical = write(folder, "999999TY.csv", tmy3_lines(like()));
    CHECK(has(error_of({a, b}), "name no place and hold no temperature or wind"));

    auto const record = read_recorded_years({folder.text()}, with_second(typical));
    REQUIRE(record.lights.size() == 2);
    CHECK(record.second_file == typical);
    for (auto const& light : record.lights) {
        CHECK(light.verdict_years() == 1);
        double const share = light.model == LightModel::suny ? 1 : 0.9;
        CHECK((light.model == LightModel::suny || light.model == LightModel::metstat));
        auto const& year = light.chains[0].years[1].weather;
        CHECK(year.format == "station archive CSV");
        CHECK(year.site == field);
        CHECK(sum(year.ghi_w_m2) == Near{share * factor_of(2004) * sum(like().ghi_w_m2), 0, 1e-4});
        // Readings of the typical year at the ends of hours become means: as when that file is read alone.
        auto const alone = read_weather(typical);
        CHECK(year.temperature_c == alone.temperature_c);
        CHECK(year.wind_m_s == alone.wind_m_s);
    }
    auto const air = finding(record, "second file", "temperature was missing");
    CHECK(air.hours == 2 * 8760);
    CHECK(air.years == Years{2003, 2004});
    CHECK(has(air.text, typical + ", same month, day and hour of the one year that it holds"));
    CHECK(finding(record, "second file", "wind was missing").hours == 2 * 8760);

    auto one = with_second(typical);
    one.models = {LightModel::metstat};
    CHECK(read_recorded_years({a, b}, one).lights.size() == 1);
    one.models = {LightModel::measured};
    CHECK(has(error_of({a, b}, one),
              "no whole recorded year is among the files; 2003, 2004 left out: the "
              "files hold no light of this model there"));
    ReadOptions alone;
    alone.second = one.reading.second;
    alone.light = LightModel::metstat;
    CHECK(sum(read_weather(a, alone).ghi_w_m2) ==
          Near{0.9 * factor_of(2003) * sum(like().ghi_w_m2), 0, 1e-4});
}

TEST_CASE("the station archive before 1998: satellite light from 1998 only, and a step that is said") {
    ScratchFolder const folder;
    auto early = archive_lines(like(), 1997);
    for (std::size_t i = 1; i < early.size(); ++i) {
        // Fields 3, 5 and 7 are SUNY's light.
        std::string out, line = early[i];
        for (std::size_t field_number = 0, from = 0; from <= line.size(); ++field_number) {
            auto const end = std::min(line.find(',', from), line.size());
            bool const suny = field_number == 3 || field_number == 5 || field_number == 7;
            out += (field_number > 0 ? "," : "") + (suny ? "-9900" : line.substr(from, end - from));
            from = end + 1;
        }
        early[i] = out;
    }
    write(folder, "a.csv", early);
    write(folder, "b.csv", archive_lines(like(), 1998));
    auto const typical = write(folder, "t.csv", tmy3_lines(like()));
    auto const record = read_recorded_years({folder.text()}, with_second(typical));
    REQUIRE(record.lights.size() == 2);
    CHECK(record.lights[0].model == LightModel::suny);
    CHECK(years_of(record.lights[0].chains[0]) == Years{1998});
    CHECK(years_of(record.lights[1].chains[0]) == Years{1997, 1998});
    CHECK(finding(record, "left out").years == Years{1997});
    CHECK(finding(record, "left out").model == LightModel::suny);
    CHECK(finding(record, "level").years == Years{1997});
}

TEST_CASE("a second file of many years gives the same date; what it lacks is left out") {
    ScratchFolder const folder;
    // Temperature alone, 2001 two degrees above 2002; nothing of 2003.
    auto air = plain_head(field);
    air.back() = "year,month,day,hour,temperature [degC]";
    for (int year : {2001, 2002})
        each_hour(year, [&](int month, int day, int hour, std::size_t) {
            air.push_back(fmt::format("{},{},{},{},{}", year, month, day, hour, year == 2001 ? 12 : 10));
        });
    auto const second = write(folder, "air.csv", air);
    auto light = plain_head(field);
    for (int year : {2001, 2002, 2003}) append(light, plain_rows(like(), year, false));
    auto const record = read_recorded_years({write(folder, "light.csv", light)}, with_second(second));
    auto const& years = record.lights[0].chains[0].years;
    REQUIRE(years.size() == 2);
    CHECK(years[0].weather.temperature_c[100] == 12);
    CHECK(years[1].weather.temperature_c[100] == 10);
    CHECK(has(finding(record, "second file").text, "same date and hour"));
    CHECK(has(finding(record, "left out").text,
              "no usable temperature, neither in this file nor in " + second));
    // It has no wind: the usual calm, said.
    CHECK(finding(record, "repaired", "no wind").hours == 2 * 8760);
    CHECK(years[0].weather.wind_m_s[5] == 1);
    // Of a record with temperatures, only the month without them.
    auto holed = plain({2001, 2002});
    for (auto& line : holed)
        if (line.starts_with("2002,1,")) {
            auto const wind = line.rfind(','), temperature = line.rfind(',', wind - 1);
            line.erase(temperature + 1, wind - temperature - 1);
        }
    auto const mixed = read_recorded_years({write(folder, "holed.csv", holed)}, with_second(second));
    CHECK(finding(mixed, "second file", "temperature").hours == 744);
    CHECK(mixed.lights[0].chains[0].years[1].weather.temperature_c[100] == 10);
    CHECK(mixed.lights[0].chains[0].years[1].weather.temperature_c[5000] ==
          Near{like().temperature_c[5000], 1e-3, 0});
}

TEST_CASE("gridded years stamped in UTC: the hours over the turn of a year go into the year they belong to") {
    ScratchFolder const folder;
    // Temperature counts the hours since the turn of the local year, per year.
    auto const lines_of = [](int year) {
        return gridded_lines(field, 0, year, 60, 30, [year](int minute) {
            int const local = minute / 60 - 7;
            bool const before = local < 0;
            auto const i = static_cast<std::size_t>((local + 8760) % 8760);
            double const f = factor_of(before ? year - 1 : year);
            return fmt::format("{:.3f},{:.3f},{:.3f},{},2,0.2", f * like().ghi_w_m2[i],
                               f * like().dni_w_m2[i], f * like().dhi_w_m2[i],
                               (before ? year - 1 : year) - 2000);
        });
    };
    for (int year : {2001, 2002, 2003}) write(folder, fmt::format("g{}.csv", year), lines_of(year));
    auto const record = read_recorded_years({folder.text()});
    REQUIRE(record.lights[0].chains.size() == 1);
    auto const& years = record.lights[0].chains[0].years;
    REQUIRE(years.size() == 3);
    for (std::size_t k = 0; k < 3; ++k) {
        auto const& t = years[k].weather.temperature_c;
        CAPTURE(k);
        CHECK(t[0] == static_cast<double>(k + 1));
        CHECK(t[8752] == static_cast<double>(k + 1));
        // The record ends with 2003: its last hours are those that lie before 2003 begins.
        CHECK(t[8759] == static_cast<double>(k < 2 ? k + 1 : 2));
        CHECK(years[k].weather.site.utc_offset_h == -7);
    }
    CHECK(has(finding(record, "warning", "beyond its end").text, "7 h of 2003"));
    CHECK(finding(record, "left out").text.empty());
}

TEST_CASE("one year in two files is put together; the same hour in both is refused") {
    ScratchFolder const folder;
    auto first = plain({2001}), second = plain_head(field);
    std::size_t const middle = 7 + 4000;
    second.insert(second.end(), first.begin() + static_cast<long>(middle), first.end());
    auto both = first;
    first.resize(middle);
    auto const a = write(folder, "a.csv", first), b = write(folder, "b.csv", second),
               c = write(folder, "c.csv", both);
    auto const record = read_recorded_years({a, b});
    CHECK(record.lights[0].chains[0].years[0].weather.ghi_w_m2 ==
          read_recorded_years({c}).lights[0].chains[0].years[0].weather.ghi_w_m2);
    CHECK(error_of({c, a}) ==
          a + ":8: an hour of 2001 that " + c + " holds too (month 1, day 1); a record has each hour once");
}

TEST_CASE("files of two places, rows without a year, a day that does not exist, an hour twice") {
    ScratchFolder const folder;
    auto const here = write(folder, "a.csv", plain({2001})),
               there = write(folder, "b.csv", plain({2002}, {41, -105, 1600, -7})),
               clock = write(folder, "c.csv", plain({2002}, {40, -105, 1600, -6}));
    CHECK(error_of({here, there}) ==
          there + ": is of latitude 41, longitude -105, UTC-7 h and " + here +
              " of 40, -105, UTC-7 h; recorded years must be of one place (within 25 km) and clock");
    CHECK(has(error_of({here, clock}), "UTC-6 h and "));
    auto lines = plain({2001});
    lines[6] = "month,day,hour,ghi [W/m2],dni [W/m2],dhi [W/m2],temperature [degC],wind [m/s]";
    for (std::size_t i = 7; i < lines.size(); ++i) lines[i] = lines[i].substr(5);
    CHECK(
        has(error_of({write(folder, "d.csv", lines)}), "d.csv:8: the row has no year; recorded years need"));
    lines = plain({2001});
    lines[100] = "2001,2,29" + lines[100].substr(8);
    CHECK(has(error_of({write(folder, "e.csv", lines)}), "e.csv:101: there is no day 29 in month 2 of 2001"));
    lines = plain({2001, 2002});
    lines.push_back(lines.back());
    CHECK(has(error_of({write(folder, "f.csv", lines)}), "f.csv:17528: the same hour as line 17527"));
}

TEST_CASE("bad archive files are refused by line and column") {
    ScratchFolder const folder;
    auto const typical = write(folder, "t.epw", epw_lines(like()));
    auto const options = with_second(typical);
    auto const message = [&](Lines const& lines) {
        return error_of({write(folder, "x.csv", lines)}, options);
    };
    auto const good = archive_lines(like(), 2003);
    auto lines = good;
    lines[0].replace(lines[0].find("METSTAT Dir"), 11, "METSTAT dir2");
    CHECK(has(message(lines), "x.csv:1: no column \"METSTAT Dir\" among the names"));
    lines = good;
    lines[50] = "2003/01/03,2:00" + lines[50].substr(15);
    CHECK(has(message(lines), "x.csv:51: stamp \"2003/01/03 2:00\"; YYYY-MM-DD and HH:MM are expected"));
    lines = good;
    lines[60] = lines[60].substr(0, 30);
    CHECK(has(message(lines), "x.csv:61: "));
    CHECK(has(message(lines), "is the file cut off?"));
    lines = good;
    lines[12].replace(lines[12].find("99.0,") + 5, 1, "x");
    CHECK(has(message(lines), "x.csv:13: column SUNY Glo (Wh/m^2) holds \"x"));
    // A station number in the name that is not the second file's.
    auto const other = write(folder, "123456_2003_solar.csv", good);
    auto tmy3 = tmy3_lines(like());
    auto const record = read_recorded_years({other}, with_second(write(folder, "t.csv", tmy3)));
    CHECK(has(finding(record, "warning", "station 123456").text, "station 999999"));
}

TEST_CASE("a second file without temperature, and one that is none") {
    ScratchFolder const folder;
    auto lines = plain_head(field);
    append(lines, plain_rows(like(), 2001, false));
    auto const path = write(folder, "a.csv", lines);
    CHECK_THROWS_WITH_AS(
        read_second_record(path),
        (path + ": no usable temperature in the file that is to give temperature and wind").c_str(),
        WeatherError);
    CHECK_THROWS_AS(read_second_record((folder / "none.csv").string()), WeatherError);
    lines[6] = "year,month,day,hour,wind [m/s]";
    lines.resize(7);
    lines.push_back("2001,1,1,0,3");
    auto const wind = write(folder, "b.csv", lines);
    CHECK_THROWS_WITH_AS(read_second_record(wind), (wind + ":7: the column needed is temperature").c_str(),
                         WeatherError);
}

TEST_CASE("a file of several years where one is wanted says what to do") {
    ScratchFolder const folder;
    auto const path = write(folder, "r.csv", plain({2001, 2002}));
    try {
        read_weather(path);
        FAIL("no error");
    } catch (WeatherError const& error) {
        CHECK(has(error.what(), "the file holds several years"));
        CHECK(has(error.what(), "years = [...] in [weather]"));
    }
}

TEST_CASE("words of years") {
    CHECK(words_of_years({}) == "");
    CHECK(words_of_years({2001}) == "2001");
    CHECK(words_of_years({2001, 2002, 2004, 2006, 2007, 2008}) == "2001, 2002, 2004, 2006 to 2008");
}

TEST_CASE("paths: below a folder, each once, brackets in the folder's own name") {
    ScratchFolder const folder;
    std::filesystem::create_directory(folder / "a[1]");
    std::ofstream(folder / "a[1]/x.csv") << "x";
    std::ofstream(folder / "a[1]/y.EPW") << "y";
    std::ofstream(folder / "a[1]/z.txt") << "z";
    std::filesystem::create_symlink("gone.csv", folder / "a[1]/link.csv");
    auto const below = (folder / "a[1]").string();
    auto const by_pattern = weather_paths({"*.csv"}, below);
    REQUIRE(by_pattern.size() == 2);
    CHECK(by_pattern[0].path == below + "/link.csv");  // its reader says that its file is not there
    CHECK(by_pattern[1].path == below + "/x.csv");
    CHECK(!by_pattern[0].named);
    auto const all = weather_paths({"a[1]", "a[1]/x.csv", "other.csv"}, folder.text());
    REQUIRE(all.size() == 4);
    CHECK(all[0].path == below + "/link.csv");
    CHECK(all[1].path == below + "/x.csv");
    CHECK(all[2].path == below + "/y.EPW");
    CHECK(all[3].named);
}

// The national archive's station 724915, whole years 2000 to 2004, two models, and its typical year.
TEST_CASE("the open station years are a chain of five in both models") {
    std::string const years = HOLDWATER_SHARED "/weather/years";
    if (!std::filesystem::exists(years)) {
        std::cout << "SKIPPED station years: not in " << years << "\n";
        MESSAGE("SKIPPED station years");
        return;
    }
    auto const record =
        read_recorded_years({years + "/724915_*_solar.csv"}, with_second(years + "/724915TY.csv"));
    REQUIRE(record.lights.size() == 2);
    for (auto const& light : record.lights) {
        CAPTURE(std::string(name_of(light.model)));
        REQUIRE(light.chains.size() == 1);
        CHECK(years_of(light.chains[0]) == Years{2000, 2001, 2002, 2003, 2004});
        CHECK(light.verdict_years() == 4);
        for (auto const& [number, year] : light.chains[0].years) {
            CAPTURE(number);
            // Column sums with nothing but getline, apart from the readers; 29 February left out.
            std::ifstream in(years + fmt::format("/724915_{}_solar.csv", number));
            std::string line, text;
            double expected = 0;
            std::getline(in, line);
            while (std::getline(in, line)) {
                if (line.substr(5, 5) == "02-29") continue;
                std::istringstream fields(line);
                for (int c = 0; c <= (light.model == LightModel::suny ? 6 : 15); ++c)
                    std::getline(fields, text, ',');
                expected += std::stod(text);
            }
            CHECK(sum(year.ghi_w_m2) == Near{expected, 0, 1e-3});
        }
    }
    CHECK(finding(record, "leap day").years == Years{2000, 2004});
    CHECK(finding(record, "left out").text.empty());
    CHECK(finding(record, "second file", "temperature").hours == 5 * 8760);
}

TEST_SUITE_END();
