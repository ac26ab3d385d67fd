#include "sim/batch/inputs_digest.hpp"

#include <algorithm>

#include "sim/year/findings.hpp"

namespace holdwater::sim {

InputsDigest digest_of(CheckedInputs const& checked, Clock const& clock, bool findings) {
    HourlyInputs const& inputs = checked;
    InputsDigest d{.inputs = &checked, .peak_draw_m3_s = findings ? peak_draw_m3_s(inputs) : 0};
    auto const total_kwh = [&](std::vector<double> const& power_w) {
        double sum_w = 0;
        auto h = static_cast<std::size_t>(clock.first_hour % hours_per_year);
        for (int i = 0; i < clock.hours && !power_w.empty(); ++i, h = h + 1 == hours_per_year ? 0 : h + 1)
            sum_w += power_w[h];
        return 1e-3 * sum_w;
    };
    d.array_kwh = total_kwh(inputs.array_power_w);
    d.available_kwh = d.array_kwh + total_kwh(inputs.array_window_loss_w);
    d.load_kwh = total_kwh(inputs.load_w);
    for (LoadClass const& c : inputs.shed_first) d.load_kwh += total_kwh(c.power_w);
    d.load_w = inputs.load_w.data();
    if (!inputs.shed_first.empty()) {
        d.summed_load_w = inputs.load_w;
        for (LoadClass const& c : inputs.shed_first)
            for (std::size_t h = 0; h < d.summed_load_w.size(); ++h) d.summed_load_w[h] += c.power_w[h];
        d.load_w = d.summed_load_w.data();
    }
    if (!inputs.load_w.empty())
        d.least_load_w = *std::min_element(inputs.load_w.begin(), inputs.load_w.end());
    return d;
}

bool same_loads(InputsDigest const& a, InputsDigest const& b) {
    return a.load_w == b.load_w || std::equal(a.load_w, a.load_w + hours_per_year, b.load_w);
}

}  // namespace holdwater::sim
