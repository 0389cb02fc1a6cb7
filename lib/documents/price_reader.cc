#include "price_reader.h"

#include <utility>

#include "table_reader.h"
#include "tarewise/rules/once.h"
#include "test_reader.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

std::optional<Price> ReadByZone(Fields& fields, Value value, const PriceScope& scope) {
  if (!value.is(Kind::kObject)) {
    fields.Expected(kWrongKind, value, "an object with a price for each zone");
    return std::nullopt;
  }
  if (value.size() == 0) {
    fields.Error(kEmptyList, value, "found an empty object, expected a price for at least one zone");
    return std::nullopt;
  }
  if (!TakeZoneCells(fields, value, scope)) return std::nullopt;
  ZonePrice price;
  price.by_zone.assign(scope.names->zones.names.size(), kNotOffered);
  std::vector<bool> named(price.by_zone.size(), false);
  std::int64_t others = kNotOffered;
  bool good = true;
  for (const Value member : value) {
    std::optional<std::int64_t> micros = kNotOffered;
    if (!member.is(Kind::kNull)) {
      const std::optional<Amount> amount = fields.ReadMoney(member);
      micros = amount ? std::optional<std::int64_t>(amount->micros()) : std::nullopt;
    }
    good = good && micros.has_value();
    if (member.key() == "*") {
      others = micros.value_or(kNotOffered);
      continue;
    }
    const ZoneId zone = ReadZoneName(fields, member, /*at_key=*/true, *scope.names, scope.zones);
    if (zone == kNoZone) {
      good = false;
      continue;
    }
    named[zone] = true;
    price.by_zone[zone] = micros.value_or(kNotOffered);
  }
  for (std::size_t i = 0; i < named.size(); ++i) {
    if (!named[i]) price.by_zone[i] = others;
  }
  if (!good) return std::nullopt;
  return Price(std::move(price));
}

std::optional<Price> ReadPer(Fields& fields, Value value) {
  Object object(fields, value, "a price by steps, such as {\"measure\": \"billable_weight\", \"step\": \"1 lb\", ...}",
                {"measure", "step", "first", "each"});
  if (!object) return std::nullopt;
  StepPrice price;
  bool good = true;
  std::optional<std::size_t> measure;
  if (const Value v = object.Require("measure")) measure = fields.Word(v, kMeasureNames, "a measure");
  const Value step = object.Require("step");
  if (measure && step) {
    price.measure = static_cast<Measure>(*measure);
    const std::optional<MeasureValue> read = ReadStep(fields, price.measure, step);
    good = read.has_value();
    price.step = read.value_or(1);
    price.step_text = step.text();
  } else {
    good = false;
  }
  for (const std::string_view key : {"first", "each"}) {
    const Value v = object.Require(key);
    const std::optional<Amount> amount = v ? fields.ReadMoney(v) : std::nullopt;
    good = good && amount.has_value();
    (key == "first" ? price.first : price.each) = amount.value_or(Amount());
  }
  if (!good) return std::nullopt;
  return Price(std::move(price));
}

std::optional<Price> ReadPercentage(Fields& fields, const Object& object, Value value, const PriceScope& scope) {
  if (scope.is_base) {
    fields.ErrorAtKey(kBasePercentage, value,
                      "found a percentage as a base price, expected an amount, a table or another price");
    return std::nullopt;
  }
  PercentPrice price;
  bool good = true;
  if (scope.series != nullptr && value.is(Kind::kObject)) {
    price.by_date = scope.series->ReadUse(value, SeriesReader::Use::kPercent);
    good = price.by_date.has_value();
  } else {
    const std::optional<Percent> percent = fields.ReadPercent(value);
    good = percent.has_value();
    price.percent = percent.value_or(Percent());
  }
  const Value of = object.Require("of");
  if (!of || !fields.List(of, "[\"*\"] or a list of the codes of charges", /*empty_allowed=*/false))
    return std::nullopt;
  Value star;
  for (const Value item : of) {
    if (item.is(Kind::kString) && item.text() == "*") {
      price.of_all = true;
      star = item;
      continue;
    }
    if (item.is(Kind::kString) && item.text() == "extras") {
      price.of_extras = true;
      price.late = true;
      continue;
    }
    std::string code = fields.ReadCode(item);
    if (!item.is(Kind::kString)) {
      good = false;
    } else if (code != "base" && !scope.names->charge_codes.Has(code)) {
      std::vector<std::string_view> known = {"base"};
      const std::vector<std::string_view>& codes = scope.names->charge_codes.names();
      known.insert(known.end(), codes.begin(), codes.end());
      fields.UnknownName(kUnknownChargeCode, item, "the code of a charge of this document", known);
      good = false;
    }
    price.late = price.late || scope.names->extra_codes.Has(code);
    price.of.push_back(std::move(code));
  }
  if (price.of_all && !price.of.empty()) {
    fields.Error(kConflictingKeys, star, "found \"*\" beside other codes, expected \"*\" alone or with \"extras\"");
    good = false;
  }
  if (!good) return std::nullopt;
  return Price(std::move(price));
}

std::optional<Price> ReadOnePrice(Fields& fields, const Object& object, const PriceScope& scope) {
  Value price;
  for (const std::string_view key : kPriceKeys) {
    const Value value = object[key];
    if (!value) continue;
    if (price) {
      const Value later = price.key_offset() < value.key_offset() ? value : price;
      const Value first = price.key_offset() < value.key_offset() ? price : value;
      fields.ErrorAtKey(kConflictingKeys, later,
                        "found both " + Quoted(first.key()) + " and " + Quoted(later.key()) + ", expected one price");
      return std::nullopt;
    }
    price = value;
  }
  if (!price) {
    fields.Error(kMissingKey, object.value(),
                 "found no price, expected one of \"amount\", \"by_zone\", \"table\", \"per\", \"percent\"");
    return std::nullopt;
  }
  const Value of = object["of"];
  if (of && price.key() != "percent") {
    fields.ErrorAtKey(kConflictingKeys, of, "found \"of\" without \"percent\", expected it with a percentage alone");
    return std::nullopt;
  }
  if (price.key() == "amount" && scope.series != nullptr && price.is(Kind::kObject)) {
    const std::optional<std::uint32_t> by_date = scope.series->ReadUse(price, SeriesReader::Use::kAmount);
    if (!by_date) return std::nullopt;
    return Price(DatedPrice{*by_date});
  }
  if (price.key() == "amount") {
    const std::optional<Amount> amount = fields.ReadMoney(price);
    if (!amount) return std::nullopt;
    return Price(FlatPrice{*amount});
  }
  if (price.key() == "by_zone") return ReadByZone(fields, price, scope);
  if (price.key() == "table") return ReadTable(fields, price, scope);
  if (price.key() == "per") return ReadPer(fields, price);
  return ReadPercentage(fields, object, price, scope);
}

}  // namespace

bool TakeZoneCells(Fields& fields, Value at, const PriceScope& scope) {
  constexpr std::size_t kMostZoneCells = 10'000'000;
  const std::size_t before = *scope.zone_cells;
  *scope.zone_cells = before + scope.names->zones.names.size();
  if (*scope.zone_cells <= kMostZoneCells) return true;
  if (before <= kMostZoneCells) {
    fields.Error(
        kTooMany, at,
        "found tables, prices by zone and days for more than 10000000 zones together, expected fewer zones or prices");
  }
  return false;
}

std::optional<Price> ReadPrice(Fields& fields, const Object& object, const PriceScope& scope) {
  std::optional<Price> price = ReadOnePrice(fields, object, scope);
  if (!price || !scope.once || internal::SameInConsignment(*price)) return price;
  for (const std::string_view key : kPriceKeys) {
    const Value value = object[key];
    if (!value) continue;
    fields.ErrorAtKey(kNotOfConsignment, value,
                      "found " + internal::PriceWords(*price) +
                          ", expected an amount, one by zone, or a table or steps by \"pieces\" or "
                          "\"consignment_weight\": what is due once a consignment is so whichever parcel is asked");
  }
  return std::nullopt;
}

}  // namespace tarewise::inline TW_VERSIONED::load
