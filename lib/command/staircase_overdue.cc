#include "command/staircase_overdue.h"

#include <algorithm>
#include <cstdint>
#include <set>
#include <string_view>
#include <utility>

#include "absl/status/statusor.h"
#include "tarewise/parcel/parcel_facts.h"
#include "tarewise/ranking/dispatch.h"
#include "tarewise/ranking/rank.h"
#include "tarewise/ranking/request.h"
#include "tarewise/ranking/totals.h"
#include "tarewise/tariff/series.h"
#include "tarewise/tariff/tariff.h"

namespace tarewise::command {
namespace {

// The series of a tariff that are overdue on the day in any value that its prices name.
std::set<std::uint32_t> OverdueOn(const Tariff& tariff, Date date) {
  std::set<std::uint32_t> out;
  for (const ValueByDate& by : tariff.by_date) {
    if (DatedValue::On(tariff.series[by.series], by, date).overdue_since) out.insert(by.series);
  }
  return out;
}

}  // namespace

std::vector<OverdueSeries> OverdueOfSteps(const Book& book, const Ranking& ranking, std::size_t service,
                                          const std::vector<WeightStep>& steps) {
  const Dispatch& dispatch = ranking.dispatch();
  const Tariff& tariff = *dispatch.services()[service].edition->tariff;
  const std::set<std::uint32_t> possible = OverdueOn(tariff, ranking.request().date);
  if (possible.empty() || ranking.candidates().empty()) return {};
  ParcelFacts facts = ranking.candidates().front().facts;
  Request request = ranking.request();
  RankOptions options;
  options.thresholds = false;
  std::vector<OverdueSeries> found;
  for (const WeightStep& step : steps) {
    facts.weight = step.until.nanograms();
    if (!step.total || !GoesByOverdue(dispatch, service, facts, request.parcel->value)) continue;
    // The lines of the step say by which.
    request.parcel->weight = step.until;
    const absl::StatusOr<Ranking> at = Rank(book.ratebook, book.shelf, request, options);
    if (!at.ok()) continue;
    for (const Offer& offer : at->offers()) {
      if (offer.service_index != service) continue;
      for (const OverdueSeries& one : offer.overdue) {
        const auto same = [&one](const OverdueSeries& other) { return other.series == one.series; };
        if (std::none_of(found.begin(), found.end(), same)) found.push_back(one);
      }
    }
    if (found.size() == possible.size()) break;
  }
  const auto place = [&tariff](const OverdueSeries& one) {
    return std::find_if(tariff.series.begin(), tariff.series.end(),
                        [&one](const Series& series) { return series.code == one.series; });
  };
  std::sort(found.begin(), found.end(),
            [&place](const OverdueSeries& a, const OverdueSeries& b) { return place(a) < place(b); });
  return found;
}

}  // namespace tarewise::command
