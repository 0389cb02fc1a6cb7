#include "printed_grid_tables.h"

#include <algorithm>
#include <map>
#include <optional>

#include "printed_grid_numbers.h"
#include "printed_grid_split.h"
#include "printed_grid_words.h"

namespace tarewise::load::printed {
namespace {

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
    return open_ && table_.zones_down && Kind(r) == Record::Kind::kNamedRow &&
           (pending_.empty() || text_.records()[r].count == table_.columns + 1);
  }

  // A line of bounds with rows of prices under it.
  std::optional<Heading> AcrossAt(std::uint32_t r) const {
    if (r + 1 >= text_.records().size() || Kind(r + 1) == Record::Kind::kOther) return std::nullopt;
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
    if (!open_) {
      Open(r);
    } else if (!pending_.empty() && !table_.zones_down) {
      Between(r);
    } else if (!pending_.empty()) {
      PassPending();
    }
    table_.rows.push_back(r);
  }

  // Lines stand between the last row and this one: the heading again, another table, a unit, or nothing of the grid.
  void Between(std::uint32_t r) {
    if (std::all_of(pending_.begin(), pending_.end(), [this](std::uint32_t line) { return !UnitLine(line).empty(); })) {
      PassPending();
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
      PassPending();
      return;
    }
    const std::size_t columns = ColumnsFrom(r);
    const bool other = columns != table_.columns && ReadHeading(text_, pending_, Label(r), columns).has_value();
    if (heading || again || other) {
      Open(r);
    } else {
      PassPending();
    }
  }

  void Open(std::uint32_t r) {
    std::vector<std::uint32_t> over;
    over.swap(pending_);
    Close();
    open_ = true;
    table_.label = Label(r);
    table_.columns = ColumnsFrom(r);
    std::optional<Heading> heading = ReadHeading(text_, over, table_.label, table_.columns);
    table_.headed = heading.has_value();
    if (heading) table_.heading = *std::move(heading);
  }

  void Close() {
    if (open_) {
      // What stands below is told as a whole, but prices behind other words are told apart.
      for (const std::uint32_t r : pending_) {
        if (IsLeftOut(r)) table_.left_out.push_back(r);
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

  void PassPending() {
    for (const std::uint32_t r : pending_) {
      const std::string_view unit = UnitLine(r);
      if (!unit.empty()) {
        table_.units.emplace_back(table_.rows.size(), unit);
        table_.repeats.push_back(r);
      } else {
        (IsLeftOut(r) ? table_.left_out : table_.passed).push_back(r);
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

  bool IsLeftOut(std::uint32_t r) const {
    const Record& record = text_.records()[r];
    return record.kind == Record::Kind::kNamedRow && text_.Width(record) == table_.columns + table_.label &&
           table_.columns > 0;
  }

  std::size_t Label(std::uint32_t r) const { return text_.records()[r].label; }

  // How many prices most of the rows have that begin here.
  std::size_t ColumnsFrom(std::uint32_t r) const {
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

  static std::size_t Whole(std::string_view number) {
    std::size_t whole = 0;
    for (const char c : number.substr(0, 12)) {
      if (c < '0' || c > '9') break;
      whole = whole * 10 + static_cast<std::size_t>(c - '0');
    }
    return whole;
  }

  const CellText& text_;
  FoundTables found_;
  FoundTable table_;
  bool open_ = false;
  std::vector<std::uint32_t> pending_;  // lines since the last row
};

}  // namespace

FoundTables FindTables(const CellText& text) { return Finder(text).Run(); }

}  // namespace tarewise::load::printed
