#include "zone_file.h"

#include <utility>
#include <vector>

#include "area_sheet.h"
#include "overlaps.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

// A mark of a footnote in the name of a zone; empty where there is none.
std::string_view FootnoteMark(std::string_view zone) {
  for (const std::string_view mark : {"*", "\xE2\x80\xA0", "\xE2\x80\xA1", "(", ")", "[", "]", "{", "}"}) {
    if (zone.find(mark) != std::string_view::npos) return mark;
  }
  return {};
}

class ZoneFileReader {
 public:
  ZoneFileReader(Fields& fields, AreaSheet& areas, std::size_t column, std::string country, const NameZone& name_zone)
      : fields_(fields), areas_(areas), column_(column), country_(std::move(country)), name_zone_(name_zone) {}

  std::optional<AreaMap<ZoneId>> Read() {
    Sheet& sheet = areas_.sheet();
    AreaMap<ZoneId> map;
    CellErrors errors;
    PrintedCodes printed(country_, errors);
    const bool sound = sheet.ForEachRow([&](std::size_t row) {
      bool room = true;
      EachArea(row, printed, errors, [&](const Area& area, ZoneId zone, std::size_t offset) {
        room = fields_.CountAreas(sheet.findings(), offset);
        if (room) map.Add(area, zone);
        return room;
      });
      return room;
    });
    const bool good = errors.empty() && sound;
    errors.Report(sheet.findings());
    if (map.Finish()) ReportAll();
    if (!good) return std::nullopt;
    printed.WarnOfLostZeros(sheet.findings());
    if (map.empty()) {
      sheet.findings().Error(
          kEmptyList, sheet.header(column_).offset, Value(),
          "found no zone in the column " + Quoted(sheet.header(column_).text) + ", expected at least one");
      return std::nullopt;
    }
    return map;
  }

 private:
  // Calls `area(area, zone, offset)` for each of a line that has a zone.
  template <typename F>
  void EachArea(std::size_t row, PrintedCodes& printed, CellErrors& errors, F area) {
    const Csv::Cell cell = areas_.sheet().cell(row, column_);
    if (IsDashes(cell.text)) return areas_.CountDigits(row, printed);
    const Csv::Cell code = areas_.First(row);
    if (const std::string_view mark = FootnoteMark(cell.text); !mark.empty()) {
      errors.Add({kBadCode, "zone", " with marks of footnotes"}, cell.offset, cell.text,
                 "zones without " + Quoted(mark) + ": take the marks of footnotes out of the column");
      return;
    }
    const ZoneId zone = name_zone_(cell.text, [&](Code what, std::string expected) {
      errors.Add({what, "cell"}, cell.offset, cell.text, std::move(expected));
    });
    if (zone == kNoZone) return;
    if (areas_.HasNoCode(row)) {
      errors.Add({kBadArea, "line", " without codes"}, code.offset, code.text, "a code in a line that has a zone");
      return;
    }
    areas_.ReadCodes(row, printed, [&](const Area& one) { return area(one, zone, code.offset); });
  }

  // Goes through the file once more, now with places: only where something overlaps they are needed.
  void ReportAll() {
    std::vector<PlacedArea> placed;
    CellErrors told;
    PrintedCodes printed(country_, told);
    areas_.sheet().ForEachRow([&](std::size_t row) {
      EachArea(row, printed, told, [&](const Area& area, ZoneId zone, std::size_t offset) {
        placed.push_back({area, zone, offset, Value(), {}});
        return placed.size() < kMostAreas;
      });
      return placed.size() < kMostAreas;
    });
    ReportOverlaps(std::move(placed), "zone", areas_.sheet().findings());
  }

  Fields& fields_;
  AreaSheet& areas_;
  std::size_t column_;
  std::string country_;
  const NameZone& name_zone_;
};

}  // namespace

std::optional<AreaMap<ZoneId>> ReadZoneFile(Fields& fields, GridFiles& files, const Object& chart,
                                            const std::string& country, const NameZone& name_zone) {
  const Value csv = chart["csv"];
  const Value column = chart["column"];
  const std::optional<std::string> own = ReadCountry(fields, chart["country"]);
  std::vector<ColumnName> codes;
  std::vector<ColumnName> others;
  if (!ReadCodeColumns(fields, chart["codes"], codes) || !own) return std::nullopt;
  if (column) {
    if (!fields.Text(column, "the name of the column of zones")) return std::nullopt;
    others.push_back({column.text(), column});
  }
  std::optional<AreaSheet> areas = AreaSheet::Open(fields, files, csv, codes, others);
  if (!areas) return std::nullopt;
  std::optional<std::size_t> zones;
  if (column) {
    zones = areas->other(0);
    if (areas->IsCode(*zones)) {
      fields.Error(kConflictingKeys, column,
                   "found " + FoundText(column) + ", which is the column of codes, expected the column of zones");
      return std::nullopt;
    }
  } else if (zones = areas->OnlyOther(); !zones) {
    fields.Error(kMissingKey, chart.value(),
                 "found no \"column\", expected it where the file has not one column more than those of codes" +
                     Suggestion("", areas->sheet().Names()));
    return std::nullopt;
  }
  return ZoneFileReader(fields, *areas, *zones, own->empty() ? country : *own, name_zone).Read();
}

}  // namespace tarewise::inline TW_VERSIONED::load
