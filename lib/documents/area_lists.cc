#include "area_lists.h"

#include <algorithm>
#include <unordered_set>
#include <utility>

#include "area_sheet.h"
#include "tarewise/units/internal/code.h"
#include "tarewise/units/internal/quantity_text.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

constexpr std::size_t kMostLists = 1'000;
constexpr std::size_t kMostWhere = 64;

// A column of "where" and the texts that its cells may have.
struct Wanted {
  ColumnName column;
  std::unordered_set<std::string_view> texts;
};

bool ReadWhere(Fields& fields, Value where, std::vector<Wanted>& out) {
  constexpr std::string_view kExpected = "an object such as {\"Tier\": \"Extended\"}";
  constexpr std::string_view kTexts = "a text, or a list of texts, that the column must have";
  if (!where) return true;
  if (!where.is(Kind::kObject)) {
    fields.Expected(kWrongKind, where, kExpected);
    return false;
  }
  if (where.size() == 0) {
    fields.Error(kEmptyList, where, "found an empty object, expected at least one column");
    return false;
  }
  if (where.size() > kMostWhere) {
    fields.Error(kTooMany, where,
                 "found " + std::to_string(where.size()) + " columns, expected at most 64 in a \"where\"");
    return false;
  }
  bool good = true;
  std::unordered_set<std::string> columns;
  for (const Value member : where) {
    Wanted wanted{{member.key(), member, true}, {}};
    if (!columns.insert(FoldedName(member.key())).second) {
      fields.ErrorAtKey(
          kDuplicateCode, member,
          "found the column " + Quoted(member.key()) + " twice, expected it once: a list of texts is any of them");
      good = false;
    }
    if (member.is(Kind::kArray)) {
      good = fields.List(member, "a list of texts", /*empty_allowed=*/false) && good;
      for (const Value text : member) {
        good = fields.Text(text, kTexts).has_value() && good;
        wanted.texts.insert(internal::Trim(text.text()));
      }
    } else {
      good = fields.Text(member, kTexts).has_value() && good;
      wanted.texts.insert(internal::Trim(member.text()));
    }
    out.push_back(std::move(wanted));
  }
  return good;
}

}  // namespace

void AreaLists::Read(Fields& fields, Value value, GridFiles& files) {
  if (!value.is(Kind::kObject)) {
    fields.Expected(kWrongKind, value, "an object with lists of areas by name");
    return;
  }
  if (value.size() > kMostLists) {
    fields.Error(kTooMany, value,
                 "found " + std::to_string(value.size()) + " lists of areas, expected at most 1000 in a document");
    return;
  }
  entries_.reserve(value.size());
  for (const Value member : value) {
    std::string name(member.key());
    if (!internal::IsCode(name)) {
      fields.ErrorAtKey(kBadCode, member,
                        "found the key " + Quoted(name) + ", expected a code of small letters, digits and hyphens");
    }
    // One that could not be read is there all the same, so that what names it is not reported too.
    by_name_.emplace(name, entries_.size());
    entries_.push_back({member.is(Kind::kArray) ? ReadInPlace(fields, std::move(name), member)
                                                : ReadFile(fields, std::move(name), member, files),
                        member});
  }
}

AreaList AreaLists::ReadInPlace(Fields& fields, std::string name, Value value) {
  AreaList::Builder builder(std::move(name));
  if (fields.List(value, "a list of areas", /*empty_allowed=*/false)) {
    for (const Value item : value) {
      if (NamesList(item.text())) {
        fields.Expected(kBadArea, item, "an area: a list names no other list");
      } else if (!fields.CountAreas(item)) {
        break;
      } else if (const std::optional<Area> area = fields.ReadArea(item)) {
        builder.Add(*area);
      }
    }
  }
  return std::move(builder).Finish();
}

AreaList AreaLists::ReadFile(Fields& fields, std::string name, Value value, GridFiles& files) {
  AreaList::Builder builder(std::move(name));
  const auto read = [&] {
    const Object object(fields, value, "a list of areas, or an object such as {\"csv\": \"far.csv\"}",
                        {"csv", "country", "column", "where"});
    const Value csv = object.Require("csv");
    const std::optional<std::string> country = ReadCountry(fields, object["country"]);
    std::vector<ColumnName> codes;
    std::vector<Wanted> where;
    const bool good = ReadCodeColumns(fields, object["column"], codes) && country;
    if (!ReadWhere(fields, object["where"], where) || !good || !csv) return;
    std::vector<ColumnName> others;
    others.reserve(where.size());
    for (const Wanted& wanted : where) others.push_back(wanted.column);
    std::optional<AreaSheet> areas = AreaSheet::Open(fields, files, csv, codes, others);
    if (!areas) return;
    Sheet& sheet = areas->sheet();
    CellErrors errors;
    PrintedCodes printed(*country, errors);
    bool met = false;
    const auto meets = [&](std::size_t row) {
      for (std::size_t i = 0; i < where.size(); ++i) {
        if (where[i].texts.count(sheet.cell(row, areas->other(i)).text) == 0) return false;
      }
      return true;
    };
    const bool sound = sheet.ForEachRow([&](std::size_t row) {
      if (!meets(row)) {
        areas->CountDigits(row, printed);
        return true;
      }
      met = true;
      const Csv::Cell cell = areas->First(row);
      if (cell.text.empty()) {
        errors.Add({kBadArea, "empty cell"}, cell.offset, cell.text, "a code, or a dash where there is none");
        return true;
      }
      if (areas->HasNoCode(row)) return true;
      bool room = true;
      areas->ReadCodes(row, printed, [&](const Area& area) {
        room = fields.CountAreas(sheet.findings(), cell.offset);
        if (room) builder.Add(area);
        return room;
      });
      return room;
    });
    const bool codes_good = errors.empty();
    errors.Report(sheet.findings());
    printed.WarnOfLostZeros(sheet.findings());
    if (!sound || !codes_good) return;
    if (!met && !where.empty()) {
      fields.Error(kWhereMeetsNothing, object["where"],
                   "found a \"where\" that no line of " + FoundText(csv) + " meets, expected one that some line meets");
    } else if (builder.empty()) {
      sheet.findings().Error(kEmptyList, sheet.header(0).offset, Value(),
                             "found no codes below the header, expected at least one");
    }
  };
  read();
  return std::move(builder).Finish();
}

const AreaList* AreaLists::Find(Fields& fields, Value value, bool at_key) {
  const std::string_view text = at_key ? value.key() : value.text();
  const auto at = by_name_.find(text.substr(1));
  if (at != by_name_.end()) {
    entries_[at->second].used = true;
    return &entries_[at->second].list;
  }
  std::vector<std::string> names;
  for (const Entry& entry : entries_) names.push_back(entry.list.ToString());
  const std::string message = "found " + std::string(at_key ? "the key " : "") + Quoted(text) +
                              ", expected an area, or a list of areas of this document" +
                              Suggestion(text, std::vector<std::string_view>(names.begin(), names.end()));
  at_key ? fields.ErrorAtKey(kUnknownAreas, value, message) : fields.Error(kUnknownAreas, value, message);
  return nullptr;
}

void AreaLists::WarnOfUnused(Fields& fields) const {
  for (const Entry& entry : entries_) {
    if (entry.used) continue;
    fields.findings().Warning(kUnusedAreas, entry.at.key_offset(), entry.at,
                              "found the list of areas " + Quoted(entry.list.name()) +
                                  ", which nothing names, expected " + Quoted(entry.list.ToString()) +
                                  " in the place of an area");
  }
}

std::vector<AreaList> AreaLists::All() const {
  std::vector<AreaList> lists;
  for (const Entry& entry : entries_) lists.push_back(entry.list);
  return lists;
}

const AreaList* FindAreaList(Fields& fields, Value value, bool at_key, AreaLists* lists) {
  if (lists != nullptr) return lists->Find(fields, value, at_key);
  const std::string message = "found " + Quoted(at_key ? value.key() : value.text()) +
                              ", expected an area: lists of areas are of a tariff alone";
  at_key ? fields.ErrorAtKey(kUnknownAreas, value, message) : fields.Error(kUnknownAreas, value, message);
  return nullptr;
}

AreaItems ReadAreaItems(Fields& fields, Value value, AreaLists* lists, bool count_lists) {
  AreaItems out;
  if (!fields.List(value, "a list of areas", /*empty_allowed=*/false)) return out;
  for (const Value item : value) {
    if (NamesList(item.text())) {
      const AreaList* const list = FindAreaList(fields, item, /*at_key=*/false, lists);
      if (list == nullptr) continue;
      if (count_lists && !fields.CountAreas(item, list->size())) break;
      out.lists.push_back(*list);
    } else if (!fields.CountAreas(item)) {
      break;
    } else if (std::optional<Area> area = fields.ReadArea(item)) {
      out.areas.push_back(*std::move(area));
    }
  }
  return out;
}

}  // namespace tarewise::inline TW_VERSIONED::load
