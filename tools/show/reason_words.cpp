#include "tools/show/reason_words.hpp"

namespace holdwater::tools {

std::string_view words(sim::LimitReason reason) {
    using sim::LimitReason;
    switch (reason) {
        case LimitReason::none:
            return "nothing failed";
        case LimitReason::battery_empty:
            return "the battery was empty";
        case LimitReason::inverter_limit:
            return "pump and loads together were more than the inverter can give";
        case LimitReason::backup_limit:
            return "pump and loads together were more than the backup can give";
        case LimitReason::pump_flow:
            return "the taps took more than the pump delivers";
        case LimitReason::transfer_break:
            return "the interruption while the supply was switched over";
        case LimitReason::start_refused:
            return "the motor's start was more than the supply can give";
        case LimitReason::inverter_tripped:
            return "the inverter had tripped";
        case LimitReason::grid_out:
            return "the inverter was bypassed and the grid was out";
        case LimitReason::well_dry:
            return "the well was drawn down to the pump";
        case LimitReason::cistern_empty:
            return "the cistern was empty";
        case LimitReason::motor_rest:
            return "the pump's rest timer kept it off";
        case LimitReason::asleep:
            return "the inverter was asleep in search mode";
        case LimitReason::load_shed:
            return "loads were shed at low SOC";
        case LimitReason::trough_empty:
            return "the animals drank faster than the float valve fills";
        case LimitReason::pump_gate:
            return "outside the hours or below the SOC at which the pump may run";
        case LimitReason::battery_limit:
            return "the battery's current limit was too low for pump and loads together";
        case LimitReason::sun_too_weak:
            return "there is no battery, and the sun was too weak for pump and loads";
        case LimitReason::low_pressure:
            return "the low-pressure cutoff of the pressure switch waited for its reset";
    }
    return "";
}

}  // namespace holdwater::tools
