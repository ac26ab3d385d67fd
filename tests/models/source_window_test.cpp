#include "models/electric/source_window.hpp"

#include <doctest/doctest.h>

#include "models/numeric/parameter_error.hpp"

using namespace holdwater::models;

TEST_SUITE_BEGIN("models/source_window");

// Story of a generator that falls from 62.5 Hz at no load to 59.0 Hz at full load. The window 57-63 accepts
// it. The narrow window 59.3-60.5 of a grid-tied unit rejects it before it can be loaded. A window between
// the two drops it under load.
TEST_CASE("a generator against the acceptance window") {
    auto const outcome = [](double low_hz, double high_hz) {
        return source_outcome({low_hz, high_hz, 200, 264, 15}, 62.5, 59.0, 245, 232);
    };
    CHECK(outcome(57, 63) == SourceOutcome::accepted);
    CHECK(outcome(59.3, 60.5) == SourceOutcome::rejected);
    CHECK(outcome(59.3, 63) == SourceOutcome::flapping);
    CHECK(source_outcome({57, 63, 200, 240, 15}, 60, 60, 245, 232) == SourceOutcome::rejected);
}

TEST_CASE("a window the wrong way round is refused") {
    CHECK_NOTHROW(validate(SourceWindow{57, 63, 200, 264, 15}));
    CHECK_THROWS_WITH_AS(validate(SourceWindow{63, 57, 200, 264, 15}), "max_hz = 57 (must be above min_hz)",
                         ParameterError);
}

TEST_SUITE_END();
