#ifndef TAREWISE_PYTHON_BIND_GOODS_H_
#define TAREWISE_PYTHON_BIND_GOODS_H_

#include <optional>
#include <string>
#include <string_view>

#include "convert.h"
#include "tarewise/parcel/item.h"
#include "tarewise/ranking/request.h"
#include "tarewise/zone/place.h"

namespace tarewise::python {

/// Goods with the units that they were written in: answers are given in those of the first.
struct ItemValue {
  Item item;
  UnitSystem weight_units = UnitSystem::kImperial;
  UnitSystem side_units = UnitSystem::kImperial;
};
struct ParcelValue {
  Parcel parcel;
  UnitSystem weight_units = UnitSystem::kImperial;
  UnitSystem side_units = UnitSystem::kImperial;
};
struct ToleranceValue {
  WeightValue weight;
  LengthValue sides;
};
/// Steps with the texts that they were read from: they are exact fractions.
struct StepsValue {
  Steps steps;
  std::string weight;
  std::string sides;
};
struct AllowanceValue {
  WeightValue least;
  WeightValue most;
};
struct RequestValue {
  Request request;
  StepsValue steps;
};

/// An Item, several, or a Parcel, with the units that the first was written in.
void ToGoods(py::handle goods, Request& out);
Place ToPlace(py::handle value, std::string_view field);
Lane ToLane(py::handle value, std::string_view field);
StepsValue StepsFor(UnitSystem weight_units, UnitSystem side_units);
void ToExchange(py::handle value, std::map<std::string, ExchangeRate, std::less<>>& out);
Promise ToPromise(py::handle value);
std::vector<std::string> ToCodes(py::handle value, std::string_view field);

}  // namespace tarewise::python

#endif  // TAREWISE_PYTHON_BIND_GOODS_H_
