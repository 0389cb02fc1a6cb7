#ifndef TAREWISE_CAPI_RANKING_HANDLE_H_
#define TAREWISE_CAPI_RANKING_HANDLE_H_

#include <cstdint>
#include <deque>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "absl/status/status.h"
#include "handles.h"
#include "tarewise/documents/ranking_json.h"
#include "tarewise/ranking/growth.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/ranking/totals.h"

struct tw_ranking {
  static constexpr tarewise::capi::Tag kTag = tarewise::capi::Tag::kRanking;
  // The words of one charge, made when asked for.
  struct ChargeText {
    std::string why;
    std::string row;
    std::string column;
    std::string billed_as;
  };

  ~tw_ranking() { tarewise::capi::Release(dispatch); }

  void Clear() {
    if (full) full.reset();
    quick.in_use = false;
    detail = kEmpty;
    texts.clear();
    steps.clear();
    growth.clear();
    json.clear();
    packaging_index.clear();
  }
  // Whose answer it holds.
  void Keep(const tw_dispatch* made_with) {
    if (dispatch == made_with) return;
    tarewise::capi::Release(dispatch);
    dispatch = tarewise::capi::Retain(const_cast<tw_dispatch*>(made_with));
  }

  // Of a closed parcel with totals alone, in the place of `full`.
  struct Quick {
    bool in_use = false;
    std::vector<const tarewise::Contents*> items;
    tarewise::ParcelFacts facts;
    tarewise::Amount value;
    std::int32_t packaging = -1;
    tarewise::TotalsResult totals;
  };

  static constexpr std::int32_t kEmpty = -1;
  tarewise::capi::Tag tag = kTag;
  std::int32_t detail = kEmpty;
  tw_dispatch* dispatch = nullptr;  // Owned; null while empty.
  tarewise::Request request;        // Filled again for each answer.
  std::optional<tarewise::Ranking> full;
  Quick quick;
  std::vector<std::int32_t> packaging_index;                      // By candidate.
  std::deque<std::vector<std::optional<ChargeText>>> texts;       // By offer and charge.
  std::map<std::uint32_t, std::vector<std::string>> steps;        // By candidate, made when asked for.
  std::vector<std::string> no_steps;                              // Of a closed parcel with totals alone.
  std::map<std::uint32_t, std::vector<tarewise::Growth>> growth;  // As `steps`.
  std::vector<tarewise::Growth> no_growth;
  std::string json;
};

namespace tarewise::capi {

// All the text that C sees ends with NUL, because it is a whole string or a literal; an empty view may point nowhere.
inline const char* CText(std::string_view text) { return text.empty() ? "" : text.data(); }

// Leaves with the place of an error beside its message.
[[noreturn]] void FailRank(const absl::Status& status);

// A request document; leaves with every finding where it is wrong.
Request ReadRequestText(const char* json, std::size_t length, tw_error* error);
// Of a document that is given out: -1 to 16.
void CheckIndent(std::int32_t indent);
// What is told of an answer; NULL: all of it, on one line.
RankingJson JsonOptionsOf(const tw_json_options* options);

// Puts an answer into a ranking, which shares what it points into.
void HoldRanking(tw_ranking& ranking, const Ranking& answer, std::shared_ptr<const Shelf> shelf, std::int32_t detail);

}  // namespace tarewise::capi

#endif  // TAREWISE_CAPI_RANKING_HANDLE_H_
