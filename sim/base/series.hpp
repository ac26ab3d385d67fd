#pragma once

#include <cstddef>
#include <initializer_list>
#include <memory>
#include <utility>
#include <vector>

namespace holdwater::sim {

/// Hourly values. Copies share them until one of the copies is changed, so that the years and designs of a
/// study that have the same demand or the same loads hold them once. Read like a vector. Several threads may
/// read the same object, and each may copy it.
class Series {
  public:
    Series() = default;
    Series(std::vector<double> values)  // NOLINT(google-explicit-constructor)
        : values_(std::make_shared<std::vector<double>>(std::move(values))) {}
    Series(std::initializer_list<double> values) : Series(std::vector<double>(values)) {}
    Series(std::size_t count, double value) : Series(std::vector<double>(count, value)) {}

    [[nodiscard]] std::vector<double> const& values() const { return values_ ? *values_ : none_; }
    operator std::vector<double> const&() const { return values(); }  // NOLINT(google-explicit-constructor)
    [[nodiscard]] std::size_t size() const { return values().size(); }
    [[nodiscard]] bool empty() const { return values().empty(); }
    [[nodiscard]] auto begin() const { return values().begin(); }
    [[nodiscard]] auto end() const { return values().end(); }
    [[nodiscard]] double const* data() const { return values().data(); }
    [[nodiscard]] double const& operator[](std::size_t hour) const { return values()[hour]; }
    [[nodiscard]] double const& at(std::size_t hour) const { return values().at(hour); }

    /// The values, to be changed; the copies that share them keep the old ones.
    std::vector<double>& edit() {
        if (!values_ || values_.use_count() > 1) values_ = std::make_shared<std::vector<double>>(values());
        return *values_;
    }
    double& operator[](std::size_t hour) { return edit()[hour]; }
    double& at(std::size_t hour) { return edit().at(hour); }
    void assign(std::size_t count, double value) { *this = Series(count, value); }

    friend bool operator==(Series const& a, Series const& b) {
        return a.values_ == b.values_ || a.values() == b.values();
    }

  private:
    static inline std::vector<double> const none_;
    std::shared_ptr<std::vector<double>> values_;
};

}  // namespace holdwater::sim
