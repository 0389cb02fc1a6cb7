#ifndef TAREWISE_LIB_DOCUMENTS_OFFER_JSON_H_
#define TAREWISE_LIB_DOCUMENTS_OFFER_JSON_H_

#include <cstddef>
#include <span>
#include <string_view>
#include <vector>

#include "json_writer.h"
#include "tarewise/documents/ranking_json.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

// What rankings and plans have in common.

// The seller's own packaging, where it is not named.
std::string_view PackagingShown(std::string_view packaging);

void WriteOffer(JsonWriter& json, const Ranking& ranking, const Offer& offer, const RankingJson& how);

// The key `arrangements`, where there are any. `items`: where the goods of the ranking stand in what was asked; empty:
// there as here.
void WriteArrangements(JsonWriter& json, const Ranking& ranking, const RankingJson& how,
                       std::span<const std::size_t> items);

// The keys `refusals` (none where `how` leaves them out) and `cautions`.
void WriteRefusals(JsonWriter& json, const std::vector<Refusal>& refusals, const RankingJson& how);
void WriteCautions(JsonWriter& json, const std::vector<Caution>& cautions);

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_LIB_DOCUMENTS_OFFER_JSON_H_
