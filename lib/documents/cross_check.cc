#include "cross_check.h"

#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>

#include "codes.h"
#include "names.h"
#include "tarewise/rules/test.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

bool Overlap(const DateRange& a, const DateRange& b) {
  return (!a.until || !b.from || *b.from <= *a.until) && (!b.until || !a.from || *a.from <= *b.until);
}

class CrossChecker {
 public:
  CrossChecker(const Tables& tables, const std::function<void(Diagnostic&, const Where&)>& locate)
      : tables_(tables), locate_(locate) {}

  std::vector<Diagnostic> Check() {
    CheckStarts(tables_.tariffs, Where::Kind::kTariff, "tariffs");
    CheckStarts(tables_.terms, Where::Kind::kTerms, "terms");
    for (const Tariff& tariff : tables_.tariffs) carriers_.Add(tariff.carrier);
    CheckPackagingCodes();
    for (std::size_t i = 0; i < tables_.terms.size(); ++i) CheckTerms(i);
    if (tables_.seller) CheckSeller(*tables_.seller);
    if (tables_.shelf) CheckShelf(*tables_.shelf);
    CheckGazetteer();
    return std::move(out_);
  }

 private:
  void Add(Code code, Diagnostic::Severity severity, Where where, std::string pointer, std::string message) {
    Diagnostic diagnostic;
    diagnostic.code = code;
    diagnostic.severity = severity;
    if (where.kind == Where::Kind::kTariff) diagnostic.file = tables_.tariffs[where.index].file;
    if (where.kind == Where::Kind::kTerms) diagnostic.file = tables_.terms[where.index].file;
    if (where.kind == Where::Kind::kSeller) diagnostic.file = tables_.seller->file;
    diagnostic.pointer = std::move(pointer);
    diagnostic.message = std::move(message);
    locate_(diagnostic, where);
    out_.push_back(std::move(diagnostic));
  }
  void Error(Code code, Where where, std::string pointer, std::string message) {
    Add(code, Diagnostic::Severity::kError, where, std::move(pointer), std::move(message));
  }
  void Warning(Code code, Where where, std::string pointer, std::string message) {
    Add(code, Diagnostic::Severity::kWarning, where, std::move(pointer), std::move(message));
  }

  template <typename T>
  void CheckStarts(const std::vector<T>& documents, Where::Kind kind, std::string_view what) {
    std::map<std::pair<std::string_view, std::int32_t>, std::size_t> first;
    for (std::size_t i = 0; i < documents.size(); ++i) {
      const Date from = documents[i].in_force.from.value_or(Date());
      const auto [at, fresh] = first.emplace(std::make_pair(std::string_view(documents[i].carrier), from.days()), i);
      if (fresh) continue;
      Error(kSameStart, {kind, i}, "/in_force/from",
            "found the start " + Quoted(from.ToString()) + ", expected another than that of " +
                documents[at->second].file + ": two " + std::string(what) + " of " + Quoted(documents[i].carrier) +
                " begin on one day");
    }
  }

  void CheckPackagingCodes() {
    std::unordered_map<std::string_view, std::string_view> carrier_of;
    for (std::size_t i = 0; i < tables_.tariffs.size(); ++i) {
      const Tariff& tariff = tables_.tariffs[i];
      for (std::size_t j = 0; j < tariff.packaging.size(); ++j) {
        const auto [at, fresh] = carrier_of.emplace(tariff.packaging[j].code, tariff.carrier);
        if (fresh || at->second == tariff.carrier) continue;
        Error(kPackagingCodeTwice, {Where::Kind::kTariff, i}, "/packaging/" + std::to_string(j) + "/code",
              "found the packaging " + Quoted(tariff.packaging[j].code) +
                  ", expected another code: " + Quoted(at->second) + " has a packaging of that code");
      }
    }
    if (!tables_.shelf) return;
    for (std::size_t i = 0; i < tables_.shelf->own.size(); ++i) {
      const std::string& code = tables_.shelf->own[i].packaging.code;
      const auto at = carrier_of.find(code);
      if (at != carrier_of.end()) {
        Error(kPackagingCodeTwice, {Where::Kind::kOwn, i}, "/packaging/" + std::to_string(i) + "/code",
              "found the packaging " + Quoted(code) + ", expected another code: " + Quoted(at->second) +
                  " has a packaging of that code");
      }
    }
    // One shelf cannot hold a code twice; several, read as one, can.
    std::set<std::string_view> own;
    for (std::size_t i = 0; i < tables_.shelf->own.size(); ++i) {
      const std::string& code = tables_.shelf->own[i].packaging.code;
      if (!own.insert(code).second) {
        Error(kPackagingCodeTwice, {Where::Kind::kOwn, i}, "/packaging/" + std::to_string(i) + "/code",
              "found the packaging " + Quoted(code) + " twice on the shelves, expected it once");
      }
    }
    std::set<std::string_view> issued;
    for (std::size_t i = 0; i < tables_.shelf->issued.size(); ++i) {
      const std::string& code = tables_.shelf->issued[i].code;
      if (!issued.insert(code).second) {
        Error(kPackagingCodeTwice, {Where::Kind::kIssued, i}, "/issued/" + std::to_string(i) + "/code",
              "found the packaging " + Quoted(code) + " twice on the shelves, expected it once");
      }
    }
  }

  // What a carrier's tariffs define, of the versions that are in force together with some terms.
  struct CarrierNames {
    NameList services;
    NameList charges;
    NameList zones;
    NameList packaging;
    NameList extras;
  };

  CarrierNames NamesFor(const Terms& terms) const {
    CarrierNames names;
    names.charges.Add("base");
    bool any = false;
    for (const Tariff& tariff : tables_.tariffs) {
      any = any || (tariff.carrier == terms.carrier && Overlap(tariff.in_force, terms.in_force));
    }
    for (const Tariff& tariff : tables_.tariffs) {
      if (tariff.carrier != terms.carrier || (any && !Overlap(tariff.in_force, terms.in_force))) continue;
      for (const Service& service : tariff.services) {
        names.services.Add(service.code);
        for (const std::uint32_t extra : service.extras) names.extras.Add(tariff.rules[extra].code);
      }
      for (const ChargeRule& rule : tariff.rules) names.charges.Add(rule.code);
      for (const std::string& zone : tariff.zone_names) names.zones.Add(zone);
      for (const Packaging& packaging : tariff.packaging) names.packaging.Add(packaging.code);
    }
    return names;
  }

  void CheckTerms(std::size_t index) {
    const Terms& terms = tables_.terms[index];
    const Where where{Where::Kind::kTerms, index};
    if (!carriers_.Has(terms.carrier)) {
      Error(kUnknownCarrier, where, "/carrier",
            "found " + Quoted(terms.carrier) + ", expected a carrier that has a tariff" +
                Suggestion(terms.carrier, carriers_.names()));
      return;
    }
    const CarrierNames names = NamesFor(terms);
    const std::string of_carrier = " of " + Quoted(terms.carrier);
    for (std::size_t i = 0; i < terms.discounts.size(); ++i) {
      const Discount& discount = terms.discounts[i];
      const std::string pointer = "/discounts/" + std::to_string(i);
      for (std::size_t j = 0; j < discount.services.size(); ++j) {
        const std::string& code = discount.services[j];
        if (names.services.Has(code)) continue;
        Error(kUnknownServiceOfCarrier, where, pointer + "/services/" + std::to_string(j),
              "found " + Quoted(code) + ", expected a service" + of_carrier + Suggestion(code, names.services.names()));
      }
      for (std::size_t j = 0; j < discount.of.size(); ++j) {
        const std::string& code = discount.of[j];
        if (names.charges.Has(code)) continue;
        Error(kUnknownChargeOfCarrier, where, pointer + "/of/" + std::to_string(j),
              "found " + Quoted(code) + ", expected the code of a charge" + of_carrier +
                  Suggestion(code, names.charges.names()));
      }
      CheckTest(discount.when, names, where, pointer + "/when", of_carrier);
    }
  }

  void CheckTest(const Test& test, const CarrierNames& names, const Where& where, const std::string& pointer,
                 const std::string& of_carrier) {
    const auto check = [&](const std::string& name, const NameList& known, std::string_view what) {
      if (known.Has(name)) return;
      Error(kUnknownNameOfCarrier, where, pointer,
            "found a test of " + Quoted(name) + ", expected " + std::string(what) + of_carrier +
                Suggestion(name, known.names()));
    };
    internal::EachName(test, [&](internal::Named kind, const std::string& name) {
      switch (kind) {
        case internal::Named::kZone:
          check(name, names.zones, "a zone");
          break;
        case internal::Named::kPackaging:
          check(name, names.packaging, "a packaging");
          break;
        case internal::Named::kExtra:
          check(name, names.extras, "an extra");
          break;
      }
    });
  }

  void CheckSeller(const SellerRules& rules) {
    for (std::size_t i = 0; i < rules.avoid.size(); ++i) {
      const std::string pointer = "/avoid/" + std::to_string(i);
      CheckScopes(rules.avoid[i].services, pointer);
      CheckSellerTest(rules.avoid[i].rule.when, pointer);
    }
    NameList extras;
    for (const Tariff& tariff : tables_.tariffs) {
      for (const Service& service : tariff.services) {
        for (const std::uint32_t extra : service.extras) extras.Add(tariff.rules[extra].code);
      }
    }
    for (std::size_t i = 0; i < rules.ask.size(); ++i) {
      const std::vector<std::string>& asked = rules.ask[i].extras;
      for (std::size_t j = 0; j < asked.size(); ++j) {
        if (extras.Has(asked[j])) continue;
        Error(kUnknownNameOfSeller, {Where::Kind::kSeller, 0},
              "/ask/" + std::to_string(i) + "/extras/" + std::to_string(j),
              "found " + Quoted(asked[j]) + ", expected an extra of a tariff" + Suggestion(asked[j], extras.names()));
      }
    }
    for (std::size_t i = 0; i < rules.handicaps.size(); ++i) {
      const std::string pointer = "/handicaps/" + std::to_string(i);
      CheckScopes(rules.handicaps[i].services, pointer);
      CheckSellerTest(rules.handicaps[i].when, pointer);
    }
    const bool known =
        tables_.tariffs.empty() || std::any_of(tables_.tariffs.begin(), tables_.tariffs.end(),
                                               [&](const Tariff& tariff) { return tariff.currency == rules.currency; });
    if (!known) {
      Warning(kForeignSellerCurrency, {Where::Kind::kSeller, 0}, "/currency",
              "found the seller's own rules in " + std::string(rules.currency.code()) +
                  ", expected the currency of a tariff: rankings will need a rate of exchange");
    }
  }

  void CheckScopes(const std::vector<SellerRules::Scope>& scopes, const std::string& pointer) {
    for (std::size_t i = 0; i < scopes.size(); ++i) {
      const SellerRules::Scope& scope = scopes[i];
      const Where where{Where::Kind::kSeller, 0};
      const std::string at = pointer + "/services/" + std::to_string(i);
      if (!carriers_.Has(scope.carrier)) {
        Error(kUnknownCarrier, where, at,
              "found " + Quoted(scope.carrier) + ", expected a carrier that has a tariff" +
                  Suggestion(scope.carrier, carriers_.names()));
        continue;
      }
      if (scope.service.empty()) continue;
      NameList services;
      for (const Tariff& tariff : tables_.tariffs) {
        if (tariff.carrier != scope.carrier) continue;
        for (const Service& service : tariff.services) services.Add(service.code);
      }
      if (services.Has(scope.service)) continue;
      Error(kUnknownServiceOfCarrier, where, at,
            "found " + Quoted(scope.service) + ", expected a service of " + Quoted(scope.carrier) +
                Suggestion(scope.service, services.names()));
    }
  }

  // Packagings may be the seller's own, which are known only where there is a shelf.
  void CheckSellerTest(const Test& test, const std::string& pointer) {
    if (!tables_.shelf) return;
    NameList packaging;
    for (const Shelf::Own& own : tables_.shelf->own) packaging.Add(own.packaging.code);
    for (const Tariff& tariff : tables_.tariffs) {
      for (const Packaging& one : tariff.packaging) packaging.Add(one.code);
    }
    internal::EachName(test, [&](internal::Named kind, const std::string& name) {
      if (kind != internal::Named::kPackaging || packaging.Has(name)) return;
      Error(kUnknownNameOfSeller, {Where::Kind::kSeller, 0}, pointer + "/when",
            "found a test of " + Quoted(name) + ", expected a packaging of the shelf or of a tariff" +
                Suggestion(name, packaging.names()));
    });
  }

  void CheckShelf(const Shelf& shelf) {
    std::map<std::string_view, NameList> packaging;
    for (const Tariff& tariff : tables_.tariffs) {
      NameList& names = packaging[tariff.carrier];
      for (const Packaging& entry : tariff.packaging) names.Add(entry.code);
    }
    for (std::size_t i = 0; i < shelf.issued.size(); ++i) {
      const Shelf::Issued& issued = shelf.issued[i];
      const Where where{Where::Kind::kIssued, i};
      const std::string pointer = "/issued/" + std::to_string(i);
      if (!carriers_.Has(issued.carrier)) {
        Error(kUnknownCarrier, where, pointer + "/carrier",
              "found " + Quoted(issued.carrier) + ", expected a carrier that has a tariff" +
                  Suggestion(issued.carrier, carriers_.names()));
        continue;
      }
      const NameList& names = packaging[issued.carrier];
      if (names.Has(issued.code)) continue;
      Error(kUnknownIssuedPackaging, where, pointer + "/code",
            "found " + Quoted(issued.code) + ", expected a packaging that " + Quoted(issued.carrier) + " issues" +
                Suggestion(issued.code, names.names()));
    }
    if (!shelf.currency || tables_.tariffs.empty()) return;
    const bool known = std::any_of(tables_.tariffs.begin(), tables_.tariffs.end(),
                                   [&](const Tariff& tariff) { return tariff.currency == *shelf.currency; });
    if (!known) {
      Warning(kForeignShelfCurrency, {Where::Kind::kOwn, 0}, "/currency",
              "found a shelf in " + std::string(shelf.currency->code()) +
                  ", expected the currency of a tariff: rankings will need a rate of exchange");
    }
  }

  void CheckGazetteer() {
    if (tables_.gazetteer.size() != 0) return;
    for (std::size_t i = 0; i < tables_.tariffs.size(); ++i) {
      for (const ZoneList& list : tables_.tariffs[i].zone_lists) {
        const bool distance = std::any_of(list.charts.begin(), list.charts.end(), [](const ZoneChart& chart) {
          return std::holds_alternative<DistanceChart>(chart);
        });
        if (!distance) continue;
        Warning(
            kNoGazetteer, {Where::Kind::kTariff, i}, "/zones",
            "found a chart by distance and no gazetteer, expected a gazetteer*.csv with the points of postal areas");
        break;
      }
    }
  }

  const Tables& tables_;
  const std::function<void(Diagnostic&, const Where&)>& locate_;
  std::vector<Diagnostic> out_;
  NameList carriers_;
};

}  // namespace

std::vector<Diagnostic> CrossCheck(const Tables& tables, const std::function<void(Diagnostic&, const Where&)>& locate) {
  return CrossChecker(tables, locate).Check();
}

}  // namespace tarewise::inline TW_VERSIONED::load
