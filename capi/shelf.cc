// Shelves made from structures. They go by way of the document, so that one set of rules says what a packaging is.
#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "handles.h"
#include "tarewise/documents/load.h"

namespace tarewise::capi {
namespace {

constexpr std::size_t kMostPackagings = 20'000;
constexpr std::int64_t kMostOnHand = 1'000'000'000;

std::string JsonText(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') {
      out += '\\';
      out += c;
    } else if (static_cast<unsigned char>(c) < 0x20) {
      constexpr std::string_view kDigits = "0123456789abcdef";
      out += "\\u00";
      out += kDigits[static_cast<unsigned char>(c) >> 4];
      out += kDigits[static_cast<unsigned char>(c) & 15];
    } else {
      out += c;
    }
  }
  return out += '"';
}

std::string Sides(const std::int64_t (&sides)[3], std::size_t count) {
  std::string out;
  for (std::size_t i = 0; i < count; ++i) {
    out += (i == 0 ? "" : " x ") + Length::Nanometres(sides[i]).In("mm");
  }
  return out;
}

void CheckNotNegative(std::int64_t value, const std::string& field) {
  if (value < 0) Fail(TW_E_INPUT, "found " + std::to_string(value) + ", expected 0 or more", field);
}

void CheckOnHand(std::int64_t on_hand, const std::string& field) {
  if (on_hand < -1 || on_hand > kMostOnHand) {
    Fail(TW_E_INPUT,
         "found " + std::to_string(on_hand) + ", expected -1 (plenty) or a whole number from 0 to 1000000000", field);
  }
}

std::string OnHandMember(std::int64_t on_hand) {
  return on_hand < 0 ? std::string() : ", \"on_hand\": " + std::to_string(on_hand);
}

std::string OwnMember(const tw_packaging& from, const std::string& field) {
  if (from.kind < TW_PACKAGING_CARTON || from.kind > TW_PACKAGING_BARE) {
    Fail(TW_E_INPUT, "found " + std::to_string(from.kind) + ", expected a TW_PACKAGING_", field + "/kind");
  }
  const auto kind = static_cast<PackagingKind>(from.kind);
  bool outside = false;
  for (std::size_t i = 0; i < 3; ++i) {
    CheckNotNegative(from.inside_nm[i], field + "/inside_nm");
    CheckNotNegative(from.outside_nm[i], field + "/outside_nm");
    outside = outside || from.outside_nm[i] != 0;
  }
  CheckNotNegative(from.wall_nm, field + "/wall_nm");
  CheckNotNegative(from.tare_ng, field + "/tare_ng");
  CheckNotNegative(from.cost_micros, field + "/cost_micros");
  CheckNotNegative(from.least_height_nm, field + "/least_height_nm");
  std::string out = "{\"code\": " + JsonText(TextOf(from.code, (field + "/code").c_str(), true)) +
                    ", \"title\": " + JsonText(TextOf(from.title, (field + "/title").c_str(), true)) +
                    ", \"kind\": " + JsonText(NameOf(kind));
  if (kind != PackagingKind::kBare) {
    const std::size_t count = kind == PackagingKind::kCarton || kind == PackagingKind::kEnvelope ? 3 : 2;
    out += ", \"inside\": " + JsonText(Sides(from.inside_nm, count));
    // What a document tells by its wall is told by its wall: its outside is worked out again, and is the same.
    if (outside && from.wall_nm == 0 && kind != PackagingKind::kMailer) {
      out += ", \"outside\": " + JsonText(Sides(from.outside_nm, kind == PackagingKind::kCarton ? 3 : 2));
    } else if (from.wall_nm != 0 || kind == PackagingKind::kCarton || kind == PackagingKind::kTube) {
      out += ", \"wall\": " + JsonText(Length::Nanometres(from.wall_nm).In("mm"));
    }
  }
  out += ", \"tare\": " + JsonText(Weight::Nanograms(from.tare_ng).In("mg"));
  out += ", \"cost\": " + JsonText(Amount::Micros(from.cost_micros).ToString(0));
  if (from.least_height_nm != 0) {
    out += ", \"cut_down\": true, \"least_height\": " + JsonText(Length::Nanometres(from.least_height_nm).In("mm"));
  }
  return out + OnHandMember(from.on_hand) + "}";
}

// By the wall the outside is known: where both are given, they must agree.
void CheckOutside(const tw_packaging& given, const Packaging& read, const std::string& field) {
  if (given.wall_nm == 0) return;
  for (std::size_t i = 0; i < 3; ++i) {
    const std::int64_t outside = given.outside_nm[i];
    if (outside == 0 || outside == read.outside[i].nanometres()) continue;
    Fail(TW_E_INPUT,
         "found " + Length::Nanometres(outside).In("mm") + " beside a wall, expected " + read.outside[i].In("mm") +
             ", or zeros",
         field + "/outside_nm");
  }
}

std::string Join(const std::vector<std::string>& members) {
  std::string out = "[";
  for (std::size_t i = 0; i < members.size(); ++i) out += (i == 0 ? "" : ", ") + members[i];
  return out + "]";
}

const Shelf& ShelfOf(const tw_shelf* shelf) {
  CheckHandle(shelf, "tw_shelf");
  return *shelf->shelf;
}

}  // namespace

tw_shelf* MakeShelfHandle(Shelf shelf) {
  auto out = std::make_unique<tw_shelf>();
  if (shelf.currency) out->currency = std::string(shelf.currency->code());
  out->shelf = std::make_shared<const Shelf>(std::move(shelf));
  return out.release();
}

}  // namespace tarewise::capi

using namespace tarewise::capi;  // NOLINT(google-build-using-namespace): definitions of the C interface only.

tw_status tw_shelf_create(tw_shelf** out, const tw_packaging* packagings, size_t count, const char* currency,
                          tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    if (count > kMostPackagings) {
      Fail(TW_E_COUNT, "found " + std::to_string(count) + ", expected at most 20000", "/count");
    }
    const std::string_view of_costs = TextOf(currency, "/currency");
    if (count != 0) {
      CheckPointer(packagings, "packagings");
      CheckSize<tw_packaging>(packagings->struct_size, "packagings/0");
    }
    std::vector<std::string> own;
    std::vector<std::string> issued;
    std::vector<std::size_t> places;
    for (std::size_t i = 0; i < count; ++i) {
      const tw_packaging from = ReadElement(packagings, i, "packagings");
      const std::string field = "/packagings/" + std::to_string(i);
      CheckOnHand(from.on_hand, field + "/on_hand");
      CheckReserved(from.reserved, field + "/reserved");
      const std::string_view carrier = TextOf(from.issued_by, (field + "/issued_by").c_str());
      if (carrier.empty()) {
        own.push_back(OwnMember(from, field));
        places.push_back(i);
      } else {
        issued.push_back("{\"carrier\": " + JsonText(carrier) +
                         ", \"code\": " + JsonText(TextOf(from.code, (field + "/code").c_str(), true)) +
                         OnHandMember(from.on_hand) + "}");
      }
    }
    const std::string text = "{\"format\": \"tarewise-shelf-1\"" +
                             (of_costs.empty() ? std::string() : ", \"currency\": " + JsonText(of_costs)) +
                             ", \"packaging\": " + Join(own) + ", \"issued\": " + Join(issued) + "}";
    tarewise::Loaded<tarewise::Shelf> loaded = tarewise::ReadShelf({"shelf.json", text});
    if (!loaded.ok()) {
      // The text is nobody's: a finding has its pointer, and no place in a file.
      for (tarewise::Diagnostic& finding : loaded.diagnostics) {
        finding.file.clear();
        finding.line = finding.column = 0;
      }
      throw Findings{TW_E_INPUT, std::move(loaded.diagnostics)};
    }
    for (std::size_t i = 0; i < places.size(); ++i) {
      CheckOutside(ReadElement(packagings, places[i], "packagings"), loaded.value->own[i].packaging,
                   "/packagings/" + std::to_string(places[i]));
    }
    *out = MakeShelfHandle(*std::move(loaded.value));
  });
}

size_t tw_shelf_packaging_count(const tw_shelf* shelf) {
  if (shelf == nullptr || shelf->tag != tw_shelf::kTag) return 0;
  return shelf->shelf->own.size() + shelf->shelf->issued.size();
}

const char* tw_shelf_currency(const tw_shelf* shelf) {
  return shelf == nullptr || shelf->tag != tw_shelf::kTag ? "" : shelf->currency.c_str();
}

tw_status tw_shelf_packaging(tw_packaging* out, const tw_shelf* shelf, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    const tarewise::Shelf& of = ShelfOf(shelf);
    CheckIndex(index, of.own.size() + of.issued.size(), "index");
    tw_packaging packaging{};
    packaging.title = packaging.issued_by = "";
    if (index < of.own.size()) {
      DescribePackaging(of.own[index].packaging, packaging);
      packaging.code = of.own[index].packaging.code.c_str();
      packaging.on_hand = of.own[index].on_hand.value_or(-1);
    } else {
      const tarewise::Shelf::Issued& issued = of.issued[index - of.own.size()];
      packaging.code = issued.code.c_str();
      packaging.issued_by = issued.carrier.c_str();
      packaging.on_hand = issued.on_hand.value_or(-1);
    }
    WriteStruct(out, packaging);
  });
}

tw_status tw_shelf_with_on_hand(tw_shelf** out, const tw_shelf* shelf, const char* issued_by, const char* code,
                                int64_t on_hand, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    tarewise::Shelf changed = ShelfOf(shelf);
    const std::string_view carrier = TextOf(issued_by, "/issued_by");
    const std::string_view wanted = TextOf(code, "/code", true);
    CheckOnHand(on_hand, "/on_hand");
    const std::optional<std::int64_t> left = on_hand < 0 ? std::nullopt : std::optional<std::int64_t>(on_hand);
    std::size_t found = 0;
    std::string known;
    auto look = [&](std::string_view of, std::string_view named, std::optional<std::int64_t>& there) {
      if (of != carrier) return;
      known += (known.empty() ? "" : ", ") + std::string(named);
      if (named != wanted) return;
      there = left;
      ++found;
    };
    for (tarewise::Shelf::Own& one : changed.own) look("", one.packaging.code, one.on_hand);
    for (tarewise::Shelf::Issued& one : changed.issued) look(one.carrier, one.code, one.on_hand);
    if (found == 0) {
      Fail(TW_E_INPUT,
           "found \"" + std::string(wanted) + "\", expected " +
               (known.empty() ? "a packaging, but the shelf has none " +
                                    std::string(carrier.empty() ? "of the seller's" : "of this carrier")
                              : "one of " + known),
           "/code");
    }
    *out = MakeShelfHandle(std::move(changed));
  });
}
