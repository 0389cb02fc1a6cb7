#include "convert.h"

#include <datetime.h>

#include <chrono>

#include "tarewise/units/placed_error.h"

namespace tarewise::python {
namespace {

bool IsFloat(py::handle value) { return PyFloat_Check(value.ptr()); }

std::string TypeName(py::handle value) { return py::str(py::type::of(value).attr("__name__")); }

std::string Named(std::string_view field) { return field.empty() ? "" : std::string(field) + ": "; }

const py::object& DecimalClass() {
  static py::gil_safe_call_once_and_store<py::object> stored;
  return stored.call_once_and_store_result([] { return py::object(py::module_::import("decimal").attr("Decimal")); })
      .get_stored();
}
const py::object& FractionClass() {
  static py::gil_safe_call_once_and_store<py::object> stored;
  return stored.call_once_and_store_result([] { return py::object(py::module_::import("fractions").attr("Fraction")); })
      .get_stored();
}

void NeedDateTime() {
  if (PyDateTimeAPI == nullptr) PyDateTime_IMPORT;
  if (PyDateTimeAPI == nullptr) throw py::error_already_set();
}

[[noreturn]] void Raise(const py::object& error) {
  PyErr_SetObject(reinterpret_cast<PyObject*>(Py_TYPE(error.ptr())), error.ptr());
  throw py::error_already_set();
}

}  // namespace

void RaiseType(const std::string& message) {
  PyErr_SetString(PyExc_TypeError, message.c_str());
  throw py::error_already_set();
}

std::string MessageOf(const absl::Status& status) {
  return std::string(status.message().data(), status.message().size());
}

void RaiseQuantity(const std::string& message, std::string_view field) {
  py::object pointer = py::none();
  if (!field.empty()) pointer = ToStr("/" + std::string(field));
  Raise(Face("errors", "QuantityError")(Named(field) + message, py::arg("pointer") = pointer));
}

void RaiseRequest(const absl::Status& status) {
  py::object pointer = py::none();
  if (const std::optional<std::string> place = PlacedErrorOf(status).place) pointer = ToStr("/" + *place);
  Raise(Face("errors", "RequestError")(MessageOf(status), py::arg("pointer") = pointer));
}

py::tuple DiagnosticsOf(const std::vector<Diagnostic>& diagnostics) {
  const py::object make = Face("_values", "Diagnostic");
  py::tuple out(diagnostics.size());
  for (std::size_t i = 0; i < diagnostics.size(); ++i) {
    const Diagnostic& one = diagnostics[i];
    out[i] = make(one.code, one.severity == Diagnostic::Severity::kError ? "error" : "warning", one.file, one.line,
                  one.column, one.pointer, one.message);
  }
  return out;
}

void RaiseDocument(const char* error_class, const std::vector<Diagnostic>& diagnostics) {
  std::size_t errors = 0;
  const Diagnostic* first = nullptr;
  for (const Diagnostic& one : diagnostics) {
    if (one.severity != Diagnostic::Severity::kError) continue;
    ++errors;
    if (first == nullptr) first = &one;
  }
  static const Diagnostic kUnknown;
  if (first == nullptr) first = &kUnknown;
  std::string message = first->ToString();
  if (errors > 1) message += " (and " + std::to_string(errors - 1) + " more, in diagnostics)";
  Raise(Face("errors", error_class)(message, py::arg("code") = first->code, py::arg("file") = first->file,
                                    py::arg("line") = first->line, py::arg("column") = first->column,
                                    py::arg("pointer") = first->pointer,
                                    py::arg("diagnostics") = DiagnosticsOf(diagnostics)));
}

py::object Face(const char* module, const char* name) {
  return py::module_::import(("tarewise." + std::string(module)).c_str()).attr(name);
}

std::string_view ToText(py::handle value, std::string_view field, const char* expected) {
  if (!PyUnicode_Check(value.ptr())) {
    RaiseType(Named(field) + "found " + TypeName(value) + ", expected " + expected);
  }
  Py_ssize_t size = 0;
  const char* data = PyUnicode_AsUTF8AndSize(value.ptr(), &size);
  if (data == nullptr) throw py::error_already_set();
  return {data, static_cast<std::size_t>(size)};
}

WeightValue ToWeight(py::handle value, std::string_view field) {
  if (py::isinstance<WeightValue>(value)) return value.cast<WeightValue>();
  const std::string_view text = ToText(value, field, "a Weight, or text with a unit such as \"10.5 oz\"");
  return {Take(Weight::Parse(text), field), Weight::SystemOf(text)};
}

LengthValue ToLength(py::handle value, std::string_view field) {
  if (py::isinstance<LengthValue>(value)) return value.cast<LengthValue>();
  const std::string_view text = ToText(value, field, "a Length, or text with a unit such as \"12.375 in\"");
  return {Take(Length::Parse(text), field), Length::SystemOf(text)};
}

SidesValue ToSides(py::handle value, std::string_view field) {
  if (py::isinstance<SidesValue>(value)) return value.cast<SidesValue>();
  SidesValue out;
  if (PyUnicode_Check(value.ptr())) {
    const std::string_view text = ToText(value, field, "");
    const std::vector<Length> sides = Take(ParseSides(text, 3), field);
    std::copy(sides.begin(), sides.end(), out.sides.begin());
    out.units = Length::SystemOf(text);
    return out;
  }
  if (!PyTuple_Check(value.ptr()) && !PyList_Check(value.ptr())) {
    RaiseType(Named(field) + "found " + TypeName(value) +
              ", expected Sides, three lengths, or text such as \"14 x 9 x 5 in\"");
  }
  const py::sequence sequence = py::reinterpret_borrow<py::sequence>(value);
  if (sequence.size() != 3) {
    RaiseQuantity("found " + std::to_string(sequence.size()) + " lengths, expected three", field);
  }
  for (std::size_t i = 0; i < 3; ++i) {
    const LengthValue side = ToLength(py::object(sequence[i]), field);
    if (side.length.nanometres() < 1 || side.length.nanometres() > Length::kMostSideNanometres) {
      RaiseQuantity("found " + side.length.In("mm") + ", expected sides of more than 0 and at most 50 m each", field);
    }
    out.sides[i] = side.length;
    if (i == 0) out.units = side.units;
  }
  return out;
}

std::string ToNumberText(py::handle value, std::string_view field) {
  if (PyBool_Check(value.ptr()) || IsFloat(value)) {
    RaiseType(Named(field) + "found " + TypeName(value) + " " + Repr(value) +
              ", expected a whole number, a Decimal, a Fraction or text: quantities are exact");
  }
  if (PyUnicode_Check(value.ptr())) return std::string(ToText(value, field, ""));
  if (PyLong_Check(value.ptr())) return py::str(value);
  if (py::isinstance(value, DecimalClass())) return py::str(value.attr("__format__")("f"));
  if (py::isinstance(value, FractionClass())) return py::str(value);
  RaiseType(Named(field) + "found " + TypeName(value) + ", expected a whole number, a Decimal, a Fraction or text");
}

Amount ToAmount(py::handle value, std::string_view field) {
  if (IsFloat(value)) {
    RaiseType(Named(field) + "found float " + Repr(value) +
              ", expected a Decimal or text: money is exact, such as Decimal(\"" + std::string(py::str(value)) + "\")");
  }
  if (PyUnicode_Check(value.ptr())) return Take(Amount::Parse(ToText(value, field, "")), field);
  if (PyLong_Check(value.ptr()) && !PyBool_Check(value.ptr())) {
    return Take(Amount::Parse(std::string(py::str(value))), field);
  }
  if (py::isinstance(value, DecimalClass())) {
    std::string text = py::str(value.attr("__format__")("f"));
    // 7.50000000 has no more than 6 decimals that count.
    if (const std::size_t point = text.find('.'); point != std::string::npos) {
      while (text.size() > point + 7 && text.back() == '0') text.pop_back();
    }
    return Take(Amount::Parse(text), field);
  }
  RaiseType(Named(field) + "found " + TypeName(value) +
            ", expected a Decimal, a whole number or text such as \"6.45\"");
}

Currency ToCurrency(py::handle value, std::string_view field) {
  return Take(Currency::Parse(ToText(value, field, "a currency code such as \"USD\"")), field);
}

Date ToDate(py::handle value, std::string_view field) {
  NeedDateTime();
  if (PyDate_Check(value.ptr())) {
    if (PyDateTime_Check(value.ptr())) {
      RaiseType(Named(field) + "found datetime, expected a date: which day it is depends on a time zone");
    }
    const std::chrono::year_month_day day{std::chrono::year(PyDateTime_GET_YEAR(value.ptr())),
                                          std::chrono::month(static_cast<unsigned>(PyDateTime_GET_MONTH(value.ptr()))),
                                          std::chrono::day(static_cast<unsigned>(PyDateTime_GET_DAY(value.ptr())))};
    return Date::Days(static_cast<std::int32_t>(std::chrono::sys_days(day).time_since_epoch().count()));
  }
  return Take(Date::Parse(ToText(value, field, "a datetime.date, or text such as \"2026-07-12\"")), field);
}

Contents ToContents(py::handle value, std::string_view field) {
  Contents out;
  auto add = [&](std::string_view word) {
    const absl::Status status = out.Add(word);
    if (!status.ok()) RaiseQuantity(MessageOf(status), field);
  };
  if (PyUnicode_Check(value.ptr())) {
    std::string_view text = ToText(value, field, "");
    while (!text.empty()) {
      const std::size_t end = text.find_first_of(" ,");
      if (end != 0) add(text.substr(0, end));
      text = end == std::string_view::npos ? std::string_view() : text.substr(end + 1);
    }
    return out;
  }
  if (!py::isinstance<py::iterable>(value)) {
    RaiseType(Named(field) + "found " + TypeName(value) + ", expected words such as (\"media\", \"fragile\")");
  }
  for (const py::handle word : py::reinterpret_borrow<py::iterable>(value)) add(ToText(word, field, "words"));
  return out;
}

Shape ToShape(py::handle value, std::string_view field) {
  const std::string_view text = ToText(value, field, "a shape such as \"box\"");
  const std::optional<Shape> shape = ShapeFromName(text);
  if (!shape) RaiseQuantity("found " + Quote(text) + ", expected box, tube, soft, flat or irregular", field);
  return *shape;
}

std::int64_t ToWhole(py::handle value, std::string_view field, std::int64_t least, std::int64_t most) {
  if (PyBool_Check(value.ptr()) || !PyIndex_Check(value.ptr())) {
    RaiseType(Named(field) + "found " + TypeName(value) + ", expected a whole number");
  }
  const py::object whole = py::reinterpret_steal<py::object>(PyNumber_Index(value.ptr()));
  if (!whole) throw py::error_already_set();
  int overflow = 0;
  const long long n = PyLong_AsLongLongAndOverflow(whole.ptr(), &overflow);
  if (overflow != 0 || n < least || n > most) {
    RaiseQuantity(
        "found " + std::string(py::str(value)) + ", expected " + std::to_string(least) + " to " + std::to_string(most),
        field);
  }
  return n;
}

py::object ToDecimal(const std::string& text) { return DecimalClass()(text); }
py::object ToMoney(Amount amount, int decimals) { return ToDecimal(amount.ToString(decimals)); }

py::object ToPyDate(Date date) {
  NeedDateTime();
  const std::chrono::year_month_day day{std::chrono::sys_days(std::chrono::days(date.days()))};
  PyObject* out = PyDate_FromDate(static_cast<int>(day.year()), static_cast<int>(static_cast<unsigned>(day.month())),
                                  static_cast<int>(static_cast<unsigned>(day.day())));
  if (out == nullptr) throw py::error_already_set();
  return py::reinterpret_steal<py::object>(out);
}
py::object ToPyDate(const std::optional<Date>& date) { return date ? ToPyDate(*date) : py::none(); }

py::object NumberOf(const std::string& quantity) { return ToDecimal(quantity.substr(0, quantity.find(' '))); }

std::string Repr(py::handle value) { return py::repr(value); }
std::string Quote(std::string_view text) { return Repr(ToStr(text)); }

}  // namespace tarewise::python
