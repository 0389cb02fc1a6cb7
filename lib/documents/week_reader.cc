#include "week_reader.h"

#include <cstddef>
#include <cstdint>
#include <iterator>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tarewise/units/internal/code.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

std::optional<std::int64_t> ReadFigure(Fields& fields, Value value, WeekCondition::Of of) {
  if (of == WeekCondition::Of::kParcels) return fields.Whole(value, 0, kMostWeekParcels);
  const std::optional<Amount> spend = fields.ReadMoney(value);
  return spend ? std::optional<std::int64_t>(spend->micros()) : std::nullopt;
}

void ReadBounds(Fields& fields, Value value, WeekCondition::Of of, Test& test) {
  const Object object(fields, value, "bounds such as {\"over\": ...}", {"over", "at_least", "under", "up_to"});
  if (!object) return;
  std::vector<Bound> bounds;
  Value low;
  Value high;
  bool good = true;
  for (std::size_t i = 0; i < std::size(kBoundNames); ++i) {
    const Value bound = object[kBoundNames[i]];
    if (!bound) continue;
    Value& other = i < 2 ? low : high;
    if (other) {
      fields.ErrorAtKey(
          kConflictingKeys, bound,
          "found both " + Quoted(other.key()) + " and " + Quoted(bound.key()) + ", expected one of the two");
      good = false;
      continue;
    }
    other = bound;
    const std::optional<std::int64_t> figure = ReadFigure(fields, bound, of);
    good = good && figure.has_value();
    if (figure) bounds.push_back({static_cast<Bound::Op>(i), *figure, {}});
  }
  if (!low && !high) {
    if (value.size() == 0) {
      fields.Error(kMissingKey, value,
                   "found no bound, expected one or two of \"over\", \"at_least\", \"under\", \"up_to\"");
    }
    return;
  }
  if (!good) return;
  WeekCondition condition = WeekCondition::Make(of, std::move(bounds));
  if (condition.low > condition.high || condition.high < 0) {
    std::string found = "found " + std::string(high.key()) + " " + FoundText(high);
    if (low) found += " and " + std::string(low.key()) + " " + FoundText(low);
    fields.Error(kContradiction, high, found + ", expected bounds that some week can meet");
    return;
  }
  test.conditions.emplace_back(std::move(condition));
}

Week::Figures ReadFigures(Fields& fields, const Object& object) {
  Week::Figures figures;
  if (const Value v = object["parcels"]) {
    figures.parcels = ReadFigure(fields, v, WeekCondition::Of::kParcels).value_or(0);
  }
  if (const Value v = object["spend"]) figures.spend = fields.ReadMoney(v).value_or(Amount());
  return figures;
}

}  // namespace

void ReadWeekTest(Fields& fields, Value value, Test& test) {
  const Object object(fields, value, "a test such as {\"parcels\": {\"at_least\": 50}}", {"parcels", "spend"});
  if (!object) return;
  const Value parcels = object["parcels"];
  const Value spend = object["spend"];
  if (parcels) ReadBounds(fields, parcels, WeekCondition::Of::kParcels, test);
  if (spend) ReadBounds(fields, spend, WeekCondition::Of::kSpend, test);
  if (!parcels && !spend && value.size() == 0) {
    fields.Error(kMissingKey, value, "found no key, expected \"parcels\" or \"spend\"");
  }
}

Week ReadWeek(Fields& fields, Value value) {
  Week week;
  const Object object(fields, value, "a week, such as {\"parcels\": 60, \"spend\": \"420.00\"}",
                      {"parcels", "spend", "carriers"});
  if (!object) return week;
  week.each = ReadFigures(fields, object);
  const Value carriers = object["carriers"];
  if (!carriers) return week;
  if (!carriers.is(Kind::kObject)) {
    fields.Expected(kWrongKind, carriers, "an object with a week for each carrier, such as {\"x\": {\"parcels\": 25}}");
    return week;
  }
  for (const Value member : carriers) {
    if (!internal::IsCode(member.key())) {
      fields.ErrorAtKey(kBadCode, member,
                        "found the key " + Quoted(member.key()) +
                            ", expected the code of a carrier: small letters, digits and hyphens");
      continue;
    }
    const Object own(fields, member, "the week with a carrier, such as {\"parcels\": 25}", {"parcels", "spend"});
    if (own) week.carriers.emplace(std::string(member.key()), ReadFigures(fields, own));
  }
  return week;
}

}  // namespace tarewise::inline TW_VERSIONED::load
