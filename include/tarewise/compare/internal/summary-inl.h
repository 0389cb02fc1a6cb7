#ifndef TAREWISE_COMPARE_INTERNAL_SUMMARY_INL_H_
#define TAREWISE_COMPARE_INTERNAL_SUMMARY_INL_H_

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "tarewise/compare/internal/catalogues-inl.h"
#include "tarewise/compare/internal/summary_writer.h"
#include "tarewise/compare/summary.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

TW_INLINE std::string Summary(const Comparison& comparison) { return internal::SummaryWriter::Write(comparison); }

TW_INLINE std::string Summary(const CatalogueChange& change, std::span<const Lane> lanes, const RowName& name) {
  const int decimals = change.currency.decimals();
  auto goods = [](std::uint64_t n, const char* words) { return std::to_string(n) + " " + words; };
  std::vector<std::string> parts;
  if (change.total_changed > 0) parts.push_back(goods(change.total_changed, "with another total"));
  if (change.dearer > 0) parts.push_back(goods(change.dearer, "dearer"));
  if (change.cheaper > 0) parts.push_back(goods(change.cheaper, "cheaper"));
  if (change.service_changed > 0) parts.push_back(goods(change.service_changed, "best by another service somewhere"));
  if (change.packaging_changed > 0) parts.push_back(goods(change.packaging_changed, "in another packaging somewhere"));
  if (change.lost > 0) parts.push_back(goods(change.lost, "that can no longer be sent everywhere"));
  if (change.gained > 0) parts.push_back(goods(change.gained, "that can now be sent everywhere"));
  if (const std::uint64_t partly = change.offered_changed - change.lost - change.gained; partly > 0) {
    parts.push_back(goods(partly, "that can be sent to some other places than before"));
  }
  if (parts.empty()) parts.emplace_back("nothing changes");
  std::string out = "Catalogue: " + internal::Counted(change.rows, "row", "rows") + " to " +
                    internal::Counted(lanes.size(), "place", "places") + ": " + internal::JoinWords(parts, ", ") + "\n";
  out += "A month: " + change.month_before.ToString(decimals) + " -> " + change.month_after.ToString(decimals) + " " +
         std::string(change.currency.code()) + " (" +
         internal::SignedAmount(change.month_after - change.month_before, decimals);
  if (const std::optional<std::int64_t> percent = PercentChange(change.month_before, change.month_after)) {
    out += ", " + std::string(*percent > 0 ? "+" : "") + internal::TenthPercent(*percent);
  }
  out += ") for " + internal::ShortestDecimal(change.month_parcels, kMillionthsPerParcel) + " parcels\n";
  for (const RowLoss& loss : change.losers) {
    out += "Loses most: " + (name ? name(loss.row) : "row " + std::to_string(loss.row + 1)) + " " +
           internal::SignedAmount(loss.month, decimals) + " a month, " + loss.before.ToString(decimals) + " -> " +
           loss.after.ToString(decimals) + " a parcel";
    if (loss.lane < lanes.size()) {
      const Place& to = lanes[loss.lane].to;
      auto way = [decimals](const LaneOffer& offer) {
        return Amount::Micros(offer.total).ToString(decimals) + " by " + std::string(offer.carrier) + "/" +
               std::string(offer.service) + " in " + std::string(offer.packaging.empty() ? "own" : offer.packaging);
      };
      out += "; most to " + to.country() + (to.postal_code().empty() ? "" : " ") + to.postal_code() + ": " +
             way(loss.lane_before) + " -> " + way(loss.lane_after);
    }
    out += "\n";
  }
  return out;
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_COMPARE_INTERNAL_SUMMARY_INL_H_
