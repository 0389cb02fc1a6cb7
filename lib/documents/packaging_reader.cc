#include "packaging_reader.h"

#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>

#include "tarewise/parcel/dimensions.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

constexpr std::size_t kMostPackagings = 10'000;
constexpr std::int64_t kMostOnHand = 1'000'000'000;

// What a packaging says of one thing, in JSON or in CSV.
struct Entry {
  std::string_view key;
  bool there = false;
  std::string_view text;
  std::size_t offset = 0;  // where it stands, or where it is missed
  Value value;             // none in a CSV file
};

class PackagingReader {
 public:
  explicit PackagingReader(Findings& findings) : findings_(findings) {}

  std::optional<Packaging> Read(const Entry& title, const Entry& kind, const Entry& inside, const Entry& outside,
                                const Entry& wall, const Entry& thickness, const Entry& tare, const Entry& cost) {
    Packaging out;
    if (Need(title) && IsText(title)) {
      out.title = title.text;
      if (out.title.empty() || out.title.size() > 1000) Expected(kBadCode, title, "a title of 1 to 1000 bytes");
    }
    ReadTare(tare, out);
    ReadCost(cost, out);
    if (!Need(kind) || !IsText(kind)) return std::nullopt;
    const std::optional<PackagingKind> found = PackagingKindFromName(kind.text);
    if (!found) {
      Expected(
          kUnknownWord, kind,
          "a kind of packaging" + Suggestion(kind.text, std::vector<std::string_view>(std::begin(kPackagingKindNames),
                                                                                      std::end(kPackagingKindNames))));
      return std::nullopt;
    }
    out.kind = *found;
    const std::string name = "a packaging of kind " + Quoted(kind.text);
    switch (out.kind) {
      case PackagingKind::kCarton:
        Refuse(thickness, name);
        ReadSides(inside, 3, out.inside, name);
        ReadOutside(outside, wall, 3, /*required=*/true, out, name);
        break;
      case PackagingKind::kMailer:
        Refuse(thickness, name);
        Refuse(outside, name);
        ReadSides(inside, 2, out.inside, name);
        ReadOutside({}, wall, 2, /*required=*/false, out, name);
        break;
      case PackagingKind::kEnvelope:
        if (thickness.there) {
          ReadSides(inside, 2, out.inside, name);
          if (const std::optional<Length> thick = ReadThickness(thickness)) out.inside[2] = *thick;
        } else if (inside.there && CountSides(inside.text) == 2) {
          findings_.Error(kMissingKey, thickness.offset, thickness.value,
                          "found no \"thickness\", expected it, or \"inside\" of three lengths, in " + name);
          good_ = false;
        } else {
          ReadSides(inside, 3, out.inside, name);
        }
        ReadOutside(outside, wall, 2, /*required=*/false, out, name);
        break;
      case PackagingKind::kTube:
        Refuse(thickness, name);
        ReadSides(inside, 2, out.inside, name);
        ReadOutside(outside, wall, 2, /*required=*/true, out, name);
        break;
      case PackagingKind::kBare:
        Refuse(inside, name);
        Refuse(outside, name);
        Refuse(wall, name);
        Refuse(thickness, name);
        break;
    }
    if (!good_) return std::nullopt;
    return out;
  }

  /// Whether a carton of the seller's own may be cut down; false where that is said wrongly.
  bool ReadCutDown(const Entry& cut_down, const Entry& least_height, Packaging& out) {
    if (!cut_down.there && !least_height.there) return true;
    if (out.kind != PackagingKind::kCarton) {
      const std::string name = "a packaging of kind " + Quoted(NameOf(out.kind));
      Refuse(cut_down, name);
      Refuse(least_height, name);
      return good_;
    }
    const std::optional<bool> said = FlagOf(cut_down);
    if (cut_down.there && !said) {
      Expected(kWrongKind, cut_down, "true or false");
      return false;
    }
    const bool cut = said.value_or(false);
    if (!cut && least_height.there) {
      findings_.Error(kConflictingKeys, least_height.value ? least_height.value.key_offset() : least_height.offset,
                      least_height.value, "found \"least_height\", expected \"cut_down\" with it, which is true");
      return good_ = false;
    }
    if (!cut) return true;
    if (!least_height.there) {
      findings_.Error(kMissingKey, least_height.offset, least_height.value,
                      "found no \"least_height\", expected it in a carton that may be cut down");
      return good_ = false;
    }
    out.least_height = ReadLength(least_height);
    if (out.least_height && (out.least_height->nanometres() < 1 || *out.least_height > out.outside[2])) {
      Expected(kBadLength, least_height,
               "a length of more than 0 and at most the third of the outside, " + out.outside[2].In("in"));
    }
    return good_;
  }

  std::optional<std::int64_t> ReadOnHand(const Entry& entry) {
    if (!entry.there) return std::nullopt;
    const bool form = !entry.value || entry.value.is(Kind::kNumber);
    std::int64_t number = 0;
    bool good = form && !entry.text.empty() && entry.text.size() <= 10;
    for (const char c : entry.text) good = good && c >= '0' && c <= '9';
    if (good) {
      for (const char c : entry.text) number = number * 10 + (c - '0');
    }
    if (good && number <= kMostOnHand) return number;
    Expected(kBadNumber, entry, "a whole number from 0 to 1000000000");
    return std::nullopt;
  }

  static std::optional<bool> FlagOf(const Entry& entry) {
    if (!entry.there) return std::nullopt;
    if (entry.value.is(Kind::kTrue) || (!entry.value && entry.text == "true")) return true;
    if (entry.value.is(Kind::kFalse) || (!entry.value && entry.text == "false")) return false;
    return std::nullopt;
  }

  std::string ReadCode(const Entry& entry) {
    if (!Need(entry) || !IsText(entry)) return {};
    const auto small = [](char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9'); };
    if (entry.text.empty() || entry.text.size() > 64 || !small(entry.text.front()) ||
        !std::all_of(entry.text.begin(), entry.text.end(), [&](char c) { return small(c) || c == '-'; })) {
      Expected(kBadCode, entry, "a code of small letters, digits and hyphens");
    } else if (entry.text == "estimate" || entry.text == "own") {
      Expected(kReservedCode, entry, "another code (this one is reserved)");
    }
    return std::string(entry.text);
  }

  void Expected(Code code, const Entry& entry, std::string_view what) {
    const std::string found = entry.value ? FoundText(entry.value) : Quoted(entry.text);
    findings_.Error(code, entry.offset, entry.value, "found " + found + ", expected " + std::string(what));
    good_ = false;
  }

  bool Need(const Entry& entry) {
    if (entry.there) return true;
    findings_.Error(kMissingKey, entry.offset, entry.value,
                    "found no " + Quoted(entry.key) + ", expected it in a packaging");
    good_ = false;
    return false;
  }

 private:
  void FromStatus(Code code, const Entry& entry, const absl::Status& status) {
    const std::string found = entry.value ? FoundText(entry.value) : Quoted(entry.text);
    findings_.Error(code, entry.offset, entry.value, "found " + found + ExpectedOf(entry.text, status));
    good_ = false;
  }

  bool IsText(const Entry& entry) {
    if (!entry.value || entry.value.is(Kind::kString)) return true;
    Expected(kWrongKind, entry, "text in quotation marks");
    return false;
  }

  void Refuse(const Entry& entry, std::string_view name) {
    if (!entry.there) return;
    findings_.Error(kConflictingKeys, entry.value ? entry.value.key_offset() : entry.offset, entry.value,
                    "found " + Quoted(entry.key) + ", expected none for " + std::string(name));
    good_ = false;
  }

  void ReadTare(const Entry& entry, Packaging& out) {
    if (!Need(entry)) return;
    if (entry.value && !entry.value.is(Kind::kString)) {
      Expected(kBadWeight, entry, Weight::kExpected);
      return;
    }
    const absl::StatusOr<Weight> tare = Weight::Parse(entry.text);
    if (!tare.ok()) {
      FromStatus(kBadWeight, entry, tare.status());
    } else if (tare->nanograms() > Weight::kMostNanograms) {
      Expected(kBadWeight, entry, "a weight of at most 100000 kg");
    } else {
      out.tare = *tare;
    }
  }

  void ReadCost(const Entry& entry, Packaging& out) {
    if (!Need(entry)) return;
    if (entry.value && !entry.value.is(Kind::kString) && !entry.value.is(Kind::kNumber)) {
      Expected(kBadMoney, entry, Amount::kExpected);
      return;
    }
    const absl::StatusOr<Amount> cost = Amount::Parse(entry.text);
    if (!cost.ok()) {
      FromStatus(kBadMoney, entry, cost.status());
    } else if (cost->micros() > kMostMoneyMicros) {
      Expected(kBadMoney, entry, "an amount of money of at most 1000000000");
    } else {
      out.cost = *cost;
    }
  }

  static std::size_t CountSides(std::string_view text) {
    std::size_t count = 1;
    for (std::size_t i = 0; i < text.size(); ++i) {
      if (text[i] == 'x' || text[i] == 'X' || text.substr(i, 2) == "\xC3\x97") ++count;
    }
    return count;
  }

  void ReadSides(const Entry& entry, std::size_t count, std::array<Length, 3>& sides, std::string_view name) {
    if (!entry.there) {
      findings_.Error(kMissingKey, entry.offset, entry.value,
                      "found no " + Quoted(entry.key) + ", expected it in " + std::string(name));
      good_ = false;
      return;
    }
    if (entry.value && !entry.value.is(Kind::kString)) {
      Expected(kBadSides, entry,
               count == 2 ? "two lengths such as \"9 x 11 in\"" : "three lengths such as \"14 x 9 x 5 in\"");
      return;
    }
    const absl::StatusOr<std::vector<Length>> read = ParseSides(entry.text, count);
    if (!read.ok()) {
      FromStatus(kBadSides, entry, read.status());
      return;
    }
    std::copy(read->begin(), read->end(), sides.begin());
  }

  std::optional<Length> ReadThickness(const Entry& entry) {
    const std::optional<Length> length = ReadLength(entry);
    if (length && length->nanometres() < 1) {
      Expected(kBadLength, entry, "a thickness of more than 0");
      return std::nullopt;
    }
    return length;
  }

  std::optional<Length> ReadLength(const Entry& entry) {
    if (entry.value && !entry.value.is(Kind::kString)) {
      Expected(kBadLength, entry, Length::kExpected);
      return std::nullopt;
    }
    const absl::StatusOr<Length> length = Length::Parse(entry.text);
    if (!length.ok()) {
      FromStatus(kBadLength, entry, length.status());
      return std::nullopt;
    }
    if (length->nanometres() > Length::kMostSideNanometres / 4) {
      Expected(kBadLength, entry, "a length of at most 12.5 m");
      return std::nullopt;
    }
    return *length;
  }

  void ReadOutside(const Entry& outside, const Entry& wall, std::size_t count, bool required, Packaging& out,
                   std::string_view name) {
    if (outside.there && wall.there) {
      const Entry& later = outside.offset < wall.offset ? wall : outside;
      findings_.Error(kConflictingKeys, later.value ? later.value.key_offset() : later.offset, later.value,
                      "found both \"outside\" and \"wall\", expected one of the two");
      good_ = false;
      return;
    }
    if (outside.there) {
      ReadSides(outside, count, out.outside, name);
      if (count == 2) out.outside[2] = out.inside[2];
      for (std::size_t i = 0; good_ && i < count; ++i) {
        if (out.outside[i] >= out.inside[i]) continue;
        Expected(kSidesReversed, outside, "sides that are no shorter than those inside, in the same order");
        return;
      }
      return;
    }
    if (!wall.there && required) {
      findings_.Error(kMissingKey, wall.offset, wall.value,
                      "found neither \"outside\" nor \"wall\", expected one of the two in " + std::string(name));
      good_ = false;
      return;
    }
    if (wall.there) {
      const std::optional<Length> thick = ReadLength(wall);
      if (!thick) return;
      out.wall = *thick;
    }
    // A tube has no third side.
    const std::size_t sides = out.kind == PackagingKind::kTube ? 2 : 3;
    for (std::size_t i = 0; i < sides; ++i) out.outside[i] = out.inside[i] + out.wall + out.wall;
  }

  Findings& findings_;
  bool good_ = true;
};

Entry EntryOf(const Object& object, std::string_view key) {
  Entry entry;
  entry.key = key;
  const Value value = object[key];
  entry.there = static_cast<bool>(value);
  entry.value = value ? value : object.value();
  entry.offset = entry.value.offset();
  if (value) entry.text = value.text();
  return entry;
}

}  // namespace

std::optional<Packaging> ReadPackaging(Fields& fields, Value value, bool on_shelf) {
  const Object object =
      on_shelf ? Object(fields, value, "a packaging",
                        {"code", "title", "kind", "inside", "outside", "wall", "thickness", "tare", "cost", "on_hand",
                         "cut_down", "least_height"})
               : Object(fields, value, "a packaging",
                        {"code", "title", "kind", "inside", "outside", "wall", "thickness", "tare", "cost"});
  if (!object) return std::nullopt;
  PackagingReader reader(fields.findings());
  std::string code = reader.ReadCode(EntryOf(object, "code"));
  std::optional<Packaging> packaging = reader.Read(
      EntryOf(object, "title"), EntryOf(object, "kind"), EntryOf(object, "inside"), EntryOf(object, "outside"),
      EntryOf(object, "wall"), EntryOf(object, "thickness"), EntryOf(object, "tare"), EntryOf(object, "cost"));
  if (packaging && on_shelf &&
      !reader.ReadCutDown(EntryOf(object, "cut_down"), EntryOf(object, "least_height"), *packaging)) {
    return std::nullopt;
  }
  if (packaging) packaging->code = std::move(code);
  return packaging;
}

Shelf ReadShelfDocument(Fields& fields, Value value) {
  Shelf shelf;
  const Object object(fields, value, "a shelf", {"format", "currency", "packaging", "issued"});
  if (!object) return shelf;
  if (const Value v = object["currency"]) shelf.currency = fields.ReadCurrency(v);
  std::unordered_map<std::string, Value> codes;
  Value costly;
  if (const Value v = object["packaging"]; v && fields.List(v, "a list of packagings")) {
    for (const Value item : v) {
      if (shelf.own.size() == kMostPackagings) {
        fields.Error(kTooMany, item, "found more than 10000 packagings, expected at most 10000");
        break;
      }
      std::optional<Packaging> packaging = ReadPackaging(fields, item, /*on_shelf=*/true);
      if (!packaging) continue;
      Shelf::Own own;
      own.packaging = *std::move(packaging);
      Value code;
      for (const Value member : item) {
        if (member.key() == "on_hand") own.on_hand = fields.Whole(member, 0, kMostOnHand);
        if (member.key() == "code") code = member;
        if (member.key() == "cost" && own.packaging.cost.micros() > 0 && !costly) costly = member;
      }
      if (const auto [first, fresh] = codes.emplace(own.packaging.code, code); !fresh) {
        fields.Error(kDuplicateCode, code,
                     "found the packaging " + FoundText(code) + " twice, expected it once (the first is on line " +
                         std::to_string(fields.findings().At(first->second.offset()).line) + ")");
      }
      shelf.own.push_back(std::move(own));
    }
  }
  if (costly && !object["currency"]) {
    fields.Error(kMissingKey, costly,
                 "found a cost of " + FoundText(costly) + " and no \"currency\", expected the currency of the shelf");
  }
  if (const Value v = object["issued"]; v && fields.List(v, "a list of carriers' packagings")) {
    for (const Value item : v) {
      if (shelf.issued.size() == kMostPackagings) {
        fields.Error(kTooMany, item, "found more than 10000 packagings, expected at most 10000");
        break;
      }
      const Object entry(fields, item, "an issued packaging", {"carrier", "code", "on_hand"});
      if (!entry) continue;
      Shelf::Issued issued;
      if (const Value carrier = entry.Require("carrier")) issued.carrier = fields.ReadCode(carrier);
      const Value code = entry.Require("code");
      if (code) issued.code = fields.ReadCode(code);
      if (const Value on_hand = entry["on_hand"]) issued.on_hand = fields.Whole(on_hand, 0, kMostOnHand);
      if (code) {
        if (const auto [first, fresh] = codes.emplace(issued.code, code); !fresh) {
          fields.Error(kDuplicateCode, code,
                       "found the packaging " + FoundText(code) + " twice, expected it once (the first is on line " +
                           std::to_string(fields.findings().At(first->second.offset()).line) + ")");
        }
      }
      shelf.issued.push_back(std::move(issued));
    }
  }
  if (!object["packaging"] && !object["issued"]) {
    fields.Error(kMissingKey, value,
                 "found neither \"packaging\" nor \"issued\", expected at least one of them in a shelf");
  }
  return shelf;
}

std::optional<std::vector<std::size_t>> ReadHeader(const Csv& csv, Findings& findings,
                                                   const std::vector<std::string_view>& names,
                                                   const std::vector<std::string_view>& required) {
  std::string header;
  for (const std::string_view name : names) header += (header.empty() ? "" : ",") + std::string(name);
  if (csv.rows() == 0) {
    findings.Error(kBadHeader, 0, Value(), "found an empty file, expected the header " + header);
    return std::nullopt;
  }
  std::vector<std::size_t> columns(names.size(), SIZE_MAX);
  std::vector<Csv::Cell> unknown;
  bool good = true;
  for (std::size_t i = 0; i < csv.width(0); ++i) {
    const Csv::Cell& cell = csv.cell(0, i);
    const auto at = std::find(names.begin(), names.end(), cell.text);
    if (at == names.end()) {
      unknown.push_back(cell);
      continue;
    }
    std::size_t& column = columns[static_cast<std::size_t>(at - names.begin())];
    if (column != SIZE_MAX) {
      findings.Error(kDuplicateCode, cell.offset, Value(),
                     "found the column " + Quoted(cell.text) + " twice, expected it once");
      good = false;
    }
    column = i;
  }
  if (unknown.size() == csv.width(0)) {
    findings.Error(kBadHeader, csv.cell(0, 0).offset, Value(),
                   "found " + Quoted(csv.cell(0, 0).text) + ", expected the header " + header);
    return std::nullopt;
  }
  for (const Csv::Cell& cell : unknown) {
    findings.Error(
        kBadHeader, cell.offset, Value(),
        "found the column " + Quoted(cell.text) + ", expected one of the header" + Suggestion(cell.text, names));
    good = false;
  }
  for (const std::string_view name : required) {
    const auto at = static_cast<std::size_t>(std::find(names.begin(), names.end(), name) - names.begin());
    if (columns[at] != SIZE_MAX) continue;
    findings.Error(kBadHeader, csv.cell(0, 0).offset, Value(),
                   "found no column " + Quoted(name) + ", expected it in the header " + header);
    good = false;
  }
  if (!good) return std::nullopt;
  return columns;
}

Shelf ReadShelfCsv(const Csv& csv, Findings& findings, ShelfPlaces& places) {
  enum Column {
    kCode,
    kTitle,
    kKind,
    kInside,
    kOutside,
    kWall,
    kThickness,
    kTare,
    kCost,
    kCurrency,
    kOnHand,
    kCarrier,
    kCutDown,
    kLeastHeight
  };
  const std::vector<std::string_view> names = {"code",    "title",     "kind",     "inside",      "outside",
                                               "wall",    "thickness", "tare",     "cost",        "currency",
                                               "on_hand", "carrier",   "cut_down", "least_height"};
  Shelf shelf;
  const std::optional<std::vector<std::size_t>> columns =
      ReadHeader(csv, findings, names, {"code", "title", "kind", "tare", "cost"});
  if (!columns) return shelf;
  std::unordered_map<std::string, std::size_t> codes;
  std::string_view currency_text;
  for (std::size_t row = 1; row < csv.rows(); ++row) {
    if (row > kMostPackagings) {
      findings.Error(kTooMany, csv.cell(row, 0).offset, Value(),
                     "found more than 10000 packagings, expected at most 10000");
      break;
    }
    if (csv.width(row) != csv.width(0)) {
      findings.Error(kWrongRowLength, csv.cell(row, 0).offset, Value(),
                     "found a row of " + std::to_string(csv.width(row)) + " cells, expected " +
                         std::to_string(csv.width(0)) + " as in the header");
      continue;
    }
    const auto entry = [&](Column column) {
      Entry out;
      out.key = names[column];
      const std::size_t at = (*columns)[column];
      if (at == SIZE_MAX) {
        out.offset = csv.cell(row, 0).offset;
        return out;
      }
      const Csv::Cell& cell = csv.cell(row, at);
      out.there = !cell.text.empty();
      out.text = cell.text;
      out.offset = cell.offset;
      return out;
    };
    PackagingReader reader(findings);
    const Entry code = entry(kCode);
    std::string name = reader.ReadCode(code);
    const std::optional<std::int64_t> on_hand = reader.ReadOnHand(entry(kOnHand));
    if (code.there) {
      if (const auto [first, fresh] = codes.emplace(name, code.offset); !fresh) {
        findings.Error(kDuplicateCode, code.offset, Value(),
                       "found the packaging " + Quoted(name) + " twice, expected it once (the first is on line " +
                           std::to_string(findings.At(first->second).line) + ")");
      }
    }
    if (const Entry carrier = entry(kCarrier); carrier.there) {
      Shelf::Issued issued;
      issued.carrier = reader.ReadCode(carrier);
      issued.code = std::move(name);
      issued.on_hand = on_hand;
      for (const Column column :
           {kTitle, kKind, kInside, kOutside, kWall, kThickness, kTare, kCost, kCurrency, kCutDown, kLeastHeight}) {
        const Entry extra = entry(column);
        if (!extra.there) continue;
        findings.Error(kConflictingKeys, extra.offset, Value(),
                       "found " + Quoted(extra.text) + " under " + Quoted(extra.key) +
                           ", expected nothing there in the row of a carrier's packaging");
      }
      shelf.issued.push_back(std::move(issued));
      places.issued.push_back(code.offset);
      continue;
    }
    std::optional<Packaging> packaging = reader.Read(entry(kTitle), entry(kKind), entry(kInside), entry(kOutside),
                                                     entry(kWall), entry(kThickness), entry(kTare), entry(kCost));
    if (packaging && !reader.ReadCutDown(entry(kCutDown), entry(kLeastHeight), *packaging)) packaging.reset();
    const Entry currency = entry(kCurrency);
    if (currency.there) {
      const absl::StatusOr<Currency> read = Currency::Parse(currency.text);
      if (!read.ok()) {
        findings.Error(kBadCurrency, currency.offset, Value(),
                       "found " + Quoted(currency.text) + ExpectedOf(currency.text, read.status()));
      } else if (shelf.currency && *shelf.currency != *read) {
        findings.Error(kShelfCurrencies, currency.offset, Value(),
                       "found " + Quoted(currency.text) + ", expected " + Quoted(currency_text) +
                           " as in the rows before: a shelf has one currency");
      } else {
        shelf.currency = *read;
        currency_text = currency.text;
      }
    } else if (packaging && packaging->cost.micros() > 0) {
      findings.Error(kMissingKey, currency.offset, Value(),
                     "found no \"currency\", expected it in the row of a packaging that costs something");
    }
    if (!packaging) continue;
    packaging->code = std::move(name);
    shelf.own.push_back({*std::move(packaging), on_hand});
    places.own.push_back(code.offset);
  }
  return shelf;
}

}  // namespace tarewise::inline TW_VERSIONED::load
