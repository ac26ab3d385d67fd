#include "scenarios/parts/parts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <sstream>

#include "scenarios/text/section.hpp"
#include "scenarios/text/toml_text.hpp"

namespace holdwater::scenarios {
namespace {

std::string known_kinds() {
    std::string list;
    for (auto const& k : part_kinds()) list += (list.empty() ? "" : ", ") + std::string(k.kind);
    return list;
}

bool is_kind(std::string_view name) {
    auto const& kinds = part_kinds();
    return std::any_of(kinds.begin(), kinds.end(), [&](PartKind const& k) { return k.kind == name; });
}

// Lines [from, to) of the text, counted from 1, with empty lines instead of those before them.
std::string lines_between(std::string const& text, std::size_t from, std::size_t to) {
    std::istringstream in(text);
    std::string out(from - 1, '\n');
    std::string line;
    for (std::size_t n = 1; n < to && std::getline(in, line); ++n)
        if (n >= from) out += line + "\n";
    return out;
}

Part read_part(Section s, std::string const& kind) {
    Part part;
    part.kind = kind;
    part.name = s.text("name");
    if (part.name.empty()) s.fail("name", "must not be empty");
    part.about = s.text("about", "");
    if (s.has("price")) part.price = s.number("price", {0, 1e9});
    return part;
}

}  // namespace

std::vector<PartKind> const& part_kinds() {
    static std::vector<PartKind> const kinds{{"module", "for [array.module]"},
                                             {"controller", "for [controller]"},
                                             {"battery", "for [battery]"},
                                             {"inverter", "for [inverter], may bring [charger]"},
                                             {"charger", "for [charger]"},
                                             {"generator", "for [generator]"},
                                             {"pump", "for [pump] and [booster.pump], may bring its motor"},
                                             {"motor", "for [motor] and [booster.motor]"},
                                             {"drive", "for [drive] and [booster.drive]"},
                                             {"pipe", "for [[pipe]] and [[booster.pipe]]"},
                                             {"tank", "for [tank]"},
                                             {"cistern", "for [cistern]"},
                                             {"load", "for [[load]]"},
                                             {"cable", "for [[cable]]"}};
    return kinds;
}

namespace {

// The text of each part keeps its line numbers with an empty line for each line above it, so time and memory
// grow with lines times parts.
void check_size(std::string const& text, std::string const& path) {
    auto const lines = static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
    if (lines > most_parts_lines)
        throw ScenarioError(
            path, most_parts_lines + 1, "",
            fmt::format("a parts list has at most {} lines; split it into several lists", most_parts_lines));
}

}  // namespace

PartsList read_parts_text(std::string const& text, std::string const& path) {
    check_size(text, path);
    auto const document = parse_toml(text, path);
    Section root(path, "", document);
    PartsList list;
    list.path = path;
    list.about = root.text("about", "");
    list.currency = root.text("currency", "");
    std::vector<std::size_t> begins;
    for (auto const& [key, node] : document) {
        std::string const kind(key.str());
        if (kind == "about" || kind == "currency") continue;
        if (!is_kind(kind))
            root.fail(kind, "is not a kind of part; accepted: " + known_kinds() +
                                " (and 'about', 'currency' for the list)");
        for (Section& s : root.tables(kind)) list.parts.push_back(read_part(s, kind));
        auto const& entries = *node.as_array();
        for (std::size_t i = 0; i < entries.size(); ++i) {
            auto& part = list.parts[list.parts.size() - entries.size() + i];
            part.line = entries[i].source().begin.line;
            if (begins.size() == most_parts)
                throw ScenarioError(path, part.line, kind,
                                    fmt::format("a parts list has at most {} parts; split it into several "
                                                "lists",
                                                most_parts));
            begins.push_back(part.line);
        }
    }
    std::sort(begins.begin(), begins.end());
    begins.push_back(static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n')) + 2);
    for (auto& part : list.parts) {
        part.text =
            lines_between(text, part.line, *std::upper_bound(begins.begin(), begins.end(), part.line));
        auto const whole = std::find_if(
            document.get(part.kind)->as_array()->begin(), document.get(part.kind)->as_array()->end(),
            [&](toml::node const& node) { return node.source().begin.line == part.line; });
        bool alone = false;
        try {
            auto const again = parse_plain(part.text);
            alone = again.size() == 1 && again.get(part.kind)->as_array()->size() == 1 &&
                    *again.get(part.kind)->as_array()->get(0)->as_table() == *whole->as_table();
        } catch (toml::parse_error const&) {
            // Reported below.
        }
        if (!alone)
            throw ScenarioError(path, part.line, part.kind,
                                fmt::format("must be written [[{0}]], with its keys and its tables "
                                            "([{0}.NAME]) right below it",
                                            part.kind));
    }
    std::stable_sort(list.parts.begin(), list.parts.end(),
                     [](Part const& a, Part const& b) { return a.line < b.line; });
    return list;
}

std::vector<std::string> parts_files(std::string const& path) {
    namespace fs = std::filesystem;
    std::error_code failure;
    if (!fs::is_directory(path, failure)) return {path};
    std::vector<std::string> files;
    for (auto const& entry : fs::directory_iterator(path, failure))
        if (entry.path().extension() == ".toml") files.push_back(entry.path().string());
    if (files.empty()) throw ScenarioError(path, 0, "", "this folder has no parts list (*.toml)");
    std::sort(files.begin(), files.end());
    return files;
}

PartsList read_parts_file(std::string const& path) {
    return read_parts_text(text_of_file(path, "parts list (TOML)", largest_parts_list), path);
}

std::vector<ScenarioError> duplicates(std::vector<PartsList> const& lists) {
    std::vector<ScenarioError> errors;
    std::map<std::pair<std::string, std::string>, std::string> taken;
    for (auto const& list : lists)
        for (auto const& part : list.parts) {
            auto const [first, fresh] =
                taken.emplace(std::pair{part.kind, part.name}, fmt::format("{}:{}", list.path, part.line));
            if (!fresh)
                errors.emplace_back(list.path, part.line, part.kind + ".name",
                                    fmt::format("\"{}\" is taken by {}; every {} needs a name of its own",
                                                part.name, first->second, part.kind));
        }
    return errors;
}

double cost_of(std::vector<UsedPart> const& parts, std::string& unpriced) {
    double sum = 0;
    for (auto const& part : parts) {
        if (part.price)
            sum += *part.price * part.count;
        else
            unpriced += (unpriced.empty() ? "\"" : ", \"") + part.name + "\"";
    }
    return sum;
}

}  // namespace holdwater::scenarios
