#ifndef TAREWISE_PYTHON_BIND_SEQUENCE_H_
#define TAREWISE_PYTHON_BIND_SEQUENCE_H_

#include <cstddef>
#include <cstdint>

#include "convert.h"
#include "tarewise/documents/ranking_json.h"

namespace tarewise::python {

/// The place that Python's index means. IndexError in words where there is none.
inline std::size_t IndexIn(std::int64_t i, std::size_t size, const char* what) {
  const std::int64_t n = static_cast<std::int64_t>(size);
  if (i < -n || i >= n) throw py::index_error(what);
  return static_cast<std::size_t>(i < 0 ? i + n : i);
}

/// The parts of `self`, as `at(self, i)` gives them.
template <typename Size, typename At>
py::tuple PartsOf(const py::object& self, Size size, At at) {
  py::tuple out(size(self));
  for (std::size_t i = 0; i < out.size(); ++i) out[i] = at(self, i);
  return out;
}

/// What Python does with a sequence: its length, whether there is anything, one after the other, by place and by slice.
/// `size(self)` and `at(self, i)` take the Python object; `what` is told of a place that is not there.
template <typename V, typename Size, typename At>
void BindSequence(py::class_<V>& cls, Size size, At at, const char* what) {
  cls.def("__len__", [size](const py::object& self) { return size(self); });
  cls.def("__bool__", [size](const py::object& self) { return size(self) != 0; });
  cls.def("__iter__", [size, at](const py::object& self) { return py::iter(PartsOf(self, size, at)); });
  cls.def(
      "__getitem__",
      [size, at, what](const py::object& self, const py::object& index) -> py::object {
        if (PySlice_Check(index.ptr())) return PartsOf(self, size, at)[index];
        return at(self, IndexIn(ToWhole(index, "index", INT64_MIN, INT64_MAX), size(self), what));
      },
      py::arg("index"), py::pos_only());
}

/// An answer that is found again from what it was made of: its document, and equality and hash by that.
template <typename V>
void BindAnswer(py::class_<V>& cls) {
  cls.attr("__module__") = "tarewise";
  cls.def(
      "to_json",
      [](const V& self, int indent, bool room_to_grow) {
        RankingJson how;
        how.indent = indent;
        how.room_to_grow = room_to_grow;
        const py::gil_scoped_release release;
        return ToJson(self.get(), how);
      },
      py::kw_only(), py::arg("indent") = 2, py::arg("room_to_grow") = false);
  cls.def("__eq__", [](const V& self, const py::object& other) -> py::object {
    if (!py::isinstance<V>(other)) return py::reinterpret_borrow<py::object>(Py_NotImplemented);
    const V& that = other.cast<const V&>();
    return py::bool_(&self.get() == &that.get() || ToJson(self.get(), -1) == ToJson(that.get(), -1));
  });
  cls.def("__hash__", [](const V& self) { return py::hash(py::str(ToJson(self.get(), -1))); });
  BindCopies(cls);
}

}  // namespace tarewise::python

#endif  // TAREWISE_PYTHON_BIND_SEQUENCE_H_
