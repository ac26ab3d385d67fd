#include "tools/sweep_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "tools/spell_view.hpp"

namespace holdwater::tools {
namespace {

constexpr double not_run = std::numeric_limits<double>::quiet_NaN();
constexpr int bar_width = 40;

std::string quoted(std::string const& text) {
    if (text.find_first_of(",\"\n") == std::string::npos) return text;
    std::string out = "\"";
    for (char const c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
    return out + "\"";
}

// The number of "10 kWh"; the unit is the column's.
std::string bare(sim::SweepAxis const& axis, std::string const& value) {
    return axis.numbers ? value.substr(0, value.find(' ')) : value;
}

std::string described(SweepTable const& t, std::size_t row) {
    std::string out;
    for (std::size_t a = 0; a < t.axes.size(); ++a)
        if (!t.rows[row][a].empty())
            out += (out.empty() ? "" : ", ") + t.axes[a].key + " = " + t.rows[row][a];
    return out.empty() ? "as written" : out;
}

std::string with_unit(double value, sim::SummaryField const& figure) {
    return fmt::format("{:.6g}{}", value, figure.unit == "1" ? "" : " " + std::string(figure.unit));
}

// One key's bar about the base: '-' left of it, '+' right, over the range of all of them.
std::string swing_bar(double low, double high, double base, double least, double most, bool plain) {
    double const span = most - least;
    auto const place = [&](double v) {
        return span > 0 ? static_cast<int>(std::lround((v - least) / span * bar_width)) : 0;
    };
    int const from = place(low), to = place(high), middle = place(base);
    std::string out;
    for (int i = 0; i <= bar_width; ++i)
        out += i == middle ? (plain ? "|" : "│") : i >= from && i <= to ? (plain ? "#" : "█") : " ";
    return out;
}

}  // namespace

std::vector<sim::SummaryField> sweep_figures() {
    auto figures = sim::summary_fields();
    std::erase_if(figures, [](auto const& f) { return f.name == "wall_time_s"; });
    return figures;
}

std::string sweep_csv(SweepTable const& t) {
    auto const figures = sweep_figures();
    std::string out = "row";
    for (auto const& axis : t.axes)
        out += "," + quoted(axis.numbers && !axis.unit.empty() ? fmt::format("{} ({})", axis.key, axis.unit)
                                                               : axis.key);
    for (auto const& f : figures) out += "," + std::string(f.name);
    out += ",problem\n";
    for (std::size_t i = 0; i < t.rows.size(); ++i) {
        out += std::to_string(i + 1);
        for (std::size_t a = 0; a < t.axes.size(); ++a) out += "," + quoted(bare(t.axes[a], t.rows[i][a]));
        bool const run = t.results[i].problem.empty();
        for (auto const& f : figures) out += run ? fmt::format(",{}", t.results[i].summary.*f.value) : ",";
        out += "," + quoted(t.results[i].problem) + "\n";
    }
    return out;
}

sim::Table sweep_columns(SweepTable const& t) {
    sim::Table table{"sweep", {}};
    for (std::size_t a = 0; a < t.axes.size(); ++a) {
        auto const& axis = t.axes[a];
        std::vector<double> numbers;
        std::vector<std::string> texts;
        for (auto const& row : t.rows) {
            texts.push_back(row[a]);
            if (axis.numbers) numbers.push_back(row[a].empty() ? not_run : std::stod(row[a]));
        }
        sim::TableColumn column{axis.key, axis.unit, "value of this key; nothing: as in the scenario", texts};
        if (axis.numbers) column.values = numbers;
        table.columns.push_back(std::move(column));
    }
    for (auto const& f : sweep_figures()) {
        std::vector<double> values;
        for (auto const& r : t.results) values.push_back(r.problem.empty() ? r.summary.*f.value : not_run);
        table.columns.push_back({std::string(f.name), std::string(f.unit), std::string(f.long_name), values});
    }
    std::vector<std::string> problems;
    for (auto const& r : t.results) problems.push_back(r.problem);
    table.columns.push_back({"problem", "", "why a row was not run", problems});
    return table;
}

std::string run_count(SweepTable const& t) {
    auto const refused =
        std::count_if(t.results.begin(), t.results.end(), [](auto const& r) { return !r.problem.empty(); });
    auto const run = static_cast<std::ptrdiff_t>(t.results.size()) - refused;
    if (refused == 0) return fmt::format("{} runs", run);
    return fmt::format("{} runs, {} combinations refused (column 'problem' of the table)", run, refused);
}

std::string sweep_extremes(SweepTable const& t, sim::SummaryField const& figure) {
    std::vector<std::size_t> run;
    for (std::size_t i = 0; i < t.rows.size(); ++i)
        if (t.results[i].problem.empty()) run.push_back(i);
    std::string out = fmt::format("{} ({})\n", figure.name, figure.long_name);
    if (run.empty()) return out;
    auto const value = [&](std::size_t row) { return t.results[row].summary.*figure.value; };
    auto const by_value = [&](std::size_t a, std::size_t b) { return value(a) < value(b); };
    // The earliest of equals at both ends.
    auto const least = *std::min_element(run.begin(), run.end(), by_value),
               most = *std::max_element(run.begin(), run.end(), by_value);
    for (auto const& [label, row] : {std::pair{"least", least}, std::pair{"most", most}})
        out += fmt::format("  {:<6}{:<14}{}\n", label, with_unit(value(row), figure), described(t, row));
    return out;
}

std::string tornado(SweepTable const& t, sim::SummaryField const& figure, bool plain) {
    struct Swing {
        std::size_t axis, low, high;
    };
    auto const value = [&](std::size_t row) { return t.results[row].summary.*figure.value; };
    double const base = value(0);
    std::vector<Swing> swings;
    double least = base, most = base;
    for (std::size_t a = 0; a < t.axes.size(); ++a) {
        Swing s{a, 0, 0};
        for (std::size_t i = 1; i < t.rows.size(); ++i) {
            if (t.rows[i][a].empty() || !t.results[i].problem.empty()) continue;
            if (value(i) < value(s.low)) s.low = i;
            if (value(i) > value(s.high)) s.high = i;
        }
        least = std::min(least, value(s.low));
        most = std::max(most, value(s.high));
        swings.push_back(s);
    }
    auto const width = [&](Swing const& s) { return value(s.high) - value(s.low); };
    std::stable_sort(swings.begin(), swings.end(),
                     [&](auto const& x, auto const& y) { return width(x) > width(y); });
    std::string out = fmt::format("{} ({}), each key alone; as written: {}\n\n", figure.name,
                                  figure.long_name, with_unit(base, figure));
    for (Swing const& s : swings) {
        std::string const& key = t.axes[s.axis].key;
        out += fmt::format("  {:<28}{}\n", key,
                           swing_bar(value(s.low), value(s.high), base, least, most, plain));
        auto const end = [&](std::size_t row) {
            return fmt::format("{} at {}", with_unit(value(row), figure),
                               row == 0 ? "what is written" : t.rows[row][s.axis]);
        };
        out += width(s) > 0 ? fmt::format("  {:<28}{}  to  {}\n", "", end(s.low), end(s.high))
                            : fmt::format("  {:<28}changes nothing\n", "");
    }
    return out;
}

}  // namespace holdwater::tools
