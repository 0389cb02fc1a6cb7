#include "printed_grid_tables.h"

#include <algorithm>
#include <map>
#include <optional>

#include "printed_grid_numbers.h"
#include "printed_grid_split.h"
#include "printed_grid_words.h"

namespace tarewise::inline TW_VERSIONED::load::printed {
namespace {

// What the cells behind a label are.
struct CellCounts {
  std::size_t amounts = 0;
  std::size_t dashes = 0;
  std::size_t others = 0;  // neither, and not empty
  std::size_t zones = 0;   // others that begin with "Zone"
};
CellCounts CountCells(const CellText& text, const Record& record, std::size_t label) {
  CellCounts out;
  for (std::size_t i = label; i < record.count; ++i) {
    const PriceText::Kind kind = ReadPrice(text.cell(record, i)).kind;
    out.amounts += kind == PriceText::Kind::kAmount ? 1 : 0;
    out.dashes += kind == PriceText::Kind::kDash ? 1 : 0;
    out.others += kind == PriceText::Kind::kNone ? 1 : 0;
    if (kind != PriceText::Kind::kNone) continue;
    const std::string_view cell = text.cell(record, i);
    out.zones += IsZoneWord(cell.substr(0, cell.find(' '))) ? 1 : 0;
  }
  return out;
}

std::size_t Whole(std::string_view number) {
  std::size_t whole = 0;
  for (const char c : number.substr(0, 12)) {
    if (c < '0' || c > '9') break;
    whole = whole * 10 + static_cast<std::size_t>(c - '0');
  }
  return whole;
}

bool Rises(const Quantity& from, const Quantity& to) {
  if (from.unit != to.unit) return true;
  const std::size_t low = Whole(from.number);
  const std::size_t high = Whole(to.number);
  return low < high || (low == high && (from.number != to.number || from.numerator != to.numerator));
}

class Finder {
 public:
  explicit Finder(const CellText& text) : text_(text) {}

  FoundTables Run() {
    const auto count = static_cast<std::uint32_t>(text_.records().size());
    for (std::uint32_t r = 0; r < count; ++r) {
      if (Kind(r) != Record::Kind::kRow) {
        if (std::optional<Heading> across = AcrossAt(r)) {
          TakeAcross(*std::move(across));
          continue;
        }
      }
      if (IsData(r)) {
        TakeRow(r);
      } else {
        pending_.push_back(r);
      }
    }
    Close();
    return std::move(found_);
  }

 private:
  Record::Kind Kind(std::uint32_t r) const { return text_.records()[r].kind; }

  bool IsData(std::uint32_t r) const {
    if (Kind(r) == Record::Kind::kRow) return true;
    if (open_ && pending_.empty() && IsOddRow(r)) return true;
    return open_ && table_.zones_down && Kind(r) == Record::Kind::kNamedRow &&
           (pending_.empty() || text_.records()[r].count == table_.columns + 1);
  }

  // A row of the table that is open, without a price that can be read.
  bool IsOddRow(std::uint32_t r) const {
    return IsOddRow(r, table_.label, table_.columns) || (table_.zones_down && IsOddZone(r));
  }

  // A line whose label is a bound, with dashes, nothing, or what is no price in the place of prices.
  // `next`: the row under it, where it is of no table yet.
  bool IsOddRow(std::uint32_t r, std::size_t label, std::size_t columns, std::optional<std::uint32_t> next = {}) const {
    const Record& record = text_.records()[r];
    if (record.kind == Record::Kind::kRow || record.count <= label || text_.cell(record, label - 1).size() > 120)
      return false;
    const std::string words = text_.Label(record, label);
    const BoundText bound = ReadBoundText(words);
    // "Parcels up to 30 kg" is a title.
    if (bound.kind == BoundText::Kind::kNone || bound.titled) return false;
    const CellCounts cells = CountCells(text_, record, label);
    const bool as_wide = record.count == label + columns || text_.Width(record) == label + columns;
    const bool spaced = text_.separator() == Separator::kWide || text_.separator() == Separator::kSpace;
    if (cells.others == 0) return cells.dashes > 0 || (as_wide && (!spaced || record.placed));
    if (cells.zones == cells.others) return false;
    // A footnote has a number before its words, as a row has.
    const bool rises = IsAbove(bound) || (next && IsBelow(bound, *next));
    return spaced ? as_wide && rises : as_wide || rises || cells.amounts > 0;
  }

  // A bound above the last of the table that is open.
  bool IsAbove(const BoundText& bound) const {
    if (!open_ || table_.rows.empty()) return false;
    const std::string last = text_.Label(text_.records()[table_.rows.back()], table_.label);
    return Rises(ReadBoundText(last).upper, bound.upper);
  }

  bool IsBelow(const BoundText& bound, std::uint32_t row) const {
    const std::string after = text_.Label(text_.records()[row], Label(row));
    return Rises(bound.upper, ReadBoundText(after).upper);
  }

  // Of a grid turned round: a zone that is offered nowhere, or with a price that cannot be read.
  bool IsOddZone(std::uint32_t r) const {
    const Record& record = text_.records()[r];
    if (record.count != table_.columns + 1 || text_.cell(record, 0).empty()) return false;
    const CellCounts cells = CountCells(text_, record, 1);
    return cells.others == 0 ? cells.dashes > 0 : cells.amounts >= cells.others;
  }

  // Words where a bound stands, and nothing but prices behind them: with hundredths, as names of columns have none.
  bool IsPriced(std::uint32_t r, std::size_t label, std::size_t columns) const {
    const Record& record = text_.records()[r];
    if (record.kind != Record::Kind::kNamedRow || text_.Width(record) != label + columns) return false;
    for (std::size_t i = label; i < record.count; ++i) {
      const PriceText price = ReadPrice(text_.cell(record, i));
      if (price.kind != PriceText::Kind::kAmount) continue;
      const std::size_t sign = price.number.find_last_of(".,");
      const bool hundredths = sign != std::string_view::npos && price.number.size() - sign == 3;
      if (price.currency.empty() && !hundredths) return false;
    }
    return true;
  }

  // Takes off the end of `over`, which stands over a row, the rows that have no price that can be read, and those of
  // words: a header is none of them.
  void TakeOddRows(std::vector<std::uint32_t>& over, std::uint32_t r, std::vector<std::uint32_t>& odd,
                   std::vector<std::uint32_t>& priced) const {
    const std::size_t label = Label(r);
    const std::size_t columns = ColumnsFrom(r);
    const auto is_odd = [&](std::uint32_t line) { return IsOddRow(line, label, columns, r); };
    std::size_t kept = over.size();
    while (kept > 0 && (is_odd(over[kept - 1]) || IsPriced(over[kept - 1], label, columns))) --kept;
    if (kept == over.size()) return;
    // Without another header, words and prices may be one.
    const std::vector<std::uint32_t> rest(over.begin(), over.begin() + static_cast<std::ptrdiff_t>(kept));
    const bool headed = ReadHeading(text_, rest, label, columns).has_value();
    for (std::size_t i = kept; i < over.size(); ++i) {
      if (is_odd(over[i])) {
        odd.push_back(over[i]);
      } else if (headed || open_) {
        priced.push_back(over[i]);
      } else {
        odd.clear();
        return;
      }
    }
    over.resize(kept);
  }

  // A line of bounds with rows of prices under it.
  std::optional<Heading> AcrossAt(std::uint32_t r) const {
    if (r + 1 >= text_.records().size()) return std::nullopt;
    if (Kind(r + 1) == Record::Kind::kOther) {
      const CellCounts cells = CountCells(text_, text_.records()[r + 1], 1);
      const bool odd = cells.others == 0 ? cells.dashes > 0 : cells.amounts >= cells.others;
      if (!odd) return std::nullopt;
    }
    const Record& record = text_.records()[r];
    constexpr std::size_t kMostLine = 100'000;
    if (record.end - record.begin > kMostLine) return std::nullopt;
    std::optional<Heading> across = ReadBoundsAcross(text_, r);
    if (!across) return across;
    // A unit over bounds ("lb") with prices beside it is a row's own matter.
    const std::size_t under = text_.records()[r + 1].count;
    return under == across->names.size() + 1 ? across : std::nullopt;
  }

  void TakeAcross(Heading heading) {
    if (open_ && table_.zones_down && heading.names == table_.heading.names) {
      table_.repeats.push_back(heading.records.front());
      PassPending();
      return;
    }
    Close();
    open_ = true;
    table_.headed = table_.zones_down = true;
    table_.columns = heading.names.size();
    table_.heading = std::move(heading);
  }

  void TakeRow(std::uint32_t r) {
    std::vector<std::uint32_t> odd;
    std::vector<std::uint32_t> priced;
    if (Kind(r) == Record::Kind::kRow && !pending_.empty() && !table_.zones_down) {
      TakeOddRows(pending_, r, odd, priced);
    }
    if (!open_) {
      Open(r);
    } else if (!pending_.empty() && !table_.zones_down) {
      Between(r);
    } else if (!pending_.empty()) {
      PassPending(r);
    }
    table_.left_out.insert(table_.left_out.end(), priced.begin(), priced.end());
    table_.rows.insert(table_.rows.end(), odd.begin(), odd.end());
    table_.rows.push_back(r);
  }

  // Lines stand between the last row and this one: the heading again, another table, a unit, or nothing of the grid.
  void Between(std::uint32_t r) {
    if (std::all_of(pending_.begin(), pending_.end(), [this](std::uint32_t line) { return !UnitLine(line).empty(); })) {
      PassPending(r);
      return;
    }
    std::optional<Heading> heading = ReadHeading(text_, pending_, table_.label, table_.columns);
    // Pounds after ounces begin anew.
    const bool other_unit = heading && !UnitInHeading(heading->corner).empty() &&
                            UnitInHeading(heading->corner) != UnitInHeading(table_.heading.corner);
    const bool again = !other_unit && IsRestart(r);
    if (heading && table_.headed && heading->names == table_.heading.names && !again) {
      const std::string unit(UnitInHeading(heading->corner));
      if (!unit.empty()) table_.units.emplace_back(table_.rows.size(), unit);
      const std::size_t before = pending_.size() - heading->records.size();
      table_.repeats.insert(table_.repeats.end(), heading->records.begin(), heading->records.end());
      pending_.resize(before);
      PassPending(r);
      return;
    }
    const std::size_t columns = ColumnsFrom(r);
    const bool other = columns != table_.columns && ReadHeading(text_, pending_, Label(r), columns).has_value();
    if (heading || again || other) {
      Open(r);
    } else {
      PassPending(r);
    }
  }

  void Open(std::uint32_t r) {
    std::vector<std::uint32_t> over;
    over.swap(pending_);
    std::size_t columns = ColumnsFrom(r);
    std::optional<Heading> heading = ReadHeading(text_, over, Label(r), columns);
    if (!heading) {
      // The last columns may be empty in every row.
      const std::size_t more = ColumnsFrom(r, /*empty=*/true);
      if (more > columns) heading = ReadHeading(text_, over, Label(r), more);
      if (heading) columns = more;
    }
    // Rows of the table above stand before the heading.
    for (std::size_t i = 0; open_ && i + (heading ? heading->records.size() : 0) < over.size(); ++i) {
      if (IsOddRow(over[i])) table_.rows.push_back(over[i]);
    }
    Close();
    open_ = true;
    table_.label = Label(r);
    table_.columns = columns;
    table_.headed = heading.has_value();
    if (heading) table_.heading = *std::move(heading);
  }

  void Close() {
    if (open_) {
      // What stands below is told as a whole, but prices behind other words are told apart.
      for (const std::uint32_t r : pending_) {
        if (IsOddRow(r)) {
          table_.rows.push_back(r);
        } else if (IsLeftOut(r) || (r == pending_.front() && IsBareBound(r))) {
          table_.left_out.push_back(r);
        }
      }
      if (table_.headed && !table_.rows.empty()) {
        found_.tables.push_back(std::move(table_));
      } else if (table_.rows.size() > 1) {
        found_.headless.push_back(std::move(table_));
      }
    }
    table_ = {};
    open_ = false;
    pending_.clear();
  }

  // `next`: the row under them.
  void PassPending(std::optional<std::uint32_t> next = {}) {
    for (const std::uint32_t r : pending_) {
      const std::string_view unit = UnitLine(r);
      if (!unit.empty()) {
        table_.units.emplace_back(table_.rows.size(), unit);
        table_.repeats.push_back(r);
      } else if (IsOddRow(r)) {
        table_.rows.push_back(r);
      } else {
        (IsLeftOut(r) || (next && IsBareBound(r) && IsBelow(BoundOf(r), *next)) ? table_.left_out : table_.passed)
            .push_back(r);
      }
    }
    pending_.clear();
  }

  // The unit that a line of nothing else says: "Ounces", "Weight not over (lb)".
  std::string_view UnitLine(std::uint32_t r) const {
    const std::string_view line = text_.LineText(text_.records()[r]);
    if (line.size() > 200 || !OnlySmallWords(line)) return {};
    return UnitInHeading(line);
  }

  static bool OnlySmallWords(std::string_view line) {
    std::vector<std::string_view> words;
    SplitWords(line, words, 64);
    return std::all_of(words.begin(), words.end(), [](std::string_view word) {
      while (!word.empty() && std::string_view("(),;|\"").find(word.front()) != std::string_view::npos)
        word.remove_prefix(1);
      while (!word.empty() && std::string_view("(),;|\"").find(word.back()) != std::string_view::npos)
        word.remove_suffix(1);
      return word.empty() || IsSmallWord(word) || IsWeightWord(word) || !UnitOf(word).empty();
    });
  }

  BoundText BoundOf(std::uint32_t r) const { return ReadBoundText(TrimAll(text_.LineText(text_.records()[r]))); }

  // A bound above the last row's, and nothing else in its line: a row that lost its prices, or the number of a page.
  bool IsBareBound(std::uint32_t r) const {
    const Record& record = text_.records()[r];
    if (table_.zones_down || record.end - record.begin > 120 || text_.Width(record) > table_.label) return false;
    const BoundText bound = BoundOf(r);
    return bound.kind == BoundText::Kind::kBound && !bound.titled && IsAbove(bound);
  }

  bool IsLeftOut(std::uint32_t r) const {
    const Record& record = text_.records()[r];
    return record.kind == Record::Kind::kNamedRow && text_.Width(record) == table_.columns + table_.label &&
           table_.columns > 0;
  }

  std::size_t Label(std::uint32_t r) const { return text_.records()[r].label; }

  // How many prices most of the rows have that begin here; `empty`: with cells that are empty in all of them.
  std::size_t ColumnsFrom(std::uint32_t r, bool empty = false) const {
    constexpr std::uint32_t kMost = 256;
    const auto end = std::min<std::uint32_t>(r + kMost, static_cast<std::uint32_t>(text_.records().size()));
    std::map<std::size_t, std::size_t> counts;
    std::size_t widest = 0;
    for (std::uint32_t i = r; i < end && Kind(i) == Record::Kind::kRow; ++i) {
      ++counts[text_.records()[i].count];
      widest = std::max(widest, text_.Width(text_.records()[i]));
    }
    const auto most = std::max_element(counts.begin(), counts.end(),
                                       [](const auto& a, const auto& b) { return a.second < b.second; });
    if (empty) widest = most->first;
    return std::min(most->first, widest) - std::min(most->first - 1, Label(r));
  }

  // A bound below the one before it, by what stands before its decimals.
  bool IsRestart(std::uint32_t r) const {
    const std::string label = text_.Label(text_.records()[r], Label(r));
    const std::string above = text_.Label(text_.records()[table_.rows.back()], table_.label);
    const BoundText now = ReadBoundText(label);
    const BoundText last = ReadBoundText(above);
    if (now.upper.unit != last.upper.unit) return false;
    return Whole(now.upper.number) < Whole(last.upper.number);
  }

  const CellText& text_;
  FoundTables found_;
  FoundTable table_;
  bool open_ = false;
  std::vector<std::uint32_t> pending_;  // lines since the last row
};

}  // namespace

FoundTables FindTables(const CellText& text) { return Finder(text).Run(); }

}  // namespace tarewise::inline TW_VERSIONED::load::printed
