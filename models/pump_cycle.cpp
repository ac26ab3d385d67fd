#include "models/pump_cycle.hpp"

#include <array>

#include "models/parameter_error.hpp"

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

/// Chords of a curved line lie all on one side of it, and the error adds up over a fill. Moves each inner
/// node by 2/3 of the gap between chord and line at mid-piece, so that the chords have the line's mean. The
/// gap is that of the narrower neighbour, or the mean of two about as wide. Nodes where the line bends
/// sharply, and the ends, stay.
template <class NodeAt, class Bends>
void balance_chords(std::vector<FillNode>& nodes, NodeAt node_at, Bends bends) {
    std::vector<FillNode> gap(nodes.size() - 1);
    for (std::size_t i = 0; i + 1 < nodes.size(); ++i) {
        auto const &a = nodes[i], &b = nodes[i + 1];
        auto const mid = node_at(0.5 * (a.water_m3 + b.water_m3));
        gap[i] = {0, mid.flow_m3_s - 0.5 * (a.flow_m3_s + b.flow_m3_s),
                  mid.power_w - 0.5 * (a.power_w + b.power_w)};
    }
    auto const width_m3 = [&](std::size_t i) { return nodes[i + 1].water_m3 - nodes[i].water_m3; };
    for (std::size_t i = 1; i + 1 < nodes.size(); ++i) {
        if (bends(i)) continue;
        double const ratio = width_m3(i) / width_m3(i - 1);
        double const before = ratio > 1.5 ? 1 : ratio < 1 / 1.5 ? 0 : 0.5;  // weight of the piece before
        nodes[i].flow_m3_s += 2. / 3 * (before * gap[i - 1].flow_m3_s + (1 - before) * gap[i].flow_m3_s);
        nodes[i].power_w += 2. / 3 * (before * gap[i - 1].power_w + (1 - before) * gap[i].power_w);
    }
    for (std::size_t i = 1; i < nodes.size(); ++i)
        nodes[i].flow_m3_s = std::clamp(nodes[i].flow_m3_s, 0.0, nodes[i - 1].flow_m3_s);
}

}  // namespace

TankFillCurve make_fill_curve(PressureTankParameters const& tank,
                              std::function<PumpedAt(double pressure_kpa)> const& at_pressure, double top_kpa,
                              std::span<double const> bends_kpa, int count) {
    validate(tank);
    require(count >= 2 && count <= 1000, "nodes", count, "must be 2..1000");
    require(top_kpa > tank.cut_out_kpa, "top_kpa", top_kpa, "must lie above cut-out");
    constexpr int above = 8;
    int const below = std::max(4, static_cast<int>(std::ceil(count * (tank.cut_in_kpa - tank.precharge_kpa) /
                                                             (tank.cut_out_kpa - tank.cut_in_kpa))));
    std::vector<double> pressures_kpa;
    auto const span = [&](double from, double to, int pieces) {
        for (int i = 0; i < pieces; ++i) pressures_kpa.push_back(from + (to - from) * i / pieces);
    };
    if (tank.precharge_kpa < tank.cut_in_kpa) span(tank.precharge_kpa, tank.cut_in_kpa, below);
    span(tank.cut_in_kpa, tank.cut_out_kpa, count);
    span(tank.cut_out_kpa, top_kpa, above);
    pressures_kpa.push_back(top_kpa);
    auto const near = [](double a) { return [a](double b) { return std::abs(a - b) < 1e-3; }; };
    for (double const bend : bends_kpa)
        if (bend > tank.precharge_kpa && bend < top_kpa &&
            std::none_of(pressures_kpa.begin(), pressures_kpa.end(), near(bend)))
            pressures_kpa.push_back(bend);
    std::sort(pressures_kpa.begin(), pressures_kpa.end());
    auto const node_at = [&](double p_kpa) {
        auto const pumped = at_pressure(p_kpa);
        return FillNode{stored_water_m3(tank, p_kpa), pumped.flow_m3_s, pumped.power_w};
    };
    std::vector<FillNode> nodes;
    for (double const p : pressures_kpa) nodes.push_back(node_at(p));
    balance_chords(
        nodes, [&](double water_m3) { return node_at(tank_pressure_kpa(tank, water_m3)); },
        [&](std::size_t i) {
            return std::any_of(bends_kpa.begin(), bends_kpa.end(), near(pressures_kpa[i]));
        });
    return fill_curve_from_nodes(std::move(nodes), stored_water_m3(tank, tank.cut_in_kpa),
                                 stored_water_m3(tank, tank.cut_out_kpa));
}

TankFillCurve make_fill_curve(PressureTankParameters const& tank, PumpCurve const& pump,
                              MotorParameters const& motor, PipingParameters const& piping,
                              LiftParameters const& lift, Water const& water, int count) {
    validate(motor);
    validate(piping);
    validate(lift);
    // Flow bends sharply at shut-off and where the curve's last row is reached.
    double const most_kpa = std::min(shut_off_pressure_kpa(pump, lift, water), 5000.0);
    double const last_flow = pump.max_flow_m3_s;
    double const run_out_kpa = pressure_of_head_kpa(
        pump.head_m(last_flow) - system_head_m(piping, lift, water, last_flow, 0), water);
    std::array<double, 2> const bends_kpa{most_kpa, run_out_kpa};
    bool beyond = false;
    auto const at_pressure = [&](double p_kpa) {
        auto const o = operating_point(pump, motor, piping, lift, water, p_kpa);
        beyond = beyond || o.beyond_curve;
        return PumpedAt{p_kpa >= most_kpa ? 0 : o.flow_m3_s, o.electrical_w};
    };
    auto c =
        make_fill_curve(tank, at_pressure, std::max(most_kpa, tank.cut_out_kpa * 1.05), bends_kpa, count);
    c.beyond_curve = beyond;
    return c;
}

TankFillCurve make_fill_curve(PressureTankParameters const& tank, PumpParameters const& pump,
                              MotorParameters const& motor, PipingParameters const& piping,
                              LiftParameters const& lift, int nodes) {
    return make_fill_curve(tank, PumpCurve(pump), motor, piping, lift, water_at(lift.water_temperature_c),
                           nodes);
}

SteadyCycle steady_cycle(TankFillCurve const& c, double demand_m3_s) {
    SteadyCycle cycle{};
    cycle.run_s = time_to_reach_s(c, c.cut_in_m3, c.cut_out_m3, demand_m3_s);
    cycle.rest_s = drain_time_s(c.cut_out_m3, c.cut_in_m3, demand_m3_s);
    if (std::isinf(cycle.run_s)) {
        cycle.pumped_m3 = cycle.energy_j = std::numeric_limits<double>::infinity();
        cycle.run_fraction = 1;
        return cycle;
    }
    auto const fill = advance(c, c.cut_in_m3, demand_m3_s, cycle.run_s);
    cycle.pumped_m3 = fill.pumped_m3;
    cycle.energy_j = fill.energy_j;
    cycle.starts_per_h = 3600 / (cycle.run_s + cycle.rest_s);
    cycle.run_fraction = cycle.run_s / (cycle.run_s + cycle.rest_s);
    return cycle;
}

double settling_water_m3(TankFillCurve const& c, double demand_m3_s) {
    if (demand_m3_s > c.nodes.front().flow_m3_s) return std::numeric_limits<double>::quiet_NaN();
    for (auto const& p : c.pieces) {
        double const end_flow = p.flow_m3_s + p.flow_slope_1_s * (p.to_m3 - p.from_m3);
        if (end_flow <= demand_m3_s)
            return p.flow_slope_1_s == 0
                       ? p.from_m3
                       : std::clamp(p.from_m3 + (demand_m3_s - p.flow_m3_s) / p.flow_slope_1_s, p.from_m3,
                                    p.to_m3);
    }
    return c.nodes.back().water_m3;
}

}  // namespace holdwater::models
