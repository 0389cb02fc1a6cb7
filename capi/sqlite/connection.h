#ifndef TAREWISE_CAPI_SQLITE_CONNECTION_H_
#define TAREWISE_CAPI_SQLITE_CONNECTION_H_

#include <tarewise_c.h>

#include <array>
#include <cstddef>
#include <cstdint>
#include <deque>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "names.h"

namespace tarewise::sqlite {

/// What becomes an error of SQL.
struct Failure {
  int code;  ///< SQLITE_ERROR and so on.
  std::string message;
  bool of_row;  ///< Of what a row says, and not of how it was asked.
};

/// A value as SQL gave it. Numbers are taken by their decimal text.
struct Said {
  enum Kind : char { kNot = '-', kNull = 'n', kText = 't', kNumber = '#', kBlob = 'b' };
  Kind kind = kNot;
  std::string_view text;  ///< Ends with NUL, and holds only while the statement's values do.
  bool is() const { return kind == kText || kind == kNumber || kind == kBlob; }
};

/// What one row says: names and values, or a whole request document.
struct Row {
  std::array<Said, kNameCount> said;
  Said document;
  const Said& Of(Name name) const { return said[static_cast<std::size_t>(name)]; }
  Said& Of(Name name) { return said[static_cast<std::size_t>(name)]; }
};

template <typename T, void (*kGiveBack)(T*)>
struct GiveBack {
  void operator()(T* handle) const { kGiveBack(handle); }
};
using ErrorHandle = std::unique_ptr<tw_error, GiveBack<tw_error, tw_error_free>>;
using BookHandle = std::unique_ptr<tw_ratebook, GiveBack<tw_ratebook, tw_ratebook_release>>;
using RankingHandle = std::unique_ptr<tw_ranking, GiveBack<tw_ranking, tw_ranking_free>>;
using DispatchHandle = std::unique_ptr<tw_dispatch, GiveBack<tw_dispatch, tw_dispatch_release>>;

/// One goods of an order, with the texts that it points into.
struct Goods {
  tw_item item = TW_ITEM_INIT;
  std::vector<std::string> traits;
  std::vector<const char*> trait_texts;
};

/// An order of several rows, whose goods travel together.
struct Order {
  std::vector<Goods> goods;
  bool begun = false;
  std::string asked;              ///< All that its rows say beside the goods; the same of each.
  Row row;                        ///< The same, with the texts below.
  std::deque<std::string> texts;  ///< A deque: what points into it stays.
  std::string unknown;            ///< Which NULL leaves the answer unknown; "" if none does.
  bool metric_weight = false;
  bool metric_sides = false;
};

/// All that belongs to one connection of SQLite: tables, settings, and what was made ready from them. Used by one
/// thread at a time, as SQLite's connections are.
class Connection {
 public:
  Connection();

  /// Reads a folder of tables in the place of those before; after an error they stay. Gives the number of tariffs.
  std::int64_t Load(const char* folder);
  const std::string& folder() const { return folder_; }

  /// Sets what rows that do not say it are asked with; NULL takes it away. Nothing is set where one cannot be.
  void Set(const std::vector<std::pair<Name, Said>>& settings);
  const std::optional<std::string>& Setting(Name name) const { return settings_[static_cast<std::size_t>(name)].text; }

  /// Ranks what the row says into `into`. Gives what is unknown, in words: then there is no answer. `detail` is a
  /// TW_DETAIL_; a document is always answered in full.
  std::string Rank(tw_ranking* into, const Row& row, std::int32_t detail);
  /// The same into the ranking that the connection keeps; asked the same again, it answers from memory.
  const std::string& Ask(const Row& row, std::int32_t detail);
  tw_ranking* ranking() { return ranking_.get(); }

  /// Orders of several rows: add each, then ask.
  void Add(Order& order, const Row& row);
  /// Into the ranking that the connection keeps. The order has goods, and nothing of it is unknown.
  void AskOrder(const Order& order, std::int32_t detail);

  /// Text of the C interface's formats.
  std::string Money(std::int64_t micros, const char* currency);
  std::string Weight(std::int64_t ng, bool metric);
  std::string Length(std::int64_t nm, bool metric);
  std::string Sides(const std::int64_t sides_nm[3], bool metric);
  std::string Date(std::int32_t days);
  /// Three lengths as one text of sides, each with its unit. `unit` may be NULL: the connection's own.
  std::string JoinSides(const Said sides[3], const char* unit);

  /// What was asked last was in metric units.
  bool metric_weight() const { return metric_weight_; }
  bool metric_sides() const { return metric_sides_; }

  /// Fails where `status` is one, with the words of the last call's error.
  void Check(tw_status status, const char* of = nullptr, bool of_row = true);
  tw_error* error() { return error_.get(); }

 private:
  struct Kept {
    std::optional<std::string> text;
    Said::Kind kind = Said::kNot;
  };
  struct LaneKept {
    std::string key;
    DispatchHandle dispatch;
    std::uint64_t used = 0;
  };

  Said Effective(const Row& row, Name name) const;
  const char* TextOf(Name name, const Said& said);
  bool FlagOf(Name name, const Said& said);
  std::int64_t WholeOf(Name name, const Said& said, std::int64_t least, std::int64_t most);
  std::size_t WordOf(Name name, const Said& said, const char* const* words, std::size_t count);
  std::int64_t MoneyOf(Name name, const Said& said);
  std::int64_t WeightOf(Name name, const Said& said, const Said& unit, bool zero, bool* metric);
  std::int64_t LengthOf(Name name, const Said& said, const Said& unit);
  void SidesOf(std::int64_t out[3], const Said& said, const Said& unit, bool* metric);
  void ContentsOf(const Said& said, std::uint32_t& contents, Goods& goods);
  struct Place {
    std::string country;
    std::string code;
  };
  Place PlaceOf(Name name, const Said& said);

  std::string Unknown(const Row& row) const;
  void ReadGoods(const Row& row, Goods& goods);
  void ReadParcel(const Row& row, Goods& store, tw_parcel& parcel);
  void ReadAsking(const Row& row, tw_request& request);
  tw_dispatch* DispatchFor(const Row& row);
  DispatchHandle MakeDispatch(const Row& row);
  void Try(Name name, const Said& said, const Row& row);
  void RankDocument(tw_ranking* into, const Said& document);
  void NeedBook() const;
  [[noreturn]] void FailAt(Name name, const Said& said, const std::string& expected) const;

  ErrorHandle error_;
  RankingHandle ranking_;
  BookHandle book_;
  std::string folder_;
  std::array<Kept, kNameCount> settings_;
  std::vector<LaneKept> lanes_;
  tw_dispatch* own_lane_ = nullptr;  // of the settings alone; one of lanes_
  std::uint64_t uses_ = 0;
  Goods goods_;
  std::string scratch_;
  bool metric_weight_ = false;
  bool metric_sides_ = false;
  // What ranking_ answers.
  std::string kept_key_;
  std::string kept_unknown_;
  std::int32_t kept_detail_ = -1;
  std::string key_;
};

/// The key of what a row says, so that two rows have the same only if they say the same.
void AppendKey(std::string& key, std::size_t place, const Said& said);

}  // namespace tarewise::sqlite

#endif  // TAREWISE_CAPI_SQLITE_CONNECTION_H_
