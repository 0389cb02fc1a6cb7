#ifndef TAREWISE_LIB_COMMAND_CATALOGUE_H_
#define TAREWISE_LIB_COMMAND_CATALOGUE_H_

#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "command/csv_stream.h"
#include "tarewise/batch/columns.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/units/money.h"
#include "tarewise/zone/place.h"

namespace tarewise::command {

/// What a column of a catalogue holds.
enum class Role : std::uint8_t {
  kWeight,
  kSides,
  kLength,
  kWidth,
  kHeight,
  kQuantity,
  kValue,
  kContents,
  kShape,
  kThisSideUp,
  kRigid,
  kBare,
  kMonthly,
  kOrder,
};
inline constexpr std::size_t kRoles = 14;

/// Some rows of a catalogue as columns in base units, with what they were written as.
struct CatalogueBlock {
  std::size_t rows = 0;
  std::vector<std::int64_t> weight;
  std::vector<std::int64_t> sides[3];
  std::vector<std::int32_t> quantity;
  std::vector<std::int64_t> value;
  std::vector<std::int32_t> contents;
  std::vector<Contents> classes;
  std::vector<std::uint8_t> shape;
  std::vector<std::uint8_t> this_side_up;
  std::vector<std::uint8_t> rigid;
  std::vector<std::uint8_t> bare;
  std::vector<std::uint8_t> missing;
  std::vector<std::int64_t> order;    ///< A number for each text of the catalogue, from 1; 0: none. Empty: no column.
  std::vector<std::int64_t> monthly;  ///< Millionths of a parcel.
  std::vector<std::string> reasons;   ///< Why a row cannot be priced, in words; empty where it can.
  std::vector<std::uint64_t> lines;   ///< The line that each row begins on.
  std::vector<std::string> names;     ///< The first field of each row.

  /// The rows as they were written, and with as many fields as the header has, whatever is wrong with them.
  std::string_view Raw(std::size_t row) const {
    return std::string_view(raw_).substr(ends_[row], ends_[row + 1] - ends_[row]);
  }

  GoodsColumns Columns() const;
  Column Monthly() const { return Column::Of(monthly, 1); }

 private:
  friend class CatalogueReader;
  std::string raw_;
  std::vector<std::size_t> ends_;
};

/// Reads a catalogue: a CSV file whose header words say what a column is and in which unit: `weight_oz`, `Length (cm)`,
/// `sides_in`, `value_usd`, `monthly_sales`. Other columns are kept and not looked at.
class CatalogueReader {
 public:
  /// `columns`: what the header's words do not say, as "weight=GEWICHT_G", "length=L in mm", "none=Side" (not for us).
  CatalogueReader(Currency currency, std::vector<std::string> columns)
      : currency_(currency), given_(std::move(columns)) {}

  /// Opens the file ("-": standard input) and matches its header. False after errors, see `errors`.
  bool Open(const std::string& path);
  const std::vector<std::string>& errors() const { return errors_; }

  /// The header as it is written.
  std::string_view header() const { return header_; }
  /// True where the header has a column of this name.
  bool Has(std::string_view name) const;
  bool HasOrders() const { return roles_[static_cast<std::size_t>(Role::kOrder)].has_value(); }
  bool HasMonthly() const { return roles_[static_cast<std::size_t>(Role::kMonthly)].has_value(); }

  /// Reads up to `most` rows. False where there are none left, or reading failed, see `errors`.
  bool Read(std::size_t most, CatalogueBlock& block);

  const CsvStream& stream() const { return stream_; }

 private:
  struct Source {
    std::size_t column = 0;
    std::string unit;  ///< Empty: each cell has its own.
  };

  void MatchHeader();
  bool MatchGiven(const std::string& text);
  void Take(Role role, std::size_t column, std::string unit);
  std::string ReadRow(CatalogueBlock& block, std::size_t row);
  std::int64_t ReadOrder();
  static void Grow(CatalogueBlock& block, std::size_t rows);

  Currency currency_;
  std::vector<std::string> given_;
  CsvStream stream_;
  std::string header_;
  std::vector<std::string> names_;
  std::optional<Source> roles_[kRoles];
  std::vector<bool> used_;
  std::map<std::string, std::int32_t, std::less<>> contents_;
  std::map<std::string, std::int64_t, std::less<>> orders_;
  std::vector<std::string> errors_;
};

/// Where parcels go and how often: a CSV file with the columns country, postal_code, share and perhaps residential.
struct Mix {
  std::vector<Place> places;
  std::vector<std::int64_t> shares;
};

/// Nothing after errors, which are added. `residential`: of places whose row does not say.
std::optional<Mix> ReadMix(const std::string& path, bool residential, std::vector<std::string>& errors);

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_CATALOGUE_H_
