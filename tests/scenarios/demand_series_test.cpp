#include "scenarios/sections/demand_series.hpp"

#include <date/date.h>
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <numeric>
#include <string>
#include <vector>

#include "scenarios/design/design.hpp"
#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "tests/support/command.hpp"
#include "tests/support/near.hpp"
#include "weather/weather_error.hpp"

using namespace holdwater;
using test::Near, test::ScratchFolder;

namespace {

constexpr double gallon_m3 = 3.785411784e-3;

std::string write(ScratchFolder const& folder, std::string const& name, std::string const& text) {
    auto const path = (folder / name).string();
    std::ofstream(path) << text;
    return path;
}

// Rows of so many minutes from a day on, local time; `value` of the row's minute since the first day.
template <class Value>
std::string rows(std::string head, int year, int month, int day, int days, int step_min, Value const& value) {
    auto const first =
        date::sys_days{date::year{year} / static_cast<unsigned>(month) / static_cast<unsigned>(day)};
    for (int minute = 0; minute < days * 1440; minute += step_min) {
        date::year_month_day const d{first + date::days{minute / 1440}};
        head += fmt::format("{:04}-{:02}-{:02} {:02}:{:02},{}\n", static_cast<int>(d.year()),
                            static_cast<unsigned>(d.month()), static_cast<unsigned>(d.day()),
                            minute % 1440 / 60, minute % 60, value(minute));
    }
    return head;
}

scenarios::DemandSeriesSource source(std::string const& path) {
    scenarios::DemandSeriesSource s;
    s.path = path;
    s.time = "time";
    s.volume = "gal";
    s.m3_per_unit = gallon_m3;
    return s;
}

std::string refusal(scenarios::DemandSeriesSource const& s) {
    try {
        scenarios::read_demand_series(s);
    } catch (scenarios::ScenarioError const& error) {
        return error.what();
    } catch (weather::WeatherError const& error) {
        return error.what();
    }
    return "was accepted";
}

bool contains(std::string const& text, std::string const& part) { return text.find(part) != text.npos; }

std::size_t hour_of(int month, int day, int hour) {
    auto const of =
        date::sys_days{date::year{2023} / static_cast<unsigned>(month) / static_cast<unsigned>(day)};
    return static_cast<std::size_t>(24 * (of - date::sys_days{date::year{2023} / 1 / 1}).count() + hour);
}

double sum(std::vector<double> const& v) { return std::accumulate(v.begin(), v.end(), 0.0); }

std::string const demo_path = HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml";

// The demo with its table [demand] replaced.
std::string demo_with(std::string const& demand) {
    auto text = test::file_text(demo_path);
    auto const at = text.find("[demand]");
    auto const end = text.find("\n[", at + 1);
    return text.substr(0, at) + demand + (end == text.npos ? "" : text.substr(end));
}

}  // namespace

TEST_SUITE_BEGIN("scenarios/demand_series");

// A quarter of an hour each, 1.5 gal from 06:00 to 07:00 and 0.25 gal else: 6 gal and 1 gal an hour, 29 gal a
// day, 10 585 gal in the 365 days of 2023.
TEST_CASE("a year of quarter hours is summed by the hour and keeps its dates") {
    ScratchFolder folder;
    auto const value = [](int minute) {
        if (minute / 1440 == 40 && minute % 1440 == 720) return 100.25;  // 10 February, noon
        return minute % 1440 / 60 == 6 ? 1.5 : 0.25;
    };
    auto const s = source(write(folder, "a.csv", rows("time,gal\n", 2023, 1, 1, 365, 15, value)));
    auto const series = scenarios::read_demand_series(s);
    REQUIRE(series->hourly_m3.size() == 8760);
    CHECK(series->notes.empty());
    CHECK(series->hourly_m3[6] == Near{6 * gallon_m3, 1e-12, 0});
    CHECK(series->hourly_m3[hour_of(2, 10, 12)] == Near{101 * gallon_m3, 1e-12, 0});
    CHECK(series->hourly_m3[hour_of(12, 31, 23)] == Near{1 * gallon_m3, 1e-12, 0});
    CHECK(sum(series->hourly_m3) == Near{(365 * 29 + 100) * gallon_m3, 1e-9, 0});
    // Read once: a second call returns the same object until the file changes.
    CHECK(scenarios::read_demand_series(s) == series);
}

// A stamp at the end moves every volume one interval back; a date and a time of their own columns, month
// first, with AM and PM; liters; a semicolon. 12:00 AM is midnight.
TEST_CASE("date and time in two columns, stamps at the end, other units and orders of the date") {
    ScratchFolder folder;
    std::string text = "Water meter of a house (invented)\nDay;Clock;Use [L]\n";
    for (int day = 0; day < 7; ++day)
        for (int hour = 1; hour <= 24; ++hour) {
            int const h = hour % 24;
            text += fmt::format("{:02}/{:02}/2024;{}:00 {};{}\n", 3, 4 + day + (hour == 24 ? 1 : 0),
                                h % 12 == 0 ? 12 : h % 12, h < 12 ? "AM" : "PM", hour == 24 ? 240 : 10);
        }
    auto s = source(write(folder, "b.csv", text));
    s.date = "day";
    s.time = "clock";
    s.volume = "use";
    s.m3_per_unit = 1e-3;
    s.separator = ';';
    s.order = scenarios::DateOrder::month_day_year;
    s.stamp_is_end = true;
    s.repeat = scenarios::SeriesRepeat::weeks;
    auto const series = scenarios::read_demand_series(s);
    for (int day = 0; day < 365; ++day) {
        auto const first = static_cast<std::size_t>(24 * day);
        CHECK(series->hourly_m3[first] == Near{0.010, 1e-12, 0});
        CHECK(series->hourly_m3[first + 22] == Near{0.010, 1e-12, 0});
        CHECK(series->hourly_m3[first + 23] == Near{0.240, 1e-12, 0});
    }
    REQUIRE(series->notes.size() == 1);
    CHECK(contains(series->notes[0],
                   "holds 7 whole days, from 2024-03-04 to 2024-03-10, of the year's 365; the "
                   "others repeat its one whole week on from its first day"));
}

// 17 days from Monday 2 January 2023: day n has n gal in every hour. Whole weeks are days 1 to 14; day 18 (19
// January, a Thursday) repeats day 4 (5 January, a Thursday), and 1 January, 364 days on, is 364 mod 14 = 0:
// day 1.
TEST_CASE("a part of the year repeats its whole weeks, or its days, on from its first day") {
    ScratchFolder folder;
    auto s =
        source(write(folder, "c.csv",
                     rows("time,gal\n", 2023, 1, 2, 17, 60, [](int minute) { return minute / 1440 + 1; })));
    CHECK(contains(refusal(s),
                   "holds 17 whole days, from 2023-01-02 to 2023-01-18, of the year's 365; "
                   "demand.series.repeat = \"weeks\""));
    s.repeat = scenarios::SeriesRepeat::weeks;
    auto const weeks = scenarios::read_demand_series(s)->hourly_m3;
    CHECK(weeks[hour_of(1, 2, 5)] == Near{1 * gallon_m3, 1e-12, 0});
    CHECK(weeks[hour_of(1, 18, 5)] == Near{17 * gallon_m3, 1e-12, 0});
    CHECK(weeks[hour_of(1, 19, 5)] == Near{4 * gallon_m3, 1e-12, 0});
    CHECK(weeks[hour_of(1, 29, 5)] == Near{14 * gallon_m3, 1e-12, 0});
    CHECK(weeks[hour_of(1, 30, 5)] == Near{1 * gallon_m3, 1e-12, 0});
    CHECK(weeks[hour_of(1, 1, 5)] == Near{1 * gallon_m3, 1e-12, 0});
    s.repeat = scenarios::SeriesRepeat::days;
    auto const days = scenarios::read_demand_series(s)->hourly_m3;
    CHECK(days[hour_of(1, 19, 5)] == Near{1 * gallon_m3, 1e-12, 0});
    CHECK(days[hour_of(2, 4, 5)] == Near{17 * gallon_m3, 1e-12, 0});
    // Starting from another day.
    s.from = "2023-01-05";
    CHECK(scenarios::read_demand_series(s)->hourly_m3[hour_of(1, 4, 0)] != days[hour_of(1, 4, 0)]);
}

// A leap year from 1 July to 30 June: 366 days, one of them 29 February, which is left out.
TEST_CASE("a year across New Year and 29 February, and more than a year") {
    ScratchFolder folder;
    auto s = source(write(folder, "d.csv", rows("time,gal\n", 2023, 7, 1, 366, 60, [](int minute) {
                              return minute / 1440 == 243 ? 1000.0 : minute / 1440 + 1.0;  // 29 February 2024
                          })));
    auto const year = scenarios::read_demand_series(s);
    REQUIRE(year->notes.size() == 1);
    CHECK(contains(year->notes[0], "29 February is left out, since the year that is run has 365 days"));
    CHECK(year->hourly_m3[hour_of(7, 1, 0)] == Near{gallon_m3, 1e-12, 0});
    CHECK(year->hourly_m3[hour_of(2, 28, 23)] == Near{243 * gallon_m3, 1e-12, 0});
    CHECK(year->hourly_m3[hour_of(3, 1, 0)] == Near{245 * gallon_m3, 1e-12, 0});
    CHECK(year->hourly_m3[hour_of(6, 30, 23)] == Near{366 * gallon_m3, 1e-12, 0});
    auto const longer = scenarios::read_demand_series(
        source(write(folder, "e.csv", rows("time,gal\n", 2022, 1, 1, 400, 60, [](int) { return 1; }))));
    REQUIRE(longer->notes.size() == 1);
    CHECK(contains(longer->notes[0], "holds 400 days; the 365 from 2022-01-01 are used"));
}

// Two weeks, hour h of day d reads d + 1; two rows of Wednesday 4 January are missing and one is empty. The
// other Wednesday, 11 January, day 10, has 10 in those hours.
TEST_CASE("gaps are counted and named; filled only when asked to") {
    ScratchFolder folder;
    auto text = rows("time,gal\n", 2023, 1, 2, 14, 60, [](int minute) { return minute / 1440 + 1; });
    for (std::string const row : {"2023-01-04 07:00,3\n", "2023-01-04 08:00,3\n"})
        text.erase(text.find(row), row.size());
    auto const at = text.find("2023-01-04 20:00,3");
    text.erase(at + 17, 1);
    auto s = source(write(folder, "f.csv", text));
    s.repeat = scenarios::SeriesRepeat::weeks;
    CHECK(contains(refusal(s),
                   "3 of 336 hours (0.9 %) have no whole reading, the first at 2023-01-04 07:00; "
                   "demand.series.gaps = \"fill\""));
    s.fill_gaps = true;
    auto const series = scenarios::read_demand_series(s);
    for (int const hour : {7, 8, 20})
        CHECK(series->hourly_m3[hour_of(1, 4, hour)] == Near{10 * gallon_m3, 1e-12, 0});
    CHECK(series->hourly_m3[hour_of(1, 4, 9)] == Near{3 * gallon_m3, 1e-12, 0});
    REQUIRE(series->notes.size() == 2);
    CHECK(contains(series->notes[0], "filled with the mean of the same hour of the same weekday"));
}

// A meter read every hour and 2 gal on each time, but for 12:00 on the second day, which nobody read: 4 gal
// over two hours. Read once a day: the day's profile, here all of it from 06:00 to 08:00.
TEST_CASE("a meter's readings are differences, a day's volume goes by the profile") {
    ScratchFolder folder;
    auto text = rows("time,gal\n", 2023, 1, 2, 8, 60, [](int minute) { return 500 + minute / 30; });
    auto const row = text.find("2023-01-03 12:00,");
    text.erase(row, text.find('\n', row) + 1 - row);
    auto s = source(write(folder, "g.csv", text));
    s.counter = true;
    s.repeat = scenarios::SeriesRepeat::weeks;
    auto const meter = scenarios::read_demand_series(s);
    for (std::size_t h = 0; h < 8760; ++h) CHECK(meter->hourly_m3[h] == Near{2 * gallon_m3, 1e-12, 0});
    REQUIRE(meter->notes.size() == 2);
    CHECK(contains(meter->notes[0], "reading is missing once"));

    // A meter that was changed: its readings go back.
    s.path = write(folder, "changed.csv",
                   "time,gal\n2023-01-02 00:00,500\n2023-01-02 01:00,502\n2023-01-02 02:00,3\n");
    CHECK(contains(refusal(s), ":4: the meter reads less than in the row before"));

    std::string daily = "date,gal\n";
    for (int day = 1; day <= 7; ++day) daily += fmt::format("2023-01-0{},{}\n", day, 100 * day);
    auto d = source(write(folder, "h.csv", daily));
    d.time = "";
    d.date = "date";
    d.repeat = scenarios::SeriesRepeat::weeks;
    d.day = models::block_profile(6, 8);
    auto const by_day = scenarios::read_demand_series(d);
    CHECK(by_day->hourly_m3[hour_of(1, 3, 6)] == Near{150 * gallon_m3, 1e-12, 0});
    CHECK(by_day->hourly_m3[hour_of(1, 3, 7)] == Near{150 * gallon_m3, 1e-12, 0});
    CHECK(by_day->hourly_m3[hour_of(1, 3, 8)] == 0);
}

TEST_CASE("what a file gets wrong is said with file, line and what is accepted") {
    ScratchFolder folder;
    struct Row {
        std::string text, message;
    };
    int n = 0;
    for (auto const& [text, message] : {
             Row{"time,liters\n2023-01-01 00:00,1\n", ": no header row with a column \"gal\""},
             Row{"when,gal\n2023-01-01 00:00,1\n", ":1: no column \"time\" in the header row"},
             Row{"time,gal\n01.02.2023 00:00,1\n", ":2: \"01.02.2023\" is not a date such as 2024-03-31"},
             Row{"time,gal\n2023-02-30 00:00,1\n", ":2: \"2023-02-30\" is not a date"},
             Row{"time,gal\n2023-02-257 00:00,1\n", ":2: \"2023-02-257\" is not a date"},
             Row{"time,gal\n2023-258-01 00:00,1\n", ":2: \"2023-258-01\" is not a date"},
             Row{"time,gal\n2023-01-01 00:00Z,1\n", ":2: \"00:00Z\" is not a time of day such as 14:05"},
             Row{"time,gal\n2023-01-01 00:00+01:00,1\n", "without a time zone"},
             Row{"time,gal\n2023-01-01 25:00,1\n", ":2: \"25:00\" is not a time of day"},
             Row{"time,gal\n2023-01-01,1\n", ":2: \"2023-01-01\" is not a date and a time"},
             Row{"time,gal\n2023-01-01 00:00,-1\n", ":2: a volume below 0"},
             Row{"time,gal\n2023-01-01 00:00,two\n", ":2: column gal holds \"two\""},
             Row{"time,gal\n2023-01-01 00:00\n", ":2: 1 fields where the header in line 1 has 2"},
             Row{"time,gal\n2023-01-01 02:00,1\n2023-01-01 01:00,1\n",
                 ":3: 2023-01-01 01:00 does not come after"},
             Row{"time,gal\n2023-01-01 02:00,1\n2023-01-01 02:00,1\n", "a clock set back in autumn"},
             Row{"time,gal\n2023-01-01 02:00,1\n", ": fewer than three rows"},
             Row{"time,gal\n2023-01-01 00:00,1\n2023-01-08 00:00,1\n2023-01-15 00:00,1\n",
                 "the rows are 7.0 days apart"},
             Row{"time,gal\n2023-01-01 00:00,1\n2023-01-01 01:00,1\n2023-01-01 02:00,1\n",
                 ": holds no whole day"},
             // A row half an hour after the one before it, in a file of whole hours, would be counted twice.
             Row{"time,gal\n2023-01-01 00:00,1\n2023-01-01 01:00,1\n2023-01-01 02:00,1\n2023-01-01 02:30,1\n",
                 ":5: 2023-01-01 02:30 comes less than 60 minutes after the row before it"},
         }) {
        CAPTURE(message);
        auto const path = write(folder, fmt::format("bad{}.csv", n++), text);
        auto const said = refusal(source(path));
        CAPTURE(said);
        CHECK(said.starts_with(path));
        CHECK(contains(said, message));
    }
    CHECK(contains(refusal(source((folder / "none.csv").string())), "none.csv"));
}

TEST_CASE("a scenario takes its demand from a file, says its gaps, and refuses what contradicts it") {
    ScratchFolder folder;
    auto const path = write(folder, "meter.csv", rows("time,gal\n", 2023, 1, 2, 14, 60, [](int minute) {
                                return minute % 1440 / 60 == 7 ? 100 : 0;
                            }));
    std::string const series = "[demand]\ntap_flow = \"4 gpm\"\n[demand.series]\nfile = \"" + path +
                               "\"\ntime = \"time\"\nvolume = \"gal\"\nvolume_unit = \"gal\"\n";
    auto const s = scenarios::read_scenario_text(demo_with(series + "repeat = \"weeks\"\n"), demo_path);
    REQUIRE(s.demand.series);
    CHECK(s.demand.daily_m3 == Near{100 * gallon_m3, 1e-9, 0});
    CHECK(s.demand.tap_flow_m3_s == Near{4 * gallon_m3 / 60, 1e-12, 0});
    REQUIRE(!s.warnings.empty());
    CHECK(std::any_of(s.warnings.begin(), s.warnings.end(),
                      [](auto const& w) { return contains(w, "demand.series: holds 14 whole days"); }));
    for (auto const& [demand, message] : {
             std::pair<std::string, std::string>{series, "of the year's 365"},
             {series + "repeat = \"months\"\n", "key 'demand.series.repeat': \"months\" is not a choice"},
             {series + "volume_units = \"gal\"\n", "demand.series.volume_units"},
             {"[demand]\ndaily = \"9 gal/day\"\n" + series.substr(9), "is given beside [demand.series]"},
             {"[demand.series]\nfile = \"" + path +
                  "\"\ntime = \"time\"\nvolume = \"gal\"\nvolume_unit = \"kg\"\n",
              "key 'demand.series.volume_unit': \"kg\" is not a unit"},
             {"[demand.series]\nfile = \"" + path + "\"\nvolume = \"gal\"\nvolume_unit = \"gal\"\n",
              "key 'demand.series.time': is missing"},
             {series + "reading = \"counter\"\nstamp = \"end\"\n", "a counter's reading holds at its time"},
         }) {
        CAPTURE(message);
        std::string said;
        try {
            scenarios::read_scenario_text(demo_with(demand), demo_path);
        } catch (scenarios::ScenarioError const& error) {
            said = error.what();
        }
        CAPTURE(said);
        CHECK(contains(said, message));
    }
}

TEST_SUITE_END();
