#ifndef TAREWISE_TESTS_SUPPORT_REFUSAL_OF_H_
#define TAREWISE_TESTS_SUPPORT_REFUSAL_OF_H_

#include <string>
#include <string_view>

#include "tarewise/ranking/ranking.h"

namespace tarewise::testing {

/// Why a service is refused, reason after reason: "no_zone: ...; promise_not_met: ...". `packaging`: in this one alone.
inline std::string RefusalOf(const Ranking& ranking, std::string_view service, std::string_view packaging = "") {
  std::string out;
  for (const Refusal& refusal : ranking.refusals()) {
    if (refusal.service != service || (!packaging.empty() && refusal.packaging != packaging)) continue;
    for (const RefusalReason& reason : refusal.reasons) {
      out += (out.empty() ? "" : "; ") + std::string(NameOf(reason.code)) + ": " + reason.text;
    }
  }
  return out;
}

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_SUPPORT_REFUSAL_OF_H_
