#include "scenarios/toml_text.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <sstream>
#include <system_error>

#include "scenarios/scenario_error.hpp"

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

toml::table parse_toml(std::string const& text, std::string const& path) {
    try {
        return toml::parse(text, path);
    } catch (toml::parse_error const& error) {
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
