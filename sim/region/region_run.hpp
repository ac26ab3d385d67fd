#pragma once

#include <string>
#include <vector>

#include "scenarios/design/design.hpp"
#include "sim/base/stop.hpp"
#include "sim/region/region_plan.hpp"
#include "sim/sweep/sweep_blocks.hpp"

namespace holdwater::sim {

/// The numbers and the texts of a row of a region, in the order of the columns.
std::vector<SweepFigure> const& region_figures();
std::vector<SweepFigure> const& region_texts();

/// What all rows of a region have in common, besides the scenario and the weather files. Kept with the rows,
/// so that shards can be told apart and joined rows can be read without the scenario.
struct RegionBasis {
    std::string title;
    std::string units = "metric";  ///< of the answers: metric, us or both
    std::string batteries;         ///< as typed
    int made_years = 50;
    std::uint64_t seed = 1;
    double end_of_life = 0.8;  ///< share of the capacity with which a battery is judged; 1: as it is now
    double hours_short_allowed = 0;   ///< in a winter that counts as held [h]
    double longest_shortage_h = 0;    ///< limit in any winter [h]; infinity: none
    std::string plane;                ///< tilt and azimuth of the array, in words
    double ground_reflectance = 0.2;  ///< at stations whose file has no albedo
};
std::vector<std::string> settings_of(RegionBasis const& basis);
RegionBasis basis_of(std::vector<std::string> const& settings);  ///< the inverse

/// Runs rows of a region. Rows of one station are quickest in one block.
class RegionRun {
  public:
    /// `base`: an option of the scenario, or nothing. Throws ScenarioError; std::invalid_argument for a
    /// design without battery, array or demand.
    RegionRun(scenarios::DesignFile file, scenarios::DesignOption base, std::vector<std::string> stations,
              RegionPlan const& plan, RegionBasis basis);

    /// Fills the rows of a block; the stations in it on all threads. Throws StudyStopped.
    void run(SweepBlock& block, StopFlag stop = nullptr) const;
    /// Hash of the scenario, its parts and all weather files.
    [[nodiscard]] std::string inputs_hash() const;

  private:
    struct Rows {
        std::size_t station = 0, first = 0, end = 0;  ///< of the block
    };
    void run_station(SweepBlock& block, Rows const& rows, StopFlag stop) const;

    scenarios::VariantReader variants_;
    std::vector<std::string> stations_;
    std::vector<double> batteries_kwh_;
    RegionBasis basis_;
};

/// What the scenario and [required] say about a region.
RegionBasis region_basis(scenarios::Scenario const& scenario);

}  // namespace holdwater::sim
