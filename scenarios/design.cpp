#include "scenarios/design.hpp"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <sstream>

#include "scenarios/scenario_error.hpp"
#include "scenarios/section.hpp"

namespace holdwater::scenarios {
namespace {

toml::table parse(std::string const& text, std::string const& path) {
    try {
        return toml::parse(text, path);
    } catch (toml::parse_error const& error) {
        throw ScenarioError(path, error.source().begin.line, "",
                            fmt::format("not a TOML file: {}", error.description()));
    }
}

std::vector<std::string> parts_of(std::string const& key) {
    std::vector<std::string> parts;
    std::istringstream in(key);
    for (std::string part; std::getline(in, part, '.');) parts.push_back(part);
    return parts;
}

std::string in_toml(toml::node const& node) {
    std::ostringstream out;
    node.visit([&](auto const& n) { out << n; });
    return out.str();
}

// Every value of a (nested) table with its dotted key. Keys in quotes hold their dots themselves.
void flatten(toml::table const& table, std::string const& before, std::vector<Override>& out) {
    for (auto const& [key, node] : table) {
        std::string const dotted = before + std::string(key.str());
        if (before.empty() && (dotted == "name" || dotted == "remove")) continue;
        if (auto const* inner = node.as_table())
            flatten(*inner, dotted + ".", out);
        else
            out.push_back({dotted, in_toml(node), node.source().begin.line});
    }
}

DesignOption read_option(toml::table const& table, std::string const& path) {
    DesignOption option;
    option.line = table.source().begin.line;
    auto const name = table["name"].value<std::string>();
    if (!name || name->empty())
        throw ScenarioError(path, option.line, "option.name",
                            "every [[option]] needs a name, a text in quotes");
    option.name = *name;
    if (auto const* removed = table.get("remove")) {
        auto const line = removed->source().begin.line;
        auto const* list = removed->as_array();
        if (list == nullptr || !list->is_homogeneous<std::string>())
            throw ScenarioError(path, line, "option.remove",
                                "must be a list of keys or tables such as [\"generator\", \"load.modem\"]");
        for (auto const& node : *list) option.removed.push_back({*node.value<std::string>(), "", line});
    }
    flatten(table, "", option.overrides);
    // In the order of the file, as a designer reads it.
    std::stable_sort(option.overrides.begin(), option.overrides.end(),
                     [](Override const& a, Override const& b) { return a.line < b.line; });
    return option;
}

// A scenario being changed. Every node keeps the line it came from: what an option brings in is parsed with
// as many empty lines before it. (A copied node forgets its line; here nodes are moved only.)
class Merger {
  public:
    Merger(toml::table document, std::string const& path) : document_(std::move(document)), path_(path) {}
    Merger(Merger const&) = delete;

    void remove(Override const& o) {
        auto const [table, list, last] = place_of(o, false);
        bool const removed = list != nullptr ? remove_entry(*list, last) : table->erase(last) > 0;
        if (!removed)
            throw ScenarioError(path_, o.line, o.key, "cannot be removed: the scenario does not have it");
    }

    void set(Override const& o) {
        auto const [table, list, last] = place_of(o, true);
        if (list != nullptr)
            throw ScenarioError(path_, o.line, o.key, "is a whole table; name the key in it that changes");
        insert(*table, last, o, o.value);
    }

    toml::table const& document() const { return document_; }

    // The changed scenario as text, without options, prices and search, and where each of its lines came from
    // (0: not from the file).
    std::string text(std::map<std::size_t, std::size_t>& line_of) const {
        toml::table plain = document_;
        plain.erase("option");
        plain.erase("prices");
        plain.erase("search");
        std::ostringstream out;
        out << toml::toml_formatter(plain) << "\n";
        auto const again = toml::parse(out.str(), path_);
        match(document_, again, line_of);
        return out.str();
    }

  private:
    struct Place {
        toml::table* table;
        toml::array* list;  // when the last part names an entry of it
        std::string last;
    };

    Place place_of(Override const& o, bool create) {
        auto const parts = parts_of(o.key);
        toml::table* table = &document_;
        for (std::size_t i = 0;; ++i) {
            if (parts.empty() || parts[i].empty())
                throw ScenarioError(path_, o.line, o.key, "is not a dotted key");
            if (i + 1 == parts.size()) return {table, nullptr, parts[i]};
            toml::node* child = table->get(parts[i]);
            if (child == nullptr) {
                if (!create) return {table, nullptr, parts[i]};
                child = insert(*table, parts[i], o, "{}");
                child->as_table()->is_inline(false);
            }
            if (auto* inner = child->as_table()) {
                table = inner;
                continue;
            }
            auto* list = child->as_array();
            if (list == nullptr || !list->is_homogeneous<toml::table>())
                throw ScenarioError(path_, o.line, o.key,
                                    fmt::format("'{}' is a value and has no keys of its own", parts[i]));
            ++i;
            if (i + 1 == parts.size()) return {nullptr, list, parts[i]};
            table = entry(*list, parts[i - 1], parts[i], o);
        }
    }

    static std::size_t index_of(toml::array const& list, std::string const& which) {
        for (std::size_t i = 0; i < list.size(); ++i)
            if ((*list[i].as_table())["name"].value<std::string>() == which) return i;
        std::size_t number = 0;
        auto const end = which.data() + which.size();
        if (std::from_chars(which.data(), end, number).ptr == end && number >= 1 && number <= list.size())
            return number - 1;
        return list.size();
    }

    static bool remove_entry(toml::array& list, std::string const& which) {
        auto const index = index_of(list, which);
        if (index == list.size()) return false;
        list.erase(list.begin() + static_cast<std::ptrdiff_t>(index));
        return true;
    }

    toml::table* entry(toml::array& list, std::string const& name, std::string const& which,
                       Override const& o) {
        auto const index = index_of(list, which);
        if (index < list.size()) return list[index].as_table();
        std::string known;
        for (auto const& node : list)
            if (auto const n = (*node.as_table())["name"].value<std::string>())
                known += (known.empty() ? "'" : ", '") + *n + "'";
        throw ScenarioError(path_, o.line, o.key,
                            fmt::format("there is no [[{}]] '{}'; {}", name, which,
                                        known.empty() ? fmt::format("give a number from 1 to {}", list.size())
                                                      : "there are " + known));
    }

    toml::node* insert(toml::table& table, std::string const& key, Override const& o,
                       std::string const& value) {
        toml::table parsed;
        try {
            parsed = toml::parse(std::string(o.line > 0 ? o.line - 1 : 0, '\n') + "v = " + value, path_);
        } catch (toml::parse_error const&) {
            throw ScenarioError(path_, o.line, o.key, fmt::format("\"{}\" is not a value", value));
        }
        parsed.get("v")->visit([&](auto& node) { table.insert_or_assign(key, std::move(node)); });
        toml::node* const inserted = table.get(key);
        if (o.line == 0) typed_.insert(inserted);
        return inserted;
    }

    // Of nodes that share a line the outermost counts: it is the key's own value.
    void match(toml::node const& here, toml::node const& again,
               std::map<std::size_t, std::size_t>& line_of) const {
        auto const note = [&] {
            line_of.emplace(again.source().begin.line, typed_.contains(&here) ? 0 : here.source().begin.line);
        };
        bool const root = &here == &document_;
        if (!root) note();
        if (auto const* table = again.as_table()) {
            for (auto const& [key, node] : *table) match(*here.as_table()->get(key.str()), node, line_of);
        } else if (auto const* list = again.as_array();
                   list != nullptr && list->is_homogeneous<toml::table>()) {
            for (std::size_t i = 0; i < list->size(); ++i) match((*here.as_array())[i], (*list)[i], line_of);
        }
        if (root) note();
    }

    toml::table document_;
    std::string const& path_;
    std::set<toml::node const*> typed_;  // not from the file
};

// Runs `read`; an error at a line of the changed text is said at the line it came from, with the option. An
// empty `line_of`: the lines are the file's already.
template <class Read>
auto with_lines(std::string const& path, std::string const& who,
                std::map<std::size_t, std::size_t> const& line_of, Read const& read) {
    try {
        return read();
    } catch (ScenarioError const& error) {
        std::string const what = error.what(), start = path + ":";
        if (!what.starts_with(start)) throw;
        std::size_t line = 0;
        auto const [end, failure] =
            std::from_chars(what.data() + start.size(), what.data() + what.size(), line);
        std::string_view rest(end, static_cast<std::size_t>(what.data() + what.size() - end));
        if (rest.starts_with(": ")) rest.remove_prefix(2);
        auto const from = line_of.find(line);
        throw ScenarioError(path,
                            line_of.empty()         ? line
                            : from == line_of.end() ? 0
                                                    : from->second,
                            "", who + std::string(rest));
    }
}

Prices read_prices(Section s, Scenario const& scenario) {
    constexpr Range money{0, 1e9};
    Prices p;
    p.currency = s.text("currency", "");
    p.purchase = s.number("purchase", money);
    p.fuel_per_litre = scenario.rules.backup == Backup::generator ? s.number("fuel_per_litre", {0, 1000})
                                                                  : s.number("fuel_per_litre", {0, 1000}, 0);
    p.grid_per_kwh = scenario.rules.backup == Backup::grid ? s.number("grid_per_kwh", {0, 1000})
                                                           : s.number("grid_per_kwh", {0, 1000}, 0);
    p.maintenance_per_year = s.number("maintenance_per_year", money, 0);
    p.generator_upkeep_per_hour = s.number("generator_upkeep_per_hour", {0, 1e4}, 0);
    p.bank_replacement = s.number("bank_replacement", money, 0);
    auto const& life = scenario.bank_life;
    bool const reckoned =
        life.cycle_life || std::isfinite(life.calendar_life_y) || std::isfinite(life.throughput_life_kwh);
    bool const given = s.has("bank_life_years");
    if (p.bank_replacement > 0 && (given || !reckoned))
        p.bank_life_y = s.number("bank_life_years", {0.5, 100});
    p.years = s.number("years", {1, 100});
    p.discount_rate = s.number("discount_rate", {-0.05, 0.5});
    s.finish();
    return p;
}

Design read_merged(Merger const& merger, DesignFile const& file, std::string const& name,
                   std::string const& who) {
    std::map<std::size_t, std::size_t> line_of;
    std::string const text = merger.text(line_of);
    Design design;
    design.name = name;
    design.scenario =
        with_lines(file.path, who, line_of, [&] { return read_scenario_text(text, file.path); });
    if (auto const* prices = merger.document().get("prices")) {
        if (!prices->is_table())
            throw ScenarioError(file.path, prices->source().begin.line, "prices",
                                "must be a table, written [prices]");
        QuantityReader const quantities;
        design.prices = with_lines(file.path, who, {}, [&] {
            return read_prices(Section(file.path, "prices", *prices->as_table(), quantities),
                               design.scenario);
        });
    }
    return design;
}

}  // namespace

DesignFile read_design_text(std::string const& text, std::string const& path) {
    DesignFile file{path, text, {}};
    auto const document = parse(text, path);
    auto const* options = document.get("option");
    if (options == nullptr) return file;
    auto const* list = options->as_array();
    if (list == nullptr || !list->is_homogeneous<toml::table>())
        throw ScenarioError(path, options->source().begin.line, "option",
                            "must be one or more tables, each written [[option]]");
    for (auto const& node : *list) {
        auto option = read_option(*node.as_table(), path);
        bool const taken = option.name == base_name ||
                           std::any_of(file.options.begin(), file.options.end(),
                                       [&](DesignOption const& o) { return o.name == option.name; });
        if (taken)
            throw ScenarioError(
                path, option.line, "option.name",
                fmt::format("\"{}\" is taken; every option needs a name of its own", option.name));
        file.options.push_back(std::move(option));
    }
    return file;
}

DesignFile read_design_file(std::string const& path) {
    std::error_code failure;
    if (std::filesystem::is_directory(path, failure))
        throw ScenarioError(path, 0, "", "is a folder; give a scenario file (TOML)");
    std::ifstream in(path, std::ios::binary);
    if (!in) throw ScenarioError(path, 0, "", "cannot be read; give the path of a scenario file (TOML)");
    std::ostringstream text;
    text << in.rdbuf();
    return read_design_text(text.str(), path);
}

Design base_design(DesignFile const& file) {
    auto document = parse(file.text, file.path);
    if (!document.contains("option") && !document.contains("prices") && !document.contains("search"))
        return {base_name, read_scenario_text(file.text, file.path), std::nullopt};
    Merger const merger(std::move(document), file.path);
    auto design = read_merged(merger, file, base_name, "");
    design.scenario.text = file.text;
    return design;
}

Design option_design(DesignFile const& file, DesignOption const& option) {
    Merger merger(parse(file.text, file.path), file.path);
    std::string const who = option.name.empty() ? "" : fmt::format("option \"{}\": ", option.name);
    for (auto const& o : option.removed) merger.remove(o);
    for (auto const& o : option.overrides) merger.set(o);
    return read_merged(merger, file, option.name, who);
}

Design named_design(DesignFile const& file, std::string const& option_name) {
    if (option_name.empty() || option_name == base_name) return base_design(file);
    std::string known;
    for (auto const& option : file.options) {
        if (option.name == option_name) return option_design(file, option);
        known += (known.empty() ? "\"" : ", \"") + option.name + "\"";
    }
    throw ScenarioError(file.path, 0, "",
                        fmt::format("there is no option \"{}\"; {}", option_name,
                                    known.empty() ? "the scenario has none" : "there are " + known));
}

std::string as_toml_value(std::string const& typed) {
    try {
        auto const parsed = toml::parse("v = " + typed);
        if (parsed.size() == 1 && !parsed.get("v")->is_date() && !parsed.get("v")->is_time()) return typed;
    } catch (toml::parse_error const&) {
        // Not a value by itself: a text.
    }
    std::ostringstream out;
    out << toml::value<std::string>(typed);
    return out.str();
}

}  // namespace holdwater::scenarios
