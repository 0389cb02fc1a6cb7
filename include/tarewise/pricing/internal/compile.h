#ifndef TAREWISE_PRICING_INTERNAL_COMPILE_H_
#define TAREWISE_PRICING_INTERNAL_COMPILE_H_

// Tariffs made ready for pricing, once, when a ratebook is made.

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <initializer_list>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/pricing/internal/check_once.h"
#include "tarewise/pricing/internal/check_series.h"
#include "tarewise/pricing/internal/compiled.h"
#include "tarewise/rules/test.h"
#include "tarewise/units/internal/place_of_error.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

inline absl::Status ServiceError(const Tariff& tariff, const Service& service, const std::string& message) {
  return Invalid(tariff.carrier + "/" + service.code + ": " + message);
}

// Those that nothing strikes first (Kahn's algorithm); false for a ring.
inline bool OrderStrikes(CompiledService& service) {
  std::vector<int> struck_by(service.surcharges.size(), 0);
  for (const CompiledService::Rule& rule : service.surcharges) {
    for (const std::uint16_t index : rule.replaces) {
      ++struck_by[index];
      service.surcharges[index].struck = true;
    }
  }
  std::vector<std::uint16_t> ready;
  for (std::size_t i = 0; i < struck_by.size(); ++i) {
    if (struck_by[i] == 0) ready.push_back(static_cast<std::uint16_t>(i));
  }
  std::size_t seen = 0;
  while (seen < ready.size()) {
    const std::uint16_t i = ready[seen++];
    if (!service.surcharges[i].replaces.empty()) service.strike_order.push_back(i);
    for (const std::uint16_t index : service.surcharges[i].replaces) {
      if (--struck_by[index] == 0) ready.push_back(index);
    }
  }
  return seen == service.surcharges.size();
}

inline std::int16_t IndexOfCode(const std::vector<CompiledService::Rule>& rules, std::string_view code) {
  for (std::size_t i = 0; i < rules.size(); ++i) {
    if (rules[i].rule->code == code) return static_cast<std::int16_t>(i);
  }
  return -2;
}

// Names in a percentage turned into the lines above it. `at`: its place among the surcharges; nothing for an extra,
// above which stands every surcharge that is not late. Which extras stand above one is told by the order asked for.
inline void FindLinesAbove(const CompiledService& service, std::optional<std::int16_t> at,
                           CompiledService::Rule& rule) {
  if (rule.percent == nullptr) return;
  const std::vector<std::string>& of = rule.percent->of;
  for (auto at_code = of.begin(); at_code != of.end(); ++at_code) {
    const std::string& code = *at_code;
    if (std::find(of.begin(), at_code, code) != at_code) continue;  // Named twice, it counts once.
    const std::int16_t index = code == "base" ? CompiledService::kBase : IndexOfCode(service.surcharges, code);
    if (index >= 0) {
      const bool late = service.surcharges[static_cast<std::size_t>(index)].late;
      if (late == rule.late ? !at || index < *at : !late) rule.of.push_back(index);
    } else if (index == CompiledService::kBase) {
      rule.of.push_back(index);
    }
    const std::int16_t extra = IndexOfCode(service.extras, code);
    if (extra >= 0 && (!at || rule.late)) rule.of_extras.push_back(extra);
  }
}

// True where a total may fall while something that is priced by steps without end rises: a dearer member of a group may
// take over from one that a percentage is of, or strike something; a reduction may rise with it, or be cut less short
// and lower a percentage of it; and discounts that add up, as a tax on each line, are each rounded.
inline bool StepsMayFall(const CompiledService& service) {
  if (!service.cuts.has_series()) return false;
  if (service.tax != nullptr && service.tax->by_line && !service.tax->listed_with) return true;
  if (std::any_of(service.discounts.begin(), service.discounts.end(),
                  [](const Discount* discount) { return discount->adds; })) {
    return true;
  }
  auto names_reduction = [](const std::vector<std::int16_t>& of, const std::vector<CompiledService::Rule>& rules) {
    return std::any_of(of.begin(), of.end(),
                       [&rules](std::int16_t i) { return i >= 0 && rules[static_cast<std::size_t>(i)].less; });
  };
  auto less = [](const CompiledService::Rule& rule) { return rule.less; };
  const bool extra_less = std::any_of(service.extras.begin(), service.extras.end(), less);
  auto may_fall = [&](const CompiledService::Rule& rule) {
    Cuts of_price;
    of_price.AddPrice(rule.rule->price);
    if (of_price.has_series() && (rule.group >= 0 || rule.less)) return true;
    return rule.percent != nullptr &&
           (rule.less || (rule.percent->of_extras && extra_less) || names_reduction(rule.of, service.surcharges) ||
            names_reduction(rule.of_extras, service.extras));
  };
  return std::any_of(service.surcharges.begin(), service.surcharges.end(), may_fall) ||
         std::any_of(service.extras.begin(), service.extras.end(), may_fall);
}

// The same of totals without their tax: where it is rounded more finely than they are, or each line's by itself, it may
// rise while the total with it does not.
inline bool NetStepsMayFall(const CompiledService& service) {
  if (service.tax == nullptr || !service.cuts.has_series()) return false;
  const MoneyRounding& rounding = service.tariff->rounding;
  return service.tax->by_line ||
         (service.tax->listed_with ? rounding.total % rounding.line != 0 : rounding.line % rounding.total != 0);
}

inline void GatherCuts(CompiledService& out) {
  out.consignment = out.ConsignmentWith([](const ChargeRule&) { return true; }, nullptr);
  out.cuts = out.CutsWith([](const ChargeRule&) { return true; }, std::nullopt);
  Cuts of_extras;
  for (const CompiledService::Rule& rule : out.extras) {
    of_extras.AddTest(rule.rule->when);
    of_extras.AddPrice(rule.rule->price);
  }
  if (out.service->cover_by_weight) of_extras.AddPrice(out.service->cover_by_weight->price);
  if (!of_extras.empty()) out.cuts_without_extras = out.CutsWith([](const ChargeRule&) { return false; }, 0);
  out.steps_may_fall = StepsMayFall(out);
  out.net_steps_may_fall = out.steps_may_fall || NetStepsMayFall(out);
}

// Those of the seller's own rules that are for a service.
inline OwnRules OwnRulesFor(const SellerRules& seller, const Tariff& tariff, const Service& service) {
  OwnRules own;
  for (const SellerRules::Avoid& avoid : seller.avoid) {
    if (SellerRules::IsFor(avoid.services, tariff.carrier, service.code)) own.avoid.push_back(&avoid.rule);
  }
  own.ask = seller.ask;
  for (const SellerRules::Handicap& handicap : seller.handicaps) {
    if (SellerRules::IsFor(handicap.services, tariff.carrier, service.code)) own.handicaps.push_back(&handicap);
  }
  own.currency = seller.currency;
  return own;
}

inline absl::StatusOr<CompiledService> CompileService(const Tariff& tariff, const Service& service, const Terms* terms,
                                                      const SellerRules* seller) {
  CompiledService out;
  out.tariff = &tariff;
  out.service = &service;
  if (seller != nullptr) out.own = OwnRulesFor(*seller, tariff, service);
  if (service.zone_list >= tariff.zone_lists.size() || service.days_list() >= tariff.zone_lists.size())
    return ServiceError(tariff, service, "no such list of zones");
  if (service.tax) {
    if (*service.tax >= tariff.taxes.size()) return ServiceError(tariff, service, "no such tax");
    out.tax = &tariff.taxes[*service.tax];
  }
  // With these the greatest parcel's rounded volume times the factor still fits 128 bits.
  const MeasureRules& measure = service.measure;
  if (measure.sides.step < 1 || measure.sides.step > Length::Metres(1).nanometres()) {
    return ServiceError(tariff, service, "found a step of sides outside 1 nm to 1 m");
  }
  if (measure.weight.step < 1 || measure.weight.step > Weight::Kilograms(1000).nanograms()) {
    return ServiceError(tariff, service, "found a step of weight outside 1 ng to 1000 kg");
  }
  if (measure.irregular_factor < 1 || measure.irregular_factor > kVolumeScale) {
    return ServiceError(tariff, service, "found an irregular factor outside 0.000001 to 1");
  }
  for (const std::string& code : service.issued) {
    if (Ratebook::FindPackaging(tariff, code) == nullptr) {
      return ServiceError(tariff, service, "found packaging " + Quoted(code) + ", expected one the carrier issues");
    }
  }
  std::vector<const Discount*>& discounts = out.discounts;
  if (terms != nullptr) {
    for (const Discount& discount : terms->discounts) {
      if (discount.all_services ||
          std::find(discount.services.begin(), discount.services.end(), service.code) != discount.services.end()) {
        discounts.push_back(&discount);
        out.discounts_add = out.discounts_add || discount.adds;
      }
    }
  }
  auto discounts_of = [&discounts](std::string_view line) {
    std::vector<const Discount*> matching;
    for (const Discount* discount : discounts) {
      if (discount->of_all || std::find(discount->of.begin(), discount->of.end(), line) != discount->of.end()) {
        matching.push_back(discount);
      }
    }
    return matching;
  };
  out.base_discounts = discounts_of("base");
  std::map<std::string, std::int16_t, std::less<>> groups;
  for (const bool extra : {false, true}) {
    std::vector<CompiledService::Rule>& rules = extra ? out.extras : out.surcharges;
    const std::vector<std::uint32_t>& indices = extra ? service.extras : service.surcharges;
    if (indices.size() > 1000) return ServiceError(tariff, service, "more than 1,000 charges");
    for (const std::uint32_t index : indices) {
      if (index >= tariff.rules.size()) return ServiceError(tariff, service, "no such charge");
      CompiledService::Rule rule;
      rule.rule = &tariff.rules[index];
      rule.percent = PartOfLines(rule.rule->price);
      rule.by_date = ByDateOf(rule.rule->price);
      rule.less = rule.rule->less;
      if (!rule.less) rule.discounts = discounts_of(rule.rule->code);
      if (!extra && !rule.rule->group.empty()) {
        if (rule.less) return ServiceError(tariff, service, "a reduction cannot be in a group");
        if (rule.percent != nullptr) return ServiceError(tariff, service, "a percentage cannot be in a group");
        rule.group = groups.try_emplace(rule.rule->group, static_cast<std::int16_t>(groups.size())).first->second;
      }
      rule.late = !extra && rule.percent != nullptr && rule.percent->late;
      out.has_late = out.has_late || rule.late;
      rules.push_back(std::move(rule));
    }
  }
  out.groups = static_cast<std::uint16_t>(groups.size());
  for (std::size_t i = 0; i < out.surcharges.size(); ++i) {
    CompiledService::Rule& rule = out.surcharges[i];
    for (const std::string& code : rule.rule->replaces) {
      const std::int16_t index = IndexOfCode(out.surcharges, code);
      if (index >= 0) rule.replaces.push_back(static_cast<std::uint16_t>(index));
    }
    FindLinesAbove(out, static_cast<std::int16_t>(i), rule);
  }
  for (CompiledService::Rule& rule : out.extras) FindLinesAbove(out, std::nullopt, rule);
  out.extras_bound = !service.required.empty() ||
                     std::any_of(out.extras.begin(), out.extras.end(), [](const CompiledService::Rule& rule) {
                       return !rule.rule->required.empty() || !rule.rule->excluded.empty();
                     });
  if (!OrderStrikes(out)) return ServiceError(tariff, service, "surcharges replace each other in a ring");
  GatherCuts(out);
  if (service.prices.size() > 10'000 || service.refuse.size() > 10'000) {
    return ServiceError(tariff, service, "more than 10,000 prices or refusals");
  }
  return out;
}

inline absl::Status CompiledBook::CompileEdition(const Tariff* tariff, const Terms* terms, const SellerRules* seller) {
  if (absl::Status status = CheckSeries(*tariff); !status.ok()) return status;
  if (absl::Status status = CheckOnce(*tariff); !status.ok()) return status;
  auto edition = std::make_unique<CompiledEdition>();
  edition->tariff = tariff;
  edition->terms = terms;
  edition->services.reserve(tariff->services.size());
  for (const Service& service : tariff->services) {
    absl::StatusOr<CompiledService> compiled = CompileService(*tariff, service, terms, seller);
    if (!compiled.ok()) return compiled.status();
    edition->services.push_back(*std::move(compiled));
  }
  editions_[{tariff, terms}] = std::move(edition);
  return absl::OkStatus();
}

// Whether tests of the seller's own rules look at no more than they may: neither at zones nor extras, a handicap's at
// no weight or sides besides, and what is asked for goes by goods, value, places and the day.
inline absl::Status CheckSellerTests(const SellerRules& seller) {
  auto looks = [](const Test& test, std::initializer_list<Subject> at) {
    return std::any_of(at.begin(), at.end(), [&test](Subject subject) { return Mentions(test, subject); });
  };
  bool good = true;
  for (const SellerRules::Avoid& one : seller.avoid) {
    good = good && !looks(one.rule.when, {Subject::kZone, Subject::kAsked, Subject::kConsignment});
  }
  for (const SellerRules::Ask& one : seller.ask) {
    good = good && !looks(one.when, {Subject::kZone, Subject::kAsked, Subject::kParcelMeasure, Subject::kPackaging,
                                     Subject::kService, Subject::kConsignment});
    for (const std::string& code : one.extras) good = good && code != "cover" && code != kCashOnDelivery;
  }
  for (const SellerRules::Handicap& one : seller.handicaps) {
    good = good && !looks(one.when, {Subject::kZone, Subject::kAsked, Subject::kParcelMeasure, Subject::kConsignment});
  }
  if (good) return absl::OkStatus();
  return InvalidAt(
      "seller", "found a test of what these rules do not look at, or cover among extras, expected none (FORMAT.md A8)");
}

// What can be told of them without a request.
inline absl::Status CheckSeller(const SellerRules& seller, const std::vector<Tariff>& tariffs) {
  if (seller.avoid.size() > 10'000 || seller.ask.size() > 1000 || seller.handicaps.size() > 1000) {
    return InvalidAt("seller", "found more than 10,000 to avoid, or more than 1,000 to ask or handicaps");
  }
  if (absl::Status status = CheckSellerTests(seller); !status.ok()) return status;
  auto check = [&tariffs](const std::vector<SellerRules::Scope>& services) {
    for (const SellerRules::Scope& scope : services) {
      const bool known = std::any_of(tariffs.begin(), tariffs.end(),
                                     [&scope](const Tariff& tariff) { return tariff.carrier == scope.carrier; });
      if (!known) return InvalidAt("seller", "found carrier " + Quoted(scope.carrier) + ", expected one with a tariff");
    }
    return absl::OkStatus();
  };
  for (const SellerRules::Avoid& one : seller.avoid) {
    if (absl::Status status = check(one.services); !status.ok()) return status;
  }
  for (const SellerRules::Handicap& one : seller.handicaps) {
    if (absl::Status status = check(one.services); !status.ok()) return status;
    if (one.amount.micros() < 0 || one.amount.micros() > kMostMicros) {
      return InvalidAt("seller",
                       "found the handicap " + Quoted(one.code) + ", expected an amount of 0 to 1000 million");
    }
  }
  for (const SellerRules::Ask& one : seller.ask) {
    if (one.cover && (one.cover->micros() < 0 || one.cover->micros() > kMostMicros)) {
      return InvalidAt("seller", "found a cover of " + one.cover->ToString() + ", expected 0 to 1000 million");
    }
  }
  return absl::OkStatus();
}

inline absl::Status CompiledBook::Compile(const std::vector<Tariff>& tariffs, const std::vector<Terms>& terms,
                                          const SellerRules* seller) {
  if (seller != nullptr) {
    if (absl::Status status = CheckSeller(*seller, tariffs); !status.ok()) return status;
  }
  for (const Tariff& tariff : tariffs) carriers_[tariff.carrier].tariffs.push_back(&tariff);
  for (const Terms& one : terms) {
    const auto found = carriers_.find(one.carrier);
    if (found == carriers_.end()) {
      return InvalidAt("terms", "found carrier " + Quoted(one.carrier) + ", expected one with a tariff");
    }
    found->second.terms.push_back(&one);
  }
  for (auto& [code, book] : carriers_) {
    auto by_start = [](const auto* a, const auto* b) { return Start(a->in_force) < Start(b->in_force); };
    std::stable_sort(book.tariffs.begin(), book.tariffs.end(), by_start);
    std::stable_sort(book.terms.begin(), book.terms.end(), by_start);
    for (std::size_t i = 1; i < book.tariffs.size(); ++i) {
      if (Start(book.tariffs[i]->in_force) == Start(book.tariffs[i - 1]->in_force)) {
        return Invalid("carrier " + code + ": found two tariffs that begin on one date, expected one");
      }
    }
    for (std::size_t i = 1; i < book.terms.size(); ++i) {
      if (Start(book.terms[i]->in_force) == Start(book.terms[i - 1]->in_force)) {
        return Invalid("carrier " + code + ": found two terms that begin on one date, expected one");
      }
    }
    for (const Tariff* tariff : book.tariffs) {
      if (absl::Status status = CompileEdition(tariff, nullptr, seller); !status.ok()) return status;
      for (const Terms* beside : book.terms) {
        if (Overlap(tariff->in_force, beside->in_force)) {
          if (absl::Status status = CompileEdition(tariff, beside, seller); !status.ok()) return status;
        }
      }
    }
  }
  return absl::OkStatus();
}

inline std::vector<std::string_view> CompiledBook::Carriers() const {
  std::vector<std::string_view> codes;
  for (const auto& [code, editions] : carriers_) codes.push_back(code);
  return codes;
}

inline const CompiledEdition* CompiledBook::InForce(std::string_view carrier, Date date) const {
  const auto found = carriers_.find(carrier);
  if (found == carriers_.end()) return nullptr;
  const Tariff* tariff = LatestTariff(found->second.tariffs, date);
  if (tariff == nullptr) return nullptr;
  const Terms* terms = LatestTerms(found->second.terms, date);
  return Find(tariff, terms);
}

inline const CompiledEdition* CompiledBook::OutOfForce(std::string_view carrier, Date date) const {
  const auto found = carriers_.find(carrier);
  if (found == carriers_.end()) return nullptr;
  const Tariff* best = found->second.tariffs.front();
  for (const Tariff* tariff : found->second.tariffs) {
    if (Start(tariff->in_force) <= date.days()) best = tariff;
  }
  return Find(best, nullptr);
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_PRICING_INTERNAL_COMPILE_H_
