// What the SQLite extension costs over the C interface that it calls: an inventory of 100,000 rows, as sealed parcels
// and as goods to be packed into the demonstration's shelf.
//
//     tw_bench_sqlite EXTENSION TABLES [ROWS] [RUNS] [ROWS TO PACK]
//
// Compared are a statement over the whole table (SELECT sum(shipping_total_micros(weight, sides)) ...), a loop over the
// same texts by tw_parse_weight, tw_parse_sides and tw_rank, and tw_rank alone by numbers that were read before. The
// three sums must be the same. They are timed in turn; medians are told.
#include <sqlite3.h>
#include <tarewise_c.h>

#include <algorithm>
#include <chrono>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <string>
#include <vector>

namespace {

struct Row {
  std::string weight;
  std::string sides;
  std::int64_t weight_ng = 0;
  std::int64_t sides_nm[3] = {0, 0, 0};
};

[[noreturn]] void Stop(const char* what) {
  std::fprintf(stderr, "%s\n", what);
  std::exit(1);
}
void Check(tw_status status, const tw_error* error) {
  if (status != TW_OK) Stop(tw_error_message(error));
}
void Check(int status, sqlite3* db) {
  if (status != SQLITE_OK) Stop(sqlite3_errmsg(db));
}

// The same on every machine.
class Random {
 public:
  int Below(int bound) {
    state_ = state_ * 6364136223846793005u + 1442695040888963407u;
    return static_cast<int>((state_ >> 33) % static_cast<std::uint64_t>(bound));
  }

 private:
  std::uint64_t state_ = 20260803;
};

std::vector<Row> MakeRows(int count, const tw_error* error) {
  Random random;
  std::vector<Row> rows;
  for (int i = 0; i < count; ++i) {
    Row row;
    const int tenths = 20 + random.Below(300);
    row.weight = std::to_string(tenths / 10) + "." + std::to_string(tenths % 10) + " oz";
    const auto eighths = [&](int least, int spread) {
      const int side = least + random.Below(spread);
      const char* const parts[] = {"", ".125", ".25", ".375", ".5", ".625", ".75", ".875"};
      return std::to_string(side / 8) + parts[side % 8];
    };
    row.sides = eighths(40, 40);
    row.sides += " x " + eighths(24, 32);
    row.sides += " x " + eighths(4, 20) + " in";
    Check(tw_parse_weight(&row.weight_ng, row.weight.c_str(), nullptr), error);
    Check(tw_parse_sides(row.sides_nm, row.sides.c_str(), nullptr), error);
    rows.push_back(row);
  }
  return rows;
}

std::int64_t SumOf(sqlite3* db, const char* sql) {
  sqlite3_stmt* statement = nullptr;
  Check(sqlite3_prepare_v2(db, sql, -1, &statement, nullptr), db);
  if (sqlite3_step(statement) != SQLITE_ROW) Stop(sqlite3_errmsg(db));
  const std::int64_t sum = sqlite3_column_int64(statement, 0);
  sqlite3_finalize(statement);
  return sum;
}

void Run(sqlite3* db, const std::string& sql) { Check(sqlite3_exec(db, sql.c_str(), nullptr, nullptr, nullptr), db); }

}  // namespace

int main(int argc, char** argv) {
  if (argc < 3) Stop("tw_bench_sqlite EXTENSION TABLES [ROWS] [RUNS] [ROWS TO PACK]");
  const std::string tables = argv[2];
  const int count = argc > 3 ? std::atoi(argv[3]) : 100'000;
  const int runs = argc > 4 ? std::atoi(argv[4]) : 7;
  tw_error* error = nullptr;
  tw_ratebook* book = nullptr;
  tw_dispatch* dispatch = nullptr;
  tw_ranking* ranking = nullptr;
  tw_error_create(&error);
  const int to_pack = argc > 5 ? std::atoi(argv[5]) : count;
  std::vector<Row> rows = MakeRows(count, error);
  Check(tw_ratebook_load_folder(&book, tables.c_str(), error), error);
  tw_shipment shipment = TW_SHIPMENT_INIT;
  shipment.from_country = shipment.to_country = "US";
  shipment.from_postal_code = "05401";
  shipment.to_postal_code = "98101";
  shipment.to_residential = 1;
  shipment.currency = "USD";
  Check(tw_parse_date(&shipment.date, "2026-08-03", error), error);
  Check(tw_dispatch_create(&dispatch, book, tw_ratebook_shelf(book), &shipment, error), error);
  Check(tw_ranking_create(&ranking, error), error);

  sqlite3* db = nullptr;
  Check(sqlite3_open(":memory:", &db), db);
  sqlite3_enable_load_extension(db, 1);
  char* message = nullptr;
  if (sqlite3_load_extension(db, argv[1], nullptr, &message) != SQLITE_OK) Stop(message);
  Run(db, "SELECT shipping_tables('" + tables + "')");
  Run(db,
      "SELECT shipping_set('origin', 'US 05401', 'destination', 'US 98101', 'residential', 1, 'date', '2026-08-03', "
      "'currency', 'USD')");
  Run(db, "CREATE TABLE inventory(id INTEGER PRIMARY KEY, weight TEXT, sides TEXT, shipping_cents INTEGER)");
  Run(db, "BEGIN");
  sqlite3_stmt* insert = nullptr;
  Check(sqlite3_prepare_v2(db, "INSERT INTO inventory(weight, sides) VALUES (?, ?)", -1, &insert, nullptr), db);
  for (const Row& row : rows) {
    sqlite3_bind_text(insert, 1, row.weight.c_str(), -1, SQLITE_STATIC);
    sqlite3_bind_text(insert, 2, row.sides.c_str(), -1, SQLITE_STATIC);
    sqlite3_step(insert);
    sqlite3_reset(insert);
  }
  sqlite3_finalize(insert);
  Run(db, "COMMIT");

  for (const bool sealed : {true, false}) {
    std::fflush(stdout);
    tw_parcel parcel = TW_PARCEL_INIT;
    tw_item item = TW_ITEM_INIT;
    tw_request request = TW_REQUEST_INIT;
    if (sealed) {
      request.parcel = &parcel;
    } else {
      request.items = &item;
      request.item_count = 1;
    }
    std::int64_t& weight = sealed ? parcel.weight_ng : item.weight_ng;
    std::int64_t* const sides = sealed ? parcel.sides_nm : item.sides_nm;
    const auto total = [&]() -> std::int64_t {
      tw_offer offer = TW_OFFER_INIT;
      Check(tw_rank(ranking, dispatch, &request, error), error);
      if (tw_ranking_offer_count(ranking) == 0) return 0;
      Check(tw_ranking_offer(&offer, ranking, 0, error), error);
      return offer.total_micros;
    };
    if (!sealed && to_pack < count) {
      rows.resize(static_cast<std::size_t>(to_pack));
      Run(db, "DELETE FROM inventory WHERE id > " + std::to_string(to_pack));
    }
    Run(db, std::string("SELECT shipping_set('sealed', ") + (sealed ? "1)" : "0)"));
    struct Way {
      const char* name;
      std::function<std::int64_t()> sum;
      std::vector<double> seconds;
    };
    std::vector<Way> ways;
    ways.push_back({"SQL, sum of totals",
                    [&] { return SumOf(db, "SELECT sum(shipping_total_micros(weight, sides)) FROM inventory"); },
                    {}});
    ways.push_back(
        {"SQL, three functions a row",
         [&] {
           return SumOf(
               db,
               "SELECT sum(shipping_total_micros(weight, sides)) + 0 * sum(length(shipping_service(weight, sides))) "
               "+ 0 * sum(length(shipping_packaging(weight, sides))) FROM inventory");
         },
         {}});
    ways.push_back({"SQL, best row of shipping_offers",
                    [&] {
                      return SumOf(db,
                                   "SELECT sum(total_micros) FROM inventory AS i, shipping_offers(i.weight, i.sides) "
                                   "AS o WHERE o.rank = 1");
                    },
                    {}});
    ways.push_back({"SQL, destination of each row",
                    [&] {
                      return SumOf(
                          db,
                          "SELECT sum(shipping_total_micros(weight, sides, 'destination', 'US 98101')) FROM inventory");
                    },
                    {}});
    ways.push_back({"C, texts parsed",
                    [&] {
                      std::int64_t sum = 0;
                      for (const Row& row : rows) {
                        Check(tw_parse_weight(&weight, row.weight.c_str(), error), error);
                        Check(tw_parse_sides(sides, row.sides.c_str(), error), error);
                        sum += total();
                      }
                      return sum;
                    },
                    {}});
    ways.push_back({"C, numbers",
                    [&] {
                      std::int64_t sum = 0;
                      for (const Row& row : rows) {
                        weight = row.weight_ng;
                        std::copy(row.sides_nm, row.sides_nm + 3, sides);
                        sum += total();
                      }
                      return sum;
                    },
                    {}});
    const std::int64_t expected = ways.back().sum();
    for (int run = 0; run < runs; ++run) {
      for (Way& way : ways) {
        const auto began = std::chrono::steady_clock::now();
        const std::int64_t sum = way.sum();
        way.seconds.push_back(std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count());
        if (sum != expected) Stop("the sums differ");
      }
    }
    std::printf("%s, %d rows, medians of %d runs; all sums %lld micros\n",
                sealed ? "sealed parcels" : "goods packed into the shelf", static_cast<int>(rows.size()), runs,
                static_cast<long long>(expected));
    for (Way& way : ways) std::sort(way.seconds.begin(), way.seconds.end());
    for (Way& way : ways) {
      const auto median = [&](const Way& of) { return of.seconds[of.seconds.size() / 2]; };
      std::printf("  %-34s %9.0f rows/s  %7.2f us/row  %5.2f x C with texts\n", way.name, count / median(way),
                  median(way) / count * 1e6, median(way) / median(ways[4]));
    }
  }
  tw_ranking_free(ranking);
  tw_dispatch_release(dispatch);
  tw_ratebook_release(book);
  tw_error_free(error);
  sqlite3_close(db);
  return 0;
}
