#include "scenarios/design/design.hpp"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <charconv>
#include <sstream>

#include "scenarios/design/read_prices.hpp"
#include "scenarios/design/read_scenario_document.hpp"
#include "scenarios/parts/put_parts_in.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "scenarios/text/toml_text.hpp"

namespace holdwater::scenarios {
namespace {

std::vector<std::string> parts_of(std::string const& key) {
    std::vector<std::string> parts;
    std::istringstream in(key);
    for (std::string part; std::getline(in, part, '.');) parts.push_back(part);
    return parts;
}

// The keys of an entry [[option.use]], each as many lines below its head as in the file.
std::string lines_of_entry(toml::table const& entry) {
    std::vector<std::pair<std::size_t, std::string>> keys;
    for (auto const& [key, node] : entry)
        keys.emplace_back(node.source().begin.line, fmt::format("\"{}\" = {}", key.str(), in_toml(node)));
    std::sort(keys.begin(), keys.end());
    std::string out;
    std::size_t line = entry.source().begin.line;
    for (auto const& [at, text] : keys) {
        for (; line < at; ++line) out += '\n';
        out += text;
    }
    return out;
}

// Tables with a head of their own, [[option.use]], not written as a value.
bool is_list_of_entries(toml::node const& node) {
    auto const* list = node.as_array();
    return list != nullptr && list->is_homogeneous<toml::table>() && !list->front().as_table()->is_inline();
}

// Every value of a (nested) table with its dotted key. Keys in quotes contain their dots.
void flatten(toml::table const& table, std::string const& before, DesignOption& option) {
    for (auto const& [key, node] : table) {
        std::string const dotted = before + std::string(key.str());
        if (before.empty() && (dotted == "name" || dotted == "remove")) continue;
        if (auto const* inner = node.as_table()) {
            flatten(*inner, dotted + ".", option);
        } else if (is_list_of_entries(node)) {
            for (auto const& entry : *node.as_array())
                option.added.push_back(
                    {dotted, lines_of_entry(*entry.as_table()), entry.source().begin.line});
        } else {
            option.overrides.push_back({dotted, in_toml(node), node.source().begin.line});
        }
    }
}

DesignOption read_option(toml::table const& table, std::string const& path) {
    DesignOption option;
    option.line = table.source().begin.line;
    auto const name = table["name"].value<std::string>();
    if (!name || name->empty())
        throw ScenarioError(path, option.line, "option.name",
                            "every [[option]] needs a name, a text in quotes");
    if (!in_one_line(*name))
        throw ScenarioError(path, table.get("name")->source().begin.line, "option.name", must_be_one_line);
    option.name = *name;
    if (auto const* removed = table.get("remove")) {
        auto const line = removed->source().begin.line;
        auto const* list = removed->as_array();
        if (list == nullptr || !list->is_homogeneous<std::string>())
            throw ScenarioError(path, line, "option.remove",
                                "must be a list of keys or tables such as [\"generator\", \"load.modem\"]");
        for (auto const& node : *list) option.removed.push_back({*node.value<std::string>(), "", line});
    }
    flatten(table, "", option);
    // In the order of the file.
    for (auto* changes : {&option.overrides, &option.added})
        std::stable_sort(changes->begin(), changes->end(),
                         [](Override const& a, Override const& b) { return a.line < b.line; });
    for (auto const& o : option.overrides)
        if (o.key == option_key)
            throw ScenarioError(path, o.line, "option.option",
                                "an option cannot take another one; repeat its keys");
    return option;
}

// A scenario that is being changed. Every node keeps its line: what an option adds is parsed with as many
// empty lines before it. (A copied node loses its line, but VariantReader only moves nodes.)
class Merger {
  public:
    Merger(toml::table document, std::string const& path) : document_(std::move(document)), path_(path) {}
    Merger(Merger const&) = delete;

    void remove(Override const& o) {
        auto const [table, list, last, list_key] = place_of(o, false);
        bool const removed = list != nullptr ? remove_entry(*list, last) : table->erase(last) > 0;
        if (!removed)
            throw ScenarioError(path_, o.line, o.key, "cannot be removed: the scenario does not have it");
        if (list != nullptr && list->empty()) table->erase(list_key);  // as if it had never been written
    }

    void change(DesignFile const& file, DesignOption const& option) {
        for (auto const& o : option.removed) remove(o);
        for (auto const& o : option.added) add(o);
        change(file, option.overrides);
    }
    void change(DesignFile const& file, std::vector<Override> const& changes) {
        for (auto const& o : changes)
            if (o.key != option_key)
                set(o);
            else if (auto const* chosen = chosen_option(file, o))
                change(file, *chosen);
    }

    // Adds an entry at the end of a list of tables, which may be new.
    void add(Override const& o) {
        auto const [table, entry_of, last, list_key] = place_of(o, true);
        toml::node* node = entry_of == nullptr ? table->get(last) : nullptr;
        if (entry_of == nullptr && node == nullptr) {
            table->insert(last, toml::array{});
            node = table->get(last);
        }
        auto* list = node == nullptr ? nullptr : node->as_array();
        bool const tables = list != nullptr && (list->empty() || list->is_homogeneous<toml::table>());
        if (!tables)
            throw ScenarioError(path_, o.line, o.key,
                                fmt::format("is not a list of tables to add to; write [option.{}] to change "
                                            "keys of a table",
                                            o.key));
        toml::table parsed;
        try {
            parsed = parse_plain(std::string(o.line - 1, '\n') + "[[v]] " + o.value, path_);
        } catch (toml::parse_error const&) {
            throw ScenarioError(path_, o.line, o.key, "cannot be read as an entry");
        }
        auto& entry = (*parsed.get("v")->as_array())[0];
        if (auto const name = (*entry.as_table())["name"].value<std::string>();
            name && index_of(*list, *name) < list->size())
            throw ScenarioError(
                path_, o.line, o.key,
                fmt::format("the list has a '{0}' already; change its keys as \"{1}.{0}.KEY\" "
                            "or take it out first with remove = [\"{1}.{0}\"]",
                            *name, o.key));
        list->push_back(std::move(*entry.as_table()));
    }

    void set(Override const& o) {
        auto const [table, list, last, list_key] = place_of(o, true);
        if (list != nullptr)
            throw ScenarioError(path_, o.line, o.key, "is a whole table; name the key in it that changes");
        insert(*table, last, o, o.value);
    }

    toml::table& document() { return document_; }

    // The changed scenario without options, prices and search.
    toml::table const& plain_document() {
        document_.erase("option");
        document_.erase("search");
        if (auto* prices = document_.get("prices")) {
            prices->visit([&](auto& node) { prices_.insert_or_assign("prices", std::move(node)); });
            document_.erase("prices");
        }
        return document_;
    }
    toml::node const* prices() const { return prices_.get("prices"); }

  private:
    struct Place {
        toml::table* table = nullptr;
        toml::array* list = nullptr;  // of `table`, if the last part of the key names an entry of it
        std::string last;
        std::string list_key = {};
    };

    Place place_of(Override const& o, bool create) {
        auto const parts = parts_of(o.key);
        toml::table* table = &document_;
        for (std::size_t i = 0;; ++i) {
            if (parts.empty() || parts[i].empty())
                throw ScenarioError(path_, o.line, o.key, "is not a dotted key");
            if (parts.size() > deepest_key)
                throw ScenarioError(
                    path_, o.line, o.key.substr(0, 40) + "...",
                    fmt::format("has {} parts; at most {} are accepted", parts.size(), deepest_key));
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
            if (i + 1 == parts.size()) return {table, list, parts[i], parts[i - 1]};
            table = entry(*list, parts[i - 1], parts[i], o);
        }
    }

    static std::size_t index_of(toml::array const& list, std::string const& which) {
        for (std::size_t i = 0; i < list.size(); ++i)
            for (auto const* key : {"name", "part"})
                if ((*list[i].as_table())[key].value<std::string>() == which) return i;
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
            for (auto const* key : {"name", "part"})
                if (auto const n = (*node.as_table())[key].value<std::string>()) {
                    known += (known.empty() ? "'" : ", '") + *n + "'";
                    break;
                }
        throw ScenarioError(path_, o.line, o.key,
                            fmt::format("there is no [[{}]] '{}'; {}", name, which,
                                        known.empty() ? fmt::format("give a number from 1 to {}", list.size())
                                                      : "there are " + known));
    }

    toml::node* insert(toml::table& table, std::string const& key, Override const& o,
                       std::string const& value) {
        toml::table parsed;
        try {
            std::string const line = "v = " + value;
            // A node without a path was typed on the command line and is not in a file.
            parsed =
                o.line == 0 ? parse_plain(line) : parse_plain(std::string(o.line - 1, '\n') + line, path_);
        } catch (toml::parse_error const&) {
            throw ScenarioError(path_, o.line, o.key, fmt::format("\"{}\" is not a value", value));
        }
        parsed.get("v")->visit([&](auto& node) { table.insert_or_assign(key, std::move(node)); });
        return table.get(key);
    }

    toml::table document_, prices_;
    std::string const& path_;
};

// The scenario of a changed document, without its text.
Design read_changed(Merger& merger, DesignFile const& file) {
    Design design;
    auto parts = put_parts_in(merger.document(), file.parts, file.path);
    auto const& document = merger.plain_document();
    design.scenario = read_scenario_document(document, file.path, file.stored_demand);
    count_parts(parts, document);
    design.scenario.parts = std::move(parts);
    if (auto const* prices = merger.prices()) design.prices = read_prices(*prices, design.scenario);
    return design;
}

// The same with its text; errors name the option.
Design read_merged(Merger& merger, DesignFile const& file, std::string const& name, std::string const& who) {
    Design design;
    try {
        design = read_changed(merger, file);
        design.name = name;
        design.scenario.text = text_of(merger.plain_document());
    } catch (ScenarioError const& error) {
        throw error.within(who);
    }
    return design;
}

}  // namespace

DesignFile read_design_text(std::string const& text, std::string const& path) {
    DesignFile file{path, text, {}, {}, nullptr};
    auto const document = parse_toml(text, path);
    file.parts = parts_lists_of(document, path);
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
    return read_design_text(text_of_file(path, "scenario file (TOML)"), path);
}

Design base_design(DesignFile const& file) {
    Merger merger(parse_toml(file.text, file.path), file.path);
    auto design = read_merged(merger, file, base_name, "");
    if (design.scenario.parts.empty()) design.scenario.text = file.text;
    return design;
}

Design option_design(DesignFile const& file, DesignOption const& option) {
    Merger merger(parse_toml(file.text, file.path), file.path);
    std::string const who = option.name.empty() ? "" : fmt::format("option \"{}\": ", option.name);
    merger.change(file, option);
    return read_merged(merger, file, option.name, who);
}

struct VariantReader::Parsed {
    toml::table document;
};

VariantReader::VariantReader(DesignFile file, DesignOption base)
    : file_(std::move(file)), base_(std::move(base)) {
    Merger merger(parse_toml(file_.text, file_.path), file_.path);
    merger.change(file_, base_);
    for (char const* other : {"option", "search"}) merger.document().erase(other);
    parsed_ = std::make_shared<Parsed const>(Parsed{std::move(merger.document())});
    (void)scenario({});
}

Scenario VariantReader::scenario(std::vector<Override> const& changes) const {
    auto const ordered = options_first(changes);
    try {
        Merger merger(toml::table(parsed_->document), file_.path);
        merger.change(file_, ordered);
        return read_changed(merger, file_).scenario;
    } catch (ScenarioError const&) {
        // A copy does not know the lines that the message must name.
        auto option = base_;
        option.overrides.insert(option.overrides.end(), ordered.begin(), ordered.end());
        return option_design(file_, option).scenario;
    }
}

namespace {

DesignOption const& option_named(DesignFile const& file, std::string const& name, Override const& asked) {
    std::string known;
    for (auto const& option : file.options) {
        if (option.name == name) return option;
        known += (known.empty() ? "\"" : ", \"") + option.name + "\"";
    }
    throw ScenarioError(file.path, asked.line, asked.key,
                        fmt::format("there is no option \"{}\"; {}", name,
                                    known.empty() ? "the scenario has none" : "there are " + known));
}

}  // namespace

DesignOption const* chosen_option(DesignFile const& file, Override const& choice) {
    std::optional<std::string> name;
    try {
        auto const parsed = parse_plain("v = " + choice.value);
        name = parsed["v"].value_exact<std::string>();
    } catch (toml::parse_error const&) {
        // Reported below.
    }
    if (!name)
        throw ScenarioError(file.path, choice.line, choice.key,
                            fmt::format("{} is not the name of an option, a text in quotes", choice.value));
    return *name == base_name ? nullptr : &option_named(file, *name, choice);
}

std::vector<Override> options_first(std::vector<Override> changes) {
    std::stable_partition(changes.begin(), changes.end(),
                          [](Override const& o) { return o.key == option_key; });
    return changes;
}

Design named_design(DesignFile const& file, std::string const& option_name) {
    if (option_name.empty() || option_name == base_name) return base_design(file);
    return option_design(file, option_named(file, option_name, {}));
}

std::string as_toml_value(std::string const& typed) {
    try {
        auto const parsed = parse_plain("v = " + typed);
        if (parsed.size() == 1 && !parsed.get("v")->is_date() && !parsed.get("v")->is_time()) return typed;
    } catch (toml::parse_error const&) {
        // It is not a TOML value, so it is a text.
    }
    std::ostringstream out;
    out << toml::value<std::string>(typed);
    return out.str();
}

}  // namespace holdwater::scenarios
