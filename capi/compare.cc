#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "handles.h"
#include "ranking_handle.h"
#include "tarewise/compare/comparison.h"
#include "tarewise/compare/summary.h"
#include "tarewise/compare/tariffs.h"
#include "tarewise/documents/comparison_json.h"

struct tw_comparison {
  static constexpr tarewise::capi::Tag kTag = tarewise::capi::Tag::kComparison;
  // A cell, and whose it is.
  struct Cell {
    const tarewise::TariffComparison* tariff;
    const tarewise::ServiceComparison* service;  // Nothing: of a charge.
    const tarewise::ChargeComparison* charge;    // Nothing: of a base price.
    const tarewise::PriceComparison* price;
    const tarewise::CellChange* cell;
  };
  tarewise::capi::Tag tag = kTag;
  tarewise::Comparison comparison;
  std::vector<Cell> cells;  // They point into it.
  std::string summary;
  std::string json;
};

namespace tarewise::capi {
namespace {

static_assert(static_cast<int>(ChangeKind::kAdded) == TW_ADDED);
static_assert(static_cast<int>(ChangeKind::kRemoved) == TW_REMOVED);
static_assert(static_cast<int>(ChangeKind::kChanged) == TW_CHANGED);

void GatherCells(tw_comparison& out) {
  for (const TariffComparison& tariff : out.comparison.carriers) {
    for (const ServiceComparison& service : tariff.services) {
      for (const PriceComparison& price : service.prices) {
        for (const CellChange& cell : price.cells) out.cells.push_back({&tariff, &service, nullptr, &price, &cell});
      }
    }
    for (const ChargeComparison& charge : tariff.charges) {
      for (const CellChange& cell : charge.price.cells) {
        out.cells.push_back({&tariff, nullptr, &charge, &charge.price, &cell});
      }
    }
  }
}

}  // namespace
}  // namespace tarewise::capi

using namespace tarewise::capi;  // NOLINT(google-build-using-namespace): definitions of the C interface only.

tw_status tw_compare(tw_comparison** out, const tw_ratebook* before, int32_t date_before, const tw_ratebook* after,
                     int32_t date_after, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    CheckHandle(before, "tw_ratebook");
    CheckHandle(after, "tw_ratebook");
    const tarewise::Date first = DateOf(date_before, "/date_before");
    const tarewise::Date second = DateOf(date_after, "/date_after");
    auto made = std::make_unique<tw_comparison>();
    made->comparison = tarewise::Compare(*before->book, first, *after->book, second);
    made->summary = tarewise::Summary(made->comparison);
    GatherCells(*made);
    *out = made.release();
  });
}

void tw_comparison_free(tw_comparison* comparison) {
  if (comparison == nullptr || comparison->tag != tw_comparison::kTag) return;
  comparison->tag = Tag{};
  delete comparison;
}

const char* tw_comparison_summary(const tw_comparison* comparison) {
  return comparison == nullptr || comparison->tag != tw_comparison::kTag ? "" : comparison->summary.c_str();
}

tw_status tw_comparison_json(const char** out, size_t* length_out, tw_comparison* comparison, int32_t indent,
                             tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    CheckHandle(comparison, "tw_comparison");
    CheckIndent(indent);
    comparison->json = tarewise::ToJson(comparison->comparison, indent);
    *out = comparison->json.c_str();
    if (length_out != nullptr) *length_out = comparison->json.size();
  });
}

size_t tw_comparison_cell_count(const tw_comparison* comparison) {
  return comparison == nullptr || comparison->tag != tw_comparison::kTag ? 0 : comparison->cells.size();
}

tw_status tw_comparison_cell(tw_cell_change* out, const tw_comparison* comparison, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckHandle(comparison, "tw_comparison");
    CheckIndex(index, comparison->cells.size(), "index");
    const tw_comparison::Cell& from = comparison->cells[index];
    tw_cell_change cell{};
    cell.kind = static_cast<std::int32_t>(from.cell->kind());
    cell.carrier = from.tariff->carrier.c_str();
    cell.service = from.service == nullptr ? "" : from.service->code.c_str();
    cell.charge = from.charge == nullptr ? "" : from.charge->code.c_str();
    cell.when = from.price->when.c_str();
    cell.row = from.cell->row.c_str();
    cell.column = from.cell->column.c_str();
    cell.before_micros = from.cell->before ? from.cell->before->micros() : -1;
    cell.after_micros = from.cell->after ? from.cell->after->micros() : -1;
    const std::optional<std::int64_t> percent = from.cell->percent();
    cell.has_percent = percent ? 1 : 0;
    cell.percent_ten_thousandths = percent.value_or(0);
    WriteStruct(out, cell);
  });
}
