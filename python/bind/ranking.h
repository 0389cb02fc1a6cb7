#ifndef TAREWISE_PYTHON_BIND_RANKING_H_
#define TAREWISE_PYTHON_BIND_RANKING_H_

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string_view>

#include "convert.h"
#include "goods.h"
#include "tarewise/ranking/cautions.h"
#include "tarewise/ranking/ranking.h"

namespace tarewise::python {

inline py::object Class(const char* name) { return Face("_values", name); }

inline std::string_view Shown(std::string_view packaging) { return packaging.empty() ? "own" : packaging; }

/// A ranking with what it was made of.
struct RankingValue {
  std::shared_ptr<const Ranking> ranking;
  py::object book;
  py::object shelf;
  StepsValue steps;
  bool thresholds = true;

  const Ranking& get() const { return *ranking; }
  int decimals() const { return ranking->currency().decimals(); }
  RequestValue request() const { return {ranking->request(), steps}; }
};

// Views into a ranking, which they keep.
struct OfferValue {
  py::object owner;
  const RankingValue* ranking = nullptr;
  std::size_t index = 0;
  const Offer& get() const { return ranking->get().offers()[index]; }
};
py::object OfferAt(const py::object& owner, std::size_t index);
py::object ToDays(const std::optional<Days>& days);
py::object ToArrival(const std::optional<Arrival>& arrives);
py::object ToCaution(const Caution& caution);

// Offers, charges and refusals are equal where their place in equal rankings is; they are pickled by it.
template <typename V, typename Place>
void BindView(py::class_<V>& cls, const char* restore, Place place) {
  cls.attr("__module__") = "tarewise";
  cls.def("__eq__", [place](const V& self, const py::object& other) -> py::object {
    if (!py::isinstance<V>(other)) return py::reinterpret_borrow<py::object>(Py_NotImplemented);
    return py::bool_(place(self).equal(place(other.cast<const V&>())));
  });
  cls.def("__hash__", [place](const V& self) { return py::hash(place(self)); });
  BindCopies(cls);
  cls.def("__reduce__", [place, restore](const V& self) { return py::make_tuple(Class(restore), place(self)); });
}

}  // namespace tarewise::python

#endif  // TAREWISE_PYTHON_BIND_RANKING_H_
