#include "command/begin_examples.h"

#include <cstddef>
#include <memory>
#include <optional>
#include <string_view>
#include <utility>
#include <variant>

#include "absl/status/statusor.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/ranking/rank.h"

namespace tarewise::command {
namespace {

constexpr std::string_view kSmallSides[2][2] = {{"6 x 4 x 2 in", "3 x 2 x 1 in"}, {"15 x 10 x 5 cm", "8 x 5 x 2 cm"}};
constexpr std::string_view kLargeSides[2][4] = {
    {"12 x 12 x 12 in", "16 x 14 x 12 in", "20 x 16 x 14 in", "24 x 20 x 16 in"},
    {"30 x 30 x 30 cm", "40 x 35 x 30 cm", "50 x 40 x 35 cm", "60 x 50 x 40 cm"}};

class Telling {
 public:
  explicit Telling(const Tariff& tariff) : tariff_(tariff) {}

  std::vector<TellingParcel> Find() {
    const Service& service = tariff_.services.front();
    const auto* table = std::get_if<TablePrice>(&service.prices.front().price);
    if (table == nullptr || QuantityOf(table->by) != Quantity::kWeight || !TakeZone(*table)) return {};
    unit_ = table->unit;
    const std::size_t row = table->rows() / 2;
    if (!table->row_units.empty() && !table->row_units[row].empty()) unit_ = table->row_units[row];
    if (unit_.empty()) unit_ = "kg";
    imperial_ = unit_ == "lb" || unit_ == "oz";
    const std::int64_t bound = Narrow(table->bounds[row]).value_or(0);
    // What a scale shows of them.
    const std::int64_t step = (imperial_ ? Weight::Ounces(1).nanograms() / 10 : Weight::Grams(1).nanograms());
    const std::string said = table->RowText(row);
    for (const std::string_view sides : kSmallSides[imperial_ ? 0 : 1]) {
      Add(bound - step, false, sides, "just under the bound " + said);
      Add(bound, false, sides, "on the bound " + said);
      Add(bound + step, false, sides, "just over the bound " + said);
      if (!found_.empty()) break;
    }
    if (service.measure.dimensional.empty()) return std::move(found_);
    const std::size_t before = found_.size();
    for (const std::string_view sides : kLargeSides[imperial_ ? 0 : 1]) {
      Add(Narrow(table->bounds.front()).value_or(0), true, sides, "dimensional");
      if (found_.size() > before) break;
    }
    return std::move(found_);
  }

 private:
  // The zone of the grid's last column: the farther one, where they rise.
  bool TakeZone(const TablePrice& table) {
    for (std::size_t column = table.columns.size(); column-- > 0;) {
      for (std::size_t zone = 0; zone < tariff_.zone_names.size(); ++zone) {
        if (table.ColumnOf(static_cast<ZoneId>(zone)) != column) continue;
        zone_ = static_cast<ZoneId>(zone);
        return true;
      }
    }
    return false;
  }

  // The shortest within a nanogram: a tenth of an ounce is no whole number of them.
  std::string WeightText(std::int64_t nanograms) const {
    for (const std::string_view unit : {std::string_view(unit_), std::string_view(imperial_ ? "oz" : "g")}) {
      for (const std::int64_t off : {0, 1, -1}) {
        std::string text = Weight::Nanograms(nanograms + off).In(unit);
        if (text.size() < 9) return text;
      }
    }
    return Weight::Nanograms(nanograms).In(unit_);
  }

  void Add(std::int64_t nanograms, bool dimensional, std::string_view sides, std::string why) {
    if (nanograms < 1) return;
    TellingParcel one;
    one.weight = WeightText(nanograms);
    one.sides = sides;
    one.zone = tariff_.zone_names[zone_];
    one.why = std::move(why);
    const absl::StatusOr<Weight> weight = Weight::Parse(one.weight);
    const absl::StatusOr<Dimensions> size = Dimensions::Parse(sides);
    if (!weight.ok() || !size.ok()) return;
    const absl::StatusOr<Ranking> ranking = Price(*weight, *size);
    if (!ranking.ok() || ranking->offers().empty()) return;
    const Offer& offer = ranking->offers().front();
    if ((offer.billable_from == BillableFrom::kDimensional) != dimensional) return;
    one.total = offer.service_total;
    for (const Charge& charge : offer.charges) {
      if (offer.charges.size() < 2) break;
      one.made_of += (one.made_of.empty() ? "" : ", ") + charge.amount.ToString(tariff_.currency.decimals()) + " " +
                     std::string(charge.code);
    }
    found_.push_back(std::move(one));
  }

  // As an example is priced: in the zone, wherever it goes.
  absl::StatusOr<Ranking> Price(Weight weight, const Dimensions& sides) {
    if (book_ == nullptr) {
      Tariff tariff = tariff_;
      tariff.in_force = {};
      tariff.examples.clear();
      for (ZoneList& list : tariff.zone_lists) list.charts = {OneZoneChart{zone_, {}}};
      std::vector<Tariff> tariffs;
      tariffs.push_back(std::move(tariff));
      absl::StatusOr<std::shared_ptr<const Ratebook>> book = Ratebook::Create(std::move(tariffs));
      if (!book.ok()) return book.status();
      book_ = *std::move(book);
    }
    Request request;
    request.parcel.emplace();
    request.parcel->weight = weight;
    request.parcel->sides = sides;
    request.lane.to = Place::Somewhere(/*residential=*/false);
    request.date = tariff_.in_force.from.value_or(Date());
    request.currency = tariff_.currency;
    RankOptions options;
    options.thresholds = false;
    return Rank(book_, nullptr, request, options);
  }

  const Tariff& tariff_;
  std::shared_ptr<const Ratebook> book_;
  ZoneId zone_ = 0;
  std::string unit_;
  bool imperial_ = true;
  std::vector<TellingParcel> found_;
};

}  // namespace

std::vector<TellingParcel> TellingParcels(const Tariff& tariff) {
  if (tariff.services.empty() || tariff.services.front().prices.empty()) return {};
  return Telling(tariff).Find();
}

}  // namespace tarewise::command
