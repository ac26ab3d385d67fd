#include "scenarios/text/toml_text.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <regex>
#include <sstream>
#include <system_error>
#include <utility>
#include <vector>

#include "scenarios/text/scenario_error.hpp"

namespace holdwater::scenarios {

std::string text_of_file(std::string const& path, std::string const& what) {
    std::error_code failure;
    if (std::filesystem::is_directory(path, failure))
        throw ScenarioError(path, 0, "", fmt::format("is a folder; give a {} (TOML)", what));
    std::ifstream in(path, std::ios::binary);
    if (!in)
        throw ScenarioError(path, 0, "", fmt::format("cannot be read; give the path of a {} (TOML)", what));
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

namespace {

// A line without its comment and without the text inside quotes ("" remains).
std::string outside_quotes(std::string const& line) {
    std::string out;
    char open = 0;
    for (std::size_t i = 0; i < line.size(); ++i) {
        char const c = line[i];
        if (open != 0) {
            if (c == '\\' && open == '"')
                ++i;
            else if (c == open)
                open = 0;
            continue;
        }
        if (c == '#') break;
        if (c == '"' || c == '\'')
            open = c, out += "\"\"";
        else
            out += c;
    }
    return out;
}

// The usual mistake in a line that TOML does not accept; "" for a line without one.
std::string slip_of(std::string const& line) {
    std::string const bare = outside_quotes(line);
    for (char const* quote : {"\u201c", "\u201d", "\u201e", "\u2018", "\u2019", "\u00ab", "\u00bb"})
        if (bare.find(quote) != std::string::npos)
            return fmt::format(
                "has typographic quotes ({}), as word processors make them; a text stands in straight "
                "ones, such as \"40 psi\"",
                quote);
    std::smatch m;
    static std::regex const decimal_comma(R"(=\s*([-+]?[0-9]+),([0-9]+)\s*($|[A-Za-z%]))");
    if (std::regex_search(bare, m, decimal_comma))
        return fmt::format("has a decimal comma; write {}.{}, with a point", m.str(1), m.str(2));
    static std::regex const quantity(
        "[=\\[,]\\s*([-+]?[0-9][0-9.]*\\s*(?![eE][-+0-9])(?:[A-Za-z%]|\u00b0)[^\\],]*)");
    if (std::regex_search(bare, m, quantity)) {
        auto const found = m.str(1);
        return fmt::format("a quantity stands in quotes: \"{}\"",
                           found.substr(0, found.find_last_not_of(" \t\r") + 1));
    }
    static std::regex const word(R"(=\s*((?!true\b|false\b|inf\b|nan\b)[A-Za-z][A-Za-z0-9 _-]*?)\s*$)");
    if (std::regex_search(bare, m, word)) return fmt::format("a text stands in quotes: \"{}\"", m.str(1));
    return "";
}

}  // namespace

toml::table parse_toml(std::string const& text, std::string const& path) {
    try {
        return toml::parse(text, path);
    } catch (toml::parse_error const& error) {
        std::vector<ScenarioError> slips;
        std::istringstream lines(text);
        std::size_t number = 0;
        for (std::string line; std::getline(lines, line);) {
            ++number;
            if (auto const slip = slip_of(line); !slip.empty()) slips.emplace_back(path, number, "", slip);
        }
        if (!slips.empty()) throw ScenarioError(std::move(slips));
        throw ScenarioError(path, error.source().begin.line, "",
                            fmt::format("not a TOML file: {}", error.description()));
    }
}

std::string in_toml(toml::node const& node) {
    std::ostringstream out;
    node.visit([&](auto const& n) { out << n; });
    return out.str();
}

}  // namespace holdwater::scenarios
