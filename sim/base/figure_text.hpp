#pragma once

#include <string>

namespace holdwater::sim {

/// A figure for a reader. It has at least `decimals` digits after the point. A small figure has enough digits
/// to show two of its own ("0.75", "8.8", at most four), so that it does not read 0. Digits beyond `decimals`
/// are only shown if they are not zero ("8", not "8.0"). Commas between thousands ("82,125"). Never "-0". NaN
/// is "not known", infinity is "unlimited".
std::string figure_text(double value, int decimals = 0);

/// "82125.5" as "82,125.5"; a text that is not a plain decimal number stays as it is.
std::string with_thousands(std::string number);

/// Digits after the point, from `decimals` to four more, with which a value and its limit read differently if
/// they differ. Figures within a millionth of each other count as the same.
int digits_apart(double value, double limit, int decimals);

/// Whether two figures are the same except for rounding: within a millionth of the second one.
bool same_figure(double value, double limit);

}  // namespace holdwater::sim
