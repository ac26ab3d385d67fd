#pragma once

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

/// The last values made, by what they are made from. For several threads: whoever comes second waits for the
/// first.
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
            places_.splice(places_.begin(), places_, at);  // the last used stays longest
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

/// Hourly inputs of many designs, what they have in common made once: the sun over a site, the light on a
/// rack, the array's year, the demand, the small loads. Designs that have all of it in common get the same
/// object, which a batch (sim/batch/batch.hpp) makes use of. Of each only the last ones are kept, some 100 MB
/// at most. For several threads.
class InputsShelf {
  public:
    /// What make_inputs gives. Throws what that throws.
    std::shared_ptr<CheckedInputs const> of(scenarios::Scenario const& scenario,
                                            std::shared_ptr<weather::WeatherYear const> const& year);

  private:
    using Year = std::shared_ptr<weather::WeatherYear const>;  // by address: two of a content are made twice
    using Part = std::shared_ptr<HourlyInputs const>;          // filled in part
    Shelf<weather::Site, weather::SunYear> suns_{8};
    Shelf<std::pair<scenarios::RackScenario, Year>, ArrayLight> lights_{16};
    Shelf<std::pair<scenarios::ArrayScenario, Year>, HourlyInputs> arrays_{128};
    Shelf<std::tuple<scenarios::DemandSettings, bool, Year>, HourlyInputs> demands_{32};
    Shelf<std::tuple<std::vector<scenarios::ScenarioLoad>, int, Year>, HourlyInputs> loads_{32};
    Shelf<std::tuple<Part, Part, Part>, CheckedInputs> whole_{64};
};

}  // namespace holdwater::sim
