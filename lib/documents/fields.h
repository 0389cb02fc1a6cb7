#ifndef TAREWISE_LIB_DOCUMENTS_FIELDS_H_
#define TAREWISE_LIB_DOCUMENTS_FIELDS_H_

#include <array>
#include <cstdint>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "absl/status/statusor.h"
#include "findings.h"
#include "json_tree.h"
#include "tarewise/parcel/contents.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/tariff/measure.h"
#include "tarewise/units/date.h"
#include "tarewise/units/length.h"
#include "tarewise/units/money.h"
#include "tarewise/units/percent.h"
#include "tarewise/units/time_of_day.h"
#include "tarewise/units/weekday.h"
#include "tarewise/units/weight.h"
#include "tarewise/version.h"
#include "tarewise/zone/area.h"
#include "tarewise/zone/place.h"

namespace tarewise::inline TW_VERSIONED::load {

inline constexpr std::string_view kTariffFormat = "tarewise-tariff-1";
inline constexpr std::string_view kTermsFormat = "tarewise-terms-1";
inline constexpr std::string_view kShelfFormat = "tarewise-shelf-1";
inline constexpr std::string_view kSellerFormat = "tarewise-seller-1";
inline constexpr std::string_view kRequestFormat = "tarewise-request-1";
inline constexpr std::string_view kRankingFormat = "tarewise-ranking-1";

/// The largest amount of money in a document, that of every line of a price.
inline constexpr std::int64_t kMostMoneyMicros = 1'000'000'000 * std::int64_t{1'000'000};

/// What was found, for a message: a string in quotation marks, a number as written, "an object", "a list", "null".
std::string FoundText(Value value);

/// The part of a status' message from ", expected" on, without the text that it found.
std::string ExpectedOf(std::string_view found, const absl::Status& status);

/// The most areas in a document, those of its charts, of its tests and of its lists together.
inline constexpr std::size_t kMostAreas = 500'000;
inline constexpr std::string_view kTooManyAreas = "found more than 500000 areas, expected at most 500000 in a document";

enum class Zero : std::uint8_t { kAllowed, kRefused };

/// Reads single values and reports those that are not what is expected. Every reader gives nothing after an error.
class Fields {
 public:
  Fields(const Tree& tree, Findings& findings) : tree_(tree), findings_(findings) {}

  Findings& findings() { return findings_; }
  const Tree& tree() const { return tree_; }

  void Error(Code code, Value at, std::string message) { findings_.Error(code, at.offset(), at, std::move(message)); }
  void ErrorAtKey(Code code, Value at, std::string message) {
    findings_.Error(code, at.key_offset(), at, std::move(message));
  }
  void Warning(Code code, Value at, std::string message) {
    findings_.Warning(code, at.offset(), at, std::move(message));
  }
  /// `found X, expected WHAT`.
  void Expected(Code code, Value at, std::string_view what) {
    if (findings_.full()) return Error(code, at, "");
    Error(code, at, "found " + FoundText(at) + ", expected " + std::string(what));
  }
  /// A status' message, with what was found as the document writes it.
  void FromStatus(Code code, Value at, const absl::Status& status) {
    if (findings_.full()) return Error(code, at, "");
    Error(code, at, "found " + FoundText(at) + ExpectedOf(at.text(), status));
  }
  /// `found X, expected WHAT`, with the nearest of `names`, or all.
  void UnknownName(Code code, Value at, std::string_view what, const std::vector<std::string_view>& names);

  std::optional<std::string_view> Text(Value value, std::string_view expected);
  /// A title or a reason: not empty, at most 1,000 bytes.
  std::optional<std::string> Words(Value value, std::string_view expected);
  std::optional<bool> Flag(Value value);
  std::optional<std::int64_t> Whole(Value value, std::int64_t least, std::int64_t most);
  /// A list, perhaps of at least one.
  bool List(Value value, std::string_view expected, bool empty_allowed = true);

  /// A code: small letters, digits and hyphens. A bad one is reported and still given, so that what names it is not
  /// reported too.
  std::string ReadCode(Value value);
  std::optional<Weight> ReadWeight(Value value, Zero zero, std::int64_t most = Weight::kMostNanograms);
  std::optional<Length> ReadLength(Value value, Zero zero, std::int64_t most = Length::kMostSideNanometres);
  std::optional<Amount> ReadMoney(Value value, Zero zero = Zero::kAllowed);
  std::optional<Percent> ReadPercent(Value value);
  std::optional<Date> ReadDate(Value value);
  std::optional<TimeOfDay> ReadTime(Value value);
  /// A list of one or more days of the week, each once.
  std::optional<Weekdays> ReadWeekdays(Value value);
  std::optional<Currency> ReadCurrency(Value value);
  std::optional<Area> ReadArea(Value value);
  std::optional<Area> ReadAreaKey(Value value);
  std::optional<Contents> ReadContents(Value value);
  /// Adds one trait; false for a word that is none.
  bool ReadTrait(Value value, Contents& contents);
  std::optional<Place> ReadPlace(Value value, std::string_view what);
  /// {"from", "until"}: inclusive; `from_required` or at least one of the two.
  std::optional<DateRange> ReadDates(Value value, std::string_view what, bool from_required);
  /// Whether "from" is not after "until", which is reported.
  bool DatesRise(const DateRange& range, Value from, Value until);
  /// Counts areas of the document, which stand at `value`; false, and one error, past the most that it may have.
  bool CountAreas(Value value, std::size_t count = 1);
  bool areas_full() const { return areas_ > kMostAreas; }
  /// The same of areas in a file, whose findings get the error.
  bool CountAreas(Findings& file, std::size_t offset);

  /// One of fixed words, by its place in `names`.
  template <std::size_t N>
  std::optional<std::size_t> Word(Value value, const std::string_view (&names)[N], std::string_view what) {
    return WordOf(value, std::vector<std::string_view>(std::begin(names), std::end(names)), what);
  }
  std::optional<std::size_t> WordOf(Value value, const std::vector<std::string_view>& names, std::string_view what);

 private:
  const Tree& tree_;
  Findings& findings_;
  bool TakeAreas(std::size_t count, bool& first_past);

  std::size_t areas_ = 0;
};

/// The members of an object by key. Reports a value that is no object, and keys that are not among `keys`, naming the
/// nearest that is. `what` says what the object is: "a service".
class Object {
 public:
  Object(Fields& fields, Value value, std::string_view what, std::initializer_list<std::string_view> keys);

  explicit operator bool() const { return good_; }
  /// The value, or none.
  Value operator[](std::string_view key) const;
  /// The value; where there is none, reports it.
  Value Require(std::string_view key) const;
  Value value() const { return value_; }

 private:
  static constexpr std::size_t kMostKeys = 32;
  Fields& fields_;
  Value value_;
  std::string_view what_;
  bool good_ = false;
  std::size_t count_ = 0;
  std::array<std::string_view, kMostKeys> keys_;
  std::array<Value, kMostKeys> values_;
};

/// A value of a measure from text, and the first unit written there.
struct ParsedMeasure {
  MeasureValue value = 0;
  std::string unit;
};
/// `unit` is that of a bare number; empty: the text must have its own. Money and whole numbers have no unit.
absl::StatusOr<ParsedMeasure> ParseMeasure(Measure measure, std::string_view text, std::string_view unit);
/// Whether a value of a document is of a kind that the measure is written in: text, and what has no unit as a number.
bool MayBeWrittenAs(Value value, Measure measure);
/// A step of a price with its unit, as "1 lb"; what has no unit is a number, of money perhaps as text. Nothing after an
/// error.
std::optional<MeasureValue> ReadStep(Fields& fields, Measure measure, Value value);
/// Whether `unit` is one of the measure's kind of quantity.
bool IsUnitOf(Measure measure, std::string_view unit);
/// "a weight", "a length", "a volume", "an amount of money", with an example.
std::string_view ExpectedFor(Measure measure);
/// The units that a measure can have, for messages: "lb, oz, kg, g, mg".
std::string_view UnitsFor(Measure measure);
Code CodeFor(Measure measure);

/// "12", "7.50": whole millionths without a status; nothing where the text needs `Amount::Parse` to say what is wrong.
std::optional<std::int64_t> PlainMicros(std::string_view text);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_FIELDS_H_
