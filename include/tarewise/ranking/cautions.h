#ifndef TAREWISE_RANKING_CAUTIONS_H_
#define TAREWISE_RANKING_CAUTIONS_H_

#include <vector>

#include "tarewise/parcel/contents.h"
#include "tarewise/ranking/ranking.h"
#include "tarewise/units/weight.h"

namespace tarewise {

/// Above this, one person lifts with help: the load constant of the lifting equation (NIOSH Publication 94-110, 23 kg).
inline constexpr Weight kLiftWithHelp = Weight::Kilograms(23);
/// Above this a parcel is marked heavy (common practice).
inline constexpr Weight kMarkHeavy = Weight::Pounds(70);

/// The usual cautions for these contents at this gross weight.
inline std::vector<Caution> CautionsFor(const Contents& contents, Weight gross) {
  std::vector<Caution> cautions;
  if (contents.Has(Trait::kLithiumAlone)) {
    cautions.push_back(
        {"Lithium cells or batteries alone never go by air. Protect the terminals against short circuit; "
         "never send damaged ones.",
         "49 CFR 173.185; Publication 52"});
  }
  if (contents.Has(Trait::kLithiumInEquipment)) {
    cautions.push_back(
        {"Equipment with lithium batteries: switched off, protected against switching on, batteries held "
         "firmly in place; sizes and marks are the carrier's to decide.",
         "49 CFR 173.185"});
  }
  if (contents.Has(Trait::kFlammableLiquid)) {
    cautions.push_back(
        {"Flammable liquids, perfume with alcohol among them, by surface only, where the carrier takes them "
         "at all.",
         "Publication 52, 343"});
  }
  if (contents.Has(Trait::kAerosol)) {
    cautions.push_back({"Aerosols by surface only, where the carrier takes them at all; the valve protected.", ""});
  }
  if (contents.Has(Trait::kLiquid)) {
    cautions.push_back({"Liquids: closed tight, in a second leak-proof cover, with something absorbent.", ""});
  }
  if (contents.Has(Trait::kSharp)) {
    cautions.push_back({"Sharp goods: edges and points wrapped so that they cannot cut through the packaging.", ""});
  }
  if (contents.Has(Trait::kLive) || contents.Has(Trait::kPerishable)) {
    cautions.push_back({"Live or perishable goods only by a service that says it takes them, and in time.", ""});
  }
  if (gross > kLiftWithHelp) {
    cautions.push_back({"Over 51 lb (23 kg): lift with help.", "NIOSH Publication 94-110"});
  }
  if (gross > kMarkHeavy) cautions.push_back({"Over 70 lb: mark the parcel as heavy.", "common practice"});
  if (!cautions.empty()) {
    cautions.push_back(
        {"The carrier's rules and local law decide. Regulated goods are for someone trained and licensed for "
         "them.",
         ""});
  }
  return cautions;
}

}  // namespace tarewise

#endif  // TAREWISE_RANKING_CAUTIONS_H_
