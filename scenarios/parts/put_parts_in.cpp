#include "scenarios/parts/put_parts_in.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <string_view>
#include <utility>

#include "scenarios/text/edit_distance.hpp"
#include "scenarios/text/quantity.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "scenarios/text/toml_text.hpp"

namespace holdwater::scenarios {
namespace {

// Sections that a part also fills, besides its own. [booster.pump] fills [booster.motor].
constexpr std::array<std::pair<std::string_view, std::string_view>, 5> companions{{{"pump", "motor"},
                                                                                   {"inverter", "charger"},
                                                                                   {"inverter", "wiring"},
                                                                                   {"generator", "wiring"},
                                                                                   {"battery", "wiring"}}};

void move_in(toml::table& table, std::string_view key, toml::node&& node) {
    node.visit([&](auto& n) { table.insert_or_assign(key, std::move(n)); });
}

// Copies the keys of `from` that `into` does not have; tables below in the same way.
void fill(toml::table& into, toml::table&& from) {
    for (auto&& [key, node] : from) {
        toml::node* const there = into.get(key.str());
        if (there == nullptr)
            move_in(into, key.str(), std::move(node));
        else if (there->is_table() && node.is_table())
            fill(*there->as_table(), std::move(*node.as_table()));
    }
}

class PartsPutter {
  public:
    PartsPutter(toml::table& document, std::vector<PartsList> const& lists, std::string const& path)
        : document_(document), lists_(lists), path_(path) {}

    std::vector<UsedPart> run() {
        if (auto* array = document_["array"].as_table()) section(*array, "array.", "module");
        // Sections get their own parts before parts that include them: the motor before the pump, the charger
        // before the inverter.
        for (std::string_view const kind : {"controller", "battery", "charger", "inverter", "generator",
                                            "drive", "motor", "pump", "tank", "cistern"})
            section(document_, "", kind);
        for (std::string_view const kind : {"pipe", "load", "cable"}) list(document_, "", kind);
        if (auto* booster = document_["booster"].as_table()) {
            for (std::string_view const kind : {"drive", "motor", "pump"})
                section(*booster, "booster.", kind);
            list(*booster, "booster.", "pipe");
        }
        return std::move(used_);
    }

  private:
    void section(toml::table& parent, std::string const& before, std::string_view kind) {
        auto* const table = parent[kind].as_table();
        if (table == nullptr || !table->contains("part")) return;
        toml::table part = take(*table, before + std::string(kind), kind);
        part.erase("name");
        for (auto const& [owner, guest] : companions) {
            auto* const brought = owner == kind ? part[guest].as_table() : nullptr;
            if (brought == nullptr) continue;
            // If the section has a part of its own, that part is used and not the one that this part
            // includes.
            bool const taken = std::any_of(used_.begin(), used_.end(), [&, g = guest](UsedPart const& u) {
                return u.section == before + std::string(g);
            });
            auto* const there = parent.get(guest);
            if (there == nullptr)
                move_in(parent, guest, std::move(*brought));
            else if (!taken && there->is_table())
                fill(*there->as_table(), std::move(*brought));
            part.erase(guest);
        }
        fill(*table, std::move(part));
    }

    void list(toml::table& parent, std::string const& before, std::string_view kind) {
        auto* const entries = parent[kind].as_array();
        if (entries == nullptr) return;
        for (std::size_t i = 0; i < entries->size(); ++i) {
            auto* const table = entries->get(i)->as_table();
            if (table == nullptr || !table->contains("part")) continue;
            fill(*table, take(*table, fmt::format("{}{}.{}", before, kind, i + 1), kind));
        }
    }

    // The keys of the part, with its name. Removes the section's key `part`.
    toml::table take(toml::table& section, std::string const& dotted, std::string_view kind) {
        auto const& node = *section.get("part");
        std::string const place = node.source().path ? *node.source().path : path_;
        std::size_t const line = node.source().path ? node.source().begin.line : 0;
        std::string const key = dotted + ".part";
        auto const name = node.value<std::string>();
        if (!name) throw ScenarioError(place, line, key, "must be the name of a part, a text in quotes");
        if (lists_.empty())
            throw ScenarioError(place, line, key,
                                fmt::format("\"{}\" cannot be found: the scenario names no parts list; write "
                                            "parts = [\"parts\"] at its top",
                                            *name));
        for (auto const& l : lists_)
            for (auto const& p : l.parts)
                if (p.kind == kind && p.name == *name) {
                    used_.push_back({dotted, p.kind, p.name, p.about, l.path, p.price, 1, l.currency});
                    section.erase("part");
                    return keys_of(l, p);
                }
        throw ScenarioError(place, line, key, not_found(*name, kind));
    }

    static toml::table keys_of(PartsList const& list, Part const& part) {
        toml::table parsed = parse_plain(part.text, list.path);
        toml::table keys = std::move(*parsed.get(part.kind)->as_array()->get(0)->as_table());
        keys.erase("about");
        keys.erase("price");
        return keys;
    }

    std::string not_found(std::string const& name, std::string_view kind) const {
        std::vector<std::string> names;
        std::string elsewhere;
        for (auto const& l : lists_)
            for (auto const& p : l.parts) {
                if (p.kind == kind)
                    names.push_back(p.name);
                else if (p.name == name)
                    elsewhere = fmt::format("; there is a {} of that name", p.kind);
            }
        std::string said = fmt::format("there is no {} \"{}\" in the parts lists{}", kind, name, elsewhere);
        std::size_t const all = names.size();
        auto shown = near_names(name, names, 4);
        bool const near = !shown.empty();
        if (!near && all <= 8) shown = names;
        if (shown.empty())
            return said + fmt::format("; they have {} of this kind", all == 0 ? "none" : std::to_string(all));
        said += near ? "; near it are" : "; there are";
        for (std::size_t i = 0; i < shown.size(); ++i)
            said += fmt::format("{} \"{}\"", i == 0 ? "" : ",", shown[i]);
        return said;
    }

    toml::table& document_;
    std::vector<PartsList> const& lists_;
    std::string const& path_;
    std::vector<UsedPart> used_;
};

double number(toml::table const& table, std::string_view key) { return table[key].value_or(1.0); }

double meters(toml::table const& table) {
    return read_quantity(table["length"].value_or(std::string()), "m");
}

}  // namespace

std::vector<PartsList> parts_lists_of(toml::table const& document, std::string const& path) {
    namespace fs = std::filesystem;
    std::vector<PartsList> lists;
    auto const* node = document.get("parts");
    if (node == nullptr) return lists;
    auto const line = node->source().begin.line;
    auto const* names = node->as_array();
    if (names == nullptr || !names->is_homogeneous<std::string>())
        throw ScenarioError(
            path, line, "parts",
            "must be a list of parts lists, files or folders, such as [\"parts/batteries.toml\"]");
    std::size_t parts = 0;
    for (auto const& name : *names) {
        fs::path const given = *name.value<std::string>();
        auto const full =
            (given.is_absolute() ? given : fs::path(path).parent_path() / given).lexically_normal().string();
        std::error_code failure;
        if (!fs::exists(full, failure))
            throw ScenarioError(path, line, "parts",
                                fmt::format("there is no parts list \"{}\" ({})", given.string(), full));
        for (auto const& file : parts_files(full)) {
            lists.push_back(read_parts_file(file));
            parts += lists.back().parts.size();
            if (lists.size() > most_lists || parts > most_parts)
                throw ScenarioError(
                    path, line, "parts",
                    fmt::format("names {} lists with {} parts in all; at most {} lists with {} "
                                "parts are accepted",
                                lists.size(), parts, most_lists, most_parts));
        }
    }
    auto const twice = duplicates(lists);
    if (!twice.empty()) throw twice.front();
    return lists;
}

std::vector<UsedPart> put_parts_in(toml::table& document, std::vector<PartsList> const& lists,
                                   std::string const& path) {
    auto used = PartsPutter(document, lists, path).run();
    document.erase("parts");
    return used;
}

void count_parts(std::vector<UsedPart>& parts, toml::table const& document) {
    for (auto& part : parts) {
        auto const at = document.at_path(
            part.kind == "pipe" || part.kind == "cable"
                ? fmt::format("{}[{}]", part.section.substr(0, part.section.rfind('.')),
                              std::stoul(part.section.substr(part.section.rfind('.') + 1)) - 1)
                : (part.kind == "module" ? std::string("array") : part.section));
        auto const* table = at.as_table();
        if (table == nullptr) continue;
        if (part.kind == "module")
            part.count = number(*table, "modules_in_series") * number(*table, "strings");
        if (part.kind == "battery" && table->contains("unit_voltage"))
            part.count = number(*table, "in_series") * number(*table, "in_parallel");
        if (part.kind == "tank") part.count = number(*table, "count");
        if (part.kind == "pipe" || part.kind == "cable") part.count = meters(*table);
    }
}

}  // namespace holdwater::scenarios
