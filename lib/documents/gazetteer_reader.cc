#include "gazetteer_reader.h"

#include <charconv>
#include <optional>
#include <string_view>
#include <unordered_map>
#include <utility>

#include "fields.h"
#include "packaging_reader.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/zone/area.h"
#include "tarewise/zone/internal/british_code.h"
#include "tarewise/zone/place.h"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

constexpr std::size_t kMostPoints = 1'000'000;

std::optional<double> ReadDegrees(const Csv::Cell& cell, double most, Findings& findings, std::string_view what) {
  double degrees = 0;
  const char* end = cell.text.data() + cell.text.size();
  const auto [stop, error] = std::from_chars(cell.text.data(), end, degrees, std::chars_format::fixed);
  // The comparison is false for a number that is none.
  if (error == std::errc() && stop == end && degrees >= -most && degrees <= most) return degrees;
  findings.Error(kBadCoordinate, cell.offset, Value(),
                 "found " + Quoted(cell.text) + ", expected " + std::string(what));
  return std::nullopt;
}

}  // namespace

std::vector<GazetteerPoint> ReadGazetteerCsv(const Csv& csv, Findings& findings) {
  std::vector<GazetteerPoint> points;
  const std::optional<std::vector<std::size_t>> columns =
      ReadHeader(csv, findings, {"country", "prefix", "latitude", "longitude", "name"},
                 {"country", "prefix", "latitude", "longitude"});
  if (!columns) return points;
  std::unordered_map<std::string, std::size_t> first;
  points.reserve(csv.rows());
  for (std::size_t row = 1; row < csv.rows(); ++row) {
    if (findings.full()) break;
    if (row > kMostPoints) {
      findings.Error(kTooMany, csv.cell(row, 0).offset, Value(),
                     "found more than 1000000 points, expected at most 1000000");
      break;
    }
    if (csv.width(row) != csv.width(0)) {
      findings.Error(kWrongRowLength, csv.cell(row, 0).offset, Value(),
                     "found a row of " + std::to_string(csv.width(row)) + " cells, expected " +
                         std::to_string(csv.width(0)) + " as in the header");
      continue;
    }
    const Csv::Cell& country = csv.cell(row, (*columns)[0]);
    const Csv::Cell& prefix = csv.cell(row, (*columns)[1]);
    bool good = true;
    const auto bad = [&findings, &good](const Csv::Cell& cell, const absl::Status& status) {
      findings.Error(kBadPlace, cell.offset, Value(), "found " + Quoted(cell.text) + ExpectedOf(cell.text, status));
      good = false;
    };
    const absl::Status known = Place::CheckCountry(country.text);
    if (!known.ok()) bad(country, known);
    absl::StatusOr<std::string> code = Place::NormalCode(prefix.text);
    if (!code.ok()) {
      bad(prefix, code.status());
    } else if (const absl::Status status = Place::CheckBeginning(country.text, *code, prefix.text); !status.ok()) {
      bad(prefix, status);
    } else if (internal::HasBritishCodes(country.text)) {
      // A sector keeps its space.
      const absl::StatusOr<Place> place = Place::MakeArea(country.text, prefix.text);
      const bool area =
          place.ok() && (code->empty() || Area::Parse(place->country() + ":" + place->postal_code()).ok());
      if (area) {
        *code = place->postal_code();
      } else {
        bad(prefix, internal::FoundExpected(prefix.text,
                                            "letters, a district, a sector or a whole code, such as \"IV\", "
                                            "\"PA2\", \"PA2 0\" or \"PA2 0AA\""));
      }
    }
    const std::optional<double> latitude =
        ReadDegrees(csv.cell(row, (*columns)[2]), 90, findings, "a latitude in degrees from -90 to 90");
    const std::optional<double> longitude =
        ReadDegrees(csv.cell(row, (*columns)[3]), 180, findings, "a longitude in degrees from -180 to 180");
    if (!good || !latitude || !longitude) continue;
    const auto [at, fresh] = first.emplace(std::string(country.text) + ":" + *code, prefix.offset);
    if (!fresh) {
      findings.Error(kPointTwice, prefix.offset, Value(),
                     "found the prefix " + Quoted(prefix.text) + " twice, expected it once (the first is on line " +
                         std::to_string(findings.At(at->second).line) + ")");
      continue;
    }
    points.push_back({std::string(country.text), *std::move(code), {*latitude, *longitude}, prefix.offset});
  }
  return points;
}

}  // namespace tarewise::inline TW_VERSIONED::load
