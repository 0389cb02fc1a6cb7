#include "command/renew_text.h"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <string_view>
#include <tuple>
#include <type_traits>
#include <utility>
#include <variant>
#include <vector>

#include "command/layout.h"
#include "tarewise/compare/comparison.h"
#include "tarewise/compare/tariffs.h"
#include "tarewise/tariff/measure.h"
#include "tarewise/tariff/price.h"

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

  // The printed grids, by the prices that they stand in.
  std::string Laid(const Renewed& made) const {
    std::string out;
    for (const RenewedPrice& price : made.prices) {
      if (!price.laid) continue;
      out += Paragraph(style_, "  ", 2,
                       PriceName(price) + ": the printed grid" +
                           (price.file.empty() ? "" : " in the place of " + Clean(price.file)));
    }
    return out;
  }

  std::string Prices(const Renewed& made) const {
    // A name gives way first: a price and its rise stand in one line where there is room.
    Table table({{"price", Table::Align::kLeft, true, 16},
                 {"dearer", Table::Align::kRight},
                 {"least", Table::Align::kLeft, true, 14, true},
                 {"most", Table::Align::kLeft, true, 14, true},
                 {"rounded to", Table::Align::kLeft, true, 10, true}},
                2);
    for (const RenewedPrice& price : made.prices) {
      const std::string grid = price.laid ? "printed, laid over" : Clean(price.file);
      const std::string name = PriceName(price) + (grid.empty() ? "" : " (" + grid + ")");
      if (price.amounts == 0) {
        table.Add({{name}, {""}, {""}, {""}, {""}});
        continue;
      }
      table.Add({{name},
                 {std::to_string(price.changed) + " of " + std::to_string(price.amounts)},
                 {Rise(price.least_before, price.least_after)},
                 {Rise(price.most_before, price.most_after)},
                 {Money(Amount::Micros(price.step)) + (price.finer ? " as printed" : "")}});
    }
    return table.empty() ? "  no price rises\n" : table.Text(style_);
  }

 private:
  static std::string PriceName(const RenewedPrice& price) {
    std::string name = price.service;
    if (price.number > 1) name += "/" + std::to_string(price.number);
    if (!price.charge.empty()) name += (name.empty() ? "" : ", ") + price.charge;
    return Clean(name);
  }

  const Style& style_;
  int decimals_;
};

// What a grid has: its rows by their bounds, and the zones that it prices.
struct Extent {
  std::map<std::vector<MeasureValue>, std::string> rows;
  std::vector<std::string> zones;
};

template <typename T>
std::optional<Extent> ExtentOf(const Tariff& tariff, const T& price) {
  if constexpr (std::is_base_of_v<PriceGrid, T>) {
    Extent extent;
    const std::size_t width = price.rows() == 0 ? 1 : price.bounds.size() / price.rows();
    for (std::size_t row = 0; row < price.rows(); ++row) {
      const auto begin = price.bounds.begin() + static_cast<std::ptrdiff_t>(row * width);
      extent.rows.emplace(std::vector<MeasureValue>(begin, begin + static_cast<std::ptrdiff_t>(width)),
                          price.RowText(row));
    }
    for (std::size_t zone = 0; zone < tariff.zone_names.size(); ++zone) {
      if (price.ColumnOf(static_cast<ZoneId>(zone)) != PriceGrid::kNoColumn) {
        extent.zones.push_back(tariff.zone_names[zone]);
      }
    }
    return extent;
  } else {
    return std::nullopt;
  }
}

std::optional<Extent> ExtentOf(const Tariff& tariff, const RenewedPrice& about) {
  for (const Service& service : tariff.services) {
    if (service.code != about.service || about.number == 0 || about.number > service.prices.size()) continue;
    return std::visit([&](const auto& price) { return ExtentOf(tariff, price); },
                      service.prices[about.number - 1].price);
  }
  return std::nullopt;
}

std::vector<std::string> RowsWithout(const Extent& of, const Extent& without) {
  std::vector<std::string> rows;
  for (const auto& [bound, text] : of.rows) {
    if (!without.rows.contains(bound)) rows.push_back(text);
  }
  return rows;
}

std::vector<std::string> ZonesWithout(const Extent& of, const Extent& without) {
  std::vector<std::string> zones;
  for (const std::string& zone : of.zones) {
    if (std::find(without.zones.begin(), without.zones.end(), zone) == without.zones.end()) zones.push_back(zone);
  }
  return zones;
}

std::string NamedText(const std::string& service, const std::string& verb, const std::string& what,
                      const std::vector<std::string>& names) {
  std::string text = service + ": the printed grid " + verb + " the " + what + (names.size() == 1 ? " " : "s ");
  for (std::size_t i = 0; i < names.size(); ++i) text += (i == 0 ? "" : ", ") + names[i];
  return text;
}

// Each row and zone that a printed grid lacks or has anew, by name.
std::string ExtentsText(const Style& style, const Tariff& before, const Renewed& made) {
  std::string out;
  for (const RenewedPrice& price : made.prices) {
    if (!price.laid) continue;
    const std::optional<Extent> old = ExtentOf(before, price);
    const std::optional<Extent> printed = ExtentOf(made.tariff, price);
    if (!old || !printed) continue;
    const auto tell = [&](const std::string& verb, const std::string& what, const std::vector<std::string>& names) {
      if (!names.empty()) out += Paragraph(style, "  ", 2, NamedText(price.service, verb, what, names));
    };
    tell("lacks", "row", RowsWithout(*old, *printed));
    tell("lacks", "zone", ZonesWithout(*old, *printed));
    tell("adds", "row", RowsWithout(*printed, *old));
    tell("adds", "zone", ZonesWithout(*printed, *old));
  }
  return out;
}

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

// What differs beside the cells.
std::string DifferencesText(const Style& style, const Comparison& differs) {
  std::string out;
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
  return out;
}

}  // namespace

std::string RenewedText(const Style& style, const Tariff& before, const Renewed& made, const std::string& path,
                        bool computes) {
  const Texts texts(style, before.currency.decimals());
  const Tariff& after = made.tariff;
  std::string names = made.document.name;
  for (const SourceText& grid : made.grids) names += ", " + grid.name;
  std::string period = after.in_force.from->ToString() + " on";
  if (after.in_force.until) period = after.in_force.from->ToString() + " until " + after.in_force.until->ToString();
  std::string out = Paragraph(style, "", 0, after.carrier_name + ", in force from " + period + ": " + names + ".");
  out += "\n" + style.Paint(Tone::kHeading, computes ? "What rises" : "What is laid over") + "\n" +
         (computes ? texts.Prices(made) : texts.Laid(made));
  out += "\n" + style.Paint(Tone::kHeading, "What to see to") + "\n";
  const auto note = [&](const std::string& text) { out += Paragraph(style, "  ", 2, text); };
  for (const std::string& left : made.left) note(left + ".");
  note(Seam(before, after, path));
  if (after.title == before.title) note("The title is the old one's: \"" + after.title + "\" (--title gives another).");
  note(std::string("Its source says that it was ") + (computes ? "computed" : "made from the old list") +
       ": replace that by the printed list's title, page and date.");
  note(made.examples > 0 ? std::to_string(made.examples) +
                               (made.examples == 1 ? " example was left out: its price is"
                                                   : " examples were left out: their prices are") +
                               " of the old list. Copy new ones from the printed list; until then nothing is compared "
                               "with it."
                         : "The old document has no example, and so has the new one: copy some from the printed list.");
  return out;
}

std::string LaidText(const Style& style, const Tariff& before, const Tariff* computed, const Renewed& made, bool all) {
  constexpr std::size_t kShown = 20;
  const Texts texts(style, before.currency.decimals());
  std::map<CellKey, std::optional<Amount>> olds;
  EachCell(Compare(before, made.tariff),
           [&](const ServiceComparison& service, const PriceComparison& price, const CellChange& cell) {
             olds[{service.code, price.when, cell.row, cell.column}] = cell.before;
           });
  const Comparison differs = Compare(computed != nullptr ? *computed : before, made.tariff);
  std::vector<Table::Column> columns = {{"service", Table::Align::kLeft, true},
                                        {"row", Table::Align::kLeft, true, 6, true},
                                        {"zone", Table::Align::kLeft, true, 6},
                                        {"old", Table::Align::kRight}};
  if (computed != nullptr) columns.push_back({"computed", Table::Align::kRight});
  columns.push_back({"printed", Table::Align::kRight});
  columns.push_back({computed != nullptr ? "over computed" : "more", Table::Align::kRight, true, 9, true});
  columns.push_back({computed != nullptr ? "over old" : "", Table::Align::kRight});
  Table table(std::move(columns), 2);
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
    std::vector<Table::Cell> row = {{Clean(service.code)}, {Clean(cell.row)}, {Clean(cell.column)}, {money(old)}};
    if (computed != nullptr) row.push_back({money(cell.before)});
    row.push_back({money(cell.after), Tone::kBest});
    row.push_back({difference});
    row.push_back({over ? Signed(*over) : ""});
    table.Add(std::move(row));
  });
  std::string out =
      "\n" + style.Paint(Tone::kHeading, computed != nullptr ? "Printed beside computed" : "Printed beside old") +
      "\n" + ExtentsText(style, before, made) + DifferencesText(style, differs);
  if (count == 0) {
    return out + "  no cell differs: every printed price is the " + (computed != nullptr ? "computed" : "old") +
           " one\n";
  }
  out += "  " + std::to_string(count) + (count == 1 ? " cell differs" : " cells differ");
  if (count > kShown && !all) out += "; the first " + std::to_string(kShown) + " (--all tells every one)";
  return out + "\n" + table.Text(style);
}

}  // namespace tarewise::command
