#include "tools/show/remark_words.hpp"

#include <fmt/format.h>

#include "sim/base/figure_text.hpp"
#include "tools/show/date_text.hpp"

namespace holdwater::tools {
namespace {

using sim::figure_text;

std::string flow_text(double flow_m3_s) { return fmt::format("{} L/min", figure_text(6e4 * flow_m3_s, 1)); }

std::string sentence_of(sim::WaterRemark const& r) {
    using Kind = sim::WaterRemarkKind;
    switch (r.kind) {
        case Kind::short_cycling:
            return fmt::format(
                "short cycling: {} runs shorter than {} s, the shortest {} s; check the tank's air charge, "
                "or take more tank",
                figure_text(r.count), figure_text(r.limit),
                figure_text(r.value, sim::digits_apart(r.value, r.limit, 0)));
        case Kind::short_fillings:
            return fmt::format(
                "short cycling: {} fillings of the cistern shorter than {} s, the shortest {} s; give the "
                "float switch a wider band (cistern.fill_band with fill_rule \"surplus-only\" or "
                "\"prefer-surplus\", else fill_start further below fill_stop)",
                figure_text(r.count), figure_text(r.limit),
                figure_text(r.value, sim::digits_apart(r.value, r.limit, 0)));
        case Kind::too_many_starts:
            return fmt::format(
                "too many starts: up to {} in 24 h where the motor's size allows {}, exceeded in {} hours",
                figure_text(r.value), figure_text(r.limit), figure_text(r.count));
        case Kind::start_heat:
            return fmt::format("start heat: cycling heats the motor {} times as much as running all the time",
                               figure_text(r.value, 1));
        case Kind::long_days:
            return fmt::format(
                "the pump runs up to {} h a day; from 6 to 8 hours on, battery and array are sized for the "
                "pump (common practice)",
                figure_text(r.value, 1));
        case Kind::taps_above_pump:
            return fmt::format(
                "open taps can take {}, the pump gives {} at cut-in: the pressure falls when they stay open "
                "longer than the tank lasts",
                flow_text(r.value), flow_text(r.limit));
        case Kind::well_drawn_down:
            return fmt::format(
                "the well is drawn down to the pump {} times; the dry-run protection then holds the pump off",
                figure_text(r.count));
        case Kind::short_runs_in_well:
            return fmt::format(
                "short runs in a dry well: {:.0f} runs shorter than the {:.0f} s the motor should run, the "
                "shortest {:.0f} s, each ended by the dry-run protection; give the well longer to recover "
                "(well.restart_delay), or take a pump that gives less",
                r.count, r.limit, r.value);
        case Kind::well_locked_out:
            return "the dry-run protection has locked out and waits for someone on site";
        case Kind::water_spilled:
            return fmt::format("{} L spilled from the cistern", figure_text(1e3 * r.value));
        case Kind::low_pressure:
            return fmt::format(
                "the low-pressure cutoff of the pressure switch opened {} time{}; the pump then stays off "
                "until the switch is reset",
                figure_text(r.count), r.count == 1 ? "" : "s");
        case Kind::self_reset:
            return fmt::format(
                "pressure switch: with a control that resets itself 5 min after the pressure was lost, {} h "
                "short of water instead of {} h (tank.low_pressure_reset = \"automatic\")",
                figure_text(r.value), figure_text(r.limit));
        case Kind::frozen_unpowered:
            return fmt::format(
                "{}: below its freezing limit for {} h, first on {}, because the heater had no power; down "
                "to "
                "{:.0f} degC",
                r.name, figure_text(r.count), stamp_text(r.value), r.limit);
        case Kind::frozen_too_weak:
            return fmt::format(
                "{}: below its freezing limit for {} h, first on {}, with the heater on: it is too weak for "
                "this weather; down to {:.0f} degC",
                r.name, figure_text(r.count), stamp_text(r.value), r.limit);
        case Kind::use_short:
            return fmt::format("{}: {} % of its demand was delivered", r.name, figure_text(100 * r.value, 2));
    }
    return "";
}

}  // namespace

std::vector<std::string> words(std::vector<sim::WaterRemark> const& remarks) {
    std::vector<std::string> sentences;
    for (auto const& remark : remarks) sentences.push_back(sentence_of(remark));
    return sentences;
}

}  // namespace holdwater::tools
