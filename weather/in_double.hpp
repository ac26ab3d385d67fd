#pragma once

#include <boost/math/policies/policy.hpp>

namespace holdwater::weather {

/// For the functions of Boost: calculated in double and not in long double, which is slower, and in a browser
/// an emulation.
using InDouble = boost::math::policies::policy<boost::math::policies::promote_double<false>>;

}  // namespace holdwater::weather
