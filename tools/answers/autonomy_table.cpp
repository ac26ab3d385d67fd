#include "tools/answers/autonomy_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <utility>

#include "sim/autonomy/least_size.hpp"
#include "sim/base/clock.hpp"
#include "sim/base/figure_text.hpp"
#include "tools/answers/outage_words.hpp"
#include "tools/show/cloudy_period_view.hpp"
#include "tools/show/date_text.hpp"
#include "tools/show/reason_words.hpp"
#include "tools/show/site_period_words.hpp"
#include "tools/show/wrap_text.hpp"

namespace holdwater::tools {
namespace {

constexpr std::size_t label_width = 34, unit_width = 5, least_width = 13, line_width = 100;

// A cell of a column under such heads.
std::size_t column_width(std::vector<std::string> const& names) {
    std::size_t width = least_width;
    for (auto const& name : names) width = std::max(width, name.size() + 1);
    return width;
}

using C = AutonomyColumn const&;

std::string both(sim::WorstAndMedian const& l, int looked_at_d) {
    return lasting_text(l.worst_d, looked_at_d) + " / " + lasting_text(l.median_d, looked_at_d);
}

using Cell = std::function<std::string(C)>;

class Lines {
  public:
    explicit Lines(std::vector<AutonomyColumn const*> columns) : columns_(std::move(columns)) {}

    void heads(std::vector<std::string> const& names) {
        width_ = column_width(names);
        out_ += fmt::format("  {:<{}}{:<{}}", "", label_width, "", unit_width);
        for (auto const& name : names) out_ += fmt::format("{:>{}}", name, width_);
        out_ += "\n";
    }
    void row(std::string const& label, std::string const& unit, Cell const& cell) {
        out_ += fmt::format("  {:<{}}{:<{}}", label, label_width, unit, unit_width);
        for (auto const* c : columns_) out_ += fmt::format(" {:>{}}", cell(*c), width_ - 1);
        out_ += "\n";
    }
    void section(std::string const& text) { out_ += fmt::format("\n  {}\n", text); }
    [[nodiscard]] std::string const& text() const { return out_; }

  private:
    std::vector<AutonomyColumn const*> columns_;
    std::size_t width_ = 13;
    std::string out_;
};

std::string flow_text(double m3_s, Units units) {
    auto const flow = shown(m3_s, "m3/s", units);
    return fmt::format("{:.3g} {}", flow.value, flow.unit);
}

sim::OutageLength const* outage_of(C c, double hours) {
    for (auto const& o : c.figures.outages)
        if (std::abs(o.hours - hours) < 1e-6) return &o;
    return nullptr;
}

// Every length of outage that causes a shortage in some column has rows of its own, in the order of the first
// column. Lengths without a shortage in any column share one row, because the share is the same for all of
// them.
void add_outages(Lines& t, std::vector<AutonomyColumn const*> const& columns, Units units) {
    std::vector<sim::OutageLength const*> lengths;
    for (auto const* c : columns)
        for (auto const& o : c->figures.outages)
            if (std::none_of(lengths.begin(), lengths.end(),
                             [&](auto const* l) { return std::abs(l->hours - o.hours) < 1e-6; }))
                lengths.push_back(&o);
    if (lengths.empty()) return;
    auto const kept_by_all = [&](sim::OutageLength const* l) {
        return std::all_of(columns.begin(), columns.end(), [&](auto const* c) {
            auto const* o = outage_of(*c, l->hours);
            return o == nullptr || o->kept == o->tried;
        });
    };
    auto const kept_from =
        std::stable_partition(lengths.begin(), lengths.end(), [&](auto const* l) { return !kept_by_all(l); });
    t.section("Outages of the grid, by length, each on every start date");
    auto const kept_share = [](C c, double hours) {
        if (c.figures.outages.empty()) return std::string("no grid");
        auto const* o = outage_of(c, hours);
        return o == nullptr ? std::string("-") : fmt::format("{:.1f}", 100 * o->kept / o->tried);
    };
    auto const worst = [](double hours, auto const& text) {
        return [hours, text](C c) {
            auto const* o = outage_of(c, hours);
            return o == nullptr || o->worst_gap_h == 0 ? std::string("-") : text(*o);
        };
    };
    using O = sim::OutageLength const&;
    for (auto at = lengths.begin(); at != kept_from; ++at) {
        double const hours = (*at)->hours;
        t.row(outage_length_text(hours) + ": start dates without a shortage", "%",
              [&, hours](C c) { return kept_share(c, hours); });
        t.row("  worst start", "", worst(hours, [](O o) { return stamp_text(o.worst_start_h); }));
        t.row("  first short of water", "",
              worst(hours, [](O o) { return stamp_text(o.worst_first_short_h); }));
        t.row("  longest shortage", "h", worst(hours, [](O o) { return sim::figure_text(o.worst_gap_h); }));
        t.row("  water short", shown(0, "m3", units).unit, worst(hours, [units](O o) {
                  return sim::figure_text(shown(o.worst_short_m3, "m3", units).value);
              }));
    }
    if (kept_from == lengths.end()) return;
    auto const [least, most] = std::minmax_element(
        kept_from, lengths.end(), [](auto const* a, auto const* b) { return a->hours < b->hours; });
    double const hours = (*kept_from)->hours;
    std::string const which =
        *least == *most ? outage_length_text(hours) + ": start dates without a shortage"
                        : fmt::format("each, {} to {}: no shortage", outage_length_text((*least)->hours),
                                      outage_length_text((*most)->hours));
    t.row(which, "%", [hours](C c) {
        return c.figures.outages.empty()        ? std::string("no grid")
               : outage_of(c, hours) == nullptr ? std::string("-")
                                                : std::string("100.0");
    });
}

void add_site_period(Lines& t) {
    t.section("The site's cloudy period moved to every start date, no backup");
    t.row("cloudy period: water", "d",
          [](C c) { return both(c.figures.site_period.water, sim::site_period_d); });
    t.row("cloudy period: power", "d",
          [](C c) { return both(c.figures.site_period.power, sim::site_period_d); });
    t.row("  start dates without a shortage", "%",
          [](C c) { return sim::figure_text(100 * c.figures.site_period.held); });
}

// The answer in a few rows: water and power, without sun, in the cloudy days, in outages.
std::string short_block(std::vector<AutonomyColumn const*> const& columns,
                        std::vector<std::string> const& names, Units units) {
    Lines t(columns);
    t.heads(names);
    t.section("Days to the first shortage, no sun, no backup (worst / median start date)");
    t.row("autonomy: water", "d", [](C c) { return both(c.figures.autonomy.water, c.figures.looked_at_d); });
    t.row("autonomy: power", "d", [](C c) { return both(c.figures.autonomy.power, c.figures.looked_at_d); });
    add_site_period(t);
    add_outages(t, columns, units);
    return t.text();
}

std::string block(AutonomyQuestion const& q, std::vector<AutonomyColumn const*> const& columns,
                  std::vector<std::string> const& names, Units units) {
    if (!q.detail) return short_block(columns, names, units);
    auto const water_unit = shown(0, "m3", units).unit;
    auto const volume = [units](double m3) { return sim::figure_text(shown(m3, "m3", units).value); };
    int const cloudy_d = q.cloudy_period_days;
    Lines t(columns);
    t.heads(names);
    t.row("usable in the battery", "kWh", [](C c) { return sim::figure_text(c.figures.usable_kwh, 1); });
    t.row("array", "kW", [](C c) { return sim::figure_text(c.figures.array_kw, 2); });
    t.row("stored water", water_unit, [&](C c) { return volume(c.figures.water_m3); });
    t.row("  at the use of the busiest day", "d", [](C c) {
        return std::isinf(c.figures.water_d) ? std::string("no use") : sim::figure_text(c.figures.water_d, 1);
    });
    t.section("No sun, no backup, battery full at sunset (worst / median start date)");
    t.row("autonomy: power, hand calculation", "d", [](C c) {
        return std::isinf(c.figures.by_hand_d) ? std::string("no end")
                                               : sim::figure_text(c.figures.by_hand_d, 1);
    });
    t.row("autonomy: water", "d", [](C c) { return both(c.figures.autonomy.water, c.figures.looked_at_d); });
    t.row("autonomy: power", "d", [](C c) { return both(c.figures.autonomy.power, c.figures.looked_at_d); });
    add_site_period(t);
    t.section("Little sun, no backup, battery and water as in the typical year at 00:00");
    t.row("cloudy days: water", "d", [cloudy_d](C c) { return both(c.figures.cloudy_water, cloudy_d); });
    if (q.leak_m3_s > 0)
        t.row("cloudy days: power", "d", [cloudy_d](C c) { return both(c.figures.no_leak_power, cloudy_d); });
    t.row("the year's own weather: water", "d",
          [](C c) { return both(c.figures.record_water, c.figures.looked_at_d); });
    t.row("full again after the cloudy days", "d", [](C c) {
        return c.figures.never_full > 0 ? std::string("NEVER") : sim::figure_text(c.figures.full_again_d, 1);
    });
    t.row("battery needed for no shortage", "kWh", [](C c) {
        return std::isinf(c.figures.battery_needed_kwh)
                   ? fmt::format("none to {}", sim::figure_text(sim::largest_factor * c.figures.battery_kwh))
                   : sim::figure_text(c.figures.battery_needed_kwh, 1);
    });
    bool const cistern = std::any_of(columns.begin(), columns.end(),
                                     [](auto const* c) { return c->figures.cistern_needed_m3.has_value(); });
    if (cistern)
        t.row("cistern needed for no shortage", water_unit, [&](C c) {
            auto const& needed = c.figures.cistern_needed_m3;
            if (!needed) return std::string("no cistern");
            return std::isinf(*needed) ? fmt::format("none to {}", volume(c.figures.cistern_tried_m3))
                                       : volume(*needed);
        });
    t.section("Water in cloudy days that begin at any hour, by what battery, cistern and trough hold then");
    for (std::size_t k = 0; k < columns[0]->figures.levels.size(); ++k) {
        constexpr std::array shares{"all full", "3/4 of what is usable", "1/2 of what is usable",
                                    "1/4 of what is usable", "as in the typical year"};
        t.row(shares[std::min(k, shares.size() - 1)], "d",
              [&, k](C c) { return both(c.figures.levels[k].water, cloudy_d); });
    }
    if (q.leak_m3_s > 0) {
        t.section(fmt::format("A leak of {} in the cloudy days", flow_text(q.leak_m3_s, units)));
        t.row("water", "d", [cloudy_d](C c) { return both(c.figures.leak_water, cloudy_d); });
        t.row("power", "d", [cloudy_d](C c) { return both(c.figures.leak_power, cloudy_d); });
        t.row("pump starts a day without, with", "", [](C c) {
            return fmt::format("{}, {}", sim::figure_text(c.figures.starts_per_day),
                               sim::figure_text(c.figures.leak_starts_per_day));
        });
    }
    add_outages(t, columns, units);
    return t.text();
}

// The designs side by side, as many as fit on a line, then the next ones below.
std::string blocks(AutonomyQuestion const& q, std::vector<AutonomyColumn const*> const& columns,
                   Units units) {
    std::vector<std::string> names;
    names.reserve(columns.size());
    for (auto const* c : columns) names.push_back(c->design);
    std::size_t const room = line_width - 2 - label_width - unit_width,
                      most = std::max<std::size_t>(1, room / column_width(names));
    std::string out;
    for (std::size_t i = 0; i < columns.size(); i += most) {
        auto const first = static_cast<std::ptrdiff_t>(i),
                   last = static_cast<std::ptrdiff_t>(std::min(i + most, columns.size()));
        if (i > 0) out += "\n";
        out += block(q, {columns.begin() + first, columns.begin() + last},
                     {names.begin() + first, names.begin() + last}, units);
    }
    return out;
}

// Designs that age in the same way share a line.
std::string ages_note(AutonomyQuestion const& q, std::vector<AutonomyColumn> const& columns) {
    std::vector<std::pair<std::string, std::string>> lines;  // the text, and the names of its designs
    bool assumed = false;
    for (auto const& c : columns) {
        if (c.age_y == 0) continue;
        assumed = assumed || c.life_assumed;
        auto const text =
            fmt::format("{:g} years on, the battery holds {} %{} and the array gives {} % of now", q.years,
                        sim::figure_text(100 * c.battery_left), c.life_assumed ? " (assumed)" : "",
                        sim::figure_text(100 * c.array_left));
        auto const same =
            std::find_if(lines.begin(), lines.end(), [&](auto const& l) { return l.first == text; });
        if (same == lines.end())
            lines.emplace_back(text, c.design);
        else
            same->second += ", " + c.design;
    }
    std::string out;
    for (auto const& [text, designs] : lines)
        out += fmt::format("  {}{}.\n", lines.size() > 1 ? designs + ": " : "", text);
    if (assumed)
        out +=
            "  Assumed: the scenario states no battery life, so the battery is taken at the end of its "
            "life.\n";
    return out;
}

// Of the first design that is bypassed at times.
std::string bypass_note(std::vector<AutonomyColumn> const& columns) {
    std::string out;
    for (auto const& c : columns) {
        auto const text = bypass_words(c.figures);
        if (text.empty() || c.age_y > 0) continue;
        wrap(out, "  ", columns.size() > 2 ? c.design + ": " + text : text, line_width);
    }
    return out;
}

std::string headline(AutonomyColumn const& c) {
    auto const& water = c.figures.autonomy.water;
    if (std::isinf(water.worst_d))
        return fmt::format("Water for more than {} days without any sun, from every start date.",
                           c.figures.looked_at_d);
    auto const& power = c.figures.autonomy.power;
    if (sim::not_for_power(c.figures.autonomy.water_reason))
        return fmt::format(
            "Water is first short {} h after sunset (worst start date {}), because {}, not for lack of sun. "
            "Power lasts {}.",
            sim::figure_text(24 * water.worst_d), date_text(water.worst_day),
            words(c.figures.autonomy.water_reason),
            std::isinf(power.worst_d)
                ? fmt::format("more than {} days without any sun", c.figures.looked_at_d)
                : sim::figure_text(power.worst_d, 1) + " days without any sun");
    return fmt::format("Water for {} days without any sun, battery full at sunset, worst start date {}.",
                       sim::figure_text(water.worst_d, 1), date_text(water.worst_day));
}

}  // namespace

std::vector<AutonomyFigure> const& autonomy_figures() {
    static std::vector<AutonomyFigure> const figures{
        {"age_y", "year", "years of service from now", [](C c) { return c.age_y; }},
        {"battery_left", "1", "battery capacity over what it is now", [](C c) { return c.battery_left; }},
        {"array_left", "1", "array rating over what it is now", [](C c) { return c.array_left; }},
        {"battery_kwh", "kWh", "battery capacity", [](C c) { return c.figures.battery_kwh; }},
        {"usable_kwh", "kWh", "usable energy from full to the minimum SOC, at the terminals",
         [](C c) { return c.figures.usable_kwh; }},
        {"array_kw", "kW", "array rating", [](C c) { return c.figures.array_kw; }},
        {"stored_water_m3", "m3", "water between pump and taps", [](C c) { return c.figures.water_m3; }},
        {"stored_water_d", "day", "the same in days of the busiest day's use",
         [](C c) { return c.figures.water_d; }},
        {"hand_calculation_d", "day", "no sun, hand calculation: usable energy over a day's use",
         [](C c) { return c.figures.by_hand_d; }},
        {"autonomy_water_worst_d", "day",
         "no sun, battery full at sunset: first shortage of water, worst start date",
         [](C c) { return c.figures.autonomy.water.worst_d; }},
        {"autonomy_water_median_d", "day", "the same, median start date",
         [](C c) { return c.figures.autonomy.water.median_d; }},
        {"autonomy_power_worst_d", "day", "no sun, battery full at sunset: inverter off, worst start date",
         [](C c) { return c.figures.autonomy.power.worst_d; }},
        {"autonomy_power_median_d", "day", "the same, median start date",
         [](C c) { return c.figures.autonomy.power.median_d; }},
        {"site_period_water_worst_d", "day",
         "the site's cloudy period at every start date: first shortage of water, worst start date",
         [](C c) { return c.figures.site_period.water.worst_d; }},
        {"site_period_water_median_d", "day", "the same, median start date",
         [](C c) { return c.figures.site_period.water.median_d; }},
        {"site_period_power_worst_d", "day",
         "the site's cloudy period at every start date: inverter off, worst start date",
         [](C c) { return c.figures.site_period.power.worst_d; }},
        {"site_period_held", "1",
         "share of the start dates of the site's cloudy period without a shortage of water",
         [](C c) { return c.figures.site_period.held; }},
        {"cloudy_water_worst_d", "day", "cloudy days: first shortage of water, worst start date",
         [](C c) { return c.figures.cloudy_water.worst_d; }},
        {"cloudy_water_median_d", "day", "the same, median start date",
         [](C c) { return c.figures.cloudy_water.median_d; }},
        {"own_weather_water_worst_d", "day",
         "the year's own weather: first shortage of water, worst start date",
         [](C c) { return c.figures.record_water.worst_d; }},
        {"own_weather_water_median_d", "day", "the same, median start date",
         [](C c) { return c.figures.record_water.median_d; }},
        {"full_again_d", "day",
         "battery, cistern and trough, after the cloudy days, slowest start date; infinite: never within a "
         "year",
         [](C c) { return c.figures.full_again_d; }},
        {"never_full_share", "1", "start dates after which it is never full again",
         [](C c) { return c.figures.never_full; }},
        {"battery_needed_kwh", "kWh",
         "battery needed for no shortage at any start date of the cloudy days; infinite: none is enough",
         [](C c) { return c.figures.battery_needed_kwh; }},
        {"cistern_needed_m3", "m3",
         "cistern needed for no shortage at any start date of the cloudy days; infinite: none is enough; "
         "NaN: no cistern",
         [](C c) { return c.figures.cistern_needed_m3.value_or(NAN); }},
        {"leak_water_worst_d", "day", "cloudy days with the leak: first shortage of water, worst start date",
         [](C c) { return c.figures.leak_water.worst_d; }},
        {"power_worst_d", "day", "cloudy days: inverter off, worst start date",
         [](C c) { return c.figures.no_leak_power.worst_d; }},
        {"leak_power_worst_d", "day", "the same with the leak",
         [](C c) { return c.figures.leak_power.worst_d; }},
        {"starts_per_day", "1", "pump starts a day without the leak",
         [](C c) { return c.figures.starts_per_day; }},
        {"leak_starts_per_day", "1", "pump starts a day with the leak",
         [](C c) { return c.figures.leak_starts_per_day; }},
        {"outages_worst_gap_h", "h",
         "longest shortage of water in any outage on any start date; NaN: no grid",
         [](C c) {
             if (c.figures.outages.empty()) return static_cast<double>(NAN);
             double worst_h = 0;
             for (auto const& o : c.figures.outages) worst_h = std::max(worst_h, o.worst_gap_h);
             return worst_h;
         }},
    };
    return figures;
}

std::string autonomy_table(AutonomyQuestion const& q, std::vector<AutonomyColumn> const& columns,
                           Units units) {
    std::vector<AutonomyColumn const*> fresh, old;
    for (auto const& c : columns) (c.age_y == 0 ? fresh : old).push_back(&c);
    std::string out;
    out += "How long does it last without sun?\n";
    for (auto const* c : fresh)
        wrap(out, "  ", (fresh.size() > 1 ? c->design + ": " : "") + headline(*c), line_width);
    out += "\n";
    std::string const later = fmt::format("{:g} years on", q.years);
    if (fresh.size() == 1 && old.size() == 1) {
        out += block(q, {fresh[0], old[0]}, {"now", later}, units);
    } else {
        out += blocks(q, fresh, units);
        if (!old.empty()) out += fmt::format("\n{}\n\n", later) + blocks(q, old, units);
    }
    out += "\n";
    wrap(out, "  ",
         fmt::format(
             "No sun: from sunset with a full battery. Cloudy period: {}, from 00:00; >{} lasts longer "
             "than these days. Cistern and trough (and the battery in the cloudy period) begin where "
             "the typical year has them at that date and hour; a pressure tank begins full. Times are to the "
             "hour.",
             site_period_text(columns[0].figures.site_period.site), sim::site_period_d),
         line_width);
    out += q.detail ? fmt::format(
                          "  Cloudy days: {}, up to {} days, from 00:00, battery as in the typical year.\n"
                          "  Hand calculation: the busiest day's use.\n",
                          q.cloudy_period_text, q.cloudy_period_days)
                    : "  Stored energy and water, sizes that would be enough, a lower SOC at the start, a "
                      "leak: --detail\n";
    return out + bypass_note(columns) + ages_note(q, columns);
}

std::string bypass_words(sim::AutonomyFigures const& f) {
    std::string text;
    if (f.hand_response_h)
        text = fmt::format(
            "Counted with the bypass off: without the grid nobody uses it, and each outage begins with the "
            "inverter in service. If the grid goes while the inverter is bypassed by hand, pump and loads "
            "have no power for up to {} h more, until someone has switched back.",
            sim::figure_text(*f.hand_response_h));
    if (f.listed_bypass_h > 0)
        text += fmt::format(
            "{}The listed bypass, {} h in the year, counts in the outages that fall into it: no "
            "power until the grid is back or the bypass ends.",
            text.empty() ? "Days without sun are counted with the bypass off. " : " ",
            sim::figure_text(f.listed_bypass_h));
    return text;
}

std::vector<OutageFigure> const& outage_figures() {
    using O = sim::OutageLength const&;
    static std::vector<OutageFigure> const figures{
        {"length_h", "h", "length of the outage", [](O o) { return o.hours; }},
        {"listed", "1", "outages of the design with this length, or times of day tried",
         [](O o) { return o.listed; }},
        {"tried", "1", "each of them on each start date", [](O o) { return o.tried; }},
        {"kept", "1", "of those, without a shortage of water", [](O o) { return o.kept; }},
        {"worst_gap_h", "h", "longest shortage of water in any of them", [](O o) { return o.worst_gap_h; }},
        {"worst_short_m3", "m3", "water short in that one", [](O o) { return o.worst_short_m3; }},
        {"worst_start_h", "h", "when that one began, hours since 00:00 on 1 January; NaN: none is short",
         [](O o) { return o.worst_gap_h > 0 ? o.worst_start_h : NAN; }},
        {"worst_first_short_h", "h", "its first hour short of water, likewise",
         [](O o) { return o.worst_gap_h > 0 ? o.worst_first_short_h : NAN; }},
    };
    return figures;
}

std::vector<sim::Table> autonomy_tables(std::vector<AutonomyColumn> const& columns) {
    sim::Table figures{"autonomy", {}}, levels{"start_states", {}};
    std::vector<std::string> names, level_names;
    std::vector<double> ages, share, level, worst, median;
    for (auto const& c : columns) {
        names.push_back(c.design);
        for (auto const& l : c.figures.levels) {
            level_names.push_back(c.design);
            ages.push_back(c.age_y);
            share.push_back(l.usable_share.value_or(NAN));
            level.push_back(l.level);
            worst.push_back(l.water.worst_d);
            median.push_back(l.water.median_d);
        }
    }
    figures.columns.push_back({"design", "1", "option of the scenario", names});
    for (auto const& figure : autonomy_figures()) {
        std::vector<double> values;
        values.reserve(columns.size());
        for (auto const& c : columns) values.push_back(figure.get(c));
        figures.columns.push_back({figure.name, figure.unit, figure.long_name, values});
    }
    levels.columns = {
        {"design", "1", "option of the scenario", level_names},
        {"age_y", "year", "years of service from now", ages},
        {"usable_share", "1", "of what battery, cistern and trough hold; NaN: typical year", share},
        {"soc", "1", "state of charge when the cloudy days begin; of the year: mean", level},
        {"water_worst_d", "day", "first shortage of water, worst start hour", worst},
        {"water_median_d", "day", "first shortage of water, median start hour", median}};
    sim::Table outages{"outages", {}};
    std::vector<std::string> outage_names;
    std::vector<double> outage_ages;
    for (auto const& c : columns)
        for (std::size_t i = 0; i < c.figures.outages.size(); ++i) {
            outage_names.push_back(c.design);
            outage_ages.push_back(c.age_y);
        }
    outages.columns = {{"design", "1", "option of the scenario", outage_names},
                       {"age_y", "year", "years of service from now", outage_ages}};
    for (auto const& figure : outage_figures()) {
        std::vector<double> values;
        for (auto const& c : columns)
            for (auto const& o : c.figures.outages) values.push_back(figure.get(o));
        outages.columns.push_back({figure.name, figure.unit, figure.long_name, values});
    }
    if (outage_names.empty()) return {figures, levels};
    return {figures, levels, outages};
}

}  // namespace holdwater::tools
