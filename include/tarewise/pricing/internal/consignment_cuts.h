#ifndef TAREWISE_PRICING_INTERNAL_CONSIGNMENT_CUTS_H_
#define TAREWISE_PRICING_INTERNAL_CONSIGNMENT_CUTS_H_

#include <algorithm>
#include <vector>

#include "tarewise/pricing/internal/cuts.h"
#include "tarewise/rules/price.h"
#include "tarewise/rules/test.h"
#include "tarewise/rules/walk.h"
#include "tarewise/tariff/measure.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// What of a service's answer hangs on the consignment that a parcel is of: whether something is due once, and at how
/// many pieces and at which weights of them all the answer can change. As of `Cuts`, up to and including each value one
/// thing may be true, and above it another.
struct ConsignmentCuts {
  bool once = false;
  std::vector<MeasureValue> pieces;  ///< Rising, each once.
  std::vector<CutSeries> piece_series;
  std::vector<MeasureValue> weights;  ///< In ng; rising, each once.
  std::vector<CutSeries> weight_series;

  /// False where a parcel costs what it costs by itself.
  bool any() const { return once || !pieces.empty() || !piece_series.empty() || by_weight(); }
  bool by_weight() const { return !weights.empty() || !weight_series.empty(); }

  void Add(const ServiceRule& rule) {
    once = once || rule.once;
    GatherCuts(rule.when, *this);
    if (rule.price != nullptr) GatherCuts(*rule.price, *this);
  }
  void Cut(Measure measure, MeasureValue cut) {
    if (measure == Measure::kPieces) pieces.push_back(cut);
    if (measure == Measure::kConsignmentWeight) weights.push_back(cut);
  }
  void Series(Measure measure, MeasureValue start, MeasureValue step) {
    if (measure == Measure::kPieces) piece_series.push_back({start, step});
    if (measure == Measure::kConsignmentWeight) weight_series.push_back({start, step});
  }
  void Finish() {
    for (std::vector<MeasureValue>* values : {&pieces, &weights}) {
      std::sort(values->begin(), values->end());
      values->erase(std::unique(values->begin(), values->end()), values->end());
    }
  }
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PRICING_INTERNAL_CONSIGNMENT_CUTS_H_
