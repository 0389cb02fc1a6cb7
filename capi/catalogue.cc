// Catalogues when rates change: two sides of one, and only the rows that a change can touch.
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "ranking_handle.h"
#include "reprice_handle.h"
#include "tarewise/batch/index.h"
#include "tarewise/compare/catalogues.h"
#include "tarewise/compare/summary.h"

struct tw_index {
  static constexpr tarewise::capi::Tag kTag = tarewise::capi::Tag::kIndex;
  explicit tw_index(tarewise::RepriceIndex made) : index(std::move(made)) {}
  tarewise::capi::Tag tag = kTag;
  tarewise::RepriceIndex index;
  std::vector<std::uint32_t> touched;
};

struct tw_catalogue {
  static constexpr tarewise::capi::Tag kTag = tarewise::capi::Tag::kCatalogue;
  // Views of the comparer's names need not end with NUL.
  struct Names {
    std::string carrier;
    std::string service;
    std::string packaging;
  };
  struct Loser {
    Names before;
    Names after;
  };
  explicit tw_catalogue(tarewise::CatalogueComparer made) : comparer(std::move(made)) {}
  tarewise::capi::Tag tag = kTag;
  tarewise::CatalogueComparer comparer;
  tarewise::CatalogueChange change;
  std::vector<Loser> losers;
  std::string currency;
  std::string summary;
};

namespace tarewise::capi {
namespace {

constexpr std::size_t kMostLosers = 10'000;

tw_catalogue::Names NamesOf(const LaneOffer& offer) {
  return {std::string(offer.carrier), std::string(offer.service), std::string(offer.packaging)};
}

}  // namespace
}  // namespace tarewise::capi

using namespace tarewise::capi;  // NOLINT(google-build-using-namespace): definitions of the C interface only.

tw_status tw_index_create(tw_index** out, const tw_repricer* repricer, const tw_goods* goods, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    CheckHandle(repricer, "tw_repricer");
    const Catalogue asked(goods);
    *out = new tw_index(Take(tarewise::RepriceIndex::Create(*repricer->repricer, asked.columns)));
  });
}

void tw_index_free(tw_index* index) {
  if (index == nullptr || index->tag != tw_index::kTag) return;
  index->tag = Tag{};
  delete index;
}

tw_status tw_index_update(int32_t* everything_out, tw_index* index, const tw_repricer* after, const tw_goods* goods,
                          const tw_results* results, tw_error* error) {
  return Guard(error, [&] {
    CheckHandle(index, "tw_index");
    CheckHandle(after, "tw_repricer");
    const tw_results into = ReadStruct(results, "results");
    const Catalogue asked(goods);
    index->touched.clear();
    tarewise::RepriceIndex::Touched touched =
        Take(index->index.Update(*after->repricer, asked.columns, ResultsOf(into)));
    if (everything_out != nullptr) *everything_out = touched.everything ? 1 : 0;
    index->touched = std::move(touched.rows);
  });
}

const uint32_t* tw_index_touched(const tw_index* index, size_t* count_out) {
  const bool good = index != nullptr && index->tag == tw_index::kTag;
  if (count_out != nullptr) *count_out = good ? index->touched.size() : 0;
  return good && !index->touched.empty() ? index->touched.data() : nullptr;
}

tw_status tw_catalogue_compare(tw_catalogue** out, const tw_repricer* before, const tw_repricer* after,
                               const tw_goods* goods, const tw_column* monthly, size_t most_losers,
                               const tw_reprice_options* options, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    CheckHandle(before, "tw_repricer");
    CheckHandle(after, "tw_repricer");
    if (most_losers > kMostLosers) {
      Fail(TW_E_COUNT, "found " + std::to_string(most_losers) + ", expected at most 10000", "/most_losers");
    }
    const Catalogue asked(goods);
    tarewise::Column volumes;
    if (monthly != nullptr) volumes = MeasuredColumn(*monthly, asked.columns.rows, "/monthly");
    const tarewise::RepriceOptions how = RepriceOptionsOf(options, asked.columns.rows);
    auto made = std::make_unique<tw_catalogue>(
        Take(tarewise::CatalogueComparer::Create(before->repricer->setup(), after->repricer->setup(), most_losers)));
    CheckRun(made->comparer.Add(asked.columns, volumes, {}, how));
    made->change = made->comparer.Result();
    for (const tarewise::RowLoss& loss : made->change.losers) {
      made->losers.push_back({NamesOf(loss.lane_before), NamesOf(loss.lane_after)});
    }
    made->currency = std::string(made->change.currency.code());
    made->summary = tarewise::Summary(made->change, before->repricer->lanes());
    *out = made.release();
  });
}

void tw_catalogue_free(tw_catalogue* catalogue) {
  if (catalogue == nullptr || catalogue->tag != tw_catalogue::kTag) return;
  catalogue->tag = Tag{};
  delete catalogue;
}

tw_status tw_catalogue_get_facts(tw_catalogue_facts* out, const tw_catalogue* catalogue, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckHandle(catalogue, "tw_catalogue");
    const tarewise::CatalogueChange& change = catalogue->change;
    tw_catalogue_facts facts{};
    facts.loser_count = static_cast<std::uint32_t>(change.losers.size());
    facts.rows = change.rows;
    facts.comparable = change.comparable;
    facts.changed = change.changed;
    facts.total_changed = change.total_changed;
    facts.service_changed = change.service_changed;
    facts.packaging_changed = change.packaging_changed;
    facts.offered_changed = change.offered_changed;
    facts.dearer = change.dearer;
    facts.cheaper = change.cheaper;
    facts.lost = change.lost;
    facts.gained = change.gained;
    facts.month_before_micros = change.month_before.micros();
    facts.month_after_micros = change.month_after.micros();
    facts.month_parcels_millionths = change.month_parcels;
    facts.currency = catalogue->currency.c_str();
    WriteStruct(out, facts);
  });
}

tw_status tw_catalogue_loser(tw_row_loss* out, const tw_catalogue* catalogue, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckHandle(catalogue, "tw_catalogue");
    CheckIndex(index, catalogue->change.losers.size(), "index");
    const tarewise::RowLoss& from = catalogue->change.losers[index];
    const tw_catalogue::Loser& names = catalogue->losers[index];
    tw_row_loss loss{};
    loss.lane = static_cast<std::int32_t>(from.lane);
    loss.row = from.row;
    loss.before_micros = from.before.micros();
    loss.after_micros = from.after.micros();
    loss.month_micros = from.month.micros();
    loss.lane_before_micros = from.lane_before.total;
    loss.lane_after_micros = from.lane_after.total;
    loss.carrier_before = names.before.carrier.c_str();
    loss.service_before = names.before.service.c_str();
    loss.packaging_before = names.before.packaging.c_str();
    loss.carrier_after = names.after.carrier.c_str();
    loss.service_after = names.after.service.c_str();
    loss.packaging_after = names.after.packaging.c_str();
    WriteStruct(out, loss);
  });
}

const char* tw_catalogue_summary(const tw_catalogue* catalogue) {
  return catalogue == nullptr || catalogue->tag != tw_catalogue::kTag ? "" : catalogue->summary.c_str();
}
