#pragma once

#include <limits>
#include <string>

namespace holdwater::scenarios {

/// What a design costs, in any one currency, as the designer's quote and bills say: table [prices]. Real rate
/// with today's prices, or nominal with future ones, never mixed.
struct Prices {
    std::string currency;                         ///< a word for the tables, such as "EUR"
    double purchase = 0;                          ///< of the design, installed, >= 0
    double fuel_per_liter = 0, grid_per_kwh = 0;  ///< >= 0
    double maintenance_per_year = 0;              ///< >= 0
    double generator_upkeep_per_hour = 0;         ///< of running, oil and filters, >= 0
    double battery_replacement = 0;               ///< of each later battery, >= 0
    double battery_life_y = std::numeric_limits<double>::infinity();  ///< > 0; infinite: as the run reckons
    double years = 20;                                                ///< > 0
    double discount_rate = 0.05;                                      ///< per year [-]
};

}  // namespace holdwater::scenarios
