#include <memory>
#include <string>
#include <utility>

#include "handles.h"
#include "tarewise/documents/printed_grid.h"

using namespace tarewise::capi;  // NOLINT(google-build-using-namespace): definitions of the C interface only.

struct tw_grid {
  static constexpr Tag kTag = Tag::kGrid;
  Tag tag = kTag;
  tarewise::PrintedGrid grid;
};

namespace {

tarewise::PrintedGridOptions ReadOptions(const tw_grid_options* from) {
  using Decimal = tarewise::PrintedGridOptions::Decimal;
  tarewise::PrintedGridOptions out;
  if (from == nullptr) return out;
  const tw_grid_options options = ReadStruct(from, "options");
  if (options.decimal < TW_DECIMAL_AS_PRINTED || options.decimal > TW_DECIMAL_COMMA) {
    Fail(TW_E_INPUT, "found " + std::to_string(options.decimal) + ", expected a TW_DECIMAL_", "/options/decimal");
  }
  out.decimal = static_cast<Decimal>(options.decimal);
  out.table = options.table;
  out.unit = TextOf(options.unit, "/options/unit");
  return out;
}

const tw_grid* Usable(const tw_grid* grid) { return grid != nullptr && grid->tag == tw_grid::kTag ? grid : nullptr; }

}  // namespace

tw_status tw_grid_create(tw_grid** out, const tw_source* source, const tw_grid_options* options, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    const tarewise::PrintedGridOptions read_options = ReadOptions(options);
    const tarewise::SourceText text = ReadSource(ReadStruct(source, "source"), "/source");
    tarewise::Loaded<tarewise::PrintedGrid> read = tarewise::ReadPrintedGrid(text, read_options);
    if (!read.ok()) throw Findings{TW_E_TABLE, std::move(read.diagnostics)};
    auto grid = std::make_unique<tw_grid>();
    grid->grid = *std::move(read.value);
    for (tarewise::GridNote& note : grid->grid.notes) note.message = CleanText(note.message);
    *out = grid.release();
  });
}

void tw_grid_free(tw_grid* grid) {
  if (Usable(grid) == nullptr) return;
  grid->tag = Tag{};
  delete grid;
}

const char* tw_grid_csv(const tw_grid* grid, size_t* length_out) {
  const tw_grid* const usable = Usable(grid);
  if (length_out != nullptr) *length_out = usable == nullptr ? 0 : usable->grid.csv.size();
  return usable == nullptr ? "" : usable->grid.csv.c_str();
}

const char* tw_grid_unit(const tw_grid* grid) {
  const tw_grid* const usable = Usable(grid);
  return usable == nullptr ? "" : usable->grid.unit.c_str();
}

size_t tw_grid_note_count(const tw_grid* grid) {
  const tw_grid* const usable = Usable(grid);
  return usable == nullptr ? 0 : usable->grid.notes.size();
}

tw_status tw_grid_note_at(tw_grid_note* out, const tw_grid* grid, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckHandle(grid, "tw_grid");
    CheckIndex(index, grid->grid.notes.size(), "index");
    const tarewise::GridNote& from = grid->grid.notes[index];
    tw_grid_note note{};
    note.doubt = from.doubt ? 1 : 0;
    note.number = from.code;
    note.line = from.line;
    note.last_line = from.last_line;
    note.message = from.message.c_str();
    WriteStruct(out, note);
  });
}
