#ifndef TAREWISE_LIB_DOCUMENTS_CROSS_CHECK_H_
#define TAREWISE_LIB_DOCUMENTS_CROSS_CHECK_H_

#include <cstddef>
#include <functional>
#include <vector>

#include "tarewise/documents/diagnostic.h"
#include "tarewise/documents/load.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// What a finding across documents is about.
struct Where {
  enum class Kind { kTariff, kTerms, kSeller, kOwn, kIssued };
  Kind kind = Kind::kTariff;
  std::size_t index = 0;  ///< Into the tables' lists.
};

/// Checks documents against each other. `locate` may give a finding, which has the file and the pointer, its line and
/// column.
std::vector<Diagnostic> CrossCheck(const Tables& tables, const std::function<void(Diagnostic&, const Where&)>& locate);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_CROSS_CHECK_H_
