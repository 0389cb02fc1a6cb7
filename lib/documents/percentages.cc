#include "percentages.h"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "codes.h"
#include "tarewise/rules/facts.h"
#include "tarewise/rules/price.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

class PercentageChecker {
 public:
  PercentageChecker(Fields& fields, const Tariff& tariff, const std::vector<Value>& rule_values)
      : fields_(fields), tariff_(tariff), rule_values_(rule_values), uses_(tariff.rules.size()) {
    for (const Service& service : tariff.services) {
      for (std::size_t i = 0; i < service.surcharges.size(); ++i) uses_[service.surcharges[i]].push_back({&service, i});
      for (const std::uint32_t extra : service.extras) uses_[extra].push_back({&service, std::nullopt});
    }
  }

  void Check() {
    for (std::size_t i = 0; i < tariff_.rules.size(); ++i) {
      const PercentPrice* percent = internal::PartOfLines(tariff_.rules[i].price);
      if (percent == nullptr || uses_[i].empty()) continue;
      for (const std::string& code : percent->of) CheckCode(i, *percent, code);
    }
  }

 private:
  // A service with a rule, and its place among the surcharges; nothing for an extra.
  struct Use {
    const Service* service;
    std::optional<std::size_t> at;
  };
  enum class Place { kAbove, kBelow, kNowhere };

  void CheckCode(std::size_t rule, const PercentPrice& percent, const std::string& code) {
    const Service* below = nullptr;
    bool above = false;
    for (const Use& use : uses_[rule]) {
      const Place place = PlaceOf(code, tariff_.rules[rule], percent, use);
      above = above || place == Place::kAbove;
      if (place == Place::kBelow && below == nullptr) below = use.service;
    }
    const std::string& name = tariff_.rules[rule].code;
    if (!above) {
      fields_.Error(kPercentageOfNothing, ItemOf(rule, code),
                    "found " + Quoted(code) + ", expected a charge that stands above " + Quoted(name) +
                        " in a service that uses it: a percentage sees the lines above it only");
    } else if (below != nullptr) {
      fields_.Warning(kPercentageOfLaterLine, rule_values_[rule],
                      "found " + Quoted(name) + " above " + Quoted(code) + " in the service " + Quoted(below->code) +
                          ", expected it below: a percentage sees the lines above it only");
    }
  }

  // Where a charge stands, as a percentage of it sees it.
  Place PlaceOf(const std::string& code, const ChargeRule& rule, const PercentPrice& percent, const Use& use) const {
    if (code == "base") return Place::kAbove;
    const bool late = use.at && percent.late;
    Place place = Place::kNowhere;
    for (std::size_t j = 0; j < use.service->surcharges.size(); ++j) {
      const ChargeRule& other = tariff_.rules[use.service->surcharges[j]];
      if (other.code != code) continue;
      const PercentPrice* its = internal::PartOfLines(other.price);
      const bool its_late = its != nullptr && its->late;
      const bool above = late == its_late ? !use.at || j < *use.at : late;
      place = above ? Place::kAbove : Place::kBelow;
    }
    for (const std::uint32_t extra : use.service->extras) {
      if (tariff_.rules[extra].code != code) continue;
      const bool above = use.at ? late : code != rule.code && Turn(code) <= Turn(rule.code);
      if (above) return Place::kAbove;
      place = Place::kBelow;
    }
    return place;
  }

  // Extras stand in the order asked for; then these two.
  static int Turn(std::string_view code) { return code == "cover" ? 2 : code == internal::kCashOnDelivery ? 1 : 0; }

  Value ItemOf(std::size_t rule, std::string_view code) const {
    Value price = rule_values_[rule];
    for (const Value member : rule_values_[rule]) {
      if (member.key() == "less") price = member;
    }
    for (const Value member : price) {
      if (member.key() != "of") continue;
      for (const Value item : member) {
        if (item.text() == code) return item;
      }
    }
    return price;
  }

  Fields& fields_;
  const Tariff& tariff_;
  const std::vector<Value>& rule_values_;
  std::vector<std::vector<Use>> uses_;  // by rule
};

}  // namespace

void CheckPercentages(Fields& fields, const Tariff& tariff, const std::vector<Value>& rule_values) {
  if (!fields.findings().has_errors()) PercentageChecker(fields, tariff, rule_values).Check();
}

}  // namespace tarewise::inline TW_VERSIONED::load
