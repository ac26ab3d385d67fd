#include "models/electric/source_window.hpp"

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(SourceWindow const& w) {
    require(w.min_hz > 0, "min_hz", w.min_hz, "must be above 0");
    require(w.max_hz > w.min_hz, "max_hz", w.max_hz, "must be above min_hz");
    require(w.min_v > 0, "min_v", w.min_v, "must be above 0");
    require(w.max_v > w.min_v, "max_v", w.max_v, "must be above min_v");
    require(w.qualify_s >= 0, "qualify_s", w.qualify_s, "must be >= 0");
}

}  // namespace holdwater::models
