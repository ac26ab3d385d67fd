#include "scenarios/sections/read_demand.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <memory>
#include <numeric>
#include <system_error>
#include <utility>

#include "models/numeric/trade_units.hpp"
#include "scenarios/sections/demand_series.hpp"

namespace holdwater::scenarios {
namespace {

constexpr double hours_per_month = 365.242198781 * 24 / 12;
constexpr double three_gpm_m3_s = 3 * models::m3_per_gal / 60;

enum class Kind { household, livestock, irrigation, backwash, leak, other };

models::DayProfile read_profile(Section& s, std::string_view key, models::DayProfile const& otherwise) {
    if (!s.has(key)) return otherwise;
    auto const weights = s.list(key, 24, "", {0, 1e6});
    models::DayProfile profile{};
    std::copy(weights.begin(), weights.end(), profile.begin());
    s.checked([&] { models::validate(profile); });
    return profile;
}

// How the days of a use differ: weekends, months, random variation by the seed.
void read_days(Section& s, models::WaterUse& use) {
    bool const one = s.has("profile") && !s.has("weekend_profile");
    use.weekday = read_profile(s, "profile", use.weekday);
    use.weekend = read_profile(s, "weekend_profile", one ? use.weekday : use.weekend);
    use.weekend_factor = s.number("weekend_factor", {0, 10}, 1);
    if (s.has("month_factor")) {
        auto const factors = s.list("month_factor", 12, "", {0, 100});
        std::copy(factors.begin(), factors.end(), use.month_factor.begin());
    }
    use.day_variation = s.number("day_variation", {0, 3}, 0);
}

// Keys of one kind of fixture.
models::Fixture read_fixture(Section& s) {
    models::Fixture f;
    f.name = s.text("name");
    f.share = s.number("share", {1e-6, 1e6});
    f.volume_m3 = s.quantity("volume", "m3", {1e-5, 10});
    f.volume_spread = s.number("volume_spread", {0, 3}, 0);
    f.flow_m3_s = s.quantity("flow", "m3/s", {1e-6, 0.01});
    f.flow_spread = s.number("flow_spread", {0, 3}, 0);
    if (s.has("profile")) f.day = read_profile(s, "profile", {});
    s.checked([&] { models::validate(f); });
    s.finish();
    return f;
}

// The fixtures by which water is drawn as people do; empty: in lumps.
std::vector<models::Fixture> read_fixtures(Section& s) {
    bool const events = s.choice(
        "drawn_as",
        std::array{std::pair{std::string_view("lump"), false}, std::pair{std::string_view("events"), true}},
        false);
    auto const given = s.tables("fixture");
    if (!events) {
        if (!given.empty()) s.fail("fixture", "needs drawn_as = \"events\"");
        return {};
    }
    std::vector<models::Fixture> fixtures;
    fixtures.reserve(given.size());
    for (Section fixture : given) fixtures.push_back(read_fixture(fixture));
    return given.empty() ? models::household_fixtures() : fixtures;
}

void check_events(Section& s, std::vector<models::Fixture> const& fixtures, double busiest_day_m3) {
    double const events_a_day = models::events_per_day(fixtures, busiest_day_m3);
    if (events_a_day > most_events_a_day)
        s.fail("drawn_as", fmt::format("\"events\" would be {:.0f} uses of water a day, more than {:.0f}; "
                                       "take \"lump\" for so much water",
                                       events_a_day, most_events_a_day));
}

void read_fixtures(Section& s, models::WaterUse& use) {
    use.fixtures = read_fixtures(s);
    check_events(s, use.fixtures,
                 use.daily_m3 * *std::max_element(use.month_factor.begin(), use.month_factor.end()) *
                     std::max(use.weekday_factor, use.weekend_factor));
}

// Measured use drawn as people do: the readings say in which hours, a fixture does not.
std::vector<models::Fixture> read_series_fixtures(Section& s, DemandSeries const& series) {
    auto fixtures = read_fixtures(s);
    for (auto const& fixture : fixtures)
        if (fixture.day)
            s.fail("fixture",
                   fmt::format("\"{}\" has a profile, but [demand.series] says in which hours water "
                               "is used: leave the profile out",
                               fixture.name));
    double busiest_m3 = 0;
    for (auto day = series.hourly_m3.begin(); day != series.hourly_m3.end(); day += 24)
        busiest_m3 = std::max(busiest_m3, std::accumulate(day, day + 24, 0.0));
    check_events(s, fixtures, busiest_m3);
    return fixtures;
}

// Measured use times `multiplier`. A series from a stored run has been multiplied already.
std::shared_ptr<DemandSeries const> times(std::shared_ptr<DemandSeries const> series, double multiplier) {
    if (multiplier == 1) return series;
    auto changed = std::make_shared<DemandSeries>(*series);
    for (double& m3 : changed->hourly_m3) m3 *= multiplier;
    return changed;
}

models::WaterUse read_livestock(Section& s, std::string const& name) {
    double const heads = s.count("heads", 1, 100000);
    std::vector<models::DrinkingPoint> drinking;
    if (s.has("animal")) {
        if (s.has("per_head")) s.fail("per_head", "give animal or per_head, not both");
        s.checked([&] { drinking = models::animal_drinking(s.text("animal")); });
    } else {
        // Per head and day at the temperatures given with it; a single value holds at every temperature.
        auto const liters = s.list("per_head", 0, "m3", {0, 1});
        std::vector<double> const at = liters.size() > 1
                                           ? s.list("at_temperature", liters.size(), "degC", {-60, 60})
                                           : std::vector{20.0};
        for (std::size_t i = 0; i < liters.size(); ++i) drinking.push_back({at[i], liters[i]});
    }
    return models::livestock_use(name, heads, drinking,
                                 s.quantity("tap_flow", "m3/s", {1e-7, 0.1}, 5 * models::m3_per_gal / 60));
}

models::WaterUse read_irrigation(Section& s, std::string const& name) {
    auto const by_month = s.list("daily_by_month", 12, "m3/day", {0, 1000});
    std::array<double, 12> daily_m3{};
    std::copy(by_month.begin(), by_month.end(), daily_m3.begin());
    for (double& v : daily_m3) v = std::min(v, 1000.0);
    int const from = s.count("from_hour", 0, 23);
    int const until = s.count("until_hour", 0, 24);
    auto use =
        models::irrigation_use(name, daily_m3, from, until, s.quantity("tap_flow", "m3/s", {1e-7, 0.1}));
    // The volumes of the months are factors of one cubic meter.
    return use;
}

// `multiplier`: of all water that is used; a leak stays as it is.
models::WaterUse read_use(Section& s, double multiplier, bool& from_trough) {
    std::string const name = s.text("name");
    Kind const kind = s.choice("kind", std::array{std::pair{std::string_view("household"), Kind::household},
                                                  std::pair{std::string_view("livestock"), Kind::livestock},
                                                  std::pair{std::string_view("irrigation"), Kind::irrigation},
                                                  std::pair{std::string_view("backwash"), Kind::backwash},
                                                  std::pair{std::string_view("leak"), Kind::leak},
                                                  std::pair{std::string_view("other"), Kind::other}});
    models::WaterUse use;
    s.checked([&] {
        switch (kind) {
            case Kind::household:
                use =
                    models::household_use(name, s.number("persons", {0, 1000}),
                                          s.quantity("per_person", "m3/day", {0, 5}, 75 * models::m3_per_gal),
                                          s.quantity("tap_flow", "m3/s", {1e-7, 0.1}, three_gpm_m3_s));
                break;
            case Kind::livestock:
                use = read_livestock(s, name);
                break;
            case Kind::irrigation:
                use = read_irrigation(s, name);
                break;
            case Kind::backwash: {
                double const volume_m3 = s.quantity("volume", "m3", {1e-4, 100});
                double const flow_m3_s = s.quantity("tap_flow", "m3/s", {1e-7, 0.1});
                use = models::backwash_use(name, volume_m3, s.count("every_days", 1, 365),
                                           s.count("at_hour", 0, 23, 2), flow_m3_s);
                if (volume_m3 > flow_m3_s * 3600)
                    s.fail("volume", "takes more than an hour at tap_flow: is the flow right?");
                break;
            }
            case Kind::leak:
                use = models::leak_use(name, s.quantity("flow", "m3/s", {0, 0.01}));
                break;
            case Kind::other:
                use.name = name;
                use.daily_m3 = s.quantity("daily", "m3/day", {0, 1000});
                use.tap_flow_m3_s = s.quantity("tap_flow", "m3/s", {1e-7, 0.1}, three_gpm_m3_s);
                break;
        }
    });
    if (kind != Kind::leak) {
        use.daily_m3 *= multiplier;
        use.heads *= multiplier;
    }
    if (kind == Kind::household || kind == Kind::livestock || kind == Kind::other) read_days(s, use);
    if (kind == Kind::household) read_fixtures(s, use);
    use.priority = s.count("priority", 0, 100, use.priority);
    s.checked([&] { models::validate(use); });
    s.finish();
    from_trough = kind == Kind::livestock;
    return use;
}

}  // namespace

void read_demand(Section& root, Scenario& scenario, std::shared_ptr<DemandSeries const> stored) {
    DemandSettings& d = scenario.demand;
    auto const uses = root.tables("use");
    auto found = uses.empty() ? std::optional<Section>(root.table("demand")) : root.optional_table("demand");
    double const multiplier = d.multiplier = found ? found->number("multiplier", {0.01, 10}, 1) : 1;
    bool trough_used = false;
    for (Section use : uses) {
        bool from_trough = false;
        d.uses.push_back(read_use(use, multiplier, from_trough));
        d.from_trough.push_back(from_trough && scenario.trough.has_value());
        trough_used = trough_used || d.from_trough.back();
    }
    if (scenario.trough && !trough_used)
        root.fail("trough", "no use draws from it: add a [[use]] with kind = \"livestock\"");
    if (!found) return;
    Section& s = *found;
    auto measured = s.optional_table("series");
    if (measured) {
        for (auto const* key :
             {"daily", "weekend_profile", "weekend_factor", "month_factor", "day_variation"})
            if (s.has(key))
                s.fail(key, "is given beside [demand.series], which says how much is used and when");
        auto source = read_series_source(*measured, scenario.path);
        source.day = d.profile = read_profile(s, "profile", models::household_profile);
        d.tap_flow_m3_s = s.quantity("tap_flow", "m3/s", {1e-7, 0.1}, three_gpm_m3_s);
        std::error_code failure;
        if (!stored && !std::filesystem::exists(source.path, failure))
            measured->fail("file", source.path + ": cannot be opened: No such file or directory");
        d.series = stored ? std::move(stored) : times(read_demand_series(source), multiplier);
        d.series_fixtures = read_series_fixtures(s, *d.series);
        d.daily_m3 = std::accumulate(d.series->hourly_m3.begin(), d.series->hourly_m3.end(), 0.0) / 365;
        scenario.warnings.insert(scenario.warnings.end(), d.series->notes.begin(), d.series->notes.end());
    } else if (uses.empty()) {
        models::WaterUse use;
        use.name = "demand";
        use.daily_m3 = d.daily_m3 = multiplier * s.quantity("daily", "m3/day", {0, 1000});
        use.tap_flow_m3_s = d.tap_flow_m3_s = s.quantity("tap_flow", "m3/s", {1e-7, 0.1}, three_gpm_m3_s);
        use.weekday = use.weekend = models::household_profile;
        read_days(s, use);
        read_fixtures(s, use);
        d.profile = use.weekday;
        if (!use.fixtures.empty() || use.weekend != use.weekday || use.weekend_factor != 1 ||
            use.month_factor != models::even_months || use.day_variation > 0)
            d.varying = use;
    } else {
        for (auto const* key : {"daily", "profile", "tap_flow", "weekend_profile", "weekend_factor",
                                "month_factor", "day_variation", "drawn_as", "fixture"})
            if (s.has(key)) s.fail(key, "belongs to a [[use]] where there are any");
    }
    d.seed = static_cast<std::uint64_t>(s.count("seed", 0, 1000000000, 1));
    d.calendar_year = s.count("calendar_year", 1900, 2200, 2023);
    d.metered_pump_w = 1e3 * s.quantity("metered_pump_energy", "kWh/month", {0, 7000}, 0) / hours_per_month;
    s.finish();
}

}  // namespace holdwater::scenarios
