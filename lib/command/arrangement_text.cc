#include "command/arrangement_text.h"

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <numeric>
#include <string>
#include <string_view>
#include <tuple>
#include <vector>

#include "command/layout.h"
#include "command/quantities.h"
#include "tarewise/packing/arrange.h"
#include "tarewise/ranking/growth.h"
#include "tarewise/ranking/packing_steps.h"
#include "tarewise/units/rounding.h"

namespace tarewise::command {
namespace {

// A character is about twice as high as wide.
constexpr std::size_t kMostColumns = 48;
constexpr std::size_t kMostRows = 12;
constexpr std::string_view kLetters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ";

// The units of an arrangement with their letters, in the order in which they are put in.
class Drawing {
 public:
  Drawing(const Ranking& ranking, const Candidate& candidate, const Style& style)
      : request_(ranking.request()), style_(style) {
    for (std::size_t i = 0; i < 3; ++i) inside_[i] = InsideOf(candidate)[i].nanometres();
    const std::vector<std::size_t> steps = StepsOfUnits(ranking, candidate);
    std::vector<std::size_t> order(steps.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const std::vector<Placement>& units = *candidate.arrangement;
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      const auto place = [&](std::size_t i) {
        return std::tuple(steps[i], units[i].at[2], units[i].at[1], units[i].at[0]);
      };
      return place(a) < place(b);
    });
    for (const std::size_t i : order) placements_.push_back(units[i]);
    Letter();
    Scale();
  }

  std::string Text() const {
    std::string out = Paragraph(style_, "", 2, "Seen from above, the front at the bottom:", Tone::kFaint);
    out += Legend();
    std::vector<std::int64_t> heights;
    for (const Placement& one : placements_) {
      heights.push_back(one.at[2]);
      heights.push_back(one.at[2] + one.sides[2]);
    }
    std::sort(heights.begin(), heights.end());
    heights.erase(std::unique(heights.begin(), heights.end()), heights.end());
    for (std::size_t i = 0; i + 1 < heights.size(); ++i) out += Layer(heights[i], heights[i + 1]);
    return out;
  }

 private:
  // A letter for each unit; where there are not so many, one for all the units of an item.
  void Letter() {
    const bool each = placements_.size() <= kLetters.size();
    for (std::size_t i = 0; i < placements_.size(); ++i) {
      const std::size_t item = GoodsUnitOf(request_, placements_[i].unit).item;
      items_.push_back(item);
      letters_.push_back(kLetters[(each ? i : item) % kLetters.size()]);
    }
  }

  void Scale() {
    const auto cells = [](std::int64_t of, std::int64_t by, std::size_t most, int times, int over) {
      const auto n = static_cast<std::int64_t>(
          DivideRounded(Int128(of) * static_cast<std::int64_t>(most) * times, by, over, RoundMode::kHalfUp));
      return static_cast<std::size_t>(std::max<std::int64_t>(n, 1));
    };
    columns_ = kMostColumns;
    rows_ = cells(inside_[1], inside_[0], columns_, 1, 2);
    if (rows_ <= kMostRows) return;
    rows_ = kMostRows;
    columns_ = std::min(kMostColumns, cells(inside_[0], inside_[1], rows_, 2, 1));
  }

  // "a b c  \"Board game\"": by item, in the order of the goods.
  std::string Legend() const {
    Table table({{"", Table::Align::kLeft, true}, {"", Table::Align::kLeft, true}, {"", Table::Align::kLeft}}, 2);
    for (std::size_t item = 0; item < request_.goods.size(); ++item) {
      std::string letters;
      for (std::size_t i = 0; i < items_.size(); ++i) {
        if (items_[i] != item || letters.find(letters_[i]) != std::string::npos) continue;
        letters += (letters.empty() ? "" : " ") + std::string(1, letters_[i]);
      }
      const Item& one = request_.goods[item];
      const std::string& title = one.title;
      table.Add({{letters, Tone::kBest},
                 {title.empty() ? "item " + std::to_string(item + 1) : Clean(title)},
                 {ShortText(Dimensions(one.sides[0], one.sides[1], one.sides[2]), request_.side_units), Tone::kFaint}});
    }
    return table.Text(style_, false);
  }

  static std::size_t CellOf(std::int64_t at, std::int64_t whole, std::size_t cells) {
    return static_cast<std::size_t>(
        DivideRounded(Int128(at) * static_cast<std::int64_t>(cells), whole, 1, RoundMode::kHalfUp));
  }

  // The cells from one to before the other; at least one, so that nothing vanishes.
  struct Cells {
    std::size_t begin = 0;
    std::size_t end = 0;
  };
  static Cells CellsOf(const Placement& one, std::size_t axis, std::int64_t whole, std::size_t cells) {
    const std::size_t begin = std::min(CellOf(one.at[axis], whole, cells), cells - 1);
    return {begin, std::max(CellOf(one.at[axis] + one.sides[axis], whole, cells), begin + 1)};
  }

  std::string Layer(std::int64_t from, std::int64_t to) const {
    std::vector<std::string> canvas(rows_, std::string(columns_, ' '));
    for (std::size_t i = 0; i < placements_.size(); ++i) {
      const Placement& one = placements_[i];
      if (one.at[2] >= to || one.at[2] + one.sides[2] <= from) continue;
      const Cells across = CellsOf(one, 0, inside_[0], columns_);
      const Cells along = CellsOf(one, 1, inside_[1], rows_);
      for (std::size_t row = along.begin; row < along.end; ++row) {
        const auto line = canvas[rows_ - 1 - row].begin();
        std::fill(line + static_cast<std::ptrdiff_t>(across.begin), line + static_cast<std::ptrdiff_t>(across.end),
                  letters_[i]);
      }
    }
    const std::string border = "  +" + std::string(columns_, '-') + "+\n";
    std::string out =
        "\n" + Paragraph(style_, "", 2, (from == 0 ? "0" : HeightText(from)) + " to " + HeightText(to) + " high");
    out += border;
    for (const std::string& line : canvas) out += "  |" + line + "|\n";
    return out + border;
  }

  std::string HeightText(std::int64_t nm) const {
    const std::int64_t step = request_.side_units == UnitSystem::kImperial ? Length::Inches(1).nanometres() / 100
                                                                           : Length::Millimetres(1).nanometres() / 10;
    const std::int64_t rounded = static_cast<std::int64_t>(DivideRounded(nm, step, 1, RoundMode::kHalfUp)) * step;
    return Length::Nanometres(rounded).ToString(request_.side_units);
  }

  const Request& request_;
  const Style& style_;
  std::vector<Placement> placements_;
  std::array<std::int64_t, 3> inside_ = {};
  std::vector<std::size_t> items_;
  std::string letters_;
  std::size_t columns_ = 0;
  std::size_t rows_ = 0;
};

// Why there is nothing to tell.
std::string NothingText(const Ranking& ranking, const Candidate& candidate) {
  if (ranking.request().parcel) return "It is packed and closed.";
  if (ranking.estimate()) return "An estimate packs nothing.";
  std::int64_t units = 0;
  for (const Item& item : ranking.request().goods) units += item.quantity;
  if (units == 1) return "One thing alone: there is nothing to arrange.";
  return candidate.packaging != nullptr && candidate.packaging->kind == PackagingKind::kBare
             ? "They go without packaging, piled along their shortest sides."
             : "They fill it as they are pressed: no place is better than another.";
}

// Each fit within few steps, so that nobody waits: what is told is then the least that there is.
constexpr ArrangeBudget kFewSteps{100};

// "Each may grow, all else as it is, by at least:", with a line an item.
std::string GrowthText(const Ranking& ranking, const Candidate& candidate, const Style& style) {
  const Request& request = ranking.request();
  const std::int64_t step = request.side_units == UnitSystem::kImperial ? Length::Inches(1).nanometres() / 100
                                                                        : Length::Millimetres(1).nanometres() / 10;
  Table table({{"", Table::Align::kLeft}, {"", Table::Align::kLeft, true}}, 2);
  for (const Growth& growth : RoomToGrow(ranking, candidate, kFewSteps)) {
    const std::string& title = request.goods[growth.item].title;
    std::string sides;
    for (const Length side : growth.sides) {
      const std::int64_t told = side.nanometres() / step * step;
      sides += (sides.empty() ? "" : ", ") + Length::Nanometres(told).ToString(request.side_units);
    }
    table.Add({{title.empty() ? "item " + std::to_string(growth.item + 1) : Clean(title)}, {sides}});
  }
  const std::string whole = candidate.cut_to ? " and the carton not cut down" : "";
  return "\n" +
         Paragraph(style, "", 2,
                   "One side of each may be longer, all else as it is" + whole + ", by at least:", Tone::kFaint) +
         table.Text(style, false);
}

}  // namespace

std::string ArrangementText(const Ranking& ranking, const Offer& offer, const Style& style) {
  const Candidate& candidate = ranking.candidates()[offer.candidate_index];
  std::string out = "\n" + style.Paint(Tone::kHeading, "How to pack it");
  const std::vector<std::string> steps = PackingSteps(ranking, candidate);
  if (steps.empty()) return out + "\n" + Paragraph(style, "", 2, NothingText(ranking, candidate));
  out += style.Paint(Tone::kFaint, "  in " + Clean(candidate.packaging->code)) + "\n";
  for (std::size_t i = 0; i < steps.size(); ++i) {
    out += Paragraph(style, PadLeft(std::to_string(i + 1), 4) + ".", 6, Clean(steps[i]));
  }
  if (candidate.arrangement != nullptr) {
    out += "\n" + Drawing(ranking, candidate, style).Text() + GrowthText(ranking, candidate, style);
  }
  return out;
}

}  // namespace tarewise::command
