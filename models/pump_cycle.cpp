#include "models/pump_cycle.hpp"

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

TankFillCurve make_fill_curve(PressureTankParameters const& tank, PumpCurve const& pump,
                              MotorParameters const& motor, PipingParameters const& piping,
                              LiftParameters const& lift, Water const& water, int count) {
    validate(tank);
    validate(motor);
    validate(piping);
    validate(lift);
    require(count >= 2 && count <= 1000, "nodes", count, "must be 2..1000");
    constexpr int below = 4, above = 8;
    double const most_kpa = std::min(shut_off_pressure_kpa(pump, lift, water), 5000.0);
    std::vector<double> pressures_kpa;
    auto const span = [&](double from, double to, int pieces) {
        for (int i = 0; i < pieces; ++i) pressures_kpa.push_back(from + (to - from) * i / pieces);
    };
    if (tank.precharge_kpa < tank.cut_in_kpa) span(tank.precharge_kpa, tank.cut_in_kpa, below);
    span(tank.cut_in_kpa, tank.cut_out_kpa, count);
    double const top_kpa = std::max(most_kpa, tank.cut_out_kpa * 1.05);
    span(tank.cut_out_kpa, top_kpa, above);
    pressures_kpa.push_back(top_kpa);
    if (most_kpa > tank.precharge_kpa && most_kpa < top_kpa) {
        pressures_kpa.push_back(most_kpa);
        std::sort(pressures_kpa.begin(), pressures_kpa.end());
        pressures_kpa.erase(std::unique(pressures_kpa.begin(), pressures_kpa.end()), pressures_kpa.end());
    }
    std::vector<FillNode> nodes;
    bool beyond = false;
    for (double const p : pressures_kpa) {
        auto const o = operating_point(pump, motor, piping, lift, water, p);
        beyond = beyond || o.beyond_curve;
        double const flow = p >= most_kpa ? 0 : o.flow_m3_s;
        nodes.push_back({stored_water_m3(tank, p),
                         nodes.empty() ? flow : std::min(flow, nodes.back().flow_m3_s), o.electrical_w});
    }
    auto c = fill_curve_from_nodes(std::move(nodes), stored_water_m3(tank, tank.cut_in_kpa),
                                   stored_water_m3(tank, tank.cut_out_kpa));
    c.beyond_curve = beyond;
    return c;
}

TankFillCurve make_fill_curve(PressureTankParameters const& tank, PumpParameters const& pump,
                              MotorParameters const& motor, PipingParameters const& piping,
                              LiftParameters const& lift, int nodes) {
    return make_fill_curve(tank, PumpCurve(pump), motor, piping, lift, water_at(lift.water_temperature_c),
                           nodes);
}

}  // namespace holdwater::models
