// The combinations of a size search as rows: what is written of a run is read back, and the hash tells other
// inputs apart. The joined answer of shards is in tests/tools/shards_test.cpp.
#include "sim/sweep/size_rows.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <map>
#include <memory>
#include <set>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "sim/sweep/sweep_file.hpp"
#include "sim/sweep/sweep_run.hpp"
#include "tests/support/command.hpp"
#include "tests/support/faint_weather.hpp"
#include "tests/support/message_of.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using namespace holdwater::sim;
using test::file_text, test::message_of, test::ScratchFolder;

namespace {

using Runs = std::map<Combination, SizeRun>;

// Lists of so many values.
scenarios::SearchSettings lists_of(std::vector<std::size_t> const& lengths) {
    scenarios::SearchSettings settings;
    for (auto const length : lengths) settings.axes.emplace_back().values.resize(length);
    return settings;
}

// These runs as rows, in one block.
SweepBlock rows_of_runs(scenarios::SearchSettings const& settings, Runs const& runs) {
    auto const count = combination_count(settings);
    REQUIRE(count <= least_block_rows);
    SweepBlock rows;
    run_blocks(
        SweepPlan(numbered_rows(count)), {0, count}, size_figures().size(),
        [&](SweepBlock& block) {
            run_combinations(block, settings, [&](std::vector<Combination> const& combinations) {
                std::vector<SizeRun> out;
                for (auto const& c : combinations) out.push_back(runs.at(c));
                return out;
            });
        },
        [&](SweepBlock const& block) { rows = block; }, nullptr, {.texts = size_texts().size()});
    REQUIRE(rows.size() == count);
    return rows;
}
SweepBlock row_of_run(SizeRun const& run) { return rows_of_runs(lists_of({1}), {{{0}, run}}); }

Runs runs_in(SweepBlock const& rows, scenarios::SearchSettings const& settings) {
    Runs runs;
    take_combinations(rows, settings, runs);
    return runs;
}
SizeRun run_in(SweepBlock const& row) { return runs_in(row, lists_of({1})).at({0}); }

double figure(SweepBlock const& rows, std::size_t row, std::string const& name) {
    auto const figures = size_figures();
    auto const at =
        std::find_if(figures.begin(), figures.end(), [&](auto const& f) { return f.name == name; });
    REQUIRE(at != figures.end());
    return rows.figures_of(row)[at - figures.begin()];
}
std::string text(SweepBlock const& rows, std::size_t row, std::string const& name) {
    auto const texts = size_texts();
    auto const at = std::find_if(texts.begin(), texts.end(), [&](auto const& t) { return t.name == name; });
    REQUIRE(at != texts.end());
    return rows.texts.at(static_cast<std::size_t>(at - texts.begin())).at(row);
}

// A run in which every number has a value of its own.
SizeRun full_run() {
    SizeRun run;
    auto& f = run.figures;
    double value = 1000.25;
    for (auto const& field : repeatable_fields()) f.year.*field.value = value++;
    for (auto const& field : finding_fields()) f.findings.*field.value = value++;
    f.hours_short_allowed = 11.5;
    f.longest_shortage_limit_h = 12.5;
    f.purchase = 13.5;
    f.cost = 14.5;
    f.cost_spread =
        Spread{.mean = 15.5, .median = 16.5, .low = 17.5, .high = 18.5, .bad = 19.5, .worst = 20.5};
    f.cloudy_days = 21;
    auto& y = f.years.emplace();
    y.years = 22;
    y.held = 23;
    y.held_low = 24;
    y.held_high = 25;
    y.needed = 26;
    y.years_to_settle = 27;
    y.unrecovered = 28;
    y.shortage_hours_one_in_ten = 29.5;
    y.worst = 30;
    y.worst_number = 31;
    y.worst_shortage_hours = 32.5;
    y.hours_short = {0, 0, 0, 1.5, 2, 2, 40.25};
    f.start_fault = "start: voltage at the motor FAIL";
    run.years_problem = "2 of 24 made years could not be run";
    return run;
}

}  // namespace

TEST_SUITE_BEGIN("sim/size_rows");

TEST_CASE("a size search has a row for every combination; the value of the last list changes fastest") {
    auto const settings = lists_of({2, 3});
    REQUIRE(combination_count(settings) == 6);
    std::vector<Combination> in_order;
    for (std::size_t i = 0; i < 6; ++i) in_order.push_back(combination_at(settings, i));
    CHECK(in_order == std::vector<Combination>{{0, 0}, {0, 1}, {0, 2}, {1, 0}, {1, 1}, {1, 2}});
    CHECK(combination_count(lists_of({})) == 1);
    CHECK(combination_at(lists_of({}), 0).empty());
}

TEST_CASE("a size search takes 100,000 combinations and refuses more") {
    CHECK(combination_count(lists_of({400, 250})) == 100000);
    // The second: 2^80 combinations are more than a number of 64 bits holds.
    for (auto const& lengths : {std::vector<std::size_t>{400, 251}, std::vector<std::size_t>(80, 2)})
        CHECK(message_of<std::invalid_argument>([&] { (void)combination_count(lists_of(lengths)); }) ==
              "the lists have more than 100,000 combinations");
}

TEST_CASE("a row of size has every figure of the year, and each name stands once") {
    // Both structs have numbers only; the computing time is in no row.
    static_assert(sizeof(Summary) % sizeof(double) == 0 && sizeof(Findings) % sizeof(double) == 0);
    CHECK(year_figures().size() == (sizeof(Summary) + sizeof(Findings)) / sizeof(double) - 1);
    std::set<std::string> names{"ran", "problem"};  // of every file of rows
    for (auto const& columns : {size_figures(), size_texts()})
        for (auto const& column : columns) {
            CAPTURE(column.name);
            CHECK(names.insert(column.name).second);
            CHECK(!column.long_name.empty());
        }
    CHECK(names.count("wall_time_s") == 0);
}

TEST_CASE("every figure of a run of size stands under its name, and is read back as it was") {
    auto const run = full_run();
    auto const row = row_of_run(run);
    for (auto const& field : repeatable_fields()) {
        CAPTURE(field.name);
        CHECK(figure(row, 0, std::string(field.name)) == run.figures.year.*field.value);
    }
    for (auto const& field : finding_fields()) {
        CAPTURE(field.name);
        CHECK(figure(row, 0, std::string(field.name)) == run.figures.findings.*field.value);
    }
    for (auto const& [name, value] : std::map<std::string, double>{{"combination", 1},
                                                                   {"over_years", 0},
                                                                   {"hours_short_allowed", 11.5},
                                                                   {"longest_shortage_limit_h", 12.5},
                                                                   {"purchase", 13.5},
                                                                   {"life_cycle_cost", 14.5},
                                                                   {"life_cycle_cost_mean", 15.5},
                                                                   {"life_cycle_cost_median", 16.5},
                                                                   {"life_cycle_cost_low", 17.5},
                                                                   {"life_cycle_cost_high", 18.5},
                                                                   {"life_cycle_cost_bad", 19.5},
                                                                   {"life_cycle_cost_worst", 20.5},
                                                                   {"cloudy_days", 21},
                                                                   {"years", 22},
                                                                   {"years_held", 23},
                                                                   {"years_held_low", 24},
                                                                   {"years_held_high", 25},
                                                                   {"years_needed", 26},
                                                                   {"years_to_settle", 27},
                                                                   {"years_unrecovered", 28},
                                                                   {"shortage_hours_one_in_ten", 29.5},
                                                                   {"worst_year_place", 30},
                                                                   {"worst_year", 31},
                                                                   {"worst_year_shortage_hours", 32.5}}) {
        CAPTURE(name);
        CHECK(figure(row, 0, name) == value);
    }
    CHECK(text(row, 0, "start_fault") == "start: voltage at the motor FAIL");
    CHECK(text(row, 0, "hours_short") == "3*0 1.5 2*2 40.25");
    CHECK(text(row, 0, "years_problem") == "2 of 24 made years could not be run");
    CHECK(row.problems[0].empty());
    // The figures under their names are right; so a run that was read back wrong makes another row.
    auto const back = run_in(row);
    auto const again = row_of_run(back);
    CHECK(again.figures == row.figures);
    CHECK(again.texts == row.texts);
    CHECK(back.figures.years->hours_short == run.figures.years->hours_short);
}

TEST_CASE("yes and no of a run of size are not mixed up") {
    auto const over_years = [](SizeRun& r) -> bool& { return r.figures.over_years; };
    auto const limit_met = [](SizeRun& r) -> bool& { return r.figures.years->limit_met; };
    auto const met = [](SizeRun& r) -> bool& { return r.figures.years->met; };
    auto const close = [](SizeRun& r) -> bool& { return r.figures.years->close; };
    std::vector<std::pair<std::string, std::function<bool&(SizeRun&)>>> const answers{
        {"over_years", over_years},
        {"years_limit_met", limit_met},
        {"years_met", met},
        {"years_close", close}};
    for (auto const& one : answers) {
        auto run = full_run();
        for (auto const& other : answers) other.second(run) = other.first == one.first;
        auto const row = row_of_run(run);
        auto back = run_in(row);
        for (auto const& other : answers) {
            CAPTURE(one.first);
            CAPTURE(other.first);
            CHECK(figure(row, 0, other.first) == (other.first == one.first ? 1 : 0));
            CHECK(other.second(back) == (other.first == one.first));
        }
    }
}

TEST_CASE("what a run of size does not have is no number in its row, and is not there when read back") {
    SizeRun run;
    run.figures.year.demand_met_fraction = 0.75;
    auto const row = row_of_run(run);
    for (std::string const name :
         {"purchase", "life_cycle_cost", "life_cycle_cost_mean", "life_cycle_cost_worst", "cloudy_days",
          "years", "years_held", "worst_year"}) {
        CAPTURE(name);
        CHECK(std::isnan(figure(row, 0, name)));
    }
    CHECK(text(row, 0, "hours_short").empty());
    auto const back = run_in(row);
    CHECK(!back.figures.purchase);
    CHECK(!back.figures.cost);
    CHECK(!back.figures.cost_spread);
    CHECK(!back.figures.cloudy_days);
    CHECK(!back.figures.years);
    CHECK(back.figures.start_fault.empty());
    CHECK(back.years_problem.empty());
    CHECK(back.figures.year.demand_met_fraction == 0.75);
    CHECK(back.figures.longest_shortage_limit_h == hours_per_year);
    // No cost is not a cost of nothing, and no cloudy day held is not "not run".
    run.figures.cost = 0;
    run.figures.cloudy_days = 0;
    auto const nothing = run_in(row_of_run(run));
    CHECK(nothing.figures.cost == 0.0);
    CHECK(nothing.figures.cloudy_days == 0);
}

TEST_CASE("hours short of the made years are read back whatever their number") {
    for (auto const& [hours, words] : std::vector<std::pair<std::vector<double>, std::string>>{
             {{}, ""},
             {{0}, "0"},
             {{0, 0}, "2*0"},
             {{1, 2, 3}, "1 2 3"},
             {std::vector<double>(100000, 0), "100000*0"},
             {{0.1, 0.1 + 0.2, 1e-17, 8760, 8760}, "0.1 0.30000000000000004 1e-17 2*8760"}}) {
        auto run = full_run();
        run.figures.years->hours_short = hours;
        auto const row = row_of_run(run);
        CHECK(text(row, 0, "hours_short") == words);
        CHECK(run_in(row).figures.years->hours_short == hours);
    }
}

TEST_CASE("each combination gets its own row; one that cannot be built keeps its words, and nothing else") {
    auto const settings = lists_of({2, 3});
    Runs runs;
    for (std::size_t i = 0; i < 6; ++i) {
        auto& run = runs[combination_at(settings, i)] = full_run();
        run.figures.year.soc_min = 0.1 * static_cast<double>(i);
        run.figures.start_fault = "fault " + std::to_string(i);
    }
    runs[{1, 0}].problem = "battery.capacity: \"0 parsecs\" has no unit of energy";
    auto const rows = rows_of_runs(settings, runs);
    auto const back = runs_in(rows, settings);
    REQUIRE(back.size() == 6);
    for (std::size_t i = 0; i < 6; ++i) {
        CAPTURE(i);
        auto const& run = back.at(combination_at(settings, i));
        CHECK(figure(rows, i, "combination") == static_cast<double>(i + 1));
        if (i == 3) {
            CHECK(rows.problems[i] == "battery.capacity: \"0 parsecs\" has no unit of energy");
            CHECK(run.problem == rows.problems[i]);
            CHECK(std::isnan(figure(rows, i, "soc_min")));
            CHECK(std::isnan(figure(rows, i, "years")));
            CHECK(text(rows, i, "start_fault").empty());
            CHECK(!run.figures.years);
            CHECK(!run.meets_all);
        } else {
            CHECK(run.problem.empty());
            CHECK(run.figures.year.soc_min == 0.1 * static_cast<double>(i));
            CHECK(run.figures.start_fault == "fault " + std::to_string(i));
        }
    }
    // A block in the middle of the plan: rows 5 and 6.
    SweepBlock middle;
    run_blocks(
        SweepPlan(numbered_rows(6)), {4, 6}, size_figures().size(),
        [&](SweepBlock& block) {
            run_combinations(block, settings, [&](std::vector<Combination> const& asked) {
                CHECK(asked == std::vector<Combination>{{1, 1}, {1, 2}});
                return std::vector{runs.at(asked.at(0)), runs.at(asked.at(1))};
            });
        },
        [&](SweepBlock const& block) { middle = block; }, nullptr, {.texts = size_texts().size()});
    CHECK(figure(middle, 0, "combination") == 5);
    auto const two = runs_in(middle, settings);
    REQUIRE(two.size() == 2);
    CHECK(two.at({1, 2}).figures.start_fault == "fault 5");
}

TEST_CASE("runs that were read back are judged by what is required") {
    auto settings = lists_of({2});
    settings.require.fuel_l = 10;
    Runs runs;
    runs[{0}].figures.year.generator_fuel_l = 10;
    runs[{1}].figures.year.generator_fuel_l = 10.5;
    auto const back = runs_in(rows_of_runs(settings, runs), settings);
    CHECK(back.at({0}).meets_all);
    CHECK(!back.at({1}).meets_all);
    REQUIRE(back.at({1}).verdicts.size() == 1);
    CHECK(back.at({1}).verdicts[0].key == "fuel");
    CHECK(back.at({1}).verdicts[0].value == 10.5);
}

TEST_CASE("rows of size survive their file") {
    ScratchFolder const folder;
    auto const settings = lists_of({2});
    Runs runs{{{0}, full_run()}, {{1}, {}}};
    runs[{1}].problem = "cannot be built";
    auto const rows = rows_of_runs(settings, runs);
    auto const path = (folder / "rows.h5").string();
    SweepHead head;
    head.spec = numbered_rows(2);
    head.group = "size";
    head.figures = size_figures();
    head.texts = size_texts();
    SweepWriter writer(path, head, 0, 2);
    writer.append(rows);
    writer.close();
    auto const back = SweepReader(path).read(0, 2);
    CHECK(back.texts == rows.texts);
    CHECK(back.problems == rows.problems);
    auto const run = runs_in(back, settings).at({0});
    CHECK(row_of_run(run).figures == row_of_run(full_run()).figures);
}

// Two years of two batteries, one of which has no unit that is known.
TEST_CASE("rows of a design say of its combinations what running them says") {
    auto const file = scenarios::read_design_file(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    scenarios::SearchSettings settings;
    settings.axes = {scenarios::axis_of("battery.capacity", {"8 kWh", "0 parsecs"})};
    settings.require.shortage_hours = 40;
    SizeOptions options;
    options.weather.made_years = 2;
    auto const run = combination_runs(file, settings, options);
    auto const alone = run({{0}, {1}});
    auto const back = runs_in(rows_of_runs(settings, {{{0}, alone[0]}, {{1}, alone[1]}}), settings);
    CHECK(back.at({0}).problem.empty());
    CHECK(back.at({0}).figures.year.shortage_hours == alone[0].figures.year.shortage_hours);
    CHECK(back.at({0}).meets_all == alone[0].meets_all);
    REQUIRE(back.at({0}).verdicts.size() == alone[0].verdicts.size());
    for (std::size_t i = 0; i < alone[0].verdicts.size(); ++i)
        CHECK(back.at({0}).verdicts[i].found == alone[0].verdicts[i].found);
    CHECK(back.at({1}).problem == alone[1].problem);
    CHECK(alone[1].problem.find("parsecs") != std::string::npos);
}

namespace {

// A design in a folder with weather files of its own.
struct OwnFolder {
    OwnFolder() {
        for (std::string const name : {"a.csv", "b.csv", "c.csv"}) put(name, name);
        auto text = file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
        std::string const own = "weather/saltbush-wells.csv";
        design_text = text.replace(text.find(own), own.size(), "a.csv");
        settings.axes = {scenarios::axis_of("battery.capacity", {"5 kWh", "8 kWh"})};
        options.weather.made_years = 2;
    }
    void put(std::string const& name, std::string const& bytes) const {
        std::ofstream(folder / name) << bytes;
    }
    [[nodiscard]] std::string path(std::string const& name) const { return (folder / name).string(); }
    [[nodiscard]] scenarios::DesignFile file() const {
        return scenarios::read_design_text(design_text, path("design.toml"));
    }
    [[nodiscard]] std::string hash() const { return size_inputs_hash(file(), settings, options); }

    ScratchFolder folder;
    std::string design_text;
    scenarios::SearchSettings settings;
    SizeOptions options;
};

}  // namespace

TEST_CASE("the hash of the inputs of size covers each weather file that a combination reads, and no other") {
    OwnFolder own;
    auto const before = own.hash();
    CHECK(before.size() == 16);
    CHECK(own.hash() == before);
    own.put("b.csv", "not read");
    CHECK(own.hash() == before);
    own.put("a.csv", "A.csv");
    CHECK(own.hash() != before);
    own.put("a.csv", "a.csv");
    CHECK(own.hash() == before);
    // A list of weather files.
    own.settings.axes = {scenarios::axis_of("weather.file", {"a.csv", "b.csv"})};
    auto const with_list = own.hash();
    CHECK(with_list != before);
    own.put("b.csv", "another");
    CHECK(own.hash() != with_list);
    // Another file in place of the scenario's: then its own, and those of the list, are not read.
    own.options.weather.file = own.path("c.csv");
    auto const with_other = own.hash();
    own.put("a.csv", "changed");
    own.put("b.csv", "changed as well");
    CHECK(own.hash() == with_other);
    own.put("c.csv", "changed");
    CHECK(own.hash() != with_other);
    // The weather of an option.
    OwnFolder option;
    option.options.base.overrides = {{"weather.file", "\"b.csv\"", 0}};
    auto const of_option = option.hash();
    option.put("b.csv", "changed");
    CHECK(option.hash() != of_option);
}

TEST_CASE("the hash of the inputs of size covers the parts lists") {
    OwnFolder const own;
    auto file = own.file();
    auto const without = size_inputs_hash(file, own.settings, own.options);
    file.parts = {{.path = "mine.toml", .about = "", .currency = "", .parts = {{}, {}}}};
    file.parts[0].parts[1].text = "[[battery]]\nname = \"a\"\n";
    auto const with_part = size_inputs_hash(file, own.settings, own.options);
    CHECK(with_part != without);
    file.parts[0].parts[1].text = "[[battery]]\nname = \"b\"\n";
    CHECK(size_inputs_hash(file, own.settings, own.options) != with_part);
}

TEST_CASE("the hash of the inputs of size covers a measured water use") {
    OwnFolder own;
    own.design_text.resize(own.design_text.find("[demand]"));
    own.design_text +=
        "[demand]\ntap_flow = \"5 gpm\"\n[demand.series]\nfile = \"meter.csv\"\ntime = \"time\"\n"
        "volume = \"gal\"\nvolume_unit = \"gal\"\n";
    auto const hash_with = [&](double first_hour_m3) {
        auto use = std::make_shared<scenarios::DemandSeries>();
        use->hourly_m3.assign(8760, 0.1);
        use->hourly_m3[0] = first_hour_m3;
        auto file = own.file();
        file.stored_demand = use;
        return size_inputs_hash(file, own.settings, own.options);
    };
    CHECK(hash_with(0.1) == hash_with(0.1));
    CHECK(hash_with(0.1) != hash_with(0.2));
}

TEST_CASE("the hash of the inputs of size covers the recorded years") {
    OwnFolder own;
    auto const without = own.hash();
    test::put_faint_weather(own.folder / "b.csv", 33);
    own.options.weather.recorded.paths = {own.path("b.csv")};
    auto const before = own.hash();
    CHECK(before != without);
    CHECK(own.hash() == before);
    auto bytes = file_text(own.folder / "b.csv");
    std::string const noon = "2023,6,1,12,60,0,60,5,3";
    bytes.replace(bytes.find(noon), noon.size(), "2023,6,1,12,61,0,61,5,3");
    own.put("b.csv", bytes);
    CHECK(own.hash() != before);
}

TEST_CASE("a value that the scenario refuses does not keep the inputs of size from being hashed") {
    OwnFolder own;
    auto const before = own.hash();
    own.settings.axes.push_back(scenarios::axis_of("battery.usable_fraction", {"3"}));
    CHECK(own.hash() == before);
}

TEST_SUITE_END();
