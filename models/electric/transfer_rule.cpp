#include "models/electric/transfer_rule.hpp"

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(TransferRule const& r) {
    require(r.over_at_soc >= 0 && r.over_at_soc < 1, "over_at_soc", r.over_at_soc,
            "must be at least 0 and below 1");
    require(r.back_at_soc <= 1 && r.back_at_soc - r.over_at_soc >= 0.1 - 1e-9, "back_at_soc", r.back_at_soc,
            "must be at most 1 and at least 0.10 above over_at_soc: else it switches to and fro");
    require(r.over_below_v >= 0, "over_below_v", r.over_below_v, "must be >= 0; 0 means not used");
    require(r.fast_below_v >= 0 && (r.over_below_v == 0 || r.fast_below_v < r.over_below_v), "fast_below_v",
            r.fast_below_v, "must be below over_below_v; 0 means not used");
    require(r.over_delay_s >= 0, "over_delay_s", r.over_delay_s, "must be >= 0");
    require(r.fast_delay_s >= 0, "fast_delay_s", r.fast_delay_s, "must be >= 0");
}

void validate(SourceWindow const& w) {
    require(w.min_hz > 0, "min_hz", w.min_hz, "must be above 0");
    require(w.max_hz > w.min_hz, "max_hz", w.max_hz, "must be above min_hz");
    require(w.min_v > 0, "min_v", w.min_v, "must be above 0");
    require(w.max_v > w.min_v, "max_v", w.max_v, "must be above min_v");
    require(w.qualify_s >= 0, "qualify_s", w.qualify_s, "must be >= 0");
}

}  // namespace holdwater::models
