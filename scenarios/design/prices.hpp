#pragma once

#include <limits>
#include <string>

namespace holdwater::scenarios {

/// Costs of a design in any one currency, from the designer's quote and bills: table [prices]. Use a real
/// rate with today's prices or a nominal rate with future prices; never mix the two.
struct Prices {
    std::string currency;                         ///< as shown in tables, such as "EUR"
    double purchase = 0;                          ///< of the design, installed, >= 0
    double fuel_per_liter = 0, grid_per_kwh = 0;  ///< >= 0
    double grid_peak_per_kwh = 0,
           grid_low_per_kwh = 0;                ///< in the tariff's hours, >= 0; without: grid_per_kwh
    double maintenance_per_year = 0;            ///< >= 0
    double generator_maintenance_per_hour = 0;  ///< per running hour, oil and filters, >= 0
    double battery_replacement = 0;             ///< for each later battery, >= 0
    double battery_life_y = std::numeric_limits<double>::infinity();  ///< > 0; infinite: from the run
    double years = 20;                                                ///< > 0
    double discount_rate = 0.05;                                      ///< per year [-]
};

}  // namespace holdwater::scenarios
