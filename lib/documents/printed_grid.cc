#include "tarewise/documents/printed_grid.h"

#include <algorithm>
#include <optional>
#include <string_view>
#include <unordered_set>
#include <utility>

#include "printed_grid_reading.h"
#include "printed_grid_words.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED {
namespace {

using namespace load;           // NOLINT: the steps of this file's one function
using namespace load::printed;  // NOLINT

std::uint32_t LineOf(const CellText& text, std::uint32_t record) { return text.records()[record].line; }

std::string TableText(const CellText& text, const FoundTable& table) {
  std::string out = LinesText(LineOf(text, table.first()), LineOf(text, table.rows.back()));
  if (table.first() == 0) return out;
  const Record& above = text.records()[table.first() - 1];
  const std::string_view over = TrimAll(text.LineText(above));
  if (above.kind == Record::Kind::kOther && over.size() < 200) out += ", under " + Quoted(over);
  return out;
}

// The table that is meant. Nothing after an error.
const FoundTable* Choose(const CellText& text, const FoundTables& found, const PrintedGridOptions& options,
                         Findings& findings) {
  const std::vector<FoundTable>& tables = found.tables;
  const auto error = [&](Code code, std::size_t offset, std::string message) {
    findings.Error(code, offset, Value(), std::move(message));
    return nullptr;
  };
  if (tables.empty() && !found.headless.empty()) {
    const FoundTable& first = found.headless.front();
    const Record& row = text.records()[first.rows.front()];
    return error(kNoGridHeader, row.begin,
                 "found " + std::to_string(first.rows.size()) +
                     " rows of prices under no header, expected one over them that names " +
                     std::to_string(first.columns) + (first.columns == 1 ? " column" : " columns") +
                     ", as \"Weight (lb)\" and then the zones, with tabs or semicolons between names of several words");
  }
  if (tables.empty()) {
    return error(
        kNoGrid, 0,
        "found no price grid, expected a header that names zones, and under it rows of a weight with its prices, "
        "each on one line");
  }
  if (options.table > tables.size()) {
    return error(kSeveralGrids, 0,
                 "found " + std::to_string(tables.size()) + (tables.size() == 1 ? " table" : " tables") +
                     ", expected at least " + std::to_string(options.table) + " (--table)");
  }
  if (options.table > 0) return &tables[options.table - 1];
  if (tables.size() == 1) return &tables.front();
  std::string message = "found " + std::to_string(tables.size()) + " tables";
  constexpr std::size_t kMostTold = 10;
  for (std::size_t i = 0; i < tables.size() && i < kMostTold; ++i) {
    message += (i == 0 ? ": " : "; ") + std::to_string(i + 1) + ", " + TableText(text, tables[i]);
  }
  for (std::size_t i = 0; i < found.headless.size() && i < kMostTold; ++i) {
    message += "; under no header, " + TableText(text, found.headless[i]);
  }
  return error(kSeveralGrids, text.records()[tables[1].first()].begin,
               message + "; expected one, or --table to say which");
}

void TellPlace(const CellText& text, const FoundTables& found, const FoundTable& table,
               const PrintedGridOptions& options, Notes& notes) {
  const std::uint32_t first = LineOf(text, table.first());
  const std::uint32_t last = LineOf(text, table.heading.records.back());
  const std::size_t names = table.heading.records.size();
  notes.Told(first, last,
             (names > 1 ? "joined " + std::to_string(names) + " header rows, " : std::string("found the header, ")) +
                 LinesText(first, last) + ", " + std::string(NameOf(text.separator())) + " between the columns");
  if (const std::size_t blank = text.blank_columns(); blank > 0) {
    notes.Told(
        first, last,
        "took out " + std::to_string(blank) + (blank == 1 ? " column" : " columns") + " with nothing in any line");
  }
  if (options.table > 0) {
    notes.Told(first, last,
               "took table " + std::to_string(options.table) + " of " + std::to_string(found.tables.size()));
  }
  if (table.first() > 0) {
    const std::uint32_t top = LineOf(text, 0);
    const std::uint32_t over = LineOf(text, table.first() - 1);
    notes.Told(top, over, "passed over what stands above, " + LinesText(top, over));
  }
  std::uint32_t end = table.rows.back();
  for (const std::uint32_t r : table.left_out) end = std::max(end, r);
  if (end + 1 < text.records().size()) {
    const std::uint32_t under = LineOf(text, end + 1);
    const std::uint32_t bottom = text.records().back().line;
    notes.Told(under, bottom, "passed over what stands below, " + LinesText(under, bottom));
  }
  for (const std::uint32_t r : table.repeats)
    notes.Did("passed over what says the header again,", "line", LineOf(text, r));
  for (const std::uint32_t r : table.passed) notes.Did("passed over, between rows,", "line", LineOf(text, r));
  for (const std::uint32_t r : table.left_out) {
    if (text.records()[r].kind == Record::Kind::kOther) {
      notes.Doubt(kPricesLeftOut, LineOf(text, r),
                  "left out " + Quoted(TrimAll(text.LineText(text.records()[r]))) +
                      ": a row that has lost its prices, or the number of a page");
      continue;
    }
    notes.Doubt(
        kPricesLeftOut, LineOf(text, r),
        "left out " + Quoted(TrimAll(text.LineText(text.records()[r]))) +
            ": its prices stand behind words that are no bound (what is past the last row is a table's \"beyond\")");
  }
  if (options.table != 0) return;
  for (const FoundTable& other : found.headless) {
    notes.Doubt(kPricesLeftOut, LineOf(text, other.rows.front()),
                "left out " + std::to_string(other.rows.size()) + " rows of prices that no header names, " +
                    LinesText(LineOf(text, other.rows.front()), LineOf(text, other.rows.back())));
  }
}

// A sheet may have the words of its corner in two rows.
void TellTitle(const Reading& reading, std::uint32_t title) {
  const std::string words = Quoted(TrimAll(reading.text.Label(reading.text.records()[title], 1)));
  reading.notes.Doubt(kTitleOfBounds, LineOf(reading.text, title),
                      "found " + words + " over the corner " + Quoted(reading.table.heading.corner) +
                          ", and read the figures across as weights; where weights stand down, expected " + words +
                          " in the corner");
}

// Where no cells were seen, other words might have been names.
void TellNames(const FoundTable& table, std::uint32_t header, Notes& notes) {
  constexpr std::size_t kMostTold = 12;
  std::string out = "took as names of columns the words ";
  const std::vector<std::string>& names = table.heading.names;
  for (std::size_t i = 0; i < names.size() && i < kMostTold; ++i) out += (i == 0 ? "" : ", ") + Quoted(names[i]);
  if (names.size() > kMostTold) out += " and " + std::to_string(names.size() - kMostTold) + " more";
  notes.Told(header, header, std::move(out));
}

// Whether none of the zones of a name, "1 & 2", is `seen`; adds them. `twice`: the first that is.
bool AreNew(std::string_view name, std::unordered_set<std::string_view>& seen, std::string_view& twice) {
  constexpr std::string_view kAnd = " & ";
  while (true) {
    const std::size_t end = std::min(name.find(kAnd), name.size());
    if (!seen.insert(name.substr(0, end)).second) {
      twice = name.substr(0, end);
      return false;
    }
    if (end == name.size()) return true;
    name.remove_prefix(end + kAnd.size());
  }
}

bool NameColumns(const Reading& reading, bool zones_down, ReadGrid& grid) {
  const FoundTable& table = reading.table;
  const std::uint32_t header = LineOf(reading.text, table.heading.records.back());
  if (zones_down) {
    for (const std::uint32_t r : table.rows) {
      grid.columns.push_back(reading.text.Label(reading.text.records()[r], table.label));
      grid.column_lines.push_back(LineOf(reading.text, r));
    }
    reading.notes.Told(header, header, "turned the grid round: zones stand down and bounds across");
    if (table.heading.title) TellTitle(reading, *table.heading.title);
  } else {
    grid.columns = table.heading.names;
  }
  if (table.heading.of_words) TellNames(table, header, reading.notes);
  const std::vector<std::string> printed = grid.columns;
  const NamesDone done = TidyNames(grid.columns);
  Notes& notes = reading.notes;
  notes.Did("removed the word before the zone (" + (done.words > 0 ? printed.back() : std::string()) + ") from", "name",
            header, done.words);
  notes.Did("removed a footnote mark from", "name", header, done.marks);
  notes.Did("wrote several zones with \"&\" in", "name", header, done.joined);
  notes.Did("wrote each zone of a range in", "name", header, done.ranges);
  if (done.any_zone) notes.Told(header, header, "named the one column \"*\", any zone: the header says no zone");
  std::unordered_set<std::string_view> seen;
  for (std::size_t i = 0; i < grid.columns.size(); ++i) {
    std::string_view twice;
    if (!grid.columns[i].empty() && AreNew(grid.columns[i], seen, twice)) continue;
    const std::uint32_t r = zones_down ? table.rows[i] : table.heading.records.back();
    reading.Error(kGridColumns, reading.text.records()[r], {},
                  grid.columns[i].empty() ? "found a row without a zone, expected its name"
                                          : "found the zone " + Quoted(twice) + " twice, expected it once");
    return false;
  }
  return true;
}

std::string GridAsCsv(const ReadGrid& grid) {
  std::string out = "bound";
  for (const std::string& column : grid.columns) out += "," + CsvField(column);
  out += '\n';
  for (std::size_t row = 0; row < grid.bounds.size(); ++row) {
    const GridBound& bound = grid.bounds[row];
    out += DecimalText(bound.micros, 0);
    if (bound.unit != grid.unit) out += " " + bound.unit;
    for (std::size_t i = 0; i < grid.columns.size(); ++i) {
      out += ',';
      const GridPrice& price = grid.price(row, i);
      if (price.micros != GridPrice::kNone) out += DecimalText(price.micros, price.decimals);
    }
    out += '\n';
  }
  return out;
}

void TellUnit(const ReadGrid& grid, Notes& notes) {
  const std::uint32_t line = grid.bounds.front().line;
  if (grid.unit.empty()) {
    notes.Doubt(kNoUnitKnown, line,
                "found no unit of the bounds, expected one in the header, with each bound, or --unit");
    return;
  }
  std::string message = "the unit of the table is " + Quoted(grid.unit);
  const auto other = std::count_if(grid.bounds.begin(), grid.bounds.end(),
                                   [&grid](const GridBound& bound) { return bound.unit != grid.unit; });
  if (other > 0)
    message += "; " + std::to_string(other) + (other == 1 ? " bound has its" : " bounds have their") + " own";
  notes.Told(line, grid.bounds.back().line, std::move(message));
}

bool ReadTable(Reading& reading, ReadGrid& grid) {
  bool zones_down = false;
  if (!FindDirection(reading, zones_down) || !FindDecimalSign(reading)) return false;
  const bool bounds = zones_down ? ReadBoundsInHeading(reading, grid) : ReadBoundsDown(reading, grid);
  if (!NameColumns(reading, zones_down, grid) || !bounds) return false;
  return ReadPrices(reading, zones_down, grid) && FinishBounds(reading, grid);
}

}  // namespace

Loaded<PrintedGrid> ReadPrintedGrid(const SourceText& source, const PrintedGridOptions& options) {
  Loaded<PrintedGrid> out;
  Findings findings(source.name, source.text);
  const auto refused = [&] {
    out.diagnostics = findings.Take();
    return std::move(out);
  };
  if (!options.unit.empty() && KindOfUnit(options.unit) == UnitKind::kNone) {
    findings.Error(kGridUnit, 0, Value(),
                   "found the unit " + Quoted(options.unit) + ", expected one of lb, oz, kg, g, mg, in, ft, mm, cm, m");
    return refused();
  }
  CellText text;
  if (!text.Read(source.text, findings)) return refused();
  const FoundTables found = FindTables(text);
  const FoundTable* table = Choose(text, found, options, findings);
  if (table == nullptr) return refused();
  Notes notes;
  TellPlace(text, found, *table, options, notes);
  Reading reading{text, *table, options, findings, notes};
  ReadGrid grid;
  if (!ReadTable(reading, grid) || grid.bounds.empty()) {
    if (!findings.has_errors()) findings.Error(kNoGrid, 0, Value(), "found no row with a bound, expected one");
    return refused();
  }
  TellUnit(grid, notes);
  FindDoubts(grid, notes);
  PrintedGrid read;
  read.csv = GridAsCsv(grid);
  read.unit = grid.unit;
  read.columns = grid.columns;
  read.rows = grid.bounds.size();
  read.notes = notes.Take();
  out.value = std::move(read);
  return out;
}

}  // namespace tarewise::inline TW_VERSIONED
