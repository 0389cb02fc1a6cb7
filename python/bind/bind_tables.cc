#include <algorithm>
#include <filesystem>
#include <string>
#include <system_error>
#include <utility>
#include <vector>

#include "convert.h"
#include "tables.h"

namespace tarewise::python {
namespace {

std::string BaseName(const std::string& name) { return name.substr(name.rfind('/') + 1); }

// Order and folders of the documents do not count.
std::string VersionOf(const std::vector<SourceText>& sources) {
  std::vector<std::pair<std::string, const std::string*>> sorted;
  for (const SourceText& source : sources) sorted.emplace_back(BaseName(source.name), &source.text);
  std::sort(sorted.begin(), sorted.end(), [](const auto& a, const auto& b) {
    return a.first != b.first ? a.first < b.first : *a.second < *b.second;
  });
  const py::object hash = py::module_::import("hashlib").attr("sha256")();
  for (const auto& [name, text] : sorted) {
    hash.attr("update")(py::bytes(name + "\n" + std::to_string(text->size()) + "\n"));
    hash.attr("update")(py::bytes(*text));
  }
  return hash.attr("hexdigest")().cast<std::string>();
}

bool EndsWith(const std::string& text, std::string_view end) {
  return text.size() >= end.size() && std::string_view(text).substr(text.size() - end.size()) == end;
}

// The documents of a folder that `ReadFolder` has read whole, as texts, which a ratebook is pickled by.
std::vector<SourceText> ReadSources(const std::string& path) {
  std::vector<std::string> names;
  std::error_code error;
  for (auto at = std::filesystem::directory_iterator(path, error);
       !error && at != std::filesystem::directory_iterator(); at.increment(error)) {
    const std::string name = at->path().filename().string();
    std::error_code ignored;
    if (!at->is_regular_file(ignored) || name.front() == '.') continue;
    if (EndsWith(name, ".json") || EndsWith(name, ".csv")) names.push_back(name);
  }
  std::sort(names.begin(), names.end());
  std::vector<SourceText> sources;
  for (const std::string& name : names) {
    Loaded<SourceText> source = ReadFile(EndsWith(path, "/") ? path + name : path + "/" + name);
    if (source.value) {
      sources.push_back(*std::move(source.value));
    } else if (EndsWith(name, ".json")) {
      RaiseDocument("TariffError", source.diagnostics);
    }
  }
  return sources;
}

struct Read {
  std::shared_ptr<const Ratebook> book;
  std::shared_ptr<const Shelf> shelf;
  std::vector<Diagnostic> diagnostics;
  absl::Status status;
};

Read ReadBook(const std::vector<SourceText>& sources) {
  const py::gil_scoped_release release;
  Read out;
  Loaded<Tables> loaded = ReadTables(sources);
  out.diagnostics = std::move(loaded.diagnostics);
  if (!loaded.value) return out;
  Tables& tables = *loaded.value;
  if (tables.shelf) out.shelf = std::make_shared<const Shelf>(*std::move(tables.shelf));
  absl::StatusOr<std::shared_ptr<const Ratebook>> book = Ratebook::Create(
      std::move(tables.tariffs), std::move(tables.terms), std::move(tables.gazetteer), std::move(tables.seller));
  out.status = book.status();
  if (book.ok()) out.book = *std::move(book);
  return out;
}

// (ratebook, shelf or None, warnings)
py::tuple MakeTables(std::vector<SourceText> sources) {
  Read read = ReadBook(sources);
  if (read.book == nullptr) {
    if (!HasErrors(read.diagnostics)) {
      Diagnostic diagnostic;
      diagnostic.code = 400;
      diagnostic.message = MessageOf(read.status);
      read.diagnostics.push_back(diagnostic);
    }
    RaiseDocument("TariffError", read.diagnostics);
  }
  const std::string version = VersionOf(sources);
  RatebookValue book{std::move(read.book), std::make_shared<const std::vector<SourceText>>(std::move(sources)),
                     version};
  py::object shelf = py::none();
  if (read.shelf != nullptr) shelf = py::cast(ShelfValue{std::move(read.shelf)});
  return py::make_tuple(std::move(book), shelf, DiagnosticsOf(read.diagnostics));
}

py::tuple LoadFolder(const py::object& path) {
  const std::string folder = py::module_::import("os").attr("fspath")(path).cast<std::string>();
  Loaded<Tables> loaded;
  {
    const py::gil_scoped_release release;
    loaded = ReadFolder(folder);
  }
  // What in the folder cannot be read is told by the library, and nothing is passed over.
  if (!loaded.ok()) RaiseDocument("TariffError", loaded.diagnostics);
  return MakeTables(ReadSources(folder));
}

std::vector<SourceText> SourcesOf(const py::object& documents) {
  std::vector<SourceText> sources;
  for (const py::handle item : documents.attr("items")()) {
    const py::tuple pair = py::reinterpret_borrow<py::tuple>(item);
    SourceText source;
    source.name = ToText(pair[0], "documents", "a name");
    if (PyBytes_Check(pair[1].ptr())) {
      source.text = pair[1].cast<std::string>();
    } else {
      source.text = ToText(pair[1], source.name, "the document's text or bytes");
    }
    sources.push_back(std::move(source));
  }
  return sources;
}

py::tuple TariffsOf(const RatebookValue& self) {
  const py::object tariff_class = Face("_values", "Tariff");
  const py::object service_class = Face("_values", "Service");
  const py::object days_class = Face("_values", "Days");
  py::tuple out(self.book->tariffs().size());
  std::size_t at = 0;
  for (const Tariff& tariff : self.book->tariffs()) {
    py::tuple services(tariff.services.size());
    for (std::size_t i = 0; i < tariff.services.size(); ++i) {
      const Service& service = tariff.services[i];
      py::dict days;
      for (std::size_t zone = 0; zone < service.days.size() && zone < tariff.zone_names.size(); ++zone) {
        if (service.days[zone]) {
          days[py::str(tariff.zone_names[zone])] = days_class(service.days[zone]->least, service.days[zone]->most);
        }
      }
      services[i] = service_class(tariff.carrier, service.code, service.title, service.tracked, NameOf(service.mode),
                                  days, ToMoney(service.included_cover, tariff.currency.decimals()),
                                  NameOf(service.delivers), service.cover_by_weight.has_value());
    }
    out[at++] = tariff_class(tariff.carrier, tariff.carrier_name, tariff.title, tariff.source, tariff.currency.code(),
                             ToPyDate(tariff.in_force.from), ToPyDate(tariff.in_force.until), services, tariff.file);
  }
  return out;
}

py::object OnHand(const std::optional<std::int64_t>& on_hand) {
  return on_hand ? py::object(py::int_(*on_hand)) : py::none();
}
py::tuple ThreeOf(const std::array<Length, 3>& sides) {
  return py::make_tuple(sides[0].nanometres(), sides[1].nanometres(), sides[2].nanometres());
}

// Whole base units throughout: (1, currency, own, issued); 3 where a carton may be cut down.
py::tuple ShelfState(const ShelfValue& value) {
  const Shelf& shelf = *value.shelf;
  py::tuple own(shelf.own.size());
  bool cut_down = false;
  for (std::size_t i = 0; i < shelf.own.size(); ++i) {
    const Packaging& p = shelf.own[i].packaging;
    const py::tuple plain =
        py::make_tuple(p.code, p.title, NameOf(p.kind), ThreeOf(p.inside), ThreeOf(p.outside), p.wall.nanometres(),
                       p.tare.nanograms(), p.cost.micros(), OnHand(shelf.own[i].on_hand));
    own[i] = p.least_height ? py::tuple(plain + py::make_tuple(p.least_height->nanometres())) : plain;
    cut_down = cut_down || p.least_height;
  }
  py::tuple issued(shelf.issued.size());
  for (std::size_t i = 0; i < shelf.issued.size(); ++i) {
    issued[i] = py::make_tuple(shelf.issued[i].carrier, shelf.issued[i].code, OnHand(shelf.issued[i].on_hand));
  }
  py::object currency = py::none();
  if (shelf.currency) currency = ToStr(shelf.currency->code());
  return py::make_tuple(cut_down ? 3 : 1, currency, own, issued);
}

std::array<Length, 3> ThreeFrom(const py::handle& parts) {
  const py::tuple three = py::reinterpret_borrow<py::tuple>(parts);
  return {Length::Nanometres(three[0].cast<std::int64_t>()), Length::Nanometres(three[1].cast<std::int64_t>()),
          Length::Nanometres(three[2].cast<std::int64_t>())};
}

ShelfValue ShelfOf(const py::tuple& parts) {
  auto shelf = std::make_shared<Shelf>();
  if (!parts[1].is_none()) shelf->currency = ToCurrency(parts[1], "currency");
  for (const py::handle entry : parts[2].cast<py::tuple>()) {
    const py::tuple p = py::reinterpret_borrow<py::tuple>(entry);
    Shelf::Own own;
    own.packaging.code = p[0].cast<std::string>();
    own.packaging.title = p[1].cast<std::string>();
    const std::optional<PackagingKind> kind = PackagingKindFromName(p[2].cast<std::string>());
    if (!kind) throw py::value_error("found a pickle with an unknown kind of packaging");
    own.packaging.kind = *kind;
    own.packaging.inside = ThreeFrom(p[3]);
    own.packaging.outside = ThreeFrom(p[4]);
    own.packaging.wall = Length::Nanometres(p[5].cast<std::int64_t>());
    own.packaging.tare = Weight::Nanograms(p[6].cast<std::int64_t>());
    own.packaging.cost = Amount::Micros(p[7].cast<std::int64_t>());
    own.on_hand = p[8].cast<std::optional<std::int64_t>>();
    if (p.size() > 9) own.packaging.least_height = Length::Nanometres(p[9].cast<std::int64_t>());
    shelf->own.push_back(std::move(own));
  }
  for (const py::handle entry : parts[3].cast<py::tuple>()) {
    const py::tuple p = py::reinterpret_borrow<py::tuple>(entry);
    shelf->issued.push_back(
        {p[0].cast<std::string>(), p[1].cast<std::string>(), p[2].cast<std::optional<std::int64_t>>()});
  }
  return {std::move(shelf)};
}

ShelfValue ReadShelfText(std::string name, const py::object& text) {
  SourceText source;
  source.name = std::move(name);
  if (PyBytes_Check(text.ptr())) {
    source.text = text.cast<std::string>();
  } else {
    source.text = ToText(text, "", "a shelf's document as text or bytes");
  }
  Loaded<Shelf> loaded = ReadShelf(source);
  if (!loaded.ok()) RaiseDocument("TariffError", loaded.diagnostics);
  return {std::make_shared<const Shelf>(*std::move(loaded.value))};
}

py::tuple PackagingOf(const ShelfValue& self) {
  const py::object packaging_class = Face("_values", "Packaging");
  py::tuple out(self.shelf->own.size());
  const int decimals = self.shelf->currency ? self.shelf->currency->decimals() : 2;
  for (std::size_t i = 0; i < self.shelf->own.size(); ++i) {
    const Packaging& p = self.shelf->own[i].packaging;
    auto lengths = [](const std::array<Length, 3>& sides) {
      std::size_t count = 3;
      while (count > 0 && sides[count - 1].nanometres() == 0) --count;
      py::tuple three(count);
      for (std::size_t k = 0; k < count; ++k) three[k] = LengthValue{sides[k], UnitSystem::kImperial};
      return three;
    };
    py::object least_height = py::none();
    if (p.least_height) least_height = py::cast(LengthValue{*p.least_height, UnitSystem::kImperial});
    out[i] = packaging_class(p.code, NameOf(p.kind), lengths(p.inside), lengths(p.outside),
                             WeightValue{p.tare, UnitSystem::kImperial}, ToMoney(p.cost, decimals), p.title,
                             OnHand(self.shelf->own[i].on_hand), py::none(), least_height);
  }
  return out;
}

py::tuple IssuedOf(const ShelfValue& self) {
  const py::object issued_class = Face("_values", "Issued");
  py::tuple out(self.shelf->issued.size());
  for (std::size_t i = 0; i < self.shelf->issued.size(); ++i) {
    const Shelf::Issued& one = self.shelf->issued[i];
    out[i] = issued_class(one.carrier, one.code, OnHand(one.on_hand));
  }
  return out;
}

}  // namespace

std::shared_ptr<const Shelf> ToShelf(const py::object& value) {
  if (value.is_none()) return nullptr;
  if (!py::isinstance<ShelfValue>(value)) RaiseType("shelf: found " + Repr(value) + ", expected a Shelf or None");
  return value.cast<const ShelfValue&>().shelf;
}

Packaging ToPackaging(const py::object& value) {
  const py::object plain =
      py::module_::import("dataclasses").attr("replace")(value, py::arg("cost") = 0, py::arg("on_hand") = py::none());
  const py::object document = Face("_values", "shelf_document")(py::make_tuple(plain), py::tuple(), py::none());
  return ReadShelfText("packaging", document).shelf->own.front().packaging;
}

const RatebookValue& ToRatebook(const py::object& value) {
  if (!py::isinstance<RatebookValue>(value)) {
    const std::string found = py::str(py::type::of(value).attr("__name__"));
    RaiseType("ratebook: found " + found + ", expected a Ratebook" +
              (py::hasattr(value, "ratebook") ? ", such as its ratebook" : ""));
  }
  return value.cast<const RatebookValue&>();
}

void BindTables(py::module_& module) {
  py::class_<ShelfValue> shelf(module, "Shelf", "The packaging at hand.");
  shelf.def(py::init([](const py::object& packaging, const py::object& issued, const py::object& currency) {
              const py::object document = Face("_values", "shelf_document")(packaging, issued, currency);
              return ReadShelfText("shelf.json", document);
            }),
            py::arg("packaging") = py::tuple(), py::kw_only(), py::arg("issued") = py::tuple(),
            py::arg("currency") = py::none());
  shelf.def_static(
      "load",
      [](const py::object& path) {
        const std::string name = py::module_::import("os").attr("fspath")(path).cast<std::string>();
        Loaded<SourceText> source = ReadFile(name);
        if (!source.ok()) RaiseDocument("TariffError", source.diagnostics);
        return ReadShelfText(name, py::bytes(source.value->text));
      },
      py::arg("path"), py::pos_only());
  shelf.def_property_readonly("currency", [](const ShelfValue& self) -> std::optional<std::string> {
    if (!self.shelf->currency) return std::nullopt;
    return std::string(self.shelf->currency->code());
  });
  shelf.def_property_readonly("packaging", &PackagingOf);
  shelf.def_property_readonly("issued", &IssuedOf);
  shelf.def("__len__", [](const ShelfValue& self) { return self.shelf->own.size() + self.shelf->issued.size(); });
  shelf.def("__iter__", [](const ShelfValue& self) { return py::iter(PackagingOf(self) + IssuedOf(self)); });
  shelf.def("__repr__", [](const ShelfValue& self) {
    return "<Shelf of " + std::to_string(self.shelf->own.size()) + " packagings of one's own and " +
           std::to_string(self.shelf->issued.size()) + " issued>";
  });
  BindValue(shelf, &ShelfState, &ShelfOf);

  py::class_<RatebookValue> book(module, "Ratebook", "The tariffs and terms in hand, every version.");
  book.attr("__module__") = "tarewise";
  book.def_static(
      "load", [](const py::object& path) { return py::object(LoadFolder(path)[0]); }, py::arg("path"), py::pos_only());
  book.def_static(
      "from_documents", [](const py::object& documents) { return py::object(MakeTables(SourcesOf(documents))[0]); },
      py::arg("documents"), py::pos_only());
  book.def_readonly("version", &RatebookValue::version);
  book.def_property_readonly("carriers", [](const RatebookValue& self) {
    py::list out;
    for (const std::string_view code : self.book->Carriers()) out.append(ToStr(code));
    return py::tuple(out);
  });
  book.def_property_readonly("tariffs", &TariffsOf);
  book.def_property_readonly("documents", [](const RatebookValue& self) {
    py::dict out;
    for (const SourceText& source : *self.sources) out[py::str(source.name)] = py::bytes(source.text);
    return out;
  });
  book.def("__len__", [](const RatebookValue& self) { return self.book->tariffs().size(); });
  book.def("__iter__", [](const RatebookValue& self) { return py::iter(TariffsOf(self)); });
  book.def("__eq__", [](const RatebookValue& self, const py::object& other) -> py::object {
    if (!py::isinstance<RatebookValue>(other)) return py::reinterpret_borrow<py::object>(Py_NotImplemented);
    return py::bool_(self.version == other.cast<const RatebookValue&>().version);
  });
  book.def("__hash__", [](const RatebookValue& self) { return py::hash(py::str(self.version)); });
  BindCopies(book);
  // Read again from its documents, once a process however often it is sent.
  book.def("__reduce__", [](const py::object& self) { return Face("_values", "reduce_ratebook")(self); });
  book.def("__repr__", [](const RatebookValue& self) {
    std::string carriers;
    for (const std::string_view code : self.book->Carriers())
      carriers += (carriers.empty() ? "" : ", ") + std::string(code);
    const std::size_t n = self.book->tariffs().size();
    return "<Ratebook of " + std::to_string(n) + (n == 1 ? " tariff: " : " tariffs: ") + carriers + ">";
  });

  module.def("load_folder", &LoadFolder, py::arg("path"), py::pos_only());
  module.def(
      "load_documents", [](const py::object& documents) { return MakeTables(SourcesOf(documents)); },
      py::arg("documents"), py::pos_only());
}

}  // namespace tarewise::python
