#include <algorithm>
#include <array>
#include <string>
#include <utility>
#include <vector>

#include "convert.h"
#include "goods.h"
#include "tarewise/documents/load.h"
#include "tarewise/pricing/ratebook.h"

namespace tarewise::python {
namespace {

// What a weight and sides say that may be ranges: "14..18 oz", "10..12 x 9 x 6 in".
struct Measured {
  Weight weight;
  std::optional<Weight> weight_most;
  std::array<Length, 3> sides = {};
  std::vector<SideRange> ranges;
  UnitSystem weight_units = UnitSystem::kImperial;
  UnitSystem side_units = UnitSystem::kImperial;
};

bool IsRange(py::handle value) {
  return PyUnicode_Check(value.ptr()) && ToText(value, "", "").find("..") != std::string_view::npos;
}

std::string JsonText(std::string_view text) { return py::str(py::module_::import("json").attr("dumps")(ToStr(text))); }

// Ranges are read by the reader of requests, so that they mean what they mean there.
Item ReadRanges(const std::string& weight, const std::string& sides) {
  SourceText source{"", "{\"format\":\"tarewise-request-1\",\"goods\":[{\"weight\":" + JsonText(weight) +
                            ",\"sides\":" + JsonText(sides) +
                            "}],\"from\":{\"country\":\"US\"},\"to\":{\"country\":\"US\"},\"date\":\"2000-01-01\"}"};
  Loaded<Request> loaded = ReadRequest(source);
  if (!loaded.ok()) {
    const Diagnostic& first = loaded.diagnostics.front();
    const std::size_t slash = first.pointer.rfind('/');
    RaiseQuantity(first.message, slash == std::string::npos ? "" : first.pointer.substr(slash + 1));
  }
  return std::move(loaded.value->goods.front());
}

Measured Measure(py::handle weight, py::handle sides) {
  Measured out;
  if (IsRange(weight)) {
    const std::string text(ToText(weight, "weight", ""));
    const Item item = ReadRanges(text, "1 x 1 x 1 in");
    out.weight = item.weight;
    out.weight_most = item.weight_most;
    out.weight_units = Weight::SystemOf(text);
  } else {
    const WeightValue value = ToWeight(weight, "weight");
    if (value.weight.nanograms() < 1 || value.weight.nanograms() > Weight::kMostNanograms) {
      RaiseQuantity("found " + value.weight.In("kg") + ", expected a weight of more than 0 and at most 100000 kg",
                    "weight");
    }
    out.weight = value.weight;
    out.weight_units = value.units;
  }
  if (IsRange(sides)) {
    const std::string text(ToText(sides, "sides", ""));
    const Item item = ReadRanges("1 oz", text);
    out.sides = item.sides;
    out.ranges = item.side_ranges;
    out.side_units = Length::SystemOf(text);
  } else {
    const SidesValue value = ToSides(sides, "sides");
    out.sides = value.sides;
    out.side_units = value.units;
  }
  return out;
}

Amount ToValue(py::handle value) {
  const Amount amount = ToAmount(value, "value");
  if (amount.micros() > kMostMicros)
    RaiseQuantity("found " + amount.ToString() + ", expected at most 1000 million", "value");
  return amount;
}

Weight ToBears(py::handle value) {
  const Weight weight = ToWeight(value, "bears").weight;
  if (weight.nanograms() < 1 || weight.nanograms() > Weight::kMostNanograms) {
    RaiseQuantity("found " + weight.In("kg") + ", expected a weight of more than 0 and at most 100000 kg", "bears");
  }
  return weight;
}

std::string WeightText(Weight least, const std::optional<Weight>& most, UnitSystem units) {
  return least.ToString(units) + (most ? ".." + most->ToString(units) : "");
}

template <typename Sides>
std::string SidesText(const Sides& sides, const std::vector<SideRange>& ranges, UnitSystem units) {
  std::string out;
  for (std::size_t i = 0; i < 3; ++i) {
    std::string side = sides[i].ToString(units);
    if (ranges.empty() && i < 2) side.resize(side.find(' '));
    for (const SideRange& range : ranges) {
      if (range.index == i) side += ".." + range.most.ToString(units);
    }
    out += (i > 0 ? " x " : "") + side;
  }
  return out;
}

py::tuple Words(const Contents& contents) {
  const std::vector<std::string> words = contents.Words();
  py::tuple out(words.size());
  for (std::size_t i = 0; i < words.size(); ++i) out[i] = words[i];
  return out;
}

template <typename Sides>
py::tuple Nanometres(const Sides& sides) {
  return py::make_tuple(sides[0].nanometres(), sides[1].nanometres(), sides[2].nanometres());
}
std::array<Length, 3> SidesOf(const py::handle& parts) {
  std::array<Length, 3> out;
  for (std::size_t i = 0; i < 3; ++i) {
    out[i] = Length::Nanometres(py::reinterpret_borrow<py::tuple>(parts)[i].cast<std::int64_t>());
  }
  return out;
}

py::tuple RangesState(const std::vector<SideRange>& ranges) {
  py::tuple out(ranges.size());
  for (std::size_t i = 0; i < ranges.size(); ++i) out[i] = py::make_tuple(ranges[i].index, ranges[i].most.nanometres());
  return out;
}
std::vector<SideRange> RangesOf(const py::handle& parts) {
  std::vector<SideRange> out;
  for (const py::handle range : py::reinterpret_borrow<py::tuple>(parts)) {
    const py::tuple pair = py::reinterpret_borrow<py::tuple>(range);
    out.push_back({pair[0].cast<std::size_t>(), Length::Nanometres(pair[1].cast<std::int64_t>())});
  }
  return out;
}

py::object MostState(const std::optional<Weight>& most) {
  return most ? py::object(py::int_(most->nanograms())) : py::none();
}
std::optional<Weight> MostOf(const py::handle& part) {
  if (part.is_none()) return std::nullopt;
  return Weight::Nanograms(part.cast<std::int64_t>());
}

std::array<bool, 3> ToMayStand(py::handle value, bool this_side_up) {
  if (value.is_none()) return {true, true, true};
  if (!PyTuple_Check(value.ptr()) && !PyList_Check(value.ptr())) {
    RaiseType("may_stand: found " + Repr(value) + ", expected the places of sides, as (2, 3)");
  }
  if (this_side_up) {
    RaiseQuantity("found it beside this_side_up, expected one of the two: the third side alone may be upright",
                  "may_stand");
  }
  std::array<bool, 3> out = {false, false, false};
  for (const py::handle place : py::reinterpret_borrow<py::sequence>(value)) {
    bool& one = out[static_cast<std::size_t>(ToWhole(place, "may_stand", 1, 3) - 1)];
    if (one) RaiseQuantity("found " + Repr(value) + ", expected each side once", "may_stand");
    one = true;
  }
  if (!out[0] && !out[1] && !out[2]) RaiseQuantity("found no side, expected one or more of 1, 2 and 3", "may_stand");
  return out;
}
py::tuple MayStand(const Item& item) {
  py::list out;
  for (std::size_t i = 0; i < 3; ++i) {
    if (item.this_side_up ? i == 2 : item.may_stand[i]) out.append(i + 1);
  }
  return py::tuple(out);
}

// "60", "12.5": of soft goods, without the sign.
std::string PressesTo(const Soft& soft) {
  std::string text = soft.presses_to.ToString();
  while (!text.empty() && (text.back() == '%' || text.back() == ' ')) text.pop_back();
  return text;
}

std::optional<Soft> ToSoft(const py::object& presses_to, const py::object& least_thickness) {
  if (presses_to.is_none() && least_thickness.is_none()) return std::nullopt;
  if (presses_to.is_none() || least_thickness.is_none()) {
    RaiseQuantity("found it alone, expected both of presses_to and least_thickness",
                  presses_to.is_none() ? "least_thickness" : "presses_to");
  }
  const std::string text(ToText(presses_to, "presses_to", "a percentage as text, such as \"60\""));
  const absl::StatusOr<Percent> part = Percent::Parse(text);
  if (!part.ok()) RaiseQuantity(std::string(part.status().message()), "presses_to");
  return Soft{*part, ToLength(least_thickness, "least_thickness").length};
}

// How it may lie, and its name; nothing where nothing is said of them.
py::tuple LyingState(const Item& item) {
  const bool any = item.may_stand[0] && item.may_stand[1] && item.may_stand[2];
  if (any && !item.top_free && !item.bears && item.title.empty() && !item.soft) return py::tuple();
  const py::tuple soft =
      item.soft ? py::make_tuple(item.soft->presses_to.ten_thousandths(), item.soft->least_thickness.nanometres())
                : py::tuple();
  return py::make_tuple(
      py::make_tuple(py::make_tuple(bool{item.may_stand[0]}, bool{item.may_stand[1]}, bool{item.may_stand[2]}),
                     item.top_free, MostState(item.bears), item.title, soft));
}
void ReadLying(const py::handle& state, Item& item) {
  const py::tuple parts = py::reinterpret_borrow<py::tuple>(state);
  const py::tuple may_stand = parts[0].cast<py::tuple>();
  for (std::size_t i = 0; i < 3; ++i) item.may_stand[i] = may_stand[i].cast<bool>();
  item.top_free = parts[1].cast<bool>();
  item.bears = MostOf(parts[2]);
  item.title = parts[3].cast<std::string>();
  if (parts.size() > 4 && parts[4].cast<py::tuple>().size() == 2) {
    const py::tuple soft = parts[4].cast<py::tuple>();
    item.soft =
        Soft{Percent::TenThousandths(soft[0].cast<std::int64_t>()), Length::Nanometres(soft[1].cast<std::int64_t>())};
  }
}

// The greatest sides, where one is a range.
template <typename Sides>
std::optional<SidesValue> MostSides(const Sides& sides, const std::vector<SideRange>& ranges, UnitSystem units) {
  if (ranges.empty()) return std::nullopt;
  SidesValue out{{sides[0], sides[1], sides[2]}, units};
  for (const SideRange& range : ranges) out.sides[range.index] = range.most;
  return out;
}

template <typename V>
void BindMeasured(py::class_<V>& cls) {
  auto goods = [](const V& self) -> const auto& {
    if constexpr (std::is_same_v<V, ItemValue>) {
      return self.item;
    } else {
      return self.parcel;
    }
  };
  auto sides = [goods](const V& self) -> const std::array<Length, 3>& {
    if constexpr (std::is_same_v<V, ItemValue>) {
      return goods(self).sides;
    } else {
      return goods(self).sides.sides();
    }
  };
  cls.def_property_readonly("weight", [goods](const V& self) {
    return WeightValue{goods(self).weight, self.weight_units};
  });
  cls.def_property_readonly("weight_most", [goods](const V& self) -> std::optional<WeightValue> {
    if (!goods(self).weight_most) return std::nullopt;
    return WeightValue{*goods(self).weight_most, self.weight_units};
  });
  cls.def_property_readonly("sides", [sides](const V& self) { return SidesValue{sides(self), self.side_units}; });
  cls.def_property_readonly("sides_most", [sides, goods](const V& self) {
    return MostSides(sides(self), goods(self).side_ranges, self.side_units);
  });
  cls.def_property_readonly("contents", [goods](const V& self) { return Words(goods(self).contents); });
  cls.def_property_readonly("value", [goods](const V& self) { return ToMoney(goods(self).value, 2); });
  cls.def_property_readonly("shape", [goods](const V& self) { return ToStr(NameOf(goods(self).shape)); });
  cls.def_property_readonly("rigid", [goods](const V& self) { return goods(self).rigid; });
  cls.def("__repr__", [goods, sides](const V& self) {
    const auto& g = goods(self);
    std::string out = std::is_same_v<V, ItemValue> ? "Item(" : "Parcel(";
    out += Quote(WeightText(g.weight, g.weight_most, self.weight_units)) + ", " +
           Quote(SidesText(sides(self), g.side_ranges, self.side_units));
    if constexpr (std::is_same_v<V, ItemValue>) {
      if (g.quantity != 1) out += ", quantity=" + std::to_string(g.quantity);
    } else {
      if (!g.packaging.empty()) out += ", packaging=" + Quote(g.packaging);
    }
    if (!g.contents.empty()) out += ", contents=" + Repr(Words(g.contents));
    if (g.value.micros() != 0) out += ", value=" + Repr(ToMoney(g.value, 2));
    if (g.shape != Shape::kBox) out += ", shape=" + Quote(NameOf(g.shape));
    if constexpr (std::is_same_v<V, ItemValue>) {
      if (g.this_side_up) out += ", this_side_up=True";
    }
    if (g.rigid) out += ", rigid=True";
    if constexpr (std::is_same_v<V, ItemValue>) {
      if (g.bare_allowed) out += ", bare=True";
      if (!g.may_stand[0] || !g.may_stand[1] || !g.may_stand[2]) out += ", may_stand=" + Repr(MayStand(g));
      if (g.top_free) out += ", top_free=True";
      if (g.bears) out += ", bears=" + Quote(g.bears->ToString(self.weight_units));
      if (g.soft) {
        out += ", presses_to=" + Quote(PressesTo(*g.soft)) +
               ", least_thickness=" + Quote(g.soft->least_thickness.ToString(self.side_units));
      }
      if (!g.title.empty()) out += ", title=" + Quote(g.title);
    }
    return out + ")";
  });
}

}  // namespace

void BindGoods(py::module_& module) {
  py::class_<ItemValue> item(module, "Item", "Goods that were sold, one kind of them.");
  item.def(
      py::init([](const py::object& weight, const py::object& sides, const py::object& quantity,
                  const py::object& contents, const py::object& value, const py::object& shape, bool this_side_up,
                  bool rigid, bool bare, const py::object& may_stand, bool top_free, const py::object& bears,
                  const py::object& presses_to, const py::object& least_thickness, const py::object& title) {
        Measured measured = Measure(weight, sides);
        ItemValue out;
        out.weight_units = measured.weight_units;
        out.side_units = measured.side_units;
        out.item.weight = measured.weight;
        out.item.weight_most = measured.weight_most;
        out.item.sides = measured.sides;
        out.item.side_ranges = std::move(measured.ranges);
        out.item.quantity = static_cast<std::int32_t>(ToWhole(quantity, "quantity", 1, kMostUnits));
        out.item.contents = ToContents(contents, "contents");
        out.item.value = ToValue(value);
        out.item.shape = ToShape(shape, "shape");
        out.item.this_side_up = this_side_up;
        out.item.rigid = rigid;
        out.item.bare_allowed = bare;
        out.item.may_stand = ToMayStand(may_stand, this_side_up);
        out.item.top_free = top_free;
        if (!bears.is_none()) out.item.bears = ToBears(bears);
        out.item.soft = ToSoft(presses_to, least_thickness);
        if (out.item.soft && !may_stand.is_none()) {
          RaiseQuantity("found it beside presses_to, expected one of the two: soft goods lie any way", "may_stand");
        }
        out.item.title = std::string(ToText(title, "title", "what it is called"));
        return out;
      }),
      py::arg("weight"), py::arg("sides"), py::kw_only(), py::arg("quantity") = 1, py::arg("contents") = py::tuple(),
      py::arg("value") = 0, py::arg("shape") = "box", py::arg("this_side_up") = false, py::arg("rigid") = false,
      py::arg("bare") = false, py::arg("may_stand") = py::none(), py::arg("top_free") = false,
      py::arg("bears") = py::none(), py::arg("presses_to") = py::none(), py::arg("least_thickness") = py::none(),
      py::arg("title") = "");
  BindMeasured(item);
  item.def_property_readonly("quantity", [](const ItemValue& self) { return self.item.quantity; });
  item.def_property_readonly("this_side_up", [](const ItemValue& self) { return self.item.this_side_up; });
  item.def_property_readonly("bare", [](const ItemValue& self) { return self.item.bare_allowed; });
  item.def_property_readonly("may_stand", [](const ItemValue& self) { return MayStand(self.item); });
  item.def_property_readonly("top_free", [](const ItemValue& self) { return self.item.top_free; });
  item.def_property_readonly("bears", [](const ItemValue& self) -> std::optional<WeightValue> {
    if (!self.item.bears) return std::nullopt;
    return WeightValue{*self.item.bears, self.weight_units};
  });
  item.def_property_readonly("presses_to", [](const ItemValue& self) -> std::optional<std::string> {
    if (!self.item.soft) return std::nullopt;
    return PressesTo(*self.item.soft);
  });
  item.def_property_readonly("least_thickness", [](const ItemValue& self) -> std::optional<LengthValue> {
    if (!self.item.soft) return std::nullopt;
    return LengthValue{self.item.soft->least_thickness, self.side_units};
  });
  item.def_property_readonly("title", [](const ItemValue& self) { return self.item.title; });
  auto plain_key = [](const ItemValue& self) {
    const Item& i = self.item;
    return py::make_tuple(LyingState(i).size() == 0 ? 1 : 3, i.weight.nanograms(), MostState(i.weight_most),
                          Nanometres(i.sides), RangesState(i.side_ranges), i.quantity, Words(i.contents),
                          i.value.micros(), NameOf(i.shape), i.this_side_up, i.rigid, i.bare_allowed);
  };
  BindValue(
      item, [plain_key](const ItemValue& self) { return py::tuple(plain_key(self) + LyingState(self.item)); },
      [plain_key](const ItemValue& self) {
        return py::tuple(plain_key(self) +
                         py::make_tuple(static_cast<int>(self.weight_units), static_cast<int>(self.side_units)) +
                         LyingState(self.item));
      },
      [](const py::tuple& parts) {
        ItemValue out;
        out.item.weight = Weight::Nanograms(parts[1].cast<std::int64_t>());
        out.item.weight_most = MostOf(parts[2]);
        out.item.sides = SidesOf(parts[3]);
        out.item.side_ranges = RangesOf(parts[4]);
        out.item.quantity = parts[5].cast<std::int32_t>();
        out.item.contents = ToContents(parts[6], "contents");
        out.item.value = Amount::Micros(parts[7].cast<std::int64_t>());
        out.item.shape = ToShape(parts[8], "shape");
        out.item.this_side_up = parts[9].cast<bool>();
        out.item.rigid = parts[10].cast<bool>();
        out.item.bare_allowed = parts[11].cast<bool>();
        out.weight_units = static_cast<UnitSystem>(parts[12].cast<int>());
        out.side_units = static_cast<UnitSystem>(parts[13].cast<int>());
        if (parts.size() > 14) ReadLying(parts[14], out.item);
        return out;
      });

  py::class_<ParcelValue> parcel(module, "Parcel",
                                 "A parcel that is packed and closed: outside sides and gross weight.");
  parcel.def(
      py::init([](const py::object& weight, const py::object& sides, const py::object& packaging,
                  const py::object& contents, const py::object& value, const py::object& shape, bool rigid) {
        Measured measured = Measure(weight, sides);
        ParcelValue out;
        out.weight_units = measured.weight_units;
        out.side_units = measured.side_units;
        out.parcel.weight = measured.weight;
        out.parcel.weight_most = measured.weight_most;
        // Longest first, each with its own range.
        std::array<std::size_t, 3> by_size = {0, 1, 2};
        std::stable_sort(by_size.begin(), by_size.end(),
                         [&measured](std::size_t a, std::size_t b) { return measured.sides[a] > measured.sides[b]; });
        out.parcel.sides = Dimensions(measured.sides[0], measured.sides[1], measured.sides[2]);
        for (std::size_t i = 0; i < 3; ++i) {
          for (const SideRange& range : measured.ranges) {
            if (range.index == by_size[i]) out.parcel.side_ranges.push_back({i, range.most});
          }
        }
        if (!packaging.is_none()) out.parcel.packaging = ToText(packaging, "packaging", "the code of a packaging");
        out.parcel.contents = ToContents(contents, "contents");
        out.parcel.value = ToValue(value);
        out.parcel.shape = ToShape(shape, "shape");
        out.parcel.rigid = rigid;
        return out;
      }),
      py::arg("weight"), py::arg("sides"), py::kw_only(), py::arg("packaging") = py::none(),
      py::arg("contents") = py::tuple(), py::arg("value") = 0, py::arg("shape") = "box", py::arg("rigid") = false);
  BindMeasured(parcel);
  parcel.def_property_readonly("packaging", [](const ParcelValue& self) -> std::optional<std::string> {
    if (self.parcel.packaging.empty()) return std::nullopt;
    return self.parcel.packaging;
  });
  auto parcel_key = [](const ParcelValue& self) {
    const Parcel& p = self.parcel;
    return py::make_tuple(1, p.weight.nanograms(), MostState(p.weight_most), Nanometres(p.sides.sides()),
                          RangesState(p.side_ranges), p.packaging, Words(p.contents), p.value.micros(), NameOf(p.shape),
                          p.rigid);
  };
  BindValue(
      parcel, parcel_key,
      [parcel_key](const ParcelValue& self) {
        return py::tuple(parcel_key(self) +
                         py::make_tuple(static_cast<int>(self.weight_units), static_cast<int>(self.side_units)));
      },
      [](const py::tuple& parts) {
        ParcelValue out;
        out.parcel.weight = Weight::Nanograms(parts[1].cast<std::int64_t>());
        out.parcel.weight_most = MostOf(parts[2]);
        const std::array<Length, 3> sides = SidesOf(parts[3]);
        out.parcel.sides = Dimensions(sides[0], sides[1], sides[2]);
        out.parcel.side_ranges = RangesOf(parts[4]);
        out.parcel.packaging = parts[5].cast<std::string>();
        out.parcel.contents = ToContents(parts[6], "contents");
        out.parcel.value = Amount::Micros(parts[7].cast<std::int64_t>());
        out.parcel.shape = ToShape(parts[8], "shape");
        out.parcel.rigid = parts[9].cast<bool>();
        out.weight_units = static_cast<UnitSystem>(parts[10].cast<int>());
        out.side_units = static_cast<UnitSystem>(parts[11].cast<int>());
        return out;
      });
}

}  // namespace tarewise::python
