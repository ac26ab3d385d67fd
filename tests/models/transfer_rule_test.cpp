#include "models/electric/transfer_rule.hpp"

#include <doctest/doctest.h>

#include <vector>

#include "models/battery/battery_voltage.hpp"
#include "models/numeric/parameter_error.hpp"

using namespace holdwater::models;

TEST_SUITE_BEGIN("models/transfer_rule");

// Over at 0.30, back at 0.80, instant; expected sequence recomputed by hand: two transfers.
TEST_CASE("hysteresis") {
    TransferRule const r{0.30, 0.80};
    CHECK_NOTHROW(validate(r));
    struct Row {
        double soc;
        bool backup;
    };
    bool backup = false;
    int transfers = 0;
    for (auto const& [soc, expected] : std::vector<Row>{{.35, false},
                                                        {.31, false},
                                                        {.30, true},
                                                        {.29, true},
                                                        {.50, true},
                                                        {.79, true},
                                                        {.80, false},
                                                        {.60, false},
                                                        {.31, false}}) {
        CAPTURE(soc);
        bool const next = on_backup(r, backup, soc);
        transfers += next != backup;
        backup = next;
        CHECK(backup == expected);
    }
    CHECK(transfers == 2);
}

// The 15 kW pump start of the terminal-voltage example dips to 44.34 V with the battery half full.
TEST_CASE("a start shorter than the delay does not transfer, a lasting sag does") {
    TransferRule const r{0.30, 0.80, 46, 60, 42, 10};
    CHECK_NOTHROW(validate(r));
    double const dip_v = terminal_at_power(48.4, 0.012, 15000).volts;
    CHECK(dip_v < 46);
    CHECK(!voltage_transfers(r, dip_v, 0.5));
    CHECK(voltage_transfers(r, dip_v, 61));
    CHECK(!voltage_transfers(r, 46.5, 1e6));
    CHECK(voltage_transfers(r, 41, 11));
    CHECK(!voltage_transfers(TransferRule{0.3, 0.8}, 10, 1e6));
}

// Story of a set that falls from 62.5 Hz at no load to 59.0 Hz at full load: window 57-63 accepts it, the
// narrow 59.3-60.5 of one grid-tied unit rejects it before it can be loaded, one between drops it under load.
TEST_CASE("a generator against the acceptance window") {
    auto const outcome = [](double low_hz, double high_hz) {
        return source_outcome({low_hz, high_hz, 200, 264, 15}, 62.5, 59.0, 245, 232);
    };
    CHECK(outcome(57, 63) == SourceOutcome::accepted);
    CHECK(outcome(59.3, 60.5) == SourceOutcome::rejected);
    CHECK(outcome(59.3, 63) == SourceOutcome::flapping);
    CHECK(source_outcome({57, 63, 200, 240, 15}, 60, 60, 245, 232) == SourceOutcome::rejected);
}

TEST_CASE("a rule that would switch to and fro is refused") {
    CHECK_THROWS_AS(validate(TransferRule{0.30, 0.35}), ParameterError);
    CHECK_THROWS_AS(validate(TransferRule{-0.1, 0.8}), ParameterError);
    CHECK_THROWS_AS(validate(TransferRule{0.3, 0.8, 46, 60, 47, 10}), ParameterError);
    CHECK_NOTHROW(validate(SourceWindow{57, 63, 200, 264, 15}));
    CHECK_THROWS_WITH_AS(validate(SourceWindow{63, 57, 200, 264, 15}), "max_hz = 57 (must be above min_hz)",
                         ParameterError);
}

TEST_SUITE_END();
