#include <fmt/format.h>
#include <fmt/ranges.h>
#include <toml++/toml.h>

#include <algorithm>
#include <array>
#include <exception>
#include <nlohmann/json.hpp>
#include <set>
#include <stdexcept>
#include <utility>

#include "models/water/demand.hpp"
#include "scenarios/parts/parts.hpp"
#include "scenarios/text/key_list.hpp"
#include "tools/desk/desk_request.hpp"
#include "tools/desk/edit_scenario.hpp"
#include "tools/desk/typed_value.hpp"
#include "tools/start/starter_interview.hpp"

namespace holdwater::tools {
namespace {

using Ordered = nlohmann::ordered_json;
using scenarios::UnitSystem;

UnitSystem units_asked(std::string const& text) { return text == "us" ? UnitSystem::us : UnitSystem::metric; }

Ordered choices_of(scenarios::KeyText const& k) {
    Ordered list = Ordered::array();
    if (k.unit == "yes or no") return {"yes", "no"};
    if (k.unit != "choice") return list;
    for (std::size_t from = 0; from < k.range.size();) {
        auto const end = std::min(k.range.find(", ", from), k.range.size());
        list.push_back(std::string(k.range.substr(from, end - from)));
        from = end + 2;
    }
    return list;
}

std::vector<scenarios::Part> parts_of_kind(std::string const& kind, std::vector<std::string> const& paths) {
    std::vector<scenarios::Part> found;
    for (auto const& path : paths)
        for (auto& part : scenarios::read_parts_file(path).parts)
            if (part.kind == kind) found.push_back(std::move(part));
    return found;
}

// The part's keys in its section, without what belongs to the list; tables below it are other sections.
std::vector<ScenarioKey> keys_of(scenarios::Part const& part) {
    std::vector<ScenarioKey> keys;
    auto const before = part.kind + ".1.";
    for (auto const& k : scenario_keys(part.text)) {
        if (!k.key.starts_with(before)) continue;
        auto key = k;
        key.key = k.key.substr(before.size());
        if (key.key == "name" || key.key == "about" || key.key == "price") continue;
        keys.push_back(std::move(key));
    }
    return keys;
}

// The daily demand of [demand] as a first entry [[use]], so that another one can be added beside it; the
// figures stay the same. What such an entry cannot hold stays where it is.
std::string with_demand_as_use(std::string text) {
    constexpr std::array<std::string_view, 7> moved{
        "daily", "tap_flow", "profile", "weekend_profile", "weekend_factor", "month_factor", "day_variation"};
    std::string lines = "name = \"house\"\nkind = \"other\"\n";
    bool daily = false, profile = false;
    for (auto const& k : scenario_keys(text)) {
        if (k.key.starts_with("use.")) return text;
        if (!k.key.starts_with("demand.")) continue;
        auto const name = k.key.substr(std::string_view("demand.").size());
        if (std::find(moved.begin(), moved.end(), name) == moved.end()) continue;
        daily = daily || name == "daily";
        profile = profile || name == "profile";
        lines += fmt::format("{} = {}\n", name, k.value);
        text = without_key(text, k.key);
    }
    if (!daily) return text;
    if (!profile) lines += fmt::format("profile = [{}]\n", fmt::join(models::household_profile, ", "));
    return with_entry_added(text, "use", lines);
}

}  // namespace

Desk::Answer Desk::start(Request const& request) {
    auto const answers = request.get("answers", std::map<std::string, std::string>());
    auto const given = [&](char const* name) {
        auto const at = answers.find(name);
        return at == answers.end() ? std::string() : at->second;
    };
    StarterTexts texts;
    for (auto const& [name, member] : {std::pair{"units", &StarterTexts::units},
                                       {"title", &StarterTexts::title},
                                       {"place", &StarterTexts::place},
                                       {"weather", &StarterTexts::weather},
                                       {"latitude", &StarterTexts::latitude},
                                       {"longitude", &StarterTexts::longitude},
                                       {"elevation", &StarterTexts::elevation},
                                       {"pump-hp", &StarterTexts::pump_hp},
                                       {"pump-kw", &StarterTexts::pump_kw},
                                       {"wiring", &StarterTexts::wiring},
                                       {"depth", &StarterTexts::depth},
                                       {"switch", &StarterTexts::pressure_switch},
                                       {"tank", &StarterTexts::tank},
                                       {"people", &StarterTexts::persons},
                                       {"backup", &StarterTexts::backup},
                                       {"generator", &StarterTexts::generator},
                                       {"battery-place", &StarterTexts::battery_place},
                                       {"ac", &StarterTexts::ac}})
        texts.*member = given(name);
    auto facts = starter_facts(texts, nullptr);
    auto const path = request.text("path"), weather_path = request.text("weather_path");
    facts.answers.weather_file = facts.answers.weather_is_made ? weather_path : facts.weather;
    Ordered answer{{"text", starter_scenario(facts.answers)}, {"weather", nullptr}};
    if (facts.answers.weather_is_made) {
        auto const csv = starter_weather_csv(facts);
        answer["weather"] = csv;
        if (auto const wrong = put_file(weather_path, csv); !wrong.empty())
            throw std::invalid_argument(wrong);
    }
    if (auto const wrong = put_file(path, answer["text"].get<std::string>()); !wrong.empty())
        throw std::invalid_argument(wrong);
    return {answer};
}

Desk::Answer Desk::describe(Request const& request) {
    auto const system = units_asked(request.text("units"));
    Ordered list = Ordered::array();
    for (auto const& k : scenarios::key_list())
        list.push_back({{"key", std::string(k.key)},
                        {"kind", std::string(k.unit)},
                        {"unit", std::string(field_unit(k.key, system))},
                        {"usual", shown_value(k.key, fmt::format("\"{}\"", k.usual), system)},
                        {"range", shown_range(k.key, system)},
                        {"choices", choices_of(k)},
                        {"more", k.place == scenarios::KeyPlace::more},
                        {"help", std::string(k.help)}});
    return {list};
}

Desk::Answer Desk::keys(Request const& request) {
    auto const system = units_asked(request.text("units"));
    Ordered list = Ordered::array();
    for (auto const& k : scenario_keys(file_.text))
        list.push_back({{"key", k.key},
                        {"entry", k.entry},
                        {"value", k.value},
                        {"shown", shown_value(k.key, k.value, system)},
                        {"note", k.note}});
    return {list};
}

Desk::Answer Desk::use_text(std::string const& text) {
    use(scenarios::read_design_text(text, file_.path));
    return {true, scenarios::base_design(file_).scenario.warnings};
}

Desk::Answer Desk::set_keys(Request const& request) {
    auto const system = units_asked(request.text("units"));
    auto changes = request.get("changes", std::vector<std::map<std::string, std::string>>());
    if (request.json.contains("key"))
        changes.push_back({{"key", request.text("key")}, {"value", request.text("value")}});
    auto text = file_.text;
    for (auto& change : changes)
        text = with_key_set(text, change["key"], typed_as_toml(change["key"], change["value"], system));
    return use_text(text);
}

Desk::Answer Desk::set_text(Request const& request) { return use_text(request.text("text")); }

Desk::Answer Desk::remove(Request const& request) {
    return use_text(without_key(file_.text, request.text("key")));
}

Desk::Answer Desk::removable(Request const& request) {
    Ordered list = Ordered::array();
    for (auto const& key : request.get("keys", std::vector<std::string>())) {
        try {
            (void)scenarios::base_design(
                scenarios::read_design_text(without_key(file_.text, key), file_.path));
            list.push_back(key);
        } catch (std::exception const&) {
            continue;  // the scenario needs it
        }
    }
    return {list};
}

Desk::Answer Desk::add(Request const& request) {
    auto const list = request.text("list");
    auto const text = list == "use" ? with_demand_as_use(file_.text) : file_.text;
    return use_text(with_entry_added(text, list, request.text("lines")));
}

Desk::Answer Desk::save(Request const&) { return {file_.text}; }

Desk::Answer Desk::parts(Request const& request) {
    Ordered list = Ordered::array();
    for (auto const& path : request.get("paths", std::vector<std::string>())) {
        auto const parts = scenarios::read_parts_file(path);
        for (auto const& part : parts.parts) {
            if (part.kind != request.text("kind")) continue;
            Ordered j{
                {"name", part.name}, {"about", part.about}, {"price", nullptr}, {"currency", parts.currency}};
            if (part.price) j["price"] = *part.price;
            list.push_back(std::move(j));
        }
    }
    return {list};
}

Desk::Answer Desk::take_part(Request const& request) {
    auto const name = request.text("name"), table = request.text("table");
    auto const found = parts_of_kind(request.text("kind"), request.get("paths", std::vector<std::string>()));
    auto const part =
        std::find_if(found.begin(), found.end(), [&](scenarios::Part const& p) { return p.name == name; });
    if (part == found.end()) throw std::invalid_argument(fmt::format("there is no part '{}'", name));
    auto const taken = keys_of(*part);
    std::set<std::string> other;  // keys that parts of this kind have, and this one has not
    for (auto const& one : found)
        for (auto const& k : keys_of(one)) other.insert(k.key);
    for (auto const& k : taken) other.erase(k.key);

    std::map<std::string, std::string> before;
    for (auto const& k : scenario_keys(file_.text)) before[k.key] = k.value;
    Ordered changed = Ordered::array();
    auto text = file_.text;
    for (auto const& key : other)
        if (auto const at = before.find(table + "." + key); at != before.end()) {
            text = without_key(text, at->first);
            changed.push_back({{"key", at->first}, {"from", at->second}, {"to", nullptr}});
        }
    for (auto const& k : taken) {
        // A pump brings its motor, an inverter its charger; they are tables of their own.
        auto const dot = k.key.find('.');
        auto const below = dot == std::string::npos ? std::string() : k.key.substr(0, dot);
        constexpr std::array<std::string_view, 3> own{"motor", "charger", "wiring"};
        auto const key = std::find(own.begin(), own.end(), below) == own.end() ? table + "." + k.key : k.key;
        auto const at = before.find(key);
        if (at != before.end() && at->second == k.value) continue;
        text = with_key_set(text, key, k.value);
        Ordered change{{"key", key}, {"from", nullptr}, {"to", k.value}};
        if (at != before.end()) change["from"] = at->second;
        changed.push_back(std::move(change));
    }
    auto answer = use_text(text);
    answer.answer = changed;
    return answer;
}

}  // namespace holdwater::tools
