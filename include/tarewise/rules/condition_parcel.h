#ifndef TAREWISE_RULES_CONDITION_PARCEL_H_
#define TAREWISE_RULES_CONDITION_PARCEL_H_

#include <algorithm>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/rules/condition_kind.h"
#include "tarewise/rules/words.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

// What a parcel is, measures apart: its shape, its packaging, what is in it.

template <>
struct ConditionRule<ShapeCondition> : NeedsParcel, NoCuts, NoNames, NoTests, AnyDay {
  static bool Holds(const ShapeCondition& condition, const PointFacts& at) {
    return IsIn(condition.shapes, at.parcel.shape);
  }
  static Subject SubjectOf(const ShapeCondition&) { return Subject::kPackaging; }
  static void Identity(const ShapeCondition& condition, IdentityBytes& out) { out.Put(condition.shapes); }
  static std::string Key(const ShapeCondition& condition) { return SortedKey("shape", NamesOf(condition.shapes)); }
  static std::string Words(const ShapeCondition& condition) {
    return "shape " + JoinWords(NamesOf(condition.shapes), " or ");
  }
  static void Why(const ShapeCondition&, const PointFacts& at, bool, std::vector<std::string>& out) {
    out.push_back(Now(at));
  }
  static std::string WhyNot(const ShapeCondition&, const PointFacts& at) { return Now(at); }

 private:
  static std::string Now(const PointFacts& at) { return "shape is " + std::string(NameOf(at.parcel.shape)); }
};

template <>
struct ConditionRule<PackagingCondition> : NeedsParcel, NoCuts, NoTests, AnyDay {
  static bool Holds(const PackagingCondition& condition, const PointFacts& at) {
    return std::any_of(condition.codes.begin(), condition.codes.end(),
                       [&at](const std::string& code) { return code == at.parcel.packaging; });
  }
  static Subject SubjectOf(const PackagingCondition&) { return Subject::kPackaging; }
  template <typename F>
  static void Names(const PackagingCondition& condition, F name) {
    for (const std::string& code : condition.codes) name(Named::kPackaging, code);
  }
  static void Identity(const PackagingCondition& condition, IdentityBytes& out) { out.Put(condition.codes); }
  static std::string Key(const PackagingCondition& condition) { return SortedKey("packaging", condition.codes); }
  static std::string Words(const PackagingCondition& condition) {
    return "packaging " + JoinWords(condition.codes, " or ");
  }
  static void Why(const PackagingCondition&, const PointFacts& at, bool, std::vector<std::string>& out) {
    out.push_back("packaging is " + std::string(at.parcel.packaging));
  }
  static std::string WhyNot(const PackagingCondition&, const PointFacts& at) {
    const std::string_view now = at.parcel.packaging;
    return "packaging is " + (now.empty() ? "the seller's own" : std::string(now));
  }
};

template <>
struct ConditionRule<PackagingKindCondition> : NeedsParcel, NoCuts, NoNames, NoTests, AnyDay {
  static bool Holds(const PackagingKindCondition& condition, const PointFacts& at) {
    return IsIn(condition.kinds, at.parcel.kind);
  }
  static Subject SubjectOf(const PackagingKindCondition&) { return Subject::kPackaging; }
  static void Identity(const PackagingKindCondition& condition, IdentityBytes& out) { out.Put(condition.kinds); }
  static std::string Key(const PackagingKindCondition& condition) {
    return SortedKey("kind", NamesOf(condition.kinds));
  }
  static std::string Words(const PackagingKindCondition& condition) {
    return "packaging of kind " + JoinWords(NamesOf(condition.kinds), " or ");
  }
  static void Why(const PackagingKindCondition&, const PointFacts& at, bool, std::vector<std::string>& out) {
    out.push_back(Now(at));
  }
  static std::string WhyNot(const PackagingKindCondition&, const PointFacts& at) { return Now(at); }

 private:
  static std::string Now(const PointFacts& at) { return "packaging is of kind " + std::string(NameOf(at.parcel.kind)); }
};

template <>
struct ConditionRule<ContentsCondition> : NeedsParcel, NoCuts, NoNames, NoTests, AnyDay {
  static bool Holds(const ContentsCondition& condition, const PointFacts& at) {
    auto has = [&condition](const Contents& contents) {
      return condition.all ? contents.HasAll(condition.traits) : contents.HasAny(condition.traits);
    };
    if (!condition.every_item) return has(*at.parcel.contents);
    return std::all_of(at.parcel.items.begin(), at.parcel.items.end(),
                       [&has](const Contents* item) { return has(*item); });
  }
  static Subject SubjectOf(const ContentsCondition&) { return Subject::kGoods; }
  static void Identity(const ContentsCondition& condition, IdentityBytes& out) {
    out.Put(condition.every_item);
    out.Put(condition.all);
    out.Put(condition.traits.bits());
    out.Put(condition.traits.own());
  }
  static std::string Key(const ContentsCondition& condition) {
    return SortedKey(std::string(condition.every_item ? "each" : "contents") + (condition.all ? "-all" : "-any"),
                     condition.traits.Words());
  }
  static std::string Words(const ContentsCondition& condition) {
    return (condition.every_item ? "every item " : "contents ") + Listed(condition);
  }
  static void Why(const ContentsCondition& condition, const PointFacts& at, bool, std::vector<std::string>& out) {
    std::vector<std::string> present;
    for (const std::string& word : condition.traits.Words()) {
      Contents one;
      if (one.Add(word).ok() && at.parcel.contents->HasAll(one)) present.push_back(word);
    }
    out.push_back((condition.every_item ? "every item: " : "contents: ") + JoinWords(present, ", "));
  }
  static std::string WhyNot(const ContentsCondition& condition, const PointFacts&) {
    return (condition.every_item ? "not every item is " : "contents are not ") + Listed(condition);
  }

 private:
  static std::string Listed(const ContentsCondition& condition) {
    return JoinWords(condition.traits.Words(), condition.all ? " and " : " or ");
  }
};

/// Of the goods, of the packaging, or of the place, by which flag it is.
template <>
struct ConditionRule<FlagCondition> : NoCuts, NoNames, NoTests, AnyDay {
  using Flag = FlagCondition::Flag;

  static bool Holds(const FlagCondition& condition, const PointFacts& at) {
    switch (condition.flag) {
      case Flag::kRigid:
        return at.parcel.rigid == condition.value;
      case Flag::kOwnPackaging:
        return at.parcel.issued_by.empty() == condition.value;
      case Flag::kResidential:
        return at.lane.shipment.lane->to.residential() == condition.value;
    }
    return false;
  }
  static std::optional<bool> OnLane(const FlagCondition& condition, const LaneFacts& lane) {
    if (condition.flag != Flag::kResidential) return std::nullopt;
    return lane.shipment.lane->to.residential() == condition.value;
  }
  static Subject SubjectOf(const FlagCondition& condition) {
    switch (condition.flag) {
      case Flag::kRigid:
        return Subject::kGoods;
      case Flag::kOwnPackaging:
        return Subject::kPackaging;
      case Flag::kResidential:
        break;
    }
    return Subject::kPlace;
  }
  static void Identity(const FlagCondition& condition, IdentityBytes& out) {
    out.Put(condition.flag);
    out.Put(condition.value);
  }
  static std::string Key(const FlagCondition& condition) {
    return "flag|" + std::to_string(static_cast<int>(condition.flag)) + (condition.value ? "+" : "-");
  }
  static std::string Words(const FlagCondition& condition) { return Said(condition.flag, condition.value); }
  static void Why(const FlagCondition& condition, const PointFacts&, bool, std::vector<std::string>& out) {
    out.push_back(Said(condition.flag, condition.value));
  }
  static std::string WhyNot(const FlagCondition& condition, const PointFacts&) {
    return Said(condition.flag, !condition.value);
  }

 private:
  static std::string Said(Flag flag, bool value) {
    switch (flag) {
      case Flag::kRigid:
        return value ? "rigid" : "not rigid";
      case Flag::kOwnPackaging:
        return value ? "in the sender's own packaging" : "in the carrier's packaging";
      case Flag::kResidential:
        break;
    }
    return value ? "to a residence" : "not to a residence";
  }
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_RULES_CONDITION_PARCEL_H_
