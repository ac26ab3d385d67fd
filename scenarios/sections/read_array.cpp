#include "scenarios/sections/read_array.hpp"

#include <algorithm>
#include <cmath>

#include "scenarios/sections/read_controller.hpp"
#include "scenarios/sections/read_module.hpp"
#include "scenarios/sections/read_rack.hpp"
#include "scenarios/text/calendar_day.hpp"
#include "scenarios/text/unused_key.hpp"

namespace holdwater::scenarios {
namespace {

void read_sky(Section& s, Scenario& scenario) {
    scenario.albedo = s.number("ground_reflectance", {0, 1}, 0.2);
    using weather::TranspositionModel;
    scenario.transposition =
        s.choice("sky_model",
                 std::array{std::pair{std::string_view("isotropic"), TranspositionModel::isotropic},
                            std::pair{std::string_view("hay-davies"), TranspositionModel::hay_davies},
                            std::pair{std::string_view("perez"), TranspositionModel::perez}},
                 TranspositionModel::perez);
}

void read_glass(Section& s, models::IncidenceParameters& glass) {
    using models::IncidenceModel;
    glass.model = s.choice("glass_model",
                           std::array{std::pair{std::string_view("none"), IncidenceModel::none},
                                      std::pair{std::string_view("ashrae"), IncidenceModel::ashrae},
                                      std::pair{std::string_view("fresnel"), IncidenceModel::fresnel}},
                           IncidenceModel::ashrae);
    if (glass.model != IncidenceModel::ashrae)
        refuse_unused(s, {"glass_b0"}, "is used only with glass_model = \"ashrae\"");
    if (glass.model != IncidenceModel::fresnel)
        refuse_unused(s, {"glass_index", "glass_thickness", "glass_extinction", "coating_index"},
                      "is used only with glass_model = \"fresnel\"");
    glass.ashrae_b0 = s.number("glass_b0", {0, 0.3}, glass.ashrae_b0);
    glass.glass_index = s.number("glass_index", {1.01, 2.5}, glass.glass_index);
    glass.glass_thickness_m = s.quantity("glass_thickness", "m", {0, 0.02}, glass.glass_thickness_m);
    glass.extinction_per_m = s.quantity("glass_extinction", "1/m", {0, 100}, glass.extinction_per_m);
    glass.coating_index = s.number("coating_index", {1, 2.5}, glass.coating_index);
}

void read_heat(Section& s, models::CellTemperatureParameters& heat) {
    using models::CellTemperatureModel, models::KingCoefficients;
    heat.model = s.choice("temperature_model",
                          std::array{std::pair{std::string_view("faiman"), CellTemperatureModel::faiman},
                                     std::pair{std::string_view("king"), CellTemperatureModel::king},
                                     std::pair{std::string_view("noct"), CellTemperatureModel::noct}},
                          CellTemperatureModel::faiman);
    if (heat.model != CellTemperatureModel::faiman)
        refuse_unused(s, {"heat_loss_still", "heat_loss_wind"},
                      "is used only with temperature_model = \"faiman\"");
    if (heat.model != CellTemperatureModel::king)
        refuse_unused(s, {"mounting"}, "is used only with temperature_model = \"king\"");
    if (heat.model != CellTemperatureModel::noct)
        refuse_unused(s, {"nominal_cell_temperature"}, "is used only with temperature_model = \"noct\"");
    else
        refuse_unused(s, {"wind_factor"}, "temperature_model = \"noct\" takes no wind");
    heat.faiman_u0_w_m2_k = s.quantity("heat_loss_still", "W m-2 K-1", {5, 60}, heat.faiman_u0_w_m2_k);
    heat.faiman_u1_w_s_m3_k = s.quantity("heat_loss_wind", "W s m-3 K-1", {0, 20}, heat.faiman_u1_w_s_m3_k);
    heat.king = s.choice(
        "mounting",
        std::array{
            std::pair{std::string_view("glass-glass rack"), models::king_glass_glass_rack},
            std::pair{std::string_view("glass-glass close roof"), models::king_glass_glass_close_roof},
            std::pair{std::string_view("glass-polymer rack"), models::king_glass_polymer_rack},
            std::pair{std::string_view("glass-polymer insulated"), models::king_glass_polymer_insulated},
            std::pair{std::string_view("thin-film steel rack"), models::king_thin_film_steel_rack}},
        models::king_glass_polymer_rack);
    heat.noct_c = s.quantity("nominal_cell_temperature", "degC", {30, 80}, heat.noct_c);
    // King needs the wind at 10 m, as in weather files; Faiman needs it at the module.
    double const usual_wind = heat.model == CellTemperatureModel::faiman ? 0.725 : 1;
    heat.wind_factor = s.number("wind_factor", {0, 3}, usual_wind);
}

void read_losses(Section& s, Scenario& scenario) {
    models::PvArrayParameters& a = scenario.array;
    a.dc_loss_fraction = s.number("dc_loss", {0, 0.5}, 0.05);
    a.wiring_loss_fraction_at_stc = s.number("wiring_loss", {0, 0.2}, 0);
    a.shading_fraction = s.number("shading", {0, 1}, 0);
    scenario.array_aging_per_year = s.number("aging_per_year", {0, 0.05}, 0.005);
    scenario.array_years = s.number("years_in_service", {0, 60}, 0);
    a.age_factor = models::age_factor(scenario.array_aging_per_year, scenario.array_years);
    if (s.has("soiling_by_month")) {
        refuse_unused(s, {"soiling"}, "is given beside 'soiling_by_month'; one of them sets the dirt");
        auto const monthly = s.list("soiling_by_month", 12, "", {0, 1});
        std::copy(monthly.begin(), monthly.end(), a.soiling_by_month.begin());
    } else {
        a.soiling_by_month.fill(s.number("soiling", {0, 1}, 0.02));
    }
}

models::SnowCover read_snow(Section s) {
    models::SnowCover snow;
    if (s.has("days_by_month")) {
        auto const given = s.list("days_by_month", 12, "", {0, 31});
        std::array<int, 12> days{};
        for (std::size_t m = 0; m < days.size(); ++m) {
            if (given[m] != std::floor(given[m])) s.fail("days_by_month", "must be whole days");
            days[m] = static_cast<int>(given[m]);
        }
        s.checked([&] { snow = models::snow_by_month(days); });
    }
    for (Section& period : s.tables("periods")) {
        int const first = calendar_day(period, "from"), last = calendar_day(period, "to");
        models::cover_days(snow, first + 1, (last - first + 365) % 365 + 1);
        period.finish();
    }
    if (snow.days.none()) s.fail("", "covers no day; give 'days_by_month' or 'periods', or leave it out");
    s.finish();
    return snow;
}

void read_array(Section s, Scenario& scenario) {
    models::PvArrayParameters& a = scenario.array;
    read_rack(s, scenario);
    read_sky(s, scenario);
    read_module(s, scenario);
    read_glass(s, a.incidence);
    read_heat(s, a.temperature);
    read_losses(s, scenario);
    if (auto snow = s.optional_table("snow")) scenario.snow = read_snow(*snow);
    s.checked([&] { models::validate(a); });
    s.finish();
}

}  // namespace

void read_array_side(Section& root, Scenario& scenario) {
    bool const array = root.attempt(true, [&] { read_array(root.table("array"), scenario); });
    root.attempt(array, [&] { read_controller(root.table("controller"), scenario); });
}

}  // namespace holdwater::scenarios
