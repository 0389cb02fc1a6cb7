#include <array>
#include <cstdint>
#include <limits>
#include <string>

#include "convert.h"
#include "tarewise/parcel/dimensions.h"
#include "tarewise/units/rounding.h"
#include "tarewise/units/volume.h"

namespace tarewise::python {
namespace {

UnitSystem SystemAt(const py::tuple& parts, std::size_t i) { return static_cast<UnitSystem>(parts[i].cast<int>()); }

std::int64_t Fit(Int128 value) {
  const std::optional<std::int64_t> narrow = Narrow(value);
  if (!narrow) {
    PyErr_SetString(PyExc_OverflowError, "found a quantity that does not fit, expected a smaller one");
    throw py::error_already_set();
  }
  return *narrow;
}

const py::object& Checked(const py::object& value, const char* what) {
  if (PyBool_Check(value.ptr()) || !PyLong_Check(value.ptr())) {
    RaiseType("found " + Repr(value) + ", expected a whole number of times for a " + what);
  }
  return value;
}

// Comparisons and arithmetic that weights and lengths share. `Base` reads the whole base units, `Make` the reverse.
template <typename V, typename Base, typename Make>
void BindQuantity(py::class_<V>& cls, Base base, Make make, const char* what) {
  auto unlike = [] { return py::reinterpret_borrow<py::object>(Py_NotImplemented); };
  cls.def("__lt__", [=](const V& a, const py::object& b) -> py::object {
    return py::isinstance<V>(b) ? py::bool_(base(a) < base(b.cast<const V&>())) : unlike();
  });
  cls.def("__le__", [=](const V& a, const py::object& b) -> py::object {
    return py::isinstance<V>(b) ? py::bool_(base(a) <= base(b.cast<const V&>())) : unlike();
  });
  cls.def("__gt__", [=](const V& a, const py::object& b) -> py::object {
    return py::isinstance<V>(b) ? py::bool_(base(a) > base(b.cast<const V&>())) : unlike();
  });
  cls.def("__ge__", [=](const V& a, const py::object& b) -> py::object {
    return py::isinstance<V>(b) ? py::bool_(base(a) >= base(b.cast<const V&>())) : unlike();
  });
  cls.def("__add__", [=](const V& a, const py::object& b) -> py::object {
    return py::isinstance<V>(b) ? py::cast(make(Fit(Int128(base(a)) + base(b.cast<const V&>())), a.units)) : unlike();
  });
  cls.def("__sub__", [=](const V& a, const py::object& b) -> py::object {
    return py::isinstance<V>(b) ? py::cast(make(Fit(Int128(base(a)) - base(b.cast<const V&>())), a.units)) : unlike();
  });
  cls.def("__mul__", [=](const V& a, const py::object& times) {
    return make(Fit(Int128(base(a)) * Checked(times, what).cast<std::int64_t>()), a.units);
  });
  cls.def("__rmul__", [=](const V& a, const py::object& times) {
    return make(Fit(Int128(base(a)) * Checked(times, what).cast<std::int64_t>()), a.units);
  });
  cls.def("__bool__", [=](const V& a) { return base(a) != 0; });
  // A sum of nothing begins with 0.
  cls.def("__radd__", [=](const V& a, const py::object& b) -> py::object {
    return PyLong_Check(b.ptr()) && b.equal(py::int_(0)) ? py::cast(a) : unlike();
  });
}

void CheckUnit(const std::string& text, std::string_view unit, const char* expected) {
  if (text.size() <= unit.size() || text.substr(text.find(' ') + 1) != unit) {
    RaiseQuantity("found unit " + Quote(unit) + ", expected " + expected, "");
  }
}

std::string SidesText(const SidesValue& value) { return tarewise::SidesText(value.sides, value.units); }

Dimensions Sorted(const SidesValue& value) { return {value.sides[0], value.sides[1], value.sides[2]}; }

}  // namespace

void BindUnits(py::module_& module) {
  auto ng = [](const WeightValue& value) { return value.weight.nanograms(); };
  auto weight = [](std::int64_t n, UnitSystem units) { return WeightValue{Weight::Nanograms(n), units}; };
  py::class_<WeightValue> weight_class(module, "Weight", "A weight, exact to the nanogram.");
  weight_class.def(py::init([](const py::object& value) { return ToWeight(value, ""); }), py::arg("value"),
                   py::pos_only());
  auto of_unit = [&weight_class](const char* name, const char* unit) {
    const std::string suffix = std::string(" ") + unit;
    weight_class.def_static(
        name, [suffix](const py::object& n) { return ToWeight(py::str(ToNumberText(n, "") + suffix), ""); },
        py::arg("number"), py::pos_only());
  };
  of_unit("pounds", "lb");
  of_unit("ounces", "oz");
  of_unit("kilograms", "kg");
  of_unit("grams", "g");
  weight_class.def_property_readonly("nanograms", ng);
  weight_class.def(
      "to",
      [](const WeightValue& self, const std::string& unit) {
        const std::string text = self.weight.In(unit);
        CheckUnit(text, unit, "lb, oz, kg, g or mg");
        return NumberOf(text);
      },
      py::arg("unit"), py::pos_only());
  weight_class.def("__str__", [](const WeightValue& self) { return self.weight.ToString(self.units); });
  weight_class.def("__repr__",
                   [](const WeightValue& self) { return "Weight(" + Quote(self.weight.ToString(self.units)) + ")"; });
  BindQuantity(weight_class, ng, weight, "weight");
  BindValue(
      weight_class, [ng](const WeightValue& self) { return py::make_tuple(ng(self)); },
      [ng](const WeightValue& self) { return py::make_tuple(1, ng(self), static_cast<int>(self.units)); },
      [](const py::tuple& parts) {
        return WeightValue{Weight::Nanograms(parts[1].cast<std::int64_t>()), SystemAt(parts, 2)};
      });

  auto nm = [](const LengthValue& value) { return value.length.nanometres(); };
  auto length = [](std::int64_t n, UnitSystem units) { return LengthValue{Length::Nanometres(n), units}; };
  py::class_<LengthValue> length_class(module, "Length", "A length, exact to the nanometre.");
  length_class.def(py::init([](const py::object& value) { return ToLength(value, ""); }), py::arg("value"),
                   py::pos_only());
  auto of_length = [&length_class](const char* name, const char* unit) {
    const std::string suffix = std::string(" ") + unit;
    length_class.def_static(
        name, [suffix](const py::object& n) { return ToLength(py::str(ToNumberText(n, "") + suffix), ""); },
        py::arg("number"), py::pos_only());
  };
  of_length("inches", "in");
  of_length("feet", "ft");
  of_length("millimetres", "mm");
  of_length("centimetres", "cm");
  of_length("metres", "m");
  length_class.def_property_readonly("nanometres", nm);
  length_class.def(
      "to",
      [](const LengthValue& self, const std::string& unit) {
        const std::string text = self.length.In(unit);
        CheckUnit(text, unit, "mi, km, m, yd, ft, in, cm or mm");
        return NumberOf(text);
      },
      py::arg("unit"), py::pos_only());
  length_class.def("__str__", [](const LengthValue& self) { return self.length.ToString(self.units); });
  length_class.def("__repr__",
                   [](const LengthValue& self) { return "Length(" + Quote(self.length.ToString(self.units)) + ")"; });
  BindQuantity(length_class, nm, length, "length");
  BindValue(
      length_class, [nm](const LengthValue& self) { return py::make_tuple(nm(self)); },
      [nm](const LengthValue& self) { return py::make_tuple(1, nm(self), static_cast<int>(self.units)); },
      [](const py::tuple& parts) {
        return LengthValue{Length::Nanometres(parts[1].cast<std::int64_t>()), SystemAt(parts, 2)};
      });

  py::class_<SidesValue> sides_class(module, "Sides",
                                     "Three sides, in the order written; the third is the upright one.");
  sides_class.def(py::init([](const py::object& value) { return ToSides(value, ""); }), py::arg("value"),
                  py::pos_only());
  auto side = [](Length l, UnitSystem units) { return LengthValue{l, units}; };
  sides_class.def_property_readonly("length", [=](const SidesValue& s) { return side(Sorted(s).length(), s.units); });
  sides_class.def_property_readonly("width", [=](const SidesValue& s) { return side(Sorted(s).width(), s.units); });
  sides_class.def_property_readonly("height", [=](const SidesValue& s) { return side(Sorted(s).height(), s.units); });
  sides_class.def_property_readonly("girth", [=](const SidesValue& s) { return side(Sorted(s).girth(), s.units); });
  sides_class.def_property_readonly("length_plus_girth",
                                    [=](const SidesValue& s) { return side(Sorted(s).length_plus_girth(), s.units); });
  sides_class.def(
      "volume",
      [](const SidesValue& self, const std::string& unit) {
        const std::string text = Sorted(self).volume().In(unit);
        CheckUnit(text, unit, "in3, ft3, cm3, m3, l or mm3");
        return NumberOf(text);
      },
      py::arg("unit"), py::pos_only());
  sides_class.def("__len__", [](const SidesValue&) { return 3; });
  sides_class.def(
      "__getitem__",
      [=](const SidesValue& self, std::int64_t i) {
        if (i < -3 || i > 2) throw py::index_error("sides have indices 0 to 2");
        return side(self.sides[static_cast<std::size_t>(i < 0 ? i + 3 : i)], self.units);
      },
      py::arg("index"), py::pos_only());
  sides_class.def("__iter__", [=](const SidesValue& self) {
    return py::iter(py::make_tuple(side(self.sides[0], self.units), side(self.sides[1], self.units),
                                   side(self.sides[2], self.units)));
  });
  sides_class.def("__str__", &SidesText);
  sides_class.def("__repr__", [](const SidesValue& self) { return "Sides(" + Quote(SidesText(self)) + ")"; });
  BindValue(
      sides_class,
      [](const SidesValue& s) {
        return py::make_tuple(s.sides[0].nanometres(), s.sides[1].nanometres(), s.sides[2].nanometres());
      },
      [](const SidesValue& s) {
        return py::make_tuple(1, s.sides[0].nanometres(), s.sides[1].nanometres(), s.sides[2].nanometres(),
                              static_cast<int>(s.units));
      },
      [](const py::tuple& parts) {
        SidesValue out;
        for (std::size_t i = 0; i < 3; ++i) out.sides[i] = Length::Nanometres(parts[i + 1].cast<std::int64_t>());
        out.units = SystemAt(parts, 4);
        return out;
      });
}

}  // namespace tarewise::python
