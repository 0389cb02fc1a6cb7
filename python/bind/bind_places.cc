#include <optional>
#include <string>
#include <variant>

#include "convert.h"
#include "goods.h"
#include "tarewise/detail/quantity_text.h"

namespace tarewise::python {
namespace {

std::string PlaceText(const Place& place) {
  return place.country() + (place.postal_code().empty() ? "" : " " + place.postal_code());
}

py::tuple PlaceState(const Place& place) {
  return py::make_tuple(1, place.country(), place.postal_code(), place.residential());
}
Place PlaceOf(const py::tuple& parts) {
  return Take(Place::Make(parts[1].cast<std::string>(), parts[2].cast<std::string>(), parts[3].cast<bool>()), "");
}

}  // namespace

Place ToPlace(py::handle value, std::string_view field) {
  if (py::isinstance<Place>(value)) return value.cast<Place>();
  const std::string_view text = detail::Trim(ToText(value, field, "a Place, or text such as \"US 05401\""));
  const std::size_t space = std::min(text.find(' '), text.size());
  const absl::StatusOr<Place> place = Place::Make(text.substr(0, space), detail::Trim(text.substr(space)));
  if (!place.ok()) {
    RaiseQuantity(
        "found " + Quote(text) + ", expected a country of two capital letters and a postal code, such as \"US 05401\"",
        field);
  }
  return *place;
}

Lane ToLane(py::handle value, std::string_view field) {
  if (py::isinstance<Lane>(value)) return value.cast<Lane>();
  RaiseType(std::string(field) + ": found " + Repr(py::type::of(value).attr("__name__")) + ", expected a Lane");
}

void BindPlaces(py::module_& module) {
  py::class_<Place> place(module, "Place", "A country and a postal code; the code may be empty.");
  place.def(py::init([](const py::object& country, const py::object& postal_code, bool residential) {
              if (!postal_code.is_none()) {
                return Take(Place::Make(ToText(country, "country", "a country such as \"US\""),
                                        ToText(postal_code, "postal_code", "text"), residential),
                            "");
              }
              const Place read = ToPlace(country, "");
              return Take(Place::Make(read.country(), read.postal_code(), residential || read.residential()), "");
            }),
            py::arg("country"), py::arg("postal_code") = py::none(), py::kw_only(), py::arg("residential") = false);
  place.def_property_readonly("country", &Place::country);
  place.def_property_readonly("postal_code", &Place::postal_code);
  place.def_property_readonly("residential", &Place::residential);
  place.def("__str__", &PlaceText);
  place.def("__repr__", [](const Place& self) {
    return "Place(" + Quote(PlaceText(self)) + (self.residential() ? ", residential=True)" : ")");
  });
  BindValue(place, &PlaceState, &PlaceOf);

  py::class_<Lane> lane(module, "Lane", "From where to where. The way back may cost another price.");
  lane.def(
      py::init([](const py::object& origin, const py::object& destination, const std::optional<bool>& residential) {
        Lane out{ToPlace(origin, "origin"), ToPlace(destination, "destination")};
        if (residential) {
          out.to = Take(Place::Make(out.to.country(), out.to.postal_code(), *residential), "destination");
        }
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
