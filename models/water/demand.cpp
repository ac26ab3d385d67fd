#include "models/water/demand.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <random>

#include "models/numeric/parameter_error.hpp"
#include "models/numeric/random_stream.hpp"

namespace holdwater::models {

namespace {

constexpr double hour_s = 3600;

struct Day {
    std::size_t month = 0;
    bool weekend = false;
};

std::vector<Day> days_of_year(int year, bool leap_day) {
    using namespace std::chrono;
    std::vector<Day> days;
    for (sys_days d = std::chrono::year{year} / January / 1;
         d < sys_days{std::chrono::year{year + 1} / January / 1}; d += std::chrono::days{1}) {
        year_month_day const date{d};
        if (!leap_day && date.month() == February && date.day() == std::chrono::day{29}) continue;
        weekday const w{d};
        days.push_back({static_cast<unsigned>(date.month()) - 1, w == Saturday || w == Sunday});
    }
    return days;
}

double day_volume_m3(WaterUse const& use, Day const& day, double temperature_c) {
    double const base =
        use.drinking.empty() ? use.daily_m3 : use.heads * drinking_m3_per_head(use.drinking, temperature_c);
    return base * use.month_factor[day.month] * (day.weekend ? use.weekend_factor : use.weekday_factor);
}

/// Lognormal with mean 1.
double day_factor(std::mt19937_64& random, double variation) {
    auto const uniform = [&] { return static_cast<double>(random() >> 11) * 0x1p-53; };
    double const u1 = uniform(), u2 = uniform();
    return lognormal_factor(u1, u2, variation);
}

}  // namespace

void validate(DayProfile const& profile) {
    double sum = 0;
    for (double const w : profile) {
        require(w >= 0 && std::isfinite(w), "profile", w, "every hour's weight must be >= 0");
        sum += w;
    }
    require(sum > 0, "profile", sum, "must not be all zero");
}

DayProfile block_profile(int from_hour, int until_hour) {
    require(from_hour >= 0 && from_hour < 24, "from_hour", from_hour, "must be 0..23");
    require(until_hour >= 0 && until_hour <= 24, "until_hour", until_hour, "must be 0..24");
    DayProfile p{};
    int const hours = until_hour > from_hour ? until_hour - from_hour : until_hour - from_hour + 24;
    for (int i = 0; i < hours; ++i) p[static_cast<std::size_t>((from_hour + i) % 24)] = 1;
    return p;
}

std::array<double, 24> hourly_volumes_m3(DayProfile const& profile, double daily_m3) {
    double sum = 0;
    for (double const w : profile) sum += w;
    std::array<double, 24> out{};
    for (std::size_t h = 0; h < 24; ++h) out[h] = daily_m3 * (profile[h] / sum);
    return out;
}

TapOpening tap_opening(HourDemand const& d) {
    if (d.volume_m3 <= 0) return {0, d.tap_flow_m3_s};
    double const mean = d.volume_m3 / hour_s;
    if (!(d.tap_flow_m3_s > mean)) return {hour_s, mean};
    return {d.volume_m3 / d.tap_flow_m3_s, d.tap_flow_m3_s};
}

double drinking_m3_per_head(std::span<DrinkingPoint const> points, double t) {
    require(!points.empty(), "drinking", 0, "needs one point or more");
    if (t <= points.front().temperature_c) return points.front().volume_m3;
    for (std::size_t i = 1; i < points.size(); ++i) {
        auto const &a = points[i - 1], &b = points[i];
        if (t < b.temperature_c)
            return a.volume_m3 +
                   (b.volume_m3 - a.volume_m3) * (t - a.temperature_c) / (b.temperature_c - a.temperature_c);
    }
    return points.back().volume_m3;
}

std::vector<DrinkingPoint> animal_drinking(std::string const& name) {
    constexpr double winter_c = 40 / 9., summer_c = 240 / 9.;  // 40 and 80 degF
    struct Row {
        char const* name = nullptr;
        double winter_l = 0, summer_l = 0;
    };
    static constexpr std::array<Row, 9> rows{{{"cow_lactating", 77, 95},
                                              {"cow_with_calf", 50, 68},
                                              {"cow_dry", 36, 55},
                                              {"calf", 23, 36},
                                              {"growing", 36, 55},
                                              {"finishing", 55, 86},
                                              {"bull", 36, 55},
                                              {"horse", 36, 55},
                                              {"sheep", 3.6, 14}}};
    if (name == "beef_nursing") {
        constexpr double gal_m3 = 3.785411784e-3;
        return {{winter_c, 11.4 * gal_m3}, {140 / 9., 14.5 * gal_m3}, {summer_c, 17.9 * gal_m3}};
    }
    auto const row = std::find_if(rows.begin(), rows.end(), [&](auto const& r) { return name == r.name; });
    if (row == rows.end()) {
        std::string names = "beef_nursing";
        for (auto const& r : rows) names += std::string(", ") + r.name;
        throw ParameterError("animal \"" + name + "\"", 0, "must be one of " + names);
    }
    return {{winter_c, row->winter_l / 1000}, {summer_c, row->summer_l / 1000}};
}

void validate(WaterUse const& u) {
    require(u.daily_m3 >= 0 && u.daily_m3 <= 1000, "daily_m3", u.daily_m3, "must be 0..1000 m3 a day");
    require(u.tap_flow_m3_s >= 0 && u.tap_flow_m3_s <= 0.1, "tap_flow_m3_s", u.tap_flow_m3_s,
            "must be 0..0.1 m3/s");
    validate(u.weekday);
    validate(u.weekend);
    require(u.weekday_factor >= 0, "weekday_factor", u.weekday_factor, "must be >= 0");
    require(u.weekend_factor >= 0, "weekend_factor", u.weekend_factor, "must be >= 0");
    for (double const f : u.month_factor) require(f >= 0 && f <= 100, "month_factor", f, "must be 0..100");
    require(u.heads >= 0, "heads", u.heads, "must be >= 0");
    require(u.drinking.empty() || u.daily_m3 == 0, "daily_m3", u.daily_m3,
            "must be 0 when a drinking curve is given: heads times the curve is the day's volume");
    for (std::size_t i = 0; i < u.drinking.size(); ++i) {
        require(u.drinking[i].volume_m3 >= 0, "drinking", u.drinking[i].volume_m3,
                "must be >= 0 m3 per head");
        require(i == 0 || u.drinking[i].temperature_c > u.drinking[i - 1].temperature_c, "drinking",
                u.drinking[i].temperature_c, "temperatures must rise");
    }
    require(u.day_variation >= 0 && u.day_variation <= 3, "day_variation", u.day_variation, "must be 0..3");
    require(u.every_days >= 1 && u.every_days <= 365, "every_days", u.every_days, "must be 1..365");
    for (Fixture const& f : u.fixtures) validate(f);
}

WaterUse household_use(std::string name, double persons, double daily_m3_per_person, double tap_flow_m3_s) {
    require(persons >= 0 && persons <= 1000, "persons", persons, "must be 0..1000");
    WaterUse u;
    u.name = std::move(name);
    u.daily_m3 = persons * daily_m3_per_person;
    u.tap_flow_m3_s = tap_flow_m3_s;
    u.weekday = household_profile;
    u.weekend = household_weekend_profile;
    return u;
}

WaterUse livestock_use(std::string name, double heads, std::vector<DrinkingPoint> drinking,
                       double float_flow_m3_s) {
    WaterUse u;
    u.name = std::move(name);
    u.priority = 1;
    u.heads = heads;
    u.drinking = std::move(drinking);
    u.tap_flow_m3_s = float_flow_m3_s;
    u.weekday = u.weekend = livestock_profile;
    return u;
}

WaterUse backwash_use(std::string name, double volume_m3, int every_days, int at_hour, double flow_m3_s) {
    WaterUse u;
    u.name = std::move(name);
    u.daily_m3 = volume_m3;
    u.every_days = every_days;
    u.tap_flow_m3_s = flow_m3_s;
    u.weekday = u.weekend = block_profile(at_hour, at_hour + 1);
    return u;
}

WaterUse irrigation_use(std::string name, std::array<double, 12> const& daily_m3_by_month, int from_hour,
                        int until_hour, double flow_m3_s) {
    WaterUse u;
    u.name = std::move(name);
    u.priority = 2;
    u.daily_m3 = 1;
    u.month_factor = daily_m3_by_month;
    u.tap_flow_m3_s = flow_m3_s;
    u.weekday = u.weekend = block_profile(from_hour, until_hour);
    u.deferrable = true;
    return u;
}

WaterUse leak_use(std::string name, double flow_m3_s) {
    WaterUse u;
    u.name = std::move(name);
    u.daily_m3 = flow_m3_s * 24 * hour_s;
    return u;
}

double DemandYear::total_m3(std::size_t use) const {
    double sum = 0;
    for (std::size_t h = 0; h < hours; ++h) sum += at(h, use).volume_m3;
    return sum;
}

double DemandYear::hour_volume_m3(std::size_t hour) const {
    double sum = 0;
    for (std::size_t u = 0; u < uses; ++u) sum += at(hour, u).volume_m3;
    return sum;
}

DemandYear make_demand_year(std::span<WaterUse const> uses, DemandYearOptions const& options) {
    require(options.year >= 1900 && options.year <= 2200, "year", options.year, "must be 1900..2200");
    auto const days = days_of_year(options.year, options.leap_day);
    DemandYear out;
    out.hours = days.size() * 24;
    out.uses = uses.size();
    out.cells.resize(out.hours * out.uses);
    std::mt19937_64 random(options.seed);
    std::vector<double> volume_m3(days.size());
    for (std::size_t u = 0; u < uses.size(); ++u) {
        auto const& use = uses[u];
        validate(use);
        require(use.drinking.empty() || options.day_temperature_c.size() >= days.size(), "day_temperature_c",
                static_cast<double>(options.day_temperature_c.size()),
                "needs the mean temperature of every day for a use that follows temperature");
        double plain_m3 = 0, varied_m3 = 0;
        for (std::size_t d = 0; d < days.size(); ++d) {
            double const t = use.drinking.empty() ? 0 : options.day_temperature_c[d];
            volume_m3[d] =
                d % static_cast<std::size_t>(use.every_days) == 0 ? day_volume_m3(use, days[d], t) : 0;
            plain_m3 += volume_m3[d];
            if (use.day_variation > 0) volume_m3[d] *= day_factor(random, use.day_variation);
            varied_m3 += volume_m3[d];
        }
        double const scale =
            use.day_variation > 0 && options.keep_year_total && varied_m3 > 0 ? plain_m3 / varied_m3 : 1;
        for (std::size_t d = 0; d < days.size(); ++d) {
            auto const hourly =
                hourly_volumes_m3(days[d].weekend ? use.weekend : use.weekday, volume_m3[d] * scale);
            for (std::size_t h = 0; h < 24; ++h)
                out.cells[(d * 24 + h) * out.uses + u] = {hourly[h], use.tap_flow_m3_s};
        }
    }
    return out;
}

void share_by_priority(std::span<WaterUse const> uses, std::span<HourDemand const> hour, double available_m3,
                       std::span<double> delivered_m3) {
    std::fill(delivered_m3.begin(), delivered_m3.end(), 0.0);
    std::vector<int> ranks;
    for (auto const& u : uses) ranks.push_back(u.priority);
    std::sort(ranks.begin(), ranks.end());
    ranks.erase(std::unique(ranks.begin(), ranks.end()), ranks.end());
    for (int const rank : ranks) {
        double asked_m3 = 0;
        for (std::size_t u = 0; u < uses.size(); ++u)
            if (uses[u].priority == rank) asked_m3 += hour[u].volume_m3;
        if (asked_m3 <= 0) continue;
        double const share = std::min(1.0, available_m3 / asked_m3);
        for (std::size_t u = 0; u < uses.size(); ++u)
            if (uses[u].priority == rank) delivered_m3[u] = hour[u].volume_m3 * share;
        available_m3 -= std::min(available_m3, asked_m3);
    }
}

}  // namespace holdwater::models
