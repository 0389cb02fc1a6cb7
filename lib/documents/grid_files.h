#ifndef TAREWISE_LIB_DOCUMENTS_GRID_FILES_H_
#define TAREWISE_LIB_DOCUMENTS_GRID_FILES_H_

#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "csv.h"
#include "fields.h"
#include "findings.h"
#include "tarewise/documents/diagnostic.h"
#include "tarewise/documents/load.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// The CSV files beside a tariff, of grids, zones, areas and series: each is read and split into cells once, however
/// many name it, with what was found wrong in it.
class GridFiles {
 public:
  /// `folder` stands before a file's name in messages.
  GridFiles(const FileReader& beside, std::string folder) : beside_(beside), folder_(std::move(folder)) {}

  struct File {
    std::string text;
    Csv csv;
    std::unique_ptr<Findings> findings;
    bool good = false;
  };
  /// The file that a document's `value` names, sound in its form; none, and an error there or in the file, where it is
  /// not.
  File* Open(Fields& fields, Value value, CsvOf of);

  /// Counts the cells of a file as looked at once more. False, and one error, past what a document may have looked at:
  /// without a limit a small document that names a large file often would keep its reader busy for hours.
  bool Spend(Fields& fields, Value at, const File& file);
  /// The same of grids, whose cells stay in memory.
  bool SpendOnGrids(Fields& fields, Value at, const File& file);
  /// The same of series and steps, whose cells stay in memory with their places.
  bool SpendOnSeries(Fields& fields, Value at, const File& file);

  /// Findings of all files, by name.
  std::vector<Diagnostic> Take();

 private:
  static bool SpendOf(Fields& fields, Value at, const File& file, std::string_view what, std::size_t most,
                      std::size_t& spent);
  File* Get(std::string_view name, CsvOf of);

  const FileReader& beside_;
  std::string folder_;
  std::size_t spent_ = 0;
  std::size_t spent_on_grids_ = 0;
  std::size_t spent_on_series_ = 0;
  std::map<std::string, std::unique_ptr<File>, std::less<>> files_;
};

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_GRID_FILES_H_
