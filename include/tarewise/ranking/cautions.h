#ifndef TAREWISE_RANKING_CAUTIONS_H_
#define TAREWISE_RANKING_CAUTIONS_H_

#include <cstdint>
#include <iterator>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tarewise/parcel/contents.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/units/weight.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// What there is to be careful of. The numbers are pinned and never reused.
enum class CautionCode : std::uint8_t {
  kLithiumAlone = 0,
  kLithiumInEquipment = 1,
  kFlammableLiquid = 2,
  kAerosol = 3,
  kLiquid = 4,
  kSharp = 5,
  kPerishable = 6,
  kLive = 7,
  kLiftWithHelp = 8,
  kMarkHeavy = 9,
  kConfirmSurface = 10,  ///< Of an offer: its service does not say that it goes by surface.
  kCarrierDecides = 11,  ///< Closes the list of every ranking that has another than the next two.
  kValueOverdue = 12,    ///< Of an offer: a value that changes by date is older than it is good for.
  kMeasureSoft = 13,     ///< Of an offer: soft goods fill its mailer, whose sides are a model's.
};

/// Plain words where contents or weight can hurt someone; the carrier's rules and local law decide.
struct Caution {
  CautionCode code = CautionCode::kCarrierDecides;
  std::string_view name;  ///< The code as documents write it.
  std::string_view text;
  std::string_view source;  ///< The published rule's name, or "common practice".
};

/// Above this, one person lifts with help: the load constant of the lifting equation (NIOSH Publication 94-110, 23 kg).
inline constexpr Weight kLiftWithHelp = Weight::Kilograms(23);
/// Above this a parcel is marked heavy (common practice).
inline constexpr Weight kMarkHeavy = Weight::Pounds(70);

/// Every caution, by its code. The two rules on cargo of passenger aircraft are of 2004 (lithium metal) and of 2019
/// (lithium ion).
inline constexpr Caution kCautions[] = {
    {CautionCode::kLithiumAlone, "lithium_alone",
     "Lithium cells or batteries alone never go by air here: as cargo on passenger aircraft they are forbidden. "
     "Protect the terminals against short circuit; damaged ones are for someone trained.",
     "69 FR 75207 and 84 FR 8006; 49 CFR 173.185"},
    {CautionCode::kLithiumInEquipment, "lithium_in_equipment",
     "Equipment with lithium batteries: switched off, protected against switching on, batteries held firmly in place; "
     "sizes and marks are the carrier's to decide.",
     "49 CFR 173.185"},
    {CautionCode::kFlammableLiquid, "flammable_liquid",
     "Flammable liquids, perfume with alcohol among them, by surface only here, and only where the carrier takes "
     "them.",
     "UN Model Regulations, class 3; by surface: common practice"},
    {CautionCode::kAerosol, "aerosol",
     "Aerosols by surface only here, and only where the carrier takes them; the valve protected.",
     "UN Model Regulations, UN 1950; by surface: common practice"},
    {CautionCode::kLiquid, "liquid", "Liquids: closed tight, in a second leak-proof cover, with something absorbent.",
     "common practice"},
    {CautionCode::kSharp, "sharp",
     "Sharp goods: edges and points wrapped so that they cannot cut through the packaging.", "common practice"},
    {CautionCode::kPerishable, "perishable", "Perishable goods only by a service that says it takes them, and in time.",
     "common practice"},
    {CautionCode::kLive, "live", "Live goods only by a service that says it takes them, and in time.",
     "common practice"},
    {CautionCode::kLiftWithHelp, "lift_with_help", "Over 51 lb (23 kg): lift with help.",
     "NIOSH Publication 94-110, load constant"},
    {CautionCode::kMarkHeavy, "mark_heavy", "Over 70 lb: mark the parcel as heavy.", "common practice"},
    {CautionCode::kConfirmSurface, "confirm_surface",
     "Where a service does not say how it goes: confirm with the carrier that it goes by surface.", "common practice"},
    {CautionCode::kCarrierDecides, "carrier_decides",
     "The carrier's rules and local law decide. Regulated goods are for someone trained and licensed for them.",
     "common practice"},
    {CautionCode::kValueOverdue, "value_overdue",
     "A price changes by date and no value of late is typed in: the last one was charged. Type in the one since then.",
     "the tariff's own dates"},
    {CautionCode::kMeasureSoft, "measure_soft",
     "Soft goods fill the mailer as a pillow: its sides are a model's. Measure it when it is packed, before it is paid "
     "for.",
     "common practice"},
};
constexpr std::string_view NameOf(CautionCode code) { return kCautions[static_cast<int>(code)].name; }

/// A set of cautions. A value type.
class CautionSet {
 public:
  constexpr CautionSet() = default;
  /// As `bits` gives them: a bit by each code's number.
  static constexpr CautionSet FromBits(std::uint32_t bits) {
    CautionSet set;
    set.bits_ = bits & ((1u << std::size(kCautions)) - 1);
    return set;
  }

  constexpr void Add(CautionCode code) { bits_ |= 1u << static_cast<unsigned>(code); }
  constexpr void AddAll(CautionSet other) { bits_ |= other.bits_; }
  constexpr bool Has(CautionCode code) const { return ((bits_ >> static_cast<unsigned>(code)) & 1u) != 0; }
  constexpr bool empty() const { return bits_ == 0; }
  constexpr std::uint32_t bits() const { return bits_; }

  /// In the order of the codes, what closes the list last.
  std::vector<Caution> List() const {
    std::vector<Caution> out;
    ForEach([&out](const Caution& caution) { out.push_back(caution); });
    return out;
  }

  /// The codes with a space between them.
  std::string Codes() const {
    std::string out;
    ForEach([&out](const Caution& caution) { out.append(out.empty() ? "" : " ").append(caution.name); });
    return out;
  }

  /// What is told of these: where there is any that hurts more than the purse, what closes the list too.
  constexpr CautionSet Told() const {
    CautionSet out = *this;
    constexpr std::uint32_t kOfPrices = 1u << static_cast<unsigned>(CautionCode::kValueOverdue) |
                                        1u << static_cast<unsigned>(CautionCode::kMeasureSoft);
    if ((bits_ & ~kOfPrices) != 0) out.Add(CautionCode::kCarrierDecides);
    return out;
  }

  friend constexpr bool operator==(CautionSet, CautionSet) = default;

 private:
  template <typename F>
  void ForEach(F told) const {
    for (const Caution& caution : kCautions) {
      if (caution.code != CautionCode::kCarrierDecides && Has(caution.code)) told(caution);
    }
    if (Has(CautionCode::kCarrierDecides)) told(kCautions[static_cast<int>(CautionCode::kCarrierDecides)]);
  }

  std::uint32_t bits_ = 0;
};

namespace internal {

constexpr bool HasTrait(std::uint32_t traits, Trait trait) {
  return ((traits >> static_cast<unsigned>(trait)) & 1u) != 0;
}

}  // namespace internal

/// True where contents with these traits (`Contents::bits`) never go by air.
constexpr bool NeverByAir(std::uint32_t traits) {
  return internal::HasTrait(traits, Trait::kLithiumAlone) || internal::HasTrait(traits, Trait::kFlammableLiquid) ||
         internal::HasTrait(traits, Trait::kAerosol);
}

/// Of what weighs so much, packed or not.
constexpr CautionSet CautionsOf(Weight weight) {
  CautionSet out;
  if (weight > kLiftWithHelp) out.Add(CautionCode::kLiftWithHelp);
  if (weight > kMarkHeavy) out.Add(CautionCode::kMarkHeavy);
  return out;
}

/// Of contents with these traits (`Contents::bits`).
constexpr CautionSet CautionsOf(std::uint32_t traits) {
  CautionSet out;
  for (const auto& [trait, code] :
       {std::pair{Trait::kLithiumAlone, CautionCode::kLithiumAlone},
        std::pair{Trait::kLithiumInEquipment, CautionCode::kLithiumInEquipment},
        std::pair{Trait::kFlammableLiquid, CautionCode::kFlammableLiquid},
        std::pair{Trait::kAerosol, CautionCode::kAerosol}, std::pair{Trait::kLiquid, CautionCode::kLiquid},
        std::pair{Trait::kSharp, CautionCode::kSharp}, std::pair{Trait::kPerishable, CautionCode::kPerishable},
        std::pair{Trait::kLive, CautionCode::kLive}}) {
    if (internal::HasTrait(traits, trait)) out.Add(code);
  }
  return out;
}

/// Of goods, whatever they are packed in and however they go.
constexpr CautionSet CautionsOfGoods(std::uint32_t traits, Weight weight) {
  CautionSet out = CautionsOf(traits);
  out.AddAll(CautionsOf(weight));
  return out;
}

/// An offer's own but for values that are overdue: of the parcel's gross weight, and of a service that does not say
/// how it goes.
constexpr CautionSet CautionsOfOffer(std::uint32_t traits, Weight gross, Mode mode) {
  CautionSet out = CautionsOf(gross);
  if (mode == Mode::kAny && NeverByAir(traits)) out.Add(CautionCode::kConfirmSurface);
  return out;
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_RANKING_CAUTIONS_H_
