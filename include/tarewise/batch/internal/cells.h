#ifndef TAREWISE_BATCH_INTERNAL_CELLS_H_
#define TAREWISE_BATCH_INTERNAL_CELLS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "tarewise/batch/internal/service_facts.h"
#include "tarewise/pricing/internal/cuts.h"
#include "tarewise/rules/facts.h"
#include "tarewise/rules/measure.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Numbers the parcels of a packaging whose sides follow the goods': two with the same number lie between the same cuts
/// of every service, so they have the same prices by weight. Only cuts that such a parcel can reach are looked at.
class CellIndex {
 public:
  /// Sides that a parcel can have, longest first.
  struct Reach {
    std::array<std::int64_t, 3> least = {};
    std::array<std::int64_t, 3> most = {};
  };

  CellIndex() = default;
  CellIndex(const std::vector<const ServiceFacts*>& services, const Reach& reach, bool irregular) : reach_(reach) {
    for (const ServiceFacts* service : services) AddService(*service, irregular);
    Finish();
  }

  /// The number of a parcel's cell, or nothing where it is past the reach or there are too many cells to number.
  std::optional<std::uint64_t> Of(const std::array<std::int64_t, 3>& sides) const {
    if (!countable_ || sides[0] > reach_.most[0] || sides[1] > reach_.most[1] || sides[2] > reach_.most[2]) {
      return std::nullopt;
    }
    std::uint64_t cell = 0;
    for (std::size_t i = 0; i < 3; ++i) {
      for (const std::int64_t cut : raw_[i]) cell += sides[i] > cut ? raw_radix_[i] : 0;
    }
    for (const Profile& profile : profiles_) {
      const std::int64_t l = RoundToStep(sides[0], profile.rounding);
      const std::int64_t w = RoundToStep(sides[1], profile.rounding);
      const std::int64_t h = RoundToStep(sides[2], profile.rounding);
      for (const Sum& sum : profile.sums) {
        const std::int64_t value = SumOfSides(sum.measure, l, w, h);
        for (const std::int64_t cut : sum.cuts) cell += value > cut ? sum.radix : 0;
      }
      if (!profile.needs_volume) continue;
      const Int128 volume = Int128(l) * w * h;
      const std::size_t below = static_cast<std::size_t>(
          std::lower_bound(profile.volumes.begin(), profile.volumes.end(), volume) - profile.volumes.begin());
      cell += below * profile.volume_radix;
      for (const Billable& billable : profile.billable) {
        const std::int64_t weight = billable.ratio.WeightOf(volume, profile.factor, kVolumeScale, billable.rounding);
        cell += static_cast<std::uint64_t>(ServiceFacts::StepsBegun(billable.series, weight)) * billable.radix;
      }
    }
    return cell;
  }

  /// The same of sides that nobody has bounded.
  std::optional<std::uint64_t> OfAny(const std::array<std::int64_t, 3>& sides) const {
    for (std::size_t i = 0; i < 3; ++i) {
      if (sides[i] < reach_.least[i]) return std::nullopt;
    }
    return Of(sides);
  }

  bool countable() const { return countable_; }
  /// How many numbers there are.
  std::uint64_t count() const { return cells_; }
  /// True where every parcel is in one cell.
  bool single() const { return countable_ && cells_ == 1; }

 private:
  static constexpr int kMostSeriesCuts = 1024;
  static constexpr std::int64_t kMostSteps = 65'536;

  struct Sum {
    Measure measure = Measure::kGirth;
    std::vector<std::int64_t> cuts;
    std::uint64_t radix = 0;
  };
  struct Billable {
    VolumePerWeight ratio;
    StepRounding rounding;
    CutSeries series;
    std::uint64_t radix = 0;
  };
  // Measures of sides after one rounding.
  struct Profile {
    StepRounding rounding;
    std::int64_t factor = kVolumeScale;
    std::vector<Sum> sums;
    std::vector<Int128> volumes;  // nm3, before the factor
    std::vector<Billable> billable;
    std::uint64_t volume_radix = 0;
    bool needs_volume = false;
  };

  Profile& ProfileFor(StepRounding rounding, std::int64_t factor) {
    for (Profile& profile : profiles_) {
      if (profile.rounding == rounding && profile.factor == factor) return profile;
    }
    Profile& added = profiles_.emplace_back();
    added.rounding = rounding;
    added.factor = factor;
    return added;
  }

  void AddService(const ServiceFacts& service, bool irregular) {
    const Cuts& cuts = service.compiled().cuts;
    const StepRounding rounding = service.rules().sides;
    const std::int64_t factor = irregular ? service.rules().irregular_factor : kVolumeScale;
    for (std::size_t m = 1; m < Cuts::kMeasures; ++m) {
      const Measure measure = static_cast<Measure>(m);
      const bool exact = FormOf(measure).exact;
      const StepRounding round = exact ? StepRounding{} : rounding;
      const std::int64_t f = exact ? kVolumeScale : factor;
      const MeasureValue least = At(measure, reach_.least, round, f);
      const MeasureValue most = At(measure, reach_.most, round, f);
      for (const MeasureValue cut : cuts.values(measure)) {
        if (least <= cut && cut < most) AddCut(measure, cut, round, f);
      }
      for (const CutSeries& series : cuts.series(measure)) {
        MeasureValue cut = series.start;
        if (cut < least) cut += (least - cut) / series.step * series.step;
        for (int i = 0; cut < most; ++i, cut += series.step) {
          if (i > kMostSeriesCuts) {
            countable_ = false;
            break;
          }
          if (least <= cut) AddCut(measure, cut, round, f);
        }
      }
    }
    if (cuts.billable_series().empty()) return;
    for (const MeasureRules::Dimensional& rule : service.rules().dimensional) {
      for (const CutSeries& series : cuts.billable_series()) AddBillable(rule, series, service, factor);
    }
  }

  void AddBillable(const MeasureRules::Dimensional& rule, const CutSeries& series, const ServiceFacts& service,
                   std::int64_t factor) {
    const StepRounding weight_rounding = service.rules().weight;
    const MeasureValue most = At(Measure::kVolume, reach_.most, service.rules().sides, kVolumeScale) / kVolumeScale;
    const std::int64_t heaviest = rule.volume_per_weight.WeightOf(most, factor, kVolumeScale, weight_rounding);
    const std::int64_t steps = ServiceFacts::StepsBegun(series, heaviest);
    if (steps == 0) return;
    if (steps > kMostSteps) {
      countable_ = false;
      return;
    }
    Profile& profile = ProfileFor(service.rules().sides, factor);
    for (const Billable& known : profile.billable) {
      if (known.ratio.volume == rule.volume_per_weight.volume && known.ratio.weight == rule.volume_per_weight.weight &&
          known.rounding == weight_rounding && known.series.start == series.start && known.series.step == series.step) {
        return;
      }
    }
    Billable& added = profile.billable.emplace_back();
    added.ratio = rule.volume_per_weight;
    added.rounding = weight_rounding;
    added.series = series;
    added.radix = static_cast<std::uint64_t>(steps) + 1;  // how many there are, until `Finish`
    profile.needs_volume = true;
  }

  static MeasureValue At(Measure measure, const std::array<std::int64_t, 3>& sides, StepRounding rounding,
                         std::int64_t factor) {
    return Cuts::Of(measure, RoundToStep(sides[0], rounding), RoundToStep(sides[1], rounding),
                    RoundToStep(sides[2], rounding), factor);
  }

  void AddCut(Measure measure, MeasureValue cut, StepRounding rounding, std::int64_t factor) {
    switch (measure) {
      case Measure::kLength:
      case Measure::kExactLength:
        raw_[0].push_back(LargestRoundingTo(static_cast<std::int64_t>(cut), rounding));
        return;
      case Measure::kWidth:
      case Measure::kExactWidth:
        raw_[1].push_back(LargestRoundingTo(static_cast<std::int64_t>(cut), rounding));
        return;
      case Measure::kHeight:
      case Measure::kExactHeight:
        raw_[2].push_back(LargestRoundingTo(static_cast<std::int64_t>(cut), rounding));
        return;
      case Measure::kVolume:
      case Measure::kExactVolume: {
        Profile& profile = ProfileFor(rounding, factor);
        profile.volumes.push_back(factor == 0 ? cut : cut / factor);
        profile.needs_volume = true;
        return;
      }
      default:
        break;
    }
    // Sums do not look at the volume's factor.
    Profile* profile = nullptr;
    for (Profile& one : profiles_) {
      if (one.rounding == rounding) profile = &one;
    }
    if (profile == nullptr) profile = &ProfileFor(rounding, kVolumeScale);
    const Measure kind = measure == Measure::kExactLengthPlusGirth ? Measure::kLengthPlusGirth : measure;
    for (Sum& sum : profile->sums) {
      if (sum.measure == kind) {
        sum.cuts.push_back(static_cast<std::int64_t>(cut));
        return;
      }
    }
    profile->sums.push_back({kind, {static_cast<std::int64_t>(cut)}, 0});
  }

  template <typename T>
  static void Unique(std::vector<T>& values) {
    std::sort(values.begin(), values.end());
    values.erase(std::unique(values.begin(), values.end()), values.end());
  }

  // A place value for each measure; false where 64 bits do not hold the number of cells.
  void Finish() {
    auto place = [this](std::uint64_t& radix, std::uint64_t ways) {
      radix = cells_;
      if (cells_ > (std::uint64_t{1} << 62) / ways) {
        countable_ = false;
      } else {
        cells_ *= ways;
      }
    };
    for (std::size_t i = 0; i < 3; ++i) {
      Unique(raw_[i]);
      place(raw_radix_[i], raw_[i].size() + 1);
    }
    for (Profile& profile : profiles_) {
      for (Sum& sum : profile.sums) {
        Unique(sum.cuts);
        place(sum.radix, sum.cuts.size() + 1);
      }
      Unique(profile.volumes);
      place(profile.volume_radix, profile.volumes.size() + 1);
      for (Billable& billable : profile.billable) place(billable.radix, std::uint64_t{billable.radix});
    }
  }

  Reach reach_;
  std::array<std::vector<std::int64_t>, 3> raw_;
  std::array<std::uint64_t, 3> raw_radix_ = {};
  std::vector<Profile> profiles_;
  std::uint64_t cells_ = 1;
  bool countable_ = true;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_BATCH_INTERNAL_CELLS_H_
