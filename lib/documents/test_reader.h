#ifndef TAREWISE_LIB_DOCUMENTS_TEST_READER_H_
#define TAREWISE_LIB_DOCUMENTS_TEST_READER_H_

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "fields.h"
#include "names.h"
#include "tarewise/tariff/test.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// The parts of the seller's own rules that have tests.
enum class SellerPart : std::uint8_t { kAvoid, kAsk, kHandicap };

/// Where a test stands.
struct TestScope {
  const Names* names = nullptr;    ///< None: a document of terms, whose names are checked against the tariffs later.
  const ZoneSet* zones = nullptr;  ///< The zones that can be named; none: all of the document.
  bool in_measure = false;         ///< In `dimensional` or `at_least`, which come before the billable weight.
  std::optional<SellerPart> seller = {};  ///< In the seller's own rules, whose tests may not look at everything.
  /// Of what is due once a consignment, or decides whether that is: nothing that its parcels may differ in.
  bool once = false;
};

/// Reads a test. After an error, what is given must not be used.
Test ReadTest(Fields& fields, Value value, const TestScope& scope);

/// The zone of that name among `zones`, or `kNoZone`; reports one that is not there. `at_key`: the name is the value's
/// key.
ZoneId ReadZoneName(Fields& fields, Value value, bool at_key, const Names& names, const ZoneSet* zones);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_TEST_READER_H_
