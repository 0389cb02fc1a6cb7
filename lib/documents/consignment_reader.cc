#include "consignment_reader.h"

#include <cstdint>
#include <optional>
#include <string>

#include "absl/status/status.h"
#include "tarewise/ranking/internal/request_checks.h"
#include "tarewise/units/placed_error.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {

Consignment ReadConsignment(Fields& fields, Value value) {
  Consignment out;
  const Object object(fields, value,
                      "a consignment, such as {\"others\": 2, \"others_weight\": \"7.5 kg\", \"first\": true}",
                      {"others", "others_weight", "first"});
  if (!object) return out;
  const Value others = object.Require("others");
  const Value weight = object["others_weight"];
  const Value first = object["first"];
  const std::optional<std::int64_t> count = others ? fields.Whole(others, 0, kMostOthers) : std::nullopt;
  const std::optional<Weight> ng = weight ? fields.ReadWeight(weight, Zero::kAllowed) : Weight();
  const std::optional<bool> flag = first ? fields.Flag(first) : true;
  if (!count || !ng || !flag) return out;
  if (*count > 0) {
    if (!weight) object.Require("others_weight");
    if (!first) object.Require("first");
    if (!weight || !first) return out;
  }
  out = {static_cast<std::int32_t>(*count), *ng, *flag};
  if (const absl::Status status = internal::CheckConsignment(out); !status.ok()) {
    const PlacedError error = PlacedErrorOf(status);
    const bool of_first = error.place == "consignment/first";
    fields.Error(kBadRange, of_first ? first : weight, error.message);
  }
  return out;
}

}  // namespace tarewise::inline TW_VERSIONED::load
