#ifndef TAREWISE_TESTS_STATIC_CAN_H_
#define TAREWISE_TESTS_STATIC_CAN_H_

#include <concepts>
#include <type_traits>

namespace tarewise::can {

template <typename A, typename B>
concept Add = requires(A a, B b) {
  a + b;
};
template <typename A, typename B>
concept Subtract = requires(A a, B b) {
  a - b;
};
template <typename A, typename B>
concept Multiply = requires(A a, B b) {
  a* b;
};
template <typename A, typename B>
concept Divide = requires(A a, B b) {
  a / b;
};
template <typename A, typename B>
concept Order = requires(A a, B b) {
  a < b;
};
template <typename A, typename B>
concept Equal = requires(A a, B b) {
  a == b;
};

/// A bare number neither becomes a T nor comes out of one, by any of the usual ways.
template <typename T>
inline constexpr bool kNoBareNumbers =
    !std::is_convertible_v<int, T> && !std::is_convertible_v<long long, T> && !std::is_convertible_v<double, T> &&
    !std::is_constructible_v<T, int> && !std::is_constructible_v<T, long long> && !std::is_constructible_v<T, double> &&
    !std::is_convertible_v<T, int> && !std::is_convertible_v<T, long long> && !std::is_convertible_v<T, double> &&
    !std::is_convertible_v<T, bool> && !std::is_constructible_v<bool, T> && !std::is_constructible_v<double, T> &&
    !Add<T, int> && !Add<int, T> && !Multiply<T, double> && !Order<T, int> && !Equal<T, int>;

/// A plain value: copied as bytes, laid out as C would, nothing thrown.
template <typename T>
inline constexpr bool kPlainValue = std::is_trivially_copyable_v<T>&& std::is_trivially_destructible_v<T>&&
    std::is_standard_layout_v<T>&& std::is_nothrow_move_constructible_v<T>&& std::is_nothrow_default_constructible_v<T>;

}  // namespace tarewise::can

#endif  // TAREWISE_TESTS_STATIC_CAN_H_
