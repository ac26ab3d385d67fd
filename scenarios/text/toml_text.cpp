#include "scenarios/text/toml_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <regex>
#include <sstream>
#include <string_view>
#include <utility>
#include <vector>

#include "scenarios/text/scenario_error.hpp"
#include "weather/csv.hpp"
#include "weather/read_file_text.hpp"

namespace holdwater::scenarios {

std::string text_of_file(std::string const& path, std::string const& what, std::size_t most_bytes) {
    try {
        return weather::read_file_text(path, {most_bytes});
    } catch (weather::FileTextError const& error) {
        throw ScenarioError(path, 0, "", fmt::format("{}; give a {}", error.what(), what));
    }
}

namespace {

// Goes through the text like the parser, but without recursion: quoted texts and comments are skipped; dots
// between the parts of a key and open brackets are counted.
class DepthCheck {
  public:
    explicit DepthCheck(std::string_view text) : text_(text) {}

    // The line that is too deep; 0: none.
    std::size_t too_deep() {
        while (at_ < text_.size()) {
            char const c = text_[at_];
            if (c == '#') {
                at_ = std::min(text_.find('\n', at_), text_.size());
            } else if (c == '"' || c == '\'') {
                step_over_quoted(c);
            } else {
                count(c);
                ++at_;
            }
            if (dots_ >= deepest_key || open_ > deepest_key) return line_;
        }
        return 0;
    }

  private:
    void count(char c) {
        if (c == '.') {
            ++dots_;
        } else if (c == '[' || c == '{') {
            ++open_, dots_ = 0;
        } else if (c == ']' || c == '}') {
            open_ -= open_ > 0 ? 1 : 0, dots_ = 0;
        } else if (c == '=' || c == ',' || c == '\n') {
            dots_ = 0;
        }
        if (c == '\n') ++line_;
    }
    // A text of one line ends at the end of its line at the latest, because the parser goes no further.
    void step_over_quoted(char quote) {
        std::string const three(3, quote);
        bool const long_text = text_.substr(at_, 3) == three;
        at_ += long_text ? 3 : 1;
        while (at_ < text_.size()) {
            char const c = text_[at_];
            if (c == '\n' && !long_text) return;
            if (c == '\n') ++line_;
            if (c == '\\' && quote == '"' && at_ + 1 < text_.size() && text_[at_ + 1] != '\n') {
                at_ += 2;
            } else if (c == quote && (!long_text || text_.substr(at_, 3) == three)) {
                at_ += long_text ? 3 : 1;
                // Up to two quotes may come right before the three that end a long text.
                for (int more = 0; long_text && more < 2 && at_ < text_.size() && text_[at_] == quote; ++more)
                    ++at_;
                return;
            } else {
                ++at_;
            }
        }
    }

    std::string_view text_;
    std::size_t at_ = 0, line_ = 1, dots_ = 0, open_ = 0;
};

[[noreturn]] void refuse_control_character(std::string const& which, toml::node const& node) {
    throw toml::parse_error(
        fmt::format("the control character {} stands in a text or key; take it out", which).c_str(),
        node.source());
}

// No deeper than DepthCheck allows.
void check_characters(toml::node const& node) {
    if (auto const* table = node.as_table())
        for (auto const& [key, value] : *table) {
            if (auto const found = control_character(key.str()); !found.empty())
                refuse_control_character(found, value);
            if (!in_one_line(key.str())) refuse_control_character("U+000A", value);
            check_characters(value);
        }
    if (auto const* array = node.as_array())
        for (auto const& value : *array) check_characters(value);
    if (auto const text = node.value_exact<std::string_view>())
        if (auto const found = control_character(*text); !found.empty())
            refuse_control_character(found, node);
}

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

// The usual mistake in a line that TOML does not accept; "" if it is none of these.
std::string slip_of(std::string const& line) {
    std::string const bare = outside_quotes(line);
    if (bare.size() > 1000) return "";  // std::regex calls itself for every character
    for (char const* quote : {"\u201c", "\u201d", "\u201e", "\u2018", "\u2019", "\u00ab", "\u00bb"})
        if (bare.find(quote) != std::string::npos)
            return fmt::format(
                "has typographic quotes ({}), as word processors make them; texts need straight "
                "quotes, such as \"40 psi\"",
                quote);
    std::smatch m;
    static std::regex const decimal_comma(R"(=\s*([-+]?[0-9]+),([0-9]+)\s*($|[A-Za-z%]))");
    if (std::regex_search(bare, m, decimal_comma))
        return fmt::format("has a decimal comma; write {}.{}, with a point", m.str(1), m.str(2));
    static std::regex const quantity(
        "[=\\[,]\\s*([-+]?[0-9][0-9.]*\\s*(?![eE][-+0-9])(?:[A-Za-z%]|\u00b0)[^\\],]*)");
    if (std::regex_search(bare, m, quantity)) {
        auto const found = m.str(1);
        return fmt::format("a quantity needs quotes: \"{}\"",
                           found.substr(0, found.find_last_not_of(" \t\r") + 1));
    }
    static std::regex const word(R"(=\s*((?!true\b|false\b|inf\b|nan\b)[A-Za-z][A-Za-z0-9 _-]*?)\s*$)");
    if (std::regex_search(bare, m, word)) return fmt::format("a text needs quotes: \"{}\"", m.str(1));
    return "";
}

}  // namespace

std::string control_character(std::string_view text) {
    for (std::size_t i = 0; i < text.size(); ++i) {
        auto const rest = text.substr(i);
        if (rest[0] == '\n' || rest[0] == '\t' || rest.starts_with("\r\n")) continue;
        // The last byte of these characters is their number.
        if (auto const length = weather::control_length(rest); length > 0)
            return fmt::format("U+{:04X}", static_cast<unsigned char>(rest[length - 1]));
    }
    return "";
}

bool in_one_line(std::string_view text) { return text.find_first_of("\r\n") == std::string_view::npos; }

toml::table parse_plain(std::string const& text, std::string const& path) {
    auto const source = path.empty() ? nullptr : std::make_shared<std::string const>(path);
    if (auto const line = DepthCheck(text).too_deep(); line > 0)
        throw toml::parse_error(
            fmt::format("tables lie within one another more than {} deep", deepest_key).c_str(),
            {{static_cast<toml::source_index>(line), 1}, {static_cast<toml::source_index>(line), 1}, source});
    auto document = path.empty() ? toml::parse(text) : toml::parse(text, path);
    check_characters(document);
    return document;
}

toml::table parse_toml(std::string const& text, std::string const& path) {
    try {
        return parse_plain(text, path);
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
