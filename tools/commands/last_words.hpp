#pragma once

namespace holdwater::tools {

/// From now on the command does not end without words. A crash is said on standard error, then its signal
/// takes its course, with a core dump where the system keeps one. A library that ends the program by itself
/// is said too, with exit code `internal_error`. HDF5 does not expect an allocation to fail and does either
/// when memory is short: only where the system has none left is it called out of memory, with exit code
/// `internal_error` and without a dump. Files are unharmed, for they are renamed into place when whole. A
/// signal somebody handles already (a sanitizer) is left to them.
void promise_last_words();

/// The command ends in the ordinary way: nothing more to say. Returns `exit_code`, but ends at once on
/// `internal_error`.
int ends_ordinarily(int exit_code);

}  // namespace holdwater::tools
