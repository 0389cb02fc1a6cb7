// Any bytes as a request, on the demonstration tables.
#include <cstdint>

#include "invariants.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static tw_error* error = nullptr;
  static tw_ranking* ranking = nullptr;
  static tw_ratebook* book = nullptr;
  if (book == nullptr) {
    fuzz::Require(tw_error_create(&error) == TW_OK && tw_ranking_create(&ranking, error) == TW_OK, "memory");
    fuzz::Require(tw_ratebook_load_folder(&book, TW_FUZZ_TABLES, error) == TW_OK, "the tables", error);
  }
  // Once packed from the shelf, once estimated.
  for (const tw_shelf* shelf :
       {static_cast<const tw_shelf*>(tw_ratebook_shelf(book)), static_cast<const tw_shelf*>(nullptr)}) {
    const tw_status status = tw_rank_json(ranking, book, shelf, reinterpret_cast<const char*>(data), size, error);
    fuzz::RequireKnown(status, error);
    if (status == TW_OK) {
      fuzz::RequireSound(ranking, error);
    } else {
      fuzz::Require(tw_ranking_offer_count(ranking) == 0, "no offers beside an error", error);
    }
  }
  return 0;
}
