#include "command/renew_text.h"

#include <cstdint>
#include <map>
#include <optional>
#include <string_view>
#include <tuple>
#include <utility>
#include <vector>

#include "command/layout.h"
#include "tarewise/compare/comparison.h"
#include "tarewise/compare/tariffs.h"

namespace tarewise::command {
namespace {

// Ten-thousandths of a percent, to a hundredth of one, with its sign.
std::string Signed(std::int64_t percent) {
  const std::int64_t hundredths = (percent < 0 ? -percent + 50 : percent + 50) / 100;
  std::string decimals = std::to_string(hundredths % 100);
  if (decimals.size() < 2) decimals.insert(0, 1, '0');
  return (percent < 0 ? "-" : "+") + std::to_string(hundredths / 100) + "." + decimals + " %";
}

class Texts {
 public:
  Texts(const Style& style, int decimals) : style_(style), decimals_(decimals) {}

  std::string Money(Amount amount) const { return amount.ToString(decimals_); }
  std::string Rise(Amount before, Amount after) const {
    const std::optional<std::int64_t> percent = PercentChange(before, after);
    return Money(before) + " -> " + Money(after) + (percent ? "  " + Signed(*percent) : "");
  }

  std::string Prices(const Renewed& made) const {
    Table table({{"price", Table::Align::kLeft, true},
                 {"grid", Table::Align::kLeft, true},
                 {"amounts", Table::Align::kRight},
                 {"dearer", Table::Align::kRight},
                 {"least", Table::Align::kLeft},
                 {"most", Table::Align::kLeft},
                 {"rounded to", Table::Align::kRight}},
                2);
    for (const RenewedPrice& price : made.prices) {
      std::string name = price.service;
      if (price.number > 1) name += "/" + std::to_string(price.number);
      if (!price.charge.empty()) name += (name.empty() ? "" : ", ") + price.charge;
      const std::string grid = price.laid ? "printed, laid over" : price.file;
      if (price.amounts == 0) {
        table.Add({{Clean(name)}, {Clean(grid)}, {""}, {""}, {""}, {""}, {""}});
        continue;
      }
      table.Add({{Clean(name)},
                 {Clean(grid)},
                 {std::to_string(price.amounts)},
                 {std::to_string(price.changed)},
                 {Rise(price.least_before, price.least_after)},
                 {Rise(price.most_before, price.most_after)},
                 {Money(Amount::Micros(price.step)) + (price.finer ? " as printed" : "")}});
    }
    return table.empty() ? "  no price rises\n" : table.Text(style_);
  }

 private:
  const Style& style_;
  int decimals_;
};

// Where the old list ends and the new one begins.
std::string Seam(const Tariff& before, const Tariff& after, const std::string& path) {
  const Date from = *after.in_force.from;
  const Date day_before = Date::Days(from.days() - 1);
  if (!before.in_force.until) {
    return path + " is left open. The list that begins later holds from " + from.ToString() +
           " on; to close the old one as well, put \"until\": \"" + day_before.ToString() +
           "\" into its \"in_force\". That file was not changed.";
  }
  if (*before.in_force.until < day_before) {
    return path + " ends on " + before.in_force.until->ToString() + ": between the two, nothing is in force.";
  }
  return path + " ends on " + before.in_force.until->ToString() + " and was not changed.";
}

using CellKey = std::tuple<std::string, std::string, std::string, std::string>;

template <typename Visit>
void EachCell(const Comparison& comparison, Visit visit) {
  for (const TariffComparison& carrier : comparison.carriers) {
    for (const ServiceComparison& service : carrier.services) {
      for (const PriceComparison& price : service.prices) {
        for (const CellChange& cell : price.cells) visit(service, price, cell);
      }
    }
  }
}

}  // namespace

std::string RenewedText(const Style& style, const Tariff& before, const Renewed& made, const std::string& path) {
  const Texts texts(style, before.currency.decimals());
  const Tariff& after = made.tariff;
  std::string names = made.document.name;
  for (const SourceText& grid : made.grids) names += ", " + grid.name;
  std::string period = after.in_force.from->ToString() + " on";
  if (after.in_force.until) period = after.in_force.from->ToString() + " until " + after.in_force.until->ToString();
  std::string out = Paragraph(style, "", 0, after.carrier_name + ", in force from " + period + ": " + names + ".");
  out += "\n" + style.Paint(Tone::kHeading, "What rises") + "\n" + texts.Prices(made);
  out += "\n" + style.Paint(Tone::kHeading, "What to see to") + "\n";
  const auto note = [&](const std::string& text) { out += Paragraph(style, "  ", 2, text); };
  for (const std::string& left : made.left) note(left + ".");
  note(Seam(before, after, path));
  if (after.title == before.title) note("The title is the old one's: \"" + after.title + "\" (--title gives another).");
  note("Its source says that it was computed: replace that by the printed list's title, page and date.");
  note(made.examples > 0 ? std::to_string(made.examples) +
                               (made.examples == 1 ? " example was left out: its price is"
                                                   : " examples were left out: their prices are") +
                               " of the old list. Copy new ones from the printed list; until then nothing is compared "
                               "with it."
                         : "The old document has no example, and so has the new one: copy some from the printed list.");
  return out;
}

std::string LaidText(const Style& style, const Tariff& before, const Tariff& computed, const Tariff& laid, bool all) {
  constexpr std::size_t kShown = 20;
  const Texts texts(style, before.currency.decimals());
  std::map<CellKey, std::optional<Amount>> olds;
  EachCell(Compare(before, laid),
           [&](const ServiceComparison& service, const PriceComparison& price, const CellChange& cell) {
             olds[{service.code, price.when, cell.row, cell.column}] = cell.before;
           });
  const Comparison differs = Compare(computed, laid);
  Table table({{"service", Table::Align::kLeft, true},
               {"row", Table::Align::kLeft},
               {"zone", Table::Align::kLeft},
               {"old", Table::Align::kRight},
               {"computed", Table::Align::kRight},
               {"printed", Table::Align::kRight},
               {"over computed", Table::Align::kRight},
               {"over old", Table::Align::kRight}},
              2);
  const auto money = [&](const std::optional<Amount>& amount) { return amount ? texts.Money(*amount) : "none"; };
  std::size_t count = 0;
  EachCell(differs, [&](const ServiceComparison& service, const PriceComparison& price, const CellChange& cell) {
    if (++count > kShown && !all) return;
    // A cell that the printed list leaves as it was differs from the computed one alone.
    const auto at = olds.find({service.code, price.when, cell.row, cell.column});
    const std::optional<Amount> old = at != olds.end() ? at->second : cell.after;
    const std::optional<std::int64_t> over = old && cell.after ? PercentChange(*old, *cell.after) : std::nullopt;
    std::string difference;
    if (cell.before && cell.after) {
      difference = (*cell.after > *cell.before ? "+" : "") + texts.Money(*cell.after - *cell.before);
    }
    table.Add({{Clean(service.code)},
               {Clean(cell.row)},
               {Clean(cell.column)},
               {money(old)},
               {money(cell.before)},
               {money(cell.after), Tone::kBest},
               {difference},
               {over ? Signed(*over) : ""}});
  });
  std::string out = "\n" + style.Paint(Tone::kHeading, "Printed beside computed") + "\n";
  for (const TariffComparison& carrier : differs.carriers) {
    for (const ServiceComparison& service : carrier.services) {
      for (const PriceComparison& price : service.prices) {
        for (const Difference& one : price.differences) {
          out += Paragraph(style, "  ", 4,
                           service.code + ": " + one.what + ": " + (one.before.empty() ? "none" : one.before) + " -> " +
                               (one.after.empty() ? "none" : one.after));
        }
      }
    }
  }
  if (count == 0) return out + "  no cell differs: every printed price is the computed one\n";
  out += "  " + std::to_string(count) + (count == 1 ? " cell differs" : " cells differ");
  if (count > kShown && !all) out += "; the first " + std::to_string(kShown) + " (--all tells every one)";
  return out + "\n" + table.Text(style);
}

}  // namespace tarewise::command
