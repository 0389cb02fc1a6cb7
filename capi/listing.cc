#include <cmath>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "handles.h"
#include "tarewise/documents/examples.h"
#include "tarewise/zone/zone_chart.h"

struct tw_zone_answer {
  static constexpr tarewise::capi::Tag kTag = tarewise::capi::Tag::kZone;
  tarewise::capi::Tag tag = kTag;
  std::int32_t chart = -1;
  std::int32_t kind = -1;
  std::int64_t distance_metres = -1;
  std::int64_t up_to_nm = 0;
  std::string list;
  std::string zone;
  std::string area;
  std::string origin;
  std::string text;
};

struct tw_examples {
  static constexpr tarewise::capi::Tag kTag = tarewise::capi::Tag::kExamples;
  tarewise::capi::Tag tag = kTag;
  std::shared_ptr<const tarewise::Ratebook> book;  // What is told points into it.
  std::size_t agreeing = 0;
  std::vector<tarewise::DifferingExample> differing;
};

namespace tarewise::capi {
namespace {

static_assert(static_cast<int>(Mode::kAny) == TW_MODE_ANY);

const Tariff& TariffAt(const tw_ratebook* book, std::size_t index, const char* name) {
  CheckHandle(book, "tw_ratebook");
  CheckIndex(index, book->book->tariffs().size(), name);
  return book->book->tariffs()[index];
}

std::string PlaceText(const Place& place) {
  return place.country() + (place.postal_code().empty() ? "" : " " + place.postal_code());
}

// What a chart says of a lane, and why; `found` is what its list found.
struct Explainer {
  const Lane& lane;
  const ZoneFinding& found;
  tw_zone_answer& out;

  void operator()(const OneZoneChart& chart) {
    out.kind = TW_CHART_COUNTRIES;
    out.area = chart.countries.empty() ? "" : lane.to.country();
    out.text = chart.countries.empty() ? "for every country" : "for " + out.area;
  }
  void operator()(const RegionsChart& chart) {
    out.kind = TW_CHART_REGIONS;
    if (const std::optional<Area> area = chart.zones.FindArea(lane.to)) out.area = area->ToString();
    out.text = "by the destination: " + PlaceText(lane.to) + " is in " + out.area;
  }
  void operator()(const PairsChart& chart) {
    out.kind = TW_CHART_PAIRS;
    const std::uint32_t* origin = chart.origins.Find(lane.from);
    if (const std::optional<Area> area = chart.origins.FindArea(lane.from)) out.origin = area->ToString();
    if (origin != nullptr) {
      if (const std::optional<Area> area = chart.destinations[*origin].FindArea(lane.to)) out.area = area->ToString();
    }
    out.text = "by origin and destination: " + PlaceText(lane.from) + " is in " + out.origin + ", " +
               PlaceText(lane.to) + " in " + out.area;
  }
  void operator()(const DistanceChart& chart) {
    const std::string ends = PlaceText(lane.from) + " to " + PlaceText(lane.to);
    if (!found.distance_metres) {
      out.kind = TW_CHART_SAME;
      out.text = "by distance: the codes of " + ends + " begin with the same " +
                 std::to_string(chart.same ? chart.same->prefix : 0) + " characters";
      return;
    }
    out.kind = TW_CHART_DISTANCE;
    out.distance_metres = std::llround(*found.distance_metres);
    out.text = "by distance: " + std::to_string(out.distance_metres / 1000) + " km from " + ends;
    for (const DistanceChart::Band& band : chart.bands) {
      if (band.up_to && *found.distance_metres > static_cast<double>(band.up_to->nanometres()) * 1e-9) continue;
      out.up_to_nm = band.up_to ? band.up_to->nanometres() : 0;
      out.text += band.up_to ? ", up to " + band.up_to->In("km") : ", the last band";
      break;
    }
  }
};

void Explain(const Dispatch& dispatch, std::size_t service, tw_zone_answer& out) {
  const Dispatch::Entry& entry = dispatch.services()[service];
  const Tariff& tariff = *entry.edition->tariff;
  const ZoneList& list = tariff.zone_lists[entry.service->zone_list];
  const Lane& lane = dispatch.shipment().lane;
  out.list = list.name;
  const std::optional<ZoneFinding> found = list.Find(lane, dispatch.book()->gazetteer());
  if (!found) {
    out.text = "no zone: none of the " + std::to_string(list.charts.size()) + " charts of the list " + list.name +
               " knows " + PlaceText(lane.from) + " to " + PlaceText(lane.to);
    return;
  }
  out.chart = static_cast<std::int32_t>(found->chart);
  out.zone = tariff.zone_names[found->zone];
  std::visit(Explainer{lane, *found, out}, list.charts[found->chart]);
  out.text = "zone " + out.zone + " " + out.text;
}

const tw_examples& Checked(const tw_examples* examples) {
  CheckHandle(examples, "tw_examples");
  return *examples;
}

}  // namespace
}  // namespace tarewise::capi

using namespace tarewise::capi;  // NOLINT(google-build-using-namespace): definitions of the C interface only.

tw_status tw_ratebook_tariff(tw_tariff* out, const tw_ratebook* book, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    const tarewise::Tariff& from = TariffAt(book, index, "index");
    tw_tariff tariff{};
    tariff.has_from = from.in_force.from ? 1 : 0;
    if (from.in_force.from) tariff.from = from.in_force.from->days();
    tariff.has_until = from.in_force.until ? 1 : 0;
    if (from.in_force.until) tariff.until = from.in_force.until->days();
    tariff.service_count = static_cast<std::uint32_t>(from.services.size());
    tariff.example_count = static_cast<std::uint32_t>(from.examples.size());
    tariff.carrier = from.carrier.c_str();
    tariff.carrier_name = from.carrier_name.c_str();
    tariff.title = from.title.c_str();
    tariff.source = from.source.c_str();
    tariff.currency = book->currencies[index].c_str();
    tariff.file = from.file.c_str();
    WriteStruct(out, tariff);
  });
}

tw_status tw_ratebook_in_force(int64_t* index_out, const tw_ratebook* book, const char* carrier, int32_t date,
                               tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(index_out, "index_out");
    CheckHandle(book, "tw_ratebook");
    const std::string_view code = TextOf(carrier, "/carrier", true);
    const tarewise::Date day = DateOf(date, "/date");
    const std::vector<tarewise::Tariff>& tariffs = book->book->tariffs();
    const tarewise::Edition* edition = book->book->InForce(code, day);
    std::string known;
    bool there = false;
    for (const std::string_view one : book->book->Carriers()) {
      there = there || one == code;
      known += (known.empty() ? "" : ", ") + std::string(one);
    }
    if (!there) Fail(TW_E_INPUT, "found \"" + std::string(code) + "\", expected one of " + known, "/carrier");
    *index_out = edition == nullptr ? -1 : edition->tariff - tariffs.data();
  });
}

tw_status tw_ratebook_service(tw_service* out, const tw_ratebook* book, size_t tariff, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    const tarewise::Tariff& of = TariffAt(book, tariff, "tariff");
    CheckIndex(index, of.services.size(), "index");
    const tarewise::Service& from = of.services[index];
    tw_service service{};
    service.mode = static_cast<std::int32_t>(from.mode);
    service.tracked = from.tracked ? 1 : 0;
    service.days_least = service.days_most = -1;
    service.carrier = of.carrier.c_str();
    service.service = from.code.c_str();
    service.title = from.title.c_str();
    service.zone = "";
    WriteArrival(from.delivers, std::nullopt, service);
    WriteStruct(out, service);
  });
}

tw_status tw_zone_explain(tw_zone_answer** out, const tw_dispatch* dispatch, size_t service, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    CheckHandle(dispatch, "tw_dispatch");
    CheckIndex(service, dispatch->dispatch->services().size(), "service");
    auto made = std::make_unique<tw_zone_answer>();
    Explain(*dispatch->dispatch, service, *made);
    *out = made.release();
  });
}

void tw_zone_answer_free(tw_zone_answer* answer) {
  if (answer == nullptr || answer->tag != tw_zone_answer::kTag) return;
  answer->tag = Tag{};
  delete answer;
}

tw_status tw_zone_get(tw_zone* out, const tw_zone_answer* answer, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckHandle(answer, "tw_zone_answer");
    tw_zone zone{};
    zone.chart = answer->chart;
    zone.kind = answer->kind;
    zone.list = answer->list.c_str();
    zone.zone = answer->zone.c_str();
    zone.area = answer->area.c_str();
    zone.origin = answer->origin.c_str();
    zone.distance_metres = answer->distance_metres;
    zone.up_to_nm = answer->up_to_nm;
    zone.text = answer->text.c_str();
    WriteStruct(out, zone);
  });
}

tw_status tw_examples_check(tw_examples** out, const tw_ratebook* book, size_t tariff, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    const tarewise::Tariff& of = TariffAt(book, tariff, "tariff");
    auto made = std::make_unique<tw_examples>();
    made->book = book->book;
    made->differing = tarewise::DifferingExamples(of, book->book->gazetteer());
    made->agreeing = of.examples.size() - made->differing.size();
    *out = made.release();
  });
}

void tw_examples_free(tw_examples* examples) {
  if (examples == nullptr || examples->tag != tw_examples::kTag) return;
  examples->tag = Tag{};
  delete examples;
}

size_t tw_examples_agreeing(const tw_examples* examples) {
  return examples == nullptr || examples->tag != tw_examples::kTag ? 0 : examples->agreeing;
}
size_t tw_examples_differing(const tw_examples* examples) {
  return examples == nullptr || examples->tag != tw_examples::kTag ? 0 : examples->differing.size();
}

tw_status tw_examples_get(tw_example* out, const tw_examples* examples, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckIndex(index, Checked(examples).differing.size(), "index");
    const tarewise::DifferingExample& from = examples->differing[index];
    tw_example example{};
    example.line_count = static_cast<std::uint32_t>(from.lines.size());
    example.number = from.number;
    example.service = from.example->service.c_str();
    example.text = from.text.c_str();
    example.pointer = from.example->pointer.c_str();
    WriteStruct(out, example);
  });
}

tw_status tw_examples_line(const char** out, const tw_examples* examples, size_t index, size_t line, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    CheckIndex(index, Checked(examples).differing.size(), "index");
    CheckIndex(line, examples->differing[index].lines.size(), "line");
    *out = examples->differing[index].lines[line].c_str();
  });
}
