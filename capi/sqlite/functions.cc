#include <algorithm>
#include <cstring>
#include <map>
#include <optional>
#include <utility>
#include <vector>

#include "glue.h"

namespace tarewise::sqlite {

Said SaidOf(sqlite3_value* value) {
  const int type = sqlite3_value_type(value);
  if (type == SQLITE_NULL) return {Said::kNull, {}};
  if (type == SQLITE_BLOB) return {Said::kBlob, {}};
  const auto* const text = reinterpret_cast<const char*>(sqlite3_value_text(value));
  if (text == nullptr) throw std::bad_alloc();
  const auto size = static_cast<std::size_t>(sqlite3_value_bytes(value));
  return {type == SQLITE_TEXT ? Said::kText : Said::kNumber, std::string_view(text, size)};
}

namespace {

[[noreturn]] void FailName(const Said& word) {
  throw Failure{SQLITE_ERROR,
                "found " + (word.is() ? "'" + std::string(word.text.substr(0, 60)) + "'" : std::string("NULL")) +
                    " where a name stands, " + ExpectedNames(word.text),
                false};
}

Name NameOf(const Said& word) {
  const std::optional<Name> name = word.kind == Said::kText ? FindName(word.text) : std::nullopt;
  if (!name) FailName(word);
  return *name;
}

}  // namespace

Row RowOf(int count, sqlite3_value** values) {
  Row row;
  if (count == 1) {
    row.document = SaidOf(values[0]);
    return row;
  }
  if (count < 2 || count % 2 != 0) {
    throw Failure{SQLITE_ERROR,
                  "found " + std::to_string(count) +
                      " arguments, expected a weight, sides and pairs of a name and a value, or one request document",
                  false};
  }
  row.Of(Name::kWeight) = SaidOf(values[0]);
  row.Of(Name::kSides) = SaidOf(values[1]);
  for (int i = 2; i < count; i += 2) {
    const Said word = SaidOf(values[i]);
    const Name name = NameOf(word);
    if (name == Name::kWeight || name == Name::kSides) {
      throw Failure{
          SQLITE_ERROR,
          "found '" + std::string(word.text) + "' among the pairs, expected a weight and sides first, without names",
          false};
    }
    Said& said = row.Of(name);
    if (said.kind != Said::kNot) {
      throw Failure{SQLITE_ERROR, "found '" + std::string(word.text) + "' twice, expected it once", false};
    }
    said = SaidOf(values[i + 1]);
  }
  return row;
}

namespace {

enum class Told { kTotal, kCents, kMicros, kService, kPackaging, kExplain, kReason, kProblem };

struct FunctionFacts {
  const char* scalar;
  const char* aggregate;  // NULL: none
  Told told;
  std::int32_t detail;
};
constexpr FunctionFacts kFunctions[] = {
    {"shipping_total", "shipping_order_total", Told::kTotal, TW_DETAIL_TOTALS},
    {"shipping_total_cents", "shipping_order_total_cents", Told::kCents, TW_DETAIL_TOTALS},
    {"shipping_total_micros", "shipping_order_total_micros", Told::kMicros, TW_DETAIL_TOTALS},
    {"shipping_service", "shipping_order_service", Told::kService, TW_DETAIL_TOTALS},
    {"shipping_packaging", "shipping_order_packaging", Told::kPackaging, TW_DETAIL_TOTALS},
    {"shipping_explain", "shipping_order_explain", Told::kExplain, TW_DETAIL_FULL},
    {"shipping_reason", "shipping_order_reason", Told::kReason, TW_DETAIL_TOTALS},
    {"shipping_problem", nullptr, Told::kProblem, TW_DETAIL_TOTALS},
};

struct Function {
  Share share;
  const char* name;
  const FunctionFacts* facts;
};

Function& FunctionOf(sqlite3_context* context) { return *static_cast<Function*>(sqlite3_user_data(context)); }

// Why nothing is offered: how many ways each reason rules out, most first, with one of them in words.
std::string ReasonsOf(Connection& connection) {
  struct Group {
    std::size_t ways = 0;
    std::string example;
  };
  std::map<std::int32_t, Group> groups;
  const tw_ranking* const ranking = connection.ranking();
  for (std::size_t i = 0; i < tw_ranking_refusal_count(ranking); ++i) {
    tw_refusal refusal = TW_REFUSAL_INIT;
    connection.Check(tw_ranking_refusal(&refusal, ranking, i, connection.error()));
    if (refusal.reason_count == 0) continue;
    tw_reason reason = TW_REASON_INIT;
    connection.Check(tw_ranking_reason(&reason, ranking, i, 0, connection.error()));
    Group& group = groups[reason.code];
    if (group.ways++ == 0) {
      if (*refusal.carrier != '\0') group.example = std::string(refusal.carrier) + "/" + refusal.service;
      if (*refusal.packaging != '\0') {
        group.example += std::string(group.example.empty() ? "" : " in ") + refusal.packaging;
      }
      group.example += std::string(group.example.empty() ? "" : ": ") + reason.text;
    }
  }
  std::vector<std::pair<std::int32_t, Group>> sorted(groups.begin(), groups.end());
  std::stable_sort(sorted.begin(), sorted.end(),
                   [](const auto& a, const auto& b) { return a.second.ways > b.second.ways; });
  std::string out = "no way to send it";
  for (const auto& [code, group] : sorted) {
    out += "; " + std::string(tw_reason_name(code)) + ": " + std::to_string(group.ways) +
           (group.ways == 1 ? " way, " : " ways, such as ") + group.example;
  }
  return out;
}

tw_offer BestOf(Connection& connection) {
  tw_offer offer = TW_OFFER_INIT;
  connection.Check(tw_ranking_offer(&offer, connection.ranking(), 0, connection.error()));
  return offer;
}

void ResultCents(sqlite3_context* context, Connection& connection, std::int64_t micros) {
  constexpr std::int64_t kMicrosOfCent = 10'000;
  const tw_ranking* const ranking = connection.ranking();
  const std::string currency = tw_ranking_currency(ranking);
  if (const std::int32_t decimals = tw_dispatch_currency_decimals(tw_ranking_dispatch(ranking)); decimals != 2) {
    throw Failure{SQLITE_ERROR,
                  "found " + currency + ", which has " + std::to_string(decimals) +
                      " decimals, expected a currency with 2; shipping_total_micros tells any",
                  true};
  }
  if (micros % kMicrosOfCent != 0) {
    throw Failure{SQLITE_ERROR,
                  "found " + connection.Money(micros, currency.c_str()) + " " + currency +
                      ", expected whole cents; shipping_total_micros tells any",
                  true};
  }
  sqlite3_result_int64(context, micros / kMicrosOfCent);
}

// What a function tells of the connection's ranking, which has been asked for.
void Tell(sqlite3_context* context, Connection& connection, Told told) {
  if (told == Told::kExplain) {
    const char* json = nullptr;
    std::size_t length = 0;
    connection.Check(tw_ranking_json(&json, &length, connection.ranking(), -1, connection.error()));
    ResultText(context, {json, length});
    sqlite3_result_subtype(context, 'J');  // SQLite's own functions then take it for JSON
    return;
  }
  if (tw_ranking_offer_count(connection.ranking()) == 0) return;  // NULL
  const tw_offer best = BestOf(connection);
  switch (told) {
    case Told::kTotal:
      ResultText(context, connection.Money(best.total_micros, tw_ranking_currency(connection.ranking())));
      break;
    case Told::kCents:
      ResultCents(context, connection, best.total_micros);
      break;
    case Told::kMicros:
      sqlite3_result_int64(context, best.total_micros);
      break;
    case Told::kService:
      ResultText(context, std::string(best.carrier) + "/" + best.service);
      break;
    case Told::kPackaging:
      ResultText(context, *best.packaging == '\0' ? std::string_view("own") : best.packaging);
      break;
    case Told::kExplain:
    case Told::kReason:
    case Told::kProblem:
      break;
  }
}

// One shipment.
void CallScalar(sqlite3_context* context, int count, sqlite3_value** values) {
  const Function& function = FunctionOf(context);
  Guarded(context, function.name, [&] {
    Connection& connection = *function.share;
    const Row row = RowOf(count, values);
    const Told told = function.facts->told;
    if (told == Told::kProblem) {
      try {
        connection.Ask(row, function.facts->detail);
      } catch (const Failure& failure) {
        if (!failure.of_row) throw;
        ResultText(context, failure.message);
      }
      return;
    }
    const std::string& unknown = connection.Ask(row, function.facts->detail);
    if (told != Told::kReason) {
      if (unknown.empty()) Tell(context, connection, told);
    } else if (!unknown.empty()) {
      ResultText(context, unknown);
    } else if (tw_ranking_offer_count(connection.ranking()) == 0) {
      connection.Ask(row, TW_DETAIL_CHARGES);
      ResultText(context, ReasonsOf(connection));
    }
  });
}

// One order of several rows. SQLite keeps this, all zeros at first, for StepOrder and, once, for EndOrder.
struct KeptOrder {
  Order* order;
};

void StepOrder(sqlite3_context* context, int count, sqlite3_value** values) {
  const Function& function = FunctionOf(context);
  Guarded(context, function.name, [&] {
    auto* const kept = static_cast<KeptOrder*>(sqlite3_aggregate_context(context, sizeof(KeptOrder)));
    if (kept == nullptr) throw std::bad_alloc();
    if (kept->order == nullptr) kept->order = new Order;
    function.share->Add(*kept->order, RowOf(count, values));
  });
}

void EndOrder(sqlite3_context* context) {
  const Function& function = FunctionOf(context);
  auto* const kept = static_cast<KeptOrder*>(sqlite3_aggregate_context(context, 0));
  const std::unique_ptr<Order> order(kept == nullptr ? nullptr : kept->order);
  if (order == nullptr) return;  // no row, no order
  Guarded(context, function.name, [&] {
    Connection& connection = *function.share;
    const Told told = function.facts->told;
    if (!order->unknown.empty()) {
      if (told == Told::kReason) ResultText(context, order->unknown);
      return;
    }
    if (order->goods.empty()) return;  // after an error of a row
    connection.AskOrder(*order, function.facts->detail);
    if (told != Told::kReason) {
      Tell(context, connection, told);
    } else if (tw_ranking_offer_count(connection.ranking()) == 0) {
      connection.AskOrder(*order, TW_DETAIL_CHARGES);
      ResultText(context, ReasonsOf(connection));
    }
  });
}

// ---- Tables, settings and the rest ----

void CallTables(sqlite3_context* context, int count, sqlite3_value** values) {
  const Function& function = FunctionOf(context);
  Guarded(context, function.name, [&] {
    if (count == 0) {
      if (!function.share->folder().empty()) ResultText(context, function.share->folder());
      return;
    }
    const Said folder = SaidOf(values[0]);
    if (folder.kind != Said::kText) {
      throw Failure{SQLITE_ERROR,
                    std::string("found ") +
                        (folder.kind == Said::kNull   ? "NULL"
                         : folder.kind == Said::kBlob ? "a blob"
                                                      : "a number") +
                        ", expected the path of a folder of tables",
                    false};
    }
    if (folder.text.empty() || folder.text.find('\0') != std::string_view::npos) {
      throw Failure{SQLITE_ERROR,
                    "found an empty path or one with a NUL character, expected the path of a folder of tables", false};
    }
    sqlite3_result_int64(context, function.share->Load(folder.text.data()));
  });
}

void CallSet(sqlite3_context* context, int count, sqlite3_value** values) {
  const Function& function = FunctionOf(context);
  Guarded(context, function.name, [&] {
    if (count == 0 || count % 2 != 0) {
      throw Failure{SQLITE_ERROR, "found " + std::to_string(count) + " arguments, expected pairs of a name and a value",
                    false};
    }
    std::vector<std::pair<Name, Said>> settings;
    for (int i = 0; i < count; i += 2) {
      const Said word = SaidOf(values[i]);
      const Name name = NameOf(word);
      for (const auto& other : settings) {
        if (other.first == name) {
          throw Failure{SQLITE_ERROR, "found '" + std::string(word.text) + "' twice, expected it once", false};
        }
      }
      settings.emplace_back(name, SaidOf(values[i + 1]));
    }
    function.share->Set(settings);
    sqlite3_result_int(context, count / 2);
  });
}

void CallSetting(sqlite3_context* context, int /*count*/, sqlite3_value** values) {
  const Function& function = FunctionOf(context);
  Guarded(context, function.name, [&] {
    if (const std::optional<std::string>& text = function.share->Setting(NameOf(SaidOf(values[0]))))
      ResultText(context, *text);
  });
}

// Three columns as sides; nothing with any NULL.
std::optional<std::string> Joined(Connection& connection, int count, sqlite3_value** values) {
  Said sides[3];
  for (int i = 0; i < 3; ++i) sides[i] = SaidOf(values[i]);
  const Said unit = count == 4 ? SaidOf(values[3]) : Said();
  if (unit.kind == Said::kNull) return std::nullopt;
  for (const Said& side : sides) {
    if (side.kind == Said::kNull) return std::nullopt;
  }
  if (unit.kind == Said::kBlob)
    throw Failure{SQLITE_ERROR, "side_unit: found a blob, expected a unit such as 'in'", true};
  return connection.JoinSides(sides, count == 4 ? unit.text.data() : nullptr);
}

void CallSides(sqlite3_context* context, int count, sqlite3_value** values) {
  const Function& function = FunctionOf(context);
  Guarded(context, function.name, [&] {
    if (const std::optional<std::string> sides = Joined(*function.share, count, values)) ResultText(context, *sides);
  });
}

void CallSidesProblem(sqlite3_context* context, int count, sqlite3_value** values) {
  const Function& function = FunctionOf(context);
  Guarded(context, function.name, [&] {
    try {
      Joined(*function.share, count, values);
    } catch (const Failure& failure) {
      if (!failure.of_row) throw;
      ResultText(context, failure.message);
    }
  });
}

void CallVersion(sqlite3_context* context, int /*count*/, sqlite3_value** /*values*/) {
  Guarded(context, "shipping_version", [&] { ResultText(context, std::string("tarewise ") + tw_version_text()); });
}

void LetGoOfFunction(void* function) { delete static_cast<Function*>(function); }

using Call = void (*)(sqlite3_context*, int, sqlite3_value**);
using End = void (*)(sqlite3_context*);

int Register(sqlite3* db, const Share& share, const char* name, int arguments, int flags, const FunctionFacts* facts,
             Call call, Call step, End end) {
  auto* const function = new Function{share, name, facts};
  // LetGoOfFunction is called where this fails, too.
  return sqlite3_create_function_v2(db, name, arguments, SQLITE_UTF8 | flags, function, call, step, end,
                                    LetGoOfFunction);
}

}  // namespace

int RegisterFunctions(sqlite3* db, const Share& share) {
#ifdef SQLITE_RESULT_SUBTYPE
  const int subtype = SQLITE_RESULT_SUBTYPE;
#else
  const int subtype = 0;
#endif
  struct Plain {
    const char* name;
    int arguments;
    int flags;
    Call call;
  };
  // What reads files or changes the connection is for the program's own statements: no view or trigger of a database
  // that came from elsewhere may call it. Answers hang on tables and settings, so none of them is deterministic; only
  // what depends on its arguments alone is.
  constexpr Plain kPlain[] = {
      {"shipping_tables", 0, SQLITE_DIRECTONLY, CallTables},
      {"shipping_tables", 1, SQLITE_DIRECTONLY, CallTables},
      {"shipping_set", -1, SQLITE_DIRECTONLY, CallSet},
      {"shipping_setting", 1, 0, CallSetting},
      {"shipping_sides", 3, 0, CallSides},
      {"shipping_sides", 4, SQLITE_DETERMINISTIC | SQLITE_INNOCUOUS, CallSides},
      {"shipping_sides_problem", 3, 0, CallSidesProblem},
      {"shipping_sides_problem", 4, SQLITE_DETERMINISTIC | SQLITE_INNOCUOUS, CallSidesProblem},
  };
  for (const Plain& plain : kPlain) {
    const int status =
        Register(db, share, plain.name, plain.arguments, plain.flags, nullptr, plain.call, nullptr, nullptr);
    if (status != SQLITE_OK) return status;
  }
  for (const FunctionFacts& facts : kFunctions) {
    const int flags = facts.told == Told::kExplain ? subtype : 0;
    int status = Register(db, share, facts.scalar, -1, flags, &facts, CallScalar, nullptr, nullptr);
    if (status == SQLITE_OK && facts.aggregate != nullptr) {
      status = Register(db, share, facts.aggregate, -1, flags, &facts, nullptr, StepOrder, EndOrder);
    }
    if (status != SQLITE_OK) return status;
  }
  return SQLITE_OK;
}

int RegisterVersion(sqlite3* db, const Share& share) {
  return Register(db, share, "shipping_version", 0, SQLITE_INNOCUOUS, nullptr, CallVersion, nullptr, nullptr);
}

}  // namespace tarewise::sqlite
