#include "models/water/pump_cycle.hpp"

#include <boost/math/tools/toms748_solve.hpp>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

TankFillCurve fill_curve_from_nodes(std::vector<FillNode> nodes, double cut_in_m3, double cut_out_m3) {
    require(nodes.size() >= 2, "nodes", static_cast<double>(nodes.size()), "needs two nodes or more");
    require(nodes.front().water_m3 == 0, "water_m3", nodes.front().water_m3,
            "the first node must be the empty tank");
    TankFillCurve c;
    c.cut_in_m3 = cut_in_m3;
    c.cut_out_m3 = cut_out_m3;
    for (std::size_t i = 0; i < nodes.size(); ++i) {
        auto const& n = nodes[i];
        require(n.flow_m3_s >= 0 && std::isfinite(n.flow_m3_s), "flow_m3_s", n.flow_m3_s, "must be >= 0");
        require(n.power_w >= 0 && std::isfinite(n.power_w), "power_w", n.power_w, "must be >= 0");
        if (i == 0) continue;
        auto const& b = nodes[i - 1];
        double const width = n.water_m3 - b.water_m3;
        require(width > 0, "water_m3", n.water_m3, "must rise from node to node");
        require(n.flow_m3_s <= b.flow_m3_s, "flow_m3_s", n.flow_m3_s, "must not rise with stored water");
        c.pieces.push_back({b.water_m3, n.water_m3, b.flow_m3_s, (n.flow_m3_s - b.flow_m3_s) / width,
                            b.power_w, (n.power_w - b.power_w) / width});
    }
    c.nodes = std::move(nodes);
    c.reaches_cut_out = c.nodes.back().water_m3 >= cut_out_m3 && flow_at_m3_s(c, cut_out_m3) > 0;
    return c;
}

namespace {

/// Flow at a tank pressure, from the pressure at each flow; `last_flow` if the pressure is below the pressure
/// there.
template <class AtFlow>
double flow_at_pressure_m3_s(AtFlow const& at_flow, double last_flow, double pressure_kpa) {
    auto const surplus_kpa = [&](double flow) { return at_flow(flow).pressure_kpa - pressure_kpa; };
    double const at_zero = surplus_kpa(0), at_last = surplus_kpa(last_flow);
    if (!(at_zero > 0)) return 0;
    if (at_last >= 0) return last_flow;
    std::uintmax_t steps = 100;
    auto const b = boost::math::tools::toms748_solve(surplus_kpa, 0.0, last_flow, at_zero, at_last,
                                                     boost::math::tools::eps_tolerance<double>(50), steps);
    return 0.5 * (b.first + b.second);
}

/// The chords of a curved line are all on the same side of it, so their errors would add up over a fill. This
/// moves each inner node of a stretch by 2/3 of the mean gap between chord and line in the middle of the
/// pieces on its two sides (at the ends of the stretch, of the one piece). Then the chords have the same mean
/// as the line. `gap[i]` belongs to the piece after node first + i.
void balance_chords(std::vector<FillNode>& nodes, std::size_t first, std::vector<FillNode> const& gap,
                    bool move_first, bool move_last) {
    for (std::size_t i = 0; i <= gap.size(); ++i) {
        if ((i == 0 && !move_first) || (i == gap.size() && !move_last)) continue;
        FillNode const &before = gap[i == 0 ? 0 : i - 1], &after = gap[i == gap.size() ? i - 1 : i];
        nodes[first + i].flow_m3_s += (before.flow_m3_s + after.flow_m3_s) / 3;
        nodes[first + i].power_w += (before.power_w + after.power_w) / 3;
    }
}

}  // namespace

TankFillCurve make_fill_curve(PressureTankParameters const& tank,
                              std::function<DeliveredAt(double flow_m3_s)> const& at_flow,
                              double last_flow_m3_s, int count) {
    validate(tank);
    require(count >= 2 && count <= 1000, "nodes", count, "must be 2..1000");
    require(last_flow_m3_s > 0, "last_flow_m3_s", last_flow_m3_s, "must be > 0");
    // Pressures at which something changes. Between them the nodes are at equal steps of flow, because then
    // the pressure needs no solving. Near shut-off the flow falls like a square root, and equal steps of flow
    // put more nodes where it is steep.
    double const shut_off_kpa = at_flow(0).pressure_kpa, run_out_kpa = at_flow(last_flow_m3_s).pressure_kpa;
    double const top_kpa = std::max(shut_off_kpa, tank.cut_out_kpa * 1.05);
    std::vector<double> marks_kpa{tank.precharge_kpa};
    for (double const p : {tank.cut_in_kpa, tank.cut_out_kpa, top_kpa})
        if (p > marks_kpa.back()) marks_kpa.push_back(p);
    for (double const p : {run_out_kpa, shut_off_kpa}) {
        bool const taken =
            std::any_of(marks_kpa.begin(), marks_kpa.end(), [&](double m) { return std::abs(m - p) < 1e-3; });
        if (!taken && p > tank.precharge_kpa && p < top_kpa) marks_kpa.push_back(p);
    }
    std::sort(marks_kpa.begin(), marks_kpa.end());

    double const band_kpa = tank.cut_out_kpa - tank.cut_in_kpa;
    auto const pieces_between = [&](double from, double to) {
        if (from >= tank.cut_out_kpa) return 8;
        if (from >= tank.cut_in_kpa) return count;
        return std::max(4, static_cast<int>(std::ceil(count * (to - from) / band_kpa)));
    };
    auto const node = [&](double p_kpa, double flow, double power_w) {
        return FillNode{stored_water_m3(tank, p_kpa), flow, power_w};
    };
    std::vector<FillNode> nodes;
    double flow = flow_at_pressure_m3_s(at_flow, last_flow_m3_s, marks_kpa.front());
    nodes.push_back(node(marks_kpa.front(), flow, at_flow(flow).power_w));
    for (std::size_t m = 1; m < marks_kpa.size(); ++m) {
        double const from_kpa = marks_kpa[m - 1], to_kpa = marks_kpa[m];
        double const next = std::min(flow, flow_at_pressure_m3_s(at_flow, last_flow_m3_s, to_kpa));
        int const pieces = next < flow ? pieces_between(from_kpa, to_kpa) : 1;
        std::size_t const first = nodes.size() - 1;
        std::vector<FillNode> gap;
        for (int k = 1; k <= pieces; ++k) {
            double const q = flow + (next - flow) * k / pieces;
            auto const d = at_flow(k == pieces ? next : q);
            auto const end = node(k == pieces ? to_kpa : d.pressure_kpa, k == pieces ? next : q, d.power_w);
            FillNode const start = nodes.back();
            if (k < pieces && !(end.water_m3 > start.water_m3)) continue;  // rounding on a flat curve
            // Gap at half the step of flow, scaled to the middle of the piece as for a parabola.
            double const q_mid = 0.5 * (start.flow_m3_s + end.flow_m3_s);
            auto const mid = at_flow(q_mid);
            double const t =
                (stored_water_m3(tank, mid.pressure_kpa) - start.water_m3) / (end.water_m3 - start.water_m3);
            double const scale = t > 0.05 && t < 0.95 ? 0.25 / (t * (1 - t)) : 0;
            gap.push_back({0, scale * (q_mid - (start.flow_m3_s + t * (end.flow_m3_s - start.flow_m3_s))),
                           scale * (mid.power_w - (start.power_w + t * (end.power_w - start.power_w)))});
            nodes.push_back(end);
        }
        // The nodes at cut-in and cut-out are moved too. The other marks are corners of the curve or the
        // empty tank; they stay.
        bool const in_band = from_kpa >= tank.cut_in_kpa && to_kpa <= tank.cut_out_kpa && next < flow;
        balance_chords(nodes, first, gap, in_band && from_kpa == tank.cut_in_kpa && first > 0,
                       in_band && to_kpa == tank.cut_out_kpa && next > 0);
        flow = next;
    }
    for (std::size_t i = 1; i < nodes.size(); ++i)
        nodes[i].flow_m3_s = std::clamp(nodes[i].flow_m3_s, 0.0, nodes[i - 1].flow_m3_s);
    auto c = fill_curve_from_nodes(std::move(nodes), stored_water_m3(tank, tank.cut_in_kpa),
                                   stored_water_m3(tank, tank.cut_out_kpa));
    c.beyond_curve = run_out_kpa > tank.precharge_kpa;
    return c;
}

TankFillCurve make_fill_curve(PressureTankParameters const& tank, PumpCurve const& pump,
                              MotorParameters const& motor, PipingParameters const& piping,
                              LiftParameters const& lift, Water const& water, int count) {
    validate(motor);
    validate(piping);
    validate(lift);
    auto const at_flow = [&](double flow) {
        double const spare_m = pump.head_m(flow) - system_head_m(piping, lift, water, flow, 0);
        double const power_w = pump.power_w(flow);
        return DeliveredAt{pressure_of_head_kpa(spare_m, water),
                           pump.power_is_input ? power_w : electrical_input_w(motor, power_w)};
    };
    return make_fill_curve(tank, at_flow, pump.max_flow_m3_s, count);
}

TankFillCurve make_fill_curve(PressureTankParameters const& tank, PumpParameters const& pump,
                              MotorParameters const& motor, PipingParameters const& piping,
                              LiftParameters const& lift, int nodes) {
    return make_fill_curve(tank, PumpCurve(pump), motor, piping, lift, water_at(lift.water_temperature_c),
                           nodes);
}

}  // namespace holdwater::models
