/* A C99 program of a stranger: typed calls, JSON and a catalogue, from the installed package alone. */
#include <stdio.h>
#include <string.h>
#include <tarewise_c.h>

static tw_error *error;

static int stop(const char *where) {
  fprintf(stderr, "%s: %s\n", where, tw_error_message(error));
  return 1;
}

static const char kRequest[] =
    "{\"format\": \"tarewise-request-1\","
    " \"parcel\": {\"weight\": \"31.3 oz\", \"sides\": \"14 x 9 x 5 in\"},"
    " \"from\": {\"country\": \"US\", \"postal_code\": \"05401\"},"
    " \"to\": {\"country\": \"US\", \"postal_code\": \"60614\", \"residential\": true},"
    " \"date\": \"2026-08-03\", \"currency\": \"USD\"}";

int main(int argc, char **argv) {
  tw_ratebook *book = NULL;
  tw_dispatch *dispatch = NULL;
  tw_ranking *ranking = NULL;
  tw_shipment shipment = TW_SHIPMENT_INIT;
  tw_parcel parcel = TW_PARCEL_INIT;
  tw_request request = TW_REQUEST_INIT;
  tw_offer offer = TW_OFFER_INIT;
  const char *json = NULL;
  char total[32];
  int64_t typed_total;
  size_t i;
  if (argc != 2) {
    fprintf(stderr, "expected a folder of tables\n");
    return 2;
  }
  if (tw_error_create(&error) != TW_OK) return 1;
  if (tw_abi_version() != TW_ABI_VERSION || tw_version() < TW_VERSION) return stop("version");
  if (tw_ratebook_load_folder(&book, argv[1], error) != TW_OK) return stop("load");
  shipment.from_country = "US";
  shipment.from_postal_code = "05401";
  shipment.to_country = "US";
  shipment.to_postal_code = "60614";
  shipment.to_residential = 1;
  shipment.currency = "USD";
  if (tw_parse_date(&shipment.date, "2026-08-03", error) != TW_OK) return stop("date");
  if (tw_dispatch_create(&dispatch, book, tw_ratebook_shelf(book), &shipment, error) != TW_OK) return stop("dispatch");
  if (tw_ranking_create(&ranking, error) != TW_OK) return stop("ranking");
  if (tw_parse_weight(&parcel.weight_ng, "31.3 oz", error) != TW_OK) return stop("weight");
  if (tw_parse_sides(parcel.sides_nm, "14 x 9 x 5 in", error) != TW_OK) return stop("sides");
  request.parcel = &parcel;
  request.detail = TW_DETAIL_FULL;
  if (tw_rank(ranking, dispatch, &request, error) != TW_OK) return stop("rank");
  if (tw_ranking_offer(&offer, ranking, 0, error) != TW_OK) return stop("offer");
  typed_total = offer.total_micros;
  if (tw_format_money(total, sizeof total, NULL, typed_total, tw_ranking_currency(ranking), error) != TW_OK) {
    return stop("format");
  }
  printf("%s %s %s\n", offer.carrier, offer.service, total);
  for (i = 0; i < offer.charge_count; ++i) {
    tw_charge charge = TW_CHARGE_INIT;
    if (tw_ranking_charge(&charge, ranking, 0, i, error) != TW_OK) return stop("charge");
    printf("  %s: %s\n", charge.code, charge.why);
  }
  if (tw_rank_json(ranking, book, tw_ratebook_shelf(book), kRequest, sizeof kRequest - 1, error) != TW_OK) {
    return stop("json");
  }
  if (tw_ranking_offer(&offer, ranking, 0, error) != TW_OK) return stop("offer");
  if (offer.total_micros != typed_total) return stop("two ways, two totals");
  if (tw_ranking_json(&json, NULL, ranking, -1, error) != TW_OK) return stop("document");
  if (strstr(json, "\"total\":\"") == NULL || strstr(json, total) == NULL) return stop("no total in the document");
  tw_ranking_free(ranking);
  tw_dispatch_release(dispatch);
  tw_ratebook_release(book);
  tw_error_free(error);
  return 0;
}
