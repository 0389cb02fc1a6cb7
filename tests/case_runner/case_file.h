#ifndef TAREWISE_TESTS_CASE_RUNNER_CASE_FILE_H_
#define TAREWISE_TESTS_CASE_RUNNER_CASE_FILE_H_

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/parcel/item.h"
#include "tarewise/pricing/charge.h"
#include "tarewise/tariff/consignment.h"
#include "tarewise/tariff/reason.h"
#include "tarewise/units/date.h"
#include "tarewise/units/money.h"
#include "tarewise/zone/place.h"

namespace tarewise::testing {

/// What a parcel must cost.
struct Expectation {
  Amount total;
  std::optional<Weight> billable;
  std::optional<BillableFrom> from;
  std::optional<std::vector<std::pair<std::string, Amount>>> lines;
};

/// One worked price: everything that was set when its parcel was written, and the answer it must get.
struct Case {
  int line = 0;  ///< Of the answer.
  std::string carrier;
  std::string service;
  Date date;
  std::optional<std::string> zone;  ///< As given; nothing: by the lane.
  Lane lane;
  std::vector<std::string> extras;
  std::optional<Amount> cover;
  std::optional<Amount> cash_on_delivery;
  Consignment consignment;
  std::string parcel_text;
  Parcel parcel;
  std::optional<Expectation> expect;
  std::vector<Reason> refused;
};

struct CaseFile {
  std::string tables;  ///< A folder, from the root of the repository.
  std::vector<Case> cases;
};

/// Reads a file of worked prices; the language is in tests/cases/README.md. Errors: InvalidArgument with `file:line:
/// ...`.
absl::StatusOr<CaseFile> ReadCaseFile(const std::string& path);

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_CASE_RUNNER_CASE_FILE_H_
