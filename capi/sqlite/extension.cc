// tarewise in SQLite: a loadable extension over the C interface. README.md beside this file is its manual.
#include <sqlite3ext.h>

#include <cstring>
#include <new>

#include "glue.h"

SQLITE_EXTENSION_INIT1

namespace {

// Whether this connection has had everything already: loading twice leaves its tables and settings as they are.
bool IsLoaded(sqlite3* db) {
  sqlite3_stmt* statement = nullptr;
  bool loaded = false;
  if (sqlite3_prepare_v2(db, "SELECT shipping_version()", -1, &statement, nullptr) == SQLITE_OK &&
      sqlite3_step(statement) == SQLITE_ROW) {
    const auto* const text = reinterpret_cast<const char*>(sqlite3_column_text(statement, 0));
    loaded = text != nullptr && std::strncmp(text, "tarewise ", 9) == 0;
  }
  sqlite3_finalize(statement);
  return loaded;
}

int Initialize(sqlite3* db, char** message) {
  if (tw_abi_version() != TW_ABI_VERSION || tw_version() < TW_VERSION) {
    *message = sqlite3_mprintf("found libtarewise_c %s, expected %d.%d.%d or later with the ABI %d", tw_version_text(),
                               TW_VERSION_MAJOR, TW_VERSION_MINOR, TW_VERSION_PATCH, TW_ABI_VERSION);
    return SQLITE_ERROR;
  }
  constexpr int kLeast = 3031000;  // SQLITE_DIRECTONLY
  if (sqlite3_libversion_number() < kLeast) {
    *message = sqlite3_mprintf("found SQLite %s, expected 3.31 or later", sqlite3_libversion());
    return SQLITE_ERROR;
  }
  if (IsLoaded(db)) return SQLITE_OK;
  try {
    const auto share = std::make_shared<tarewise::sqlite::Connection>();
    int status = tarewise::sqlite::RegisterFunctions(db, share);
    if (status == SQLITE_OK) status = tarewise::sqlite::RegisterTables(db, share);
    if (status == SQLITE_OK) status = tarewise::sqlite::RegisterVersion(db, share);
    return status;
  } catch (...) {
    return SQLITE_NOMEM;
  }
}

}  // namespace

extern "C" __attribute__((visibility("default"))) int sqlite3_tarewisesqlite_init(sqlite3* db, char** message,
                                                                                  const sqlite3_api_routines* api);
extern "C" int sqlite3_tarewisesqlite_init(sqlite3* db, char** message, const sqlite3_api_routines* api) {
  SQLITE_EXTENSION_INIT2(api);
  return Initialize(db, message);
}
