#include "fields.h"

#include <algorithm>

#include "tarewise/tariff/week.h"
#include "tarewise/units/internal/code.h"
#include "tarewise/units/internal/quantity_text.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {

std::string FoundText(Value value) {
  switch (value.kind()) {
    case Kind::kString:
      return Quoted(value.text());
    case Kind::kNumber:
      return std::string(value.text().substr(0, 60)) + (value.text().size() > 60 ? "..." : "");
    case Kind::kNull:
      return "null";
    case Kind::kFalse:
      return "false";
    case Kind::kTrue:
      return "true";
    case Kind::kArray:
      return "a list";
    case Kind::kObject:
      return "an object";
    case Kind::kNothing:
      break;
  }
  return "nothing";
}

std::string ExpectedOf(std::string_view found, const absl::Status& status) {
  const std::string message(status.message());
  const std::string head = "found " + internal::Quoted(found);
  return message.compare(0, head.size(), head) == 0 ? message.substr(head.size()) : ": " + message;
}

void Fields::UnknownName(Code code, Value at, std::string_view what, const std::vector<std::string_view>& names) {
  if (findings_.full()) return Error(code, at, "");
  Error(code, at, "found " + FoundText(at) + ", expected " + std::string(what) + Suggestion(at.text(), names));
}

std::optional<std::string_view> Fields::Text(Value value, std::string_view expected) {
  if (value.is(Kind::kString)) return value.text();
  Expected(kWrongKind, value, expected);
  return std::nullopt;
}

std::optional<std::string> Fields::Words(Value value, std::string_view expected) {
  const std::optional<std::string_view> text = Text(value, expected);
  if (!text) return std::nullopt;
  if (text->empty() || text->size() > 1000) {
    Expected(kBadCode, value, std::string(expected) + " of 1 to 1000 bytes");
    return std::nullopt;
  }
  return std::string(*text);
}

std::optional<bool> Fields::Flag(Value value) {
  if (value.is(Kind::kTrue)) return true;
  if (value.is(Kind::kFalse)) return false;
  Expected(kWrongKind, value, "true or false");
  return std::nullopt;
}

std::optional<std::int64_t> Fields::Whole(Value value, std::int64_t least, std::int64_t most) {
  const std::string expected = "a whole number from " + std::to_string(least) + " to " + std::to_string(most);
  if (!value.is(Kind::kNumber)) {
    Expected(kWrongKind, value, expected);
    return std::nullopt;
  }
  const std::string_view text = value.text();
  std::int64_t number = 0;
  bool good = !text.empty() && text.size() <= 18;
  for (const char c : text) good = good && internal::IsDigit(c);
  if (good) {
    for (const char c : text) number = number * 10 + (c - '0');
  }
  if (!good || number < least || number > most) {
    Expected(kBadNumber, value, expected);
    return std::nullopt;
  }
  return number;
}

bool Fields::List(Value value, std::string_view expected, bool empty_allowed) {
  if (!value.is(Kind::kArray)) {
    Expected(kWrongKind, value, expected);
    return false;
  }
  if (value.size() == 0 && !empty_allowed) {
    Error(kEmptyList, value, "found an empty list, expected " + std::string(expected) + " that is not empty");
    return false;
  }
  return true;
}

std::string Fields::ReadCode(Value value) {
  const std::optional<std::string_view> text = Text(value, "a code of small letters, digits and hyphens");
  if (!text) return {};
  if (!internal::IsCode(*text)) Expected(kBadCode, value, "a code of small letters, digits and hyphens");
  return std::string(*text);
}

std::optional<Weight> Fields::ReadWeight(Value value, Zero zero, std::int64_t most) {
  if (!value.is(Kind::kString)) {
    Expected(kBadWeight, value, Weight::kExpected);
    return std::nullopt;
  }
  const absl::StatusOr<Weight> weight = Weight::Parse(value.text());
  if (!weight.ok()) {
    FromStatus(kBadWeight, value, weight.status());
    return std::nullopt;
  }
  if (weight->nanograms() > most || (zero == Zero::kRefused && weight->nanograms() < 1)) {
    Expected(
        kBadWeight, value,
        zero == Zero::kRefused ? "a weight of more than 0 and at most 100000 kg" : "a weight of at most 100000 kg");
    return std::nullopt;
  }
  return *weight;
}

std::optional<Length> Fields::ReadLength(Value value, Zero zero, std::int64_t most) {
  if (!value.is(Kind::kString)) {
    Expected(kBadLength, value, Length::kExpected);
    return std::nullopt;
  }
  const absl::StatusOr<Length> length = Length::Parse(value.text());
  if (!length.ok()) {
    FromStatus(kBadLength, value, length.status());
    return std::nullopt;
  }
  if (length->nanometres() > most || (zero == Zero::kRefused && length->nanometres() < 1)) {
    const std::string limit = "at most " + Length::Nanometres(most).In(most > Length::kMostSideNanometres ? "km" : "m");
    Expected(kBadLength, value,
             zero == Zero::kRefused ? "a length of more than 0 and " + limit : "a length of " + limit);
    return std::nullopt;
  }
  return *length;
}

std::optional<Amount> Fields::ReadMoney(Value value, Zero zero) {
  if (!value.is(Kind::kString) && !value.is(Kind::kNumber)) {
    Expected(kBadMoney, value, Amount::kExpected);
    return std::nullopt;
  }
  Amount amount;
  if (const std::optional<std::int64_t> micros = PlainMicros(value.text())) {
    amount = Amount::Micros(*micros);
  } else {
    const absl::StatusOr<Amount> parsed = Amount::Parse(value.text());
    if (!parsed.ok()) {
      FromStatus(kBadMoney, value, parsed.status());
      return std::nullopt;
    }
    amount = *parsed;
  }
  if (amount.micros() > kMostMoneyMicros) {
    Expected(kBadMoney, value, "an amount of money of at most 1000000000");
    return std::nullopt;
  }
  if (zero == Zero::kRefused && amount.micros() < 1) {
    Expected(kBadMoney, value, "an amount of money of more than 0");
    return std::nullopt;
  }
  return amount;
}

std::optional<Percent> Fields::ReadPercent(Value value) {
  if (!value.is(Kind::kString) && !value.is(Kind::kNumber)) {
    Expected(kBadPercent, value, "a percentage such as \"16.75 %\"");
    return std::nullopt;
  }
  const absl::StatusOr<Percent> percent = Percent::Parse(value.text());
  if (!percent.ok()) {
    FromStatus(kBadPercent, value, percent.status());
    return std::nullopt;
  }
  return *percent;
}

std::optional<Date> Fields::ReadDate(Value value) {
  if (!value.is(Kind::kString)) {
    Expected(kBadDate, value, "a date such as \"2026-07-12\"");
    return std::nullopt;
  }
  const absl::StatusOr<Date> date = Date::Parse(value.text());
  if (!date.ok()) {
    FromStatus(kBadDate, value, date.status());
    return std::nullopt;
  }
  return *date;
}

std::optional<TimeOfDay> Fields::ReadTime(Value value) {
  if (!value.is(Kind::kString)) {
    Expected(kBadTime, value, "a time of the day such as \"16:00\"");
    return std::nullopt;
  }
  const absl::StatusOr<TimeOfDay> time = TimeOfDay::Parse(value.text());
  if (!time.ok()) {
    FromStatus(kBadTime, value, time.status());
    return std::nullopt;
  }
  return *time;
}

std::optional<Weekdays> Fields::ReadWeekdays(Value value) {
  if (!List(value, "a list of days of the week", /*empty_allowed=*/false)) return std::nullopt;
  Weekdays days;
  bool good = true;
  for (const Value item : value) {
    const std::optional<std::size_t> word = Word(item, kWeekdayNames, "a day of the week");
    good = good && word.has_value();
    if (!word) continue;
    const auto day = static_cast<Weekday>(*word);
    if (days.Has(day)) {
      Error(kDuplicateCode, item, "found " + FoundText(item) + " twice, expected it once");
      good = false;
    }
    days.Add(day);
  }
  return good ? std::optional<Weekdays>(days) : std::nullopt;
}

std::optional<Currency> Fields::ReadCurrency(Value value) {
  if (!value.is(Kind::kString)) {
    Expected(kBadCurrency, value, "a currency code of ISO 4217, such as \"USD\"");
    return std::nullopt;
  }
  const absl::StatusOr<Currency> currency = Currency::Parse(value.text());
  if (!currency.ok()) {
    FromStatus(kBadCurrency, value, currency.status());
    return std::nullopt;
  }
  return *currency;
}

std::optional<Area> Fields::ReadArea(Value value) {
  if (!value.is(Kind::kString)) {
    Expected(kBadArea, value, "an area such as \"US\", \"US:969\" or \"US:006-009\"");
    return std::nullopt;
  }
  absl::StatusOr<Area> area = Area::Parse(value.text());
  if (!area.ok()) {
    FromStatus(kBadArea, value, area.status());
    return std::nullopt;
  }
  return *std::move(area);
}

std::optional<Area> Fields::ReadAreaKey(Value value) {
  absl::StatusOr<Area> area = Area::Parse(value.key());
  if (!area.ok()) {
    ErrorAtKey(kBadArea, value, "found the key " + Quoted(value.key()) + ExpectedOf(value.key(), area.status()));
    return std::nullopt;
  }
  return *std::move(area);
}

bool Fields::TakeAreas(std::size_t count, bool& first_past) {
  first_past = areas_ <= kMostAreas && areas_ + count > kMostAreas;
  areas_ += count;
  return areas_ <= kMostAreas;
}

bool Fields::CountAreas(Value value, std::size_t count) {
  bool first_past = false;
  const bool good = TakeAreas(count, first_past);
  if (first_past) Error(kTooMany, value, std::string(kTooManyAreas));
  return good;
}

bool Fields::CountAreas(Findings& file, std::size_t offset) {
  bool first_past = false;
  const bool good = TakeAreas(1, first_past);
  if (first_past) file.Error(kTooMany, offset, Value(), std::string(kTooManyAreas));
  return good;
}

bool Fields::ReadTrait(Value value, Contents& contents) {
  if (!value.is(Kind::kString)) {
    Expected(kBadTrait, value, "a contents trait such as \"fragile\"");
    return false;
  }
  const absl::Status status = contents.Add(value.text());
  if (status.ok()) return true;
  const std::vector<std::string_view> names(std::begin(kTraitNames), std::end(kTraitNames));
  const std::string_view nearest = NearestName(value.text(), names);
  if (nearest.empty()) {
    FromStatus(kBadTrait, value, status);
  } else {
    Expected(kBadTrait, value, "a contents trait (did you mean " + Quoted(nearest) + "?)");
  }
  return false;
}

std::optional<Contents> Fields::ReadContents(Value value) {
  if (!List(value, "a list of contents traits")) return std::nullopt;
  Contents contents;
  bool good = true;
  for (const Value item : value) good = ReadTrait(item, contents) && good;
  if (!good) return std::nullopt;
  return contents;
}

std::optional<Place> Fields::ReadPlace(Value value, std::string_view what) {
  Object object(*this, value, what, {"country", "postal_code", "residential"});
  if (!object) return std::nullopt;
  std::optional<std::string_view> country;
  std::string_view code;
  bool residential = false;
  bool good = true;
  if (const Value v = object.Require("country")) {
    country = Text(v, "a country of two capital letters, such as \"US\"");
    if (country) {
      if (const absl::Status status = Place::CheckCountry(*country); !status.ok()) {
        FromStatus(kBadPlace, v, status);
        country.reset();
      }
    }
  }
  if (const Value v = object["postal_code"]) {
    const std::optional<std::string_view> text = Text(v, "a postal code in quotation marks");
    if (text) {
      // Without a country there is no form to go by, but the characters.
      const absl::Status status = country ? Place::Make(*country, *text).status() : Place::NormalCode(*text).status();
      if (!status.ok()) FromStatus(kBadPlace, v, status);
      good = status.ok();
      code = *text;
    } else {
      good = false;
    }
  }
  if (const Value v = object["residential"]) {
    const std::optional<bool> flag = Flag(v);
    good = good && flag.has_value();
    residential = flag.value_or(false);
  }
  if (!country || !good) return std::nullopt;
  return *Place::Make(*country, code, residential);
}

std::optional<DateRange> Fields::ReadDates(Value value, std::string_view what, bool from_required) {
  Object object(*this, value, what, {"from", "until"});
  if (!object) return std::nullopt;
  DateRange range;
  const Value from = from_required ? object.Require("from") : object["from"];
  const Value until = object["until"];
  if (!from_required && !from && !until) {
    Error(kMissingKey, value, "found neither \"from\" nor \"until\", expected at least one of them");
    return std::nullopt;
  }
  if (from) range.from = ReadDate(from);
  if (until) range.until = ReadDate(until);
  if ((from_required || from) && !range.from) return std::nullopt;
  if (until && !range.until) return std::nullopt;
  if (!DatesRise(range, from, until)) return std::nullopt;
  return range;
}

bool Fields::DatesRise(const DateRange& range, Value from, Value until) {
  if (!range.from || !range.until || *range.from <= *range.until) return true;
  Error(kDatesReversed, until,
        "found " + FoundText(until) + ", expected a date that is not before \"from\", " + FoundText(from));
  return false;
}

std::optional<std::size_t> Fields::WordOf(Value value, const std::vector<std::string_view>& names,
                                          std::string_view what) {
  if (!value.is(Kind::kString)) {
    Expected(kWrongKind, value, std::string(what) + Suggestion("", names));
    return std::nullopt;
  }
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (names[i] == value.text()) return i;
  }
  UnknownName(kUnknownWord, value, what, names);
  return std::nullopt;
}

Object::Object(Fields& fields, Value value, std::string_view what, std::initializer_list<std::string_view> keys)
    : fields_(fields), value_(value), what_(what) {
  // "dates such as {...}" are "dates" where one of their keys is spoken of.
  what_ = what_.substr(0, what_.find(" such as"));
  what_ = what_.substr(0, what_.find_first_of(",:"));
  if (!value.is(Kind::kObject)) {
    fields.Expected(kWrongKind, value, what);
    return;
  }
  good_ = true;
  for (const std::string_view key : keys) keys_[count_++] = key;
  for (const Value member : value) {
    const std::string_view key = member.key();
    std::size_t i = 0;
    while (i < count_ && keys_[i] != key) ++i;
    if (i == count_) {
      if (fields.findings().full()) {
        fields.ErrorAtKey(kUnknownKey, member, "");
        continue;
      }
      fields.ErrorAtKey(kUnknownKey, member,
                        "found the key " + Quoted(key) + ", expected a key of " + std::string(what_) +
                            Suggestion(key, std::vector<std::string_view>(keys)));
    } else if (!values_[i]) {
      values_[i] = member;
    }
  }
}

Value Object::operator[](std::string_view key) const {
  for (std::size_t i = 0; i < count_; ++i) {
    if (keys_[i] == key) return values_[i];
  }
  return {};
}

Value Object::Require(std::string_view key) const {
  const Value value = (*this)[key];
  if (good_ && !value) {
    fields_.Error(kMissingKey, value_, "found no " + Quoted(key) + ", expected it in " + std::string(what_));
  }
  return value;
}

namespace {

// "lb" of "1 lb 3 oz"; with the 3 of a volume.
std::string FirstUnit(std::string_view text, Quantity quantity) {
  std::size_t begin = 0;
  while (begin < text.size() && !internal::IsLetter(text[begin])) ++begin;
  std::size_t end = begin;
  while (end < text.size() && internal::IsLetter(text[end])) ++end;
  if (quantity == Quantity::kVolume && end < text.size() && text[end] == '3') ++end;
  return std::string(text.substr(begin, end - begin));
}

constexpr std::string_view kCountExpected = "a whole number from 0 to 1000000000";

std::optional<std::int64_t> CountOf(std::string_view text) {
  if (text.empty() || text.size() > 18) return std::nullopt;
  std::int64_t count = 0;
  for (const char c : text) {
    if (!internal::IsDigit(c)) return std::nullopt;
    count = count * 10 + (c - '0');
  }
  return count > kMostWeekParcels ? std::nullopt : std::optional<std::int64_t>(count);
}

bool IsBareNumber(std::string_view text) {
  std::string_view rest = internal::Trim(text);
  return internal::TakeNumber(rest).has_value() && rest.empty();
}

}  // namespace

bool MayBeWrittenAs(Value value, Measure measure) {
  const Quantity quantity = QuantityOf(measure);
  if (value.is(Kind::kString)) return quantity != Quantity::kCount;
  return value.is(Kind::kNumber) && !HasUnit(quantity);
}

std::optional<MeasureValue> ReadStep(Fields& fields, Measure measure, Value value) {
  if (!MayBeWrittenAs(value, measure)) {
    fields.Expected(CodeFor(measure), value, ExpectedFor(measure));
    return std::nullopt;
  }
  const absl::StatusOr<ParsedMeasure> read = ParseMeasure(measure, value.text(), "");
  if (!read.ok()) {
    fields.FromStatus(CodeFor(measure), value, read.status());
    return std::nullopt;
  }
  if (read->value < 1) {
    fields.Expected(CodeFor(measure), value, "a step of more than 0");
    return std::nullopt;
  }
  return read->value;
}

bool IsUnitOf(Measure measure, std::string_view unit) {
  switch (QuantityOf(measure)) {
    case Quantity::kWeight:
      return internal::FindUnit(Weight::Units(), unit) != nullptr;
    case Quantity::kLength:
      return internal::FindUnit(Length::Units(), unit) != nullptr;
    case Quantity::kVolume:
      return internal::FindUnit(Volume::Units(), unit) != nullptr;
    case Quantity::kMoney:
    case Quantity::kCount:
      break;
  }
  return false;
}

std::string_view ExpectedFor(Measure measure) {
  switch (QuantityOf(measure)) {
    case Quantity::kWeight:
      return Weight::kExpected;
    case Quantity::kLength:
      return Length::kExpected;
    case Quantity::kVolume:
      return Volume::kExpected;
    case Quantity::kCount:
      return kCountExpected;
    case Quantity::kMoney:
      break;
  }
  return Amount::kExpected;
}

std::string_view UnitsFor(Measure measure) {
  switch (QuantityOf(measure)) {
    case Quantity::kWeight:
      return "lb, oz, kg, g, mg";
    case Quantity::kLength:
      return "mi, km, m, yd, ft, in, cm, mm";
    case Quantity::kVolume:
      return "m3, ft3, l, in3, cm3, mm3";
    case Quantity::kMoney:
    case Quantity::kCount:
      break;
  }
  return "none";
}

Code CodeFor(Measure measure) {
  switch (QuantityOf(measure)) {
    case Quantity::kWeight:
      return kBadWeight;
    case Quantity::kLength:
      return kBadLength;
    case Quantity::kVolume:
      return kBadVolume;
    case Quantity::kCount:
      return kBadNumber;
    case Quantity::kMoney:
      break;
  }
  return kBadMoney;
}

absl::StatusOr<ParsedMeasure> ParseMeasure(Measure measure, std::string_view text, std::string_view unit) {
  ParsedMeasure out;
  const Quantity quantity = QuantityOf(measure);
  if (quantity == Quantity::kMoney) {
    const absl::StatusOr<Amount> amount = Amount::Parse(text);
    if (!amount.ok()) return amount.status();
    if (amount->micros() > kMostMoneyMicros) {
      return internal::FoundExpected(text, "an amount of money of at most 1000000000");
    }
    out.value = amount->micros();
    return out;
  }
  if (quantity == Quantity::kCount) {
    const std::optional<std::int64_t> count = CountOf(text);
    if (!count) return internal::FoundExpected(text, kCountExpected);
    out.value = *count;
    return out;
  }
  std::string with_unit;
  std::string_view whole = text;
  if (!unit.empty() && IsBareNumber(text)) {
    with_unit = std::string(text) + " " + std::string(unit);
    whole = with_unit;
    out.unit = unit;
  } else {
    out.unit = FirstUnit(text, quantity);
  }
  absl::Status status;
  switch (quantity) {
    case Quantity::kWeight: {
      const absl::StatusOr<Weight> weight = Weight::Parse(whole);
      status = weight.status();
      if (weight.ok()) out.value = weight->nanograms();
      break;
    }
    case Quantity::kLength: {
      const absl::StatusOr<Length> length = Length::Parse(whole);
      status = length.status();
      if (length.ok()) out.value = length->nanometres();
      break;
    }
    case Quantity::kVolume:
    case Quantity::kMoney:
    case Quantity::kCount: {
      const absl::StatusOr<Volume> volume = Volume::Parse(whole);
      status = volume.status();
      if (volume.ok()) out.value = volume->cubic_nanometres() * kVolumeScale;
      break;
    }
  }
  if (!status.ok()) {
    return internal::Invalid("found " + internal::Quoted(text) + ExpectedOf(whole, status));
  }
  return out;
}

std::optional<std::int64_t> PlainMicros(std::string_view text) {
  std::int64_t whole = 0;
  std::size_t at = 0;
  while (at < text.size() && at < 10 && internal::IsDigit(text[at])) whole = whole * 10 + (text[at++] - '0');
  if (at == 0 || at > 9) return std::nullopt;
  std::int64_t micros = whole * 1'000'000;
  if (at < text.size()) {
    if (text[at] != '.' || at + 1 == text.size() || text.size() - at > 7) return std::nullopt;
    std::int64_t part = 100'000;
    for (++at; at < text.size(); ++at, part /= 10) {
      if (!internal::IsDigit(text[at])) return std::nullopt;
      micros += part * (text[at] - '0');
    }
  }
  return micros;
}

}  // namespace tarewise::inline TW_VERSIONED::load
