#pragma once

#include <string_view>

namespace holdwater::weather {

/// Which irradiance of a file that holds several side by side.
enum class LightModel {
    own,      ///< the only one that the file has
    suny,     ///< station archive: from pictures of weather satellites, 1998 on
    metstat,  ///< station archive: from cloud observations
    measured  ///< station archive: instruments, at few stations
};

/// As a person writes it and reads it; empty for `own`.
inline std::string_view name_of(LightModel model) {
    switch (model) {
        case LightModel::suny:
            return "SUNY";
        case LightModel::metstat:
            return "METSTAT";
        case LightModel::measured:
            return "measured";
        case LightModel::own:
            break;
    }
    return "";
}

}  // namespace holdwater::weather
