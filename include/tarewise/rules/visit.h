#ifndef TAREWISE_RULES_VISIT_H_
#define TAREWISE_RULES_VISIT_H_

#include <cstddef>
#include <utility>
#include <variant>

namespace tarewise::internal {

/// Calls `f` with what a variant holds, as `std::visit` does. Tests and prices are asked millions of times a second,
/// and this is compared, not called through a table of pointers: compilers make a jump of it and put the answers in
/// place.
template <std::size_t kFrom = 0, typename F, typename... Kinds>
[[gnu::always_inline]] constexpr decltype(auto) Visit(F&& f, const std::variant<Kinds...>& variant) {
  if constexpr (kFrom + 1 < sizeof...(Kinds)) {
    if (variant.index() != kFrom) return Visit<kFrom + 1>(std::forward<F>(f), variant);
  }
  return std::forward<F>(f)(*std::get_if<kFrom>(&variant));
}

/// Checks every kind of a variant: `Answers<Kind>` refuses to compile where a question is open.
template <template <typename> typename Answers, typename Variant>
struct EveryKind;
template <template <typename> typename Answers, typename... Kinds>
struct EveryKind<Answers, std::variant<Kinds...>> : Answers<Kinds>... {
  static constexpr bool kAnswered = (sizeof(Answers<Kinds>) + ...) != 0;
};

}  // namespace tarewise::internal

#endif  // TAREWISE_RULES_VISIT_H_
