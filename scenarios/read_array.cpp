#include "scenarios/read_array.hpp"

#include <algorithm>

namespace holdwater::scenarios {
namespace {

void read_array(Section s, Scenario& scenario) {
    scenario.plane.tilt_deg = s.quantity("tilt", "deg", {0, 90});
    scenario.plane.azimuth_deg = s.quantity("azimuth", "deg", {0, 360});
    scenario.albedo = s.number("ground_reflectance", {0, 1}, 0.2);
    using weather::TranspositionModel;
    scenario.transposition =
        s.choice("sky_model",
                 std::array{std::pair{std::string_view("isotropic"), TranspositionModel::isotropic},
                            std::pair{std::string_view("hay-davies"), TranspositionModel::hay_davies},
                            std::pair{std::string_view("perez"), TranspositionModel::perez}},
                 TranspositionModel::perez);
    models::PvArrayParameters& a = scenario.array;
    a.module_model = models::ModuleModel::linear;
    a.module.rated_power_w = s.quantity("rated_power", "W", {1, 1e5});
    a.module.gamma_per_k = s.quantity("power_temperature_coefficient", "1/K", {-0.01, 0}, -0.0037);
    using models::IncidenceModel;
    a.incidence.model =
        s.choice("glass_model",
                 std::array{std::pair{std::string_view("none"), IncidenceModel::none},
                            std::pair{std::string_view("ashrae"), IncidenceModel::ashrae},
                            std::pair{std::string_view("physical"), IncidenceModel::physical}},
                 IncidenceModel::ashrae);
    a.temperature.wind_factor = s.number("wind_factor", {0, 3}, 0.725);
    a.dc_loss_fraction = s.number("dc_loss", {0, 0.5}, 0.05);
    a.shading_fraction = s.number("shading", {0, 1}, 0);
    if (s.has("soiling_by_month")) {
        auto const monthly = s.list("soiling_by_month", 12, "", {0, 1});
        std::copy(monthly.begin(), monthly.end(), a.soiling_by_month.begin());
    } else {
        a.soiling_by_month.fill(s.number("soiling", {0, 1}, 0.02));
    }
    s.checked([&] { models::validate(a); });
    s.finish();
}

void read_controller(Section s, Scenario& scenario) {
    models::ChargeControllerParameters& c = scenario.controller;
    c.efficiency = s.number("efficiency", {0.5, 1}, 0.97);
    c.power_limit_w = s.quantity("power_limit", "W", {1, 1e6});
    c.standby_w = s.quantity("standby", "W", {0, 100}, 2);
    s.checked([&] { models::validate(c); });
    s.finish();
}

}  // namespace

void read_array_side(Section& root, Scenario& scenario) {
    read_array(root.table("array"), scenario);
    read_controller(root.table("controller"), scenario);
}

}  // namespace holdwater::scenarios
