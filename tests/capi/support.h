// Small helpers of the tests of the C interface.
#ifndef TAREWISE_TESTS_CAPI_SUPPORT_H_
#define TAREWISE_TESTS_CAPI_SUPPORT_H_

#include <gtest/gtest.h>
#include <tarewise_c.h>

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "support/catalogue.h"

namespace capi_test {

template <auto kFree>
struct Free {
  template <typename H>
  void operator()(H* handle) const {
    kFree(handle);
  }
};
using ErrorPtr = std::unique_ptr<tw_error, Free<tw_error_free>>;
using BookPtr = std::unique_ptr<tw_ratebook, Free<tw_ratebook_release>>;
using ShelfPtr = std::unique_ptr<tw_shelf, Free<tw_shelf_release>>;
using DispatchPtr = std::unique_ptr<tw_dispatch, Free<tw_dispatch_release>>;
using RankingPtr = std::unique_ptr<tw_ranking, Free<tw_ranking_free>>;
using SlotPtr = std::unique_ptr<tw_ratebook_slot, Free<tw_ratebook_slot_free>>;
using RepricerPtr = std::unique_ptr<tw_repricer, Free<tw_repricer_release>>;

inline ErrorPtr NewError() {
  tw_error* error = nullptr;
  EXPECT_EQ(tw_error_create(&error), TW_OK);
  return ErrorPtr(error);
}
inline BookPtr LoadBook(const char* folder = TW_TEST_TABLES) {
  ErrorPtr error = NewError();
  tw_ratebook* book = nullptr;
  EXPECT_EQ(tw_ratebook_load_folder(&book, folder, error.get()), TW_OK) << tw_error_message(error.get());
  return BookPtr(book);
}
inline RankingPtr NewRanking() {
  tw_ranking* ranking = nullptr;
  EXPECT_EQ(tw_ranking_create(&ranking, nullptr), TW_OK);
  return RankingPtr(ranking);
}
inline tw_shipment Shipment(const char* to = "60614", const char* country = "US") {
  tw_shipment shipment = TW_SHIPMENT_INIT;
  EXPECT_EQ(tw_parse_date(&shipment.date, "2026-08-03", nullptr), TW_OK);
  shipment.from_country = "US";
  shipment.from_postal_code = "05401";
  shipment.to_country = country;
  shipment.to_postal_code = to;
  shipment.to_residential = 1;
  shipment.currency = "USD";
  return shipment;
}
inline DispatchPtr NewDispatch(const tw_ratebook* book, const tw_shelf* shelf, const tw_shipment& shipment) {
  ErrorPtr error = NewError();
  tw_dispatch* dispatch = nullptr;
  EXPECT_EQ(tw_dispatch_create(&dispatch, book, shelf, &shipment, error.get()), TW_OK) << tw_error_message(error.get());
  return DispatchPtr(dispatch);
}
inline tw_parcel Parcel(const char* weight = "31.3 oz", const char* sides = "14 x 9 x 5 in") {
  tw_parcel parcel = TW_PARCEL_INIT;
  EXPECT_EQ(tw_parse_weight(&parcel.weight_ng, weight, nullptr), TW_OK);
  EXPECT_EQ(tw_parse_sides(parcel.sides_nm, sides, nullptr), TW_OK);
  return parcel;
}

using Goods = tarewise::testing::CatalogueRow;
using tarewise::testing::Catalogue;

}  // namespace capi_test

#endif  // TAREWISE_TESTS_CAPI_SUPPORT_H_
