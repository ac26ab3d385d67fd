#include "tools/json/replay_json.hpp"

#include "tools/show/json_text.hpp"

namespace holdwater::tools {
namespace {

using Json = nlohmann::ordered_json;

Json interval_json(models::Interval const& i) {
    return {{"value", i.center}, {"low", i.low}, {"high", i.high}};
}

Json figure_json(sim::LogFigure const& f) {
    Json json{{"name", f.name}, {"unit", f.unit}};
    if (f.determined())
        json.update(interval_json(f.fitted));
    else
        json["not_determined"] = f.why_not;
    json["scenario"] = json_number(f.scenario);
    json["key"] = f.key;
    json["differs"] = f.differs();
    return json;
}

Json days_json(sim::Replay const& replay) {
    Json days = Json::array();
    for (auto const& day : replay.days) {
        Json json{{"date", day.date}};
        for (auto const& facts : sim::day_figure_facts()) {
            auto const k = static_cast<std::size_t>(facts.kind);
            json[std::string(facts.name)] = {{"logged", json_number(day.logged[k])},
                                             {"modeled", json_number(day.modeled[k])}};
        }
        days.push_back(json);
    }
    return days;
}

Json promises_json(sim::Replay const& replay) {
    Json all = Json::array();
    for (auto const& p : replay.promises) {
        Json json{{"promise", p.words}, {"unit", p.unit}, {"promised", json_number(p.promised)}};
        if (p.verdict == sim::PromiseVerdict::not_determined)
            json["not_determined"] = p.why_not;
        else
            json["logged"] = interval_json(p.logged);
        json["held"] = p.verdict == sim::PromiseVerdict::not_determined
                           ? Json(nullptr)
                           : Json(p.verdict == sim::PromiseVerdict::held);
        all.push_back(json);
    }
    return all;
}

}  // namespace

Json replay_json(sim::SiteLog const& log, sim::Replay const& replay) {
    Json fitted = Json::array();
    for (auto const* f : replay.fit.figures()) fitted.push_back(figure_json(*f));
    Json json{
        {"log", log.path},
        {"days", (log.time_h.back() - log.time_h.front()) / 24},
        {"notes", log.notes},
        {"confidence", sim::log_confidence},
        {"fitted", fitted},
        {"clock_ahead_min", replay.fit.clock_ahead_min ? Json(*replay.fit.clock_ahead_min) : Json(nullptr)},
        {"by_day", days_json(replay)},
        {"promises", promises_json(replay)}};
    return json;
}

}  // namespace holdwater::tools
