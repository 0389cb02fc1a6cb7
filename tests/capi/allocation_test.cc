// The hot path allocates nothing once a ranking has been used.
#include <cstdint>

#include "counted_new.h"
#include "support.h"

namespace {

TEST(Allocation, TotalsOfAClosedParcelAllocateNothing) {
  const capi_test::BookPtr book = capi_test::LoadBook();
  const capi_test::DispatchPtr dispatch =
      capi_test::NewDispatch(book.get(), tw_ratebook_shelf(book.get()), capi_test::Shipment());
  const capi_test::RankingPtr ranking = capi_test::NewRanking();
  const capi_test::ErrorPtr error = capi_test::NewError();
  tw_parcel parcel = capi_test::Parcel();
  parcel.contents = TW_CONTENTS_MEDIA | TW_CONTENTS_FRAGILE;
  parcel.value_micros = 250'000'000;
  tw_request request = TW_REQUEST_INIT;
  request.parcel = &parcel;
  tw_offer offer = TW_OFFER_INIT;
  ASSERT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, error.get()), TW_OK);
  const std::size_t before = capi_test::Allocations();
  std::int64_t sum = 0;
  for (int i = 0; i < 1000; ++i) {
    parcel.weight_ng = (i % 69 + 1) * TW_POUND;
    parcel.sides_nm[0] = (i % 20 + 5) * TW_INCH;
    ASSERT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, error.get()), TW_OK);
    ASSERT_EQ(tw_ranking_offer(&offer, ranking.get(), 0, error.get()), TW_OK);
    sum += offer.total_micros;
  }
  EXPECT_EQ(capi_test::Allocations(), before);
  EXPECT_GT(sum, 0);
  // The counter does count: a full answer is made of memory.
  request.detail = TW_DETAIL_FULL;
  ASSERT_EQ(tw_rank(ranking.get(), dispatch.get(), &request, error.get()), TW_OK);
  EXPECT_GT(capi_test::Allocations(), before);
}

}  // namespace
