#ifndef TAREWISE_RANKING_RANKING_H_
#define TAREWISE_RANKING_RANKING_H_

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/internal/switch.h"
#include "tarewise/parcel/parcel_facts.h"
#include "tarewise/pricing/charge.h"
#include "tarewise/ranking/cautions.h"
#include "tarewise/ranking/dispatch.h"
#include "tarewise/ranking/request.h"

namespace tarewise {
namespace internal {
class Ranker;
}

/// What can change about a parcel: its weight, or one of its sides by size.
enum class Aspect : std::uint8_t { kWeight, kLength, kWidth, kHeight };
inline constexpr std::string_view kAspectNames[] = {"weight", "length", "width", "height"};

/// The most that may be added, one at a time, at the same total with the same service. Nothing: no limit.
struct Headroom {
  std::optional<Weight> weight;
  std::array<std::optional<Length>, 3> sides;
};

/// The least to take out (weight) or off (a side) for a lower best total with the same packaging. One step less does
/// not lower it.
struct Saver {
  Aspect of = Aspect::kWeight;
  Weight weight;  ///< To take out, for `kWeight`.
  Length length;  ///< To take off, for a side.
  Amount total;   ///< The best total with this packaging after that.
  Amount saves;   ///< This offer's total less that one.
};

/// The lowest and the highest total over a range of weights or sides.
struct TotalRange {
  Amount lowest;
  Amount highest;
};

/// One way to send, with its price and why. Amounts of `charges` are in the tariff's currency, `total` in the
/// ranking's.
struct Offer {
  std::string_view carrier;
  std::string_view service;
  std::string_view title;
  std::string_view packaging;  ///< Code; empty: the seller's own, not named.
  std::string_view issued_by;
  std::string_view zone;
  std::optional<Days> days;
  bool tracked = false;
  Mode mode = Mode::kAny;
  Weight weight;     ///< Gross.
  Dimensions sides;  ///< Outside.
  Weight billable;
  BillableFrom billable_from = BillableFrom::kActual;
  std::vector<Charge> charges;
  Currency tariff_currency;
  Amount service_total;   ///< In the tariff's currency, packaging left out.
  Amount packaging_cost;  ///< In the ranking's currency.
  Amount total;           ///< In the ranking's currency.
  Amount included_cover;
  CautionSet
      cautions;  ///< Its own: of the parcel's weight at its most, and of a service that does not say how it goes.
  bool at_risk = false;
  std::optional<Amount> total_at_risk;  ///< Nothing while at risk: it would then be refused.
  std::optional<TotalRange> range;
  Headroom headroom;
  std::vector<Saver> savers;
  std::uint32_t service_index = 0;    ///< Into the dispatch's services.
  std::uint32_t candidate_index = 0;  ///< Into the ranking's candidates.
};

/// One way that is not offered, with every reason. Carrier and service are empty where the packaging itself is out.
struct Refusal {
  std::string_view carrier;
  std::string_view service;
  std::string_view packaging;
  std::vector<RefusalReason> reasons;
};

/// Above this weight, or longer than this, another way is the cheapest.
struct WinnerChange {
  Aspect of = Aspect::kWeight;
  Weight above_weight;
  Length above_length;
  std::string_view carrier;  ///< Empty: nothing can be offered from here on.
  std::string_view service;
  std::string_view packaging;
  Amount total;
};

/// A parcel that the goods make in one packaging, as it was priced.
struct Candidate {
  ParcelFacts facts;
  std::int64_t weight_most = 0;
  std::array<std::int64_t, 3> least = {};  ///< Sides in the order of the goods, before sorting.
  std::array<std::int64_t, 3> most = {};
  bool follows_goods = false;            ///< Not every parcel between `least` and `most` can be: see `Ranker::SidesOf`.
  std::int64_t weight_floor = 0;         ///< Gross weight that no taking out may reach: tare and fill.
  Amount own_cost;                       ///< In the ranking's currency.
  Amount issued_cost;                    ///< In the issuing carrier's currency.
  bool cost_known = true;                ///< False: its currency has no rate.
  Currency cost_currency;                ///< The currency that has none.
  const Packaging* packaging = nullptr;  ///< Nothing: sealed, or an estimate.
  bool sides_adjustable = false;
};

/// The answer to a request: every way to send, best first, and every way that is not offered. Immutable; it keeps the
/// ratebook that made it alive.
class Ranking {
 public:
  Ranking();
  Ranking(const Ranking&);
  Ranking(Ranking&&) noexcept;
  Ranking& operator=(const Ranking&);
  Ranking& operator=(Ranking&&) noexcept;
  ~Ranking();

  const std::vector<Offer>& offers() const { return offers_; }
  const std::vector<Refusal>& refusals() const { return refusals_; }
  /// Those of the goods and of every offer, and where there is any, what closes the list.
  const std::vector<Caution>& cautions() const { return cautions_; }
  const std::vector<WinnerChange>& changes() const { return changes_; }
  bool estimate() const { return estimate_; }
  Currency currency() const { return dispatch_->currency(); }
  const Dispatch& dispatch() const { return *dispatch_; }
  const Request& request() const { return *request_; }
  const std::vector<Candidate>& candidates() const { return *candidates_; }

  /// Why a charge applies, in words, as "billable weight 5 lb (actual), row 5 lb, zone 5".
  std::string Why(const Offer& offer, const Charge& charge) const;
  /// The table row that a charge came from ("2 lb"), or nothing.
  static std::string Row(const Charge& charge);
  /// The column that it came from ("8", "*"), or nothing.
  std::string Column(const Offer& offer, const Charge& charge) const;

 private:
  friend class internal::Ranker;
  std::shared_ptr<const Request> request_;
  std::shared_ptr<const Dispatch> dispatch_;
  std::shared_ptr<const std::vector<Candidate>> candidates_;
  std::shared_ptr<const void> kept_;
  std::vector<Offer> offers_;
  std::vector<Refusal> refusals_;
  std::vector<Caution> cautions_;
  std::vector<WinnerChange> changes_;
  bool estimate_ = false;
};

}  // namespace tarewise

#ifdef TW_HEADER_ONLY
#include "tarewise/ranking/internal/ranking-inl.h"
#endif

#endif  // TAREWISE_RANKING_RANKING_H_
