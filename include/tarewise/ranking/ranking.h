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
#include "tarewise/packing/arrange.h"
#include "tarewise/parcel/packaging.h"
#include "tarewise/parcel/parcel_facts.h"
#include "tarewise/pricing/charge.h"
#include "tarewise/ranking/cautions.h"
#include "tarewise/ranking/dispatch.h"
#include "tarewise/ranking/handicap.h"
#include "tarewise/ranking/request.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {
class RankingMaker;
struct GoodsContents;
}  // namespace internal

/// What can change about a parcel: its weight, or one of its sides by size.
enum class Aspect : std::uint8_t { kWeight, kLength, kWidth, kHeight };
inline constexpr std::string_view kAspectNames[] = {"weight", "length", "width", "height"};

/// The most that may be added, one at a time, at the same total with the same service. Nothing: no limit.
struct Headroom {
  std::optional<Weight> weight;
  std::array<std::optional<Length>, 3> sides;
};

/// The least to take out (weight) or off (a side) for a lower best total with the same packaging. One step less does
/// not lower it. Where there are handicaps, the best is that of total and handicap together.
struct Saver {
  Aspect of = Aspect::kWeight;
  Weight weight;  ///< To take out, for `kWeight`.
  Length length;  ///< To take off, for a side.
  Amount total;   ///< The best total with this packaging after that.
  Amount saves;   ///< This offer's total less that one; below 0 where a handicap falls instead.
};

/// The lowest and the highest total over a range of weights or sides.
struct TotalRange {
  Amount lowest;
  Amount highest;
};

/// The tax on the charges of an offer, in the tariff's currency.
struct OfferTax {
  const Tax* tax = nullptr;
  Amount amount;
  Amount net;       ///< The service's total without it.
  Amount with_tax;  ///< The service's total with it.
};

/// A series of the tariff that charges of an offer took their values from although its last row is older than it is
/// good for.
struct OverdueSeries {
  std::string_view series;  ///< Its code.
  Date since;               ///< The first day that lacks a value.
};

/// One way to send, with its price and why. Amounts of `charges` are in the tariff's currency, the others in the
/// ranking's where nothing else is said. Of goods that range it is the dearest parcel, and of those the heaviest.
///
/// Its views point into the ratebook and the shelf, its charges at prices and tests there. The `Ranking` keeps both
/// alive: an offer, or a copy of it, is good as long as that ranking or a copy of that lives, and dangles after. To
/// keep one longer, make strings of the views. The same holds for `Refusal` and `WinnerChange`.
struct Offer {
  std::string_view carrier;
  std::string_view service;
  std::string_view title;
  std::string_view packaging;  ///< Code; empty: the seller's own, not named. "estimate" of an estimate.
  std::string_view issued_by;  ///< The carrier whose packaging it is; empty: the seller's own.
  std::string_view zone;
  std::optional<Days> days;        ///< Nothing: none are published for this zone.
  std::optional<Arrival> arrives;  ///< Nothing: no days, or no calendar.
  Delivery delivers = Delivery::kDoor;
  bool tracked = false;
  Mode mode = Mode::kAny;
  Weight weight;     ///< Gross.
  Dimensions sides;  ///< Outside.
  Weight billable;
  BillableFrom billable_from = BillableFrom::kActual;
  std::vector<Charge> charges;
  Currency tariff_currency;
  Amount service_total;  ///< In the tariff's currency, packaging left out; with its tax or without, as was asked.
  std::optional<OfferTax> tax;  ///< Nothing where none is due.
  Amount packaging_cost;        ///< In the ranking's currency.
  Amount total;                 ///< In the ranking's currency.
  Amount included_cover;
  std::vector<OfferHandicap> handicaps;  ///< Of the seller's own rules, those that hold.
  Amount handicap;                       ///< Their sum: counts in the order, and is in no total.
  std::vector<OverdueSeries> overdue;    ///< In the order of the tariff's series.
  /// Its own: of the parcel's weight at its most, of a service that does not say how it goes, and where `overdue` has
  /// any.
  CautionSet cautions;
  std::optional<Length> cut_to;         ///< The height of the outside of a carton that is cut down.
  bool at_risk = false;                 ///< Within the request's tolerance it is dearer, or refused.
  std::optional<Amount> total_at_risk;  ///< Nothing while at risk: it would then be refused.
  std::optional<TotalRange> range;      ///< Of goods that range, and of an estimate.
  Headroom headroom;                    ///< Empty, as `savers` is, where no thresholds were asked for.
  std::vector<Saver> savers;
  std::uint32_t service_index = 0;    ///< Into the dispatch's services.
  std::uint32_t candidate_index = 0;  ///< Into the ranking's candidates.
};

/// One way that is not offered, with every reason. Carrier and service are empty where the packaging itself is out.
/// Views and pointers live as an offer's do.
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

/// A parcel that the goods make in one packaging, as it was priced. Weights in ng, sides in nm. Views and pointers live
/// as an offer's do.
struct Candidate {
  /// Gross weight and sorted sides, each at the least of its range; of an estimate with the most of the allowance.
  ParcelFacts facts;
  std::int64_t weight_most = 0;            ///< Gross, at the most of its range.
  std::array<std::int64_t, 3> least = {};  ///< Outside, as the goods or the packaging have them, not sorted.
  std::array<std::int64_t, 3> most = {};   ///< The same at the most of their ranges.
  const Packaging* packaging = nullptr;    ///< Nothing: an estimate, or a sealed parcel that names none.
  Amount own_cost;                         ///< Of a packaging of the shelf, in the ranking's currency.
  Amount issued_cost;                      ///< Of a carrier's, in that carrier's currency.
  bool cost_known = true;                  ///< False: the shelf's currency has no rate, and nothing is offered.
  /// The height of the outside of a carton that is cut down. The candidate before it is the same carton, whole.
  std::optional<Length> cut_to;
  /// Where each of several units lies in a carton, a mailer, an envelope or a tube; nothing of every other candidate.
  std::shared_ptr<const std::vector<Placement>> arrangement;
  /// Of an arrangement in a mailer, an envelope or a tube: the box that just holds the units, its length, width and
  /// thickness. Else zeros.
  std::array<Length, 3> box = {};
  bool pillow = false;            ///< Soft goods fill a mailer: its sides are a model's.
  bool sides_adjustable = false;  ///< Its sides can be made shorter, so savers are sought along them.
};

/// The answer to a request: every way to send, best first, and every way that is not offered. Immutable: any number of
/// threads may read one. It keeps alive what it was made of and what its views point into, the request, the dispatch
/// with its ratebook and the shelf; copies share them.
class Ranking {
 public:
  /// Of nothing, to be assigned to: its lists of offers, refusals, cautions and changes are empty, and nothing else may
  /// be asked of it.
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
  /// The goods were not packed: no shelf was given.
  bool estimate() const { return estimate_; }
  Currency currency() const { return dispatch_->currency(); }
  const Dispatch& dispatch() const { return *dispatch_; }
  const Request& request() const { return *request_; }
  const std::vector<Candidate>& candidates() const { return *candidates_; }

  /// Why a charge of an offer of this ranking applies, in words, as "billable weight 5 lb (actual), row 5 lb, zone 5".
  std::string Why(const Offer& offer, const Charge& charge) const;
  /// The same of each of an offer's charges, in their order, for less than one by one.
  std::vector<std::string> Whys(const Offer& offer) const;
  /// The table row that a charge came from ("2 lb"), or nothing.
  static std::string Row(const Charge& charge);
  /// The column that it came from ("8", "*"), or nothing.
  std::string Column(const Offer& offer, const Charge& charge) const;
  /// What a charge is billed as where a heavier row's price is lower ("45 kg"), or nothing.
  static std::string BilledAs(const Charge& charge);

 private:
  friend class internal::RankingMaker;
  std::shared_ptr<const Request> request_;
  std::shared_ptr<const Dispatch> dispatch_;
  std::shared_ptr<const std::vector<Candidate>> candidates_;
  std::shared_ptr<const Shelf> shelf_;
  std::shared_ptr<const internal::GoodsContents> contents_;
  std::vector<Offer> offers_;
  std::vector<Refusal> refusals_;
  std::vector<Caution> cautions_;
  std::vector<WinnerChange> changes_;
  bool estimate_ = false;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/ranking/internal/ranking-inl.h"
#endif

#endif  // TAREWISE_RANKING_RANKING_H_
