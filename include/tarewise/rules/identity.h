#ifndef TAREWISE_RULES_IDENTITY_H_
#define TAREWISE_RULES_IDENTITY_H_

#include <cstdint>
#include <optional>
#include <string>
#include <type_traits>
#include <utility>
#include <vector>

#include "tarewise/tariff/price.h"
#include "tarewise/units/date.h"
#include "tarewise/units/money.h"
#include "tarewise/units/percent.h"
#include "tarewise/units/rounding.h"
#include "tarewise/units/weight.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Bytes that are equal for rules that do the same. Without `amounts`, for rules that can change at the same points.
class IdentityBytes {
 public:
  explicit IdentityBytes(bool amounts) : amounts_(amounts) {}

  bool amounts() const { return amounts_; }
  std::string Take() { return std::move(out_); }

  template <typename T>
  requires(std::is_integral_v<T> || std::is_enum_v<T> || std::is_same_v<T, Int128>) void Put(T value) {
    out_.append(reinterpret_cast<const char*>(&value), sizeof(value));
  }
  void Put(const std::string& text) {
    Put(text.size());
    out_ += text;
  }
  void Put(Amount amount) {
    if (amounts_) Put(amount.micros());
  }
  void Put(Percent percent) {
    if (amounts_) Put(percent.ten_thousandths());
  }
  void Put(Weight weight) { Put(weight.nanograms()); }
  void Put(const StepRounding& rounding) {
    Put(rounding.mode);
    Put(rounding.step);
  }
  void Put(Date date) { Put(date.days()); }
  void Put(const DateRange& range) {
    Put(range.from);
    Put(range.until);
  }
  template <typename T>
  void Put(const std::optional<T>& value) {
    Put(value.has_value());
    if (value) Put(*value);
  }
  template <typename T>
  void Put(const std::vector<T>& values) {
    Each(values, [this](const T& value) { Put(value); });
  }
  /// How many there are, then each as `put` puts it.
  template <typename T, typename F>
  void Each(const std::vector<T>& values, F put) {
    Put(values.size());
    for (const T& value : values) put(value);
  }
  /// Cells of a grid, which are amounts.
  void PutCells(const std::vector<std::int64_t>& cells) {
    if (!amounts_) return;
    Put(cells.size());
    out_.append(reinterpret_cast<const char*>(cells.data()), cells.size() * sizeof(std::int64_t));
  }

 private:
  bool amounts_;
  std::string out_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_IDENTITY_H_
