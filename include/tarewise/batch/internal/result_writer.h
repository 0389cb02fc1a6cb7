#ifndef TAREWISE_BATCH_INTERNAL_RESULT_WRITER_H_
#define TAREWISE_BATCH_INTERNAL_RESULT_WRITER_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <utility>
#include <vector>

#include "tarewise/batch/internal/goods.h"
#include "tarewise/batch/internal/plan.h"
#include "tarewise/batch/internal/worker.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/ranking/cautions.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Writes the answers of rows into result columns.
class ResultWriter {
 public:
  ResultWriter(const RepricePlan& plan, const RepriceResults& results)
      : plan_(plan),
        results_(results),
        lanes_(plan.lane_class().size()),
        mixed_(results.expected != nullptr || results.quantile != nullptr),
        rows_(mixed_ || results.worst != nullptr || results.worst_lane != nullptr),
        mean_step_(plan.mean_step()),
        by_class_(plan.classes()),
        shares_(plan.classes(), 0) {
    const std::vector<std::int64_t>& shares = plan.setup().shares;
    for (std::size_t lane = 0; lane < shares.size(); ++lane) {
      shares_[plan.lane_class()[lane]] += shares[lane];
      sum_ += shares[lane];
    }
    // Where the sum of products surely fits 64 bits.
    small_total_ = sum_ > 0 ? std::numeric_limits<std::int64_t>::max() / 2 / sum_ : 0;
    for (const std::int64_t level : results.levels) {
      const Int128 need = (Int128(level) * sum_ + 999'999) / 1'000'000;
      needed_.push_back(std::max<std::int64_t>(static_cast<std::int64_t>(need), 1));
    }
    by_total_.reserve(plan.classes());
  }

  void None(std::size_t row, RowReason reason) {
    const std::size_t at = row * lanes_;
    if (results_.total != nullptr) std::fill_n(results_.total + at, lanes_, kNoTotal);
    if (results_.service != nullptr) std::fill_n(results_.service + at, lanes_, std::int16_t{-1});
    if (results_.packaging != nullptr) std::fill_n(results_.packaging + at, lanes_, std::int16_t{-1});
    if (results_.second_total != nullptr) std::fill_n(results_.second_total + at, lanes_, kNoTotal);
    if (results_.worst != nullptr) results_.worst[row] = kNoTotal;
    if (results_.worst_lane != nullptr) results_.worst_lane[row] = -1;
    if (results_.expected != nullptr) results_.expected[row] = kNoTotal;
    NoQuantiles(row);
    if (results_.parcels != nullptr) std::fill_n(results_.parcels + at, lanes_, std::int16_t{0});
    if (results_.reason != nullptr) results_.reason[row] = static_cast<std::uint8_t>(reason);
  }

  bool cautions() const { return results_.cautions != nullptr; }

  /// The cautions of goods as they are, and whether those of an offer may be others.
  void OwnCautions(const Goods& goods, CautionSet& own, bool& by_offer) const {
    own = CautionsOfGoods(goods.traits, Weight::Nanograms(goods.weight));
    by_offer = plan_.overdue() || NeverByAir(goods.traits) ||
               CautionsOf(Weight::Nanograms(goods.weight)) !=
                   CautionsOf(Weight::Nanograms(goods.weight + plan_.most_around()));
  }

  /// Of an order in several parcels.
  void PutCautions(std::size_t row, CautionSet all) { results_.cautions[row] = all.bits(); }

  /// The goods' own are known; those of offers are looked for where `goods` is given.
  void PutCautions(std::size_t row, const RepriceWorker::Place& place, CautionSet own, const Goods* goods,
                   RepriceWorker& worker) {
    if (place.reason != RowReason::kPriced && place.reason != RowReason::kFitsNothing) own = {};
    const Way* ways = place.words != nullptr ? place.words + 2 * plan_.classes() : place.ways;
    if (goods != nullptr && place.reason == RowReason::kPriced) {
      for (std::size_t c = 0; c < plan_.classes(); ++c) {
        const auto service = static_cast<std::int16_t>(ServiceOf(ways[c]));
        if (service < 0) continue;
        const Pack& pack = plan_.packs()[PackagingOf(ways[c])];
        own.AddAll(CautionsOfOffer(goods->traits, Weight::Nanograms(pack.Gross(goods->weight)),
                                   plan_.services()[static_cast<std::size_t>(service)].facts.service().mode));
        if (worker.IsOverdue(*goods, c, ways[c])) own.Add(CautionCode::kValueOverdue);
      }
    }
    results_.cautions[row] = own.bits();
  }

  /// `parcels`: by class of lanes; nothing: one where there is a total.
  void Put(std::size_t row, const RepriceWorker::Place& place, const std::int16_t* parcels = nullptr) {
    parcels_ = parcels;
    if (place.words == nullptr && place.totals == nullptr) return None(row, place.reason);
    const std::size_t classes = plan_.classes();
    if (place.words != nullptr) {
      Write(row, place.words, place.words + classes, place.words + 2 * classes, plan_.unit());
    } else {
      Write(row, place.totals, place.totals + classes, place.ways, std::int64_t{1});
    }
  }

 private:
  template <typename T>
  static std::int64_t Shown(T total, std::int64_t unit) {
    return total == Answers<T>::kNone ? kNoTotal : static_cast<std::int64_t>(total) * unit;
  }

  template <typename T>
  void Write(std::size_t row, const T* totals, const T* seconds, const Way* ways, std::int64_t unit) {
    if (plan_.plain_lanes()) {
      Lanes(row * lanes_, totals, seconds, ways, unit, [](std::size_t lane) { return lane; });
    } else {
      const std::uint32_t* of = plan_.lane_class().data();
      Lanes(row * lanes_, totals, seconds, ways, unit, [of](std::size_t lane) { return of[lane]; });
    }
    const std::size_t classes = plan_.classes();
    if (results_.reason != nullptr) {
      std::size_t offered = 0;
      for (std::size_t c = 0; c < classes; ++c) offered += totals[c] != Answers<T>::kNone ? 1 : 0;
      const RowReason reason = offered == classes ? RowReason::kPriced
                               : offered == 0     ? RowReason::kOfferedNowhere
                                                  : RowReason::kNotEverywhere;
      results_.reason[row] = static_cast<std::uint8_t>(reason);
    }
    if (!rows_) return;
    std::int64_t worst = kNoTotal;
    std::int32_t worst_lane = -1;
    for (std::size_t c = 0; c < classes; ++c) {
      by_class_[c] = Shown(totals[c], unit);
      // Classes come in the order of their first lanes, so the first of equals is the first lane.
      if (by_class_[c] <= worst) continue;
      worst = by_class_[c];
      worst_lane = static_cast<std::int32_t>(plan_.class_lanes()[c]);
    }
    if (results_.worst != nullptr) results_.worst[row] = worst;
    if (results_.worst_lane != nullptr) results_.worst_lane[row] = worst_lane;
    if (mixed_) Mix(row, by_class_.data(), worst);
  }

  template <typename T, typename ClassOf>
  void Lanes(std::size_t at, const T* totals, const T* seconds, const Way* ways, std::int64_t unit, ClassOf class_of) {
    if (results_.total != nullptr) {
      std::int64_t* out = results_.total + at;
      for (std::size_t i = 0; i < lanes_; ++i) out[i] = Shown(totals[class_of(i)], unit);
    }
    if (results_.parcels != nullptr) {
      std::int16_t* out = results_.parcels + at;
      for (std::size_t i = 0; i < lanes_; ++i) {
        const std::size_t c = class_of(i);
        out[i] = parcels_ != nullptr ? parcels_[c] : std::int16_t{totals[c] != Answers<T>::kNone};
      }
    }
    if (results_.second_total != nullptr) {
      std::int64_t* out = results_.second_total + at;
      for (std::size_t i = 0; i < lanes_; ++i) out[i] = Shown(seconds[class_of(i)], unit);
    }
    if (results_.service != nullptr) {
      std::int16_t* out = results_.service + at;
      for (std::size_t i = 0; i < lanes_; ++i) out[i] = static_cast<std::int16_t>(ServiceOf(ways[class_of(i)]));
    }
    if (results_.packaging != nullptr) {
      std::int16_t* out = results_.packaging + at;
      for (std::size_t i = 0; i < lanes_; ++i) out[i] = static_cast<std::int16_t>(PackagingOf(ways[class_of(i)]));
    }
  }

  void NoQuantiles(std::size_t row) {
    if (results_.quantile == nullptr) return;
    std::fill_n(results_.quantile + row * needed_.size(), needed_.size(), kNoTotal);
  }

  void Mix(std::size_t row, const std::int64_t* totals, std::int64_t worst) {
    const std::size_t classes = plan_.classes();
    bool known = true;
    for (std::size_t c = 0; c < classes; ++c) known = known && (shares_[c] == 0 || totals[c] != kNoTotal);
    if (!known) {
      if (results_.expected != nullptr) results_.expected[row] = kNoTotal;
      NoQuantiles(row);
      return;
    }
    if (results_.expected != nullptr) results_.expected[row] = Mean(totals, worst);
    if (results_.quantile == nullptr) return;
    by_total_.clear();
    for (std::size_t c = 0; c < classes; ++c) {
      if (shares_[c] > 0) by_total_.emplace_back(totals[c], shares_[c]);
    }
    std::sort(by_total_.begin(), by_total_.end());
    for (std::size_t i = 0; i < needed_.size(); ++i) {
      std::int64_t reached = 0;
      std::size_t at = 0;
      while ((reached += by_total_[at].second) < needed_[i]) ++at;
      results_.quantile[row * needed_.size() + i] = by_total_[at].first;
    }
  }

  std::int64_t Mean(const std::int64_t* totals, std::int64_t worst) const {
    const std::size_t classes = plan_.classes();
    if (worst <= small_total_) {
      std::int64_t sum = 0;
      for (std::size_t c = 0; c < classes; ++c) sum += shares_[c] * totals[c];
      const std::int64_t divisor = sum_ * mean_step_;
      if (sum >= 0) return (sum / divisor + (sum % divisor >= divisor - divisor / 2 ? 1 : 0)) * mean_step_;
    }
    Int128 sum = 0;
    for (std::size_t c = 0; c < classes; ++c) {
      if (shares_[c] != 0) sum += Int128(shares_[c]) * totals[c];
    }
    return static_cast<std::int64_t>(DivideRounded(sum, sum_, mean_step_, RoundMode::kHalfUp));
  }

  const RepricePlan& plan_;
  const RepriceResults& results_;
  const std::int16_t* parcels_ = nullptr;
  std::size_t lanes_;
  bool mixed_;
  bool rows_;  // something beside the lanes is asked for
  std::int64_t mean_step_;
  std::vector<std::int64_t> by_class_;
  std::vector<std::int64_t> shares_;
  std::int64_t sum_ = 0;
  std::int64_t small_total_ = 0;
  std::vector<std::int64_t> needed_;  // by level: how much of the shares
  std::vector<std::pair<std::int64_t, std::int64_t>> by_total_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_BATCH_INTERNAL_RESULT_WRITER_H_
