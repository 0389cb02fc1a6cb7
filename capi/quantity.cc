#include <algorithm>
#include <cstdint>
#include <cstring>
#include <string>
#include <string_view>
#include <vector>

#include "guard.h"
#include "tarewise/parcel/contents.h"
#include "tarewise/parcel/dimensions.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/units/date.h"
#include "tarewise/units/money.h"
#include "tarewise/units/weight.h"
#include "tarewise/zone/place.h"

namespace tarewise::capi {
namespace {

void Write(char* buffer, std::size_t capacity, std::size_t* size_out, const std::string& text) {
  const std::size_t size = text.size() + 1;
  if (size_out != nullptr) *size_out = size;
  if (buffer == nullptr && capacity != 0) Fail(TW_E_NULL, "found NULL, expected a buffer", "/buffer");
  if (capacity < size) {
    Fail(TW_E_BUFFER, "found " + std::to_string(capacity) + ", expected " + std::to_string(size) + " or more",
         "/capacity");
  }
  std::memcpy(buffer, text.c_str(), size);
}

template <typename Quantity>
std::string_view UnitOf(const char* unit) {
  const std::string_view name = TextOf(unit, "/unit", true);
  if (!Quantity::IsUnit(name)) {
    std::string expected;
    for (const std::string_view known : Quantity::UnitNames()) {
      expected += (expected.empty() ? "" : ", ") + std::string(known);
    }
    Fail(TW_E_INPUT, "found \"" + std::string(name) + "\", expected one of " + expected, "/unit");
  }
  return name;
}

// The place of a word among names.
template <std::size_t N>
std::int32_t NamedIn(const std::string_view (&names)[N], const char* text) {
  const std::string_view word = TextOf(text, "/text", true);
  std::string known;
  for (std::size_t i = 0; i < N; ++i) {
    if (names[i] == word) return static_cast<std::int32_t>(i);
    known += (i == 0 ? "" : ", ") + std::string(names[i]);
  }
  Fail(TW_E_INPUT, "found \"" + std::string(word) + "\", expected one of " + known, "/text");
}

}  // namespace
}  // namespace tarewise::capi

using namespace tarewise::capi;  // NOLINT(google-build-using-namespace): definitions of the C interface only.

uint32_t tw_version(void) { return TW_VERSION; }
#define TW_TEXT_(x) #x
#define TW_TEXT(x) TW_TEXT_(x)
const char* tw_version_text(void) {
  return TW_TEXT(TW_VERSION_MAJOR) "." TW_TEXT(TW_VERSION_MINOR) "." TW_TEXT(TW_VERSION_PATCH);
}
uint32_t tw_abi_version(void) { return TW_ABI_VERSION; }

tw_status tw_parse_weight(int64_t* ng_out, const char* text, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(ng_out, "ng_out");
    *ng_out = Take(tarewise::Weight::Parse(TextOf(text, "/text", true))).nanograms();
  });
}

tw_status tw_parse_length(int64_t* nm_out, const char* text, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(nm_out, "nm_out");
    *nm_out = Take(tarewise::Length::Parse(TextOf(text, "/text", true))).nanometres();
  });
}

tw_status tw_parse_sides(int64_t sides_nm_out[3], const char* text, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(sides_nm_out, "sides_nm_out");
    const std::vector<tarewise::Length> sides = Take(tarewise::ParseSides(TextOf(text, "/text", true), 3));
    for (std::size_t i = 0; i < 3; ++i) sides_nm_out[i] = sides[i].nanometres();
  });
}

tw_status tw_parse_money(int64_t* micros_out, const char* text, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(micros_out, "micros_out");
    *micros_out = Take(tarewise::Amount::Parse(TextOf(text, "/text", true))).micros();
  });
}

tw_status tw_parse_date(int32_t* days_out, const char* text, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(days_out, "days_out");
    *days_out = Take(tarewise::Date::Parse(TextOf(text, "/text", true))).days();
  });
}

tw_status tw_parse_place(tw_place* out, const char* text, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    const tarewise::Place place = Take(tarewise::Place::Parse(TextOf(text, "/text", true)), "/text");
    tw_place told{};
    static_assert(sizeof told.country > 2 && sizeof told.postal_code > 16);
    std::memcpy(told.country, place.country().c_str(), std::min(place.country().size(), sizeof told.country - 1));
    std::memcpy(told.postal_code, place.postal_code().c_str(),
                std::min(place.postal_code().size(), sizeof told.postal_code - 1));
    WriteStruct(out, told);
  });
}

tw_status tw_parse_contents(uint32_t* contents_out, const char* text, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(contents_out, "contents_out");
    std::string_view words = TextOf(text, "/text", true);
    tarewise::Contents contents;
    while (!words.empty()) {
      const std::size_t end = words.find_first_of(" ,");
      const std::string_view word = words.substr(0, end);
      words = end == std::string_view::npos ? "" : words.substr(end + 1);
      if (word.empty()) continue;
      if (word.substr(0, 2) == "x-") {
        Fail(TW_E_INPUT,
             "found \"" + std::string(word) +
                 "\", expected a trait that the library knows (one of one's own goes into own_traits)",
             "/text");
      }
      FailUnlessOk(contents.Add(word), "/text");
    }
    *contents_out = contents.bits();
  });
}

tw_status tw_parse_shape(int32_t* shape_out, const char* text, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(shape_out, "shape_out");
    *shape_out = NamedIn(tarewise::kShapeNames, text);
  });
}

tw_status tw_parse_packaging_kind(int32_t* kind_out, const char* text, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(kind_out, "kind_out");
    *kind_out = NamedIn(tarewise::kPackagingKindNames, text);
  });
}

tw_status tw_format_weight(char* buffer, size_t capacity, size_t* size_out, int64_t ng, const char* unit,
                           tw_error* error) {
  return Guard(error, [&] {
    const std::string_view name = UnitOf<tarewise::Weight>(unit);
    Write(buffer, capacity, size_out, tarewise::Weight::Nanograms(ng).In(name));
  });
}

tw_status tw_format_length(char* buffer, size_t capacity, size_t* size_out, int64_t nm, const char* unit,
                           tw_error* error) {
  return Guard(error, [&] {
    const std::string_view name = UnitOf<tarewise::Length>(unit);
    Write(buffer, capacity, size_out, tarewise::Length::Nanometres(nm).In(name));
  });
}

tw_status tw_format_money(char* buffer, size_t capacity, size_t* size_out, int64_t micros, const char* currency,
                          tw_error* error) {
  return Guard(error, [&] {
    const tarewise::Currency known = Take(tarewise::Currency::Parse(TextOf(currency, "/currency", true)), "/currency");
    Write(buffer, capacity, size_out, tarewise::Amount::Micros(micros).ToString(known.decimals()));
  });
}

tw_status tw_format_date(char* buffer, size_t capacity, size_t* size_out, int32_t days, tw_error* error) {
  return Guard(error, [&] {
    if (days < tarewise::Date::kFirst.days() || days > tarewise::Date::kLast.days()) {
      Fail(TW_E_INPUT, "found " + std::to_string(days) + ", expected a day of years 1 to 9999", "/days");
    }
    Write(buffer, capacity, size_out, tarewise::Date::Days(days).ToString());
  });
}
