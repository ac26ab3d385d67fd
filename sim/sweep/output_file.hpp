#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "sim/files/whole_file.hpp"

namespace holdwater::sim {

/// What a command writes, and by what such a file is known again.
struct OutputKind {
    std::string_view words;   ///< "a result of simulate"
    std::string_view group;   ///< as HDF5 it has this group; "": it is never HDF5
    std::string_view begins;  ///< as text it begins so, ...
    std::string_view holds;   ///< ... and this stands in its first 4 KB; "": it is never text
};

namespace outputs {
inline constexpr OutputKind run{"a result of simulate", "series", "", ""};
inline constexpr OutputKind cloudy_period{"a cloudy period of autonomy", "survival", "", ""};
inline constexpr OutputKind autonomy{"a result of autonomy", "autonomy", "", ""};
inline constexpr OutputKind sensitivity{"a result of sensitivity", "flipped", "", ""};
inline constexpr OutputKind compare{"a table of compare", "designs", "name,", ",reason\r\n"};
inline constexpr OutputKind years{"a table of years", "years", "year,", ",shortest_run_s"};
inline constexpr OutputKind size{"a table of size", "combinations", "", ",meets_all,"};
inline constexpr OutputKind sweep{"a table of sweep", "sweep", "row,", ",shortest_run_s"};
inline constexpr OutputKind page{"a report", "", "<!doctype html>",
                                 "<meta name=\"generator\" content=\"holdwater report\">"};
inline constexpr OutputKind made_weather{"a made year of weather", "", "# ", "is made by a random generator"};
}  // namespace outputs

/// Throws ResultFileError when `path` has the ending of a table that a command does not write: CSV or text
/// where HDF5 is meant, or the other way round. An HDF5 file may have any other name.
void check_ending(std::string const& path, OutputKind const& kind);

/// Whether a command may write to `path`: throws ResultFileError when it is one of the files `read` by the
/// command, under whatever name, or when it is there already and neither empty nor of that kind. So neither a
/// scenario nor a weather file, nor the result of another command, is written over by a name given by
/// mistake. What is no ordinary file is left to the writing itself. Empty paths are left out.
void check_output(std::string const& path, OutputKind const& kind, std::vector<std::string> const& read);
/// The first half of it alone.
void check_output_is_not_read(std::string const& path, std::vector<std::string> const& read);

}  // namespace holdwater::sim
