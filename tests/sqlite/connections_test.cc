// The extension in a program: connections side by side, in threads, closed with open statements; and where memory runs
// out at every place in turn.
//
//     connections_test EXTENSION TABLES [--no-memory]
#include <sqlite3.h>

#include <atomic>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <new>
#include <string>
#include <thread>
#include <vector>

namespace {

std::atomic<std::int64_t> failing{-1};  // allocations until one fails; -1: none does
std::atomic<bool> failed{false};
// As many of SQLite's own.
std::atomic<std::int64_t> sqlite_failing{-1};

// Only what is called of SQLite is to fail, and not this program.
std::atomic<bool> inside{false};
struct Inside {
  Inside() { inside = true; }
  ~Inside() { inside = false; }
};

bool Fails(std::atomic<std::int64_t>& counter) {
  if (!inside || counter.load() < 0) return false;
  if (counter.fetch_sub(1) != 0) return false;
  failed = true;
  return true;
}

}  // namespace

void* operator new(std::size_t size) {
  void* const memory = Fails(failing) ? nullptr : std::malloc(size == 0 ? 1 : size);
  if (memory == nullptr) throw std::bad_alloc();
  return memory;
}
void operator delete(void* memory) noexcept { std::free(memory); }
void operator delete(void* memory, std::size_t) noexcept { std::free(memory); }

namespace {

int failures = 0;
std::string extension;
std::string tables;

void Expect(bool so, const std::string& what) {
  if (so) return;
  ++failures;
  std::fprintf(stderr, "FAILED: %s\n", what.c_str());
}

struct Answer {
  int status = SQLITE_OK;
  std::string text;  // of the first column of the last row, or the error
};

Answer Ask(sqlite3* db, const std::string& sql) {
  Answer answer;
  sqlite3_stmt* statement = nullptr;
  {
    const Inside call;
    answer.status = sqlite3_prepare_v2(db, sql.c_str(), -1, &statement, nullptr);
  }
  if (answer.status == SQLITE_OK) {
    const auto step_on = [statement] {
      const Inside call;
      return sqlite3_step(statement);
    };
    int step = SQLITE_ROW;
    while ((step = step_on()) == SQLITE_ROW) {
      const auto* const text = reinterpret_cast<const char*>(sqlite3_column_text(statement, 0));
      answer.text = text == nullptr ? "NULL" : text;
    }
    answer.status = step == SQLITE_DONE ? SQLITE_OK : step;
  }
  if (answer.status != SQLITE_OK) answer.text = sqlite3_errmsg(db);
  sqlite3_finalize(statement);
  return answer;
}

int Load(sqlite3* db) {
  sqlite3_enable_load_extension(db, 1);
  char* message = nullptr;
  int status = SQLITE_OK;
  {
    const Inside call;
    status = sqlite3_load_extension(db, extension.c_str(), nullptr, &message);
  }
  sqlite3_free(message);
  return status;
}

sqlite3* Open(const char* destination) {
  sqlite3* db = nullptr;
  Expect(sqlite3_open(":memory:", &db) == SQLITE_OK, "open");
  Expect(Load(db) == SQLITE_OK, "load");
  if (destination != nullptr) {
    Expect(Ask(db, "SELECT shipping_tables('" + tables + "')").status == SQLITE_OK, "tables");
    const Answer set = Ask(db, std::string("SELECT shipping_set('origin', 'US 05401', 'destination', '") + destination +
                                   "', 'date', '2026-08-03', 'currency', 'USD')");
    Expect(set.status == SQLITE_OK, "set: " + set.text);
  }
  return db;
}

const char kAsked[] = "SELECT shipping_total('3 lb', '9 x 7 x 4 in')";

void SideBySide() {
  sqlite3* const a = Open("US 98101");
  sqlite3* const b = Open(nullptr);
  Expect(Ask(a, kAsked).text != "NULL", "a total");
  Expect(Ask(b, kAsked).status == SQLITE_ERROR, "nothing is known to the other connection");
  Expect(Ask(b, "SELECT shipping_setting('date')").text == "NULL", "settings are a connection's own");
  Expect(Load(a) == SQLITE_OK, "loading twice");
  Expect(Ask(a, "SELECT shipping_setting('date')").text == "2026-08-03", "loading twice changes nothing");
  // With a statement that is under way, and by SQL.
  sqlite3_stmt* statement = nullptr;
  sqlite3_prepare_v2(a, "SELECT rank FROM shipping_offers('3 lb', '9 x 7 x 4 in')", -1, &statement, nullptr);
  Expect(sqlite3_step(statement) == SQLITE_ROW, "a row");
  Expect(Ask(a, "SELECT load_extension('" + extension + "')").status == SQLITE_OK, "loading by SQL");
  Expect(Ask(a, "SELECT shipping_tables('" + tables + "')").status == SQLITE_OK, "other tables while rows are read");
  Expect(Ask(a, "SELECT shipping_set('destination', 'US 05602')").status == SQLITE_OK,
         "another setting while rows are read");
  int read = 1;
  while (sqlite3_step(statement) == SQLITE_ROW) ++read;
  Expect(read > 1 && sqlite3_reset(statement) == SQLITE_OK, "an answer that was begun stays");
  // Closing with a statement open.
  Expect(sqlite3_step(statement) == SQLITE_ROW, "again");
  Expect(sqlite3_close(a) == SQLITE_BUSY, "busy");
  Expect(sqlite3_close_v2(a) == SQLITE_OK, "closed later");
  Expect(sqlite3_step(statement) == SQLITE_ROW, "and still answers");
  sqlite3_finalize(statement);
  Expect(sqlite3_close(b) == SQLITE_OK, "close");
}

void InThreads() {
  const char* const places[] = {"US 98101", "US 05602", "US 33139"};
  std::vector<std::string> alone;
  for (const char* const place : places) {
    sqlite3* const db = Open(place);
    alone.push_back(Ask(db, kAsked).text);
    sqlite3_close(db);
  }
  std::atomic<int> wrong{0};
  std::vector<std::thread> threads;
  for (std::size_t i = 0; i < std::size(places); ++i) {
    threads.emplace_back([&, i] {
      for (int round = 0; round < 3; ++round) {
        sqlite3* const db = Open(places[i]);
        for (int n = 0; n < 50; ++n) {
          // Another row in between, so that the kept answer is not always the one.
          Ask(db, "SELECT shipping_service('" + std::to_string(n + 1) + " oz', '9 x 7 x 4 in')");
          if (Ask(db, kAsked).text != alone[i]) ++wrong;
        }
        sqlite3_close(db);
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  Expect(wrong == 0, "threads answer as one alone does");
}

// More lanes than are kept, in turn, and the settings' own among them.
void ManyLanes() {
  sqlite3* const db = Open("US 98101");
  const Answer answer =
      Ask(db,
          "WITH RECURSIVE n(i) AS (SELECT 0 UNION ALL SELECT i + 1 FROM n WHERE i < 399), "
          "r(i, day) AS (SELECT i, date('2026-08-03', (i * 37 % 150) || ' days') FROM n), "
          "a(day, t) AS (SELECT day, shipping_total('3 lb', '9 x 7 x 4 in', 'date', day) FROM r), "
          "b(t) AS (SELECT shipping_total('3 lb', '9 x 7 x 4 in') FROM n) "
          "SELECT (SELECT count(*) FROM (SELECT day FROM a GROUP BY day HAVING count(DISTINCT t) > 1)) || ' ' || "
          "(SELECT count(DISTINCT t) FROM b) || ' ' || (SELECT count(DISTINCT day) FROM a)");
  Expect(answer.text == "0 1 150", "the same day costs the same, whatever was let go of: " + answer.text);
  sqlite3_close(db);
}

// One run through everything; gives the first status that is no success.
int Tour(std::string& said) {
  sqlite3* db = nullptr;
  int status = sqlite3_open(":memory:", &db);
  if (status == SQLITE_OK) status = Load(db);
  const std::string statements[] = {
      "SELECT shipping_tables('" + tables + "')",
      "SELECT shipping_set('origin', 'US 05401', 'destination', 'US 98101', 'date', '2026-08-03', 'currency', 'USD', "
      "'contents', 'x-mine')",
      "SELECT shipping_total('3 lb', '9 x 7 x 4 in', 'extras', NULL, 'promise', 'within 9')",
      "SELECT shipping_reason('900 lb', '9 x 7 x 4 in')",
      "SELECT shipping_problem('3', '9 x 7 x 4 in')",
      "SELECT length(shipping_explain('3 lb', '9 x 7 x 4 in'))",
      "SELECT count(*) FROM (SELECT * FROM shipping_offers('3 lb', '9 x 7 x 4 in'))",
      "SELECT count(*) FROM (SELECT * FROM shipping_refusals('3 lb', '9 x 7 x 4 in'))",
      "SELECT count(*) FROM (SELECT * FROM shipping_charges('3 lb', '9 x 7 x 4 in'))",
      "SELECT shipping_order_total(w, '9 x 7 x 4 in', 'destination', 'US 05602') FROM (SELECT '1 lb' AS w UNION ALL "
      "SELECT '2 lb')",
      "SELECT shipping_sides(1, 2, 3, 'in')"};
  for (const std::string& statement : statements) {
    if (status != SQLITE_OK) break;
    const Answer answer = Ask(db, statement);
    status = answer.status;
    said += answer.text + "\n";
  }
  failing = sqlite_failing = -1;
  sqlite3_close(db);
  return status;
}

// SQLite's own allocations, counted.
sqlite3_mem_methods plain;
void* CountedMalloc(int size) { return Fails(sqlite_failing) ? nullptr : plain.xMalloc(size); }
void* CountedRealloc(void* memory, int size) { return Fails(sqlite_failing) ? nullptr : plain.xRealloc(memory, size); }

void WithoutMemory(std::atomic<std::int64_t>& counter, const char* whose) {
  std::string right;
  Expect(Tour(right) == SQLITE_OK, "a run with memory: " + right);
  std::int64_t refused = 0;
  std::int64_t survived = 0;
  // Every place at first, then wider apart: there are a hundred thousand, most of them in the reading of tables.
  for (std::int64_t n = 0;; n += n < 400 ? 1 : 1 + n / 60) {
    failed = false;
    std::string said;
    counter = n;
    const int status = Tour(said);
    if (!failed) break;
    // SQLite may do without the memory that it asked for; then the answers are right.
    if (status == SQLITE_OK) {
      ++survived;
      Expect(said == right, std::string(whose) + " " + std::to_string(n) + ": another answer: " + said);
    } else {
      ++refused;
      // A library that cannot be loaded is an error of its own.
      Expect(status == SQLITE_NOMEM || status == SQLITE_IOERR_NOMEM || (status == SQLITE_ERROR && said.empty()),
             std::string(whose) + " " + std::to_string(n) + ": status " + std::to_string(status) + ": " + said);
    }
    if (failures > 20) return;
  }
  Expect(refused > 50, std::string(whose) + ": places that were refused: " + std::to_string(refused));
  std::string again;
  Expect(Tour(again) == SQLITE_OK && again == right, "all is well afterwards");
  std::printf("%s: %lld places without memory, %lld survived\n", whose, static_cast<long long>(refused),
              static_cast<long long>(survived));
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 3) return 2;
  extension = argv[1];
  tables = argv[2];
  if (argc > 3) {
    sqlite3_config(SQLITE_CONFIG_GETMALLOC, &plain);
    sqlite3_mem_methods counted = plain;
    counted.xMalloc = CountedMalloc;
    counted.xRealloc = CountedRealloc;
    sqlite3_config(SQLITE_CONFIG_MALLOC, &counted);
    sqlite3_initialize();
    // Held open, so that the library is not read anew each time.
    sqlite3* const held = Open(nullptr);
    WithoutMemory(failing, "operator new");
    WithoutMemory(sqlite_failing, "SQLite's memory");
    sqlite3_close(held);
  } else {
    SideBySide();
    InThreads();
    ManyLanes();
  }
  if (failures == 0) std::printf("passed\n");
  return failures == 0 ? 0 : 1;
}
