#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "convert.h"
#include "economics.h"
#include "tarewise/economics/economics.h"

namespace tarewise::python {
namespace {

/// With the arguments that it was made of, which it is compared and pickled by.
struct EconomicsValue {
  std::shared_ptr<const Economics> economics;
  py::tuple arguments;

  int decimals() const { return economics->setup().currency.decimals(); }
};

Percent ToPercent(const py::object& value, std::string_view field) {
  return Take(Percent::Parse(ToNumberText(value, field)), field);
}

template <typename E, std::size_t N>
E ToWord(const py::object& value, std::string_view field, const std::string_view (&words)[N]) {
  const std::string_view text = ToText(value, field, "a word");
  const std::optional<E> found = FromName<E>(words, text);
  if (found) return *found;
  std::string expected;
  for (const std::string_view word : words) expected += (expected.empty() ? "" : " or ") + std::string(word);
  RaiseQuantity("found " + Quote(text) + ", expected " + expected, field);
}

constexpr std::string_view kOf[] = {"price", "price_and_shipping"};
constexpr std::string_view kScales[] = {"whole", "by_parts"};
constexpr std::string_view kOnReturn[] = {"kept", "fixed_kept", "given_back"};
constexpr std::string_view kCases[] = {"worst", "average"};

std::optional<Amount> ToOptional(const py::object& value, std::string_view field) {
  if (value.is_none()) return std::nullopt;
  return ToAmount(value, field);
}

Fee ToFee(const py::handle& value) {
  if (!py::isinstance(value, Face("_values", "Fee"))) RaiseType("fees: found " + Repr(value) + ", expected a Fee");
  const py::object from = py::reinterpret_borrow<py::object>(value);
  Fee out;
  out.code = ToText(from.attr("code"), "fees/code", "a code");
  const std::string field = "fees/" + out.code;
  out.title = ToText(from.attr("title"), field, "a title");
  out.of = ToWord<FeeOf>(from.attr("of"), field + "/of", kOf);
  out.scale = ToWord<FeeScale>(from.attr("scale"), field + "/scale", kScales);
  out.on_return = ToWord<FeeOnReturn>(from.attr("on_return"), field + "/on_return", kOnReturn);
  out.least = ToOptional(from.attr("least"), field + "/least");
  out.most = ToOptional(from.attr("most"), field + "/most");
  for (const py::handle tier : from.attr("tiers")) {
    const py::object one = py::reinterpret_borrow<py::object>(tier);
    out.tiers.push_back({ToOptional(one.attr("up_to"), field + "/tiers/up_to"),
                         ToPercent(one.attr("percent"), field + "/tiers/percent"),
                         ToAmount(one.attr("fixed"), field + "/tiers/fixed")});
  }
  if (out.tiers.empty()) {
    out.tiers.push_back({std::nullopt, ToPercent(from.attr("percent"), field + "/percent"),
                         ToAmount(from.attr("fixed"), field + "/fixed")});
  }
  return out;
}

Returns ToReturns(const py::object& value) {
  Returns out;
  if (value.is_none()) return out;
  if (!py::isinstance(value, Face("_values", "Returns")))
    RaiseType("returns: found " + Repr(value) + ", expected Returns");
  out.share = ToPercent(value.attr("share"), "returns/share");
  out.seller_pays = value.attr("seller_pays").cast<bool>();
  out.of_total = ToPercent(value.attr("of_total"), "returns/of_total");
  out.plus = ToAmount(value.attr("plus"), "returns/plus");
  out.shipping_refunded = value.attr("shipping_refunded").cast<bool>();
  out.recovered = ToPercent(value.attr("recovered"), "returns/recovered");
  out.handling = ToAmount(value.attr("handling"), "returns/handling");
  return out;
}

PlaceTotal ToPlaceTotal(const py::handle& value, std::string_view field) {
  if (!py::isinstance(value, Face("_values", "PlaceTotal"))) {
    RaiseType(std::string(field) + ": found " + Repr(value) + ", expected a PlaceTotal");
  }
  const py::object from = py::reinterpret_borrow<py::object>(value);
  PlaceTotal out;
  out.total = ToAmount(from.attr("total"), std::string(field) + "/total");
  out.charged = ToAmount(from.attr("charged"), std::string(field) + "/charged");
  out.share = ToWhole(from.attr("share"), std::string(field) + "/share", 0, 1'000'000'000'000);
  out.parcels = static_cast<std::int32_t>(ToWhole(from.attr("parcels"), std::string(field) + "/parcels", 1, 100));
  return out;
}

std::vector<PlaceTotal> ToPlaces(const py::object& values) {
  std::vector<PlaceTotal> out;
  for (const py::handle value : values) out.push_back(ToPlaceTotal(value, "places/" + std::to_string(out.size())));
  return out;
}

template <typename T>
T Answer(absl::StatusOr<T> value) {
  if (!value.ok()) RaiseRequest(value.status());
  return *std::move(value);
}

std::int64_t ToLevel(const py::handle& value) {
  // Floats are probabilities here, not money.
  const std::string text = py::str(value);
  const absl::StatusOr<Amount> level = Amount::Parse(text);
  if (!level.ok() || level->micros() > 1'000'000) {
    RaiseQuantity("found " + text + ", expected 0 to 1 with at most six decimals", "quantiles");
  }
  return level->micros();
}

EconomicsValue Make(const py::object& currency, const py::object& fees, const py::object& packaging,
                    const py::object& labour, const py::object& returns) {
  EconomicsSetup setup;
  setup.currency = ToCurrency(currency, "currency");
  if (!py::isinstance<py::iterable>(fees)) RaiseType("fees: found " + Repr(fees) + ", expected several Fees");
  for (const py::handle fee : fees) setup.fees.push_back(ToFee(fee));
  setup.packaging = ToAmount(packaging, "packaging");
  setup.labour = ToAmount(labour, "labour");
  setup.returns = ToReturns(returns);
  EconomicsValue out;
  out.economics = std::make_shared<const Economics>(Answer(Economics::Create(std::move(setup))));
  out.arguments = py::make_tuple(currency, py::tuple(fees), ToMoney(out.economics->setup().packaging, 2),
                                 ToMoney(out.economics->setup().labour, 2), returns);
  return out;
}

}  // namespace

Wanted ToWanted(const py::object& value) {
  if (PyUnicode_Check(value.ptr()) && ToText(value, "", "").find('%') != std::string_view::npos) {
    return ToPercent(value, "wanted");
  }
  if (PyFloat_Check(value.ptr())) return ToAmount(value, "wanted");  // a TypeError that says why
  std::string text = ToNumberText(value, "wanted");
  const bool negative = !text.empty() && text.front() == '-';
  const Amount amount = Take(Amount::Parse(negative ? text.substr(1) : text), "wanted");
  return negative ? -amount : amount;
}

Case ToCase(const py::object& value) { return ToWord<Case>(value, "of", kCases); }

std::shared_ptr<const Economics> ToEconomics(const py::object& value, std::string_view field) {
  if (!py::isinstance<EconomicsValue>(value)) {
    RaiseType(std::string(field) + ": found " + Repr(value) + ", expected an Economics");
  }
  return value.cast<const EconomicsValue&>().economics;
}

void BindEconomics(py::module_& module) {
  py::class_<EconomicsValue> economics(module, "Economics", "What selling and sending leaves of a price.");
  economics.def(py::init(&Make), py::arg("currency"), py::kw_only(), py::arg("fees") = py::tuple(),
                py::arg("packaging") = 0, py::arg("labour") = 0, py::arg("returns") = py::none());
  economics.def_property_readonly("currency", [](const EconomicsValue& self) { return self.arguments[0]; });
  economics.def_property_readonly("fees", [](const EconomicsValue& self) { return self.arguments[1]; });
  economics.def_property_readonly("packaging", [](const EconomicsValue& self) { return self.arguments[2]; });
  economics.def_property_readonly("labour", [](const EconomicsValue& self) { return self.arguments[3]; });
  economics.def_property_readonly("returns", [](const EconomicsValue& self) { return self.arguments[4]; });
  economics.def(
      "profit",
      [](const EconomicsValue& self, const py::object& places, const py::object& cost, const py::object& price,
         const py::object& quantiles) {
        std::vector<std::int64_t> levels;
        for (const py::handle level : quantiles) levels.push_back(ToLevel(level));
        const Profit profit = Answer(
            self.economics->ProfitOf({ToAmount(cost, "cost"), ToAmount(price, "price")}, ToPlaces(places), levels));
        py::tuple at(profit.quantiles.size());
        for (std::size_t i = 0; i < at.size(); ++i) at[i] = ToMoney(profit.quantiles[i], self.decimals());
        return Face("_values", "Profit")(ToMoney(profit.worst, self.decimals()), profit.worst_place,
                                         ToMoney(profit.expected, self.decimals()),
                                         ToMoney(profit.worst_returned, self.decimals()), at);
      },
      py::arg("places"), py::kw_only(), py::arg("cost"), py::arg("price"), py::arg("quantiles") = py::tuple());
  economics.def(
      "account",
      [](const EconomicsValue& self, const py::object& place, const py::object& cost, const py::object& price,
         bool returned) {
        const std::vector<SaleLine> lines = Answer(self.economics->Account(
            {ToAmount(cost, "cost"), ToAmount(price, "price")}, ToPlaceTotal(place, "place"), returned));
        const py::object line_class = Face("_values", "SaleLine");
        py::tuple out(lines.size());
        for (std::size_t i = 0; i < lines.size(); ++i)
          out[i] = line_class(lines[i].code, ToMoney(lines[i].amount, self.decimals()));
        return out;
      },
      py::arg("place"), py::kw_only(), py::arg("cost"), py::arg("price"), py::arg("returned") = false);
  economics.def(
      "keeps",
      [](const EconomicsValue& self, const py::object& places, const py::object& cost, const py::object& price,
         const py::object& wanted, const py::object& of) {
        return Answer(self.economics->Keeps({ToAmount(cost, "cost"), ToAmount(price, "price")}, ToPlaces(places),
                                            ToWanted(wanted), ToWord<Case>(of, "of", kCases)));
      },
      py::arg("places"), py::kw_only(), py::arg("cost"), py::arg("price"), py::arg("wanted"),
      py::arg("of") = "average");
  auto optional = [](const EconomicsValue& self, const std::optional<Amount>& amount) {
    return amount ? ToMoney(*amount, self.decimals()) : py::object(py::none());
  };
  economics.def(
      "most_to_pay",
      [optional](const EconomicsValue& self, const py::object& places, const py::object& price,
                 const py::object& wanted, const py::object& of) {
        return optional(self, Answer(self.economics->MostToPay(ToAmount(price, "price"), ToPlaces(places),
                                                               ToWanted(wanted), ToWord<Case>(of, "of", kCases))));
      },
      py::arg("places"), py::kw_only(), py::arg("price"), py::arg("wanted"), py::arg("of") = "average");
  economics.def(
      "least_price",
      [optional](const EconomicsValue& self, const py::object& places, const py::object& cost, const py::object& wanted,
                 const py::object& of, const py::object& up_to) {
        return optional(self,
                        Answer(self.economics->LeastPrice(ToAmount(cost, "cost"), ToPlaces(places), ToWanted(wanted),
                                                          ToWord<Case>(of, "of", kCases), ToAmount(up_to, "up_to"))));
      },
      py::arg("places"), py::kw_only(), py::arg("cost"), py::arg("wanted"), py::arg("of") = "average",
      py::arg("up_to") = 1'000'000);
  BindValue(
      economics, [](const EconomicsValue& self) { return self.arguments; },
      [](const EconomicsValue& self) { return py::tuple(py::make_tuple(1) + self.arguments); },
      [](const py::tuple& parts) { return Make(parts[1], parts[2], parts[3], parts[4], parts[5]); });
  economics.def("__repr__", [](const EconomicsValue& self) {
    std::string fees;
    for (const Fee& fee : self.economics->setup().fees) fees += (fees.empty() ? "" : ", ") + fee.code;
    return "<Economics in " + std::string(self.economics->setup().currency.code()) +
           (fees.empty() ? ", no fees>" : ", fees: " + fees + ">");
  });
}

}  // namespace tarewise::python
