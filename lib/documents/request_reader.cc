#include <algorithm>
#include <array>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "consignment_reader.h"
#include "cover_reader.h"
#include "documents.h"
#include "tarewise/parcel/internal/split_sides.h"
#include "tarewise/rules/facts.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/units/placed_error.h"
#include "text.h"
#include "week_reader.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

struct WeightRange {
  Weight least;
  std::optional<Weight> most;
};
struct SideRangeRead {
  Length least;
  std::optional<Length> most;
};

bool HasLetter(std::string_view text) { return std::any_of(text.begin(), text.end(), internal::IsLetter); }

// The unit at the end of a quantity, with the space before it.
std::string_view UnitAtEnd(std::string_view text) {
  std::size_t at = text.size();
  while (at > 0 && (internal::IsLetter(text[at - 1]) || internal::IsSpace(text[at - 1]))) --at;
  return text.substr(at);
}

// The two ends of "14..18 oz", the unit given to the one without; one end where it is no range.
struct Ends {
  std::string least;
  std::optional<std::string> most;
};
std::optional<Ends> SplitRange(std::string_view text) {
  const std::size_t dots = text.find("..");
  if (dots == std::string_view::npos) return Ends{std::string(text), std::nullopt};
  const std::string_view most = text.substr(dots + 2);
  if (most.find("..") != std::string_view::npos) return std::nullopt;
  Ends ends{std::string(text.substr(0, dots)), std::string(most)};
  if (!HasLetter(ends.least)) ends.least += UnitAtEnd(most);
  return ends;
}

// The weight of goods or of a parcel, more than 0 and at most 100,000 kg; perhaps a range.
std::optional<WeightRange> ReadGrossWeight(Fields& fields, Value value, bool ranges) {
  if (!ranges || !value.is(Kind::kString) || value.text().find("..") == std::string_view::npos) {
    const std::optional<Weight> weight = fields.ReadWeight(value, Zero::kRefused);
    if (!weight) return std::nullopt;
    return WeightRange{*weight, std::nullopt};
  }
  const std::optional<Ends> ends = SplitRange(value.text());
  const absl::StatusOr<Weight> least = ends ? Weight::Parse(ends->least) : internal::Invalid("");
  const absl::StatusOr<Weight> most = ends ? Weight::Parse(*ends->most) : internal::Invalid("");
  if (!least.ok() || !most.ok()) {
    fields.Expected(kBadWeight, value, "a range of weights such as \"14..18 oz\"");
    return std::nullopt;
  }
  if (*most < *least) {
    fields.Expected(kBadRange, value, "a range whose second weight is not less than its first");
    return std::nullopt;
  }
  if (least->nanograms() < 1 || most->nanograms() > Weight::kMostNanograms) {
    fields.Expected(kBadWeight, value, "weights of more than 0 and at most 100000 kg");
    return std::nullopt;
  }
  WeightRange range{*least, std::nullopt};
  if (*least < *most) range.most = *most;
  return range;
}

// Three sides, each perhaps a range: "10..12 x 9 x 6 in".
std::optional<std::array<SideRangeRead, 3>> ReadGrossSides(Fields& fields, Value value, bool ranges) {
  const std::string_view expected = "three lengths such as \"14 x 9 x 5 in\"";
  std::array<SideRangeRead, 3> out;
  if (!value.is(Kind::kString)) {
    fields.Expected(kBadSides, value, expected);
    return std::nullopt;
  }
  if (!ranges || value.text().find("..") == std::string_view::npos) {
    const absl::StatusOr<std::vector<Length>> sides = ParseSides(value.text(), 3);
    if (!sides.ok()) {
      fields.FromStatus(kBadSides, value, sides.status());
      return std::nullopt;
    }
    for (std::size_t i = 0; i < 3; ++i) out[i].least = (*sides)[i];
    return out;
  }
  const std::string_view with_ranges = "three lengths or ranges such as \"10..12 x 9 x 6 in\"";
  const std::vector<std::string> parts = internal::SplitSides(value.text());
  if (parts.size() != 3) {
    fields.Expected(kBadSides, value, with_ranges);
    return std::nullopt;
  }
  for (std::size_t i = 0; i < 3; ++i) {
    const std::optional<Ends> ends = SplitRange(parts[i]);
    const absl::StatusOr<Length> least = ends ? Length::Parse(ends->least) : internal::Invalid("");
    const absl::StatusOr<Length> most = !ends ? internal::Invalid("") : ends->most ? Length::Parse(*ends->most) : least;
    if (!least.ok() || !most.ok()) {
      fields.Expected(kBadSides, value, with_ranges);
      return std::nullopt;
    }
    if (*most < *least) {
      fields.Expected(kBadRange, value, "ranges whose second length is not less than the first");
      return std::nullopt;
    }
    if (least->nanometres() < 1 || most->nanometres() > Length::kMostSideNanometres) {
      fields.Expected(kBadSides, value, "sides of more than 0 and at most 50 m each");
      return std::nullopt;
    }
    out[i].least = *least;
    if (*least < *most) out[i].most = *most;
  }
  return out;
}

class RequestReader {
 public:
  explicit RequestReader(Fields& fields) : fields_(fields) {}

  Request Read(Value value) {
    const Object object(
        fields_, value, "a request",
        {"format",    "goods", "parcel",  "from",      "to",          "date",     "time",     "promise", "accepts",
         "extras",    "cover", "amounts", "tolerance", "objective",   "currency", "exchange", "padding", "fill_weight",
         "allowance", "steps", "totals",  "week",      "consignment", "parcels",  "sealed"});
    if (!object) return {};
    ReadSent(object);
    if (const Value v = object.Require("from")) request_.lane.from = fields_.ReadPlace(v, "a place").value_or(Place());
    if (const Value v = object.Require("to")) request_.lane.to = fields_.ReadPlace(v, "a place").value_or(Place());
    if (const Value v = object.Require("date")) request_.date = fields_.ReadDate(v).value_or(Date());
    if (const Value v = object["time"]) request_.time = fields_.ReadTime(v);
    if (const Value v = object["accepts"]) ReadAccepts(v);
    if (const Value v = object["promise"]) ReadPromise(v);
    if (const Value v = object["extras"]) ReadExtras(v);
    if (const Value v = object["cover"]) request_.cover = fields_.ReadMoney(v);
    if (const Value v = object["amounts"]) request_.cash_on_delivery = ReadCashOnDelivery(fields_, v);
    if (const Value v = object["tolerance"]) ReadTolerance(v);
    if (const Value v = object["objective"]) {
      if (const std::optional<std::size_t> word = fields_.Word(v, kObjectiveNames, "an objective")) {
        request_.objective = static_cast<Objective>(*word);
      }
    }
    if (const Value v = object["currency"]) request_.currency = fields_.ReadCurrency(v);
    if (const Value v = object["exchange"]) ReadExchange(v);
    if (const Value v = object["padding"]) request_.padding = fields_.ReadLength(v, Zero::kAllowed);
    if (const Value v = object["fill_weight"]) {
      request_.fill_weight = fields_.ReadWeight(v, Zero::kAllowed).value_or(Weight());
    }
    if (const Value v = object["allowance"]) ReadAllowance(v);
    if (const Value v = object["totals"]) {
      if (const std::optional<std::size_t> word = fields_.Word(v, kTotalsNames, "a total that counts")) {
        request_.totals = static_cast<Totals>(*word);
      }
    }
    if (const Value v = object["week"]) request_.week = ReadWeek(fields_, v);
    if (const Value v = object["consignment"]) request_.consignment = ReadConsignment(fields_, v);
    SetSteps();
    if (const Value v = object["steps"]) ReadSteps(v);
    if (!fields_.findings().has_errors()) CheckRanges(value);
    return std::move(request_);
  }

 private:
  // What is sent, of which there is one: goods, a parcel or several.
  void ReadSent(const Object& object) {
    const Value goods = object["goods"];
    const Value parcel = object["parcel"];
    const Value sealed = object["sealed"];
    std::vector<Value> given;
    for (const Value v : {goods, parcel, sealed}) {
      if (v) given.push_back(v);
    }
    std::sort(given.begin(), given.end(), [](Value a, Value b) { return a.key_offset() < b.key_offset(); });
    if (given.size() > 1) {
      const bool plain = !sealed;
      fields_.ErrorAtKey(kConflictingKeys, given[1],
                         plain ? "found both \"goods\" and \"parcel\", expected one of the two"
                               : "found both " + Quoted(given[0].key()) + " and " + Quoted(given[1].key()) +
                                     ", expected one of the two");
    } else if (given.empty()) {
      fields_.Error(kMissingKey, object.value(), "found neither \"goods\" nor \"parcel\", expected one of the two");
    }
    if (goods) ReadGoods(goods);
    if (parcel) ReadSealed(parcel);
    if (sealed) ReadSeveralSealed(sealed);
    if (const Value v = object["parcels"]) ReadParcels(v, parcel, sealed);
  }

  // What is well formed and yet out of range is told by the request itself, at the value that its error names.
  void CheckRanges(Value document) {
    const absl::Status status = request_.Check();
    if (status.ok()) return;
    const PlacedError error = PlacedErrorOf(status);
    const std::string place = error.place.value_or("");
    const Value at = error.place ? fields_.tree().Find("/" + place) : document;
    fields_.Error(CodeAt(place), at ? at : document, error.message);
  }
  Code CodeAt(const std::string& place) const {
    if (place == "goods") return units_ > kMostUnits ? kTooMany : kBadWeight;
    if (place == "extras") return kTooMany;
    if (place.ends_with("/value")) return kBadMoney;
    return kBadRange;
  }

  // The units of the first weight and sides that are written: steps and answers are in them.
  void TakeUnits(Value weight, Value sides) {
    if (weight.is(Kind::kString)) request_.weight_units = Weight::SystemOf(weight.text());
    if (sides.is(Kind::kString)) request_.side_units = Length::SystemOf(sides.text());
  }

  void SetSteps() {
    if (request_.weight_units == UnitSystem::kMetric) request_.steps.weight = ScaleStep<Weight>::Of(Weight::Grams(1));
    if (request_.side_units == UnitSystem::kMetric)
      request_.steps.sides = ScaleStep<Length>::Of(Length::Millimetres(1));
  }

  void ReadGoods(Value value) {
    if (!fields_.List(value, "a list of goods", /*empty_allowed=*/false)) return;
    if (value.size() > static_cast<std::size_t>(kMostUnits)) {
      fields_.Error(kTooMany, value, "found " + std::to_string(value.size()) + " goods, expected at most 10000");
      return;
    }
    for (const Value item : value) {
      std::optional<Item> read = ReadItem(item, /*first=*/request_.goods.empty());
      if (!read) continue;
      units_ += read->quantity;
      request_.goods.push_back(*std::move(read));
    }
  }

  std::optional<Item> ReadItem(Value value, bool first) {
    const Object object(fields_, value, "an item of the goods",
                        {"weight", "sides", "quantity", "contents", "value", "shape", "this_side_up", "rigid", "bare",
                         "may_stand", "top_free", "bears", "soft", "title", "code"});
    if (!object) return std::nullopt;
    Item item;
    const Value weight = object.Require("weight");
    const Value sides = object.Require("sides");
    if (first) TakeUnits(weight, sides);
    if (weight) {
      if (const std::optional<WeightRange> range = ReadGrossWeight(fields_, weight, /*ranges=*/true)) {
        item.weight = range->least;
        item.weight_most = range->most;
      }
    }
    if (sides) {
      if (const std::optional<std::array<SideRangeRead, 3>> read = ReadGrossSides(fields_, sides, /*ranges=*/true)) {
        for (std::size_t i = 0; i < 3; ++i) {
          item.sides[i] = (*read)[i].least;
          if ((*read)[i].most) item.side_ranges.push_back({i, *(*read)[i].most});
        }
      }
    }
    if (const Value v = object["quantity"]) {
      item.quantity = static_cast<std::int32_t>(fields_.Whole(v, 1, kMostUnits).value_or(1));
    }
    if (const Value v = object["contents"]) item.contents = fields_.ReadContents(v).value_or(Contents());
    if (const Value v = object["value"]) item.value = fields_.ReadMoney(v).value_or(Amount());
    if (const Value v = object["shape"]) {
      item.shape = static_cast<Shape>(fields_.Word(v, kShapeNames, "a shape").value_or(0));
    }
    if (const Value v = object["this_side_up"]) item.this_side_up = fields_.Flag(v).value_or(false);
    if (const Value v = object["rigid"]) item.rigid = fields_.Flag(v).value_or(false);
    if (const Value v = object["bare"]) item.bare_allowed = fields_.Flag(v).value_or(false);
    ReadLying(object, item);
    if (const Value v = object["soft"]) ReadSoft(object, v, item);
    if (const Value v = object["title"]) item.title = fields_.Words(v, "text in quotation marks").value_or("");
    // For people; nothing is made of it.
    if (const Value v = object["code"]) static_cast<void>(fields_.Words(v, "text in quotation marks"));
    return item;
  }

  // How it may lie in a packaging.
  void ReadLying(const Object& object, Item& item) {
    if (const Value v = object["top_free"]) item.top_free = fields_.Flag(v).value_or(false);
    if (const Value v = object["bears"]) item.bears = fields_.ReadWeight(v, Zero::kRefused);
    const Value stands = object["may_stand"];
    if (!stands) return;
    if (item.this_side_up) {
      fields_.ErrorAtKey(kConflictingKeys, stands,
                         "found \"may_stand\" beside \"this_side_up\", expected one of the two: the third side alone "
                         "may be upright");
      return;
    }
    if (!fields_.List(stands, "a list of sides by their places (1 to 3)", /*empty_allowed=*/false)) return;
    item.may_stand = {false, false, false};
    for (const Value side : stands) {
      const std::optional<std::int64_t> place = fields_.Whole(side, 1, 3);
      if (!place) continue;
      bool& stands_on_it = item.may_stand[static_cast<std::size_t>(*place - 1)];
      if (stands_on_it) fields_.Error(kConflictingKeys, side, "found the side twice, expected it once");
      stands_on_it = true;
    }
  }

  // Goods that give, which lie any way and under anything.
  void ReadSoft(const Object& of, Value value, Item& item) {
    // All three sides named say no more than none, but what of a soft good is not asked is not told either.
    if (of["may_stand"]) {
      fields_.ErrorAtKey(kConflictingKeys, value, "found \"soft\" beside \"may_stand\", expected one of the two");
    }
    const Object object(fields_, value, "a description of soft goods", {"presses_to", "least_thickness"});
    if (!object) return;
    const Value presses_to = object.Require("presses_to");
    const Value least = object.Require("least_thickness");
    const std::optional<Percent> part = presses_to ? fields_.ReadPercent(presses_to) : std::nullopt;
    const std::optional<Length> thickness = least ? fields_.ReadLength(least, Zero::kRefused) : std::nullopt;
    if (part && thickness) item.soft = Soft{*part, *thickness};
  }

  void ReadSealed(Value value) {
    std::optional<Parcel> parcel = ReadParcel(fields_, value, /*ranges=*/true, nullptr);
    if (!parcel) return;
    TakeUnitsOf(value);
    request_.parcel = *std::move(parcel);
  }

  void TakeUnitsOf(Value parcel) {
    Value weight;
    Value sides;
    for (const Value member : parcel) {
      if (member.key() == "weight") weight = member;
      if (member.key() == "sides") sides = member;
    }
    TakeUnits(weight, sides);
  }

  void ReadSeveralSealed(Value value) {
    if (!fields_.List(value, "a list of parcels", /*empty_allowed=*/false)) return;
    if (value.size() > static_cast<std::size_t>(kMostParcels)) {
      fields_.Error(kTooMany, value, "found " + std::to_string(value.size()) + " parcels, expected at most 100");
      return;
    }
    for (const Value one : value) {
      std::optional<Parcel> parcel = ReadParcel(fields_, one, /*ranges=*/true, nullptr);
      if (!parcel) continue;
      if (request_.sealed.empty()) TakeUnitsOf(one);
      request_.sealed.push_back(*std::move(parcel));
    }
  }

  void ReadParcels(Value value, Value parcel, Value sealed) {
    if (parcel) {
      fields_.ErrorAtKey(kConflictingKeys, value,
                         "found \"parcels\" beside \"parcel\", expected goods that can be parted");
      return;
    }
    const Object object(fields_, value, "a parting of an order, such as {\"most\": 3}",
                        {"most", "all_by", "together", "apart", "plans"});
    if (!object) return;
    SeveralParcels parcels;
    if (const Value v = object["all_by"]) {
      parcels.all_by = static_cast<AllBy>(fields_.Word(v, kAllByNames, "what all parcels have in common").value_or(0));
    }
    if (sealed) {
      for (const std::string_view key : {"most", "together", "apart", "plans"}) {
        if (const Value v = object[key]) {
          fields_.ErrorAtKey(kConflictingKeys, v,
                             "found " + Quoted(key) + " beside \"sealed\", expected \"all_by\" alone: they are packed");
        }
      }
    } else {
      if (const Value v = object.Require("most")) {
        parcels.most = static_cast<std::int32_t>(fields_.Whole(v, 1, kMostParcels).value_or(1));
      }
      if (const Value v = object["together"]) parcels.together = ReadLists(v, 1);
      if (const Value v = object["apart"]) parcels.apart = ReadLists(v, 2);
      if (const Value v = object["plans"]) {
        parcels.plans = static_cast<std::int32_t>(fields_.Whole(v, 1, kMostPlans).value_or(1));
      }
    }
    request_.parcels = std::move(parcels);
  }

  // Lists of goods, by their places from 0; that each place is there, and only once, is told by the request itself.
  std::vector<std::vector<std::size_t>> ReadLists(Value value, std::size_t at_least) {
    std::vector<std::vector<std::size_t>> lists;
    if (!fields_.List(value, "a list of lists of goods, such as [[0, 2]]")) return lists;
    for (const Value one : value) {
      const std::string_view expected = at_least == 1
                                            ? "a list of goods by their places from 0, such as [0, 2]"
                                            : "a list of two goods or more by their places from 0, such as [0, 2]";
      if (!fields_.List(one, expected, /*empty_allowed=*/false)) continue;
      std::vector<std::size_t>& places = lists.emplace_back();
      for (const Value place : one) {
        const std::optional<std::int64_t> number = fields_.Whole(place, 0, kMostUnits - 1);
        if (number) places.push_back(static_cast<std::size_t>(*number));
      }
    }
    return lists;
  }

  void ReadPromise(Value value) {
    const Object object(fields_, value, "a promise, such as {\"within\": 3} or {\"paid_for\": \"carrier/service\"}",
                        {"within", "by", "paid_for"});
    if (!object) return;
    const Value within = object["within"];
    const Value by = object["by"];
    const Value paid_for = object["paid_for"];
    std::vector<Value> given;
    for (const Value v : {within, by, paid_for}) {
      if (v) given.push_back(v);
    }
    if (given.size() > 1) {
      const Value later = given[0].key_offset() < given[1].key_offset() ? given[1] : given[0];
      fields_.ErrorAtKey(
          kConflictingKeys, later,
          "found both " + Quoted(given[0].key()) + " and " + Quoted(given[1].key()) + ", expected one of the two");
      return;
    }
    if (within) {
      if (const std::optional<std::int64_t> days = fields_.Whole(within, 0, kMostWithinDays)) {
        request_.promise = WithinDays{static_cast<std::int32_t>(*days)};
      }
    } else if (by) {
      if (const std::optional<Date> date = fields_.ReadDate(by)) request_.promise = ByDate{*date};
    } else if (paid_for) {
      ReadPaidFor(paid_for);
    } else {
      fields_.Error(kMissingKey, value, "found no promise, expected \"within\", \"by\" or \"paid_for\"");
    }
  }

  void ReadPaidFor(Value value) {
    const std::optional<std::string_view> text = fields_.Text(value, "\"carrier/service\", or the code of a service");
    if (!text) return;
    absl::StatusOr<PaidFor> paid_for = PaidFor::Parse(*text);
    if (paid_for.ok()) {
      request_.promise = *std::move(paid_for);
    } else {
      fields_.FromStatus(kBadCode, value, paid_for.status());
    }
  }

  void ReadAccepts(Value value) {
    if (!fields_.List(value, "a list of where it may end", /*empty_allowed=*/false)) return;
    request_.accepts.clear();
    for (const Value item : value) {
      const std::optional<std::size_t> word = fields_.Word(item, kDeliveryNames, "where it may end");
      if (!word) continue;
      const auto delivery = static_cast<Delivery>(*word);
      if (std::find(request_.accepts.begin(), request_.accepts.end(), delivery) != request_.accepts.end()) {
        fields_.Error(kDuplicateCode, item, "found " + FoundText(item) + " twice, expected it once");
      }
      request_.accepts.push_back(delivery);
    }
  }

  void ReadExtras(Value value) {
    if (!fields_.List(value, "a list of extras")) return;
    std::set<std::string> seen;
    for (const Value item : value) {
      std::string code = fields_.ReadCode(item);
      if (!item.is(Kind::kString)) continue;
      if (code == "cover") {
        fields_.Expected(kReservedCode, item, "another extra: cover is asked for by \"cover\" and its amount");
      } else if (code == internal::kCashOnDelivery) {
        fields_.Expected(kReservedCode, item, "another extra: this one is asked for by \"amounts\"");
      } else if (!seen.insert(code).second) {
        fields_.Error(kDuplicateCode, item, "found the extra " + FoundText(item) + " twice, expected it once");
      }
      request_.extras.push_back(std::move(code));
    }
  }

  void ReadTolerance(Value value) {
    const Object object(fields_, value, "a tolerance, such as {\"weight\": \"0.1 oz\", \"sides\": \"0.25 in\"}",
                        {"weight", "sides"});
    if (!object) return;
    if (const Value v = object["weight"]) {
      request_.tolerance.weight = fields_.ReadWeight(v, Zero::kAllowed).value_or(Weight());
    }
    if (const Value v = object["sides"]) {
      request_.tolerance.sides = fields_.ReadLength(v, Zero::kAllowed).value_or(Length());
    }
  }

  void ReadSteps(Value value) {
    const Object object(fields_, value, "steps, such as {\"weight\": \"0.1 oz\", \"sides\": \"0.125 in\"}",
                        {"weight", "sides"});
    if (!object) return;
    if (const Value v = object["weight"]) {
      if (fields_.ReadWeight(v, Zero::kRefused)) request_.steps.weight = *ScaleStep<Weight>::Parse(v.text());
    }
    if (const Value v = object["sides"]) {
      if (fields_.ReadLength(v, Zero::kRefused)) request_.steps.sides = *ScaleStep<Length>::Parse(v.text());
    }
  }

  void ReadAllowance(Value value) {
    const Object object(fields_, value, "an allowance, such as {\"least\": \"8 oz\", \"most\": \"12 oz\"}",
                        {"least", "most"});
    if (!object) return;
    const Value least = object.Require("least");
    const Value most = object.Require("most");
    const std::optional<Weight> low = least ? fields_.ReadWeight(least, Zero::kAllowed) : std::nullopt;
    const std::optional<Weight> high = most ? fields_.ReadWeight(most, Zero::kAllowed) : std::nullopt;
    if (!low || !high) return;
    if (*high < *low) {
      fields_.Error(kBadRange, most,
                    "found " + FoundText(most) + ", expected at least " + FoundText(least) + ", the least");
    }
    request_.allowance = {*low, *high};
  }

  void ReadExchange(Value value) {
    if (!value.is(Kind::kObject)) {
      fields_.Expected(kWrongKind, value, "an object with a rate for each currency, such as {\"EUR\": \"1.0842\"}");
      return;
    }
    for (const Value member : value) {
      if (const absl::StatusOr<Currency> currency = Currency::Parse(member.key()); !currency.ok()) {
        fields_.ErrorAtKey(kBadCurrency, member,
                           "found the key " + Quoted(member.key()) + ExpectedOf(member.key(), currency.status()));
        continue;
      }
      if (request_.currency && member.key() == request_.currency->code()) {
        fields_.ErrorAtKey(
            kConflictingKeys, member,
            "found a rate for " + Quoted(member.key()) + ", expected none for the currency of the ranking");
        continue;
      }
      if (!member.is(Kind::kString) && !member.is(Kind::kNumber)) {
        fields_.Expected(kBadRate, member, "a rate of exchange such as \"1.0842\"");
        continue;
      }
      const absl::StatusOr<ExchangeRate> rate = ExchangeRate::Parse(member.text());
      if (!rate.ok()) {
        fields_.FromStatus(kBadRate, member, rate.status());
      } else {
        request_.exchange.emplace(std::string(member.key()), *rate);
      }
    }
  }

  Fields& fields_;
  Request request_;
  std::int64_t units_ = 0;
};

}  // namespace

std::optional<Parcel> ReadParcel(Fields& fields, Value value, bool ranges, const Names* names) {
  const Object object(fields, value, "a parcel",
                      {"weight", "sides", "shape", "packaging", "contents", "value", "rigid"});
  if (!object) return std::nullopt;
  Parcel parcel;
  if (const Value v = object.Require("weight")) {
    if (const std::optional<WeightRange> range = ReadGrossWeight(fields, v, ranges)) {
      parcel.weight = range->least;
      parcel.weight_most = range->most;
    }
  }
  if (const Value v = object.Require("sides")) {
    if (std::optional<std::array<SideRangeRead, 3>> sides = ReadGrossSides(fields, v, ranges)) {
      std::stable_sort(sides->begin(), sides->end(),
                       [](const SideRangeRead& a, const SideRangeRead& b) { return b.least < a.least; });
      parcel.sides = Dimensions((*sides)[0].least, (*sides)[1].least, (*sides)[2].least);
      for (std::size_t i = 0; i < 3; ++i) {
        if ((*sides)[i].most) parcel.side_ranges.push_back({i, *(*sides)[i].most});
      }
    }
  }
  if (const Value v = object["shape"]) {
    parcel.shape = static_cast<Shape>(fields.Word(v, kShapeNames, "a shape").value_or(0));
  }
  if (const Value v = object["packaging"]) {
    parcel.packaging = fields.ReadCode(v);
    if (names != nullptr && v.is(Kind::kString) && !names->packaging.Has(v.text())) {
      fields.UnknownName(kUnknownPackaging, v, "a packaging of this document", names->packaging.names());
    }
  }
  if (const Value v = object["contents"]) parcel.contents = fields.ReadContents(v).value_or(Contents());
  if (const Value v = object["value"]) parcel.value = fields.ReadMoney(v).value_or(Amount());
  if (const Value v = object["rigid"]) parcel.rigid = fields.Flag(v).value_or(false);
  return parcel;
}

Request ReadRequestDocument(Fields& fields, Value value) { return RequestReader(fields).Read(value); }

}  // namespace tarewise::inline TW_VERSIONED::load
