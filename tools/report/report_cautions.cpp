#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <limits>

#include "scenarios/settings/wiring_notes.hpp"
#include "sim/base/figure_text.hpp"
#include "tools/report/report_content.hpp"
#include "tools/show/date_text.hpp"

namespace holdwater::tools {
namespace {

void add(Json& list, char const* title, std::string text) {
    list.push_back({{"title", title}, {"text", std::move(text)}});
}

// An hour of day as hh:mm.
std::string clock(double hour_of_day) {
    long const minutes = std::lround(60 * hour_of_day);
    return fmt::format("{:02}:{:02}", minutes / 60, minutes % 60);
}

// Those that this design calls for.
void add_triggered(sim::ReportRuns const& r, ReportShow const& show, Json& list) {
    auto const& s = quoted_scenario(r);
    auto const coldest = *std::min_element(r.weather.temperature_c.begin(), r.weather.temperature_c.end());
    if (s.snow.days.any())
        add(list, "Snow on the array",
            fmt::format("The modeled year counts {} days with the array covered by snow. Clear it, or mount "
                        "the array "
                        "steep enough to shed it.",
                        s.snow.days.count()));
    else if (coldest < -5)
        add(list, "Snow on the array",
            "The modeled year has no day with snow on the array. After a snowfall the array gives nothing "
            "until it "
            "is cleared.");
    double const refuse_c = s.battery_behavior.charge_rule.refuse_below_c;
    if (std::isfinite(refuse_c))
        add(list, "Cold battery",
            fmt::format("No charging below {}.{}", show.temperature(refuse_c),
                        r.year.findings.charge_refused_h > 0
                            ? fmt::format(" In the modeled year charge was refused for {} hours.",
                                          sim::figure_text(r.year.findings.charge_refused_h))
                            : ""));
    double const base = r.what_ifs.base_days, leak = r.what_ifs.days_with_leak;
    if (std::isfinite(leak) && leak < base)
        add(list, "Leaks",
            fmt::format("A leak of {} cuts the days to the first shortage from {} to {}, in a "
                        "cloudy period at {} % of a clear sky without backup. Check toilets and taps.",
                        show.flow(6.30901964e-5),
                        std::isinf(base) ? fmt::format("over {}", sim::longest_shortage_days)
                                         : sim::figure_text(base, 1),
                        sim::figure_text(leak, 1), sim::figure_text(100 * r.what_ifs.clear_sky_share)));
    if (scenarios::uses_generator(s.rules)) {
        auto const& g = s.generator_operation.run;
        std::string text =
            "Start the engine first, then switch the pump on; stop the pump first. Run it outdoors, away "
            "from "
            "doors and windows: its exhaust kills.";
        if (g.quiet_from_h != g.quiet_to_h)
            text += fmt::format(" It does not run between {} and {} (quiet hours).", clock(g.quiet_from_h),
                                clock(g.quiet_to_h));
        if (g.top_up_within_h > 0)
            text += fmt::format(
                " From {} on it is called at {} % SOC already, to bring the battery through the quiet hours.",
                clock(models::top_up_from_h(g)), sim::figure_text(100 * s.generator_operation.top_up_below));
        double most_l = 0;
        for (auto const& start : quoted(r).designed.starts) most_l = std::max(most_l, start.generator_fuel_l);
        if (most_l > 0)
            text += fmt::format(" Keep at least {} of fuel on site for {} cloudy days.", show.fuel(most_l),
                                r.trace.cloudy_period_days);
        add(list, "Generator", text);
    }
    bool const by_hand = scenarios::bypassed_by_hand(s.rules);
    double const bypass_h = scenarios::listed_bypass_h(s.rules);
    if (by_hand || bypass_h > 0) {
        std::string text = by_hand ? fmt::format(
                                         "At {} % SOC someone puts pump and loads straight on the grid, and "
                                         "back at {} %: {} switches in the modeled year, there and back.",
                                         sim::figure_text(100 * s.rules.transfer_below),
                                         sim::figure_text(100 * s.rules.return_above),
                                         sim::figure_text(r.year.summary.transfers))
                                   : fmt::format("The inverter is bypassed for {} h of the modeled year.",
                                                 sim::figure_text(bypass_h));
        text +=
            " The grid does not charge the battery meanwhile, and if it fails then, nothing works until "
            "someone has switched back. The days without sun are counted with the bypass off.";
        add(list, "Bypass", text);
    }
    if (r.year.findings.dry_run_trips > 0)
        add(list, "Low well",
            fmt::format("The well was drawn down to the pump {} times in the modeled year. Dry-run "
                        "protection must be "
                        "fitted and tested.",
                        sim::figure_text(r.year.findings.dry_run_trips)));
    if (s.cutoff && s.cutoff->by_hand) {
        double const times = r.year.findings.low_pressure_cutoffs;
        add(list, "Pressure switch",
            fmt::format(
                "It has a low-pressure cutoff: when the pressure is lost, the pump stays off although "
                "the supply is back. Shut the taps and hold the lever until the gauge shows {}.{}",
                show.pressure(s.tank.cut_in_kpa),
                times > 0 ? fmt::format(" In the modeled year this was needed {} time{}.",
                                        sim::figure_text(times), times == 1 ? "" : "s")
                          : ""));
    }
    for (auto const& place : r.year.frozen)
        add(list, "Frost",
            fmt::format("{}: below its freezing limit for {} hours of the modeled year, first on {}{}.",
                        place.name, sim::figure_text(place.hours), stamp_text(place.first_h),
                        place.unpowered ? ", because the heater had no power" : ", with the heater on"));
    for (auto note : scenarios::wiring_notes(s)) {
        note.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(note.front())));
        add(list, "Wiring", sentence(note));
    }
}

}  // namespace

Json report_cautions(sim::ReportRuns const& r, ReportShow const& show) {
    Json list = Json::array();
    add(list, "Weather",
        "The modeled year is a typical one, made of ordinary months; a real winter can be cloudier. Nothing "
        "here is a guarantee of weather.");
    add_triggered(r, show, list);
    return list;
}

Json report_safety(scenarios::Scenario const& scenario) {
    bool const iec = scenario.wiring.rules == scenarios::WiringRules::iec;
    Json list = Json::array();
    add(list, "AC work",
        "Treat every conductor as live until it is tested dead. Lock out and tag out: an inverter system has "
        "two or more sources, and the array is live whenever there is light.");
    add(list, "Backfeed and transfer",
        iec ? "A backup may feed the building only through transfer equipment that is approved for it; "
              "backfeed "
              "kills. One connection of neutral and earth at a time, as the national wiring rules say."
            : "A backup may feed premises wiring only through listed transfer equipment; backfeed kills. One "
              "neutral-to-ground bond at a time. Confirm with the local inspector.");
    add(list, "Batteries",
        "Fuse at the battery, DC-rated devices, covered terminals. Ventilate lead-acid. Lithium cells are "
        "not charged below freezing unless their maker allows it.");
    add(list, "Well sanitation",
        "Keep the well head closed and clean; disinfect after work in the well. Water after a long loss of "
        "pressure may need testing.");
    add(list, "Start checks",
        "The year is run hour by hour; start checks are separate and static. A start test at hand-over is "
        "the proof.");
    add(list, "Who decides",
        iec ? "The national wiring rules, the network operator, the makers' instructions, and licensed "
              "electricians "
              "and pump installers decide, not this page."
            : "The locally adopted code, the utility, listing instructions, the inspector, and licensed "
              "electricians and pump installers decide, not this page.");
    return list;
}

Json report_not_modeled() {
    return {"partial shade; snow that slides or melts during a day",
            "surface charge, cells out of balance, aging of single cells",
            "waveform, heat derating of the inverter; voltage dip of the generator",
            "several pumps in one well; aquifer decline within the day",
            "pressure at the taps below the tank's precharge; pipes that freeze where no heater is given",
            "people using less water in an outage",
            "grounding, protection coordination and everything else the local code asks beyond the checks "
            "listed"};
}

}  // namespace holdwater::tools
