#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/base/figure_text.hpp"
#include "sim/designs/design_cost.hpp"
#include "tools/answers/verdict_words.hpp"
#include "tools/report/report_content.hpp"

namespace holdwater::tools {
namespace {

using Q = sim::ReportedDesign const&;

// A table with one column for each design; a row that is empty for all designs is left out.
class DesignTable {
  public:
    explicit DesignTable(sim::ReportRuns const& runs) : runs_(&runs) {}

    template <class Cell>
    void add(std::string label, Cell const& cell) {
        Json cells = Json::array();
        bool any = false;
        for (std::size_t i = 0; i < runs_->designs.size(); ++i) {
            auto const& design = runs_->designs[i];
            std::string text = cell(design);
            any = any || (!text.empty() && text != "–");
            cells.push_back({{"text", std::move(text)},
                             {"design", runs_->designs.size() > 1 ? Json(design.design.name) : Json(nullptr)},
                             {"quoted", i == runs_->quoted}});
        }
        if (any) rows_.push_back({{"label", std::move(label)}, {"cells", cells}});
    }
    [[nodiscard]] Json table(Json note) const {
        Json columns = Json::array();
        for (std::size_t i = 0; i < runs_->designs.size(); ++i)
            columns.push_back({{"name", runs_->designs[i].design.name}, {"quoted", i == runs_->quoted}});
        return {{"columns", columns},
                {"rows", rows_},
                {"note", std::move(note)},
                {"several", runs_->designs.size() > 1}};
    }

  private:
    sim::ReportRuns const* runs_;
    Json rows_ = Json::array();
};

double usable_kwh(Q d) {
    auto const& b = d.design.scenario.battery;
    return b.capacity_kwh * (1 - b.min_soc);
}

bool has(Q d, sim::Backup backup) { return d.design.scenario.rules.backup == backup; }

std::string money(Q d, double amount) {
    return fmt::format("{} {}", d.design.prices->currency, sim::figure_text(amount));
}

// The longest generator run of any start date in the cloudy days.
std::string backup_in_cloudy_period(sim::ReportedDesign const& d, ReportShow const& show) {
    double hours = 0, fuel_l = 0;
    for (auto const& s : d.designed.starts) {
        hours = std::max(hours, s.generator_h);
        fuel_l = std::max(fuel_l, s.generator_fuel_l);
    }
    return fmt::format("{} h, {}", sim::figure_text(hours, 1), show.fuel(fuel_l));
}

}  // namespace

std::string autonomy_text(sim::ReportedDesign const& d) {
    double const days = d.figures.autonomy.water.worst_d;
    return std::isinf(days) ? fmt::format("over {} days", sim::autonomy_looked_at_d)
                            : fmt::format("{} days", sim::figure_text(days, 1));
}

std::string first_shortage_alone(sim::ReportedDesign const& d, int days) {
    auto const& start = d.alone.starts[d.alone.worst];
    if (std::isfinite(start.first_shortage_h)) return "after " + first_shortage_days(start.first_shortage_h);
    if (std::isfinite(start.dry_after_h))
        return fmt::format("none in the {} days, but {} after them", days, time_text(start.dry_after_h));
    return "none";
}

Json report_options(sim::ReportRuns const& r, ReportShow const& show) {
    DesignTable t(r);
    t.add("PV array", [](Q d) {
        return number_text(1e-3 * models::array_rated_power_w(d.design.scenario.array), 2) + " kW";
    });
    t.add("battery, from full to minimum SOC, new",
          [](Q d) { return number_text(usable_kwh(d), 1) + " kWh"; });
    if (r.verdicts)
        t.add(winters_or_years(r.verdicts->winters, 2) + " without a shortage", [&](Q d) {
            auto const& v = r.verdicts->designs[static_cast<std::size_t>(&d - r.designs.data())]
                                .judged()
                                .judged()
                                .verdict;
            return fmt::format("{} of {}", v.held, v.years);
        });
    t.add("hours short of water in the typical year",
          [](Q d) { return sim::figure_text(d.figures.year.shortage_hours); });
    t.add("autonomy: water, no sun, no backup", [](Q d) { return autonomy_text(d); });
    t.add("generator in the typical year", [&](Q d) {
        return scenarios::uses_generator(d.design.scenario.rules)
                   ? fmt::format("{} h, {}", sim::figure_text(d.figures.year.generator_run_h, 1),
                                 show.fuel(d.figures.year.generator_fuel_l))
                   : std::string("–");
    });
    t.add("from the grid in the typical year", [](Q d) {
        return has(d, sim::Backup::grid) ? sim::figure_text(d.figures.year.grid_kwh) + " kWh"
                                         : std::string("–");
    });
    bool const priced =
        std::all_of(r.designs.begin(), r.designs.end(), [](Q d) { return d.design.prices.has_value(); });
    if (!priced) return t.table(nullptr);
    t.add("price, installed", [](Q d) { return money(d, d.design.prices->purchase); });
    t.add("life-cycle cost", [](Q d) { return money(d, d.cost->mean.life_cycle_cost); });
    bool const over_years = quoted(r).cost->spread.has_value();
    if (over_years)
        t.add("  in eight of ten years between",
              [](Q d) { return money(d, d.cost->spread->low) + " and " + money(d, d.cost->spread->high); });
    auto const& p = *quoted(r).design.prices;
    return t.table(fmt::format(
        "Life-cycle cost: present value of purchase, replacements, maintenance, fuel and grid "
        "energy less the "
        "residual value, over {:g} years at {:.4g} % a year, {}.",
        p.years, 100 * p.discount_rate,
        over_years ? "the mean over the years of the verdict" : "every year like the typical one"));
}

Json report_design_figures(sim::ReportRuns const& r, ReportShow const& show) {
    DesignTable t(r);
    int const n = r.trace.cloudy_period_days;
    t.add("battery aged to 80 %, from full to minimum SOC",
          [](Q d) { return number_text(0.8 * usable_kwh(d), 1) + " kWh"; });
    t.add("share of the year's demand met",
          [](Q d) { return fmt::format("{} %", number_text(100 * d.figures.year.demand_met_fraction, 2)); });
    t.add("shortfall of the year", [&](Q d) {
        return d.figures.year.shortage_hours > 0 ? show.volume(d.figures.year.water_short_m3)
                                                 : std::string("none");
    });
    t.add("lowest SOC of the year",
          [](Q d) { return fmt::format("{} %", sim::figure_text(100 * d.figures.year.soc_min)); });
    t.add(fmt::format("site's {} cloudy days, no backup, worst start date: first shortage", n),
          [&](Q d) { return first_shortage_alone(d, n); });
    t.add("everything full again after them, no backup", [&](Q d) {
        double const h = d.alone.starts[d.alone.worst].full_again_h;
        return std::isinf(h) ? std::string("not within a year") : "after " + time_text(h);
    });
    t.add(fmt::format("generator in those {} days, largest over all start dates", n), [&](Q d) {
        return scenarios::uses_generator(d.design.scenario.rules) ? backup_in_cloudy_period(d, show)
                                                                  : std::string("–");
    });
    t.add("motor start on the inverter", [](Q d) {
        auto const& checks = d.design_check.checks;
        auto const c =
            std::find_if(checks.begin(), checks.end(), [](auto const& k) { return k.name == "start-surge"; });
        if (c == checks.end()) return std::string("–");
        if (!std::isfinite(c->margin) || c->verdict == models::Verdict::unknown)
            return std::string(name(c->verdict));
        return fmt::format("{}, {:+.0f} %", name(c->verdict), 100 * (c->margin - 1));
    });
    return t.table("The start's margin counts other load running at that moment.");
}

}  // namespace holdwater::tools
