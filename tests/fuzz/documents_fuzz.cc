// Any bytes as a document of tables. What loads is priced with, and the answers must be sound and agree with each
// other.
#include <cstdint>
#include <cstring>
#include <string>

#include "invariants.h"

namespace {

bool Begins(const std::string& text, const char* with) { return text.rfind(with, 0) == 0; }

// As a folder would name it, by how it begins.
const char* NameOf(const std::string& text) {
  if (Begins(text, "code,")) return "shelf.csv";
  if (Begins(text, "country,")) return "gazetteer.csv";
  return "tables.json";
}

struct Handles {
  tw_error* error = nullptr;
  tw_ranking* ranking = nullptr;
  Handles() {
    fuzz::Require(tw_error_create(&error) == TW_OK && tw_ranking_create(&ranking, error) == TW_OK, "memory");
  }
};

void Price(const tw_ratebook* book, Handles& at) {
  tw_shipment shipment = TW_SHIPMENT_INIT;
  shipment.from_country = shipment.to_country = "US";
  shipment.from_postal_code = "05401";
  shipment.to_postal_code = "60614";
  shipment.to_residential = 1;
  shipment.currency = "USD";
  shipment.date = 20'668;  // 2026-08-03
  tw_dispatch* dispatch = nullptr;
  tw_status status = tw_dispatch_create(&dispatch, book, tw_ratebook_shelf(book), &shipment, at.error);
  fuzz::RequireKnown(status, at.error);
  if (status != TW_OK) return;
  const std::int64_t sizes[][4] = {{15, 9, 6, 2}, {9 * 16, 24, 14, 10}, {70 * 16 + 1, 60, 30, 20}};
  for (const auto& [ounces, length, width, height] : sizes) {
    tw_parcel parcel = TW_PARCEL_INIT;
    parcel.weight_ng = ounces * TW_OUNCE + 1;
    parcel.sides_nm[0] = length * TW_INCH;
    parcel.sides_nm[1] = width * TW_INCH + 7;
    parcel.sides_nm[2] = height * TW_INCH;
    parcel.contents = TW_CONTENTS_MEDIA;
    parcel.value_micros = 120'000'000;
    tw_request request = TW_REQUEST_INIT;
    request.parcel = &parcel;
    status = tw_rank(at.ranking, dispatch, &request, at.error);
    fuzz::RequireKnown(status, at.error);
    std::vector<std::int64_t> totals;
    for (std::size_t i = 0; i < tw_ranking_offer_count(at.ranking); ++i) {
      tw_offer offer = TW_OFFER_INIT;
      fuzz::Require(tw_ranking_offer(&offer, at.ranking, i, nullptr) == TW_OK, "an offer for every index");
      totals.push_back(offer.total_micros);
    }
    request.detail = TW_DETAIL_FULL;
    fuzz::Require(tw_rank(at.ranking, dispatch, &request, at.error) == status, "one status at every detail", at.error);
    if (status != TW_OK) continue;
    fuzz::Require(tw_ranking_offer_count(at.ranking) == totals.size(), "as many offers at every detail");
    for (std::size_t i = 0; i < totals.size(); ++i) {
      tw_offer offer = TW_OFFER_INIT;
      fuzz::Require(tw_ranking_offer(&offer, at.ranking, i, nullptr) == TW_OK && offer.total_micros == totals[i],
                    "the same totals at every detail");
    }
    fuzz::RequireSound(at.ranking, at.error);
    // Goods, packed from the shelf or estimated.
    tw_item item = TW_ITEM_INIT;
    item.weight_ng = parcel.weight_ng;
    for (std::size_t i = 0; i < 3; ++i) item.sides_nm[i] = parcel.sides_nm[i];
    request.parcel = nullptr;
    request.items = &item;
    request.item_count = 1;
    status = tw_rank(at.ranking, dispatch, &request, at.error);
    fuzz::RequireKnown(status, at.error);
    if (status == TW_OK) fuzz::RequireSound(at.ranking, at.error);
  }
  tw_dispatch_release(dispatch);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static Handles at;
  const std::string text(reinterpret_cast<const char*>(data), size);
  tw_source source = TW_SOURCE_INIT;
  source.name = NameOf(text);
  source.text = text.data();
  source.length = text.size();
  tw_ratebook* book = nullptr;
  const tw_status status = tw_ratebook_load_memory(&book, &source, 1, at.error);
  fuzz::RequireKnown(status, at.error);
  fuzz::Require((status == TW_OK) == (book != nullptr), "a ratebook or an error", at.error);
  for (std::size_t i = 0; i < tw_error_count(at.error); ++i) {
    tw_finding finding = TW_FINDING_INIT;
    fuzz::Require(tw_error_finding(&finding, at.error, i) == TW_OK, "a finding for every index");
    fuzz::Require(std::strlen(finding.message) > 0 && finding.number > 0, "a finding with its number and words");
    fuzz::Require(finding.line >= 0 && finding.column >= 0, "a place in the document");
  }
  if (book != nullptr) Price(book, at);
  tw_ratebook_release(book);
  return 0;
}
