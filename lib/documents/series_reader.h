#ifndef TAREWISE_LIB_DOCUMENTS_SERIES_READER_H_
#define TAREWISE_LIB_DOCUMENTS_SERIES_READER_H_

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "cell_errors.h"
#include "fields.h"
#include "grid_files.h"
#include "tarewise/tariff/series.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// Reads the series of a tariff document, and how prices take their values from them. What a value may be hangs on who
/// takes it, so the cells are kept until everything is read.
class SeriesReader {
 public:
  SeriesReader(Fields& fields, GridFiles& files, Tariff& tariff) : fields_(fields), files_(files), tariff_(tariff) {}

  /// The document's "series".
  void Read(Value value);

  enum class Use : std::uint8_t { kAmount, kPercent };
  /// `{"series": "fuel", "column": "road"}` in the place of an amount or a percentage: an index into `Tariff::by_date`.
  /// Nothing after an error.
  std::optional<std::uint32_t> ReadUse(Value value, Use use);

  /// Warns of gaps, jumps, a late start, and of series that nothing names.
  void Check();

 private:
  static constexpr std::string_view kValue =
      "a number such as 11.4 or \"11.4 %\", of at most 6 decimals and 1000000000";

  // A cell of a file or of the document.
  struct Cell {
    std::string_view text;
    std::size_t offset = 0;
    Value value;           // Nothing: of a file.
    bool percent = false;  // A `%` stands behind it.
  };
  // A series as it stands in its file or in the document.
  struct Source {
    Findings* file = nullptr;  // Nothing: the document's own.
    Value at;
    std::vector<Cell> from;   // By row.
    std::vector<Cell> cells;  // As `Series::values`.
    std::unordered_map<std::string_view, std::uint32_t> columns;
    std::vector<bool> used;  // By column.
    std::vector<bool> amounts_checked;
    std::vector<bool> percents_checked;
    bool named = false;
    bool sound = true;  // False where it could not be read: unknown columns are then not reported.
  };

  void ReadOne(Value value);
  bool ReadCsv(Value value, Series& series, Source& source);
  bool ReadInPlace(const Object& object, Series& series, Source& source);
  bool ReadHeader(const std::vector<Cell>& header, Series& series, Source& source, bool& until);
  bool ReadRow(const std::vector<Cell>& cells, bool until, Series& series, Source& source);
  bool ReadDate(const Source& source, const Cell& cell, Date& date);
  std::optional<std::int64_t> ReadValue(const Source& source, Cell& cell);
  bool RowFollows(const Source& source, const Cell& from, const Series& series, const Series::Row& row);
  bool CheckHeight(const Source& source, std::size_t rows, const Cell& at);

  // In series_uses.cc.
  std::optional<std::uint32_t> FindColumn(const Object& object, std::uint32_t series);
  bool ReadSteps(Value value, Use use, std::vector<ValueByDate::Step>& steps);
  bool ReadStepsCsv(const Object& object, Use use, std::vector<ValueByDate::Step>& steps);
  bool AddStep(const Source& source, Cell index, Cell value, Use use, std::vector<ValueByDate::Step>& steps);
  bool CheckCell(const Source& source, const Cell& cell, std::int64_t micros, Use use);
  bool CheckColumn(std::uint32_t series, std::uint32_t column, Use use);

  // In series_warnings.cc.
  void WarnOf(const Series& series, const Source& source);
  void WarnOfGap(const Series& series, const Source& source);
  void WarnOfLateStart(const Series& series, const Source& source);
  void WarnOfJump(const Series& series, const Source& source, std::size_t column);
  void WarnOfSmallPercents(const Series& series, const Source& source, std::size_t column);

  static Cell CellOf(Value value);
  std::string Found(const Cell& cell) const;
  void Error(const Source& source, Code code, const Cell& at, std::string message);
  // One of a kind in a file is told with the others of its kind, by `ReportCells`; one in the document by itself.
  void CellError(const Source& source, const CellErrors::Kind& kind, const Cell& at, std::string found,
                 std::string expected);
  void ReportCells(const Source& source);
  void Warning(const Source& source, Code code, const Cell& at, std::string message);

  Fields& fields_;
  GridFiles& files_;
  Tariff& tariff_;
  std::vector<Source> sources_;  // As `Tariff::series`.
  std::unordered_map<std::string_view, std::uint32_t> by_code_;
  CellErrors cell_errors_;  // Of the file that is read.
};

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_SERIES_READER_H_
