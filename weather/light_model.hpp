#pragma once

#include <string_view>

namespace holdwater::weather {

/// Which irradiance to use from a file that holds several side by side.
enum class LightModel {
    own,      ///< the only one that the file has
    suny,     ///< station archive: from images of weather satellites, 1998 on
    metstat,  ///< station archive: from cloud observations
    measured  ///< station archive: instruments, at a few stations
};

/// As the user writes and reads it; empty for `own`.
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
