#ifndef TAREWISE_LIB_DOCUMENTS_CALENDAR_READER_H_
#define TAREWISE_LIB_DOCUMENTS_CALENDAR_READER_H_

#include <optional>

#include "fields.h"
#include "tarewise/tariff/calendar.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// Reads the calendar of a tariff or of a service. After an error, what is given must not be used.
std::optional<Calendar> ReadCalendar(Fields& fields, Value value);
/// Reads the earliest and the latest date of an example; nothing after an error.
std::optional<Arrival> ReadArrival(Fields& fields, Value value);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_CALENDAR_READER_H_
