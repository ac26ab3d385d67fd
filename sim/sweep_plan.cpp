#include "sim/sweep_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <numeric>
#include <random>
#include <stdexcept>

#include "models/random_stream.hpp"

namespace holdwater::sim {
namespace {

constexpr std::size_t most_rows = 1000000;

std::string trimmed(std::string_view text) {
    auto const from = text.find_first_not_of(" \t");
    if (from == std::string_view::npos) return "";
    return std::string(text.substr(from, text.find_last_not_of(" \t") - from + 1));
}

struct Number {
    double value;
    std::string unit;
};

// "10 kWh" as 10 and "kWh".
std::optional<Number> number_of(std::string const& text) {
    Number n{};
    auto const [end, failure] = std::from_chars(text.data(), text.data() + text.size(), n.value);
    if (failure != std::errc() || !std::isfinite(n.value)) return std::nullopt;
    std::string_view const rest(end, static_cast<std::size_t>(text.data() + text.size() - end));
    if (!rest.empty() && rest[0] != ' ') return std::nullopt;
    n.unit = trimmed(rest);
    return n;
}

[[noreturn]] void refuse(std::string const& text, std::string const& why) {
    throw std::invalid_argument(fmt::format(
        "--vary \"{}\": {}; accepted: \"bank.capacity=5 kWh,10 kWh\" or \"array.tilt=20 deg..60 deg/5\"",
        text, why));
}

void read_range(SweepAxis& axis, std::string const& value, std::size_t dots, std::string const& text) {
    auto const slash = value.rfind('/');
    if (slash == std::string::npos || slash < dots)
        refuse(text, "a range needs a number of values after a slash");
    auto const low = number_of(trimmed(value.substr(0, dots))),
               high = number_of(trimmed(value.substr(dots + 2, slash - dots - 2)));
    std::string const count_text = trimmed(value.substr(slash + 1));
    int count = 0;
    auto const end = count_text.data() + count_text.size();
    if (std::from_chars(count_text.data(), end, count).ptr != end || count < 2 || count > 10000)
        refuse(text, fmt::format("\"{}\" is not a number of values from 2 to 10000", count_text));
    if (!low || !high) refuse(text, "the ends of a range must be numbers with their units");
    if (low->unit != high->unit) refuse(text, "both ends of a range need the same unit");
    axis.is_range = true;
    axis.low = low->value;
    axis.high = high->value;
    axis.unit = low->unit;
    axis.numbers.emplace();
    for (int i = 0; i < count; ++i) {
        double const v = axis.low + (axis.high - axis.low) * i / (count - 1);
        axis.numbers->push_back(v);
        axis.values.push_back(typed(v, axis.unit));
    }
}

void read_list(SweepAxis& axis, std::string const& value, std::string const& text) {
    std::size_t from = 0;
    while (from <= value.size()) {
        auto const comma = std::min(value.find(',', from), value.size());
        auto const one = trimmed(std::string_view(value).substr(from, comma - from));
        if (one.empty()) refuse(text, "a value is empty");
        axis.values.push_back(one);
        from = comma + 1;
    }
    std::vector<double> numbers;
    for (auto const& one : axis.values) {
        auto const n = number_of(one);
        if (!n || (!numbers.empty() && n->unit != axis.unit)) {
            axis.unit.clear();
            return;
        }
        axis.unit = n->unit;
        numbers.push_back(n->value);
    }
    axis.numbers = std::move(numbers);
}

// Drawn with the bits of the engine alone: std::shuffle differs between libraries.
double uniform(std::mt19937_64& random) { return models::unit_interval(random()); }

}  // namespace

std::string typed(double value, std::string const& unit) {
    return unit.empty() ? fmt::format("{:.10g}", value) : fmt::format("{:.10g} {}", value, unit);
}

SweepAxis read_axis(std::string const& text) {
    auto const equals = text.find('=');
    SweepAxis axis;
    axis.key = trimmed(text.substr(0, std::min(equals, text.size())));
    if (equals == std::string::npos || axis.key.empty())
        refuse(text, "a key, an equals sign and values are needed");
    std::string const value = trimmed(text.substr(equals + 1));
    auto const dots = value.find("..");
    if (dots != std::string::npos)
        read_range(axis, value, dots, text);
    else
        read_list(axis, value, text);
    return axis;
}

std::vector<SweepRow> full_grid(std::vector<SweepAxis> const& axes) {
    std::size_t count = 1;
    for (auto const& axis : axes) {
        if (axis.values.size() > most_rows / count)
            throw std::invalid_argument(
                "the full grid has more than a million rows; use --sample or fewer values");
        count *= axis.values.size();
    }
    std::vector<SweepRow> rows(count);
    for (std::size_t i = 0; i < count; ++i) {
        std::size_t rest = i;
        rows[i].resize(axes.size());
        for (std::size_t a = axes.size(); a-- > 0;) {
            rows[i][a] = axes[a].values[rest % axes[a].values.size()];
            rest /= axes[a].values.size();
        }
    }
    return rows;
}

std::vector<SweepRow> one_at_a_time(std::vector<SweepAxis> const& axes) {
    std::vector<SweepRow> rows{SweepRow(axes.size())};
    for (std::size_t a = 0; a < axes.size(); ++a)
        for (auto const& value : axes[a].values) {
            rows.emplace_back(axes.size());
            rows.back()[a] = value;
        }
    return rows;
}

std::vector<SweepRow> latin_hypercube(std::vector<SweepAxis> const& axes, int count, std::uint64_t seed) {
    if (count < 1 || static_cast<std::size_t>(count) > most_rows)
        throw std::invalid_argument(fmt::format("--sample = {} (must be 1 .. {})", count, most_rows));
    auto const n = static_cast<std::size_t>(count);
    std::vector<SweepRow> rows(n, SweepRow(axes.size()));
    std::vector<std::size_t> order(n);
    for (std::size_t a = 0; a < axes.size(); ++a) {
        // A stream for each axis: another axis does not move this one.
        std::mt19937_64 random(models::stream_seed(seed, 31, a));
        std::iota(order.begin(), order.end(), std::size_t{0});
        for (std::size_t i = n; i > 1; --i)
            std::swap(order[i - 1],
                      order[static_cast<std::size_t>(uniform(random) * static_cast<double>(i))]);
        for (std::size_t i = 0; i < n; ++i) {
            double const share = (static_cast<double>(order[i]) + uniform(random)) / static_cast<double>(n);
            auto const& axis = axes[a];
            rows[i][a] =
                axis.is_range
                    ? typed(axis.low + (axis.high - axis.low) * share, axis.unit)
                    : axis.values[static_cast<std::size_t>(share * static_cast<double>(axis.values.size()))];
        }
    }
    return rows;
}

}  // namespace holdwater::sim
