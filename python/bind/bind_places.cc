#include <optional>
#include <string>
#include <variant>

#include "convert.h"
#include "goods.h"

namespace tarewise::python {
namespace {

std::string PlaceText(const Place& place) {
  return place.country() + (place.postal_code().empty() ? "" : " " + place.postal_code());
}

py::tuple PlaceState(const Place& place) {
  return py::make_tuple(1, place.country(), place.postal_code(), place.residential());
}
Place PlaceOf(const py::tuple& parts) {
  return Take(Place::MakeArea(parts[1].cast<std::string>(), parts[2].cast<std::string>(), parts[3].cast<bool>()), "");
}

Place ReadPlace(py::handle value, std::string_view field, bool area) {
  if (py::isinstance<Place>(value)) return value.cast<Place>();
  const std::string_view text = ToText(value, field, "a Place, or text such as \"US 05401\"");
  return Take(area ? Place::ParseArea(text) : Place::Parse(text), field);
}

Place MakePlace(const py::object& country, const py::object& postal_code, bool residential, bool area) {
  if (postal_code.is_none()) {
    const Place read = ReadPlace(country, "", area);
    return read.With(residential || read.residential());
  }
  const std::string_view known = ToText(country, "country", "a country such as \"US\"");
  const std::string_view code = ToText(postal_code, "postal_code", "text");
  if (const absl::Status status = Place::CheckCountry(known); !status.ok()) {
    RaiseQuantity(MessageOf(status), "country");
  }
  return Take(area ? Place::MakeArea(known, code, residential) : Place::Make(known, code, residential), "postal_code");
}

}  // namespace

Place ToPlace(py::handle value, std::string_view field) { return ReadPlace(value, field, /*area=*/false); }

Lane ToLane(py::handle value, std::string_view field) {
  if (py::isinstance<Lane>(value)) return value.cast<Lane>();
  RaiseType(std::string(field) + ": found " + Repr(py::type::of(value).attr("__name__")) + ", expected a Lane");
}

void BindPlaces(py::module_& module) {
  py::class_<Place> place(module, "Place",
                          "A country and a postal code, which may be empty. With ``area``, for a mix, the beginning of "
                          "a code does as well.");
  place.def(py::init(&MakePlace), py::arg("country"), py::arg("postal_code") = py::none(), py::kw_only(),
            py::arg("residential") = false, py::arg("area") = false);
  place.def_property_readonly("country", &Place::country);
  place.def_property_readonly("postal_code", &Place::postal_code);
  place.def_property_readonly("residential", &Place::residential);
  place.def_static(
      "mend",
      [](const py::object& country, const py::object& postal_code) {
        const Place::Mended mended = Take(Place::Mend(ToText(country, "country", "a country such as \"US\""),
                                                      ToText(postal_code, "postal_code", "text")),
                                          "postal_code");
        return py::make_tuple(mended.postal_code, mended.told);
      },
      py::arg("country"), py::arg("postal_code"),
      "For a column that is known to have lost zeros: the code that it most likely was, and what was done to it, which "
      "is to be told; nothing was where that is empty.");
  place.def("__str__", &PlaceText);
  place.def("__repr__", [](const Place& self) {
    const bool area = !Place::Make(self.country(), self.postal_code()).ok();
    return "Place(" + Quote(PlaceText(self)) + (self.residential() ? ", residential=True" : "") +
           (area ? ", area=True)" : ")");
  });
  BindValue(place, &PlaceState, &PlaceOf);

  py::class_<Lane> lane(module, "Lane", "From where to where. The way back may cost another price.");
  lane.def(
      py::init([](const py::object& origin, const py::object& destination, const std::optional<bool>& residential) {
        Lane out{ToPlace(origin, "origin"), ToPlace(destination, "destination")};
        if (residential) out.to = out.to.With(*residential);
        return out;
      }),
      py::arg("origin"), py::arg("destination"), py::kw_only(), py::arg("residential") = py::none());
  lane.def_readonly("origin", &Lane::from);
  lane.def_readonly("destination", &Lane::to);
  lane.def("__str__", [](const Lane& self) { return PlaceText(self.from) + " to " + PlaceText(self.to); });
  lane.def("__repr__", [](const Lane& self) {
    return "Lane(" + Quote(PlaceText(self.from)) + ", " + Quote(PlaceText(self.to)) +
           (self.to.residential() ? ", residential=True)" : ")");
  });
  BindValue(
      lane, [](const Lane& self) { return py::make_tuple(1, PlaceState(self.from), PlaceState(self.to)); },
      [](const py::tuple& parts) {
        return Lane{PlaceOf(parts[1].cast<py::tuple>()), PlaceOf(parts[2].cast<py::tuple>())};
      });
}

}  // namespace tarewise::python
