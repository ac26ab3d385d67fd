#pragma once

#include <string>

#include "sim/sweep/sweep_file.hpp"
#include "sim/sweep/sweep_rows.hpp"

namespace holdwater::sim {

/// A manifest lists the finished files of one study in rows, whichever machine made them: one line of CSV
/// for each with the file, its command, shard, rows (from 1), the hash of its inputs, the hash of its bytes,
/// the version and the host. Shards on several machines may share one: it is locked while a line is added,
/// and a line that is there already is not added again. What is there and is no manifest, no ordinary file
/// or too large is refused. All functions throw ResultFileError.
///
/// Refuses at once what note_done would refuse after a long run, as far as it can be known.
void check_manifest(std::string const& manifest);
/// Adds a finished file.
void note_done(std::string const& manifest, std::string const& file, SweepHead const& head, RowRange rows);
/// Whether the file has the bytes with which the manifest lists it last; throws if it has not, or is not
/// listed.
void check_done(std::string const& manifest, std::string const& file);

}  // namespace holdwater::sim
