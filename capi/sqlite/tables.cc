#include <algorithm>
#include <array>
#include <cstring>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "glue.h"

namespace tarewise::sqlite {
namespace {

// What a table tells. Its columns, then one input column for each name that has none among them.
enum class Kind { kOffers, kRefusals, kCharges };

enum class Shows : std::uint8_t {
  kRank,
  kCarrier,
  kService,
  kTitle,
  kPackaging,
  kIssuedBy,
  kZone,
  kTotal,
  kTotalMicros,
  kCurrency,
  kDaysLeast,
  kDaysMost,
  kArrivesEarliest,
  kArrivesLatest,
  kTracked,
  kMode,
  kDelivers,
  kGrossWeight,
  kOutside,
  kBillableWeight,
  kBillableFrom,
  kPackagingCost,
  kTax,
  kRisk,
  kTotalAtRisk,
  kHandicap,
  kCautions,
  kRoomWeight,
  kRoomLength,
  kRoomWidth,
  kRoomHeight,
  kReason,
  kText,
  kLine,
  kCode,
  kChargeTitle,
  kAmount,
  kAmountMicros,
  kAmountCurrency,
  kWhy,
  kTableRow,
  kTableColumn,
  kBilledAs,
};

struct Column {
  const char* declared;
  Shows shows;
  std::int32_t detail;  // that it needs, TW_DETAIL_
};

constexpr Column kOfferColumns[] = {
    {"rank INTEGER", Shows::kRank, TW_DETAIL_TOTALS},
    {"carrier TEXT", Shows::kCarrier, TW_DETAIL_TOTALS},
    {"service TEXT", Shows::kService, TW_DETAIL_TOTALS},
    {"title TEXT", Shows::kTitle, TW_DETAIL_TOTALS},
    {"packaging TEXT", Shows::kPackaging, TW_DETAIL_TOTALS},
    {"issued_by TEXT", Shows::kIssuedBy, TW_DETAIL_TOTALS},
    {"zone TEXT", Shows::kZone, TW_DETAIL_TOTALS},
    {"total TEXT", Shows::kTotal, TW_DETAIL_TOTALS},
    {"total_micros INTEGER", Shows::kTotalMicros, TW_DETAIL_TOTALS},
    {"currency TEXT", Shows::kCurrency, TW_DETAIL_TOTALS},
    {"days_least INTEGER", Shows::kDaysLeast, TW_DETAIL_TOTALS},
    {"days_most INTEGER", Shows::kDaysMost, TW_DETAIL_TOTALS},
    {"arrives_earliest TEXT", Shows::kArrivesEarliest, TW_DETAIL_TOTALS},
    {"arrives_latest TEXT", Shows::kArrivesLatest, TW_DETAIL_TOTALS},
    {"tracked INTEGER", Shows::kTracked, TW_DETAIL_TOTALS},
    {"mode TEXT", Shows::kMode, TW_DETAIL_TOTALS},
    {"delivers TEXT", Shows::kDelivers, TW_DETAIL_TOTALS},
    {"gross_weight TEXT", Shows::kGrossWeight, TW_DETAIL_TOTALS},
    {"outside TEXT", Shows::kOutside, TW_DETAIL_TOTALS},
    {"billable_weight TEXT", Shows::kBillableWeight, TW_DETAIL_CHARGES},
    {"billable_from TEXT", Shows::kBillableFrom, TW_DETAIL_CHARGES},
    {"packaging_cost TEXT", Shows::kPackagingCost, TW_DETAIL_CHARGES},
    {"tax TEXT", Shows::kTax, TW_DETAIL_CHARGES},
    {"risk TEXT", Shows::kRisk, TW_DETAIL_CHARGES},
    {"total_at_risk TEXT", Shows::kTotalAtRisk, TW_DETAIL_CHARGES},
    {"handicap TEXT", Shows::kHandicap, TW_DETAIL_TOTALS},
    {"cautions TEXT", Shows::kCautions, TW_DETAIL_TOTALS},
    {"room_weight TEXT", Shows::kRoomWeight, TW_DETAIL_FULL},
    {"room_length TEXT", Shows::kRoomLength, TW_DETAIL_FULL},
    {"room_width TEXT", Shows::kRoomWidth, TW_DETAIL_FULL},
    {"room_height TEXT", Shows::kRoomHeight, TW_DETAIL_FULL},
};
constexpr Column kRefusalColumns[] = {
    {"carrier TEXT", Shows::kCarrier, TW_DETAIL_CHARGES},     {"service TEXT", Shows::kService, TW_DETAIL_CHARGES},
    {"packaging TEXT", Shows::kPackaging, TW_DETAIL_CHARGES}, {"reason TEXT", Shows::kReason, TW_DETAIL_CHARGES},
    {"text TEXT", Shows::kText, TW_DETAIL_CHARGES},           {"currency TEXT", Shows::kCurrency, TW_DETAIL_CHARGES},
};
constexpr Column kChargeColumns[] = {
    {"rank INTEGER", Shows::kRank, TW_DETAIL_CHARGES},
    {"carrier TEXT", Shows::kCarrier, TW_DETAIL_CHARGES},
    {"service TEXT", Shows::kService, TW_DETAIL_CHARGES},
    {"packaging TEXT", Shows::kPackaging, TW_DETAIL_CHARGES},
    {"line INTEGER", Shows::kLine, TW_DETAIL_CHARGES},
    {"code TEXT", Shows::kCode, TW_DETAIL_CHARGES},
    {"title TEXT", Shows::kChargeTitle, TW_DETAIL_CHARGES},
    {"amount TEXT", Shows::kAmount, TW_DETAIL_CHARGES},
    {"amount_micros INTEGER", Shows::kAmountMicros, TW_DETAIL_CHARGES},
    {"amount_currency TEXT", Shows::kAmountCurrency, TW_DETAIL_CHARGES},
    {"why TEXT", Shows::kWhy, TW_DETAIL_CHARGES},
    {"table_row TEXT", Shows::kTableRow, TW_DETAIL_CHARGES},
    {"table_column TEXT", Shows::kTableColumn, TW_DETAIL_CHARGES},
    {"billed_as TEXT", Shows::kBilledAs, TW_DETAIL_CHARGES},
    {"currency TEXT", Shows::kCurrency, TW_DETAIL_CHARGES},
};

struct TableFacts {
  const char* name;
  Kind kind;
  std::span<const Column> columns;
};
constexpr TableFacts kTables[] = {
    {"shipping_offers", Kind::kOffers, kOfferColumns},
    {"shipping_refusals", Kind::kRefusals, kRefusalColumns},
    {"shipping_charges", Kind::kCharges, kChargeColumns},
};

// `currency` is a column that tells and one that may be asked by.
constexpr bool IsHidden(std::size_t name) { return name != static_cast<std::size_t>(Name::kCurrency); }

struct Module {
  Share share;
  const TableFacts* facts;
};

struct Table {
  sqlite3_vtab base;  // first, as SQLite wants it
  Share share;
  const TableFacts* facts;
};

// Which name the column `column` asks by.
std::optional<Name> AskedBy(const TableFacts& facts, int column) {
  if (column < 0) return std::nullopt;
  auto at = static_cast<std::size_t>(column);
  if (at < facts.columns.size()) {
    return facts.columns[at].shows == Shows::kCurrency ? std::optional<Name>(Name::kCurrency) : std::nullopt;
  }
  at -= facts.columns.size();
  for (std::size_t name = 0; name < kNameCount; ++name) {
    if (IsHidden(name) && at-- == 0) return static_cast<Name>(name);
  }
  return std::nullopt;
}

struct GiveBackValue {
  void operator()(sqlite3_value* value) const { sqlite3_value_free(value); }
};
using ValueHandle = std::unique_ptr<sqlite3_value, GiveBackValue>;

struct Cursor {
  sqlite3_vtab_cursor base;  // first
  RankingHandle ranking;
  bool metric_weight = false;
  bool metric_sides = false;
  std::size_t first = 0;  // offer, or refusal
  std::size_t end = 0;
  std::size_t at = 0;
  std::size_t part = 0;  // reason, or line of charge
  std::size_t parts = 0;
  std::int64_t row = 0;
  tw_offer offer = TW_OFFER_INIT;
  tw_refusal refusal = TW_REFUSAL_INIT;
  std::array<ValueHandle, kNameCount> asked;
};

Table& TableOf(sqlite3_vtab* base) { return *reinterpret_cast<Table*>(base); }
Cursor& CursorOf(sqlite3_vtab_cursor* base) { return *reinterpret_cast<Cursor*>(base); }

// What a method of a table does; what is thrown becomes the table's error.
template <typename Run>
int Method(Table& table, Run run) {
  try {
    run();
    return SQLITE_OK;
  } catch (const Failure& failure) {
    sqlite3_free(table.base.zErrMsg);
    table.base.zErrMsg = sqlite3_mprintf("%s: %s", table.facts->name, failure.message.c_str());
    return table.base.zErrMsg == nullptr ? SQLITE_NOMEM : failure.code;
  } catch (...) {
    return SQLITE_NOMEM;
  }
}

int Connect(sqlite3* db, void* auxiliary, int /*count*/, const char* const* /*arguments*/, sqlite3_vtab** out,
            char** /*message*/) {
  const auto& module = *static_cast<const Module*>(auxiliary);
  try {
    std::string declared = "CREATE TABLE x(";
    for (const Column& column : module.facts->columns) declared += std::string(column.declared) + ", ";
    for (std::size_t i = 0; i < kNameCount; ++i) {
      if (IsHidden(i))
        declared += (i == 0 ? "\"" : ", \"") + std::string(FactsOf(static_cast<Name>(i)).word) + "\" HIDDEN";
    }
    declared += ")";
    if (const int status = sqlite3_declare_vtab(db, declared.c_str()); status != SQLITE_OK) return status;
    *out = &(new Table{{}, module.share, module.facts})->base;
    return SQLITE_OK;
  } catch (...) {
    return SQLITE_NOMEM;
  }
}

int Disconnect(sqlite3_vtab* base) {
  delete &TableOf(base);
  return SQLITE_OK;
}

// The plan is a text with a letter for each value that Filter gets: that of a name, or kRankLetter. Without a weight it
// begins with kNoWeight: the plan then costs so much that any other is taken, and Filter says what is missing. The
// number beside it is the detail that the columns in use need.
constexpr char kNoWeight = '!';
constexpr char kRankLetter = '~';
constexpr char kFirstLetter = '0';
// Of conditions from the 17th on SQLite looks whether they hold, although it is told that they do; and nothing equals
// NULL. Letters of these stand further on, so that Filter can say so in the place of rows that vanish.
constexpr int kNotLookedAt = 16;
constexpr std::size_t kLate = kNameCount;
static_assert(kFirstLetter + 2 * kNameCount < kRankLetter);

int BestIndex(sqlite3_vtab* base, sqlite3_index_info* info) {
  Table& table = TableOf(base);
  return Method(table, [&] {
    std::array<int, kNameCount> by_name;
    by_name.fill(-1);
    int by_rank = -1;
    bool usable = true;
    for (int i = 0; i < info->nConstraint; ++i) {
      const auto& constraint = info->aConstraint[i];
      if (constraint.op != SQLITE_INDEX_CONSTRAINT_EQ) continue;
      if (const std::optional<Name> name = AskedBy(*table.facts, constraint.iColumn)) {
        if (constraint.usable == 0) usable = false;
        int& by = by_name[static_cast<std::size_t>(*name)];
        if (by < 0) by = i;
      } else if (constraint.iColumn == 0 && table.facts->columns[0].shows == Shows::kRank && constraint.usable != 0) {
        by_rank = i;
      }
    }
    // Another order of the tables has the values; this one would leave some out.
    if (!usable) throw Failure{SQLITE_CONSTRAINT, "", false};
    std::string plan;
    int argument = 0;
    const auto take = [&](int i, std::size_t letter) {
      plan += static_cast<char>(letter);
      info->aConstraintUsage[i].argvIndex = ++argument;
      info->aConstraintUsage[i].omit = 1;
    };
    for (std::size_t i = 0; i < kNameCount; ++i) {
      if (by_name[i] >= 0) take(by_name[i], kFirstLetter + i + (by_name[i] < kNotLookedAt ? 0 : kLate));
    }
    const bool asked = by_name[static_cast<std::size_t>(Name::kWeight)] >= 0;
    if (by_rank >= 0) take(by_rank, kRankLetter);
    if (!asked) plan.insert(plan.begin(), kNoWeight);
    info->idxStr = sqlite3_mprintf("%s", plan.c_str());
    if (info->idxStr == nullptr) throw std::bad_alloc();
    info->needToFreeIdxStr = 1;
    std::int32_t detail = TW_DETAIL_TOTALS;
    for (std::size_t i = 0; i < table.facts->columns.size(); ++i) {
      if ((info->colUsed >> std::min<std::size_t>(i, 63)) & 1u)
        detail = std::max(detail, table.facts->columns[i].detail);
    }
    if (table.facts->kind != Kind::kOffers) detail = std::max(detail, TW_DETAIL_CHARGES);
    info->idxNum = detail;
    info->estimatedCost = asked ? 1000 : 1e90;
    info->estimatedRows = by_rank >= 0 ? 1 : 50;
    if (info->nOrderBy == 1 && info->aOrderBy[0].iColumn == 0 && info->aOrderBy[0].desc == 0 &&
        table.facts->columns[0].shows == Shows::kRank) {
      info->orderByConsumed = 1;
    }
  });
}

int Open(sqlite3_vtab* base, sqlite3_vtab_cursor** out) {
  Table& table = TableOf(base);
  return Method(table, [&] {
    auto cursor = std::make_unique<Cursor>();
    tw_ranking* ranking = nullptr;
    if (tw_ranking_create(&ranking, nullptr) != TW_OK) throw std::bad_alloc();
    cursor->ranking.reset(ranking);
    *out = &cursor.release()->base;
  });
}

int Close(sqlite3_vtab_cursor* base) {
  delete &CursorOf(base);
  return SQLITE_OK;
}

// Reads the offer or refusal that the cursor is at, or the next that has something to tell.
void Settle(Cursor& cursor, const Table& table) {
  Connection& connection = *table.share;
  for (; cursor.at < cursor.end; ++cursor.at) {
    cursor.part = 0;
    if (table.facts->kind == Kind::kRefusals) {
      connection.Check(tw_ranking_refusal(&cursor.refusal, cursor.ranking.get(), cursor.at, connection.error()));
      cursor.parts = cursor.refusal.reason_count;
    } else {
      connection.Check(tw_ranking_offer(&cursor.offer, cursor.ranking.get(), cursor.at, connection.error()));
      // What the packaging costs is the last line.
      cursor.parts = table.facts->kind == Kind::kOffers
                         ? 1
                         : cursor.offer.charge_count + (cursor.offer.packaging_cost_micros != 0 ? 1u : 0u);
    }
    if (cursor.parts > 0) return;
  }
}

int Filter(sqlite3_vtab_cursor* base, int detail, const char* plan, int count, sqlite3_value** values) {
  Table& table = TableOf(base->pVtab);
  Cursor& cursor = CursorOf(base);
  return Method(table, [&] {
    cursor.first = cursor.end = cursor.at = 0;
    cursor.row = 0;
    for (ValueHandle& value : cursor.asked) value.reset();
    if (*plan == kNoWeight) {
      throw Failure{SQLITE_ERROR,
                    std::string("found no weight, expected ") + table.facts->name +
                        "(WEIGHT, SIDES, ...), or WHERE weight = ... AND sides = ...; or one request document. A "
                        "column of the same name in an outer query is written with its table: inventory.weight",
                    false};
    }
    Row row;
    bool ranked = false;
    std::int64_t rank = 0;
    int names = 0;
    for (int i = 0; i < count; ++i) {
      if (plan[i] == kRankLetter) {
        ranked = true;
        // Any other kind of value equals no rank.
        rank = sqlite3_value_numeric_type(values[i]) == SQLITE_INTEGER ? sqlite3_value_int64(values[i]) : 0;
        continue;
      }
      auto name = static_cast<std::size_t>(plan[i] - kFirstLetter);
      if (name >= kLate) {
        name -= kLate;
        if (sqlite3_value_type(values[i]) == SQLITE_NULL) {
          throw Failure{SQLITE_ERROR,
                        std::string(FactsOf(static_cast<Name>(name)).word) +
                            ": found NULL in the 17th condition or a later one, where no row equals it, expected it "
                            "before or left out",
                        true};
        }
      }
      ++names;
      row.said[name] = SaidOf(values[i]);
      cursor.asked[name].reset(sqlite3_value_dup(values[i]));
      if (cursor.asked[name] == nullptr) throw std::bad_alloc();
    }
    if (names == 1) std::swap(row.document, row.Of(Name::kWeight));
    if (names > 1 && row.Of(Name::kSides).kind == Said::kNot) {
      throw Failure{SQLITE_ERROR, "found no sides, expected them beside the weight", false};
    }
    Connection& connection = *table.share;
    const std::string unknown = connection.Rank(cursor.ranking.get(), row, detail);
    cursor.metric_weight = connection.metric_weight();
    cursor.metric_sides = connection.metric_sides();
    if (!unknown.empty()) return;  // no rows
    cursor.end = table.facts->kind == Kind::kRefusals ? tw_ranking_refusal_count(cursor.ranking.get())
                                                      : tw_ranking_offer_count(cursor.ranking.get());
    if (ranked) {
      const auto chosen = rank < 1 ? cursor.end : static_cast<std::size_t>(rank - 1);
      cursor.at = std::min(chosen, cursor.end);
      cursor.end = std::min(cursor.at + 1, cursor.end);
    }
    Settle(cursor, table);
  });
}

int Next(sqlite3_vtab_cursor* base) {
  Table& table = TableOf(base->pVtab);
  Cursor& cursor = CursorOf(base);
  return Method(table, [&] {
    ++cursor.row;
    if (++cursor.part < cursor.parts) return;
    ++cursor.at;
    Settle(cursor, table);
  });
}

int Eof(sqlite3_vtab_cursor* base) {
  const Cursor& cursor = CursorOf(base);
  return cursor.at >= cursor.end ? 1 : 0;
}

int RowId(sqlite3_vtab_cursor* base, sqlite3_int64* out) {
  *out = CursorOf(base).row;
  return SQLITE_OK;
}

// One cell.
class Teller {
 public:
  Teller(sqlite3_context* context, const Table& table, Cursor& cursor)
      : context_(context),
        table_(table),
        cursor_(cursor),
        connection_(*table.share),
        currency_(tw_ranking_currency(cursor.ranking.get())) {}

  void Tell(Shows shows) {
    const tw_offer& offer = cursor_.offer;
    switch (shows) {
      case Shows::kRank:
        return sqlite3_result_int64(context_, static_cast<std::int64_t>(cursor_.at + 1));
      case Shows::kCarrier:
        return TextOrNull(refused() ? cursor_.refusal.carrier : offer.carrier);
      case Shows::kService:
        return TextOrNull(refused() ? cursor_.refusal.service : offer.service);
      case Shows::kTitle:
        return ResultText(context_, offer.title);
      case Shows::kPackaging: {
        const char* const packaging = refused() ? cursor_.refusal.packaging : offer.packaging;
        return ResultText(context_, *packaging == '\0' ? "own" : packaging);
      }
      case Shows::kIssuedBy:
        return TextOrNull(offer.issued_by);
      case Shows::kZone:
        return TextOrNull(offer.zone);
      case Shows::kTotal:
        return Money(offer.total_micros, currency_);
      case Shows::kTotalMicros:
        return sqlite3_result_int64(context_, offer.total_micros);
      case Shows::kCurrency:
        return ResultText(context_, currency_);
      case Shows::kDaysLeast:
        return WholeOrNull(offer.days_least);
      case Shows::kDaysMost:
        return WholeOrNull(offer.days_most);
      case Shows::kArrivesEarliest:
        if (offer.has_arrival == 1) ResultText(context_, connection_.Date(offer.arrives_earliest));
        return;
      case Shows::kArrivesLatest:
        if (offer.has_arrival == 1) ResultText(context_, connection_.Date(offer.arrives_latest));
        return;
      case Shows::kTracked:
        return sqlite3_result_int(context_, offer.tracked);
      case Shows::kMode:
        return ResultText(context_, offer.mode == TW_MODE_AIR       ? "air"
                                    : offer.mode == TW_MODE_SURFACE ? "surface"
                                                                    : "any");
      case Shows::kDelivers:
        return ResultText(context_, tw_delivers_name(offer.delivers));
      case Shows::kGrossWeight:
        return ResultText(context_, connection_.Weight(offer.weight_ng, cursor_.metric_weight));
      case Shows::kOutside:
        return ResultText(context_, connection_.Sides(offer.sides_nm, cursor_.metric_sides));
      case Shows::kBillableWeight:
        return ResultText(context_, connection_.Weight(offer.billable_weight_ng, cursor_.metric_weight));
      case Shows::kBillableFrom:
        return ResultText(context_, offer.billable_from == TW_BILLABLE_ACTUAL        ? "actual"
                                    : offer.billable_from == TW_BILLABLE_DIMENSIONAL ? "dimensional"
                                                                                     : "minimum");
      case Shows::kPackagingCost:
        return Money(offer.packaging_cost_micros, currency_);
      case Shows::kTax:
        if (*offer.tax_code != '\0') Money(offer.tax_micros, offer.tariff_currency);
        return;
      case Shows::kRisk:
        return ResultText(context_, offer.risk == TW_RISK_NONE     ? "none"
                                    : offer.risk == TW_RISK_DEARER ? "dearer"
                                                                   : "refused");
      case Shows::kTotalAtRisk:
        if (offer.risk == TW_RISK_DEARER) Money(offer.total_at_risk_micros, currency_);
        return;
      case Shows::kHandicap:
        return Money(offer.handicap_micros, currency_);
      case Shows::kCautions:
        return Cautions(offer.cautions);
      case Shows::kRoomWeight:
        if (offer.headroom_weight_ng >= 0)
          ResultText(context_, connection_.Weight(offer.headroom_weight_ng, cursor_.metric_weight));
        return;
      case Shows::kRoomLength:
      case Shows::kRoomWidth:
      case Shows::kRoomHeight: {
        const std::int64_t room =
            offer.headroom_sides_nm[static_cast<int>(shows) - static_cast<int>(Shows::kRoomLength)];
        if (room >= 0) ResultText(context_, connection_.Length(room, cursor_.metric_sides));
        return;
      }
      case Shows::kReason:
        return ResultText(context_, tw_reason_name(Reason().code));
      case Shows::kText:
        return ResultText(context_, Reason().text);
      case Shows::kLine:
        return sqlite3_result_int64(context_, static_cast<std::int64_t>(cursor_.part + 1));
      case Shows::kCode:
      case Shows::kChargeTitle:
      case Shows::kAmount:
      case Shows::kAmountMicros:
      case Shows::kAmountCurrency:
      case Shows::kWhy:
      case Shows::kTableRow:
      case Shows::kTableColumn:
      case Shows::kBilledAs:
        return cursor_.part < offer.charge_count ? TellCharge(shows) : TellPackaging(shows);
    }
  }

 private:
  bool refused() const { return table_.facts->kind == Kind::kRefusals; }

  void TextOrNull(const char* text) {
    if (*text != '\0') ResultText(context_, text);
  }
  void WholeOrNull(std::int32_t number) {
    if (number >= 0) sqlite3_result_int(context_, number);
  }
  void Money(std::int64_t micros, const char* currency) { ResultText(context_, connection_.Money(micros, currency)); }

  void Cautions(std::uint32_t cautions) {
    std::string out;
    for (std::uint32_t bit = 0; bit < 32; ++bit) {
      if (((cautions >> bit) & 1u) == 0) continue;
      out += std::string(out.empty() ? "" : " ") + tw_caution_name(1u << bit);
    }
    TextOrNull(out.c_str());
  }

  tw_reason Reason() {
    tw_reason reason = TW_REASON_INIT;
    connection_.Check(tw_ranking_reason(&reason, cursor_.ranking.get(), cursor_.at, cursor_.part, connection_.error()));
    return reason;
  }

  void TellCharge(Shows shows) {
    tw_charge charge = TW_CHARGE_INIT;
    connection_.Check(tw_ranking_charge(&charge, cursor_.ranking.get(), cursor_.at, cursor_.part, connection_.error()));
    switch (shows) {
      case Shows::kCode:
        return ResultText(context_, charge.code);
      case Shows::kChargeTitle:
        return ResultText(context_, charge.title);
      case Shows::kAmount:
        return Money(charge.amount_micros, cursor_.offer.tariff_currency);
      case Shows::kAmountMicros:
        return sqlite3_result_int64(context_, charge.amount_micros);
      case Shows::kAmountCurrency:
        return ResultText(context_, cursor_.offer.tariff_currency);
      case Shows::kWhy:
        return ResultText(context_, charge.why);
      case Shows::kTableRow:
        return TextOrNull(charge.row);
      case Shows::kTableColumn:
        return TextOrNull(charge.column);
      default:
        return TextOrNull(charge.billed_as);
    }
  }

  // The line of the packaging, as though it were one of the tariff's.
  void TellPackaging(Shows shows) {
    switch (shows) {
      case Shows::kCode:
        return ResultText(context_, "packaging");
      case Shows::kChargeTitle:
        return ResultText(context_, *cursor_.offer.packaging == '\0' ? "own" : cursor_.offer.packaging);
      case Shows::kAmount:
        return Money(cursor_.offer.packaging_cost_micros, currency_);
      case Shows::kAmountMicros:
        return sqlite3_result_int64(context_, cursor_.offer.packaging_cost_micros);
      case Shows::kAmountCurrency:
        return ResultText(context_, currency_);
      case Shows::kWhy:
        return ResultText(context_, "the packaging's own cost");
      default:
        return;  // NULL
    }
  }

  sqlite3_context* context_;
  const Table& table_;
  Cursor& cursor_;
  Connection& connection_;
  const char* currency_;
};

int ColumnOf(sqlite3_vtab_cursor* base, sqlite3_context* context, int column) {
  const Table& table = TableOf(base->pVtab);
  Cursor& cursor = CursorOf(base);
  if (static_cast<std::size_t>(column) >= table.facts->columns.size()) {
    const std::optional<Name> name = AskedBy(*table.facts, column);
    const ValueHandle* const value = name ? &cursor.asked[static_cast<std::size_t>(*name)] : nullptr;
    if (value != nullptr && *value != nullptr) sqlite3_result_value(context, value->get());
    return SQLITE_OK;
  }
  Guarded(context, table.facts->name,
          [&] { Teller(context, table, cursor).Tell(table.facts->columns[static_cast<std::size_t>(column)].shows); });
  return SQLITE_OK;
}

void LetGoOfModule(void* module) { delete static_cast<Module*>(module); }

constexpr sqlite3_module kModule = {
    .iVersion = 0,
    .xCreate = nullptr,  // a table that is there by its name alone
    .xConnect = Connect,
    .xBestIndex = BestIndex,
    .xDisconnect = Disconnect,
    .xDestroy = nullptr,
    .xOpen = Open,
    .xClose = Close,
    .xFilter = Filter,
    .xNext = Next,
    .xEof = Eof,
    .xColumn = ColumnOf,
    .xRowid = RowId,
    .xUpdate = nullptr,
    .xBegin = nullptr,
    .xSync = nullptr,
    .xCommit = nullptr,
    .xRollback = nullptr,
    .xFindFunction = nullptr,
    .xRename = nullptr,
    .xSavepoint = nullptr,
    .xRelease = nullptr,
    .xRollbackTo = nullptr,
    .xShadowName = nullptr,
};

}  // namespace

int RegisterTables(sqlite3* db, const Share& share) {
  for (const TableFacts& facts : kTables) {
    auto* const module = new Module{share, &facts};
    // LetGoOfModule is called where this fails, too.
    if (const int status = sqlite3_create_module_v2(db, facts.name, &kModule, module, LetGoOfModule);
        status != SQLITE_OK)
      return status;
  }
  return SQLITE_OK;
}

}  // namespace tarewise::sqlite
