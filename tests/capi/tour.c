/* A C99 program that makes one of everything, uses it and gives it back; run under valgrind by the tests. */
#include <stdio.h>
#include <string.h>
#include <tarewise_c.h>

static int failures = 0;
static void check(int good, const char *what) {
  if (!good) {
    fprintf(stderr, "FAILED: %s\n", what);
    ++failures;
  }
}
#define CHECK(condition) check((condition), #condition)

int main(int argc, char **argv) {
  tw_error *error = NULL;
  tw_ratebook *book = NULL, *taken = NULL, *broken = NULL;
  tw_ratebook_slot *slot = NULL;
  tw_dispatch *dispatch = NULL;
  tw_ranking *ranking = NULL;
  tw_shipment shipment = TW_SHIPMENT_INIT;
  tw_item items[2] = {TW_ITEM_INIT, TW_ITEM_INIT};
  /* In C the constants are enumerations. */
  const enum tw_promise_value promise = TW_PROMISE_WITHIN;
  tw_parcel parcel = TW_PARCEL_INIT;
  tw_request request = TW_REQUEST_INIT;
  tw_offer offer = TW_OFFER_INIT;
  tw_source source = TW_SOURCE_INIT;
  const char *extras[] = {"signature"}, *own[] = {"x-signed-copy"}, *json = NULL;
  size_t i, k, length = 0;
  int32_t detail;
  if (argc != 2) return 2;
  CHECK(tw_error_create(&error) == TW_OK);
  source.name = "bad.json";
  source.text = "{\"format\": \"tarewise-tariff-1\", \"format\": 1}";
  source.length = strlen(source.text);
  CHECK(tw_ratebook_load_memory(&broken, &source, 1, error) == TW_E_TABLE && broken == NULL);
  CHECK(tw_error_count(error) > 0 && tw_error_message(error)[0] != '\0');
  CHECK(tw_ratebook_load_folder(&book, argv[1], error) == TW_OK);
  CHECK(tw_ratebook_slot_create(&slot, book, error) == TW_OK);
  CHECK(tw_ratebook_slot_get(&taken, slot) == TW_OK && taken == book);
  tw_ratebook_release(taken);
  CHECK(tw_ratebook_slot_set(slot, book) == TW_OK);
  shipment.from_country = "US";
  shipment.from_postal_code = "05401";
  shipment.to_country = "US";
  shipment.to_postal_code = "98101";
  shipment.to_residential = 1;
  shipment.promise = (int32_t)promise;
  shipment.within_days = 5;
  shipment.extras = extras;
  shipment.extra_count = 1;
  shipment.cover_micros = 80 * INT64_C(1000000);
  shipment.currency = "USD";
  CHECK(tw_parse_date(&shipment.date, "2026-08-03", error) == TW_OK);
  CHECK(tw_dispatch_create(&dispatch, book, tw_ratebook_shelf(book), &shipment, error) == TW_OK);
  tw_ratebook_slot_free(slot);
  tw_ratebook_release(book);
  CHECK(tw_ranking_create(&ranking, error) == TW_OK);
  for (i = 0; i < tw_dispatch_service_count(dispatch); ++i) {
    tw_service service = TW_SERVICE_INIT;
    CHECK(tw_dispatch_service(&service, dispatch, i, error) == TW_OK && service.title[0] != '\0');
  }
  for (i = 0; i < tw_dispatch_packaging_count(dispatch); ++i) {
    tw_packaging packaging = TW_PACKAGING_INIT;
    CHECK(tw_dispatch_packaging(&packaging, dispatch, i, error) == TW_OK && packaging.code[0] != '\0');
  }
  for (i = 0; i < 2; ++i) {
    items[i].weight_ng = 9 * TW_OUNCE;
    items[i].contents = TW_CONTENTS_MEDIA | TW_CONTENTS_FRAGILE;
    items[i].own_traits = own;
    items[i].own_trait_count = 1;
    items[i].sides_nm[0] = 8 * TW_INCH;
    items[i].sides_nm[1] = 6 * TW_INCH;
    items[i].sides_nm[2] = TW_INCH;
  }
  items[1].weight_most_ng = 12 * TW_OUNCE;
  parcel.weight_ng = 2 * TW_POUND;
  parcel.sides_nm[0] = parcel.sides_nm[1] = parcel.sides_nm[2] = 9 * TW_INCH;
  for (k = 0; k < 2; ++k) {
    request.items = k == 0 ? items : NULL;
    request.item_count = k == 0 ? 2 : 0;
    request.parcel = k == 0 ? NULL : &parcel;
    for (detail = TW_DETAIL_TOTALS; detail <= TW_DETAIL_FULL; ++detail) {
      size_t at;
      request.detail = detail;
      CHECK(tw_rank(ranking, dispatch, &request, error) == TW_OK);
      CHECK(tw_ranking_offer_count(ranking) > 0);
      for (at = 0; at < tw_ranking_offer_count(ranking); ++at) {
        uint32_t n;
        CHECK(tw_ranking_offer(&offer, ranking, at, error) == TW_OK);
        for (n = 0; n < offer.charge_count; ++n) {
          tw_charge charge = TW_CHARGE_INIT;
          CHECK(tw_ranking_charge(&charge, ranking, at, n, error) == TW_OK && charge.why[0] != '\0');
        }
        for (n = 0; n < offer.saver_count; ++n) {
          tw_saver saver = TW_SAVER_INIT;
          CHECK(tw_ranking_saver(&saver, ranking, at, n, error) == TW_OK && saver.saves_micros > 0);
        }
      }
      for (at = 0; at < tw_ranking_refusal_count(ranking); ++at) {
        tw_refusal refusal = TW_REFUSAL_INIT;
        tw_reason reason = TW_REASON_INIT;
        CHECK(tw_ranking_refusal(&refusal, ranking, at, error) == TW_OK && refusal.reason_count > 0);
        CHECK(tw_ranking_reason(&reason, ranking, at, 0, error) == TW_OK && reason.text[0] != '\0');
      }
      CHECK((detail == TW_DETAIL_TOTALS) == (tw_ranking_json(&json, &length, ranking, -1, error) != TW_OK));
    }
  }
  CHECK(json != NULL && strlen(json) == length && length > 1000);
  parcel.weight_ng = 0;
  CHECK(tw_rank(ranking, dispatch, &request, error) == TW_E_INPUT);
  CHECK(tw_ranking_offer_count(ranking) == 0);
  printf("%s\n", tw_error_message(error));
  tw_dispatch_release(dispatch);
  tw_ranking_free(ranking);
  tw_error_free(error);
  return failures == 0 ? 0 : 1;
}
