#pragma once

#include <limits>
#include <optional>
#include <string_view>

namespace holdwater::sim {

enum class SpreadKind { uniform, normal, lognormal, triangular };

/// The distribution of a number that is not known for sure, in the unit in which it is typed. Densities from
/// textbooks; the quantile functions are those of Boost.Math.
///
///   uniform     from `low` to `high`
///   triangular  from `low` to `high`, most likely at `center`
///   normal      mean `center`, standard deviation `width`; cut off at `low` and `high` if they are finite
///   lognormal   median `center`, factor `width` above 1: 68 of 100 values are between center / width and
///               center * width; cut off in the same way
/// A distribution that is cut off keeps its shape between the limits, scaled to a probability of 1.
struct ValueSpread {
    SpreadKind kind = SpreadKind::uniform;
    double center = 0, width = 0;
    double low = -std::numeric_limits<double>::infinity(), high = std::numeric_limits<double>::infinity();
};

std::optional<SpreadKind> spread_named(std::string_view name);

/// Throws models::ParameterError.
void validate(ValueSpread const& spread);

/// The value below which a share of 0..1 lies. 0 and 1 themselves are moved inward by 1e-16, so that a
/// distribution without limits gives a finite number.
double quantile(ValueSpread const& spread, double share);

}  // namespace holdwater::sim
