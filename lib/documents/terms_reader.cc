#include <optional>
#include <string>
#include <utility>

#include "documents.h"
#include "test_reader.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

constexpr std::size_t kMostDiscounts = 10'000;

std::optional<Discount> ReadDiscount(Fields& fields, Value value) {
  const Object object(fields, value, "a discount", {"services", "when", "percent", "less", "of", "floor", "adds"});
  if (!object) return std::nullopt;
  Discount discount;
  if (const Value v = object["services"]) {
    if (fields.List(v, "a list of the codes of services", /*empty_allowed=*/false)) {
      for (const Value item : v) discount.services.push_back(fields.ReadCode(item));
    }
  } else {
    discount.all_services = true;
  }
  if (const Value v = object["when"]) discount.when = ReadTest(fields, v, TestScope());
  const Value less = object["less"];
  if (less && object["percent"]) {
    const Value percent = object["percent"];
    const bool later = percent.key_offset() > less.key_offset();
    fields.ErrorAtKey(kConflictingKeys, later ? percent : less,
                      "found both \"percent\" and \"less\", expected one of the two");
  } else if (less) {
    discount.less = fields.ReadMoney(less);
  } else if (const Value v = object.Require("percent")) {
    if (const std::optional<Percent> percent = fields.ReadPercent(v)) {
      discount.percent = *percent;
      if (percent->ten_thousandths() > 1'000'000) fields.Expected(kBadPercent, v, "a discount of at most 100 %");
    }
  }
  if (const Value v = object.Require("of"); v && fields.List(v, "[\"*\"] or a list of the codes of charges", false)) {
    for (const Value item : v) {
      if (item.is(Kind::kString) && item.text() == "*") {
        discount.of_all = true;
        if (v.size() > 1) {
          fields.Error(kConflictingKeys, item, "found \"*\" beside other codes, expected \"*\" alone");
        }
        continue;
      }
      discount.of.push_back(fields.ReadCode(item));
    }
  }
  if (const Value v = object["floor"]) discount.floor = fields.ReadMoney(v);
  if (const Value v = object["adds"]) discount.adds = fields.Flag(v).value_or(false);
  return discount;
}

}  // namespace

Terms ReadTermsDocument(Fields& fields, Value value) {
  Terms terms;
  const Object object(fields, value, "terms", {"format", "carrier", "title", "source", "in_force", "discounts"});
  if (!object) return terms;
  if (const Value v = object.Require("carrier")) terms.carrier = fields.ReadCode(v);
  for (const std::string_view key : {"title", "source"}) {
    if (const Value v = object[key]) static_cast<void>(fields.Words(v, "text in quotation marks"));
  }
  if (const Value v = object.Require("in_force")) {
    if (const std::optional<DateRange> dates =
            fields.ReadDates(v, "dates such as {\"from\": \"2026-07-12\"}", /*from_required=*/true)) {
      terms.in_force = *dates;
    }
  }
  if (const Value v = object.Require("discounts");
      v && fields.List(v, "a list of discounts", /*empty_allowed=*/false)) {
    for (const Value item : v) {
      if (terms.discounts.size() == kMostDiscounts) {
        fields.Error(kTooMany, item, "found more than 10000 discounts, expected at most 10000 in a document");
        break;
      }
      if (std::optional<Discount> discount = ReadDiscount(fields, item))
        terms.discounts.push_back(*std::move(discount));
    }
  }
  return terms;
}

}  // namespace tarewise::inline TW_VERSIONED::load
