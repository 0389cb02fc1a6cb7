#include <algorithm>
#include <optional>

#include "printed_grid_reading.h"
#include "printed_grid_words.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load::printed {

namespace {

// What the words and figures of a grid say of where its weights stand.
struct Evidence {
  bool down = false;    // weights
  bool across = false;  // weights
};

Evidence EvidenceOf(const Reading& reading) {
  const FoundTable& table = reading.table;
  const Heading& heading = table.heading;
  bool names = false;   // that are no bounds
  bool labels = false;  // that are plainly bounds
  for (const std::string& name : heading.names) names = names || ReadBoundText(name).kind == BoundText::Kind::kNone;
  for (const std::uint32_t r : table.rows) {
    const std::string label = reading.text.Label(reading.text.records()[r], table.label);
    const BoundText bound = ReadBoundText(label);
    labels = labels || bound.worded || bound.upper.number.find_first_of(".,") != std::string_view::npos;
    if (labels) break;
  }
  const bool corner_zone = HasZoneWord(heading.corner);
  const bool corner_weight = HasWeightWord(heading.corner);
  const bool across_zone = HasZoneWord(heading.across);
  Evidence out;
  out.down = names || labels || across_zone || (corner_weight && !corner_zone);
  // Names that are no bounds are zones, whatever else is said over them.
  const bool title = !(heading.title && labels);  // that is said of the figures across
  out.across = heading.bounds_across || (!names && !across_zone && title && HasWeightWord(heading.across));
  return out;
}

// Names of columns that are neither zones nor bounds: a second column of weights, a price of each further pound beside
// bounds.
bool NamesAreOdd(const Reading& reading) {
  const std::vector<std::string>& names = reading.table.heading.names;
  const Record& header = reading.text.records()[reading.table.heading.records.back()];
  const bool bounds = !ReadBoundText(names[0]).upper.unit.empty();
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (names[i].find('%') != std::string::npos) {
      reading.Error(kGridColumns, header, reading.text.cell(header, reading.table.label + i),
                    "found " + Quoted(names[i]) + ", a column of percentages, expected the zones alone");
      return true;
    }
    const bool weights = SaysWeights(names[i]);
    if (!weights && !(bounds && ReadBoundText(names[i]).kind == BoundText::Kind::kNone)) continue;
    const std::string_view cell = reading.text.cell(header, reading.table.label + i);
    if (weights) {
      reading.Error(kGridColumns, header, cell,
                    "found " + Quoted(names[i]) + ", a second column of weights, expected one, and then the zones");
    } else {
      reading.Error(kGridBound, header, cell,
                    "found " + Quoted(names[i]) + " beside the bound " + Quoted(names[0]) +
                        ", expected bounds alone (what is past the last one is a table's \"beyond\")");
    }
    return true;
  }
  return false;
}

}  // namespace

bool FindDirection(const Reading& reading, bool& zones_down) {
  zones_down = reading.table.zones_down;
  if (zones_down) return true;
  if (NamesAreOdd(reading)) return false;
  const Evidence evidence = EvidenceOf(reading);
  zones_down = evidence.across;
  if (evidence.down != evidence.across) return true;
  const Record& header = reading.text.records()[reading.table.heading.records.back()];
  const std::string& corner = reading.table.heading.corner;
  const bool both = HasZoneWord(corner) && HasWeightWord(corner);
  reading.Error(kWhichAreWeights, header, reading.text.cell(header, 0),
                "found figures both down and across, " +
                    (evidence.down ? "and both look like weights"
                     : both        ? Quoted(corner) + " of which each word may be said of either"
                                   : "and no word that says which are weights") +
                    ", expected a header such as \"Weight (lb)\" over weights that stand down, or \"Zone\" and a unit "
                    "with each weight, \"1 lb\", where they stand across");
  return false;
}

namespace {

// The first number of each shape, with its place.
struct Shapes {
  struct Seen {
    const Record* record = nullptr;
    std::string_view number;
    std::size_t count = 0;
  };
  Seen point, comma, either;

  void See(const Record& record, std::string_view number) {
    if (number.empty()) return;
    Seen* seen = nullptr;
    switch (ShapeOf(number)) {
      case Shape::kPoint:
        seen = &point;
        break;
      case Shape::kComma:
        seen = &comma;
        break;
      case Shape::kEither:
        seen = &either;
        break;
      case Shape::kPlain:
      case Shape::kBad:
        return;
    }
    if (seen->count++ == 0) {
      seen->record = &record;
      seen->number = number;
    }
  }
};

}  // namespace

bool FindDecimalSign(Reading& reading) {
  using Decimal = PrintedGridOptions::Decimal;
  if (reading.options.decimal != Decimal::kAsPrinted) {
    reading.decimal = reading.options.decimal == Decimal::kPoint ? DecimalSign::kPoint : DecimalSign::kComma;
    return true;
  }
  Shapes shapes;
  for (const std::uint32_t r : reading.table.rows) {
    const Record& record = reading.text.records()[r];
    const std::string label = reading.text.Label(record, reading.table.label);
    const BoundText bound = ReadBoundText(label);
    // The number is a part of a text of its own: what is kept of it is the record's.
    if (ShapeOf(bound.upper.number) != Shape::kPlain) {
      const std::size_t at = reading.text.LineText(record).find(bound.upper.number);
      if (at != std::string_view::npos) {
        shapes.See(record, reading.text.LineText(record).substr(at, bound.upper.number.size()));
      }
    }
    for (std::size_t i = reading.table.label; i < record.count; ++i) {
      shapes.See(record, ReadPrice(reading.text.cell(record, i)).number);
    }
  }
  if (shapes.point.count > 0 && shapes.comma.count > 0) {
    const auto& later = shapes.point.record->line > shapes.comma.record->line ? shapes.point : shapes.comma;
    const auto& earlier = &later == &shapes.point ? shapes.comma : shapes.point;
    reading.Error(
        kDecimalSign, *later.record, later.number,
        "found " + Quoted(later.number) + ", and on line " + std::to_string(earlier.record->line) + " " +
            Quoted(earlier.number) +
            ", expected one sign before decimals in the whole grid (--decimal point or --decimal comma says which)");
    return false;
  }
  if (shapes.point.count == 0 && shapes.comma.count == 0 && shapes.either.count > 0) {
    reading.Error(kDecimalSign, *shapes.either.record, shapes.either.number,
                  "found " + Quoted(shapes.either.number) +
                      ", which is a thousand or a decimal, and nothing in the grid that settles it; expected --decimal "
                      "point or --decimal comma");
    return false;
  }
  reading.decimal = shapes.comma.count > 0 ? DecimalSign::kComma : DecimalSign::kPoint;
  return true;
}

}  // namespace tarewise::inline TW_VERSIONED::load::printed
