#ifndef TAREWISE_LIB_DOCUMENTS_WEEK_READER_H_
#define TAREWISE_LIB_DOCUMENTS_WEEK_READER_H_

#include "fields.h"
#include "json_tree.h"
#include "tarewise/tariff/test.h"
#include "tarewise/tariff/week.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// Reads {"parcels": {"at_least": 50}} or {"spend": {"over": "500"}}, a condition for each.
void ReadWeekTest(Fields& fields, Value value, Test& test);

/// Reads the week of a request.
Week ReadWeek(Fields& fields, Value value);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_WEEK_READER_H_
