// A kind of condition or of price answers every question about it, or nothing compiles.
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "tarewise/rules/price.h"
#include "tarewise/rules/test.h"

namespace tarewise::compile_fail {

// Kinds that answer all questions but one; 0: all.
template <int kOpen>
struct SomeCondition {};
template <int kOpen>
struct SomePrice {};
// Kinds that nobody has thought of.
struct NewCondition {};
struct NewPrice {};

}  // namespace tarewise::compile_fail

namespace tarewise::internal {

template <int kOpen>
struct ConditionRule<compile_fail::SomeCondition<kOpen>> {
  using C = compile_fail::SomeCondition<kOpen>;
  static bool Holds(const C&, const PointFacts&)
  requires(kOpen != 1);
  static std::optional<bool> OnLane(const C&, const LaneFacts&)
  requires(kOpen != 2);
  static void Cuts(const C&, AnyCutSink&)
  requires(kOpen != 3);
  static Subject SubjectOf(const C&)
  requires(kOpen != 4);
  static std::span<const Test> Tests(const C&)
  requires(kOpen != 5);
  static void Names(const C&, AnyNameSink)
  requires(kOpen != 6);
  static bool MayHoldOn(const C&, Date)
  requires(kOpen != 7);
  static void Identity(const C&, IdentityBytes&)
  requires(kOpen != 8);
  static std::string Key(const C&)
  requires(kOpen != 9);
  static std::string Words(const C&)
  requires(kOpen != 10);
  static void Why(const C&, const PointFacts&, bool, std::vector<std::string>&)
  requires(kOpen != 11);
  static std::string WhyNot(const C&, const PointFacts&)
  requires(kOpen != 12);
};

template <int kOpen>
struct PriceRule<compile_fail::SomePrice<kOpen>> {
  using P = compile_fail::SomePrice<kOpen>;
  static constexpr Basis::Kind kBasis = Basis::Kind::kFlat;
  static std::int64_t At(const P&, const PointFacts&, Basis*)
  requires(kOpen != 1);
  static void Cuts(const P&, AnyCutSink&)
  requires(kOpen != 2);
  static void Identity(const P&, IdentityBytes&)
  requires(kOpen != 3);
  static std::int64_t Least(const P&, ZoneId, const WeightsAtLeast&)
  requires(kOpen != 4);
  static std::int64_t Certain(const P&, ZoneId)
  requires(kOpen != 5);
  static const PercentPrice* PartOfLines(const P&)
  requires(kOpen != 6);
  static bool CoversAll(const P&, const std::vector<bool>*)
  requires(kOpen != 7);
  static std::optional<std::string_view> GridUnit(const P&)
  requires(kOpen != 8);
  static std::string Words(const P&)
  requires(kOpen != 9);
  static std::string Row(const P&, const Basis&)
  requires(kOpen != 10);
  static std::string Column(const P&, const Basis&, std::string_view)
  requires(kOpen != 11);
  static void Why(const P&, const LineFacts&, std::vector<std::string>&)
  requires(kOpen != 12);
  static std::string BilledAs(const P&, const Basis&)
  requires(kOpen != 13);
  static std::optional<std::uint32_t> ByDate(const P&)
  requires(kOpen != 14);
  static void Measures(const P&, void (*)(Measure))
  requires(kOpen != 15);
};

}  // namespace tarewise::internal

namespace tarewise::compile_fail {

using internal::ConditionAnswers;
using internal::EveryKind;
using internal::PriceAnswers;

static_assert(EveryKind<ConditionAnswers, std::variant<ZoneCondition, SomeCondition<0>>>::kAnswered);
static_assert(EveryKind<PriceAnswers, std::variant<FlatPrice, SomePrice<0>>>::kAnswered);

#ifdef TW_FAIL_CONDITION_HOLDS
static_assert(sizeof(ConditionAnswers<SomeCondition<1>>) != 0);  // error: Holds is open: 
#endif
#ifdef TW_FAIL_CONDITION_ON_LANE
static_assert(sizeof(ConditionAnswers<SomeCondition<2>>) != 0);  // error: OnLane is open: 
#endif
#ifdef TW_FAIL_CONDITION_CUTS
static_assert(sizeof(ConditionAnswers<SomeCondition<3>>) != 0);  // error: Cuts is open: 
#endif
#ifdef TW_FAIL_CONDITION_SUBJECT_OF
static_assert(sizeof(ConditionAnswers<SomeCondition<4>>) != 0);  // error: SubjectOf is open: 
#endif
#ifdef TW_FAIL_CONDITION_TESTS
static_assert(sizeof(ConditionAnswers<SomeCondition<5>>) != 0);  // error: Tests is open: 
#endif
#ifdef TW_FAIL_CONDITION_NAMES
static_assert(sizeof(ConditionAnswers<SomeCondition<6>>) != 0);  // error: Names is open: 
#endif
#ifdef TW_FAIL_CONDITION_MAY_HOLD_ON
static_assert(sizeof(ConditionAnswers<SomeCondition<7>>) != 0);  // error: MayHoldOn is open: 
#endif
#ifdef TW_FAIL_CONDITION_IDENTITY
static_assert(sizeof(ConditionAnswers<SomeCondition<8>>) != 0);  // error: Identity is open: 
#endif
#ifdef TW_FAIL_CONDITION_KEY
static_assert(sizeof(ConditionAnswers<SomeCondition<9>>) != 0);  // error: Key is open: 
#endif
#ifdef TW_FAIL_CONDITION_WORDS
static_assert(sizeof(ConditionAnswers<SomeCondition<10>>) != 0);  // error: Words is open: 
#endif
#ifdef TW_FAIL_CONDITION_WHY
static_assert(sizeof(ConditionAnswers<SomeCondition<11>>) != 0);  // error: Why is open: 
#endif
#ifdef TW_FAIL_CONDITION_WHY_NOT
static_assert(sizeof(ConditionAnswers<SomeCondition<12>>) != 0);  // error: WhyNot is open: 
#endif
#ifdef TW_FAIL_NEW_CONDITION
static_assert(EveryKind<ConditionAnswers, std::variant<ZoneCondition, NewCondition>>::kAnswered);  // error: Holds is open: 
#endif
#ifdef TW_FAIL_PRICE_AT
static_assert(sizeof(PriceAnswers<SomePrice<1>>) != 0);  // error: At is open: 
#endif
#ifdef TW_FAIL_PRICE_CUTS
static_assert(sizeof(PriceAnswers<SomePrice<2>>) != 0);  // error: Cuts is open: 
#endif
#ifdef TW_FAIL_PRICE_MEASURES
static_assert(sizeof(PriceAnswers<SomePrice<15>>) != 0);  // error: Measures is open: 
#endif
#ifdef TW_FAIL_PRICE_IDENTITY
static_assert(sizeof(PriceAnswers<SomePrice<3>>) != 0);  // error: Identity is open: 
#endif
#ifdef TW_FAIL_PRICE_LEAST
static_assert(sizeof(PriceAnswers<SomePrice<4>>) != 0);  // error: Least is open: 
#endif
#ifdef TW_FAIL_PRICE_CERTAIN
static_assert(sizeof(PriceAnswers<SomePrice<5>>) != 0);  // error: Certain is open: 
#endif
#ifdef TW_FAIL_PRICE_PART_OF_LINES
static_assert(sizeof(PriceAnswers<SomePrice<6>>) != 0);  // error: PartOfLines is open: 
#endif
#ifdef TW_FAIL_PRICE_COVERS_ALL
static_assert(sizeof(PriceAnswers<SomePrice<7>>) != 0);  // error: CoversAll is open: 
#endif
#ifdef TW_FAIL_PRICE_GRID_UNIT
static_assert(sizeof(PriceAnswers<SomePrice<8>>) != 0);  // error: GridUnit is open: 
#endif
#ifdef TW_FAIL_PRICE_WORDS
static_assert(sizeof(PriceAnswers<SomePrice<9>>) != 0);  // error: Words is open: 
#endif
#ifdef TW_FAIL_PRICE_ROW
static_assert(sizeof(PriceAnswers<SomePrice<10>>) != 0);  // error: Row is open: 
#endif
#ifdef TW_FAIL_PRICE_COLUMN
static_assert(sizeof(PriceAnswers<SomePrice<11>>) != 0);  // error: Column is open: 
#endif
#ifdef TW_FAIL_PRICE_WHY
static_assert(sizeof(PriceAnswers<SomePrice<12>>) != 0);  // error: Why is open: 
#endif
#ifdef TW_FAIL_PRICE_BILLED_AS
static_assert(sizeof(PriceAnswers<SomePrice<13>>) != 0);  // error: BilledAs is open: 
#endif
#ifdef TW_FAIL_PRICE_BY_DATE
static_assert(sizeof(PriceAnswers<SomePrice<14>>) != 0);  // error: ByDate is open: 
#endif
#ifdef TW_FAIL_NEW_PRICE
static_assert(EveryKind<PriceAnswers, std::variant<FlatPrice, NewPrice>>::kAnswered);  // error: kBasis is open: 
#endif

}  // namespace tarewise::compile_fail
