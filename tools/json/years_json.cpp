#include "tools/json/years_json.hpp"

#include "tools/show/record_table.hpp"

namespace holdwater::tools {
namespace {

nlohmann::ordered_json odds_json(sim::Odds const& odds) {
    return {{"years", odds.times},
            {"of", odds.years},
            {"share", odds.share.center},
            {"share_low", odds.share.low},
            {"share_high", odds.share.high}};
}

nlohmann::ordered_json answer_json(sim::YearsAnswer const& answer, std::uint64_t seed) {
    nlohmann::ordered_json json;
    json["years"] = answer.wet.years;
    json["weather"] = answer.weather;
    json["random_in_each_year"] = answer.drawn;
    json["seed"] = seed;
    json["no_shortage"] = odds_json(answer.wet);
    json["demand_met_0.999_or_more"] = odds_json(answer.nearly_wet);
    for (auto const& f : sim::figure_spreads(answer))
        json["figures"][f.name] = {{"typical_year", f.as_written}, {"mean", f.spread.mean},
                                   {"median", f.spread.median},    {"low", f.spread.low},
                                   {"high", f.spread.high},        {"one_in_ten", f.spread.bad},
                                   {"worst", f.spread.worst}};
    json["notes"] = answer.notes;
    return json;
}

}  // namespace

nlohmann::ordered_json years_json(std::vector<sim::SourcedYears> const& answers,
                                  std::optional<weather::RecordedYears> const& record, std::uint64_t seed) {
    auto json = answer_json(answers[0].answer, seed);
    for (auto const& [source, numbers, answer] : answers) {
        if (answer.made) continue;
        auto recorded = answer_json(answer, seed);
        recorded["source"] = source;
        recorded["recorded_years"] = numbers;
        json["recorded"].push_back(recorded);
    }
    if (record) json["record"] = record_json(*record);
    return json;
}

}  // namespace holdwater::tools
