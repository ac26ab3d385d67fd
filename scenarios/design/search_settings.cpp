#include "scenarios/design/search_settings.hpp"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <array>
#include <stdexcept>

#include "scenarios/text/scenario_error.hpp"
#include "scenarios/text/section.hpp"
#include "scenarios/text/toml_text.hpp"

namespace holdwater::scenarios {
namespace {

constexpr std::size_t most_values = 1000;

void read_requirements(Section s, Requirements& r) {
    auto const at = [&](char const* key, std::optional<double>& field, auto const& read) {
        if (s.has(key)) field = read();
    };
    at("demand_met", r.demand_met, [&] { return s.number("demand_met", {0, 1}); });
    at("shortage_hours", r.shortage_hours, [&] { return s.number("shortage_hours", {0, 8760}); });
    at("longest_shortage", r.longest_shortage, [&] { return s.number("longest_shortage", {0, 8760}); });
    at("generator_run_h", r.generator_run_h, [&] { return s.number("generator_run_h", {0, 8760}); });
    at("fuel", r.fuel_l, [&] { return s.quantity("fuel", "L", {0, 1e6}); });
    at("grid_energy", r.grid_kwh, [&] { return s.quantity("grid_energy", "kWh", {0, 1e6}); });
    at("battery_years", r.battery_life_y, [&] { return s.number("battery_years", {0, 100}); });
    at("purchase", r.purchase, [&] { return s.number("purchase", {0, 1e9}); });
    if (s.has("cloudy_days")) {
        double const days = s.days("cloudy_days", {1, 60});
        r.cloudy_days = static_cast<int>(days);
        if (*r.cloudy_days != days) s.fail("cloudy_days", "must be a whole number of days");
    }
    r.cloudy_clearness = s.number("cloudy_clearness", {0, 0.8}, r.cloudy_clearness);
    r.cloudy_share = s.number("cloudy_share", {0.01, 1}, r.cloudy_share);
    r.starts_within_limit = s.flag("starts_within_limit", r.starts_within_limit);
    if (s.has("motor_start")) {
        using Pair = std::pair<std::string_view, int>;
        int const kind =
            s.choice("motor_start", std::array{Pair{"pass", 1}, Pair{"not failed", 2}, Pair{"any", 0}});
        r.motor_start = kind > 0;
        r.motor_start_may_be_unknown = kind == 2;
    }
    s.finish();
}

SearchAxis read_axis(Section s, toml::table const& table, std::string const& path) {
    SearchAxis axis;
    axis.line = table.source().begin.line;
    axis.name = s.text("name");
    axis.more_never_hurts = s.flag("more_never_hurts", false);
    auto const fail = [&](std::size_t line, std::string const& key, std::string const& what) {
        throw ScenarioError(path, line, "search.axis." + key, what);
    };
    // In the order of the file, because the values of the first key give the names of the choices.
    std::vector<std::pair<std::string, toml::node const*>> keys;
    for (auto const& [key, node] : table)
        if (key.str() != "name" && key.str() != "more_never_hurts" && key.str() != "price" &&
            key.str() != "label")
            keys.emplace_back(key.str(), &node);
    std::stable_sort(keys.begin(), keys.end(), [](auto const& a, auto const& b) {
        return a.second->source().begin.line < b.second->source().begin.line;
    });
    if (keys.empty())
        fail(axis.line, axis.name,
             "names no key to change; give one or more such as \"battery.capacity\" = [\"5 kWh\", \"10 "
             "kWh\"]");
    for (auto const& [key, node] : keys) {
        auto const line = node->source().begin.line;
        auto const* list = node->as_array();
        if (node->is_table()) fail(line, key, "a dotted key needs quotes here: \"battery.capacity\" = [...]");
        if (list == nullptr || list->empty() || list->size() > most_values)
            fail(line, key, fmt::format("must be a list of 1 to {} values", most_values));
        if (axis.values.empty()) axis.values.resize(list->size());
        if (list->size() != axis.values.size())
            fail(line, key,
                 fmt::format("has {} values, {} has {}; the keys of an axis change together", list->size(),
                             keys[0].first, axis.values.size()));
        for (std::size_t i = 0; i < list->size(); ++i) {
            auto const& value = (*list)[i];
            axis.values[i].push_back({key, in_toml(value), line});
            if (key == keys[0].first)
                axis.labels.push_back(value.value<std::string>().value_or(in_toml(value)));
        }
    }
    if (s.has("price")) axis.prices = s.list("price", axis.values.size(), "", {-1e9, 1e9});
    if (s.has("label")) {
        auto const* labels = table["label"].as_array();
        if (labels == nullptr || !labels->is_homogeneous<std::string>() ||
            labels->size() != axis.values.size())
            fail(table.get("label")->source().begin.line, "label",
                 fmt::format("must be a list of {} texts", axis.values.size()));
        axis.labels.clear();
        for (auto const& node : *labels) {
            axis.labels.push_back(*node.value<std::string>());
            if (!in_one_line(axis.labels.back())) fail(node.source().begin.line, "label", must_be_one_line);
        }
    }
    return axis;
}

}  // namespace

std::optional<SearchSettings> read_search(DesignFile const& file) {
    auto const document = parse_toml(file.text, file.path);
    auto const* node = document.get("search");
    if (node == nullptr) return std::nullopt;
    if (!node->is_table())
        throw ScenarioError(file.path, node->source().begin.line, "search",
                            "must be a table, written [search]");
    toml::table const& table = *node->as_table();
    Section s(file.path, "search", table);
    SearchSettings settings;
    using Pair = std::pair<std::string_view, SearchLeast>;
    if (s.has("least"))
        settings.least = s.choice(
            "least", std::array{Pair{"cost", SearchLeast::cost}, Pair{"purchase", SearchLeast::purchase},
                                Pair{"size", SearchLeast::size}});
    if (auto require = s.optional_table("require")) read_requirements(*require, settings.require);
    auto const sections = s.tables("axis");
    for (std::size_t i = 0; i < sections.size(); ++i) {
        auto axis = read_axis(sections[i], *(*table["axis"].as_array())[i].as_table(), file.path);
        for (auto const& other : settings.axes)
            if (other.name == axis.name)
                throw ScenarioError(
                    file.path, axis.line, "search.axis.name",
                    fmt::format("\"{}\" is taken; every axis needs a name of its own", axis.name));
        settings.axes.push_back(std::move(axis));
    }
    s.finish();
    return settings;
}

SearchAxis axis_of(std::string const& key, std::vector<std::string> const& typed_values) {
    SearchAxis axis;
    axis.name = key;
    axis.labels = typed_values;
    for (auto const& value : typed_values) axis.values.push_back({{key, as_toml_value(value), 0}});
    return axis;
}

void set_requirement(Requirements& require, std::string const& text) {
    auto const equals = text.find('=');
    std::string const key = text.substr(0, equals),
                      value = equals == std::string::npos ? "" : text.substr(equals + 1);
    std::string why = "must be a name, an equals sign and a value, such as generator_run_h=50";
    if (equals != std::string::npos) try {
            auto const table = parse_plain(key + " = " + as_toml_value(value));
            read_requirements(Section("--require", "", table), require);
            return;
        } catch (ScenarioError const& error) {
            why = error.what();
            if (auto const at = why.find("key '"); at != std::string::npos) why = why.substr(at);
        } catch (toml::parse_error const&) {
            // It is not a TOML value; see above.
        }
    throw std::invalid_argument(fmt::format("--require \"{}\": {}", text, why));
}

}  // namespace holdwater::scenarios
