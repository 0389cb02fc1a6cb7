#ifndef TAREWISE_DOCUMENTS_PLANS_JSON_H_
#define TAREWISE_DOCUMENTS_PLANS_JSON_H_

#include <string>

#include "tarewise/documents/ranking_json.h"
#include "tarewise/plans/plans.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// Plans as a `tarewise-plans-1` document (FORMAT.md B9), UTF-8. `indent` spaces a level; -1: one line. Linear in the
/// parcels. In the library `tarewise::tarewise`, not in the headers alone.
///
///     std::puts(ToJson(*FindPlans(book, shelf, request)).c_str());
std::string ToJson(const Plans& plans, int indent = 2);
/// The same as `how` says of charges, thresholds, arrangements and refusals, with the room to grow of each parcel's
/// arrangements, where it is asked for. `most_offers` says nothing here: a parcel tells the offer that was chosen.
std::string ToJson(const Plans& plans, const RankingJson& how);

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_DOCUMENTS_PLANS_JSON_H_
