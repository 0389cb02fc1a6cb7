#include "grid_files.h"

#include <iterator>
#include <optional>

namespace tarewise::inline TW_VERSIONED::load {

GridFiles::File* GridFiles::Open(Fields& fields, Value value, CsvOf of) {
  const std::optional<std::string_view> name = fields.Text(value, "the name of a CSV file beside the document");
  if (!name) return nullptr;
  if (name->empty() || name->front() == '.' || name->find_first_of("/\\") != std::string_view::npos ||
      name->find('\0') != std::string_view::npos) {
    fields.Expected(kBadFileName, value, "the name of a file beside the document, without a folder");
    return nullptr;
  }
  File* const file = Get(*name, of);
  if (file == nullptr) {
    fields.Expected(kNoFile, value, "a file that can be read, beside the document");
    return nullptr;
  }
  return file->good && file->csv.HasCommas(*file->findings, of) ? file : nullptr;
}

GridFiles::File* GridFiles::Get(std::string_view name, CsvOf of) {
  const auto at = files_.find(name);
  if (at != files_.end()) return at->second.get();
  std::optional<std::string> text = beside_ ? beside_(name) : std::nullopt;
  std::unique_ptr<File> file;
  if (text) {
    file = std::make_unique<File>();
    file->text = *std::move(text);
    file->findings = std::make_unique<Findings>(folder_ + std::string(name), file->text);
    file->good = file->csv.Parse(file->text, *file->findings, of);
  }
  return files_.emplace(std::string(name), std::move(file)).first->second.get();
}

bool GridFiles::Spend(Fields& fields, Value at, const File& file) {
  return SpendOf(fields, at, file, "files of zones and areas", 100'000'000, spent_);
}

bool GridFiles::SpendOnGrids(Fields& fields, Value at, const File& file) {
  return SpendOf(fields, at, file, "files of grids", 16'000'000, spent_on_grids_);
}

bool GridFiles::SpendOnSeries(Fields& fields, Value at, const File& file) {
  return SpendOf(fields, at, file, "files of series and steps", 4'000'000, spent_on_series_);
}

bool GridFiles::SpendOf(Fields& fields, Value at, const File& file, std::string_view what, std::size_t most,
                        std::size_t& spent) {
  const std::size_t before = spent;
  spent += file.csv.cells() + 1;
  if (spent <= most) return true;
  if (before <= most) {
    fields.Error(kTooMany, at,
                 "found " + std::string(what) + " with more than " + std::to_string(most) +
                     " cells, each file counted as often as it is named, expected fewer");
  }
  return false;
}

std::vector<Diagnostic> GridFiles::Take() {
  std::vector<Diagnostic> out;
  for (auto& [name, file] : files_) {
    if (file == nullptr) continue;
    std::vector<Diagnostic> findings = file->findings->Take();
    out.insert(out.end(), std::make_move_iterator(findings.begin()), std::make_move_iterator(findings.end()));
  }
  return out;
}

}  // namespace tarewise::inline TW_VERSIONED::load
