// What holds of every answer, whatever was asked of whatever tables.
#ifndef TAREWISE_TESTS_FUZZ_INVARIANTS_H_
#define TAREWISE_TESTS_FUZZ_INVARIANTS_H_

#include <tarewise_c.h>

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <vector>

namespace fuzz {

inline void Require(bool holds, const char* what, const tw_error* error = nullptr) {
  if (holds) return;
  std::fprintf(stderr, "does not hold: %s (%s)\n", what, tw_error_message(error));
  std::abort();
}

// A status that a caller can bring about; tarewise's own failures are defects.
inline void RequireKnown(tw_status status, const tw_error* error) {
  Require(status != TW_E_INTERNAL && std::strcmp(tw_status_name(status), "TW_E_UNKNOWN") != 0,
          "a status of the caller's", error);
  Require((status == TW_OK) == (tw_error_message(error)[0] == '\0'), "a message exactly where something is wrong",
          error);
}

// Best first; an offer has lines that add up to its total before the packaging (to the rounding of the total), a
// refusal has reasons.
inline void RequireSound(tw_ranking* ranking, const tw_error* error) {
  std::int64_t before = 0;
  for (std::size_t i = 0; i < tw_ranking_offer_count(ranking); ++i) {
    tw_offer offer = TW_OFFER_INIT;
    Require(tw_ranking_offer(&offer, ranking, i, nullptr) == TW_OK, "an offer for every index");
    Require(offer.risk != TW_RISK_NONE || offer.total_micros >= before || i == 0, "the order of totals");
    Require(offer.lowest_total_micros <= offer.highest_total_micros, "a range that rises");
    Require(offer.charge_count > 0 || offer.detail == TW_DETAIL_TOTALS, "a charge in every offer");
    before = offer.risk == TW_RISK_NONE ? offer.total_micros : before;
    for (std::uint32_t k = 0; k < offer.charge_count; ++k) {
      tw_charge charge = TW_CHARGE_INIT;
      Require(tw_ranking_charge(&charge, ranking, i, k, nullptr) == TW_OK, "a charge for every index");
      Require(std::strlen(charge.code) > 0 && std::strlen(charge.why) > 0, "a charge with its reason");
    }
    for (std::uint32_t k = 0; k < offer.saver_count; ++k) {
      tw_saver saver = TW_SAVER_INIT;
      Require(tw_ranking_saver(&saver, ranking, i, k, nullptr) == TW_OK, "a saver for every index");
      Require(saver.take > 0 && saver.saves_micros > 0, "a saver that takes and saves");
    }
  }
  for (std::size_t i = 0; i < tw_ranking_refusal_count(ranking); ++i) {
    tw_refusal refusal = TW_REFUSAL_INIT;
    Require(tw_ranking_refusal(&refusal, ranking, i, nullptr) == TW_OK, "a refusal for every index");
    Require(refusal.reason_count > 0, "a reason in every refusal");
  }
  const char* json = nullptr;
  std::size_t length = 0;
  Require(tw_ranking_json(&json, &length, ranking, -1, nullptr) == TW_OK && std::strlen(json) == length, "a document",
          error);
}

}  // namespace fuzz

#endif  // TAREWISE_TESTS_FUZZ_INVARIANTS_H_
