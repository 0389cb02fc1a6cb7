#ifndef TAREWISE_UNITS_SCALE_STEP_H_
#define TAREWISE_UNITS_SCALE_STEP_H_

#include <cstdint>
#include <limits>
#include <numeric>
#include <optional>
#include <string_view>
#include <type_traits>

#include "absl/status/statusor.h"
#include "tarewise/internal/switch.h"
#include "tarewise/units/length.h"
#include "tarewise/units/rounding.h"
#include "tarewise/units/weight.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// The finest that a scale or a tape shows, held as an exact fraction: 0.1 oz is no whole number of nanograms, and 290
/// of its roundings would not be 29 oz. `Q` is `Weight` or `Length`.
template <typename Q>
class ScaleStep {
 public:
  static_assert(std::is_same_v<Q, Weight> || std::is_same_v<Q, Length>, "a step is of a weight or of a length");

  /// The base unit: 1 ng or 1 nm.
  constexpr ScaleStep() = default;
  /// `step` / `den` (den 1 or more).
  static constexpr ScaleStep Of(Q step, std::int64_t den = 1) { return ScaleStep(Base(step), den); }

  /// Reads one number and unit, "0.1 oz", "1/8 in", exactly. Errors: InvalidArgument where it is not, or is 0.
  static absl::StatusOr<ScaleStep> Parse(std::string_view text);

  constexpr bool positive() const { return num_ > 0 && den_ > 0; }
  /// `n` steps, half up to the base unit.
  Q Times(std::int64_t n) const {
    return Make(static_cast<std::int64_t>(internal::RoundHalfUp(Int128(num_) * n, den_)));
  }
  /// The fewest steps that come to `amount` base units or more.
  std::int64_t Reaching(std::int64_t amount) const {
    if (amount <= 0) return 0;
    std::int64_t n = static_cast<std::int64_t>((Int128(amount) * den_ + num_ - 1) / num_);
    if (n > 0 && Base(Times(n - 1)) >= amount) --n;
    return n;
  }

  friend constexpr bool operator==(const ScaleStep&, const ScaleStep&) = default;

 private:
  constexpr ScaleStep(std::int64_t num, std::int64_t den) : num_(num), den_(den) {}
  static constexpr std::int64_t Base(Q q) {
    if constexpr (std::is_same_v<Q, Weight>) {
      return q.nanograms();
    } else {
      return q.nanometres();
    }
  }
  static constexpr Q Make(std::int64_t base) {
    if constexpr (std::is_same_v<Q, Weight>) {
      return Q::Nanograms(base);
    } else {
      return Q::Nanometres(base);
    }
  }

  std::int64_t num_ = 1;
  std::int64_t den_ = 1;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/units/internal/scale_step-inl.h"
#endif

#endif  // TAREWISE_UNITS_SCALE_STEP_H_
