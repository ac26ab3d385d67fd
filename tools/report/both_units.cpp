#include "tools/report/both_units.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <sstream>
#include <stdexcept>
#include <string_view>
#include <utility>

namespace holdwater::tools {
namespace {

constexpr std::string_view punctuation = ",.;:";

// A word without the punctuation mark after it.
std::string_view bare(std::string_view word) {
    while (!word.empty() && punctuation.find(word.back()) != std::string_view::npos) word.remove_suffix(1);
    return word;
}

bool is_unit(std::string_view word) {
    static constexpr std::array units{"L",  "L/min", "L/h", "gal", "gpm", "gal/h", "m",  "ft",
                                      "mm", "in",    "bar", "psi", "°C",  "°F",    "kW", "hp"};
    return std::find(units.begin(), units.end(), bare(word)) != units.end();
}

// Words; a figure and its unit count as one word: "38 L/min" against "10 gpm".
std::vector<std::string> words_of(std::string const& text) {
    std::vector<std::string> words;
    std::istringstream in(text);
    for (std::string word; in >> word;) {
        bool const behind_figure =
            !words.empty() && words.back().find_first_of("0123456789") != std::string::npos &&
            words.back().find(' ') == std::string::npos &&
            std::string_view(punctuation).find(words.back().back()) == std::string_view::npos;
        if (behind_figure && is_unit(word))
            words.back() += " " + word;
        else
            words.push_back(word);
    }
    return words;
}

// Length of the longest common sequence of words of a[i..] and b[j..].
std::vector<std::vector<int>> common_lengths(std::vector<std::string> const& a,
                                             std::vector<std::string> const& b) {
    std::vector<std::vector<int>> length(a.size() + 1, std::vector<int>(b.size() + 1));
    for (std::size_t i = a.size(); i-- > 0;)
        for (std::size_t j = b.size(); j-- > 0;)
            length[i][j] =
                a[i] == b[j] ? length[i + 1][j + 1] + 1 : std::max(length[i + 1][j], length[i][j + 1]);
    return length;
}

void add_word(std::string& text, std::string_view word) {
    if (word.empty()) return;
    if (!text.empty()) text += ' ';
    text += word;
}

std::string joined(std::vector<std::string> const& words) {
    std::string text;
    for (auto const& word : words) add_word(text, word);
    return text;
}

// "a (b)", with the punctuation mark of both after the parentheses.
void add_pair(std::string& text, std::string const& metric, std::string const& us) {
    if (metric.empty() || us.empty()) {
        add_word(text, metric);
        if (!us.empty()) add_word(text, "(" + us + ")");
        return;
    }
    std::string_view const a = bare(metric), b = bare(us);
    bool const same_mark = metric.substr(a.size()) == us.substr(b.size());
    add_word(text, same_mark ? a : std::string_view(metric));
    add_word(text, fmt::format("({})", same_mark ? b : std::string_view(us)));
    if (same_mark) text += metric.substr(a.size());
}

}  // namespace

std::string in_both_units(std::string const& metric, std::string const& us) {
    if (metric == us) return metric;
    auto const a = words_of(metric), b = words_of(us);
    auto const length = common_lengths(a, b);
    std::string text;
    for (std::size_t i = 0, j = 0; i < a.size() || j < b.size();) {
        if (i < a.size() && j < b.size() && a[i] == b[j]) {
            add_word(text, a[i]);
            ++i, ++j;
            continue;
        }
        std::vector<std::string> only_metric, only_us;
        while ((i < a.size() || j < b.size()) && !(i < a.size() && j < b.size() && a[i] == b[j])) {
            bool const from_a = j == b.size() || (i < a.size() && length[i + 1][j] >= length[i][j + 1]);
            if (from_a)
                only_metric.push_back(a[i++]);
            else
                only_us.push_back(b[j++]);
        }
        // Two figures in a row are two pairs.
        if (only_metric.size() == only_us.size())
            for (std::size_t k = 0; k < only_us.size(); ++k) add_pair(text, only_metric[k], only_us[k]);
        else
            add_pair(text, joined(only_metric), joined(only_us));
    }
    return text;
}

std::vector<sim::Check const*> paired_by_name(std::vector<sim::Check> const& metric,
                                              std::vector<sim::Check> const& us) {
    std::map<std::string, std::vector<sim::Check const*>> waiting;
    for (auto const& c : us) waiting[c.name].push_back(&c);
    std::map<std::string, std::size_t> taken;
    std::vector<sim::Check const*> pairs;
    for (auto const& c : metric) {
        auto const& same = waiting[c.name];
        std::size_t const at = taken[c.name]++;
        if (at >= same.size() || same[at]->title != c.title)
            throw std::logic_error(
                fmt::format("the check {} ({}) is not among the checks in US units", c.name, c.title));
        pairs.push_back(same[at]);
    }
    if (pairs.size() != us.size())
        throw std::logic_error(
            fmt::format("{} checks in metric units, {} in US units", metric.size(), us.size()));
    return pairs;
}

}  // namespace holdwater::tools
