#include "models/water/pump.hpp"

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

namespace {

template <class Get>
std::vector<double> column(PumpParameters const& p, Get get) {
    std::vector<double> c;
    for (auto const& row : p.curve) c.push_back(get(row));
    return c;
}

PumpParameters const& checked(PumpParameters const& p) {
    validate(p);
    return p;
}

}  // namespace

void validate(PumpParameters const& p) {
    require(p.curve.size() >= 2, "curve", static_cast<double>(p.curve.size()), "needs two rows or more");
    require(p.curve.front().flow_m3_s == 0, "flow_m3_s", p.curve.front().flow_m3_s,
            "the first row must be shut-off: flow 0 with its head");
    for (std::size_t i = 0; i < p.curve.size(); ++i) {
        auto const& row = p.curve[i];
        require(row.head_m >= 0 && row.head_m < 2000, "head_m", row.head_m,
                "must be 0..2000 m: a pump does not give negative head");
        require(row.power_w > 0 && row.power_w < 1e5, "power_w", row.power_w,
                "must be > 0 W and < 100 kW, also at shut-off: a pump turning against a closed valve draws "
                "power");
        if (i > 0) {
            require(row.flow_m3_s > p.curve[i - 1].flow_m3_s && row.flow_m3_s < 1, "flow_m3_s", row.flow_m3_s,
                    "must rise from row to row");
            require(row.head_m < p.curve[i - 1].head_m, "head_m", row.head_m,
                    "must fall from row to row: a rising curve has no unique operating point");
        }
        double const hydraulic_w = 1000 * gravity_m_s2 * row.flow_m3_s * row.head_m;
        require(hydraulic_w < row.power_w, "power_w", row.power_w,
                "must exceed the hydraulic power of its own row: no pump gives out more than it takes in");
        require(!p.power_is_input || hydraulic_w <= 0.75 * row.power_w, "power_w", row.power_w,
                "implies more than 75 % from wire to water, which no well pump of this size reaches: check "
                "units");
    }
}

PumpCurve::PumpCurve(PumpParameters const& p)
    : head_m(column(checked(p), [](auto const& r) { return r.flow_m3_s; }),
             column(p, [](auto const& r) { return r.head_m; })),
      power_w(column(p, [](auto const& r) { return r.flow_m3_s; }),
              column(p, [](auto const& r) { return r.power_w; })),
      power_is_input(p.power_is_input),
      max_flow_m3_s(p.curve.back().flow_m3_s),
      shut_off_head_m(p.curve.front().head_m) {}

}  // namespace holdwater::models
