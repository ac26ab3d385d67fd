#pragma once

#include <algorithm>
#include <cstddef>
#include <list>
#include <memory>
#include <mutex>
#include <tuple>
#include <utility>

#include "scenarios/settings/scenario.hpp"
#include "sim/base/system.hpp"
#include "sim/inputs/array_light.hpp"
#include "sim/inputs/checked_inputs.hpp"
#include "weather/sun_position.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// The last values that were made, by what they were made from. For several threads: if two need the same
/// value, the second one waits for the first.
template <class Key, class Value>
class Shelf {
  public:
    explicit Shelf(std::size_t most) : most_(most) {}

    template <class Make>
    std::shared_ptr<Value const> of(Key key, Make const& make) {
        auto const place = place_of(std::move(key));
        std::scoped_lock const lock(place->mutex);
        if (!place->value) place->value = std::make_shared<Value const>(make());
        return place->value;
    }

  private:
    struct Place {
        Key key{};
        std::mutex mutex;
        std::shared_ptr<Value const> value;
    };
    std::shared_ptr<Place> place_of(Key key) {
        std::scoped_lock const lock(mutex_);
        for (auto at = places_.begin(); at != places_.end(); ++at) {
            if (!((*at)->key == key)) continue;
            places_.splice(places_.begin(), places_, at);  // the last one used is kept longest
            return places_.front();
        }
        auto place = std::make_shared<Place>();
        place->key = std::move(key);
        places_.push_front(std::move(place));
        if (places_.size() > most_) places_.pop_back();
        return places_.front();
    }

    std::size_t most_;
    std::mutex mutex_;
    std::list<std::shared_ptr<Place>> places_;
};

/// Hourly inputs of many designs. What they have in common is made only once: the sun over a site, the light
/// on a rack, the array power of the year, the demand, the small loads. Designs that have all of this in
/// common get the same object, which a batch (sim/batch/batch.hpp) uses. Only the last ones are kept, some
/// 100 MB at most; twice that for 64 years. For several threads.
class InputsShelf {
  public:
    /// `years`: of so many weather years everything is kept for a design, so that a change which touches only
    /// a part of it makes only that part anew.
    explicit InputsShelf(std::size_t years = 16)
        : lights_(years),
          arrays_(std::max<std::size_t>(years, 128)),
          demands_(std::max<std::size_t>(years, 32)),
          loads_(std::max<std::size_t>(years, 32)),
          whole_(std::max<std::size_t>(years, 64)) {}
    std::shared_ptr<weather::SunYear const> sun_of(weather::Site const& site) {
        return suns_.of(site, [&] { return weather::sun_over_year(site); });
    }
    /// The result of make_inputs. Throws the same.
    std::shared_ptr<CheckedInputs const> of(scenarios::Scenario const& scenario,
                                            std::shared_ptr<weather::WeatherYear const> const& year);

  private:
    using Year =
        std::shared_ptr<weather::WeatherYear const>;   // by address, even if two have the same content
    using Part = std::shared_ptr<HourlyInputs const>;  // only some series are filled
    Shelf<weather::Site, weather::SunYear> suns_{8};
    Shelf<std::pair<scenarios::RackScenario, Year>, ArrayLight> lights_;
    Shelf<std::pair<scenarios::ArrayScenario, Year>, HourlyInputs> arrays_;
    // With the year, if animals drink by its temperature.
    Shelf<std::tuple<scenarios::DemandSettings, bool, Year>, HourlyInputs> demands_;
    // With the year, if some load follows its temperature, and with the demand, if some load follows that.
    Shelf<std::tuple<std::vector<scenarios::ScenarioLoad>, int, double, Year, Part>, HourlyInputs> loads_;
    Shelf<std::tuple<Part, Part, Part>, CheckedInputs> whole_;
};

}  // namespace holdwater::sim
