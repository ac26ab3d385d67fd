#pragma once

#include <string>

namespace holdwater::sim {

/// A figure for a reader. At least `decimals` digits behind the point, and of small figures as many as two of
/// their own take ("0.75", "8.8", at most four), so that what is there does not read 0; more than `decimals`
/// only where they are not zero ("8", not "8.0"). Never "-0". What is not a number is "not known", what has
/// no end "unlimited".
std::string figure_text(double value, int decimals = 0);

/// Digits behind the point, from `decimals` to four more, with which two figures that differ read
/// differently: for a value beside its limit. Figures within a millionth of each other count as the same.
int digits_apart(double value, double limit, int decimals);

/// Whether two figures are the same but for rounding: within a millionth of the second.
bool same_figure(double value, double limit);

}  // namespace holdwater::sim
