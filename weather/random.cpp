#include "weather/random.hpp"

#include <boost/math/distributions/normal.hpp>

namespace holdwater::weather {

double normal_quantile(double p) { return boost::math::quantile(boost::math::normal(), p); }

}  // namespace holdwater::weather
