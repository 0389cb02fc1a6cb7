#ifndef TAREWISE_BATCH_INTERNAL_CONVERT_H_
#define TAREWISE_BATCH_INTERNAL_CONVERT_H_

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <limits>
#include <type_traits>

#include "tarewise/batch/columns.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// What stands for a value that is no quantity: not a number, below 0, or past any that is accepted.
inline constexpr std::int64_t kNotAQuantity = std::numeric_limits<std::int64_t>::min();
/// No quantity is as large in its base unit: the heaviest goods are 10^17 ng.
inline constexpr std::int64_t kQuantityCeiling = 1'000'000'000'000'000'000;

template <typename T>
T LoadAt(const std::byte* at) {
  T value;
  std::memcpy(&value, at, sizeof(T));
  return value;
}

/// Calls `f` with a value of the element's type.
template <typename F>
void WithElement(Element element, F f) {
  switch (element) {
    case Element::kInt8:
      return f(std::int8_t{});
    case Element::kUint8:
      return f(std::uint8_t{});
    case Element::kInt16:
      return f(std::int16_t{});
    case Element::kUint16:
      return f(std::uint16_t{});
    case Element::kInt32:
      return f(std::int32_t{});
    case Element::kUint32:
      return f(std::uint32_t{});
    case Element::kInt64:
      return f(std::int64_t{});
    case Element::kUint64:
      return f(std::uint64_t{});
    case Element::kFloat32:
      return f(float{});
    case Element::kFloat64:
      return f(double{});
  }
}

/// Turns numbers of a unit into whole base units.
class UnitScale {
 public:
  explicit UnitScale(std::int64_t unit)
      : unit_(unit), whole_(unit / kMillion), rest_(unit % kMillion), most_(kQuantityCeiling / unit) {
    const Int128 most = Int128(kQuantityCeiling) * kMillion / unit;
    most_millionths_ = most > kDoubleMost ? kDoubleMost : static_cast<std::int64_t>(most);
  }

  template <typename T>
  std::int64_t operator()(T value) const {
    if constexpr (std::is_floating_point_v<T>) {
      const double scaled = static_cast<double>(value) * 1e6;
      // False for NaN too.
      if (!(scaled >= 0 && scaled <= static_cast<double>(most_millionths_))) return kNotAQuantity;
      std::int64_t n = static_cast<std::int64_t>(scaled);
      const double rest = scaled - static_cast<double>(n);
      // The product was rounded: what only looks like a tie goes to the side that the value itself is on.
      if (rest > 0.5 || (rest == 0.5 && std::fma(static_cast<double>(value), 1e6, -scaled) >= 0)) ++n;
      return OfMillionths(n);
    } else {
      if constexpr (std::is_signed_v<T>) {
        if (value < 0) return kNotAQuantity;
      }
      if (static_cast<std::uint64_t>(value) > static_cast<std::uint64_t>(most_)) return kNotAQuantity;
      return static_cast<std::int64_t>(value) * unit_;
    }
  }

  /// n / 1,000,000 of the unit in base units, half up.
  std::int64_t OfMillionths(std::int64_t n) const {
    if (n < kSmall) return n * whole_ + (n * rest_ + kMillion / 2) / kMillion;
    return static_cast<std::int64_t>((Int128(n) * unit_ + kMillion / 2) / kMillion);
  }

 private:
  static constexpr std::int64_t kMillion = 1'000'000;
  static constexpr std::int64_t kSmall = 9'000'000'000'000;           // times a rest under a million fits 64 bits
  static constexpr std::int64_t kDoubleMost = 4'000'000'000'000'000;  // under 2^52: a double still tells halves apart
  std::int64_t unit_;
  std::int64_t whole_;
  std::int64_t rest_;
  std::int64_t most_;
  std::int64_t most_millionths_ = 0;
};

/// `count` values of a column from row `first` on, each through `convert`.
template <typename Out, typename Convert>
void ReadColumn(const Column& column, std::size_t first, std::size_t count, Out* out, const Convert& convert) {
  const auto* at = static_cast<const std::byte*>(column.From(first).data);
  WithElement(column.element, [&](auto type) {
    using T = decltype(type);
    const std::ptrdiff_t stride = column.stride;
    if (stride == 0) {
      const Out value = convert(LoadAt<T>(at));
      for (std::size_t i = 0; i < count; ++i) out[i] = value;
    } else if (stride == static_cast<std::ptrdiff_t>(sizeof(T))) {
      for (std::size_t i = 0; i < count; ++i) out[i] = convert(LoadAt<T>(at + i * sizeof(T)));
    } else {
      for (std::size_t i = 0; i < count; ++i) out[i] = convert(LoadAt<T>(at + static_cast<std::ptrdiff_t>(i) * stride));
    }
  });
}

/// Weights, sides and money in base units, or `kNotAQuantity`.
inline void ReadQuantities(const Column& column, std::size_t first, std::size_t count, std::int64_t* out) {
  ReadColumn(column, first, count, out, UnitScale(column.unit));
}

/// Counts, bits and codes, or -1 for what is below 0 or past 32 bits.
inline void ReadWholes(const Column& column, std::size_t first, std::size_t count, std::int32_t* out) {
  ReadColumn(column, first, count, out, [](auto value) {
    using T = decltype(value);
    if constexpr (std::is_floating_point_v<T>) {
      return std::int32_t{-1};
    } else {
      if constexpr (std::is_signed_v<T>) {
        if (value < 0) return std::int32_t{-1};
      }
      constexpr std::uint64_t kMost = std::numeric_limits<std::int32_t>::max();
      if (static_cast<std::uint64_t>(value) > kMost) return std::int32_t{-1};
      return static_cast<std::int32_t>(value);
    }
  });
}

inline void ReadFlags(const Column& column, std::size_t first, std::size_t count, std::uint8_t* out) {
  ReadColumn(column, first, count, out, [](auto value) { return static_cast<std::uint8_t>(value != 0 ? 1 : 0); });
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_BATCH_INTERNAL_CONVERT_H_
