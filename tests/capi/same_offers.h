// A ranking of C against the C++ one, field by field.
#ifndef TAREWISE_TESTS_CAPI_SAME_OFFERS_H_
#define TAREWISE_TESTS_CAPI_SAME_OFFERS_H_

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>

#include "support.h"
#include "tarewise/ranking/rank.h"

namespace capi_test {

// Strings that C sees are whole: equal to C++'s to the last byte, and ended by NUL.
#define EXPECT_TEXT(c, cpp) EXPECT_EQ(std::string(c), std::string(cpp))

// Of an offer or of a service.
template <typename C>
void ExpectSameArrival(const C& got, tarewise::Delivery delivers, const std::optional<tarewise::Arrival>& arrives) {
  EXPECT_TEXT(tw_delivers_name(got.delivers), NameOf(delivers));
  EXPECT_EQ(got.has_arrival == 1, arrives.has_value());
  EXPECT_EQ(got.arrives_earliest, arrives ? arrives->earliest.days() : 0);
  EXPECT_EQ(got.arrives_latest, arrives ? arrives->latest.days() : 0);
}

inline void ExpectSameTaxAndHandicaps(const tarewise::Offer& want, const tw_offer& got, const tw_ranking* c,
                                      std::size_t offer) {
  EXPECT_TEXT(got.tax_code, want.tax ? want.tax->tax->code : "");
  EXPECT_TEXT(got.tax_title, want.tax ? want.tax->tax->title : "");
  EXPECT_EQ(got.tax_millionths, want.tax ? want.tax->tax->percent.ten_thousandths() : 0);
  EXPECT_EQ(got.tax_micros, want.tax ? want.tax->amount.micros() : 0);
  EXPECT_EQ(got.net_micros, want.tax ? want.tax->net.micros() : 0);
  EXPECT_EQ(got.with_tax_micros, want.tax ? want.tax->with_tax.micros() : 0);
  ASSERT_EQ(got.handicap_count, want.handicaps.size());
  for (std::size_t k = 0; k < want.handicaps.size(); ++k) {
    tw_handicap handicap = TW_HANDICAP_INIT;
    ASSERT_EQ(tw_ranking_handicap(&handicap, c, offer, k, nullptr), TW_OK);
    EXPECT_TEXT(handicap.code, want.handicaps[k].code);
    EXPECT_TEXT(handicap.title, want.handicaps[k].title);
    EXPECT_EQ(handicap.amount_micros, want.handicaps[k].amount.micros());
  }
}

inline void ExpectSameOffers(const tarewise::Ranking& cpp, tw_ranking* c, std::int32_t detail) {
  ASSERT_EQ(tw_ranking_offer_count(c), cpp.offers().size());
  EXPECT_EQ(tw_ranking_is_estimate(c) == 1, cpp.estimate());
  EXPECT_TEXT(tw_ranking_currency(c), cpp.currency().code());
  for (std::size_t i = 0; i < cpp.offers().size(); ++i) {
    const tarewise::Offer& want = cpp.offers()[i];
    tw_offer got = TW_OFFER_INIT;
    ASSERT_EQ(tw_ranking_offer(&got, c, i, nullptr), TW_OK);
    EXPECT_EQ(got.total_micros, want.total.micros());
    EXPECT_TEXT(got.carrier, want.carrier);
    EXPECT_TEXT(got.service, want.service);
    EXPECT_TEXT(got.title, want.title);
    EXPECT_TEXT(got.packaging, want.packaging);
    EXPECT_TEXT(got.issued_by, want.issued_by);
    EXPECT_TEXT(got.zone, want.zone);
    EXPECT_EQ(got.days_least, want.days ? want.days->least : -1);
    EXPECT_EQ(got.days_most, want.days ? want.days->most : -1);
    EXPECT_EQ(got.tracked == 1, want.tracked);
    EXPECT_EQ(got.mode, static_cast<std::int32_t>(want.mode));
    EXPECT_EQ(got.cautions, want.cautions.bits());
    EXPECT_EQ(got.weight_ng, want.weight.nanograms());
    for (std::size_t k = 0; k < 3; ++k) EXPECT_EQ(got.sides_nm[k], want.sides.sides()[k].nanometres());
    EXPECT_EQ(got.included_cover_micros, want.included_cover.micros());
    ExpectSameArrival(got, want.delivers, want.arrives);
    EXPECT_EQ(got.handicap_micros, want.handicap.micros());
    tw_service service = TW_SERVICE_INIT;
    ASSERT_EQ(
        tw_dispatch_service(&service, tw_ranking_dispatch(c), static_cast<std::size_t>(got.service_index), nullptr),
        TW_OK);
    EXPECT_TEXT(service.service, want.service);
    EXPECT_TEXT(service.carrier, want.carrier);
    EXPECT_TEXT(service.zone, want.zone);
    EXPECT_EQ(service.offered, 1);
    ExpectSameArrival(service, want.delivers, want.arrives);
    if (got.packaging_index >= 0) {
      tw_packaging packaging = TW_PACKAGING_INIT;
      ASSERT_EQ(tw_dispatch_packaging(&packaging, tw_ranking_dispatch(c), static_cast<std::size_t>(got.packaging_index),
                                      nullptr),
                TW_OK);
      EXPECT_TEXT(packaging.code, want.packaging);
    } else {
      EXPECT_TRUE(want.packaging.empty() || want.packaging == "estimate" || !want.issued_by.empty()) << want.packaging;
    }
    if (detail < TW_DETAIL_CHARGES) continue;
    EXPECT_EQ(got.service_total_micros, want.service_total.micros());
    EXPECT_EQ(got.packaging_cost_micros, want.packaging_cost.micros());
    EXPECT_TEXT(got.tariff_currency, want.tariff_currency.code());
    EXPECT_EQ(got.billable_weight_ng, want.billable.nanograms());
    EXPECT_EQ(got.billable_from, static_cast<std::int32_t>(want.billable_from));
    EXPECT_EQ(got.risk != TW_RISK_NONE, want.at_risk);
    EXPECT_EQ(got.total_at_risk_micros, want.total_at_risk ? want.total_at_risk->micros() : 0);
    EXPECT_EQ(got.lowest_total_micros, want.range ? want.range->lowest.micros() : want.total.micros());
    EXPECT_EQ(got.highest_total_micros, want.range ? want.range->highest.micros() : want.total.micros());
    ExpectSameTaxAndHandicaps(want, got, c, i);
    ASSERT_EQ(got.charge_count, want.charges.size());
    for (std::size_t k = 0; k < want.charges.size(); ++k) {
      tw_charge charge = TW_CHARGE_INIT;
      ASSERT_EQ(tw_ranking_charge(&charge, c, i, k, nullptr), TW_OK);
      EXPECT_TEXT(charge.code, want.charges[k].code);
      EXPECT_TEXT(charge.title, want.charges[k].title);
      EXPECT_EQ(charge.amount_micros, want.charges[k].amount.micros());
      EXPECT_TEXT(charge.why, cpp.Why(want, want.charges[k]));
      EXPECT_TEXT(charge.row, tarewise::Ranking::Row(want.charges[k]));
      EXPECT_TEXT(charge.column, cpp.Column(want, want.charges[k]));
      EXPECT_TEXT(charge.billed_as, tarewise::Ranking::BilledAs(want.charges[k]));
    }
    if (detail < TW_DETAIL_FULL) continue;
    EXPECT_EQ(got.headroom_weight_ng, want.headroom.weight ? want.headroom.weight->nanograms() : -1);
    for (std::size_t k = 0; k < 3; ++k) {
      EXPECT_EQ(got.headroom_sides_nm[k], want.headroom.sides[k] ? want.headroom.sides[k]->nanometres() : -1);
    }
    ASSERT_EQ(got.saver_count, want.savers.size());
    for (std::size_t k = 0; k < want.savers.size(); ++k) {
      tw_saver saver = TW_SAVER_INIT;
      ASSERT_EQ(tw_ranking_saver(&saver, c, i, k, nullptr), TW_OK);
      EXPECT_EQ(saver.of, static_cast<std::int32_t>(want.savers[k].of));
      EXPECT_EQ(saver.total_micros, want.savers[k].total.micros());
      EXPECT_EQ(saver.saves_micros, want.savers[k].saves.micros());
      EXPECT_EQ(saver.take,
                saver.of == TW_ASPECT_WEIGHT ? want.savers[k].weight.nanograms() : want.savers[k].length.nanometres());
    }
  }
  if (detail < TW_DETAIL_CHARGES) return;
  ASSERT_EQ(tw_ranking_refusal_count(c), cpp.refusals().size());
  for (std::size_t i = 0; i < cpp.refusals().size(); ++i) {
    const tarewise::Refusal& want = cpp.refusals()[i];
    tw_refusal got = TW_REFUSAL_INIT;
    ASSERT_EQ(tw_ranking_refusal(&got, c, i, nullptr), TW_OK);
    EXPECT_TEXT(got.carrier, want.carrier);
    EXPECT_TEXT(got.service, want.service);
    EXPECT_TEXT(got.packaging, want.packaging);
    ASSERT_EQ(got.reason_count, want.reasons.size());
    for (std::size_t k = 0; k < want.reasons.size(); ++k) {
      tw_reason reason = TW_REASON_INIT;
      ASSERT_EQ(tw_ranking_reason(&reason, c, i, k, nullptr), TW_OK);
      EXPECT_EQ(reason.code, static_cast<std::int32_t>(want.reasons[k].code));
      EXPECT_TEXT(reason.text, want.reasons[k].text);
    }
  }
  ASSERT_EQ(tw_ranking_caution_count(c), cpp.cautions().size());
  for (std::size_t i = 0; i < cpp.cautions().size(); ++i) {
    tw_caution got = TW_CAUTION_INIT;
    ASSERT_EQ(tw_ranking_caution(&got, c, i, nullptr), TW_OK);
    EXPECT_TEXT(got.text, cpp.cautions()[i].text);
    EXPECT_TEXT(got.source, cpp.cautions()[i].source);
    EXPECT_EQ(got.code, 1u << static_cast<unsigned>(cpp.cautions()[i].code));
    EXPECT_TEXT(tw_caution_name(got.code), cpp.cautions()[i].name);
  }
  ASSERT_EQ(tw_ranking_change_count(c), cpp.changes().size());
  for (std::size_t i = 0; i < cpp.changes().size(); ++i) {
    const tarewise::WinnerChange& want = cpp.changes()[i];
    tw_change got = TW_CHANGE_INIT;
    ASSERT_EQ(tw_ranking_change(&got, c, i, nullptr), TW_OK);
    EXPECT_EQ(got.of, static_cast<std::int32_t>(want.of));
    EXPECT_EQ(got.total_micros, want.total.micros());
    EXPECT_TEXT(got.service, want.service);
    EXPECT_EQ(got.above,
              want.of == tarewise::Aspect::kWeight ? want.above_weight.nanograms() : want.above_length.nanometres());
  }
}

}  // namespace capi_test

#endif  // TAREWISE_TESTS_CAPI_SAME_OFFERS_H_
