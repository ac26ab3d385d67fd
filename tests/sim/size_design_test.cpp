#include "sim/designs/size_design.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <map>
#include <string>

#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "sim/designs/design_cost.hpp"
#include "sim/verdict/made_years.hpp"
#include "tests/support/command.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using namespace holdwater::sim;
using test::Near;

namespace {

scenarios::DesignFile const& shipped() {
    static auto const file =
        scenarios::read_design_file(HOLDWATER_SOURCE "/scenarios/larkspur-rim-choice.toml");
    return file;
}

// The shipped lists, every combination run; once for all tests.
SizeAnswer const& all_of_them() {
    static auto const answer = [] {
        SizeOptions options;
        options.weather.made_years = 0;
        return size_design(shipped(), *scenarios::read_search(shipped()), options);
    }();
    return answer;
}

// A small search on the livestock well, without prices.
scenarios::DesignFile small(std::string const& search) {
    return scenarios::read_design_text(
        test::file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml") + search,
        HOLDWATER_SOURCE "/scenarios/x.toml");
}
std::string const lists =
    "[[search.axis]]\nname = \"battery\"\nmore_never_hurts = true\n"
    "\"battery.capacity\" = [\"4 kWh\", \"6 kWh\", \"8 kWh\", \"10 kWh\", \"12 kWh\", \"16 kWh\"]\n"
    "[[search.axis]]\nname = \"array\"\nmore_never_hurts = true\n"
    "\"array.rated_power\" = [\"1.2 kW\", \"1.8 kW\", \"2.4 kW\"]\n"
    "\"controller.power_limit\" = [\"1.4 kW\", \"2.1 kW\", \"2.8 kW\"]\n";

SizeAnswer choose(scenarios::DesignFile const& file, std::size_t all_up_to, int threads = 0) {
    SizeOptions options;
    options.all_up_to = all_up_to;
    options.weather.made_years = 0;
    options.threads = threads;
    return size_design(file, *scenarios::read_search(file), options);
}

}  // namespace

TEST_SUITE_BEGIN("sim/size_design");

TEST_CASE("on the shipped lists no combination that meets all is cheaper than the choice") {
    auto const& a = all_of_them();
    REQUIRE(a.choice);
    CHECK(a.runs.size() == a.combinations);
    CHECK(a.combinations == 48);
    double const chosen = *a.runs.at(*a.choice).figures.cost;
    int meet = 0;
    for (auto const& [c, run] : a.runs) {
        CAPTURE(name_of(a, c));
        CHECK(run.problem == "");
        bool const by_hand = run.figures.year.demand_met_fraction >= 0.999 &&
                             run.figures.year.generator_run_h <= 50 && run.figures.cloudy_days >= 5 &&
                             run.figures.start_fault.empty() &&
                             run.figures.findings.most_starts_in_24h <= 100;
        CHECK(by_hand == run.meets_all);
        if (!by_hand) continue;
        ++meet;
        CHECK(*run.figures.cost >= chosen);
    }
    CHECK(meet > 1);
    CHECK(!a.contradiction);
    // The costs are those of the option priced alone.
    scenarios::DesignOption option;
    double purchase = 0;
    for (std::size_t i = 0; i < a.choice->size(); ++i) {
        auto const& axis = a.settings.axes[i];
        auto const& value = axis.values[(*a.choice)[i]];
        option.overrides.insert(option.overrides.end(), value.begin(), value.end());
        purchase += axis.prices[(*a.choice)[i]];
    }
    auto design = scenarios::option_design(shipped(), option);
    design.prices->purchase += purchase;
    auto const year = scenarios::read_scenario_weather(design.scenario);
    auto const alone = requirement_figures(design, year, {}, sim::run_year(design.scenario, year));
    CHECK(*alone.cost == chosen);
}

// 30 A into a 48 V battery are 1.44 kW; an array of 2.4 kW could give 2.3 to 2.4 kW.
TEST_CASE(
    "a charge controller with a current limit that does not grow with the array is named, with what it "
    "passes") {
    auto text = test::file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    std::string const limit = "power_limit = \"1.4 kW\"";
    text.replace(text.find(limit), limit.size(), "current_limit = \"30 A\"\nbattery_voltage = \"48 V\"");
    text +=
        "[[search.axis]]\nname = \"array\"\n\"array.rated_power\" = [\"1.2 kW\", \"2.4 kW\"]\n"
        "[search.require]\ndemand_met = 0.5\n";
    auto const a = choose(scenarios::read_design_text(text, HOLDWATER_SOURCE "/scenarios/x.toml"), 100);
    REQUIRE(a.notes.size() == 1);
    CHECK(a.notes[0].find("with array 2.4 kW the array could give 2.") != std::string::npos);
    CHECK(a.notes[0].find("the controller passes on 1.4 kW") != std::string::npos);
}

// The same search with pruning, fed from the runs above.
TEST_CASE("the pruned search finds the same on the shipped lists") {
    auto const& a = all_of_them();
    SearchProblem p;
    for (auto const& axis : a.settings.axes) {
        p.lengths.push_back(axis.values.size());
        p.more_never_hurts.push_back(axis.more_never_hurts);
    }
    for (auto const& name : a.requirements) p.met_by_more.push_back(name.met_by_more);
    std::size_t runs = 0;
    auto const base = *scenarios::base_design(shipped()).prices;
    p.least_objective = [&](Combination const& c) {
        auto prices = base;
        for (std::size_t i = 0; i < c.size(); ++i) prices.purchase += a.settings.axes[i].prices[c[i]];
        prices.battery_replacement = std::stod(a.settings.axes[0].values[c[0]].back().value);
        double const least = least_cost(prices);
        CHECK(least <= a.judged.at(c).objective[0]);
        return std::vector<double>{least};
    };
    p.run = [&](std::vector<Combination> const& cs) {
        std::vector<Judged> out;
        for (auto const& c : cs) out.push_back(a.judged.at(c)), ++runs;
        return out;
    };
    SizeSearch search(std::move(p));
    CHECK(search.best(std::vector<char>(a.requirements.size(), 1)) == a.choice);
    CHECK(runs < a.combinations);
}

TEST_CASE("a requirement that binds is one without which something cheaper would do") {
    auto const& a = all_of_them();
    for (auto const& d : a.dropped) {
        CAPTURE(a.requirements[d.requirement].key);
        double cheapest = *a.runs.at(*a.choice).figures.cost;
        for (auto const& [c, run] : a.runs) {
            bool holds = true;
            for (std::size_t r = 0; r < run.verdicts.size(); ++r)
                holds = holds && (r == d.requirement || run.verdicts[r].holds);
            if (holds) cheapest = std::min(cheapest, *run.figures.cost);
        }
        CHECK(*a.runs.at(d.would_do ? *d.would_do : *a.choice).figures.cost == cheapest);
        CHECK(d.would_do.has_value() == (a.requirements[d.requirement].key == "cloudy_days"));
    }
    // One step for every list whose value is not already its smallest.
    auto const above_least = std::count_if(a.choice->begin(), a.choice->end(), [](auto v) { return v > 0; });
    CHECK(above_least >= 2);
    CHECK(a.one_less.size() == static_cast<std::size_t>(above_least));
    for (auto const& step : a.one_less) CHECK(!a.runs.at(step.combination).meets_all);
}

TEST_CASE("the frontier rises in cost and in water kept and nothing beats it") {
    auto const& a = all_of_them();
    for (std::size_t i = 0; i < a.frontier.size(); ++i) {
        auto const& here = a.runs.at(a.frontier[i]).figures;
        if (i > 0) {
            auto const& before = a.runs.at(a.frontier[i - 1]).figures;
            CHECK(*here.cost > *before.cost);
            CHECK(here.year.demand_met_fraction > before.year.demand_met_fraction);
        }
        for (auto const& [c, run] : a.runs)
            CHECK_FALSE((*run.figures.cost < *here.cost &&
                         run.figures.year.demand_met_fraction >= here.year.demand_met_fraction));
    }
    CHECK(a.frontier.size() >= 5);
}

TEST_CASE(
    "smallest without prices: pruned and whole agree, whatever the threads; the first list counts most") {
    for (std::string const& require :
         {std::string("demand_met = 0.999\n"), std::string("shortage_hours = 0\n"),
          std::string("demand_met = 0.995\nstarts_within_limit = true\n"),
          std::string("shortage_hours = 20\n")}) {
        CAPTURE(require);
        auto const file = small("[search.require]\n" + require + lists);
        auto const whole = choose(file, 500), pruned = choose(file, 0, 1), again = choose(file, 0, 2);
        CHECK(whole.least == scenarios::SearchLeast::size);
        CHECK(whole.runs.size() == 18);
        REQUIRE(whole.choice.has_value() == pruned.choice.has_value());
        CHECK(whole.choice == pruned.choice);
        CHECK(pruned.runs.size() == again.runs.size());
        CHECK(again.choice == pruned.choice);
        if (!whole.choice) continue;
        CHECK(pruned.runs.size() < 18);
        for (auto const& [c, run] : whole.runs)
            if (run.meets_all) CHECK(*whole.choice <= c);
    }
}

TEST_CASE("a search that is stopped names the best of what was run and meets all, or nothing") {
    auto const file = small("[search.require]\ndemand_met = 0.995\n" + lists);
    int named = 0;
    for (int batches = 1; batches <= 4; ++batches) {
        CAPTURE(batches);
        std::atomic<bool> stop = false;
        int seen = 0;
        SizeOptions options;
        options.all_up_to = 0;
        options.weather.made_years = 0;
        options.stop = &stop;
        options.progress = [&](std::size_t, std::size_t) { stop = ++seen >= batches; };
        auto const a = size_design(file, *scenarios::read_search(file), options);
        if (!a.stopped) continue;
        bool any = false;
        for (auto const& [c, run] : a.runs) {
            any = any || run.meets_all;
            if (run.meets_all && a.choice)
                CHECK(a.judged.at(*a.choice).objective <= a.judged.at(c).objective);
        }
        CHECK(a.choice.has_value() == any);
        if (a.choice) CHECK(a.runs.at(*a.choice).meets_all);
        named += a.choice && a.runs.size() > 1 ? 1 : 0;
    }
    CHECK(named > 0);
}

// The battery's own price comes from its parts list, fitting it from the search's list.
TEST_CASE("with parts the price of a list is part of the bound: what costs more than the choice is not run") {
    std::string const demo = test::file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    auto const battery = demo.find("[battery]"), inverter = demo.find("[inverter]");
    REQUIRE(battery < inverter);
    auto const file = scenarios::read_design_text(
        "parts = [\"parts\"]\n" + demo.substr(0, battery) + "[battery]\npart = \"lithium-5\"\n" +
            demo.substr(inverter) +
            "[prices]\nbesides_parts = 1000\nyears = 20\ndiscount_rate = 0.04\n"
            "[search.require]\nshortage_hours = 4000\n"
            "[[search.axis]]\nname = \"battery\"\n\"battery.part\" = [\"lithium-5\", "
            "\"lithium-10\", \"lithium-15\"]\n"
            "price = [0, 9000, 20000]\n"
            "[[search.axis]]\nname = \"tilt\"\n\"array.tilt\" = [\"30 deg\", \"32 deg\", \"34 deg\", \"36 "
            "deg\", "
            "\"38 deg\", \"40 deg\", \"42 deg\", \"44 deg\", \"46 deg\", \"48 deg\"]\n",
        HOLDWATER_SOURCE "/scenarios/x.toml");
    auto const whole = choose(file, 500), pruned = choose(file, 0);
    REQUIRE(whole.choice);
    CHECK(whole.choice == pruned.choice);
    CHECK(whole.runs.size() == 30);
    CHECK(pruned.runs.size() <= 20);
}

TEST_CASE(
    "where nothing meets all, the nearest is named and a combination that cannot be built is no choice") {
    auto const file = small(
        "[search.require]\ndemand_met = 1\nlongest_shortage = 0\ngenerator_run_h = 1\n"
        "[[search.axis]]\nname = \"battery\"\n\"battery.capacity\" = [\"4 kWh\", \"5 kWh\"]\n"
        "[[search.axis]]\nname = \"floor\"\n\"battery.usable_fraction\" = [0.5, 7]\n");
    auto const a = choose(file, 500);
    CHECK(!a.choice);
    REQUIRE(a.nearest);
    CHECK(*a.nearest == Combination{1, 0});
    CHECK(a.runs.at({0, 1}).problem.find("usable_fraction") != std::string::npos);
    CHECK(a.runs.at({0, 0}).verdicts[2].holds);
}

// More idle draw does make things worse.
TEST_CASE("a list wrongly said never to hurt is found out") {
    auto const file = small(
        "[search.require]\ndemand_met = 0.99\n[[search.axis]]\nname = \"idle\"\nmore_never_hurts = true\n"
        "\"inverter.idle\" = [\"20 W\", \"25 W\", \"30 W\", \"60 W\", \"120 W\", \"200 W\"]\n");
    auto const a = choose(file, 0), whole = choose(file, 500);
    CHECK(a.choice == whole.choice);
    CHECK(whole.contradiction);
}

// Every combination that misses no two other requirements runs the same years; the choice is the least cost
// of those that hold enough of them, and is confirmed on years that it was not chosen on.
TEST_CASE("over many years: chosen on one set, confirmed on another") {
    auto const file =
        small("[search.require]\ngenerator_run_h = 0\n[required]\nyears_without_shortage = 0.75\n" + lists);
    SizeOptions options;
    options.weather.made_years = 8;
    auto const a = size_design(file, *scenarios::read_search(file), options);
    CHECK(a.years_of_choice == 8);
    CHECK(a.requirements.front().key == "years_held");
    REQUIRE(a.choice);
    auto const& chosen = a.runs.at(*a.choice);
    REQUIRE(chosen.figures.years);
    CHECK(chosen.figures.years->years == 8);
    CHECK(chosen.figures.years->needed == 6);
    CHECK(chosen.figures.years->held >= 6);
    for (auto const& [c, run] : a.runs)
        if (c < *a.choice) CHECK(!run.meets_all);
    REQUIRE(a.confirmed);
    CHECK(a.confirmed->years == confirming_years);
    // The judged years of the choice, run apart: the battery at the end of its life.
    auto const design = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    auto const year = scenarios::read_scenario_weather(design);
    auto scenario = at_end_of_life(design);
    scenario.battery.capacity_kwh *=
        std::array{4., 6., 8., 10., 12., 16.}[(*a.choice)[0]] / design.battery.capacity_kwh;
    if ((*a.choice)[1] == 1) {
        DrawOptions draw;
        draw.years = 8;
        auto const years = draw_years({{scenario, &year}}, draw).years[0];
        CHECK(verdict_of(years, scenario.years.required).hours_short == chosen.figures.years->hours_short);
    }
}

TEST_CASE("what cannot be searched is refused") {
    struct Row {
        std::string search, message;
    };
    std::string const list = "[[search.axis]]\nname = \"battery\"\n\"battery.capacity\" = [\"5 kWh\"]\n";
    for (auto const& [search, message] : {
             Row{"[search.require]\ndemand_met = 1\n", "there is nothing to choose from"},
             Row{list, "nothing is required"},
             Row{"[search]\nleast = \"cost\"\n[search.require]\ndemand_met = 1\n" + list,
                 "no table [prices]"},
             Row{"[search.require]\ndemand_met = 1\n" + list + "price = [3]\n", "no table [prices]"},
             Row{"[search.require]\ndemand_met = 1\n[[search.axis]]\nname = \"y\"\n\"prices.years\" = [3]\n",
                 "must be the same for all"},
             Row{"[search.require]\ndemand_met = 1\n[[search.axis]]\nname = \"b\"\n\"battery.capacity\" = "
                 "[\"5 "
                 "kg\"]\n",
                 "no combination can be built: "},
         }) {
        CAPTURE(search);
        std::string said;
        try {
            (void)choose(small(search), 500);
        } catch (std::exception const& error) {
            said = error.what();
        }
        CAPTURE(said);
        CHECK(said.find(message) != std::string::npos);
    }
}

TEST_SUITE_END();
