#include "area_sheet.h"

#include <utility>

#include "tarewise/zone/place.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {

bool ReadCodeColumns(Fields& fields, Value codes, std::vector<ColumnName>& out) {
  if (!codes) return true;
  constexpr std::string_view kExpected = "the name of a column, or a list of two: the first and the last of a range";
  if (codes.is(Kind::kString)) {
    out.push_back({codes.text(), codes});
    return true;
  }
  if (!codes.is(Kind::kArray) || codes.size() != 2) {
    fields.Expected(kWrongKind, codes, kExpected);
    return false;
  }
  for (const Value name : codes) {
    if (!fields.Text(name, "the name of a column")) return false;
    out.push_back({name.text(), name});
  }
  if (FoldedName(out[0].name) != FoldedName(out[1].name)) return true;
  fields.Error(kDuplicateCode, out[1].at, "found the column " + FoundText(out[1].at) + " twice, expected two columns");
  return false;
}

std::optional<AreaSheet> AreaSheet::Open(Fields& fields, GridFiles& files, Value csv,
                                         const std::vector<ColumnName>& codes, const std::vector<ColumnName>& others) {
  GridFiles::File* const file = files.Open(fields, csv, CsvOf::kSheet);
  if (file == nullptr || !files.Spend(fields, csv, *file)) return std::nullopt;
  std::vector<ColumnName> all = codes;
  all.insert(all.end(), others.begin(), others.end());
  std::vector<std::string_view> names;
  names.reserve(all.size());
  for (const ColumnName& column : all) names.push_back(column.name);
  AreaSheet out(file->csv, *file->findings);
  Sheet& sheet = out.sheet_;
  if (!sheet.FindHeader(names)) {
    for (std::size_t i = 0; i < all.size() && !sheet.missing().empty(); ++i) {
      if (names[i] != sheet.missing()) continue;
      const std::string message = "found " + std::string(all[i].at_key ? "the key " : "") + Quoted(names[i]) +
                                  ", expected the name of a column of " + Quoted(csv.text()) +
                                  Suggestion(names[i], sheet.Names());
      all[i].at_key ? fields.ErrorAtKey(kUnknownWord, all[i].at, message)
                    : fields.Error(kUnknownWord, all[i].at, message);
      break;
    }
    return std::nullopt;
  }
  const std::optional<std::vector<std::size_t>> found = sheet.Columns(names);
  if (!found) return std::nullopt;
  const std::vector<std::size_t>& columns = *found;
  if (!codes.empty()) out.first_ = columns[0];
  if (codes.size() > 1) out.last_ = columns[1];
  out.others_.assign(columns.begin() + static_cast<std::ptrdiff_t>(codes.size()), columns.end());
  return out;
}

std::optional<std::size_t> AreaSheet::OnlyOther() const {
  // Empty cells at the end of the header are no columns.
  std::size_t columns = sheet_.width();
  while (columns > 0 && sheet_.header(columns - 1).text.empty()) --columns;
  const std::size_t of_codes = last_ ? 2 : 1;
  if (columns != of_codes + 1) return std::nullopt;
  for (std::size_t column = 0; column < columns; ++column) {
    if (!IsCode(column)) return column;
  }
  return std::nullopt;
}

std::optional<std::string> ReadCountry(Fields& fields, Value value) {
  if (!value) return std::string();
  const std::optional<std::string_view> country =
      fields.Text(value, "a country of two capital letters, such as \"US\"");
  if (!country) return std::nullopt;
  if (const absl::Status status = Place::CheckCountry(*country); !status.ok()) {
    fields.FromStatus(kBadPlace, value, status);
    return std::nullopt;
  }
  return std::string(*country);
}

}  // namespace tarewise::inline TW_VERSIONED::load
