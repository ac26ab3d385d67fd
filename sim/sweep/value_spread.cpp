#include "sim/sweep/value_spread.hpp"

#include <algorithm>
#include <array>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/triangular.hpp>
#include <cmath>
#include <utility>

#include "models/numeric/in_double.hpp"
#include "models/numeric/parameter_error.hpp"

namespace holdwater::sim {
namespace {

namespace bm = boost::math;
using Normal = bm::normal_distribution<double, models::InDouble>;
using Triangular = bm::triangular_distribution<double, models::InDouble>;

constexpr double least_share = 0x1p-53;

// The distribution as a normal one: for lognormal, that of the logarithm of the value.
struct AsNormal {
    Normal normal;
    double low = 0, high = 0;
};

AsNormal as_normal(ValueSpread const& s) {
    if (s.kind == SpreadKind::normal) return {Normal(s.center, s.width), s.low, s.high};
    return {Normal(std::log(s.center), std::log(s.width)), s.low > 0 ? std::log(s.low) : -INFINITY,
            std::log(s.high)};
}

double below(Normal const& normal, double x) {
    if (std::isinf(x)) return x < 0 ? 0 : 1;
    return bm::cdf(normal, x);
}

}  // namespace

std::optional<SpreadKind> spread_named(std::string_view name) {
    constexpr std::array known{
        std::pair{"uniform", SpreadKind::uniform}, std::pair{"normal", SpreadKind::normal},
        std::pair{"lognormal", SpreadKind::lognormal}, std::pair{"triangular", SpreadKind::triangular}};
    for (auto const& [text, kind] : known)
        if (name == text) return kind;
    return std::nullopt;
}

void validate(ValueSpread const& s) {
    using models::require;
    switch (s.kind) {
        case SpreadKind::uniform:
            require(std::isfinite(s.low) && std::isfinite(s.high) && s.low < s.high, "low", s.low,
                    "must be below high");
            return;
        case SpreadKind::triangular:
            require(std::isfinite(s.low) && std::isfinite(s.high) && s.low < s.high, "low", s.low,
                    "must be below high");
            require(s.low <= s.center && s.center <= s.high, "most likely", s.center,
                    "must lie from low to high");
            return;
        case SpreadKind::normal:
            require(std::isfinite(s.center), "mean", s.center, "must be a number");
            require(std::isfinite(s.width) && s.width > 0, "standard deviation", s.width, "must be above 0");
            break;
        case SpreadKind::lognormal:
            require(std::isfinite(s.center) && s.center > 0, "median", s.center, "must be above 0");
            require(std::isfinite(s.width) && s.width > 1, "factor", s.width, "must be above 1");
            break;
    }
    require(s.low < s.high, "low", s.low, "must be below high");
    auto const n = as_normal(s);
    require(below(n.normal, n.high) - below(n.normal, n.low) > 1e-6, "low", s.low,
            "low and high leave nearly nothing of the spread between them");
}

double quantile(ValueSpread const& s, double share) {
    double const u = std::clamp(share, least_share, 1 - least_share);
    if (s.kind == SpreadKind::uniform) return s.low + (s.high - s.low) * share;
    if (s.kind == SpreadKind::triangular) return bm::quantile(Triangular(s.low, s.center, s.high), u);
    auto const n = as_normal(s);
    double const from = below(n.normal, n.low), to = below(n.normal, n.high);
    double const z = bm::quantile(n.normal, std::clamp(from + (to - from) * u, least_share, 1 - least_share));
    return std::clamp(s.kind == SpreadKind::normal ? z : std::exp(z), s.low, s.high);
}

}  // namespace holdwater::sim
