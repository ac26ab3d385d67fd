#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "sim/files/whole_file.hpp"

namespace holdwater::sim {

/// A kind of file that a command writes, and how such a file is recognized.
struct OutputKind {
    std::string_view words;   ///< "a result of simulate"
    std::string_view group;   ///< an HDF5 file of this kind has this group or dataset; "": it is never HDF5
    std::string_view begins;  ///< a text file of this kind begins with this, ...
    std::string_view holds;   ///< ... and its first 4 KB contain this; "": it is never a text file
};

namespace outputs {
inline constexpr OutputKind run{"a result of simulate", "series", "", ""};
inline constexpr OutputKind cloudy_period{"a cloudy period of autonomy", "survival", "", ""};
inline constexpr OutputKind autonomy{"a result of autonomy", "autonomy", "", ""};
inline constexpr OutputKind sensitivity{"a result of sensitivity", "flipped", "", ""};
inline constexpr OutputKind compare{"a table of compare", "designs", "name,", ",reason\r\n"};
inline constexpr OutputKind years{"a table of years", "years/year", "year,", ",shortest_run_s"};
inline constexpr OutputKind years_rows{"rows of years", "years/made_year", "", ""};
inline constexpr OutputKind size{"a table of size", "combinations", "", ",meets_all,"};
inline constexpr OutputKind size_rows{"rows of size", "size", "", ""};
inline constexpr OutputKind sweep{"a table of sweep", "sweep", "row,", ",shortest_run_s"};
inline constexpr OutputKind reliability{"reliability curves of sweep", "reliability", "array_ratio,",
                                        ",battery_kwh_99"};
inline constexpr OutputKind replay{"a table of replay", "days", "date,", ",modeled_backup_energy_kwh"};
inline constexpr OutputKind region{"a table of region", "region", "station_number,", ",reason\r\n"};
inline constexpr OutputKind region_map{"a map of region", "", "{", "\"made_by\": \"holdwater region\""};
inline constexpr OutputKind region_page{"a page of region", "", "<!doctype html>",
                                        "<meta name=\"generator\" content=\"holdwater region\">"};
inline constexpr OutputKind page{"a report", "", "<!doctype html>",
                                 "<meta name=\"generator\" content=\"holdwater report\">"};
inline constexpr OutputKind desk{"the page of desk", "", "<!doctype html>",
                                 "<meta name=\"generator\" content=\"holdwater desk\">"};
inline constexpr OutputKind made_weather{"a made year of weather", "", "# ", "is made by a random generator"};
}  // namespace outputs

/// Throws ResultFileError if the ending of `path` belongs to a table that the command does not write: CSV or
/// text instead of HDF5, or the other way around. An HDF5 file may have any other ending.
void check_ending(std::string const& path, OutputKind const& kind);

/// Checks that a command may write to `path`. Throws ResultFileError if it is one of the files that the
/// command reads (`read`), under whatever name, or if it exists and is neither empty nor of that kind. So a
/// scenario, a weather file or the result of another command is never overwritten because of a wrong name.
/// A folder, a device or a pipe is refused as well, before anything is run. Empty paths are skipped.
void check_output(std::string const& path, OutputKind const& kind, std::vector<std::string> const& read);
/// Whether the file is a table of `sweep` in HDF5 that has changed since it was written: it has the names and
/// the checksum line of one, but the checksum is wrong.
[[nodiscard]] bool is_damaged_sweep(std::string const& path);
/// Only the first of the two checks.
void check_output_is_not_read(std::string const& path, std::vector<std::string> const& read);

}  // namespace holdwater::sim
