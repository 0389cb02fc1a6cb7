#ifndef TAREWISE_CAPI_SQLITE_GLUE_H_
#define TAREWISE_CAPI_SQLITE_GLUE_H_

#include <sqlite3ext.h>

#include <memory>
#include <new>
#include <string>
#include <string_view>

#include "connection.h"

SQLITE_EXTENSION_INIT3

namespace tarewise::sqlite {

/// Every function and table of a connection owns a share of it; the last one that SQLite lets go of frees it. SQLite
/// does so under the connection's own lock.
using Share = std::shared_ptr<Connection>;

/// A value of SQL as it stands. Throws std::bad_alloc where SQLite has no memory to turn it into text.
Said SaidOf(sqlite3_value* value);
/// A weight, sides and pairs of a name and a value; or one request document.
Row RowOf(int count, sqlite3_value** values);

inline void ResultText(sqlite3_context* context, std::string_view text) {
  sqlite3_result_text64(context, text.data(), text.size(), SQLITE_TRANSIENT, SQLITE_UTF8);
}

/// Runs what a callback of SQLite does; what is thrown becomes an error of SQL that begins with `function`.
template <typename Run>
void Guarded(sqlite3_context* context, const char* function, Run run) {
  try {
    run();
  } catch (const Failure& failure) {
    try {
      const std::string message = std::string(function) + ": " + failure.message;
      sqlite3_result_error(context, message.c_str(), -1);
      if (failure.code != SQLITE_ERROR) sqlite3_result_error_code(context, failure.code);
    } catch (const std::bad_alloc&) {
      sqlite3_result_error_nomem(context);
    }
  } catch (const std::bad_alloc&) {
    sqlite3_result_error_nomem(context);
  } catch (...) {
    sqlite3_result_error(context, "found an exception of the C++ library, expected none", -1);
  }
}

int RegisterFunctions(sqlite3* db, const Share& share);
/// Last, so that it tells a connection that has everything.
int RegisterVersion(sqlite3* db, const Share& share);
int RegisterTables(sqlite3* db, const Share& share);

}  // namespace tarewise::sqlite

#endif  // TAREWISE_CAPI_SQLITE_GLUE_H_
