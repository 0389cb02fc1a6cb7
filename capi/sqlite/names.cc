#include "names.h"

#include <algorithm>
#include <array>
#include <vector>

namespace tarewise::sqlite {
namespace {

constexpr std::array<NameFacts, kNameCount> kFacts = {{
    {"weight", false, false, "'1 lb 3 oz'"},
    {"sides", false, false, "'12 x 9 x 4 in'"},
    {"quantity", false, false, "2"},
    {"value", false, true, "'24.00'"},
    {"contents", false, true, "'media fragile'"},
    {"shape", false, false, "'tube'"},
    {"rigid", false, false, "1"},
    {"this_side_up", false, false, "1"},
    {"top_free", false, false, "1"},
    {"bare", false, false, "1"},
    {"sealed", false, false, "1"},
    {"packed_in", false, true, "'game-12'"},
    {"origin", true, false, "'US 05401'"},
    {"destination", true, false, "'US 98101'"},
    {"residential", true, false, "1"},
    {"origin_residential", true, false, "1"},
    {"date", true, false, "'2026-08-03'"},
    {"time", true, true, "'15:30'"},
    {"currency", true, false, "'USD'"},
    {"promise", true, true, "'within 3'"},
    {"accepts", true, false, "'door point'"},
    {"extras", true, true, "'signature'"},
    {"cover", true, true, "'80.00'"},
    {"cash_on_delivery", true, true, "'64.00'"},
    {"totals", true, false, "'without_tax'"},
    {"exchange", true, true, "'EUR 1.0842'"},
    {"week_parcels", true, true, "60"},
    {"week_spend", true, true, "'420.00'"},
    {"padding", false, true, "'1 in'"},
    {"fill_weight", false, true, "'3 oz'"},
    {"tolerance_weight", false, true, "'0.1 oz'"},
    {"tolerance_sides", false, true, "'0.25 in'"},
    {"objective", false, false, "'cautious'"},
    {"weight_unit", false, false, "'oz'"},
    {"side_unit", false, false, "'in'"},
}};

// How many letters must be put in, left out or changed, to make one word of the other.
std::size_t Distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t before = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t above = row[j];
      row[j] = std::min({row[j] + 1, row[j - 1] + 1, before + (a[i - 1] == b[j - 1] ? 0 : 1)});
      before = above;
    }
  }
  return row[b.size()];
}

}  // namespace

const NameFacts& FactsOf(Name name) { return kFacts[static_cast<std::size_t>(name)]; }

std::optional<Name> FindName(std::string_view word) {
  for (std::size_t i = 0; i < kNameCount; ++i) {
    if (kFacts[i].word == word) return static_cast<Name>(i);
  }
  return std::nullopt;
}

std::string ExpectedNames(std::string_view found) {
  constexpr std::size_t kMostLetters = 40;
  if (found.size() <= kMostLetters) {
    const NameFacts* nearest = nullptr;
    std::size_t least = 3;  // two letters wrong are a slip, three another word
    for (const NameFacts& facts : kFacts) {
      const std::size_t distance = Distance(found, facts.word);
      if (distance < least) least = distance, nearest = &facts;
    }
    if (nearest != nullptr) return "expected one that there is; was it '" + std::string(nearest->word) + "'?";
  }
  std::string all = "expected one of";
  for (std::size_t i = static_cast<std::size_t>(Name::kQuantity); i < kNameCount; ++i) {
    all += (i == static_cast<std::size_t>(Name::kQuantity) ? " " : ", ") + std::string(kFacts[i].word);
  }
  return all;
}

}  // namespace tarewise::sqlite
