#pragma once

namespace holdwater::tools {

/// From now on the command does not end without a message. After a crash there is a message on standard
/// error; then the signal ends the program, with a core dump if the system keeps one. If a library ends the
/// program by itself, there is also a message, with exit code `internal_error`. Libraries that do not expect
/// an allocation to fail (HDF5) do one or the other when memory is short. Only if the system has no
/// memory left does the message say "out of memory", with exit code `internal_error` and without a core dump.
/// Files are not damaged, because they are renamed when they are complete. A signal that already has a
/// handler (of a sanitizer) is left to it.
void promise_last_words();

/// From now on the end of the command does not depend on its standard streams. Text for standard error that
/// cannot be written, because it is closed, full or a pipe that nobody reads, is dropped. The number of a
/// closed stream is kept in use, so that no file is opened in its place; writing to standard output then
/// fails, which is an error like any other. Control characters in messages and on standard output (from
/// titles, names, paths) become question marks, because a terminal would obey them; the colors of charts
/// stay.
void settle_streams();

/// The command ends in the ordinary way, so no message is needed. Returns `exit_code`, but ends at once on
/// `internal_error`.
int ends_ordinarily(int exit_code);

}  // namespace holdwater::tools
