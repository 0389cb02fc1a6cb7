#ifndef TAREWISE_PYTHON_BIND_CONVERT_H_
#define TAREWISE_PYTHON_BIND_CONVERT_H_

#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/documents/diagnostic.h"
#include "tarewise/parcel/contents.h"
#include "tarewise/parcel/dimensions.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/units/date.h"
#include "tarewise/units/length.h"
#include "tarewise/units/money.h"
#include "tarewise/units/weight.h"

namespace tarewise::python {

namespace py = pybind11;

// ---- errors: the classes are Python's, in tarewise/errors.py ----

[[noreturn]] void RaiseType(const std::string& message);
/// A quantity or a code that cannot be read; `field` is the argument it came in.
[[noreturn]] void RaiseQuantity(const std::string& message, std::string_view field);
/// A request that cannot be answered; a message that begins with a place in the request gives the pointer.
[[noreturn]] void RaiseRequest(const absl::Status& status);
/// Documents that cannot be read: the first error, and all that was found.
[[noreturn]] void RaiseDocument(const char* error_class, const std::vector<Diagnostic>& diagnostics);

std::string MessageOf(const absl::Status& status);

template <typename T>
T Take(absl::StatusOr<T> value, std::string_view field) {
  if (!value.ok()) RaiseQuantity(MessageOf(value.status()), field);
  return *std::move(value);
}

/// `name` of the module `tarewise.<module>`.
py::object Face(const char* module, const char* name);
py::tuple DiagnosticsOf(const std::vector<Diagnostic>& diagnostics);

// ---- values with the units that they were written in ----

struct WeightValue {
  Weight weight;
  UnitSystem units = UnitSystem::kImperial;
};
struct LengthValue {
  Length length;
  UnitSystem units = UnitSystem::kImperial;
};
/// Three sides in the order written.
struct SidesValue {
  std::array<Length, 3> sides = {};
  UnitSystem units = UnitSystem::kImperial;
};

// ---- from Python: what is not understood is a TypeError or a QuantityError that names the field ----

WeightValue ToWeight(py::handle value, std::string_view field);
LengthValue ToLength(py::handle value, std::string_view field);
SidesValue ToSides(py::handle value, std::string_view field);
/// Decimal, text or a whole number; floating point is refused.
Amount ToAmount(py::handle value, std::string_view field);
Currency ToCurrency(py::handle value, std::string_view field);
/// datetime.date or "2026-07-12".
Date ToDate(py::handle value, std::string_view field);
/// Words, or one text with spaces or commas between.
Contents ToContents(py::handle value, std::string_view field);
Shape ToShape(py::handle value, std::string_view field);
std::string_view ToText(py::handle value, std::string_view field, const char* expected);
/// The text of a whole number, Decimal, Fraction or text; floating point is refused.
std::string ToNumberText(py::handle value, std::string_view field);
/// Steps of a search for an arrangement: what is taken where nothing is said, and the most.
inline constexpr std::int64_t kFewNodes = 20'000;
inline constexpr std::int64_t kMostNodes = 1'000'000'000;
std::int64_t ToWhole(py::handle value, std::string_view field, std::int64_t least, std::int64_t most);

// ---- to Python ----

py::object ToDecimal(const std::string& text);
py::object ToMoney(Amount amount, int decimals);
py::object ToPyDate(Date date);
py::object ToPyDate(const std::optional<Date>& date);
inline py::str ToStr(std::string_view text) { return py::str(text.data(), text.size()); }
/// The number of a quantity's text, "11.4 oz" without its unit.
py::object NumberOf(const std::string& quantity);
std::string Repr(py::handle value);
std::string Quote(std::string_view text);

/// The newest version of a pickle that is read: 2 has what came with 0.3, 3 how goods may lie and cartons that
/// may be cut down. Each is written only where there is some of it.
inline constexpr int kNewestPickle = 3;

/// Copying gives the same object: none of them ever changes.
template <typename T, typename... Options>
void BindCopies(py::class_<T, Options...>& cls) {
  cls.def("__copy__", [](const py::object& self) { return self; });
  cls.def(
      "__deepcopy__", [](const py::object& self, const py::object&) { return self; }, py::arg("memo"));
}

/// What values have in common: equality and hash by `key`, a tuple; pickling by `state`, a tuple whose first part is
/// the pickle's version; copying.
template <typename T, typename... Options, typename Key, typename State, typename Make>
void BindValue(py::class_<T, Options...>& cls, Key key, State state, Make make) {
  cls.attr("__module__") = "tarewise";
  cls.def("__eq__", [key](const T& self, const py::object& other) -> py::object {
    if (!py::isinstance<T>(other)) return py::reinterpret_borrow<py::object>(Py_NotImplemented);
    return py::bool_(key(self).equal(key(other.cast<const T&>())));
  });
  cls.def("__hash__", [key](const T& self) { return py::hash(key(self)); });
  BindCopies(cls);
  cls.def(py::pickle([state](const T& self) { return py::tuple(state(self)); },
                     [make](const py::tuple& parts) {
                       if (parts.empty() || parts[0].cast<int>() < 1 || parts[0].cast<int>() > kNewestPickle) {
                         throw py::value_error(
                             "found a pickle of a later tarewise, expected one of this or an earlier");
                       }
                       return make(parts);
                     }));
}

template <typename T, typename... Options, typename State, typename Make>
void BindValue(py::class_<T, Options...>& cls, State state, Make make) {
  BindValue(cls, state, state, make);
}

void BindUnits(py::module_& module);
void BindPlaces(py::module_& module);
void BindGoods(py::module_& module);
void BindRequest(py::module_& module);
void BindTables(py::module_& module);
void BindGrids(py::module_& module);
void BindArrange(py::module_& module);
void BindRanking(py::module_& module);
void BindPlans(py::module_& module);
void BindBatch(py::module_& module);
void BindCompare(py::module_& module);
void BindEconomics(py::module_& module);
void BindSales(py::module_& module);
void BindChanges(py::module_& module);

}  // namespace tarewise::python

#endif  // TAREWISE_PYTHON_BIND_CONVERT_H_
