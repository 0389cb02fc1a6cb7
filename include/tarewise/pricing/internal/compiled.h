#ifndef TAREWISE_PRICING_INTERNAL_COMPILED_H_
#define TAREWISE_PRICING_INTERNAL_COMPILED_H_

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/pricing/internal/consignment_cuts.h"
#include "tarewise/pricing/internal/cuts.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/rules/facts.h"
#include "tarewise/rules/included_cover.h"
#include "tarewise/rules/test.h"
#include "tarewise/rules/walk.h"
#include "tarewise/tariff/seller.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// A service made ready for pricing: names turned into indices, discounts matched to lines, cuts gathered.
struct CompiledService {
  static constexpr std::int16_t kBase = -1;

  struct Rule {
    const ChargeRule* rule = nullptr;
    const PercentPrice* percent = nullptr;  ///< What its price is, where it is a part of other lines.
    std::optional<std::uint32_t> by_date;   ///< The value by date that its price goes by.
    std::int16_t group = -1;
    bool struck = false;  ///< Some other surcharge replaces it.
    bool late = false;    ///< A surcharge that stands behind the extras.
    bool less = false;    ///< A reduction.
    std::vector<std::uint16_t> replaces;
    std::vector<std::int16_t> of;         ///< Of a percentage: lines above it by index, or `kBase`.
    std::vector<std::int16_t> of_extras;  ///< Likewise the extras that it names, by index.
    std::vector<const Discount*> discounts;
  };

  // Of cuts those that are no series.
  struct WithoutSteps {
    Cuts& cuts;
    void Cut(Measure measure, MeasureValue cut) { cuts.Cut(measure, cut); }
    void Series(Measure, MeasureValue, MeasureValue) {}
  };

  const Tariff* tariff = nullptr;
  const Service* service = nullptr;
  const Tax* tax = nullptr;  ///< Nothing: none is told.
  std::vector<Rule> surcharges;
  std::vector<Rule> extras;
  std::vector<const Discount*> base_discounts;
  std::vector<std::uint16_t> strike_order;  ///< Surcharges that replace others, those struck by others later.
  std::uint16_t groups = 0;
  bool has_late = false;
  bool discounts_add = false;       ///< More than one discount of a line can apply.
  bool steps_may_fall = false;      ///< Where steps without end make a price rise, the total may fall.
  bool net_steps_may_fall = false;  ///< The same of the total without its tax.
  bool extras_bound = false;        ///< It or an extra of it requires or excludes extras.
  std::vector<const Discount*> discounts;
  OwnRules own;                             ///< Of the seller's own rules, those that are for it.
  ConsignmentCuts consignment;              ///< Of every rule, extras included.
  Cuts cuts;                                ///< Likewise, of a consignment of one.
  std::optional<Cuts> cuts_without_extras;  ///< Where they differ.

  /// The cuts of all rules but the extras that `asked` says no to. `cover`: asked for, in millionths of the tariff's
  /// currency; nothing: it may be any. `lane`: rules that cannot apply there are left out, steps of what is not due
  /// there add nothing, and the weight of a consignment is that of its shipment; nothing: of a consignment of one,
  /// anywhere.
  template <typename Asked>
  Cuts CutsWith(Asked asked, std::optional<std::int64_t> cover, const LaneFacts* lane = nullptr) const {
    Cuts out(lane != nullptr ? lane->shipment.others_weight : 0);
    Walk(*tariff, *service, discounts, [&](const ServiceRule& rule) {
      if (rule.part == Part::kExtra && !asked(*rule.charge)) return;
      if (rule.part == Part::kIncludedCover) {
        IncludedCoverCuts<Cuts>::Gather(*service->cover_by_weight, cover, out);
        return;
      }
      if (lane != nullptr && !OnLane(rule.when, *lane).value_or(true)) return;
      out.AddTest(rule.when);
      if (rule.price == nullptr) return;
      if (rule.once && lane != nullptr && !lane->shipment.first) {
        WithoutSteps bounds{out};
        GatherCuts(*rule.price, bounds);
      } else {
        out.AddPrice(*rule.price);
      }
    });
    WalkOwn(own, [&out](const ServiceRule& rule) { out.AddTest(rule.when); });
    out.Finish(service->measure);
    return out;
  }

  /// What hangs on the consignment, of all rules but those that cannot apply on `lane` (nothing: any may), and the
  /// extras that `asked` says no to.
  template <typename Asked>
  ConsignmentCuts ConsignmentWith(Asked asked, const LaneFacts* lane) const {
    ConsignmentCuts out;
    Walk(*tariff, *service, discounts, [&](const ServiceRule& rule) {
      if (rule.part == Part::kExtra && !asked(*rule.charge)) return;
      if (lane == nullptr || OnLane(rule.when, *lane).value_or(true)) out.Add(rule);
    });
    out.Finish();
    return out;
  }
};

/// An edition with its services made ready.
struct CompiledEdition : Edition {
  std::vector<CompiledService> services;
};

/// Every edition that a ratebook gives is of this kind.
inline const CompiledEdition& CompiledOf(const Edition& edition) {
  return static_cast<const CompiledEdition&>(edition);
}

/// The editions of a ratebook's tariffs and terms, which it points into.
class CompiledBook {
 public:
  /// Errors: see `Ratebook::Create`.
  absl::Status Compile(const std::vector<Tariff>& tariffs, const std::vector<Terms>& terms, const SellerRules* seller);

  std::vector<std::string_view> Carriers() const;
  const CompiledEdition* InForce(std::string_view carrier, Date date) const;
  const CompiledEdition* OutOfForce(std::string_view carrier, Date date) const;

 private:
  struct CarrierBook {
    std::vector<const Tariff*> tariffs;  // by start
    std::vector<const Terms*> terms;
  };

  static std::int32_t Start(const DateRange& range) { return range.from ? range.from->days() : INT32_MIN; }

  static const Tariff* LatestTariff(const std::vector<const Tariff*>& sorted, Date date) {
    const Tariff* best = nullptr;
    for (const Tariff* tariff : sorted) {
      if (tariff->in_force.Has(date)) best = tariff;
    }
    return best;
  }
  static const Terms* LatestTerms(const std::vector<const Terms*>& sorted, Date date) {
    const Terms* best = nullptr;
    for (const Terms* terms : sorted) {
      if (terms->in_force.Has(date)) best = terms;
    }
    return best;
  }

  const CompiledEdition* Find(const Tariff* tariff, const Terms* terms) const {
    const auto at = editions_.find({tariff, terms});
    return at == editions_.end() ? nullptr : at->second.get();
  }

  static bool Overlap(const DateRange& a, const DateRange& b) {
    return (!a.until || !b.from || *b.from <= *a.until) && (!b.until || !a.from || *a.from <= *b.until);
  }

  absl::Status CompileEdition(const Tariff* tariff, const Terms* terms, const SellerRules* seller);

  std::map<std::string, CarrierBook, std::less<>> carriers_;
  std::map<std::pair<const Tariff*, const Terms*>, std::unique_ptr<CompiledEdition>> editions_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PRICING_INTERNAL_COMPILED_H_
