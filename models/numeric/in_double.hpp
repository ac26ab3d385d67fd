#pragma once

#include <boost/math/policies/policy.hpp>

namespace holdwater::models {

/// For the functions of Boost: calculated in double and not in long double, which is slower, an emulation in
/// a browser, and has fewer digits under valgrind than Boost counts on.
using InDouble = boost::math::policies::policy<boost::math::policies::promote_double<false>>;

}  // namespace holdwater::models
