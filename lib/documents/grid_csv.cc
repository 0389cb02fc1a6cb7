// Grids in CSV files.
#include <algorithm>
#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "grid_reader.h"
#include "printed_codes.h"
#include "sheet.h"
#include "tarewise/units/internal/quantity_text.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

// What a printed grid has in the place of plain numbers, and how they should be.
struct PrintedForm {
  std::string_view mark;
  std::string_view expected;
};
constexpr PrintedForm kPrintedForms[] = {
    {"$", "numbers alone"},
    {"\xE2\x82\xAC", "numbers alone"},  // a euro
    {"\xC2\xA3", "numbers alone"},      // a pound
    {"*", "numbers alone"},
    {"\xE2\x80\xA0", "numbers alone"},  // a dagger
    {",", "numbers without commas, with a point before decimals"},
};

std::string Rows(std::size_t count) { return std::to_string(count) + (count == 1 ? " row" : " rows"); }

}  // namespace

bool GridReader::ReadCsv(Value value) {
  GridFiles::File* const file = scope_.grids->Open(fields_, value, CsvOf::kGrid);
  if (file == nullptr || !scope_.grids->SpendOnGrids(fields_, value, *file)) return false;
  file_ = file->findings.get();
  const Csv& csv = file->csv;
  if (csv.rows() == 0) {
    file_->Error(kBadHeader, 0, Value(),
                 "found an empty file, expected a header (" + BoundsSaid() + ", then zones) and rows");
    return false;
  }
  turned_ = by.size() == 1 && csv.cell(0, 0).text == "zone";
  if (!SaysWhichWayRound(csv)) return false;
  const bool good = turned_ ? ReadTurned(csv) : ReadUpright(csv);
  return !ReportCells() && good;
}

bool GridReader::ReportCells() {
  const bool any = !cell_errors_.empty();
  if (any) cell_errors_.Report(*file_);
  return any;
}

// False, and an error, where the first word is about zones and the grid reads right the other way round than it says.
bool GridReader::SaysWhichWayRound(const Csv& csv) {
  const GridCell corner = CellOf(csv, 0, 0);
  if (by.size() > 1 || csv.rows() == 1 || FoldedName(corner.text).find("zone") == std::string::npos) return true;
  if (turned_ ? !CanBeUpright(csv) : !CanBeTurned(csv)) return true;
  if (!turned_) {
    Error(kBadHeader, corner,
          "found " + Quoted(corner.text) +
              " above lines that begin with zones, expected \"zone\" in small letters, or \"bound\" where they begin "
              "with bounds");
  } else if (CanBeTurned(csv)) {
    Error(kBadHeader, corner,
          "found \"zone\" in a grid that can be read both ways, expected \"bound\" where its lines begin with bounds, "
          "or, where they begin with zones, " +
              std::string(by[0].unit.empty() ? "the zones side by side" : "bounds with their unit") + " in this line");
  } else {
    Error(kBadHeader, corner, "found \"zone\" above lines that begin with bounds, expected \"bound\"");
  }
  return false;
}

// By the first line and the first cells alone: bounds down, zones across.
bool GridReader::CanBeUpright(const Csv& csv) const {
  const bool ends_in_least = takes_least && csv.cell(csv.rows() - 1, 0).text == "least";
  const std::size_t rows = csv.rows() - (ends_in_least ? 1 : 0);
  for (std::size_t line = 1; line < rows; ++line) {
    if (!IsBound(csv.cell(line, 0).text)) return false;
  }
  for (std::size_t column = 1; column < csv.width(0); ++column) {
    if (!IsColumn(csv.cell(0, column).text)) return false;
  }
  return rows > 1 && csv.width(0) > 1;
}

// Zones down, bounds across.
bool GridReader::CanBeTurned(const Csv& csv) const {
  const bool ends_in_least = takes_least && csv.cell(0, csv.width(0) - 1).text == "least";
  const std::size_t columns = csv.width(0) - (ends_in_least ? 1 : 0);
  for (std::size_t column = 1; column < columns; ++column) {
    if (!IsBound(csv.cell(0, column).text)) return false;
  }
  for (std::size_t line = 1; line < csv.rows(); ++line) {
    if (!IsColumn(csv.cell(line, 0).text)) return false;
  }
  return columns > 1;
}

bool GridReader::IsBound(std::string_view text) const { return ParseMeasure(by[0].measure, text, by[0].unit).ok(); }

// Whether a text names a zone of the document, or several.
bool GridReader::IsColumn(std::string_view name) const {
  if (name == "*" || scope_.names->zones.Find(name) != kNoZone) return true;
  bool all = true;
  EachZoneOf(name, [&](std::string_view zone) { all = all && scope_.names->zones.Find(zone) != kNoZone; });
  return all;
}

bool GridReader::ReadUpright(const Csv& csv) {
  std::vector<GridCell> header;
  TakeLine(csv, 0, header);
  if (!ReadHeader(header)) return false;
  if (!CheckHeight(csv.rows() - 1, header[0])) return false;
  header.erase(header.begin(), header.begin() + static_cast<std::ptrdiff_t>(by.size()));
  if (!CheckWidth(header.size(), header.back())) return false;
  const bool good = MapColumns(header);
  const bool least_alone = takes_least && csv.rows() == 2 && csv.cell(1, 0).text == "least";
  if (csv.rows() == 1 || least_alone) {
    Error(kEmptyList, {csv.cell(0, 0).text, csv.cell(0, 0).offset, Value(), true},
          "found a header alone, expected rows of prices after it");
    return false;
  }
  return ReadCsvRows(csv, csv.width(0)) && good;
}

// Zones down and bounds across: row by row of the table all the same.
bool GridReader::ReadTurned(const Csv& csv) {
  std::vector<GridCell> header;
  TakeLine(csv, 0, header);
  const bool ends_in_least = takes_least && header.back().text == "least";
  const std::size_t rows = header.size() - 1 - (ends_in_least ? 1 : 0);
  if (rows == 0 || csv.rows() == 1) {
    Error(rows == 0 ? kBadHeader : kEmptyList, header[0],
          rows == 0 ? "found the word \"zone\" alone, expected bounds after it"
                    : "found a header alone, expected a line of prices for each zone after it");
    return false;
  }
  if (!CheckHeight(rows, header[0]) || !CheckWidth(csv.rows() - 1, header[0])) return false;
  if (!HasWidths(csv, header.size())) return false;
  std::vector<GridCell> zones;
  for (std::size_t line = 1; line < csv.rows(); ++line) zones.push_back(CellOf(csv, line, 0));
  bool good = MapColumns(zones);
  std::vector<GridCell> cells;
  for (std::size_t at = 1; at < header.size() && !file_->full(); ++at) {
    cells.clear();
    for (std::size_t line = 0; line < csv.rows(); ++line) cells.push_back(CellOf(csv, line, at));
    if (at > rows) {
      least.assign(cells.begin() + 1, cells.end());
    } else {
      good = ReadRow(cells) && good;
    }
  }
  return good;
}

// Whether a header begins as it should. Published lists head a single column of bounds in many ways ("lb", "weight not
// over"); a number there is a lost header. Several must say which of them are bounds.
bool GridReader::ReadHeader(const std::vector<GridCell>& header) {
  if (header.size() < by.size() + 1) {
    Error(kBadHeader, header[0],
          by.size() == 1
              ? std::string("found a header of one cell, expected the bound and at least one zone")
              : "found a header of " + std::to_string(header.size()) + (header.size() == 1 ? " cell" : " cells") +
                    ", expected " + std::to_string(by.size()) + " bounds and at least one zone");
    return false;
  }
  if (by.size() > 1) {
    for (std::size_t axis = 0; axis < by.size(); ++axis) {
      if (header[axis].text == "bound") continue;
      Error(kBadHeader, header[axis],
            "found " + Quoted(header[axis].text) + ", expected a header that begins with \"bound\" " +
                std::to_string(by.size()) + " times, once for each measure");
      return false;
    }
    return true;
  }
  const GridCell& corner = header[0];
  if (!corner.text.empty() && (internal::IsDigit(corner.text.front()) || corner.text.front() == '.')) {
    Error(kBadHeader, corner,
          "found " + Quoted(corner.text) + ", expected a header: a word for the bound, then the zones");
    return false;
  }
  if (IsUnitOf(by[0].measure, corner.text) && corner.text != by[0].unit) {
    Error(kBadUnit, corner,
          "found " + Quoted(corner.text) + ", expected the unit of the table, " +
              (by[0].unit.empty() ? "which has none" : Quoted(by[0].unit)));
    return false;
  }
  return true;
}

void GridReader::TakeLine(const Csv& csv, std::size_t line, std::vector<GridCell>& cells) {
  cells.clear();
  for (std::size_t column = 0; column < csv.width(line); ++column) cells.push_back(CellOf(csv, line, column));
}

// False, and an error for each other width, where a line is not as wide as the header.
bool GridReader::HasWidths(const Csv& csv, std::size_t width) {
  std::map<std::size_t, std::vector<std::size_t>> others;  // by width: the first line of it, and how many
  for (std::size_t line = 1; line < csv.rows(); ++line) {
    if (csv.width(line) == width) continue;
    std::vector<std::size_t>& of_width =
        others.try_emplace(csv.width(line), std::vector{line, std::size_t{0}}).first->second;
    ++of_width[1];
  }
  for (const auto& [wrong, lines] : others) {
    std::string found = "found a row of " + std::to_string(wrong) + " cells";
    if (lines[1] > 1) found += " and " + Rows(lines[1] - 1) + " more of that length";
    Error(kWrongRowLength, CellOf(csv, lines[0], 0),
          found + ", expected " + std::to_string(width) + " as in the header");
  }
  return others.empty();
}

bool GridReader::ReadCsvRows(const Csv& csv, std::size_t width) {
  bool good = HasWidths(csv, width);
  std::vector<GridCell> cells;
  const std::size_t rows = csv.rows() - 1;
  bounds.reserve(rows * by.size());
  prices.cells.reserve(rows * (width - by.size()));
  places_.reserve(prices.cells.capacity());
  for (std::size_t row = 1; row < csv.rows(); ++row) {
    if (file_->full()) return false;
    if (csv.width(row) != width) continue;
    TakeLine(csv, row, cells);
    if (takes_least && row + 1 == csv.rows() && cells[0].text == "least") {
      least.assign(cells.begin() + 1, cells.end());
      continue;
    }
    good = ReadRow(cells) && good;
  }
  return good;
}

void GridReader::BadCell(const GridCell& cell, Code code, std::string_view noun, std::string expected) {
  if (cell.value) return Error(code, cell, "found " + GridText(cell) + ", expected " + expected);
  if (IsDashes(cell.text) && !cell.text.empty()) {
    cell_errors_.Add({code, noun, " of dashes"}, cell.offset, cell.text, "an empty cell" + std::string(kRunGrid));
    return;
  }
  for (const PrintedForm& form : kPrintedForms) {
    if (cell.text.find(form.mark) == std::string_view::npos) continue;
    cell_errors_.Add({code, noun, " with " + Quoted(form.mark)}, cell.offset, cell.text,
                     std::string(form.expected) + std::string(kRunGrid));
    return;
  }
  cell_errors_.Add({code, noun, " that cannot be read", kRunGrid}, cell.offset, cell.text, std::move(expected));
}

}  // namespace tarewise::inline TW_VERSIONED::load
