#include "connection.h"

#include <sqlite3ext.h>

#include <algorithm>
#include <cstring>
#include <new>
#include <utility>

SQLITE_EXTENSION_INIT3

namespace tarewise::sqlite {
namespace {

constexpr std::int64_t kMostWeight = 100'000 * TW_KILOGRAM;
constexpr std::int64_t kMostSide = 50'000 * TW_MILLIMETRE;
constexpr std::size_t kMostLanes = 64;  // that are kept ready
constexpr std::size_t kMostFindings = 5;

constexpr const char* kTraits[] = {
    "media",         "documents",        "fragile", "liquid", "perishable", "lithium_in_equipment",
    "lithium_alone", "flammable_liquid", "aerosol", "sharp",  "magnetic",   "live"};
constexpr const char* kShapes[] = {"box", "tube", "soft", "flat", "irregular"};
constexpr const char* kEnds[] = {"door", "point", "locker"};
constexpr const char* kTotals[] = {"with_tax", "without_tax"};
constexpr const char* kObjectives[] = {"cheapest", "cautious"};

bool IsSpace(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }
bool IsLetter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }
bool IsDigit(char c) { return c >= '0' && c <= '9'; }

std::string_view Trim(std::string_view text) {
  while (!text.empty() && IsSpace(text.front())) text.remove_prefix(1);
  while (!text.empty() && IsSpace(text.back())) text.remove_suffix(1);
  return text;
}

// The next word, with nothing of what stands between words; "" at the end.
std::string_view NextWord(std::string_view& rest) {
  const auto between = [](char c) { return IsSpace(c) || c == ','; };
  while (!rest.empty() && between(rest.front())) rest.remove_prefix(1);
  std::size_t end = 0;
  while (end < rest.size() && !between(rest[end])) ++end;
  const std::string_view word = rest.substr(0, end);
  rest.remove_prefix(end);
  return word;
}

// Whether a quantity has no unit: its letters are at most the x between sides.
bool IsBare(std::string_view text) {
  return std::none_of(text.begin(), text.end(), [](char c) { return IsLetter(c) && c != 'x' && c != 'X'; });
}

// Whether the first unit of a quantity is metric, as request documents take it.
bool IsMetric(std::string_view text) {
  constexpr std::string_view kImperial[] = {"lb", "oz", "in", "ft", "yd", "mi"};
  const auto of_unit = [](char c) { return IsLetter(c) && c != 'x' && c != 'X'; };
  for (std::size_t from = 0; from < text.size(); ++from) {
    std::size_t end = from;
    while (end < text.size() && of_unit(text[end])) ++end;
    if (end > from) {
      return std::find(std::begin(kImperial), std::end(kImperial), text.substr(from, end - from)) ==
             std::end(kImperial);
    }
  }
  return false;
}

std::string Shown(const Said& said) {
  if (said.kind == Said::kBlob) return "found a blob";
  if (said.kind == Said::kNumber) return "found " + std::string(said.text);
  std::string out = "found \"";
  constexpr std::size_t kMostShown = 200;
  for (const char c : said.text.substr(0, kMostShown)) out += static_cast<unsigned char>(c) < 0x20 ? ' ' : c;
  // Not in the middle of a letter of several bytes.
  if (said.text.size() > kMostShown) {
    while (!out.empty() && (static_cast<unsigned char>(out.back()) & 0xC0) == 0x80) out.pop_back();
    if (!out.empty() && static_cast<unsigned char>(out.back()) >= 0xC0) out.pop_back();
    out += "...";
  }
  return out + "\"";
}

std::string ListOf(const char* const* words, std::size_t count) {
  std::string out;
  for (std::size_t i = 0; i < count; ++i) out += (i == 0 ? "" : i + 1 == count ? " or " : ", ") + std::string(words[i]);
  return out;
}

int CodeOf(tw_status status) {
  switch (status) {
    case TW_E_MEMORY:
      return SQLITE_NOMEM;
    case TW_E_FILE:
      return SQLITE_CANTOPEN;
    case TW_E_COUNT:
      return SQLITE_TOOBIG;
    default:
      return SQLITE_ERROR;
  }
}

// Under which name a row says what the C interface complains of; "" where there is none.
std::string_view WordOfPointer(std::string_view pointer) {
  struct Pair {
    std::string_view pointer;
    Name name;
  };
  constexpr Pair kPairs[] = {{"from_", Name::kOrigin},
                             {"/from_", Name::kOrigin},
                             {"to_", Name::kDestination},
                             {"/to_", Name::kDestination},
                             {"/date", Name::kDate},
                             {"/time_minutes", Name::kTime},
                             {"/currency", Name::kCurrency},
                             {"/paid_for", Name::kPromise},
                             {"/within_days", Name::kPromise},
                             {"/by_date", Name::kPromise},
                             {"/accepts", Name::kAccepts},
                             {"/extras", Name::kExtras},
                             {"/cover_micros", Name::kCover},
                             {"/cash_on_delivery_micros", Name::kCashOnDelivery},
                             {"/exchange_", Name::kExchange},
                             {"/week_parcels", Name::kWeekParcels},
                             {"/week_spend_micros", Name::kWeekSpend},
                             {"/parcel/packaging", Name::kPackedIn},
                             {"/padding_nm", Name::kPadding},
                             {"/fill_weight_ng", Name::kFillWeight},
                             {"/tolerance_weight_ng", Name::kToleranceWeight},
                             {"/tolerance_sides_nm", Name::kToleranceSides}};
  for (const Pair& pair : kPairs) {
    if (pointer.substr(0, pair.pointer.size()) == pair.pointer) return FactsOf(pair.name).word;
  }
  return {};
}

}  // namespace

void AppendKey(std::string& key, std::size_t place, const Said& said) {
  key += static_cast<char>(place + 1);
  key += static_cast<char>(said.kind);
  const std::size_t size = said.text.size();
  char bytes[sizeof size];
  std::memcpy(bytes, &size, sizeof size);
  key.append(bytes, sizeof size);
  key.append(said.text);
}

Connection::Connection() {
  tw_error* error = nullptr;
  if (tw_error_create(&error) != TW_OK) throw std::bad_alloc();
  error_.reset(error);
  tw_ranking* ranking = nullptr;
  if (tw_ranking_create(&ranking, nullptr) != TW_OK) throw std::bad_alloc();
  ranking_.reset(ranking);
}

void Connection::Check(tw_status status, const char* of, bool of_row) {
  if (status == TW_OK) return;
  if (status == TW_E_MEMORY) throw std::bad_alloc();
  std::string message;
  std::size_t told = 0;
  std::size_t errors = 0;
  for (std::size_t i = 0; i < tw_error_count(error_.get()); ++i) {
    tw_finding finding = TW_FINDING_INIT;
    if (tw_error_finding(&finding, error_.get(), i) != TW_OK || finding.severity != TW_SEVERITY_ERROR) continue;
    if (++errors > kMostFindings) continue;
    if (told++ > 0) message += "\n";
    const std::string_view pointer = finding.pointer;
    const std::string_view word = WordOfPointer(pointer);
    if (finding.number != 0) {
      // A document's: where it is stands before what was found.
      message += finding.file;
      if (finding.line > 0) message += (*finding.file != '\0' ? ":" : "line ") + std::to_string(finding.line);
      if (finding.column > 0) message += ":" + std::to_string(finding.column);
      message += std::string(message.empty() || message.back() == '\n' ? "" : ": ") + finding.message;
      if (!pointer.empty()) message += " (at " + std::string(pointer) + ")";
    } else if (!word.empty()) {
      message += std::string(word) + ": " + finding.message;
    } else {
      if (*finding.file != '\0') message += std::string(finding.file) + ": ";
      message += finding.message;
      if (!pointer.empty() && pointer != "/text") message += " (at " + std::string(pointer) + ")";
    }
  }
  if (errors > kMostFindings) message += "\nand " + std::to_string(errors - kMostFindings) + " errors more";
  if (message.empty()) message = tw_status_name(status);
  throw Failure{CodeOf(status), (of == nullptr ? std::string() : std::string(of) + ": ") + message, of_row};
}

void Connection::FailAt(Name name, const Said& said, const std::string& expected) const {
  throw Failure{SQLITE_ERROR, std::string(FactsOf(name).word) + ": " + Shown(said) + ", expected " + expected, true};
}

// ---- Tables and settings ----

std::int64_t Connection::Load(const char* folder) {
  tw_ratebook* loaded = nullptr;
  Check(tw_ratebook_load_folder(&loaded, folder, error_.get()), nullptr, false);
  BookHandle book(loaded);
  const auto tariffs = static_cast<std::int64_t>(tw_ratebook_tariff_count(book.get()));
  if (tariffs == 0) {
    throw Failure{SQLITE_ERROR, std::string(folder) + ": found no tariff among its documents, expected one or more",
                  false};
  }
  std::string name(folder);
  book_ = std::move(book);
  folder_ = std::move(name);
  lanes_.clear();
  own_lane_ = nullptr;
  kept_detail_ = -1;
  return tariffs;
}

void Connection::NeedBook() const {
  if (book_ != nullptr) return;
  throw Failure{SQLITE_ERROR, "found no tables, expected SELECT shipping_tables('FOLDER') on this connection before",
                false};
}

// Whether a value can be read, all else left aside.
void Connection::Try(Name name, const Said& said, const Row& row) {
  Goods goods;
  std::uint32_t contents = 0;
  const Said unit = row.Of(Name::kWeightUnit);
  const Said side_unit = row.Of(Name::kSideUnit);
  bool metric = false;
  switch (name) {
    case Name::kWeight:
    case Name::kSides:
      throw Failure{SQLITE_ERROR, std::string(FactsOf(name).word) + ": found it as a setting, expected it of each row",
                    false};
    case Name::kQuantity:
      WholeOf(name, said, 1, 10'000);
      break;
    case Name::kWeekParcels:
      WholeOf(name, said, 0, 1'000'000'000);
      break;
    case Name::kValue:
    case Name::kCover:
    case Name::kCashOnDelivery:
    case Name::kWeekSpend:
      MoneyOf(name, said);
      break;
    case Name::kContents:
      ContentsOf(said, contents, goods);
      break;
    case Name::kShape:
      WordOf(name, said, kShapes, std::size(kShapes));
      break;
    case Name::kTotals:
      WordOf(name, said, kTotals, std::size(kTotals));
      break;
    case Name::kObjective:
      WordOf(name, said, kObjectives, std::size(kObjectives));
      break;
    case Name::kRigid:
    case Name::kThisSideUp:
    case Name::kTopFree:
    case Name::kBare:
    case Name::kSealed:
    case Name::kResidential:
    case Name::kOriginResidential:
      FlagOf(name, said);
      break;
    case Name::kOrigin:
    case Name::kDestination:
      PlaceOf(name, said);
      break;
    case Name::kPadding:
    case Name::kToleranceSides:
      LengthOf(name, said, side_unit);
      break;
    case Name::kFillWeight:
    case Name::kToleranceWeight:
      WeightOf(name, said, unit, true, &metric);
      break;
    case Name::kWeightUnit: {
      std::int64_t one = 0;
      scratch_ = "1 " + std::string(TextOf(name, said));
      if (tw_parse_weight(&one, scratch_.c_str(), error_.get()) != TW_OK) FailAt(name, said, "lb, oz, kg, g or mg");
      break;
    }
    case Name::kSideUnit: {
      std::int64_t one = 0;
      scratch_ = "1 " + std::string(TextOf(name, said));
      if (tw_parse_length(&one, scratch_.c_str(), error_.get()) != TW_OK) FailAt(name, said, "in, ft, yd, mm, cm or m");
      break;
    }
    case Name::kDate: {
      std::int32_t day = 0;
      Check(tw_parse_date(&day, TextOf(name, said), error_.get()), "date");
      break;
    }
    case Name::kTime:
    case Name::kPromise:
    case Name::kAccepts:
    case Name::kExtras:
    case Name::kExchange:
    case Name::kCurrency:
    case Name::kPackedIn:
      TextOf(name, said);  // more is known where they are used
      break;
  }
}

void Connection::Set(const std::vector<std::pair<Name, Said>>& settings) {
  Row row;  // what holds then
  for (std::size_t i = 0; i < kNameCount; ++i) {
    if (settings_[i].text) row.said[i] = {settings_[i].kind, *settings_[i].text};
  }
  for (const auto& [name, said] : settings) row.Of(name) = said;
  for (const auto& [name, said] : settings) {
    if (said.is()) Try(name, said, row);
  }
  // Codes, extras and the rest are known to be good only by making a lane, where there is all that one needs. What else
  // is amiss with it, such as a currency still to be set, is for a later call.
  if (book_ != nullptr && row.Of(Name::kOrigin).is() && row.Of(Name::kDestination).is() && row.Of(Name::kDate).is()) {
    try {
      MakeDispatch(row);
    } catch (const Failure& failure) {
      for (const auto& [name, said] : settings) {
        const std::string start = std::string(FactsOf(name).word) + ": ";
        if (failure.message.compare(0, start.size(), start) == 0) throw;
      }
    }
  }
  auto next = settings_;
  for (const auto& [name, said] : settings) {
    Kept& kept = next[static_cast<std::size_t>(name)];
    kept.kind = said.is() ? said.kind : Said::kNot;
    kept.text.reset();
    if (said.is()) kept.text.emplace(said.text);
  }
  settings_.swap(next);
  lanes_.clear();
  own_lane_ = nullptr;
  kept_detail_ = -1;
}

// What holds for a row: its own word, else the setting. A NULL of the row is none.
Said Connection::Effective(const Row& row, Name name) const {
  const Said& said = row.Of(name);
  if (said.is()) return said;
  const Kept& kept = settings_[static_cast<std::size_t>(name)];
  if (said.kind == Said::kNull || !kept.text) return {};
  return {kept.kind, *kept.text};
}

std::string Connection::Unknown(const Row& row) const {
  for (std::size_t i = 0; i < kNameCount; ++i) {
    const NameFacts& facts = FactsOf(static_cast<Name>(i));
    if (row.said[i].kind == Said::kNull && !facts.none) {
      return std::string(facts.word) + ": found NULL, expected a value such as " + facts.example;
    }
  }
  return {};
}

// ---- Values ----

const char* Connection::TextOf(Name name, const Said& said) {
  if (said.kind == Said::kBlob) FailAt(name, said, std::string("a value such as ") + FactsOf(name).example);
  if (said.text.find('\0') != std::string_view::npos) {
    throw Failure{SQLITE_ERROR,
                  std::string(FactsOf(name).word) + ": found a text with a NUL character in it, expected none", true};
  }
  return said.text.data();
}

bool Connection::FlagOf(Name name, const Said& said) {
  if (!said.is()) return false;
  const std::string_view text = Trim(TextOf(name, said));
  if (text == "1" || text == "true" || text == "yes") return true;
  if (text == "0" || text == "false" || text == "no") return false;
  FailAt(name, said, "1 or 0, yes or no, true or false");
}

std::int64_t Connection::WholeOf(Name name, const Said& said, std::int64_t least, std::int64_t most) {
  std::string_view text = Trim(TextOf(name, said));
  // A column of real numbers shows 2 as 2.0.
  if (const std::size_t point = text.find('.');
      point != std::string_view::npos && point + 1 < text.size() &&
      text.substr(point + 1).find_first_not_of('0') == std::string_view::npos) {
    text = text.substr(0, point);
  }
  std::int64_t number = 0;
  const bool digits = !text.empty() && text.size() <= 12 && std::all_of(text.begin(), text.end(), IsDigit);
  for (const char c : digits ? text : std::string_view()) number = number * 10 + (c - '0');
  if (!digits || number < least || number > most) {
    FailAt(name, said, "a whole number from " + std::to_string(least) + " to " + std::to_string(most));
  }
  return number;
}

std::size_t Connection::WordOf(Name name, const Said& said, const char* const* words, std::size_t count) {
  const std::string_view text = Trim(TextOf(name, said));
  for (std::size_t i = 0; i < count; ++i) {
    if (text == words[i]) return i;
  }
  FailAt(name, said, ListOf(words, count));
}

std::int64_t Connection::MoneyOf(Name name, const Said& said) {
  std::int64_t micros = 0;
  const tw_status status = tw_parse_money(&micros, TextOf(name, said), error_.get());
  if (status != TW_OK && Trim(said.text).empty()) FailAt(name, said, "an amount such as \"6.45\", or NULL for none");
  Check(status, FactsOf(name).word.data());
  return micros;
}

std::int64_t Connection::WeightOf(Name name, const Said& said, const Said& unit, bool zero, bool* metric) {
  const char* text = TextOf(name, said);
  const bool bare = IsBare(said.text);
  if (bare && unit.is() && !Trim(said.text).empty()) {
    scratch_.assign(said.text).append(" ").append(TextOf(Name::kWeightUnit, unit));
    text = scratch_.c_str();
  }
  std::int64_t ng = 0;
  const tw_status status = tw_parse_weight(&ng, text, error_.get());
  if (status == TW_E_INPUT && bare && !unit.is() && std::any_of(said.text.begin(), said.text.end(), IsDigit)) {
    FailAt(name, said,
           "a weight such as \"10.5 oz\", \"1 lb 3 oz\" or \"2.5 kg\"; 'weight_unit' says the unit of bare numbers");
  }
  if (status == TW_E_INPUT && bare && unit.is()) {
    FailAt(name, said, "a weight such as 10.5 (bare numbers are in \"" + std::string(unit.text) + "\")");
  }
  Check(status, FactsOf(name).word.data());
  if (ng > kMostWeight || (ng == 0 && !zero)) {
    FailAt(name, said, zero ? "at most 100000 kg" : "a weight of more than 0 and at most 100000 kg");
  }
  *metric = IsMetric(text);
  return ng;
}

std::int64_t Connection::LengthOf(Name name, const Said& said, const Said& unit) {
  const char* text = TextOf(name, said);
  const bool bare = IsBare(said.text);
  if (bare && unit.is() && !Trim(said.text).empty()) {
    scratch_.assign(said.text).append(" ").append(TextOf(Name::kSideUnit, unit));
    text = scratch_.c_str();
  }
  std::int64_t nm = 0;
  const tw_status status = tw_parse_length(&nm, text, error_.get());
  if (status == TW_E_INPUT && bare && !unit.is()) {
    FailAt(name, said, "a length such as \"12.375 in\" or \"30.5 cm\"; 'side_unit' says the unit of bare numbers");
  }
  if (status == TW_E_INPUT && bare)
    FailAt(name, said, "a length such as 10.5 (bare numbers are in \"" + std::string(unit.text) + "\")");
  Check(status, FactsOf(name).word.data());
  if (nm > kMostSide) FailAt(name, said, "at most 50 m");
  return nm;
}

void Connection::SidesOf(std::int64_t out[3], const Said& said, const Said& unit, bool* metric) {
  const char* text = TextOf(Name::kSides, said);
  const bool bare = IsBare(said.text);
  if (bare && unit.is() && !Trim(said.text).empty()) {
    scratch_.assign(said.text).append(" ").append(TextOf(Name::kSideUnit, unit));
    text = scratch_.c_str();
  }
  const tw_status status = tw_parse_sides(out, text, error_.get());
  if (status == TW_E_INPUT && bare && !unit.is() && std::any_of(said.text.begin(), said.text.end(), IsDigit)) {
    FailAt(Name::kSides, said, "three lengths such as \"14 x 9 x 5 in\"; 'side_unit' says the unit of bare numbers");
  }
  Check(status, "sides");
  for (std::size_t i = 0; i < 3; ++i) {
    if (out[i] < 1 || out[i] > kMostSide) FailAt(Name::kSides, said, "sides of more than 0 and at most 50 m each");
  }
  *metric = IsMetric(text);
}

void Connection::ContentsOf(const Said& said, std::uint32_t& contents, Goods& goods) {
  goods.traits.clear();
  goods.trait_texts.clear();
  contents = 0;
  if (!said.is()) return;
  TextOf(Name::kContents, said);
  std::string_view rest = said.text;
  for (std::string_view word = NextWord(rest); !word.empty(); word = NextWord(rest)) {
    const auto* const at = std::find(std::begin(kTraits), std::end(kTraits), word);
    if (at != std::end(kTraits)) {
      contents |= 1u << static_cast<unsigned>(at - std::begin(kTraits));
    } else if (word.substr(0, 2) == "x-") {
      goods.traits.emplace_back(word);
    } else {
      throw Failure{SQLITE_ERROR,
                    "contents: " + Shown({Said::kText, word}) + ", expected words out of " +
                        ListOf(kTraits, std::size(kTraits)) + ", and one's own that begin with x-",
                    true};
    }
  }
  for (const std::string& trait : goods.traits) goods.trait_texts.push_back(trait.c_str());
}

Connection::Place Connection::PlaceOf(Name name, const Said& said) {
  TextOf(name, said);
  const std::string_view text = Trim(said.text);
  const std::size_t end = std::min(text.find(' '), text.size());
  if (end != 2 || !IsLetter(text[0]) || !IsLetter(text[1])) {
    FailAt(name, said, "a country and a postal code such as \"US 98101\"");
  }
  return {std::string(text.substr(0, 2)), std::string(Trim(text.substr(2)))};
}

// ---- What is sent ----

void Connection::ReadGoods(const Row& row, Goods& goods) {
  tw_item& item = goods.item;
  item = TW_ITEM_INIT;
  item.weight_ng =
      WeightOf(Name::kWeight, row.Of(Name::kWeight), Effective(row, Name::kWeightUnit), false, &metric_weight_);
  SidesOf(item.sides_nm, row.Of(Name::kSides), Effective(row, Name::kSideUnit), &metric_sides_);
  if (const Said said = Effective(row, Name::kQuantity); said.is()) {
    item.quantity = static_cast<std::int32_t>(WholeOf(Name::kQuantity, said, 1, 10'000));
  }
  if (const Said said = Effective(row, Name::kValue); said.is()) item.value_micros = MoneyOf(Name::kValue, said);
  ContentsOf(Effective(row, Name::kContents), item.contents, goods);
  item.own_trait_count = static_cast<std::uint32_t>(goods.trait_texts.size());
  item.own_traits = goods.trait_texts.data();
  if (const Said said = Effective(row, Name::kShape); said.is()) {
    item.shape = static_cast<std::int32_t>(WordOf(Name::kShape, said, kShapes, std::size(kShapes)));
  }
  if (FlagOf(Name::kThisSideUp, Effective(row, Name::kThisSideUp))) item.flags |= TW_THIS_SIDE_UP;
  if (FlagOf(Name::kRigid, Effective(row, Name::kRigid))) item.flags |= TW_RIGID;
  if (FlagOf(Name::kBare, Effective(row, Name::kBare))) item.flags |= TW_BARE;
  if (FlagOf(Name::kTopFree, Effective(row, Name::kTopFree))) item.flags |= TW_TOP_FREE;
  if (const Said said = Effective(row, Name::kPackedIn); said.is()) {
    FailAt(Name::kPackedIn, said, "none: only a sealed parcel is packed in something ('sealed', 1)");
  }
}

void Connection::ReadParcel(const Row& row, Goods& store, tw_parcel& parcel) {
  parcel = TW_PARCEL_INIT;
  parcel.weight_ng =
      WeightOf(Name::kWeight, row.Of(Name::kWeight), Effective(row, Name::kWeightUnit), false, &metric_weight_);
  SidesOf(parcel.sides_nm, row.Of(Name::kSides), Effective(row, Name::kSideUnit), &metric_sides_);
  if (const Said said = Effective(row, Name::kQuantity); said.is() && WholeOf(Name::kQuantity, said, 1, 10'000) != 1) {
    FailAt(Name::kQuantity, said, "1: a sealed parcel is one");
  }
  for (const Name name : {Name::kThisSideUp, Name::kTopFree, Name::kBare}) {
    if (const Said said = Effective(row, name); FlagOf(name, said)) {
      FailAt(name, said, "0: a sealed parcel is packed");
    }
  }
  if (const Said said = Effective(row, Name::kValue); said.is()) parcel.value_micros = MoneyOf(Name::kValue, said);
  ContentsOf(Effective(row, Name::kContents), parcel.contents, store);
  parcel.own_trait_count = static_cast<std::uint32_t>(store.trait_texts.size());
  parcel.own_traits = store.trait_texts.data();
  if (const Said said = Effective(row, Name::kShape); said.is()) {
    parcel.shape = static_cast<std::int32_t>(WordOf(Name::kShape, said, kShapes, std::size(kShapes)));
  }
  if (FlagOf(Name::kRigid, Effective(row, Name::kRigid))) parcel.flags |= TW_RIGID;
  if (const Said said = Effective(row, Name::kPackedIn); said.is()) parcel.packaging = TextOf(Name::kPackedIn, said);
}

// What is asked beside the goods, and not of the lane. Steps are those of a request document in the same units.
void Connection::ReadAsking(const Row& row, tw_request& request) {
  const Said weight_unit = Effective(row, Name::kWeightUnit);
  const Said side_unit = Effective(row, Name::kSideUnit);
  bool metric = false;
  if (const Said said = Effective(row, Name::kPadding); said.is()) {
    request.has_padding = 1;
    request.padding_nm = LengthOf(Name::kPadding, said, side_unit);
  }
  if (const Said said = Effective(row, Name::kFillWeight); said.is()) {
    request.fill_weight_ng = WeightOf(Name::kFillWeight, said, weight_unit, true, &metric);
  }
  if (const Said said = Effective(row, Name::kToleranceWeight); said.is()) {
    request.tolerance_weight_ng = WeightOf(Name::kToleranceWeight, said, weight_unit, true, &metric);
  }
  if (const Said said = Effective(row, Name::kToleranceSides); said.is()) {
    request.tolerance_sides_nm = LengthOf(Name::kToleranceSides, said, side_unit);
  }
  if (const Said said = Effective(row, Name::kObjective); said.is()) {
    request.objective = static_cast<std::int32_t>(WordOf(Name::kObjective, said, kObjectives, std::size(kObjectives)));
  }
  if (request.objective == TW_OBJECTIVE_CAUTIOUS) request.detail = std::max(request.detail, TW_DETAIL_CHARGES);
  request.weight_units = metric_weight_ ? TW_UNITS_METRIC : TW_UNITS_IMPERIAL;
  request.side_units = metric_sides_ ? TW_UNITS_METRIC : TW_UNITS_IMPERIAL;
  if (metric_weight_) request.step_weight_ng = TW_GRAM;
  if (metric_sides_) request.step_sides_nm = TW_MILLIMETRE;
}

// ---- Lanes ----

DispatchHandle Connection::MakeDispatch(const Row& row) {
  NeedBook();
  for (const Name name : {Name::kOrigin, Name::kDestination, Name::kDate}) {
    if (Effective(row, name).is()) continue;
    const std::string_view word = FactsOf(name).word;
    std::string message = "found no ";
    message.append(word)
        .append(", expected SELECT shipping_set('")
        .append(word)
        .append("', ")
        .append(FactsOf(name).example);
    message.append(") before, or '").append(word).append("' and its value with the row");
    throw Failure{SQLITE_ERROR, message, false};
  }
  tw_shipment shipment = TW_SHIPMENT_INIT;
  const Place from = PlaceOf(Name::kOrigin, Effective(row, Name::kOrigin));
  const Place to = PlaceOf(Name::kDestination, Effective(row, Name::kDestination));
  shipment.from_country = from.country.c_str();
  shipment.from_postal_code = from.code.empty() ? nullptr : from.code.c_str();
  shipment.to_country = to.country.c_str();
  shipment.to_postal_code = to.code.empty() ? nullptr : to.code.c_str();
  shipment.to_residential = FlagOf(Name::kResidential, Effective(row, Name::kResidential)) ? 1 : 0;
  shipment.from_residential = FlagOf(Name::kOriginResidential, Effective(row, Name::kOriginResidential)) ? 1 : 0;
  Check(tw_parse_date(&shipment.date, TextOf(Name::kDate, Effective(row, Name::kDate)), error_.get()), "date");

  if (const Said said = Effective(row, Name::kTime); said.is()) {
    const std::string_view text = Trim(TextOf(Name::kTime, said));
    const bool formed = text.size() == 5 && text[2] == ':' && IsDigit(text[0]) && IsDigit(text[1]) &&
                        IsDigit(text[3]) && IsDigit(text[4]);
    const int hours = formed ? (text[0] - '0') * 10 + (text[1] - '0') : 24;
    const int minutes = formed ? (text[3] - '0') * 10 + (text[4] - '0') : 60;
    if (hours > 23 || minutes > 59) FailAt(Name::kTime, said, "a time of day such as \"15:30\"");
    shipment.time_minutes = hours * 60 + minutes;
  }
  std::string currency;
  if (const Said said = Effective(row, Name::kCurrency); said.is()) {
    currency = Trim(TextOf(Name::kCurrency, said));
    shipment.currency = currency.c_str();
  }
  std::string paid_for;
  if (const Said said = Effective(row, Name::kPromise); said.is()) {
    TextOf(Name::kPromise, said);
    std::string_view rest = said.text;
    const std::string_view kind = NextWord(rest);
    std::string_view what = NextWord(rest);
    if (kind == "paid" && what == "for") what = NextWord(rest);
    const std::string word(what);
    const bool more = !NextWord(rest).empty();
    if (kind == "within" && !word.empty() && word.size() < 9 && std::all_of(word.begin(), word.end(), IsDigit) &&
        !more) {
      shipment.promise = TW_PROMISE_WITHIN;
      shipment.within_days = std::stoi(word);
    } else if (kind == "by" && !more && !word.empty()) {
      shipment.promise = TW_PROMISE_BY;
      Check(tw_parse_date(&shipment.by_date, word.c_str(), error_.get()), "promise");
    } else if (kind == "paid" && !more && !word.empty()) {
      shipment.promise = TW_PROMISE_PAID_FOR;
      paid_for = word;
      shipment.paid_for = paid_for.c_str();
    } else {
      FailAt(Name::kPromise, said,
             "\"within 3\" (business days), \"by 2026-08-07\" or \"paid for harbourline/parcel\"");
    }
  }
  if (const Said said = Effective(row, Name::kAccepts); said.is()) {
    TextOf(Name::kAccepts, said);
    std::string_view rest = said.text;
    for (std::string_view word = NextWord(rest); !word.empty(); word = NextWord(rest)) {
      const auto* const at = std::find(std::begin(kEnds), std::end(kEnds), word);
      if (at == std::end(kEnds)) FailAt(Name::kAccepts, said, "words out of " + ListOf(kEnds, std::size(kEnds)));
      shipment.accepts |= 1u << static_cast<unsigned>(at - std::begin(kEnds));
    }
    if (shipment.accepts == 0) FailAt(Name::kAccepts, said, "words out of " + ListOf(kEnds, std::size(kEnds)));
  }
  std::vector<std::string> extras;
  std::vector<const char*> extra_texts;
  if (const Said said = Effective(row, Name::kExtras); said.is()) {
    TextOf(Name::kExtras, said);
    std::string_view rest = said.text;
    for (std::string_view word = NextWord(rest); !word.empty(); word = NextWord(rest)) extras.emplace_back(word);
    for (const std::string& extra : extras) extra_texts.push_back(extra.c_str());
    shipment.extras = extra_texts.data();
    shipment.extra_count = extra_texts.size();
  }
  if (const Said said = Effective(row, Name::kCover); said.is()) shipment.cover_micros = MoneyOf(Name::kCover, said);
  if (const Said said = Effective(row, Name::kCashOnDelivery); said.is()) {
    shipment.cash_on_delivery_micros = MoneyOf(Name::kCashOnDelivery, said);
  }
  if (const Said said = Effective(row, Name::kTotals); said.is()) {
    shipment.totals = static_cast<std::int32_t>(WordOf(Name::kTotals, said, kTotals, std::size(kTotals)));
  }
  std::vector<std::string> currencies;
  std::vector<const char*> currency_texts;
  std::vector<std::int64_t> rates;
  if (const Said said = Effective(row, Name::kExchange); said.is()) {
    TextOf(Name::kExchange, said);
    std::string_view rest = said.text;
    for (std::string_view word = NextWord(rest); !word.empty(); word = NextWord(rest)) {
      currencies.emplace_back(word);
      const std::string rate(NextWord(rest));
      std::int64_t micros = 0;
      if (rate.empty() || tw_parse_money(&micros, rate.c_str(), error_.get()) != TW_OK) {
        FailAt(Name::kExchange, said, "currencies and what one unit of each is, such as \"EUR 1.0842, GBP 1.27\"");
      }
      rates.push_back(micros);
    }
    for (const std::string& one : currencies) currency_texts.push_back(one.c_str());
    shipment.exchange_currencies = currency_texts.data();
    shipment.exchange_micros = rates.data();
    shipment.exchange_count = rates.size();
  }
  if (const Said said = Effective(row, Name::kWeekParcels); said.is()) {
    shipment.week_parcels = WholeOf(Name::kWeekParcels, said, 0, 1'000'000'000);
  }
  if (const Said said = Effective(row, Name::kWeekSpend); said.is()) {
    shipment.week_spend_micros = MoneyOf(Name::kWeekSpend, said);
  }
  tw_dispatch* dispatch = nullptr;
  Check(tw_dispatch_create(&dispatch, book_.get(), tw_ratebook_shelf(book_.get()), &shipment, error_.get()));
  return DispatchHandle(dispatch);
}

// The lane of a row, made ready when it is first asked for; the least used makes room.
tw_dispatch* Connection::DispatchFor(const Row& row) {
  std::string key;
  for (std::size_t i = 0; i < kNameCount; ++i) {
    if (FactsOf(static_cast<Name>(i)).of_lane && row.said[i].kind != Said::kNot) AppendKey(key, i, row.said[i]);
  }
  if (key.empty() && own_lane_ != nullptr) return own_lane_;
  for (LaneKept& lane : lanes_) {
    if (lane.key != key) continue;
    lane.used = ++uses_;
    return lane.dispatch.get();
  }
  DispatchHandle made;
  try {
    made = MakeDispatch(row);
  } catch (Failure& failure) {
    if (key.empty()) failure.of_row = false;  // of the settings
    throw;
  }
  if (lanes_.size() >= kMostLanes) {
    // That of the settings alone stays.
    const auto least = std::min_element(lanes_.begin(), lanes_.end(), [this](const LaneKept& a, const LaneKept& b) {
      const bool a_own = a.dispatch.get() == own_lane_;
      const bool b_own = b.dispatch.get() == own_lane_;
      return a_own != b_own ? b_own : a.used < b.used;
    });
    lanes_.erase(least);
  }
  const bool own = key.empty();
  lanes_.push_back({std::move(key), std::move(made), ++uses_});
  tw_dispatch* const dispatch = lanes_.back().dispatch.get();
  if (own) own_lane_ = dispatch;
  return dispatch;
}

// ---- Answers ----

void Connection::RankDocument(tw_ranking* into, const Said& document) {
  NeedBook();
  if (document.kind == Said::kBlob) {
    throw Failure{SQLITE_ERROR, "found a blob, expected a request document, or a weight and sides", true};
  }
  const std::string_view text = Trim(document.text);
  if (text.empty() || text.front() != '{') {
    throw Failure{SQLITE_ERROR,
                  Shown(document) + " alone, expected a weight and sides, or a request document (tarewise-request-1)",
                  true};
  }
  Check(tw_rank_json(into, book_.get(), tw_ratebook_shelf(book_.get()), document.text.data(), document.text.size(),
                     error_.get()));
}

std::string Connection::Rank(tw_ranking* into, const Row& row, std::int32_t detail) {
  if (row.document.kind == Said::kNull) return "request: found NULL, expected a request document";
  if (row.document.is()) {
    RankDocument(into, row.document);
    return {};
  }
  std::string unknown = Unknown(row);
  if (!unknown.empty()) return unknown;
  tw_request request = TW_REQUEST_INIT;
  request.detail = detail;
  tw_parcel parcel = TW_PARCEL_INIT;
  NeedBook();
  if (FlagOf(Name::kSealed, Effective(row, Name::kSealed))) {
    ReadParcel(row, goods_, parcel);
    request.parcel = &parcel;
  } else {
    ReadGoods(row, goods_);
    request.items = &goods_.item;
    request.item_count = 1;
  }
  ReadAsking(row, request);
  Check(tw_rank(into, DispatchFor(row), &request, error_.get()));
  return {};
}

const std::string& Connection::Ask(const Row& row, std::int32_t detail) {
  key_.clear();
  if (row.document.kind != Said::kNot) AppendKey(key_, kNameCount, row.document);
  for (std::size_t i = 0; i < kNameCount; ++i) {
    if (row.said[i].kind != Said::kNot) AppendKey(key_, i, row.said[i]);
  }
  if (kept_detail_ >= detail && key_ == kept_key_) return kept_unknown_;
  kept_detail_ = -1;
  kept_unknown_ = Rank(ranking_.get(), row, detail);
  kept_key_.swap(key_);
  kept_detail_ = row.document.is() ? TW_DETAIL_FULL : detail;
  return kept_unknown_;
}

void Connection::Add(Order& order, const Row& row) {
  if (row.document.kind != Said::kNot) {
    throw Failure{SQLITE_ERROR, "found a request document, expected a weight and sides of each row of the order",
                  false};
  }
  std::string asked;
  for (std::size_t i = static_cast<std::size_t>(Name::kSealed); i < kNameCount; ++i) {
    if (row.said[i].kind != Said::kNot) AppendKey(asked, i, row.said[i]);
  }
  if (order.begun && asked != order.asked) {
    throw Failure{SQLITE_ERROR,
                  "found rows of one order that say different things of how it is sent, expected the same of each",
                  true};
  }
  if (!order.begun) {
    order.begun = true;
    order.asked = std::move(asked);
    for (std::size_t i = static_cast<std::size_t>(Name::kSealed); i < kNameCount; ++i) {
      const Said& said = row.said[i];
      if (said.kind == Said::kNot) continue;
      order.texts.emplace_back(said.text);
      order.row.said[i] = {said.kind, order.texts.back()};
    }
  }
  if (!order.unknown.empty()) return;
  order.unknown = Unknown(row);
  if (!order.unknown.empty()) return;
  if (const Said said = Effective(row, Name::kSealed); FlagOf(Name::kSealed, said)) {
    FailAt(Name::kSealed, said, "goods: several sealed parcels are not one order");
  }
  NeedBook();
  order.goods.emplace_back();
  ReadGoods(row, order.goods.back());
  // A ranking is told in the units of the first goods.
  if (order.goods.size() == 1) order.metric_weight = metric_weight_, order.metric_sides = metric_sides_;
}

void Connection::AskOrder(const Order& order, std::int32_t detail) {
  std::vector<tw_item> items;
  items.reserve(order.goods.size());
  for (const Goods& one : order.goods) items.push_back(one.item);
  tw_request request = TW_REQUEST_INIT;
  request.detail = detail;
  request.items = items.data();
  request.item_count = items.size();
  metric_weight_ = order.metric_weight;
  metric_sides_ = order.metric_sides;
  ReadAsking(order.row, request);
  kept_detail_ = -1;
  Check(tw_rank(ranking_.get(), DispatchFor(order.row), &request, error_.get()));
}

std::string Connection::Money(std::int64_t micros, const char* currency) {
  char buffer[64];
  Check(tw_format_money(buffer, sizeof buffer, nullptr, micros, currency, error_.get()));
  return buffer;
}

std::string Connection::Weight(std::int64_t ng, bool metric) {
  char buffer[64];
  const auto in = [&](std::int64_t part, const char* unit) {
    Check(tw_format_weight(buffer, sizeof buffer, nullptr, part, unit, error_.get()));
    return std::string(buffer);
  };
  // As rankings tell weights: see FORMAT.md B8.
  if (metric) return in(ng, ng >= TW_KILOGRAM ? "kg" : "g");
  if (ng != 0 && ng % TW_POUND == 0) return in(ng, "lb");
  if (ng < 5 * TW_POUND) return in(ng, "oz");
  return in(ng / TW_POUND * TW_POUND, "lb") + " " + in(ng % TW_POUND, "oz");
}

std::string Connection::Length(std::int64_t nm, bool metric) {
  char buffer[64];
  Check(tw_format_length(buffer, sizeof buffer, nullptr, nm, metric ? "cm" : "in", error_.get()));
  return buffer;
}

std::string Connection::Sides(const std::int64_t sides_nm[3], bool metric) {
  std::string out;
  for (std::size_t i = 0; i < 3; ++i) {
    std::string side = Length(sides_nm[i], metric);
    if (i < 2) side.replace(side.size() - 3, 3, " x ");
    out += side;
  }
  return out;
}

std::string Connection::Date(std::int32_t days) {
  char buffer[32];
  Check(tw_format_date(buffer, sizeof buffer, nullptr, days, error_.get()));
  return buffer;
}

std::string Connection::JoinSides(const Said sides[3], const char* unit) {
  Said with;
  if (unit != nullptr) {
    with = {Said::kText, unit};
    Try(Name::kSideUnit, with, Row());
  } else {
    with = Effective(Row(), Name::kSideUnit);
  }
  std::string out;
  for (std::size_t i = 0; i < 3; ++i) {
    if (LengthOf(Name::kSides, sides[i], with) < 1) FailAt(Name::kSides, sides[i], "a side of more than 0");
    if (i > 0) out += " x ";
    out.append(Trim(sides[i].text));
    if (IsBare(sides[i].text)) out.append(" ").append(with.text);
  }
  return out;
}

}  // namespace tarewise::sqlite
