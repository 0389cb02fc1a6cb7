#ifndef TAREWISE_CAPI_REPRICE_HANDLE_H_
#define TAREWISE_CAPI_REPRICE_HANDLE_H_

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "handles.h"
#include "tarewise/batch/reprice.h"

struct tw_repricer {
  static constexpr tarewise::capi::Tag kTag = tarewise::capi::Tag::kRepricer;
  tarewise::capi::Tag tag = kTag;
  mutable std::atomic<std::uint32_t> owners{1};
  std::optional<tarewise::Repricer> repricer;
  std::vector<std::string> packaging;
  std::string currency;
};

namespace tarewise::capi {

// A catalogue as the caller gives it. The classes are its own, so it stays where it is.
struct Catalogue {
  explicit Catalogue(const tw_goods* goods);
  Catalogue(const Catalogue&) = delete;
  Catalogue& operator=(const Catalogue&) = delete;

  std::vector<Contents> classes;
  GoodsColumns columns;
};
RepriceResults ResultsOf(const tw_results& from);
// A column of a quantity, whose unit is 1 or more.
Column MeasuredColumn(const tw_column& from, std::size_t rows, const char* field);
// A column of numbers without a unit.
Column CountedColumn(const tw_column& from, std::size_t rows, const char* field);
// A catalogue has at most 1000 million rows, and at most 256 threads; 0 threads are the caller's own.
void CheckRows(std::size_t rows);
unsigned ThreadsOf(std::uint32_t threads);
// `options` may be NULL.
RepriceOptions RepriceOptionsOf(const tw_reprice_options* options, std::size_t rows);
// Leaves where a run did not end well.
void CheckRun(const absl::Status& status);
// A repricer as a handle with one owner.
tw_repricer* MakeRepricer(Repricer repricer);

}  // namespace tarewise::capi

#endif  // TAREWISE_CAPI_REPRICE_HANDLE_H_
