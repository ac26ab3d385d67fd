#pragma once

namespace holdwater::tools {

/// From now on the command does not end without words. A crash, or a library that ends the program by itself,
/// is said on standard error and the exit code is `internal_error`: libraries that do not expect an
/// allocation to fail (UDUNITS, HDF5) do either when memory is short. Files are unharmed, for they are
/// renamed into place when whole. A signal somebody handles already (a sanitizer) is left to them.
void promise_last_words();

/// The command ends in the ordinary way: nothing more to say. Returns `exit_code`, but ends at once on
/// `internal_error`.
int ends_ordinarily(int exit_code);

}  // namespace holdwater::tools
