#include <pybind11/numpy.h>

#include <algorithm>
#include <cstdint>
#include <map>
#include <memory>
#include <numeric>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "convert.h"
#include "repricer.h"
#include "tarewise/compare/catalogue_change.h"
#include "tarewise/compare/priced_catalogues.h"
#include "tarewise/compare/summary.h"

namespace tarewise::python {
namespace {

template <typename T>
using Contiguous = py::array_t<T, py::array::c_style>;

/// What a change does to a catalogue: `PricedCatalogues`, whose sums `CatalogueComparer` adds up with too, and beside
/// it what it does by place and by service.
class Changes {
 public:
  Changes(const py::object& before, const py::object& after, const py::object& most_losers)
      : before_(ToRepricer(before)),
        after_(ToRepricer(after)),
        tally_(*before_, *after_, static_cast<std::size_t>(ToWhole(most_losers, "most_losers", 0, 1'000'000))) {
    shares_ = before_->setup().shares;
    if (shares_.empty()) shares_.assign(before_->lanes().size(), 1);
    std::int64_t common = 0;
    for (const std::int64_t share : shares_) common = std::gcd(common, share);
    for (std::int64_t& share : shares_) share /= common;
    shares_sum_ = std::accumulate(shares_.begin(), shares_.end(), std::int64_t{0});
    step_ = std::min(before_->mean_step(), after_->mean_step());
    places_.resize(shares_.size());
  }

  /// Adds the next rows; the columns of the answer are filled.
  void Add(const py::dict& before, const py::dict& after, const Contiguous<std::int64_t>& volumes,
           const py::dict& outputs) {
    const std::size_t rows = static_cast<std::size_t>(volumes.size());
    const PricedRows then = Take(before, rows);
    const PricedRows now = Take(after, rows);
    CatalogueColumns out;
    out.before = Out<std::int64_t>(outputs, "before", rows);
    out.after = Out<std::int64_t>(outputs, "after", rows);
    out.month = Out<std::int64_t>(outputs, "month", rows);
    out.change = Out<std::uint8_t>(outputs, "change", rows);
    const std::vector<std::int64_t> volume(volumes.data(), volumes.data() + rows);
    const py::gil_scoped_release release;
    if (const absl::Status status = tally_.Add(then, now, volume, out); !status.ok()) {
      const py::gil_scoped_acquire acquire;
      RaiseRequest(status);
    }
    for (std::size_t row = 0; row < rows; ++row) {
      Look(then, now, row * shares_.size(), volume[row], out.before[row] != kNoTotal && out.after[row] != kNoTotal);
    }
  }

  /// (the change as a dict, losers, places, services): amounts as Decimal.
  py::tuple Result() const {
    const CatalogueChange change = tally_.Result();
    const int decimals = change.currency.decimals();
    py::dict counts;
    counts["currency"] = ToStr(change.currency.code());
    counts["rows"] = change.rows;
    counts["comparable"] = change.comparable;
    counts["changed"] = change.changed;
    counts["total_changed"] = change.total_changed;
    counts["service_changed"] = change.service_changed;
    counts["packaging_changed"] = change.packaging_changed;
    counts["offered_changed"] = change.offered_changed;
    counts["dearer"] = change.dearer;
    counts["cheaper"] = change.cheaper;
    counts["lost"] = change.lost;
    counts["gained"] = change.gained;
    counts["month_parcels"] = ToMoney(Amount::Micros(change.month_parcels), 0);
    counts["month_before"] = ToMoney(change.month_before, decimals);
    counts["month_after"] = ToMoney(change.month_after, decimals);
    py::list losers;
    for (const RowLoss& loss : change.losers) {
      losers.append(py::make_tuple(loss.row, ToMoney(loss.before, decimals), ToMoney(loss.after, decimals),
                                   ToMoney(loss.month, decimals), loss.lane, Way(loss.lane_before, decimals),
                                   Way(loss.lane_after, decimals)));
    }
    py::list places;
    for (const Place& place : places_) {
      places.append(py::make_tuple(place.both, place.dearer, place.cheaper, place.service_changed, place.lost,
                                   place.gained, Month(place.before, decimals), Month(place.after, decimals)));
    }
    py::list services;
    for (const auto& [pair, flow] : flows_) {
      services.append(py::make_tuple(pair.first, pair.second, flow.cells, Month(flow.before, decimals),
                                     Month(flow.after, decimals)));
    }
    return py::make_tuple(counts, losers, places, services);
  }

  /// The command's lines; `names` are those of the rows that lose most.
  std::string SummaryText(const std::map<std::uint64_t, std::string>& names) const {
    return Summary(tally_.Result(), before_->lanes(), [&names](std::uint64_t row) {
      const auto at = names.find(row);
      return at == names.end() || at->second.empty() ? "row " + std::to_string(row + 1) : at->second;
    });
  }

 private:
  struct Place {
    std::uint64_t both = 0;
    std::uint64_t dearer = 0;
    std::uint64_t cheaper = 0;
    std::uint64_t service_changed = 0;
    std::uint64_t lost = 0;
    std::uint64_t gained = 0;
    Int128 before = 0;  // of the comparable rows, times the sum of the shares, in millionths of millionths
    Int128 after = 0;
  };
  struct Flow {
    std::uint64_t cells = 0;
    Int128 before = 0;
    Int128 after = 0;
  };

  template <typename T>
  static void Copy(const py::dict& from, const char* name, std::size_t cells, std::vector<T>& to) {
    const auto array = from[name].cast<Contiguous<T>>();
    if (static_cast<std::size_t>(array.size()) != cells) RaiseType(std::string(name) + ": found another size");
    to.assign(array.data(), array.data() + cells);
  }
  PricedRows Take(const py::dict& from, std::size_t rows) const {
    PricedRows out;
    const std::size_t cells = rows * shares_.size();
    Copy(from, "total", cells, out.total);
    Copy(from, "service", cells, out.service);
    Copy(from, "packaging", cells, out.packaging);
    return out;
  }
  template <typename T>
  static T* Out(const py::dict& outputs, const char* name, std::size_t rows) {
    auto array = py::reinterpret_borrow<Contiguous<T>>(outputs[name]);
    if (!py::isinstance<Contiguous<T>>(outputs[name]) || static_cast<std::size_t>(array.size()) != rows) {
      RaiseType(std::string(name) + ": found another array, expected a contiguous one of the column's own type");
    }
    return array.mutable_data();
  }

  // The sums are parts of the tally's, which has looked whether they fit.
  void Look(const PricedRows& then, const PricedRows& now, std::size_t at, std::int64_t volume, bool comparable) {
    for (std::size_t lane = 0; lane < shares_.size(); ++lane) {
      if (shares_[lane] == 0) continue;
      const std::int64_t old_total = then.total[at + lane];
      const std::int64_t new_total = now.total[at + lane];
      const bool was = old_total != kNoTotal;
      const bool is = new_total != kNoTotal;
      if (!was && !is) continue;
      Place& place = places_[lane];
      const int old_service = was ? then.service[at + lane] : -1;
      const int new_service = is ? now.service[at + lane] : -1;
      Flow& flow = flows_[{old_service, new_service}];
      ++flow.cells;
      place.lost += was && !is ? 1 : 0;
      place.gained += !was && is ? 1 : 0;
      if (!was || !is) continue;
      ++place.both;
      place.dearer += new_total > old_total ? 1 : 0;
      place.cheaper += new_total < old_total ? 1 : 0;
      place.service_changed += Same(old_service, new_service) ? 0 : 1;
      if (!comparable) continue;
      const Int128 weight = Int128(shares_[lane]) * volume;
      place.before += weight * old_total;
      place.after += weight * new_total;
      flow.before += weight * old_total;
      flow.after += weight * new_total;
    }
  }
  bool Same(int then, int now) const {
    const ServiceName& before = before_->services()[static_cast<std::size_t>(then)];
    const ServiceName& after = after_->services()[static_cast<std::size_t>(now)];
    return before.carrier == after.carrier && before.service == after.service;
  }

  py::object Month(Int128 sum, int decimals) const {
    const Int128 rounded = DivideRounded(sum, Int128(shares_sum_) * kMillionthsPerParcel, step_, RoundMode::kHalfUp);
    return ToMoney(Amount::Micros(static_cast<std::int64_t>(rounded)), decimals);
  }
  static py::tuple Way(const LaneOffer& offer, int decimals) {
    return py::make_tuple(ToMoney(Amount::Micros(offer.total), decimals),
                          std::string(offer.carrier) + "/" + std::string(offer.service), std::string(offer.packaging));
  }

  std::shared_ptr<const Repricer> before_;
  std::shared_ptr<const Repricer> after_;
  PricedCatalogues tally_;
  std::vector<std::int64_t> shares_;
  std::int64_t shares_sum_ = 0;
  std::int64_t step_ = 1;
  std::vector<Place> places_;
  std::map<std::pair<int, int>, Flow> flows_;
};

}  // namespace

void BindChanges(py::module_& module) {
  py::class_<Changes> changes(module, "CatalogueChanges", "Adds up what a change does to a catalogue.");
  changes.def(py::init<const py::object&, const py::object&, const py::object&>(), py::kw_only(), py::arg("before"),
              py::arg("after"), py::arg("most_losers"));
  changes.def("add", &Changes::Add, py::kw_only(), py::arg("before"), py::arg("after"), py::arg("volumes"),
              py::arg("outputs"));
  changes.def("result", &Changes::Result);
  changes.def("summary", &Changes::SummaryText, py::arg("names"));
}

}  // namespace tarewise::python
