#pragma once

#include "scenarios/design/design.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "tests/support/places.hpp"

namespace holdwater::test {

/// The livestock demo and its weather, read once.
struct Place {
    scenarios::Scenario scenario;
    weather::WeatherYear year;
};
inline Place const& saltbush() {
    static Place const place = [] {
        Place p;
        p.scenario = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
        p.year = scenarios::read_scenario_weather(p.scenario);
        return p;
    }();
    return place;
}

}  // namespace holdwater::test
