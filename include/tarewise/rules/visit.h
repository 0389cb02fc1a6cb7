#ifndef TAREWISE_RULES_VISIT_H_
#define TAREWISE_RULES_VISIT_H_

#include <cstddef>
#include <utility>
#include <variant>

#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

template <std::size_t kKind, typename R, typename F, typename... Kinds>
[[gnu::always_inline]] constexpr R VisitKind(F& f, const std::variant<Kinds...>& variant) {
  if constexpr (kKind < sizeof...(Kinds)) {
    return f(*std::get_if<kKind>(&variant));
  } else {
    __builtin_unreachable();
  }
}

/// Calls `f` with what a variant holds, as `std::visit` does. Tests and prices are asked millions of times a second:
/// this is one jump with the answers in place, where `std::visit` calls through a table of pointers and a chain of
/// comparisons stays one. The only switch on a variant's index, and it knows nothing of the kinds.
template <typename F, typename First, typename... Kinds>
[[gnu::always_inline]] constexpr decltype(auto) Visit(F&& f, const std::variant<First, Kinds...>& variant) {
  static_assert(sizeof...(Kinds) < 16, "a variant of more kinds needs more cases here");
  using R = decltype(f(std::declval<const First&>()));
  switch (variant.index()) {
    case 0:
      return VisitKind<0, R>(f, variant);
    case 1:
      return VisitKind<1, R>(f, variant);
    case 2:
      return VisitKind<2, R>(f, variant);
    case 3:
      return VisitKind<3, R>(f, variant);
    case 4:
      return VisitKind<4, R>(f, variant);
    case 5:
      return VisitKind<5, R>(f, variant);
    case 6:
      return VisitKind<6, R>(f, variant);
    case 7:
      return VisitKind<7, R>(f, variant);
    case 8:
      return VisitKind<8, R>(f, variant);
    case 9:
      return VisitKind<9, R>(f, variant);
    case 10:
      return VisitKind<10, R>(f, variant);
    case 11:
      return VisitKind<11, R>(f, variant);
    case 12:
      return VisitKind<12, R>(f, variant);
    case 13:
      return VisitKind<13, R>(f, variant);
    case 14:
      return VisitKind<14, R>(f, variant);
    case 15:
      return VisitKind<15, R>(f, variant);
    default:
      __builtin_unreachable();  // Tests and prices are never without a kind.
  }
}

/// Checks every kind of a variant: `Answers<Kind>` refuses to compile where a question is open.
template <template <typename> typename Answers, typename Variant>
struct EveryKind;
template <template <typename> typename Answers, typename... Kinds>
struct EveryKind<Answers, std::variant<Kinds...>> : Answers<Kinds>... {
  static constexpr bool kAnswered = (sizeof(Answers<Kinds>) + ...) != 0;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_VISIT_H_
