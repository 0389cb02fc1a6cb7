// The bounds of a printed grid.
#include <map>
#include <optional>
#include <utility>

#include "printed_grid_reading.h"
#include "printed_grid_words.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load::printed {
namespace {

constexpr std::size_t kMostRows = 10'000;

// Reads one bound. False after an error.
class BoundReader {
 public:
  explicit BoundReader(const Reading& reading) : reading_(reading) {
    unit_ = UnitInHeading(reading.table.heading.corner);
    if (unit_.empty()) unit_ = UnitInHeading(reading.table.heading.across);
    if (unit_.empty()) unit_ = reading.options.unit;
    from_heading_ = !unit_.empty();
  }

  void SetUnit(std::string unit) {
    unit_ = std::move(unit);
    from_heading_ = true;
  }

  // `last`: whether no other bound follows. Nothing, without an error, for a last one that has no end.
  bool Read(const Record& record, std::string_view part, std::string_view label, bool last,
            std::optional<GridBound>& out) {
    const BoundText text = ReadBoundText(label);
    if (text.kind == BoundText::Kind::kExclusive) {
      return Bad(kGridBound, record, part, label, "a bound that is itself inside, as \"not over\" or \"up to\" say");
    }
    if (text.kind == BoundText::Kind::kOpen && last) {
      reading_.notes.Doubt(kPricesLeftOut, record.line,
                           "left out the row " + Quoted(label) + ", line " + std::to_string(record.line) +
                               ": it has no upper bound (what is past the last row is a table's \"beyond\")");
      return true;
    }
    if (text.kind != BoundText::Kind::kBound)
      return Bad(kGridBound, record, part, label, "a bound, as \"2\", \"up to 2 kg\"");
    GridBound bound;
    bound.line = record.line;
    const std::optional<std::int64_t> micros = ReadMicros(text.upper, reading_.decimal);
    if (!micros) return Bad(kGridBound, record, part, label, "a bound of at most nine figures and six decimals");
    bound.micros = *micros;
    if (text.has_ounces) {
      const std::optional<std::int64_t> ounces = ReadMicros(text.ounces, reading_.decimal);
      if (!ounces || *ounces % 16 != 0) return Bad(kGridBound, record, part, label, "pounds and whole ounces");
      bound.micros += *ounces / 16;
    }
    if (!SetUnitOf(text, record, part, label, bound)) return false;
    if (!text.mark.empty()) {
      reading_.notes.Did("removed the footnote mark " + Quoted(text.mark) + " from", "bound", record.line);
    }
    if (text.titled) reading_.notes.Did("took the bound out of the words of", "row", record.line);
    TellSigns(text, record);
    TellWords(text, record);
    if (text.upper.denominator > 1) reading_.notes.Did("read the fraction of", "bound", record.line);
    if (text.has_lower) CheckLower(text, record, label, bound);
    last_ = bound;
    out = std::move(bound);
    return true;
  }

 private:
  bool Bad(Code code, const Record& record, std::string_view part, std::string_view label, std::string_view expected) {
    reading_.Error(code, record, part, "found " + Quoted(label) + ", expected " + std::string(expected));
    return false;
  }

  void TellSigns(const BoundText& text, const Record& record) {
    const std::optional<Figure> figure = ReadFigure(text.upper.number, reading_.decimal);
    if (!figure) return;
    if (figure->grouped) reading_.notes.Did("removed what parts thousands from", "bound", record.line);
    if (figure->comma) reading_.notes.Did("read a comma before decimals in", "bound", record.line);
  }

  // "(lb)" has its brackets, and a range is told as a whole.
  void TellWords(const BoundText& text, const Record& record) {
    Notes& notes = reading_.notes;
    const auto removed = [&](std::string_view words) {
      const std::size_t first = words.find_first_not_of("():; ");
      if (first == std::string_view::npos || !UnitOf(words.substr(first)).empty()) return;
      notes.Did("removed " + Quoted(words) + " from", "bound", record.line);
    };
    if (!text.has_lower && !text.titled && !text.money) removed(text.before);
    if (!text.has_lower) removed(text.behind);
    if (!text.upper.unit.empty()) {
      notes.Did("read the unit " + Quoted(text.upper.unit) + " beside the figure of", "bound", record.line);
    }
    if (text.has_ounces) notes.Did("added the ounces to the pounds of", "bound", record.line);
  }

  bool SetUnitOf(const BoundText& text, const Record& record, std::string_view part, std::string_view label,
                 GridBound& bound) {
    if (text.money) {
      reading_.notes.Did("removed the sign of money from", "bound", record.line);
      return true;
    }
    if (!text.upper.unit.empty()) {
      bound.unit = text.upper.unit;
      // What the heading says holds for those without one, whatever a row says of itself.
      if (!from_heading_) unit_ = bound.unit;
      return true;
    }
    bound.unit = unit_.empty() ? reading_.options.unit : unit_;
    if (!unit_.empty() && !from_heading_) {
      reading_.notes.Did("took the unit of the row above (" + unit_ + ") for", "bound", record.line);
    }
    if (bound.unit.empty() && last_ && !last_->unit.empty()) {
      return Bad(kGridUnit, record, part, label, "a unit, as other rows have");
    }
    return true;
  }

  // A range begins where the row above ends, or one step of its last figure above it.
  void CheckLower(const BoundText& text, const Record& record, std::string_view label, const GridBound& bound) {
    reading_.notes.Did("took the upper of the two bounds of", "row", record.line);
    const std::optional<std::int64_t> lower = ReadMicros(text.lower, reading_.decimal);
    if (!lower || !last_) return;
    const std::string unit(text.lower.unit.empty() ? std::string_view(bound.unit) : text.lower.unit);
    const std::optional<Figure> figure = ReadFigure(text.lower.number, reading_.decimal);
    std::int64_t step = 1'000'000;
    for (int i = 0; figure && i < figure->decimals; ++i) step /= 10;
    const absl::int128 gap = InBase(*lower, unit) - InBase(last_->micros, last_->unit);
    if (gap >= 0 && gap <= InBase(step, unit)) return;
    reading_.notes.Doubt(kGapInRanges, record.line,
                         "found the row " + Quoted(label) + ", expected it to begin where the row above ends, at " +
                             DecimalText(last_->micros, 0) + (last_->unit.empty() ? "" : " " + last_->unit));
  }

  const Reading& reading_;
  std::string unit_;
  bool from_heading_ = false;
  std::optional<GridBound> last_;
};

bool TooMany(const Reading& reading, std::size_t rows, const Record& at) {
  if (rows <= kMostRows) return false;
  reading.Error(kTooMany, at, {},
                "found " + std::to_string(rows) + " rows, expected at most " + std::to_string(kMostRows));
  return true;
}

}  // namespace

bool ReadBoundsDown(const Reading& reading, ReadGrid& grid) {
  const FoundTable& table = reading.table;
  if (TooMany(reading, table.rows.size(), reading.text.records()[table.rows.front()])) return false;
  BoundReader reader(reading);
  bool good = true;
  std::size_t next_unit = 0;
  for (std::size_t i = 0; i < table.rows.size() && !reading.findings.full(); ++i) {
    for (; next_unit < table.units.size() && table.units[next_unit].first <= i; ++next_unit) {
      reader.SetUnit(table.units[next_unit].second);
    }
    const Record& record = reading.text.records()[table.rows[i]];
    std::optional<GridBound> bound;
    const std::string label = reading.text.Label(record, table.label);
    good = reader.Read(record, reading.text.cell(record, 0), label, i + 1 == table.rows.size(), bound) && good;
    if (bound) grid.bounds.push_back(*std::move(bound));
  }
  return good;
}

bool ReadBoundsInHeading(const Reading& reading, ReadGrid& grid) {
  const Record& record = reading.text.records()[reading.table.heading.records.back()];
  const std::vector<std::string>& names = reading.table.heading.names;
  if (TooMany(reading, names.size(), record)) return false;
  BoundReader reader(reading);
  bool good = true;
  for (std::size_t i = 0; i < names.size() && !reading.findings.full(); ++i) {
    std::optional<GridBound> bound;
    good = reader.Read(record, reading.text.cell(record, i + 1), names[i], false, bound) && good;
    if (bound) grid.bounds.push_back(*std::move(bound));
  }
  return good;
}

bool FinishBounds(const Reading& reading, ReadGrid& grid) {
  std::map<std::string, std::size_t> counts;
  for (const GridBound& bound : grid.bounds) ++counts[bound.unit];
  if (counts.count("") != 0 && counts.size() > 1) {
    for (const GridBound& bound : grid.bounds) {
      if (!bound.unit.empty()) continue;
      reading.Error(kGridUnit, reading.text.records()[reading.table.first()], {},
                    "found the bound " + DecimalText(bound.micros, 0) + " on line " + std::to_string(bound.line) +
                        " without a unit, while others have one; expected a unit with each, or --unit");
      return false;
    }
  }
  const std::string& asked = reading.options.unit;
  if (!asked.empty() && counts.count(asked) == 0 && counts.count("") == 0) {
    const GridBound& first = grid.bounds.front();
    reading.findings.Error(kGridUnit, reading.text.LineOffset(first.line), Value(),
                           "found the unit " + Quoted(first.unit) + ", expected " + Quoted(asked) +
                               " as --unit says, or no --unit: it is of bounds that have none");
    return false;
  }
  std::size_t most = 0;
  for (const GridBound& bound : grid.bounds) {
    const std::size_t count = counts[bound.unit];
    if (count < most) continue;
    most = count;
    grid.unit = bound.unit;
  }
  for (std::size_t i = 1; i < grid.bounds.size(); ++i) {
    const GridBound& above = grid.bounds[i - 1];
    const GridBound& bound = grid.bounds[i];
    const bool alike = KindOfUnit(above.unit) == KindOfUnit(bound.unit);
    if (alike && InBase(bound.micros, bound.unit) > InBase(above.micros, above.unit)) continue;
    const auto said = [](const GridBound& one) {
      return DecimalText(one.micros, 0) + (one.unit.empty() ? "" : " " + one.unit);
    };
    reading.findings.Error(alike ? kGridNotRising : kGridUnit, reading.text.LineOffset(bound.line), Value(),
                           "found the bound " + said(bound) + " after " + said(above) + " (line " +
                               std::to_string(above.line) + "), expected " +
                               (alike ? "a greater one" : "weights or lengths alone"));
    return false;
  }
  return true;
}

}  // namespace tarewise::inline TW_VERSIONED::load::printed
