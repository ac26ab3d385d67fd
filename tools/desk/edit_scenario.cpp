#include "tools/desk/edit_scenario.hpp"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <cstddef>
#include <stdexcept>
#include <utility>
#include <vector>

namespace holdwater::tools {
namespace {

// The parts of a dotted key; a part in quotation marks may contain dots.
std::vector<std::string> parts_of(std::string_view key) {
    std::vector<std::string> parts(1);
    bool quoted = false;
    for (char const c : key)
        if (c == '"')
            quoted = !quoted;
        else if (c == '.' && !quoted)
            parts.emplace_back();
        else
            parts.back() += c;
    return parts;
}

// A part of a key as TOML has it: in quotation marks where it needs them.
std::string as_part(std::string_view part) {
    bool const bare = !part.empty() && part.find_first_not_of(
                                           "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
                                           "0123456789_-") == std::string_view::npos;
    return bare ? std::string(part) : fmt::format("\"{}\"", part);
}

// Where a line and a column, both from 1, are in the text; columns count characters, not bytes.
std::size_t offset_of(std::string const& text, toml::source_position position) {
    std::size_t at = 0;
    for (auto line = position.line; line > 1; --line) at = text.find('\n', at) + 1;
    for (auto column = position.column; column > 1 && at < text.size(); --column) {
        ++at;
        while (at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0U) == 0x80U) ++at;
    }
    return at;
}

toml::table parsed(std::string const& text) {
    try {
        return toml::parse(text);
    } catch (toml::parse_error const& error) {
        throw std::invalid_argument(std::string(error.description()));
    }
}

// The comment behind a value that ends at `from`; empty where the line goes on with something else.
std::string note_behind(std::string const& text, std::size_t from) {
    auto const stop = std::min(text.find('\n', from), text.size());
    auto const sign = text.find_first_not_of(" \t\r", from);
    if (sign >= stop || text[sign] != '#') return {};
    auto const first = text.find_first_not_of(" \t\r", sign + 1);
    if (first >= stop) return {};
    return text.substr(first, text.find_last_not_of(" \t\r", stop - 1) - first + 1);
}

struct PlacedKey {
    std::size_t at = 0;
    ScenarioKey key{};
};

// The keys of a table; `before` is what their names begin with ("pipe.2.").
void collect_keys(std::string const& text, toml::table const& table, std::string const& before,
                  std::string const& entry, std::vector<PlacedKey>& into) {
    for (auto const& [name, node] : table) {
        auto const key = before + as_part(name.str());
        auto const* inner = node.as_table();
        auto const* list = node.as_array();
        if (inner != nullptr && !inner->is_inline()) {
            collect_keys(text, *inner, key + ".", entry, into);
        } else if (list != nullptr && list->is_homogeneous<toml::table>()) {
            for (std::size_t i = 0; i < list->size(); ++i) {
                auto const& one = *list->get(i)->as_table();
                auto const given = one["name"].value<std::string>();
                collect_keys(text, one, fmt::format("{}.{}.", key, i + 1),
                             given ? *given : one["part"].value_or(std::string()), into);
            }
        } else {
            auto const from = offset_of(text, node.source().begin), to = offset_of(text, node.source().end);
            into.push_back({from, {key, entry, text.substr(from, to - from), note_behind(text, to)}});
        }
    }
}

toml::table const& entry_of(toml::array const& list, std::string const& named, std::string_view key) {
    for (std::size_t i = 0; i < list.size(); ++i) {
        auto const* entry = list[i].as_table();
        if (entry != nullptr &&
            (named == std::to_string(i + 1) || (*entry)["name"].value<std::string>() == named ||
             (*entry)["part"].value<std::string>() == named))
            return *entry;
    }
    throw std::invalid_argument(fmt::format("key '{}': there is no entry '{}'", key, named));
}

// The end of a table's own lines: before the next header, blank lines and comments above it left there.
std::size_t end_of_table(std::string const& text, std::size_t from) {
    std::size_t end = from, at = from;
    while (at < text.size()) {
        auto const stop = std::min(text.find('\n', at), text.size());
        auto const first = text.find_first_not_of(" \t\r", at);
        if (first < stop && text[first] == '[' && at != from) break;
        if (first < stop && text[first] != '#') end = stop;
        at = stop + 1;
    }
    return std::min(end, text.size());
}

// From the beginning of the line in which `at` is.
std::size_t line_start(std::string const& text, std::size_t at) {
    auto const before = at == 0 ? std::string::npos : text.rfind('\n', at - 1);
    return before == std::string::npos ? 0 : before + 1;
}
// The beginning of the line after the one in which `at` is.
std::size_t next_line(std::string const& text, std::size_t at) {
    auto const end = text.find('\n', at);
    return end == std::string::npos ? text.size() : end + 1;
}

// A table's own lines and those of the tables below it, whose headers begin with the same name.
std::pair<std::size_t, std::size_t> lines_of_table(std::string const& text, toml::table const& table,
                                                   std::string const& name, bool with_below) {
    auto const from = line_start(text, offset_of(text, table.source().begin));
    auto end = std::min(end_of_table(text, from) + 1, text.size());
    while (with_below && end < text.size()) {
        auto const sign = text.find_first_not_of(" \t\r\n", end);
        if (sign == std::string::npos) break;
        auto const head = text.compare(sign, 2, "[[") == 0 ? sign + 2 : sign + 1;
        if (text[sign] != '[' || text.compare(head, name.size() + 1, name + ".") != 0) break;
        end = std::min(end_of_table(text, sign) + 1, text.size());
    }
    return {from, end};
}

}  // namespace

std::string without_key(std::string const& text, std::string_view key) {
    auto const document = parsed(text);
    auto const parts = parts_of(key);
    auto const missing = [&] {
        return std::invalid_argument(fmt::format("key '{}' is not in the scenario", key));
    };
    toml::table const* table = &document;
    std::string name;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        bool const last = i + 1 == parts.size();
        auto const* node = table->get(parts[i]);
        if (node == nullptr) throw missing();
        name += (name.empty() ? "" : ".") + parts[i];
        auto const* list = node->as_array();
        if (list != nullptr && list->is_homogeneous<toml::table>() && !last) {
            table = &entry_of(*list, parts[++i], key);
            if (i + 1 < parts.size()) continue;
            auto const [from, to] = lines_of_table(text, *table, name, true);
            return text.substr(0, from) + text.substr(to);
        }
        if (auto const* inner = node->as_table(); inner != nullptr && !inner->is_inline()) {
            table = inner;
            if (!last) continue;
            auto const [from, to] = lines_of_table(text, *inner, name, true);
            return text.substr(0, from) + text.substr(to);
        }
        if (!last) throw missing();
        if (table->is_inline())
            throw std::invalid_argument(
                fmt::format("key '{}': write its table in lines of its own first", key));
        auto const from = line_start(text, offset_of(text, node->source().begin));
        return text.substr(0, from) + text.substr(next_line(text, offset_of(text, node->source().end)));
    }
    throw missing();
}

std::string with_entry_added(std::string const& text, std::string const& list, std::string const& lines) {
    auto const document = parsed(text);
    auto const parts = parts_of(list);
    toml::table const* table = &document;
    toml::node const* node = nullptr;
    for (auto const& part : parts) {
        node = table == nullptr ? nullptr : table->get(part);
        table = node == nullptr ? nullptr : node->as_table();
    }
    auto const entry = fmt::format("[[{}]]\n{}", list, lines);
    auto const* entries = node == nullptr ? nullptr : node->as_array();
    if (entries == nullptr || entries->empty() || !entries->is_homogeneous<toml::table>())
        return text + (text.empty() || text.ends_with('\n') ? "" : "\n") + "\n" + entry;
    auto const& last = *entries->back().as_table();
    if (last.is_inline())
        throw std::invalid_argument(
            fmt::format("key '{}': write its entries in lines of their own first", list));
    auto const to = lines_of_table(text, last, list, true).second;
    return text.substr(0, to) + (text[to - 1] == '\n' ? "" : "\n") + "\n" + entry + text.substr(to);
}

std::string with_key_set(std::string const& text, std::string_view key, std::string const& value) {
    auto const document = parsed(text);
    auto const parts = parts_of(key);
    toml::table const* table = &document;
    std::string header;
    for (std::size_t i = 0; i + 1 < parts.size(); ++i) {
        auto const* node = table->get(parts[i]);
        header += (header.empty() ? "" : ".") + as_part(parts[i]);
        if (node == nullptr) {
            for (std::size_t j = i + 1; j + 1 < parts.size(); ++j) header += "." + as_part(parts[j]);
            auto const gap = text.empty() || text.ends_with('\n') ? "" : "\n";
            return fmt::format("{}{}\n[{}]\n{} = {}\n", text, gap, header, as_part(parts.back()), value);
        }
        if (auto const* list = node->as_array()) {
            if (i + 2 >= parts.size())
                throw std::invalid_argument(
                    fmt::format("key '{}': name the entry of the list '{}'", key, header));
            table = &entry_of(*list, parts[++i], key);
        } else if (node->is_table()) {
            table = node->as_table();
        } else {
            throw std::invalid_argument(fmt::format("key '{}': '{}' is no table", key, header));
        }
    }
    if (auto const* node = table->get(parts.back())) {
        if (node->is_table() || (node->is_array() && node->as_array()->is_homogeneous<toml::table>()))
            throw std::invalid_argument(fmt::format("key '{}' is a table, not a value", key));
        auto const from = offset_of(text, node->source().begin), to = offset_of(text, node->source().end);
        return text.substr(0, from) + value + text.substr(to);
    }
    auto const line = fmt::format("{} = {}", as_part(parts.back()), value);
    if (table == &document) {
        // Before the first table, whose header ends the keys of the top.
        auto const first = text.find("\n[");
        auto const at = text.starts_with('[') ? 0 : first == std::string::npos ? text.size() : first + 1;
        return text.substr(0, at) + (at > 0 && text[at - 1] != '\n' ? "\n" : "") + line + "\n" +
               text.substr(at);
    }
    if (table->is_inline())
        throw std::invalid_argument(fmt::format("key '{}': write its table in lines of its own first", key));
    auto const end = end_of_table(text, offset_of(text, table->source().begin));
    return text.substr(0, end) + "\n" + line + text.substr(end);
}

std::vector<ScenarioKey> scenario_keys(std::string const& text) {
    std::vector<PlacedKey> placed;
    collect_keys(text, parsed(text), {}, {}, placed);
    std::sort(placed.begin(), placed.end(),
              [](PlacedKey const& a, PlacedKey const& b) { return a.at < b.at; });
    std::vector<ScenarioKey> keys;
    keys.reserve(placed.size());
    for (auto& one : placed) keys.push_back(std::move(one.key));
    return keys;
}

}  // namespace holdwater::tools
