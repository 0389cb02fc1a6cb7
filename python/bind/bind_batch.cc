#include <pybind11/numpy.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <chrono>
#include <condition_variable>
#include <cstring>
#include <exception>
#include <memory>
#include <mutex>
#include <optional>
#include <span>
#include <string>
#include <thread>
#include <utility>
#include <vector>

#include "convert.h"
#include "goods.h"
#include "repricer.h"
#include "request.h"
#include "tables.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/compare/priced_catalogues.h"
#include "tarewise/economics/sale_columns.h"
#include "tarewise/ranking/cautions.h"

namespace tarewise::python {
namespace {

// Values need no alignment.
template <typename T>
T LoadAt(const std::byte* at) {
  T value;
  std::memcpy(&value, at, sizeof(T));
  return value;
}

using Clock = std::chrono::steady_clock;

/// Stands in a reason column for rows that were not reached.
constexpr std::uint8_t kNotDone = 255;

struct RepricerValue {
  std::shared_ptr<const Repricer> repricer;
};

/// What selling the rows leaves, worked out of their totals slice by slice.
struct Sales {
  SaleTerms terms;
  SaleColumns columns;
  std::vector<std::int64_t> shares;  // of the lanes
};

Element ElementFor(const py::array& array, const std::string& field) {
  const py::dtype type = array.dtype();
  const bool native = type.byteorder() != '>' || type.itemsize() == 1;
  if (native) {
    const auto size = type.itemsize();
    switch (type.kind()) {
      case 'b':
        return Element::kUint8;
      case 'i':
        return size == 1 ? Element::kInt8 : size == 2 ? Element::kInt16 : size == 4 ? Element::kInt32 : Element::kInt64;
      case 'u':
        return size == 1   ? Element::kUint8
               : size == 2 ? Element::kUint16
               : size == 4 ? Element::kUint32
                           : Element::kUint64;
      case 'f':
        if (size == 8) return Element::kFloat64;
        break;
      default:
        break;
    }
  }
  RaiseType(field + ": found dtype " + std::string(py::str(type)) + ", expected whole numbers, booleans or float64");
}

Column ColumnOf(const py::handle& value, std::size_t rows, const std::string& field) {
  const py::tuple pair = py::reinterpret_borrow<py::tuple>(value);
  const py::array array = py::reinterpret_borrow<py::array>(pair[0]);
  if (array.ndim() != 1 || static_cast<std::size_t>(array.shape(0)) != rows) {
    RaiseType(field + ": found an array of another shape, expected one of " + std::to_string(rows) + " values");
  }
  Column out;
  static const std::int64_t kNothing = 0;
  out.data = rows == 0 ? &kNothing : array.data();
  out.stride = array.strides(0);
  out.element = ElementFor(array, field);
  out.unit = pair[1].cast<std::int64_t>();
  return out;
}

bool IsNaN(const Column& column, std::size_t row) {
  if (!column.given() || column.element != Element::kFloat64) return false;
  double value = 0;
  std::memcpy(&value, column.From(row).data, sizeof value);
  return value != value;
}

// A number that is not there is missing, not bad. Of value and quantity that means: left out.
void TellMissing(const GoodsColumns& goods, std::uint8_t* reason) {
  for (std::size_t row = 0; row < goods.rows; ++row) {
    if (reason[row] < static_cast<std::uint8_t>(RowReason::kBadWeight) ||
        reason[row] > static_cast<std::uint8_t>(RowReason::kBadShape)) {
      continue;
    }
    if (IsNaN(goods.weight, row) || IsNaN(goods.sides[0], row) || IsNaN(goods.sides[1], row) ||
        IsNaN(goods.sides[2], row)) {
      reason[row] = static_cast<std::uint8_t>(RowReason::kMissing);
    }
  }
}

struct Columns {
  GoodsColumns goods;
  std::vector<Contents> classes;
};

Columns ColumnsOf(const py::dict& columns, std::size_t rows, const py::object& classes) {
  Columns out;
  out.goods.rows = rows;
  const std::pair<const char*, Column*> fields[] = {
      {"weight", &out.goods.weight},     {"length", &out.goods.sides[0]},   {"width", &out.goods.sides[1]},
      {"height", &out.goods.sides[2]},   {"quantity", &out.goods.quantity}, {"value", &out.goods.value},
      {"contents", &out.goods.contents}, {"shape", &out.goods.shape},       {"this_side_up", &out.goods.this_side_up},
      {"rigid", &out.goods.rigid},       {"bare", &out.goods.bare},         {"missing", &out.goods.missing},
      {"order", &out.goods.order}};
  for (const auto& [name, column] : fields) {
    if (columns.contains(name)) *column = ColumnOf(columns[name], rows, name);
  }
  if (!classes.is_none()) {
    for (const py::handle words : classes) out.classes.push_back(ToContents(words, "contents"));
    out.goods.contents_classes = out.classes;
  }
  return out;
}

template <typename T>
T* Output(const py::dict& outputs, const char* name, std::size_t size) {
  if (!outputs.contains(name)) return nullptr;
  const py::object value = outputs[name];
  if (!py::isinstance<py::array_t<T, py::array::c_style>>(value)) {
    RaiseType(std::string(name) + ": found " + Repr(value) + ", expected a contiguous array of the output's own type");
  }
  py::array_t<T, py::array::c_style> array = py::reinterpret_borrow<py::array_t<T, py::array::c_style>>(value);
  if (static_cast<std::size_t>(array.size()) != size) RaiseType(std::string(name) + ": found an array of another size");
  return array.mutable_data();
}

// Runs beside the interpreter's thread, which looks for Ctrl-C and tells the progress meanwhile: slice by slice, or
// whole where there are orders, which may have their rows anywhere.
class Run {
 public:
  Run(const Repricer& repricer, Columns columns, const RepriceResults& results, unsigned threads,
      std::optional<Sales> sales)
      : repricer_(repricer),
        columns_(std::move(columns)),
        results_(results),
        threads_(threads),
        sales_(std::move(sales)) {}

  /// The rows that are done: fewer than all after Ctrl-C, and then the first ones, or where there are orders any.
  std::size_t Go(const py::object& progress) {
    // A plan of several parcels may take seconds.
    const bool plans = repricer_.setup().most_parcels > 1;
    const std::size_t small = !columns_.goods.order.given() ? 2000 : plans ? 0 : 20;
    if (columns_.goods.rows * repricer_.lane_classes() <= small) {
      const py::gil_scoped_release release;
      Work();
    } else {
      std::thread worker;
      {
        const py::gil_scoped_release release;
        worker = std::thread([this] { Work(); });
      }
      Watch(progress);
      const py::gil_scoped_release release;
      worker.join();
    }
    if (failed_ != nullptr) std::rethrow_exception(failed_);
    if (!status_.ok()) RaiseRequest(status_);
    // Of Ctrl-C the caller is told by how many rows are done; an error of the progress is the caller's own.
    if (error_ != nullptr && !error_->matches(PyExc_KeyboardInterrupt)) throw py::error_already_set(*error_);
    return interrupted() ? done_.load() : columns_.goods.rows;
  }
  bool interrupted() const { return error_ != nullptr; }

 private:
  // Long enough that starting threads costs nothing, short enough for Ctrl-C.
  static constexpr std::chrono::milliseconds kSliceTime{25};
  static constexpr std::chrono::milliseconds kLook{10};

  void Work() {
    try {
      if (columns_.goods.order.given()) {
        WorkWhole();
      } else {
        WorkInSlices();
      }
    } catch (...) {
      failed_ = std::current_exception();
    }
    const std::lock_guard<std::mutex> lock(mutex_);
    finished_ = true;
    ended_.notify_one();
  }

  void WorkWhole() {
    RepriceOptions options;
    options.threads = threads_;
    options.progress = [this](std::size_t rows_done) {
      done_.store(rows_done);
      return !stop_.load();
    };
    const absl::Status status = repricer_.Run(columns_.goods, results_, options);
    if (!status.ok() && !absl::IsCancelled(status)) {
      status_ = status;
      return;
    }
    if (results_.reason == nullptr) return;
    TellMissing(columns_.goods, results_.reason);
    // Chunks that were under way when it was stopped are done, too.
    const std::span<const std::uint8_t> reasons(results_.reason, columns_.goods.rows);
    done_.store(reasons.size() - static_cast<std::size_t>(std::count(reasons.begin(), reasons.end(), kNotDone)));
  }

  void WorkInSlices() {
    const std::size_t rows = columns_.goods.rows;
    std::size_t slice = std::max<std::size_t>(1, 4096 / repricer_.lane_classes());
    std::size_t first = 0;
    RepriceOptions options;
    options.threads = threads_;
    const std::size_t lanes = repricer_.lanes().size();
    const std::size_t longest = sales_ ? std::max<std::size_t>(256, (std::size_t{1} << 21) / lanes) : 1u << 20;
    slice = std::min(slice, longest);
    std::vector<std::int64_t> totals;
    while (first < rows && !stop_.load()) {
      const std::size_t count = std::min(slice, rows - first);
      const Clock::time_point start = Clock::now();
      const GoodsColumns goods = columns_.goods.Rows(first, count);
      RepriceResults results = results_.From(first, lanes);
      if (sales_ && results.total == nullptr) {
        totals.resize(count * lanes);
        results.total = totals.data();
      }
      const absl::Status status = repricer_.Run(goods, results, options);
      if (!status.ok()) {
        status_ = status;
        break;
      }
      if (results.reason != nullptr) TellMissing(goods, results.reason);
      if (sales_) {
        const absl::StatusOr<bool> sold =
            RunSales(sales_->terms, sales_->columns.From(first), count, results.total, sales_->shares, threads_, stop_);
        if (!sold.ok() || !*sold) {
          status_ = sold.status();
          if (results.reason != nullptr) std::fill_n(results.reason, count, kNotDone);
          break;
        }
      }
      first += count;
      done_.store(first);
      const Clock::duration took = Clock::now() - start;
      if (took < kSliceTime / 2) {
        slice = std::min<std::size_t>(slice * 2, longest);
      } else if (took > kSliceTime * 2) {
        slice = std::max<std::size_t>(slice / 2, 1);
      }
    }
  }

  // Ctrl-C and whatever the progress raises stop the run; the error waits until the last slice has ended.
  void Watch(const py::object& progress) {
    std::size_t told = 0;
    while (true) {
      bool finished = false;
      {
        const py::gil_scoped_release release;
        std::unique_lock<std::mutex> lock(mutex_);
        finished = ended_.wait_for(lock, kLook, [this] { return finished_; });
      }
      if (error_ == nullptr) {
        try {
          if (PyErr_CheckSignals() != 0) throw py::error_already_set();
          const std::size_t done = done_.load();
          if (!progress.is_none() && done != told) progress(done - told);
          told = done;
        } catch (py::error_already_set& error) {
          stop_.store(true);
          error_ = std::make_unique<py::error_already_set>(std::move(error));
        }
      }
      if (finished) return;
    }
  }

  const Repricer& repricer_;
  Columns columns_;
  RepriceResults results_;
  unsigned threads_;
  std::optional<Sales> sales_;
  std::atomic<std::size_t> done_{0};
  std::atomic<bool> stop_{false};
  absl::Status status_;
  std::exception_ptr failed_;
  std::mutex mutex_;
  std::condition_variable ended_;
  bool finished_ = false;
  std::unique_ptr<py::error_already_set> error_;
};

SaleColumns::Money MoneyOf(const py::dict& columns, std::size_t rows, const std::string& name) {
  SaleColumns::Money out;
  if (!columns.contains(name)) return out;
  out.values = ColumnOf(columns[py::str(name)], rows, name);
  const std::string gone = "no_" + name;
  if (columns.contains(gone)) out.gone = ColumnOf(columns[py::str(gone)], rows, gone);
  return out;
}

std::optional<Sales> SalesOf(const py::object& terms, const py::dict& columns, const py::dict& outputs,
                             std::size_t rows, const RepriceSetup& setup) {
  if (terms.is_none()) return std::nullopt;
  Sales out;
  out.terms = terms.cast<const SaleTerms&>();
  out.columns.price = MoneyOf(columns, rows, "price");
  out.columns.cost = MoneyOf(columns, rows, "cost");
  out.columns.charged = MoneyOf(columns, rows, "charged");
  out.columns.profit = Output<std::int64_t>(outputs, "profit", rows);
  out.columns.most_to_pay = Output<std::int64_t>(outputs, "most_to_pay", rows);
  out.columns.least_price = Output<std::int64_t>(outputs, "least_price", rows);
  out.columns.keeps = Output<std::int8_t>(outputs, "keeps", rows);
  out.columns.reason = Output<std::uint8_t>(outputs, "sale_reason", rows);
  out.shares = setup.shares;
  if (out.shares.empty()) out.shares.assign(setup.lanes.size(), 1);
  return out;
}

// How many rows are done, and whether Ctrl-C ended it.
py::tuple RunColumns(const RepricerValue& self, const py::dict& columns, std::size_t rows, const py::object& classes,
                     const py::dict& outputs, const std::vector<std::int64_t>& levels, unsigned threads,
                     const py::object& progress, const py::object& sale) {
  const std::size_t cells = rows * self.repricer->lanes().size();
  RepriceResults results;
  results.total = Output<std::int64_t>(outputs, "total", cells);
  results.service = Output<std::int16_t>(outputs, "service", cells);
  results.packaging = Output<std::int16_t>(outputs, "packaging", cells);
  results.second_total = Output<std::int64_t>(outputs, "second_total", cells);
  results.parcels = Output<std::int16_t>(outputs, "parcels", cells);
  results.worst = Output<std::int64_t>(outputs, "worst", rows);
  results.worst_lane = Output<std::int32_t>(outputs, "worst_lane", rows);
  results.expected = Output<std::int64_t>(outputs, "expected", rows);
  results.quantile = Output<std::int64_t>(outputs, "quantile", rows * levels.size());
  results.levels = levels;
  results.reason = Output<std::uint8_t>(outputs, "reason", rows);
  results.cautions = Output<std::uint32_t>(outputs, "cautions", rows);
  Run run(*self.repricer, ColumnsOf(columns, rows, classes), results, threads,
          SalesOf(sale, columns, outputs, rows, self.repricer->setup()));
  const std::size_t done = run.Go(progress);
  return py::make_tuple(done, run.interrupted());
}

RepricerValue Make(const py::object& book, const py::object& shelf, const py::object& lanes, const py::object& shares,
                   const py::object& date, const py::object& promise, const py::object& extras, const py::object& cover,
                   const py::object& accepts, const py::object& amounts, const py::object& time,
                   const py::object& totals, const py::object& week, const py::object& currency,
                   const py::object& exchange, const py::object& padding, const py::object& fill_weight,
                   const py::object& allowance, const py::object& most_parcels) {
  RepriceSetup setup;
  setup.book = ToRatebook(book).book;
  setup.shelf = ToShelf(shelf);
  setup.shipment.date = ToDate(date, "date");
  setup.shipment.promise = ToPromise(promise);
  setup.shipment.extras = ToCodes(extras, "extras");
  if (!cover.is_none()) setup.shipment.cover = ToAmount(cover, "cover");
  TermArguments{accepts, amounts, time, totals, week}.Read(setup.shipment);
  if (!currency.is_none()) setup.shipment.currency = ToCurrency(currency, "currency");
  ToExchange(exchange, setup.shipment.exchange);
  for (const py::handle lane : lanes) setup.lanes.push_back(ToLane(lane, "lanes"));
  for (const py::handle share : shares) setup.shares.push_back(ToWhole(share, "shares", 0, 1'000'000'000'000));
  if (!padding.is_none()) setup.padding = ToLength(padding, "padding").length;
  if (!fill_weight.is_none()) setup.fill_weight = ToWeight(fill_weight, "fill_weight").weight;
  if (!allowance.is_none()) {
    if (!py::isinstance<AllowanceValue>(allowance)) {
      RaiseType("allowance: found " + Repr(allowance) + ", expected an Allowance");
    }
    const AllowanceValue& value = allowance.cast<const AllowanceValue&>();
    setup.allowance = {value.least.weight, value.most.weight};
  }
  setup.most_parcels = static_cast<std::int32_t>(ToWhole(most_parcels, "most_parcels", 1, kMostParcels));
  absl::StatusOr<Repricer> repricer = [&] {
    const py::gil_scoped_release release;
    return Repricer::Create(std::move(setup));
  }();
  if (!repricer.ok()) RaiseRequest(repricer.status());
  return {std::make_shared<const Repricer>(*std::move(repricer))};
}

// NaN, and what pandas puts for nothing.
bool IsMissingFloat(py::handle value) {
  if (PyFloat_Check(value.ptr())) return PyFloat_AsDouble(value.ptr()) != PyFloat_AsDouble(value.ptr());
  const std::string name = py::str(py::type::of(value).attr("__name__"));
  return name == "NAType" || name == "NaTType";
}

// Texts such as "1 lb 3 oz" as whole base units; -1 where the value is missing and -2 where it cannot be read.
template <typename Parse>
py::array_t<std::int64_t> ParseAll(const py::sequence& values, Parse parse) {
  py::array_t<std::int64_t> out(static_cast<py::ssize_t>(values.size()));
  std::int64_t* at = out.mutable_data();
  for (const py::handle value : values) *at++ = parse(value);
  return out;
}

// ---- results as the libraries of tables hold them ----

// Arrow's validity bits, lowest first, kept only where something is not there.
class Validity {
 public:
  explicit Validity(std::size_t rows) : bits_(static_cast<py::ssize_t>((rows + 7) / 8)), at_(bits_.mutable_data()) {}
  void Put(std::size_t row, bool valid) {
    byte_ = static_cast<std::uint8_t>(byte_ | ((valid ? 1u : 0u) << (row & 7)));
    nulls_ += valid ? 0 : 1;
    if ((row & 7) == 7) Flush();
  }
  /// (bits or None, how many are not there)
  py::tuple Take(std::size_t rows) {
    if ((rows & 7) != 0) Flush();
    py::object bits = py::none();
    if (nulls_ != 0) bits = bits_;
    return py::make_tuple(bits, nulls_);
  }

 private:
  void Flush() {
    *at_++ = byte_;
    byte_ = 0;
  }
  py::array_t<std::uint8_t> bits_;
  std::uint8_t* at_;
  std::uint8_t byte_ = 0;
  std::size_t nulls_ = 0;
};

template <typename T>
const std::byte* Begin(const py::array_t<T>& array) {
  return reinterpret_cast<const std::byte*>(array.data());
}

template <typename T>
bool AnyBelowZero(const py::array_t<T>& array) {
  const std::size_t rows = static_cast<std::size_t>(array.shape(0));
  const std::byte* at = Begin(array);
  const std::ptrdiff_t stride = array.strides(0);
  T all = 0;
  // The sign of all of them together: nothing to branch on.
  if (stride == static_cast<std::ptrdiff_t>(sizeof(T))) {
    for (std::size_t row = 0; row < rows; ++row) all = static_cast<T>(all | LoadAt<T>(at + row * sizeof(T)));
  } else {
    for (std::size_t row = 0; row < rows; ++row, at += stride) all = static_cast<T>(all | LoadAt<T>(at));
  }
  return all < 0;
}

// Each value through `convert`; those below 0 are 0, and told in the bits.
template <typename T, typename Out, typename Convert>
py::tuple ConvertAll(const py::array_t<T>& values, Out out, Convert convert) {
  const std::size_t rows = static_cast<std::size_t>(values.shape(0));
  const std::byte* at = Begin(values);
  const std::ptrdiff_t stride = values.strides(0);
  if (!AnyBelowZero(values)) {
    for (std::size_t row = 0; row < rows; ++row, at += stride) out(convert(LoadAt<T>(at)));
    return py::make_tuple(py::none(), 0);
  }
  Validity validity(rows);
  for (std::size_t row = 0; row < rows; ++row, at += stride) {
    const T value = LoadAt<T>(at);
    out(convert(value < 0 ? T{0} : value));
    validity.Put(row, value >= 0);
  }
  return validity.Take(rows);
}

// 128-bit decimals of totals in millionths, in units of `step` millionths, into `data`: (bits or None, nulls).
py::tuple ArrowDecimals(const py::array_t<std::int64_t>& micros, std::int64_t step,
                        py::array_t<std::int64_t, py::array::c_style> data) {
  if (data.size() != 2 * micros.shape(0)) RaiseType("data: found an array of another size, expected two halves a row");
  std::int64_t* to = data.mutable_data();
  auto out = [&to](std::int64_t value) {
    *to++ = value;
    *to++ = 0;
  };
  py::tuple bits;
  // By a constant, which compilers turn into a multiplication.
  switch (step) {
    case 10'000:
      bits = ConvertAll(micros, out, [](std::int64_t value) { return value / 10'000; });
      break;
    case 1:
      bits = ConvertAll(micros, out, [](std::int64_t value) { return value; });
      break;
    default:
      bits = ConvertAll(micros, out, [step](std::int64_t value) { return value / step; });
      break;
  }
  return bits;
}

// Indices into names: (data, bits or None, nulls). The same array where it is right as it is.
template <typename T>
py::tuple ArrowCodes(const py::array_t<T>& codes) {
  if (codes.strides(0) == static_cast<py::ssize_t>(sizeof(T)) && !AnyBelowZero(codes))
    return py::make_tuple(codes, py::none(), 0);
  py::array_t<T> data(codes.shape(0));
  T* to = data.mutable_data();
  const py::tuple bits = ConvertAll(
      codes, [&to](T value) { *to++ = value; }, [](T value) { return value; });
  return py::make_tuple(data, bits[0], bits[1]);
}

// The name of each code, None where it is below 0.
template <typename T>
py::array TakeNames(const py::array_t<T>& codes, const py::tuple& names) {
  const std::size_t rows = static_cast<std::size_t>(codes.shape(0));
  py::array out(py::dtype("O"), std::vector<py::ssize_t>{static_cast<py::ssize_t>(rows)});
  PyObject** to = static_cast<PyObject**>(out.mutable_data());
  const std::byte* at = Begin(codes);
  const std::ptrdiff_t stride = codes.strides(0);
  const std::size_t count = names.size();
  // Place 0 is None. References are counted here and given at once, in turns of four: one count would wait for itself.
  std::vector<PyObject*> objects = {Py_None};
  for (std::size_t i = 0; i < count; ++i) objects.push_back(PyTuple_GET_ITEM(names.ptr(), static_cast<py::ssize_t>(i)));
  std::vector<std::array<py::ssize_t, 4>> taken(objects.size());
  const auto give = [&] {
    for (std::size_t i = 0; i < objects.size(); ++i) {
      py::ssize_t left = 0;
      for (const py::ssize_t one : taken[i]) left += one;
      for (; left > 0; --left) Py_INCREF(objects[i]);
    }
  };
  for (std::size_t row = 0; row < rows; ++row, at += stride) {
    const T value = LoadAt<T>(at);
    const std::size_t place = value < 0 ? 0 : static_cast<std::size_t>(value) + 1;
    if (place >= objects.size()) {
      give();
      throw py::index_error("found a code past the names");
    }
    ++taken[place][row % 4];
    PyObject* const old = std::exchange(to[row], objects[place]);
    Py_XDECREF(old);
  }
  give();
  return out;
}

}  // namespace

std::shared_ptr<const Repricer> ToRepricer(const py::handle& value) {
  return value.cast<const RepricerValue&>().repricer;
}

void BindBatch(py::module_& module) {
  py::class_<RepricerValue> repricer(module, "Repricer");
  repricer.def(py::init(&Make), py::kw_only(), py::arg("ratebook"), py::arg("shelf"), py::arg("lanes"),
               py::arg("shares"), py::arg("date"), py::arg("promise"), py::arg("extras"), py::arg("cover"),
               py::arg("accepts"), py::arg("amounts"), py::arg("time"), py::arg("totals"), py::arg("week"),
               py::arg("currency"), py::arg("exchange"), py::arg("padding"), py::arg("fill_weight"),
               py::arg("allowance"), py::arg("most_parcels"));
  repricer.def_property_readonly("currency",
                                 [](const RepricerValue& self) { return ToStr(self.repricer->currency().code()); });
  repricer.def_property_readonly("decimals",
                                 [](const RepricerValue& self) { return self.repricer->currency().decimals(); });
  // Decimals that every total fits in: the currency's, or six where a tariff's or a packaging's money is finer.
  repricer.def_property_readonly("scale", [](const RepricerValue& self) {
    const RepriceSetup& setup = self.repricer->setup();
    const Currency currency = self.repricer->currency();
    bool fine = false;
    auto look = [&](std::int64_t micros) { fine = fine || micros % currency.minor_unit() != 0; };
    for (const Tariff& tariff : setup.book->tariffs()) {
      if (tariff.currency != currency) continue;  // converted to the minor unit
      look(tariff.rounding.total);
      for (const Packaging& packaging : tariff.packaging) look(packaging.cost.micros());
    }
    if (setup.shelf != nullptr && setup.shelf->currency == currency) {
      for (const Shelf::Own& own : setup.shelf->own) look(own.packaging.cost.micros());
    }
    return fine ? 6 : currency.decimals();
  });
  repricer.def_property_readonly("lane_classes",
                                 [](const RepricerValue& self) { return self.repricer->lane_classes(); });
  repricer.def_property_readonly("bytes", [](const RepricerValue& self) { return self.repricer->bytes(); });
  repricer.def_property_readonly("services", [](const RepricerValue& self) {
    py::tuple out(self.repricer->services().size());
    for (std::size_t i = 0; i < out.size(); ++i) {
      const ServiceName& name = self.repricer->services()[i];
      out[i] = py::make_tuple(name.carrier, name.service, name.title);
    }
    return out;
  });
  repricer.def_property_readonly("packagings", [](const RepricerValue& self) {
    py::tuple out(self.repricer->packagings().size());
    for (std::size_t i = 0; i < out.size(); ++i) {
      const PackagingName& name = self.repricer->packagings()[i];
      out[i] = py::make_tuple(name.code, name.issued_by, name.title);
    }
    return out;
  });
  repricer.def("run", &RunColumns, py::kw_only(), py::arg("columns"), py::arg("rows"), py::arg("classes"),
               py::arg("outputs"), py::arg("levels"), py::arg("threads"), py::arg("progress"),
               py::arg("sale") = py::none());
  repricer.def(
      "request",
      [](const RepricerValue& self, const py::dict& columns, std::size_t rows, const py::object& classes,
         std::size_t row, std::size_t lane, bool metric_weight, bool metric_sides) {
        const Columns read = ColumnsOf(columns, rows, classes);
        absl::StatusOr<Request> request = self.repricer->RequestFor(read.goods, row, lane);
        if (!request.ok()) RaiseRequest(request.status());
        RequestValue out{*std::move(request), {}};
        out.request.weight_units = metric_weight ? UnitSystem::kMetric : UnitSystem::kImperial;
        out.request.side_units = metric_sides ? UnitSystem::kMetric : UnitSystem::kImperial;
        out.steps = StepsFor(out.request.weight_units, out.request.side_units);
        out.request.steps = out.steps.steps;
        return out;
      },
      py::kw_only(), py::arg("columns"), py::arg("rows"), py::arg("classes"), py::arg("row"), py::arg("lane"),
      py::arg("metric_weight"), py::arg("metric_sides"));

  py::list reasons;
  for (const std::string_view name : kRowReasonNames) reasons.append(ToStr(name));
  module.attr("ROW_REASONS") = py::tuple(reasons);
  py::list cautions;
  for (const Caution& caution : kCautions) cautions.append(ToStr(caution.name));
  module.attr("CAUTIONS") = py::tuple(cautions);
  module.attr("NOT_DONE") = static_cast<int>(kNotDone);
  py::list traits;
  for (const std::string_view name : kTraitNames) traits.append(ToStr(name));
  module.attr("TRAITS") = py::tuple(traits);
  py::list shapes;
  for (const std::string_view name : kShapeNames) shapes.append(ToStr(name));
  module.attr("SHAPES") = py::tuple(shapes);

  module.def("check_contents", [](const py::object& words) { ToContents(words, "contents"); });
  module.def("arrow_decimals", &ArrowDecimals, py::arg("micros").noconvert(), py::arg("step"),
             py::arg("data").noconvert(), py::pos_only());
  module.def("arrow_codes", &ArrowCodes<std::int16_t>, py::arg("codes").noconvert(), py::pos_only());
  module.def("arrow_codes", &ArrowCodes<std::int32_t>, py::arg("codes").noconvert(), py::pos_only());
  module.def("take_names", &TakeNames<std::int16_t>, py::arg("codes").noconvert(), py::arg("names"), py::pos_only());
  module.def("take_names", &TakeNames<std::int32_t>, py::arg("codes").noconvert(), py::arg("names"), py::pos_only());
  // Millionths of numbers in units; below 0: no number, or past what money may be.
  module.def(
      "read_micros",
      [](const py::tuple& column, std::size_t rows) {
        py::array_t<std::int64_t> out(static_cast<py::ssize_t>(rows));
        ReadMillionths(ColumnOf(column, rows, "column"), 0, rows, out.mutable_data());
        return out;
      },
      py::arg("column"), py::arg("rows"), py::pos_only());
  // -1: not there; -2: cannot be read.
  module.def("parse_weights", [](const py::sequence& values) {
    return ParseAll(values, [](py::handle value) -> std::int64_t {
      if (py::isinstance<WeightValue>(value)) return value.cast<const WeightValue&>().weight.nanograms();
      if (!PyUnicode_Check(value.ptr())) return value.is_none() || IsMissingFloat(value) ? -1 : -2;
      const absl::StatusOr<Weight> weight = Weight::Parse(ToText(value, "", ""));
      return weight.ok() ? weight->nanograms() : -2;
    });
  });
  module.def("parse_lengths", [](const py::sequence& values) {
    return ParseAll(values, [](py::handle value) -> std::int64_t {
      if (py::isinstance<LengthValue>(value)) return value.cast<const LengthValue&>().length.nanometres();
      if (!PyUnicode_Check(value.ptr())) return value.is_none() || IsMissingFloat(value) ? -1 : -2;
      const absl::StatusOr<Length> length = Length::Parse(ToText(value, "", ""));
      return length.ok() ? length->nanometres() : -2;
    });
  });
  module.def("parse_amounts", [](const py::sequence& values) {
    return ParseAll(values, [](py::handle value) -> std::int64_t {
      if (value.is_none() || IsMissingFloat(value)) return -1;
      if (PyUnicode_Check(value.ptr())) {
        const absl::StatusOr<Amount> amount = Amount::Parse(ToText(value, "", ""));
        return amount.ok() ? amount->micros() : -2;
      }
      if (PyFloat_Check(value.ptr())) return ToAmount(value, "value").micros();  // a TypeError that says why
      try {
        return ToAmount(value, "value").micros();
      } catch (py::error_already_set& error) {
        if (error.matches(PyExc_ValueError)) return -2;
        throw;
      }
    });
  });
}

}  // namespace tarewise::python
