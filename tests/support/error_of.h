#ifndef TAREWISE_TESTS_SUPPORT_ERROR_OF_H_
#define TAREWISE_TESTS_SUPPORT_ERROR_OF_H_

#include <string>

#include "absl/status/status.h"

namespace tarewise::testing {

inline std::string ErrorOf(const absl::Status& status) { return std::string(status.message()); }

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_SUPPORT_ERROR_OF_H_
