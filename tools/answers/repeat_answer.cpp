#include "tools/answers/repeat_answer.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "tools/show/date_text.hpp"
#include "tools/show/json_text.hpp"

namespace holdwater::tools {
namespace {

constexpr std::size_t most_lines = 12;

std::string where(sim::Difference const& d, sim::Clock const& clock) {
    double const row = static_cast<double>(d.first_row);
    if (d.name.starts_with("/series/")) return "first at " + stamp_text(clock.first_hour + row);
    if (d.name.starts_with("/daily/"))
        return "first on " + date_text(clock.first_hour / 24 + static_cast<int>(d.first_row));
    return fmt::format("first in row {}", d.first_row + 1);
}

std::string value(double v) { return std::isnan(v) ? "none" : fmt::format("{}", v); }

std::string line(sim::Difference const& d, sim::Clock const& clock) {
    if (d.name.starts_with("/summary/") || d.name.starts_with("/findings/"))
        return fmt::format("  {}: {} before, {} now\n", d.name, value(d.before), value(d.after));
    return fmt::format("  {}: {} rows, {} ({} before, {} now), at most by {:.3g}\n", d.name, d.rows,
                       where(d, clock), value(d.before), value(d.after), d.largest);
}

}  // namespace

std::string repeat_answer(std::string const& path, sim::StoredRun const& stored,
                          std::vector<sim::Difference> const& differences, std::string const& version) {
    auto const& in = stored.inputs;
    std::string out =
        fmt::format("{}: {}{}, {} days from {}{}, run again with the weather it holds\n\n", path,
                    in.scenario_path, in.option.empty() ? "" : ", option \"" + in.option + "\"",
                    stored.clock.hours / 24, date_text(stored.clock.first_hour / 24),
                    in.years > 1 ? fmt::format(", {} years in a row", in.years) : "");
    std::size_t values = 0;
    for (auto const& figure : stored.figures) values += figure.second.size();
    if (differences.empty())
        return out + fmt::format("IDENTICAL: all {} figures, {} values, are the same to the last bit.\n",
                                 stored.figures.size(), values);
    out +=
        fmt::format("NOT identical: {} of {} figures differ.\n", differences.size(), stored.figures.size());
    for (std::size_t i = 0; i < std::min(most_lines, differences.size()); ++i)
        out += line(differences[i], stored.clock);
    if (differences.size() > most_lines)
        out += fmt::format("  and {} more\n", differences.size() - most_lines);
    out += in.version == version
               ? fmt::format("Both by version {}: the builds or the machines differ.\n", version)
               : fmt::format(
                     "The file is from version {}, this is {}: CHANGELOG.md says what a result can "
                     "differ by.\n",
                     in.version, version);
    return out;
}

std::string repeat_json(std::string const& path, sim::StoredRun const& stored,
                        std::vector<sim::Difference> const& differences, std::string const& version) {
    nlohmann::ordered_json json;
    json["file"] = path;
    json["identical"] = differences.empty();
    json["figures"] = stored.figures.size();
    json["version_before"] = stored.inputs.version;
    json["version_now"] = version;
    json["differences"] = nlohmann::ordered_json::array();
    for (auto const& d : differences)
        json["differences"].push_back({{"figure", d.name},
                                       {"rows", d.rows},
                                       {"first_row", d.first_row},
                                       {"before", d.before},
                                       {"now", d.after},
                                       {"largest", d.largest}});
    return json_text(json) + "\n";
}

}  // namespace holdwater::tools
