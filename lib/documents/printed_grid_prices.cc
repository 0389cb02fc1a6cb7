// The prices of a printed grid.
#include <algorithm>
#include <optional>
#include <utility>

#include "printed_grid_reading.h"
#include "printed_grid_words.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load::printed {
namespace {

// "$" of "US$" and "USD", so that one currency that is written in two ways is one.
std::string_view CurrencyOf(std::string_view sign) {
  if (sign.ends_with('$') || sign == "USD" || sign == "CAD" || sign == "AUD" || sign == "NZD") return "$";
  if (sign == "EUR" || sign == "Euro" || sign == "euro") return "\xE2\x82\xAC";
  if (sign == "GBP") return "\xC2\xA3";
  if (sign == "Rs" || sign == "Rs." || sign == "INR") return "\xE2\x82\xB9";
  if (sign == "Kr" || sign == "Kr." || sign == "kr") return "kr.";
  return sign;
}

class PriceReader {
 public:
  explicit PriceReader(const Reading& reading) : reading_(reading) {}

  bool Read(const Record& record, std::string_view cell, std::string_view column, GridPrice& out) {
    const PriceText text = ReadPrice(cell);
    switch (text.kind) {
      case PriceText::Kind::kBlank:
        return true;
      case PriceText::Kind::kDash:
        reading_.notes.Did("read a dash or N/A as not offered in", "cell", record.line);
        Strip(text, record);
        return true;
      case PriceText::Kind::kNone:
        return Bad(record, cell, column, "a price, a dash or N/A");
      case PriceText::Kind::kAmount:
        break;
    }
    if (!SameCurrency(text, record)) return false;
    const std::optional<Figure> figure = ReadFigure(text.number, reading_.decimal);
    if (!figure) {
      return Bad(record, cell, column,
                 std::string("a price with ") + (reading_.decimal == DecimalSign::kComma ? "a comma" : "a point") +
                     " before at most six decimals, and thousands in groups of three");
    }
    out.micros = figure->micros;
    out.decimals = figure->decimals;
    Strip(text, record);
    if (text.hundredths) {
      if (out.decimals > 4) return Bad(record, cell, column, "cents of at most four decimals");
      out.micros /= 100;
      out.decimals = static_cast<std::uint8_t>(out.decimals + 2);
      reading_.notes.Did("read cents as hundredths in", "cell", record.line);
    }
    if (figure->grouped) reading_.notes.Did("removed what parts thousands from", "cell", record.line);
    if (figure->comma) reading_.notes.Did("read a comma before decimals in", "cell", record.line);
    return true;
  }

 private:
  bool Bad(const Record& record, std::string_view cell, std::string_view column, const std::string& expected) {
    reading_.Error(kGridCell, record, cell,
                   "found " + Quoted(cell) + " in column " + Quoted(column) + ", expected " + expected);
    return false;
  }

  void Strip(const PriceText& text, const Record& record) {
    if (!text.currency.empty()) reading_.notes.Did("removed " + Quoted(text.currency) + " from", "cell", record.line);
    if (!text.mark.empty()) {
      reading_.notes.Did("removed the footnote mark " + Quoted(text.mark) + " from", "cell", record.line);
    }
  }

  bool SameCurrency(const PriceText& text, const Record& record) {
    if (text.currency.empty()) return true;
    const std::string_view now = CurrencyOf(text.currency);
    if (currency_.empty()) {
      currency_ = now;
      currency_line_ = record.line;
    }
    if (now == currency_) return true;
    reading_.Error(kTwoCurrencies, record, text.currency,
                   "found " + Quoted(text.currency) + ", and " + Quoted(currency_) + " on line " +
                       std::to_string(currency_line_) + ", expected one currency in a grid");
    return false;
  }

  const Reading& reading_;
  std::string currency_;
  std::uint32_t currency_line_ = 0;
};

// Rows whose cells are not as many as the columns, those alike one after the other as one.
class LengthErrors {
 public:
  explicit LengthErrors(const Reading& reading) : reading_(reading) {}

  void Add(const Record& record, std::size_t found) {
    if (first_ != nullptr && found == found_) {
      last_ = record.line;
      return;
    }
    Say();
    first_ = &record;
    last_ = record.line;
    found_ = found;
  }

  void Say() {
    if (first_ == nullptr) return;
    const std::size_t columns = reading_.table.columns;
    const Record& header = reading_.text.records()[reading_.table.heading.records.back()];
    std::string message =
        last_ == first_->line ? "found a row of " : "found, to line " + std::to_string(last_) + ", rows of ";
    message += std::to_string(found_) + (found_ == 1 ? " price" : " prices") + ", expected " + std::to_string(columns) +
               " as the header names on line " + std::to_string(header.line);
    if (found_ < columns) message += " (a dash in the place of each that is not offered says which)";
    reading_.Error(kGridRowLength, *first_, {}, std::move(message));
    first_ = nullptr;
  }

 private:
  const Reading& reading_;
  const Record* first_ = nullptr;
  std::uint32_t last_ = 0;
  std::size_t found_ = 0;
};

bool RightLength(const Reading& reading, const Record& record, LengthErrors& errors) {
  const std::size_t expected = reading.table.label + reading.table.columns;
  const std::size_t width = reading.text.Width(record);
  if (record.shifted) {
    errors.Say();
    reading.Error(kGridRowLength, record, {},
                  "found prices that do not stand under the columns that are theirs by order, expected each under its "
                  "name on line " +
                      std::to_string(reading.text.records()[reading.table.heading.records.back()].line) +
                      " (a dash in the place of each that is not offered says which)");
    return false;
  }
  if (record.count >= expected && width <= expected) {
    if (record.placed) {
      reading.notes.Did("put prices by their places under the columns, and left the others empty, in", "row",
                        record.line);
    }
    return true;
  }
  const std::size_t found = record.count < expected ? record.count : width;
  errors.Add(record, found - std::min(found, reading.table.label));
  return false;
}

// A row that is printed again on the next page, to the last figure, is one row.
void DropRepeated(const Reading& reading, ReadGrid& grid) {
  const std::size_t columns = grid.columns.size();
  std::size_t kept = 0;
  for (std::size_t row = 0; row < grid.bounds.size(); ++row) {
    const auto at = grid.prices.begin() + static_cast<std::ptrdiff_t>(row * columns);
    const auto end = at + static_cast<std::ptrdiff_t>(columns);
    if (kept > 0 && grid.bounds[row].micros == grid.bounds[kept - 1].micros &&
        grid.bounds[row].unit == grid.bounds[kept - 1].unit &&
        std::equal(at, end, at - static_cast<std::ptrdiff_t>((row - kept + 1) * columns),
                   [](const GridPrice& a, const GridPrice& b) { return a.micros == b.micros; })) {
      reading.notes.Did("left out as printed before", "row", grid.bounds[row].line);
      continue;
    }
    if (kept != row) {
      std::copy(at, end, grid.prices.begin() + static_cast<std::ptrdiff_t>(kept * columns));
      grid.bounds[kept] = grid.bounds[row];
    }
    ++kept;
  }
  grid.bounds.resize(kept);
  grid.prices.resize(kept * columns);
}

}  // namespace

bool ReadPrices(const Reading& reading, bool zones_down, ReadGrid& grid) {
  const FoundTable& table = reading.table;
  PriceReader reader(reading);
  LengthErrors lengths(reading);
  bool good = true;
  const std::size_t rows = zones_down ? table.rows.size() : grid.bounds.size();
  grid.prices.resize(grid.bounds.size() * grid.columns.size());
  for (std::size_t i = 0; i < rows && !reading.findings.full(); ++i) {
    const Record& record = reading.text.records()[table.rows[i]];
    if (!RightLength(reading, record, lengths)) {
      good = false;
      continue;
    }
    for (std::size_t k = 0; k < table.columns; ++k) {
      GridPrice& price = zones_down ? grid.price(k, i) : grid.price(i, k);
      const std::string_view column =
          zones_down ? std::string_view(table.heading.names[k]) : std::string_view(grid.columns[k]);
      good = reader.Read(record, reading.text.cell(record, table.label + k), column, price) && good;
    }
  }
  lengths.Say();
  if (good && !zones_down) DropRepeated(reading, grid);
  return good;
}

}  // namespace tarewise::inline TW_VERSIONED::load::printed
