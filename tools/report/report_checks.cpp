#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "tools/answers/check_table.hpp"
#include "tools/report/both_units.hpp"
#include "tools/report/report_content.hpp"

namespace holdwater::tools {
namespace {

using models::Verdict;

// `us`: the same check in US units, shown beside the metric text; null on a page in one system.
Json check_row(sim::Check const& c, sim::Check const* us, std::size_t source) {
    auto const text = [&](std::string sim::Check::*words) {
        return us == nullptr ? c.*words : in_both_units(c.*words, us->*words);
    };
    Json row{{"title", c.title},
             {"name", c.name},
             {"value", text(&sim::Check::value_text)},
             {"limit", text(&sim::Check::limit_text)},
             {"margin", margin_text(c.margin, "over 999 %")},
             {"verdict", c.waived ? "waived" : name(c.verdict)},
             {"waived", nullptr},
             {"detail", text(&sim::Check::detail)},
             {"provenance", text(&sim::Check::provenance)},
             {"change", c.verdict == Verdict::pass ? std::string() : text(&sim::Check::change)},
             {"source", source}};
    row["more"] = c.waived || !c.detail.empty() || !c.provenance.empty() ||
                  (c.verdict != Verdict::pass && !c.change.empty());
    if (c.waived) row["waived"] = fmt::format("{} (would be {})", *c.waived, name(c.verdict));
    return row;
}

}  // namespace

Json report_checks(sim::ReportRuns const& r, ReportShow const& show) {
    auto const& p = quoted(r).design_check;
    auto const pairs = show.units == ReportUnits::both
                           ? paired_by_name(p.checks, quoted(r).design_check_us->checks)
                           : std::vector<sim::Check const*>(p.checks.size(), nullptr);
    std::vector<std::string> sources;
    Json groups = Json::array();
    std::array<int, 4> count{};
    for (std::size_t i = 0; i < p.checks.size(); ++i) {
        auto const& c = p.checks[i];
        if (groups.empty() || groups.back()["group"] != c.group)
            groups.push_back({{"group", c.group}, {"checks", Json::array()}});
        auto const source = pairs[i] == nullptr ? c.source : show.words(pairs[i]->source);
        auto at = std::find(sources.begin(), sources.end(), source);
        if (at == sources.end()) at = sources.insert(at, source);
        groups.back()["checks"].push_back(
            check_row(c, pairs[i], static_cast<std::size_t>(at - sources.begin() + 1)));
        ++count[static_cast<std::size_t>(c.verdict)];
    }
    Json list = Json::array();
    for (std::size_t i = 0; i < sources.size(); ++i)
        list.push_back({{"number", i + 1}, {"text", sources[i]}});
    std::string summary;
    for (Verdict const v : {Verdict::fail, Verdict::unknown, Verdict::marginal, Verdict::pass})
        if (int const n = count[static_cast<std::size_t>(v)]; n > 0)
            summary += fmt::format("{}{} {}", summary.empty() ? "" : ", ", n, name(v));
    return {{"summary", summary}, {"groups", groups}, {"sources", list}, {"notes", p.notes}};
}

}  // namespace holdwater::tools
