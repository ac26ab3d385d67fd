#pragma once

#include <boost/math/interpolators/cubic_hermite.hpp>
#include <vector>

namespace holdwater::models {

/// Shape-preserving cubic through points: no overshoot between them, continuous slope.
///
/// Equation: cubic Hermite. Interior slopes are the weighted harmonic mean of the neighboring secants
/// (Fritsch and Butland, SIAM J. Sci. Stat. Comput. 5, 1984; after Fritsch and Carlson 1980; from memory),
/// and 0 at a turning point. End slopes use three points and are limited to keep the shape. Two points give a
/// straight line. x must be strictly rising, with two points or more. There is no extrapolation: beyond the
/// ends the end value holds.
class MonotoneCubic {
  public:
    MonotoneCubic(std::vector<double> x, std::vector<double> y);
    double operator()(double x) const;
    double slope(double x) const;
    double first_x() const { return first_x_; }
    double last_x() const { return last_x_; }

  private:
    double first_x_, last_x_;
    boost::math::interpolators::cubic_hermite<std::vector<double>> cubic_;
};

/// Only the slopes, for tests.
std::vector<double> monotone_slopes(std::vector<double> const& x, std::vector<double> const& y);

}  // namespace holdwater::models
