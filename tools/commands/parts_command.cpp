#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <nlohmann/json.hpp>

#include "scenarios/design/check_part.hpp"
#include "scenarios/parts/put_parts_in.hpp"
#include "scenarios/settings/unit_text.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "scenarios/text/toml_text.hpp"
#include "sim/base/figure_text.hpp"
#include "tools/commands/commands.hpp"
#include "tools/commands/common_options.hpp"
#include "tools/show/units.hpp"

namespace holdwater::tools {
namespace {

using scenarios::Part, scenarios::PartsList, scenarios::PartFigure, scenarios::ScenarioError;

struct PartsArguments {
    std::vector<std::string> files;
    std::string kind;
    std::optional<Units> units;
    bool json = false;
};

struct Looked {
    std::vector<PartsList> lists;
    std::vector<std::string> errors;
};

constexpr char const* shipped = "scenarios/parts";

// The lists that a scenario names if the file is a scenario, otherwise the file itself.
std::vector<std::string> files_meant(std::string const& path) {
    auto const files = scenarios::parts_files(path);
    if (files.size() != 1 || files.front() != path) return files;
    try {
        auto const document = scenarios::parse_plain(
            scenarios::text_of_file(path, "parts list or scenario (TOML)", scenarios::largest_parts_list),
            path);
        if (!document.contains("parts")) return files;
        std::vector<std::string> named;
        for (auto const& list : scenarios::parts_lists_of(document, path)) named.push_back(list.path);
        return named;
    } catch (toml::parse_error const&) {
        return files;  // the reader of lists reports the error
    }
}

Looked read_lists(std::vector<std::string> const& paths) {
    Looked looked;
    std::vector<std::string> files;
    for (auto const& path : paths) {
        try {
            for (auto const& file : files_meant(path))
                if (std::find(files.begin(), files.end(), file) == files.end()) files.push_back(file);
        } catch (ScenarioError const& error) {
            looked.errors.emplace_back(error.what());
        }
    }
    for (auto const& file : files) {
        try {
            looked.lists.push_back(scenarios::read_parts_file(file));
        } catch (ScenarioError const& error) {
            looked.errors.emplace_back(error.what());
        }
    }
    for (auto const& error : scenarios::duplicates(looked.lists)) looked.errors.emplace_back(error.what());
    return looked;
}

std::string with_unit(double value, std::string_view unit, Units units) {
    auto const figure = shown(value, unit, units);
    return unit == "W" || unit == "VA" || figure.value >= 100
               ? fmt::format("{} {}", sim::figure_text(figure.value), figure.unit)
               : fmt::format("{:.3g} {}", figure.value, figure.unit);
}

std::string figures_text(std::vector<PartFigure> const& figures, Units units) {
    std::string text;
    for (auto const& f : figures)
        text += (text.empty() ? "" : ", ") +
                fmt::format("{} {}", f.name,
                            f.name == "shaft" && units == Units::us
                                ? fmt::format("{:.2g} hp", shown(f.value, "W shaft", units).value)
                                : with_unit(f.value, f.unit, units));
    return text;
}

nlohmann::ordered_json json_of(PartsList const& list, Part const& part, scenarios::PartCheck const& check) {
    nlohmann::ordered_json j{{"list", list.path},        {"line", part.line},   {"kind", part.kind},
                             {"name", part.name},        {"about", part.about}, {"price", nullptr},
                             {"currency", list.currency}};
    if (part.price) j["price"] = *part.price;
    j["figures"] = nlohmann::ordered_json::array();
    for (auto const& f : check.figures)
        j["figures"].push_back({{"name", f.name}, {"value", f.value}, {"unit", f.unit}});
    j["warnings"] = check.warnings;
    return j;
}

std::string price_text(PartsList const& list, Part const& part, Units units) {
    if (!part.price) return "";
    bool const by_length = part.kind == "pipe" || part.kind == "cable";
    double const price = *part.price / (by_length ? shown(1, "m", units).value : 1);
    return fmt::format("{}{}{}{}", list.currency, list.currency.empty() ? "" : " ",
                       by_length ? fmt::format("{:.2f}", price) : sim::figure_text(price),
                       by_length ? "/" + shown(1, "m", units).unit : "");
}

void run(PartsArguments const& o, int& exit_code) {
    auto paths = o.files;
    if (paths.empty()) {
        if (!std::filesystem::exists(shipped))
            throw std::invalid_argument(fmt::format(
                "parts: give a parts list, a folder of them or a scenario; there is no folder {} here",
                shipped));
        paths.emplace_back(shipped);
    }
    auto looked = read_lists(paths);
    Units const units = o.units.value_or(Units::metric);
    nlohmann::ordered_json json{{"parts", nlohmann::ordered_json::array()}};
    std::size_t count = 0;
    for (auto const& list : looked.lists) {
        if (!o.json) fmt::print("{}{}{}\n", list.path, list.about.empty() ? "" : ": ", list.about);
        std::size_t width = 0;
        for (auto const& part : list.parts) width = std::max(width, part.name.size());
        std::string kind;
        for (auto const& part : list.parts) {
            if (!o.kind.empty() && part.kind != o.kind) continue;
            ++count;
            scenarios::PartCheck check;
            try {
                check = scenarios::check_part(list, part);
            } catch (ScenarioError const& error) {
                looked.errors.emplace_back(error.what());
            }
            for (auto const& warning : check.warnings)
                fmt::print(stderr, "warning: {}:{}: {}\n", list.path, part.line,
                           scenarios::in_units(units, warning));
            if (o.json) {
                json["parts"].push_back(json_of(list, part, check));
                continue;
            }
            if (part.kind != kind) fmt::print("  {}\n", kind = part.kind);
            fmt::print("    {:<{}}  {:>9}  {}\n", part.name, width, price_text(list, part, units),
                       figures_text(check.figures, units));
            if (!part.about.empty()) fmt::print("    {:<{}}  {:>9}  {}\n", "", width, "", part.about);
        }
        if (!o.json) fmt::print("\n");
    }
    if (o.json) {
        json["errors"] = looked.errors;
        fmt::print("{}\n", json.dump(2));
    } else {
        fmt::print("{} part{} in {} list{}, {}.\n", count, count == 1 ? "" : "s", looked.lists.size(),
                   looked.lists.size() == 1 ? "" : "s",
                   looked.errors.empty() ? "nothing wrong" : fmt::format("{} wrong", looked.errors.size()));
    }
    for (auto const& error : looked.errors) fmt::print(stderr, "{}\n", error);
    if (!looked.errors.empty()) exit_code = bad_input;
}

}  // namespace

void add_parts_command(CLI::App& app, int& exit_code) {
    auto const o = std::make_shared<PartsArguments>();
    CLI::App* const c = app.add_subcommand("parts", "List and check parts lists: units, ranges, duplicates");
    c->add_option("FILE", o->files,
                  "Parts lists (TOML), folders of them, or a scenario for the lists it names; without any: "
                  "scenarios/parts");
    std::vector<std::string> kinds;
    for (auto const& k : scenarios::part_kinds()) kinds.emplace_back(k.kind);
    c->add_option("--kind", o->kind, "Show parts of this kind only")
        ->check(CLI::IsMember(kinds))
        ->option_text("KIND");
    add_units(*c, o->units, "Units of the table (default metric)");
    c->add_flag("--json", o->json, "Print the parts as JSON (SI units) and nothing else");
    c->footer("Example:  holdwater parts scenarios/parts --kind pump --units us");
    c->callback([o, &exit_code] { run(*o, exit_code); });
}

}  // namespace holdwater::tools
