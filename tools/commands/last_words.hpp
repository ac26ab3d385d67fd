#pragma once

namespace holdwater::tools {

/// From now on the command does not end without words. A crash is said on standard error, then its signal
/// takes its course, with a core dump where the system keeps one. A library that ends the program by itself
/// is said too, with exit code `internal_error`. HDF5 does not expect an allocation to fail and does either
/// when memory is short: only where the system has none left is it called out of memory, with exit code
/// `internal_error` and without a dump. Files are unharmed, for they are renamed into place when whole. A
/// signal somebody handles already (a sanitizer) is left to them.
void promise_last_words();

/// From now on the command's end does not depend on its standard streams. Text for standard error that cannot
/// be written, because it is closed, full or a pipe that nobody reads, is dropped. Of a stream that is closed
/// the number stays taken, so that no file is opened in its place; writing standard output then fails, which
/// is an error like any other. Control characters in messages (of titles, names, paths) become question
/// marks: a terminal would obey them.
void settle_streams();

/// The command ends in the ordinary way: nothing more to say. Returns `exit_code`, but ends at once on
/// `internal_error`.
int ends_ordinarily(int exit_code);

}  // namespace holdwater::tools
