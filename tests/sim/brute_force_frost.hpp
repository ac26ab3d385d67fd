#pragma once

#include <algorithm>

#include "models/electric/frost_heater.hpp"

namespace holdwater::test {

/// A place with a heater in the plain loop, stepped second by second: what its thermostat asks for, and how
/// warm the place is with what the heater gets.
class PlainPlace {
  public:
    explicit PlainPlace(models::FrostHeater const& h)
        : h_(h), place_c_(h.thermostat_c), powered_c_(h.thermostat_c), coldest_c_(h.thermostat_c) {}

    /// Mean power that the thermostat asks for in the hour [W]: with it a place that always has power ends
    /// the hour at its temperature. The end is a straight line over the power, so two tries give it.
    double begin_hour(double outside_c) {
        outside_c_ = outside_c;
        double const cold_c = after_an_hour(0), warm_c = after_an_hour(h_.power_w);
        wanted_w_ = h_.power_w * std::clamp((h_.thermostat_c - cold_c) / (warm_c - cold_c), 0.0, 1.0);
        powered_c_ = after_an_hour(wanted_w_);
        return wanted_w_;
    }
    /// `share` of what is asked for comes in this step.
    void step(double share, double dt_s) { place_c_ = next(place_c_, share * wanted_w_, dt_s); }
    void end_hour() {
        coldest_c_ = std::min(coldest_c_, place_c_);
        if (place_c_ < h_.freezes_below_c) freezing_h_ += 1;
    }
    [[nodiscard]] double coldest_c() const { return coldest_c_; }
    [[nodiscard]] double freezing_h() const { return freezing_h_; }

  private:
    [[nodiscard]] double next(double place_c, double heat_w, double dt_s) const {
        return place_c +
               (outside_c_ + h_.rise_k_per_w * heat_w - place_c) * dt_s / (3600 * h_.time_constant_h);
    }
    [[nodiscard]] double after_an_hour(double heat_w) const {
        double place_c = powered_c_;
        for (int s = 0; s < 3600; ++s) place_c = next(place_c, heat_w, 1);
        return place_c;
    }

    models::FrostHeater h_;
    double outside_c_ = 0, wanted_w_ = 0, place_c_, powered_c_, coldest_c_, freezing_h_ = 0;
};

}  // namespace holdwater::test
