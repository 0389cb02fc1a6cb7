// What in a printed grid looks mistyped.
#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "printed_grid_reading.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load::printed {
namespace {

class Doubts {
 public:
  Doubts(const ReadGrid& grid, Notes& notes) : grid_(grid), notes_(notes) {}

  void Find() {
    Left();
    Above();
    Steps();
    Rows();
    Decimals();
  }

 private:
  std::size_t rows() const { return grid_.bounds.size(); }
  std::size_t columns() const { return grid_.columns.size(); }
  std::int64_t At(std::size_t row, std::size_t column) const { return grid_.price(row, column).micros; }
  bool Has(std::size_t row, std::size_t column) const { return At(row, column) != GridPrice::kNone; }

  std::string Price(std::size_t row, std::size_t column) const {
    return DecimalText(At(row, column), grid_.price(row, column).decimals);
  }
  std::string Row(std::size_t row) const {
    const GridBound& bound = grid_.bounds[row];
    return DecimalText(bound.micros, 0) + (bound.unit.empty() ? "" : " " + bound.unit);
  }
  std::string Where(std::size_t row, std::size_t column) const {
    return "found " + Price(row, column) + " for " + Row(row) + " in column " + Quoted(grid_.columns[column]);
  }

  // Two figures beside each other change places, or one is another figure: what would then lie between its neighbours.
  std::string Perhaps(std::size_t row, std::size_t column) const {
    std::int64_t least = 0;
    std::int64_t most = INT64_MAX;
    if (column > 0 && Has(row, column - 1) && Rising(column)) least = std::max(least, At(row, column - 1));
    if (row > 0 && Has(row - 1, column)) least = std::max(least, At(row - 1, column));
    if (column + 1 < columns() && Has(row, column + 1) && Rising(column + 1))
      most = std::min(most, At(row, column + 1));
    if (row + 1 < rows() && Has(row + 1, column)) most = std::min(most, At(row + 1, column));
    std::string text = Price(row, column);
    for (std::size_t i = 0; i + 1 < text.size(); ++i) {
      const std::size_t next = text[i + 1] == '.' ? i + 2 : i + 1;
      if (text[i] == '.' || next >= text.size() || text[i] == text[next]) continue;
      std::swap(text[i], text[next]);
      const std::optional<Figure> swapped = ReadFigure(text, DecimalSign::kPoint);
      if (swapped && swapped->micros >= least && swapped->micros <= most) {
        return "; perhaps " + text + ", two figures swapped";
      }
      std::swap(text[i], text[next]);
    }
    return {};
  }

  // The same of the price that it is compared with, which may be the wrong one of the two.
  std::string Else(std::size_t row, std::size_t column) const {
    const std::string other = Perhaps(row, column);
    return other.empty() ? other : other + " for " + Row(row);
  }

  // Whether prices rise from the column before it: where few rows say otherwise.
  bool Rising(std::size_t column) const {
    return column < falls_.size() && falls_[column] * 10 <= std::max<std::size_t>(both_[column], 10);
  }

  void Left() {
    falls_.assign(columns(), 0);
    both_.assign(columns(), 0);
    for (std::size_t column = 1; column < columns(); ++column) {
      for (std::size_t row = 0; row < rows(); ++row) {
        if (!Has(row, column) || !Has(row, column - 1)) continue;
        ++both_[column];
        falls_[column] += At(row, column) < At(row, column - 1) ? 1 : 0;
      }
    }
    // Two rows show nothing of a column pair.
    for (std::size_t column = 1; column < columns(); ++column) {
      if (falls_[column] == 0 || !Rising(column) || both_[column] < 3) continue;
      for (std::size_t row = 0; row < rows(); ++row) {
        if (!Has(row, column) || !Has(row, column - 1) || At(row, column) >= At(row, column - 1)) continue;
        // The wrong one of the two may be either.
        const bool left = IsOdd(row, column - 1) && !IsOdd(row, column);
        const std::size_t odd = left ? column - 1 : column;
        notes_.Doubt(kCheaperThanLeft, grid_.line(row, odd),
                     Where(row, odd) + ", expected " + (left ? "at most " : "at least ") +
                         Price(row, left ? column : column - 1) + " as in column " +
                         Quoted(grid_.columns[left ? column : column - 1]) + Perhaps(row, odd));
      }
    }
  }

  // Out of order with the rows around it.
  bool IsOdd(std::size_t row, std::size_t column) const {
    const bool over = row > 0 && Has(row - 1, column) && At(row, column) < At(row - 1, column);
    const bool under = row + 1 < rows() && Has(row + 1, column) && At(row, column) > At(row + 1, column);
    return over || under;
  }

  void Above() {
    for (std::size_t column = 0; column < columns(); ++column) {
      std::optional<std::size_t> last;
      for (std::size_t row = 0; row < rows(); ++row) {
        if (!Has(row, column)) continue;
        const std::optional<std::size_t> above = std::exchange(last, row);
        if (!above || At(row, column) >= At(*above, column)) continue;
        // Where the row above it is above this one and the one after, it is that one which is odd.
        const bool high = row + 1 < rows() && Has(row + 1, column) && At(row + 1, column) < At(*above, column);
        const std::size_t odd = high ? *above : row;
        notes_.Doubt(kCheaperThanAbove, grid_.line(odd, column),
                     Where(odd, column) + ", expected " + (high ? "at most " : "at least ") +
                         Price(high ? row : *above, column) + " as for " + Row(high ? row : *above) +
                         Perhaps(odd, column) + Else(high ? row : *above, column));
      }
    }
  }

  // What a price is above the row before it, for each base unit of the bounds: as a fraction.
  struct Step {
    absl::int128 rise = 0;
    absl::int128 gap = 1;
  };
  std::optional<Step> StepAt(std::size_t row, std::size_t column) const {
    if (row == 0 || row >= rows() || !Has(row, column) || !Has(row - 1, column)) return std::nullopt;
    const GridBound& above = grid_.bounds[row - 1];
    const GridBound& bound = grid_.bounds[row];
    // Units are with all bounds or with none.
    const std::int64_t small = bound.unit.empty() ? 1 : 1'000'000;
    return Step{At(row, column) - At(row - 1, column),
                InBase(bound.micros, bound.unit) / small - InBase(above.micros, above.unit) / small};
  }
  // More than `times` as steep.
  static bool Steeper(const Step& a, const Step& b, int times) {
    // Money of at most 10^15 and bounds of at most some 10^20 do not pass 128 bits.
    return a.rise * b.gap > times * b.rise * a.gap;
  }

  // More than four times as steep as both neighbours, whatever the other columns do there: less than half of them so.
  bool IsSteep(std::size_t row, std::size_t column) const {
    const std::optional<Step> step = StepAt(row, column);
    if (!step || step->rise <= 0) return false;
    const std::optional<Step> before = StepAt(row - 1, column);
    const std::optional<Step> after = StepAt(row + 1, column);
    // A first step may be of any size.
    if (!before) return false;
    return Steeper(*step, *before, 4) && (!after || Steeper(*step, *after, 4));
  }

  void Steps() {
    if (rows() < 4) return;
    for (std::size_t row = 1; row < rows(); ++row) {
      std::vector<std::size_t> steep;
      for (std::size_t column = 0; column < columns(); ++column) {
        if (IsSteep(row, column)) steep.push_back(column);
      }
      if (steep.empty() || (columns() > 1 && steep.size() * 2 >= columns())) continue;
      for (const std::size_t column : steep) {
        if (IsOdd(row, column) || IsOdd(row - 1, column)) continue;  // told
        notes_.Doubt(kUnlikeStep, grid_.line(row, column),
                     Where(row, column) + ", " + DecimalText(At(row, column) - At(row - 1, column), 2) + " above " +
                         Price(row - 1, column) + " for " + Row(row - 1) + ", expected a step like those around it" +
                         Perhaps(row, column));
      }
    }
  }

  // A bound that a regular series leaves out.
  void Rows() {
    for (std::size_t row = 2; row + 1 < rows(); ++row) {
      const auto gap = [this](std::size_t at) -> std::int64_t {
        const bool alike = grid_.bounds[at].unit == grid_.bounds[at - 1].unit;
        return alike ? grid_.bounds[at].micros - grid_.bounds[at - 1].micros : 0;
      };
      const std::int64_t step = gap(row - 1);
      if (step <= 0 || gap(row + 1) != step || gap(row) <= step || gap(row) % step != 0) continue;
      const std::int64_t missing = gap(row) / step - 1;
      if (missing > 3) continue;
      GridBound one = grid_.bounds[row - 1];
      one.micros += step;
      notes_.Doubt(kMissingRow, grid_.bounds[row].line,
                   "found " + Row(row) + " after " + Row(row - 1) + ", expected " + DecimalText(one.micros, 0) +
                       " between them in a series of " + DecimalText(step, 0) + (missing > 1 ? " (and more)" : ""));
    }
  }

  // A footnote's figure that was pasted on to a price gives it one decimal more than all others of its column.
  void Decimals() {
    for (std::size_t column = 0; column < columns(); ++column) {
      std::array<std::size_t, 8> counts = {};
      std::size_t all = 0;
      for (std::size_t row = 0; row < rows(); ++row) {
        if (!Has(row, column)) continue;
        ++counts[grid_.price(row, column).decimals];
        ++all;
      }
      const auto most = std::max_element(counts.begin(), counts.end());
      if (all < 4 || *most == all || *most * 10 < all * 8) continue;
      const auto usual = static_cast<std::size_t>(most - counts.begin());
      for (std::size_t row = 0; row < rows(); ++row) {
        if (!Has(row, column) || grid_.price(row, column).decimals == usual) continue;
        notes_.Doubt(kUnlikeDecimals, grid_.line(row, column),
                     Where(row, column) + ", expected " + std::to_string(usual) +
                         " decimals as the others of the column have" +
                         (grid_.price(row, column).decimals > usual ? "; perhaps a footnote's figure" : ""));
      }
    }
    BoundDecimals();
  }

  // "3.54" among 1, 2, 3: 3.5 with the footnote 4.
  void BoundDecimals() {
    for (std::size_t row = 1; row < rows(); ++row) {
      const std::int64_t part = grid_.bounds[row].micros % 500'000;
      if (part == 0 || rows() < 3) continue;
      const bool alone = std::all_of(grid_.bounds.begin(), grid_.bounds.end(), [&](const GridBound& bound) {
        return &bound == &grid_.bounds[row] || bound.unit != grid_.bounds[row].unit || bound.micros % 500'000 == 0;
      });
      if (!alone) return;
      notes_.Doubt(
          kUnlikeDecimals, grid_.bounds[row].line,
          "found the bound " + Row(row) + ", expected wholes or halves as the others are; perhaps a footnote's figure");
      return;
    }
  }

  const ReadGrid& grid_;
  Notes& notes_;
  std::vector<std::size_t> falls_;  // rows in which a column is cheaper than the one before it
  std::vector<std::size_t> both_;   // rows that have both
};

}  // namespace

void FindDoubts(const ReadGrid& grid, Notes& notes) { Doubts(grid, notes).Find(); }

}  // namespace tarewise::inline TW_VERSIONED::load::printed
