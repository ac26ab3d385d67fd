#include "weather/record_findings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string>

namespace holdwater::weather {

namespace {

/// Without the sums, which differ from year to year.
std::string without_sums(std::string const& rule) { return rule.substr(0, rule.find("; in all ")); }

std::string kind_of(Repair const& repair) {
    if (repair.kind == "29 February") return "leap day";
    if (repair.kind == "gap" || repair.kind == "long gap") return "filled";
    return repair.kind == "second file" ? repair.kind : "repaired";
}

std::string text_of(Repair const& repair) {
    auto const kind = kind_of(repair);
    if (kind == "leap day") return "29 February was dropped with all its hours; every year has 365 days";
    if (kind == "filled" || kind == "second file") return without_sums(repair.rule);
    return repair.kind + ": " + without_sums(repair.rule);
}

/// Findings of one model; those with equal texts become one.
class Summary {
  public:
    explicit Summary(LightModel model) : model_(model) {}
    void add(std::string const& kind, std::string const& text, int year, int hours) {
        auto at = std::find_if(findings_.begin(), findings_.end(),
                               [&](RecordFinding const& f) { return f.kind == kind && f.text == text; });
        if (at == findings_.end()) at = findings_.insert(at, {kind, model_, {}, 0, text});
        if (at->years.empty() || at->years.back() != year) at->years.push_back(year);
        at->hours += hours;
    }
    std::vector<RecordFinding> findings_;

  private:
    LightModel model_;
};

}  // namespace

void add_record_findings(RecordedYears& record) {
    for (RecordedLight const& light : record.lights) {
        Summary summary(light.model);
        for (auto const& chain : light.chains)
            for (auto const& [number, year] : chain.years) {
                for (auto const& r : year.repairs) summary.add(kind_of(r), text_of(r), number, r.hours);
                for (auto const& warning : year.warnings) summary.add("warning", warning, number, 0);
            }
        for (std::size_t i = 1; i < light.chains.size(); ++i) {
            int const before = light.chains[i - 1].last_year(), after = light.chains[i].first_year();
            std::vector<int> between;
            for (int year = before + 1; year < after; ++year) between.push_back(year);
            record.findings.push_back(
                {"chain", light.model, between, 0,
                 fmt::format("{} missing between {} and {}: no year runs from the one into the other",
                             between.size() == 1 ? "a year is" : "years are", before, after)});
        }
        static constexpr std::string_view order[] = {"leap day", "filled", "second file", "repaired",
                                                     "warning"};
        for (auto const kind : order)
            for (auto const& finding : summary.findings_)
                if (finding.kind == kind) record.findings.push_back(finding);
    }
}

}  // namespace holdwater::weather
