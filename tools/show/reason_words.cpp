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
            return "the inverter could not carry pump and loads together";
        case LimitReason::backup_limit:
            return "the backup could not carry pump and loads together";
        case LimitReason::pump_flow:
            return "the taps took more than the pump brings";
        case LimitReason::transfer_break:
            return "the break of a transfer";
        case LimitReason::start_refused:
            return "the motor's start did not fit the supply";
        case LimitReason::inverter_tripped:
            return "the inverter had tripped";
        case LimitReason::grid_out:
            return "the inverter was bypassed and the grid away";
        case LimitReason::well_dry:
            return "the well was drawn down to the pump";
        case LimitReason::cistern_empty:
            return "the cistern was empty";
        case LimitReason::motor_rest:
            return "the pump's rest timer held it";
        case LimitReason::asleep:
            return "the inverter slept in search mode";
        case LimitReason::load_shed:
            return "loads were shed at a low state of charge";
        case LimitReason::trough_empty:
            return "the animals drank faster than the float valve fills";
        case LimitReason::pump_gate:
            return "outside the hours and below the state of charge at which the pump may run";
        case LimitReason::battery_limit:
            return "the battery's current limit was too low for pump and loads together";
    }
    return "";
}

}  // namespace holdwater::tools
