#include "reduction_reader.h"

#include <optional>
#include <string>
#include <string_view>

#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {

std::optional<Price> ReadReduction(Fields& fields, const Object& rule, const PriceScope& scope) {
  const Value less = rule["less"];
  for (const std::string_view key : kPriceKeys) {
    const Value price = rule[key];
    if (!price) continue;
    const bool later = price.key_offset() > less.key_offset();
    const Value first = later ? less : price;
    fields.ErrorAtKey(kConflictingKeys, later ? price : less,
                      "found both " + Quoted(first.key()) + " and " + Quoted((later ? price : less).key()) +
                          ", expected a price or a reduction");
    return std::nullopt;
  }
  if (const Value of = rule["of"]) {
    fields.ErrorAtKey(kConflictingKeys, of, "found \"of\" beside \"less\", expected it within, with a percentage");
    return std::nullopt;
  }
  if (const Value group = rule["group"]) {
    fields.ErrorAtKey(kReductionInGroup, less,
                      "found a reduction in the group " + FoundText(group) + ", expected an amount or another price");
    return std::nullopt;
  }
  if (!less.is(Kind::kObject)) {
    const std::optional<Amount> amount = fields.ReadMoney(less);
    if (!amount) return std::nullopt;
    return Price(FlatPrice{*amount});
  }
  const Object price(fields, less, "a reduction", {"amount", "by_zone", "table", "per", "percent", "of"});
  return price ? ReadPrice(fields, price, scope) : std::nullopt;
}

}  // namespace tarewise::inline TW_VERSIONED::load
