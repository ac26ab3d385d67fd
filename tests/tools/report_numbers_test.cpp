// Every number that a reader of the report finds is compared with the unrounded figure from which it was
// made: first the texts of the page with the JSON of `report --json`, then these texts with its `summary`,
// `figures` and `charts` and with what `check` prints.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

using holdwater::test::file_text, holdwater::test::run_holdwater, holdwater::test::ScratchFolder;
using nlohmann::json;

namespace {

bool has_digit(std::string const& text) { return text.find_first_of("0123456789") != std::string::npos; }

void replace_all(std::string& text, std::string const& from, std::string const& to) {
    for (auto at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size()))
        text.replace(at, from.size(), to);
}

// The page's texts between its tags, without scripts, styles and what is printed word for word.
std::vector<std::string> texts_of_page(std::string page) {
    for (std::string const element : {"script", "style", "pre", "head"})
        for (auto from = page.find("<" + element); from != std::string::npos;
             from = page.find("<" + element)) {
            if (element == "head" && page.compare(from, 7, "<header") == 0) break;
            auto const end = page.find("</" + element, from);
            page.erase(from, page.find('>', end) + 1 - from);
        }
    std::vector<std::string> texts;
    for (auto at = page.find('>'); at != std::string::npos; at = page.find('>', at + 1)) {
        std::string text = page.substr(at + 1, page.find('<', at) - at - 1);
        for (auto const& [entity, letter] : {std::pair{"&lt;", "<"},
                                             {"&gt;", ">"},
                                             {"&quot;", "\""},
                                             {"&apos;", "'"},
                                             {"&#39;", "'"},
                                             {"&amp;", "&"}})
            replace_all(text, entity, letter);
        if (has_digit(text)) texts.push_back(text);
    }
    return texts;
}

void leaves(json const& node, std::string const& path, std::vector<std::pair<std::string, json>>& out) {
    if (!node.is_structured()) return void(out.emplace_back(path, node));
    for (auto const& [key, value] : node.items()) leaves(value, path + "/" + key, out);
}
std::vector<std::pair<std::string, json>> leaves(json const& node) {
    std::vector<std::pair<std::string, json>> out;
    leaves(node, "", out);
    return out;
}

// From the name's end to the unit that is printed: the figure times `factor`.
struct Conversion {
    char const* unit;
    char const* name_end;
    double factor;
};
constexpr double gal_per_m3 = 1 / 0.003785411784;  // the US gallon's definition
constexpr Conversion conversions[] = {
    {"L", "_m3", 1000},
    {"L", "_l", 1},
    {"gal", "_m3", gal_per_m3},
    {"gal", "_l", gal_per_m3 / 1000},
    {"h", "_h", 1},
    {"h", "hours", 1},
    {"hours", "_h", 1},
    {"hours", "hours", 1},
    {"hour", "_h", 1},
    {"hour", "hours", 1},
    {"days", "_d", 1},
    {"days", "_days", 1},
    {"days", "_h", 1 / 24.0},
    {"%", "fraction", 100},
    {"%", "share", 100},
    {"%", "soc", 100},
    {"%", "probability", 100},
    {"%", "availability", 100},
    {"%", "soc_min", 100},
    {"%", "soc_mean", 100},
    {"kWh", "_kwh", 1},
    {"kWh/m", "_kwh_m2_d", 1},
    {"Wh", "_kwh", 1000},
    {"kW", "_kw", 1},
    {"bar", "_kpa", 0.01},
    {"psi", "_kpa", 1 / 6.894757293168361},
    {"L/min", "_m3_s", 60000},
    {"gpm", "_m3_s", 60 * gal_per_m3},
    {"s", "_s", 1},
    {"starts", "starts", 1},
};

bool ends_with(std::string const& text, std::string const& end) {
    return text.size() >= end.size() && text.compare(text.size() - end.size(), end.size(), end) == 0;
}

// A printed number: its value, half a unit of its last digit, the word behind it.
struct Printed {
    std::string text, unit;
    double value = 0, half = 0;
    bool is_day = false;  // of a date, as day of the year
};
std::vector<Printed> numbers_of(std::string text) {
    static std::string const months = "JanFebMarAprMayJunJulAugSepOctNovDec";
    static int const month_start[] = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334};
    static std::regex const form(
        R"(((\d{1,2}) (Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b)|((\d[\d,]*(?:\.\d+)?)(?:\s?([A-Za-z%/]+))?))");
    std::vector<Printed> found;
    for (std::sregex_iterator at(text.begin(), text.end(), form), end; at != end; ++at) {
        Printed p;
        p.text = at->str();
        if ((*at)[1].matched) {
            auto const month = months.find((*at)[3].str()) / 3;
            p.value = month_start[month] + std::stoi((*at)[2].str()) - 1, p.is_day = true;
        } else {
            std::string number = (*at)[5].str();
            while (number.back() == ',') number.pop_back();
            number.erase(std::remove(number.begin(), number.end(), ','), number.end());
            auto const point = number.find('.');
            p.value = std::stod(number), p.unit = (*at)[6].str();
            p.half = 0.5 * std::pow(10.0, point == std::string::npos
                                              ? 0.0
                                              : -static_cast<double>(number.size() - point - 1));
        }
        found.push_back(p);
    }
    return found;
}

// Is there a figure among those that is printed so? A unit asks for a name that ends as the unit wants it.
bool is_backed(Printed const& p, std::vector<std::pair<std::string, json>> const& figures) {
    bool const known = std::any_of(std::begin(conversions), std::end(conversions),
                                   [&](auto const& c) { return p.unit == c.unit; });
    auto const same = [&](double figure) { return std::abs(figure - p.value) <= p.half * 1.000001 + 1e-9; };
    for (auto const& [path, figure] : figures) {
        if (!figure.is_number()) continue;
        double const value = std::abs(figure.get<double>());
        if (p.is_day) {
            if (ends_with(path, "_day") && std::abs(std::fmod(value, 365) - p.value) < 0.5) return true;
            continue;
        }
        if (!known && !ends_with(path, "_day") && same(value)) return true;
        for (auto const& c : conversions)
            if (p.unit == c.unit && ends_with(path, c.name_end) && same(value * c.factor)) return true;
    }
    return false;
}

// Figures a text may be made of: those under `pointers` of the report's JSON, and fixed ones of the text
// itself (limits of a study, "starts in any 24 hours"), by their printed form.
struct Rule {
    std::string path;  // regular expression for the text's place
    std::vector<std::string> pointers;
    std::set<std::string> fixed = {};
};

void check_texts(json const& texts, json const& content, std::vector<Rule> const& rules) {
    std::size_t numbers = 0;
    for (auto const& [path, leaf] : leaves(texts)) {
        if (!leaf.is_string() || !has_digit(leaf.get<std::string>())) continue;
        auto const rule = std::find_if(rules.begin(), rules.end(), [&p = path](Rule const& r) {
            return std::regex_match(p, std::regex(r.path));
        });
        if (rule == rules.end()) {
            FAIL_CHECK(path << " has a number and no figures to hold it against: " << leaf);
            continue;
        }
        std::vector<std::pair<std::string, json>> figures;
        for (auto const& pointer : rule->pointers) {
            auto const more = leaves(content.at(json::json_pointer(pointer)));
            for (auto const& [name, value] : more) figures.emplace_back(pointer + name, value);
        }
        if (rule->pointers.empty()) continue;  // words of the scenario or fixed ones
        for (auto const& p : numbers_of(leaf.get<std::string>())) {
            if (rule->fixed.count(p.text) > 0) continue;
            ++numbers;
            CHECK_MESSAGE(is_backed(p, figures), path << ": " << p.text << " in " << leaf);
        }
    }
    CHECK(numbers > 40);
}

// Cells of a plot's table against the arrays its lines are drawn from.
void check_table(json const& plot, std::size_t column, json const& values, double factor = 1) {
    auto const& rows = plot["table"]["rows"];
    REQUIRE(rows.size() <= values.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
        if (values[i].is_null()) continue;
        auto const printed = numbers_of(rows[i][column].get<std::string>());
        REQUIRE(printed.size() == 1);
        CHECK(std::abs(values[i].get<double>() * factor - printed[0].value) <= printed[0].half * 1.000001);
    }
}

json const& plot_of(json const& content, std::string const& id) {
    for (auto const& [part, plots] : content["plots"].items())
        for (auto const& plot : plots)
            if (plot["id"] == id) return plot;
    FAIL("no plot " << id);
    return content;
}

void check_plots(json const& content) {
    auto const& charts = content["charts"];
    auto const& period = charts["cloudy_period"];
    auto const& hours = plot_of(content, "cloudy_period");
    check_table(hours, 1, period["soc"]);
    check_table(hours, 2, period["pv"]);
    check_table(hours, 3, period["load"]);
    std::size_t const store = period["backup"].is_null() ? 4 : 5;
    if (store == 5) check_table(hours, 4, period["backup"]);
    check_table(hours, store, period["store"]);
    auto const& months = charts["months"];
    check_table(plot_of(content, "energy"), 1, months["pv_used"]);
    check_table(plot_of(content, "energy"), 2, months["pv_curtailed"]);
    check_table(plot_of(content, "water"), 1, months["delivered"]);
    auto const& duration = plot_of(content, "duration");
    for (std::size_t i = 0; i < duration["table"]["rows"].size(); ++i)
        CHECK(std::abs(std::stod(duration["table"]["rows"][i][1].get<std::string>()) -
                       charts["duration"]["soc"][5 * i].get<double>()) <= 0.5);
    for (std::size_t line = 0; line < charts["survival"]["lines"].size(); ++line)
        check_table(plot_of(content, "survival"), 1 + line, charts["survival"]["lines"][line]["days"]);
    auto const& map = plot_of(content, "map")["table"]["rows"];
    for (std::size_t j = 0; j < map.size(); ++j)
        for (std::size_t i = 0; i + 1 < map[j].size(); ++i)
            CHECK(std::abs(numbers_of(map[j][i + 1].get<std::string>())[0].value -
                           charts["map"]["values"][j][i].get<double>()) <= 0.051);
    auto const& bars = plot_of(content, "tornado")["table"]["rows"];
    for (std::size_t i = 0; i < bars.size(); ++i)
        for (auto const& [column, side] : {std::pair{1, "low"}, {2, "high"}}) {
            auto const& days = charts["tornado"]["bars"][i][side];
            std::string const cell = bars[i][static_cast<std::size_t>(column)];
            if (days.is_null()) continue;
            CHECK(std::abs(numbers_of(cell).back().value - days.get<double>()) <= 0.051);
        }
    // The year's table is counted from the hours of its map.
    auto const& year = plot_of(content, "year")["table"]["rows"];
    double counted = 0, short_h = 0;
    for (auto const& row : year) {
        for (std::size_t k = 1; k <= 5; ++k) counted += std::stod(row[k].get<std::string>());
        short_h += std::stod(row[7].get<std::string>());
    }
    CHECK(counted == 8760);
    CHECK(short_h == content["figures"]["years"]["worst_short_h"].get<double>());
}

void check_report(std::string const& demo, std::string const& options) {
    CAPTURE(demo);
    CAPTURE(options);
    ScratchFolder folder;
    std::string const call = " '" HOLDWATER_SOURCE "/scenarios/" + demo + "' " + options;
    std::string const report = "report --years 6" + call + " --date 2031-05-06";
    auto const run = run_holdwater(folder, report + " --json");
    REQUIRE(run.exit_code == 0);
    auto const content = json::parse(run.out);
    REQUIRE(run_holdwater(folder, report + " --out a.html").exit_code == 0);

    // The page says what the JSON says: without the texts of the JSON, a text has no digit left. Bare figures
    // of tables must be the whole text.
    std::vector<std::string> said;
    std::set<std::string> bare;
    for (auto const& [path, leaf] : leaves(content)) {
        if (path.rfind("/charts", 0) == 0 || path.rfind("/figures", 0) == 0 || path.rfind("/summary", 0) == 0)
            continue;
        std::string const text = leaf.is_string() ? leaf.get<std::string>() : leaf.dump();
        if (!has_digit(text)) continue;
        if (text.size() < 6)
            bare.insert(text);
        else
            said.push_back(text);
    }
    std::sort(said.begin(), said.end(), [](auto const& a, auto const& b) { return a.size() > b.size(); });
    for (std::string text : texts_of_page(file_text(folder / "a.html"))) {
        std::string const whole = text;
        if (bare.count(text) > 0) continue;
        for (auto const& part : said)
            if (has_digit(text)) replace_all(text, part, "");
        CHECK_MESSAGE(!has_digit(text), whole);
    }

    // The texts say what the figures say.
    json texts = content;
    for (auto const* raw : {"charts", "figures", "summary", "scenario_text", "title", "place", "date"})
        texts.erase(raw);
    std::string const period = "/figures/cloudy_period", designs = "/figures/designs";
    std::vector<Rule> const rules{
        {"/answer/answer", {"/summary", "/figures/longest_shortage"}},
        {"/answer/years/notes/.*", {"/figures/years"}, {"90 %"}},
        {"/answer/years/table/.*", {"/figures/years"}},
        {"/answer/years/rows?/.*", {"/figures/dots"}, {"24 h", "100 h"}},
        {"/answer/years/.*", {"/figures/years"}, {"90 %", "1 in", "10"}},
        {"/answer/promise",
         {period, "/figures/cloudy_period/length_d", "/figures/autonomy"},
         {"1 year", "10 brings"}},
        {"/answer/claim",
         {period, "/figures/cloudy_period/length_d", "/answer/site_cloudy_period"},
         {"7 days", "1 made", "10 reaches", "2 a"}},
        {"/answer/glance/.*", {"/summary", "/figures/autonomy", "/figures"}, {"50 %"}},
        {"/answer/to_settle/.*", {}},  // texts of the checks, see below
        {"/answer/asked/.*", {"/summary", "/figures/asked", "/figures/years", "/figures/cloudy_period"}},
        {"/options/note", {}},
        {"/options/.*", {designs, "/figures/held"}},
        {"/design_figures/.*label", {"/figures/cloudy_period"}, {"80 %", "7 days", "7"}},
        {"/design_figures/rows.*", {designs, "/figures/cloudy_period"}, {"7 days"}},
        {"/limits/.*", {"/figures"}},
        {"/boxes/water/.*", {"/figures/water_side"}, {"24 hours"}},
        {"/boxes/indices/note", {}, {"1992"}},
        {"/boxes/indices/.*", {"/figures/indices"}, {}},
        {"/boxes/energy/.*", {"/figures/energy", "/figures/cloudy_period"}, {}},
        {"/checks/.*", {}},
        {"/inputs/.*", {}},
        {"/remarks/.*", {}},
        {"/cautions/.*", {}},
        {"/safety/.*", {}},
        {"/foot/.*", {}},
        {"/plots/.*", {}},
    };
    check_texts(texts, content, rules);
    check_plots(content);

    // Shares of an energy day add up, and each line of it is that of the figures.
    auto const& y = content["summary"];
    CHECK(content["figures"]["designs"][content["charts"]["survival"]["quoted"].get<std::size_t>()]
                 ["shortage_hours"] == y["shortage_hours"]);
    // The worst year of the verdict is the one that is plotted.
    CHECK(content["charts"]["year"]["short"].size() ==
          content["figures"]["years"]["worst_short_h"].get<std::size_t>());
    if (!content["figures"]["longest_shortage"].is_null())
        CHECK(content["figures"]["longest_shortage"]["length_h"] == y["longest_shortage_h"]);
}

}  // namespace

TEST_SUITE_BEGIN("tools/report_numbers");

TEST_CASE("every number of the page is one of its figures") {
    check_report("juniper-bend-household.toml", "--units us");
    check_report("thorn-gully-options.toml", "--option 'more array'");
    check_report("saltbush-livestock.toml", "--units both");
}

TEST_SUITE_END();
