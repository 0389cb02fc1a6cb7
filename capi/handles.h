#ifndef TAREWISE_CAPI_HANDLES_H_
#define TAREWISE_CAPI_HANDLES_H_

#include <atomic>
#include <cstdint>
#include <deque>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "guard.h"
#include "tarewise/documents/load.h"
#include "tarewise/packing/arrange.h"
#include "tarewise/parcel/packaging.h"
#include "tarewise/pricing/ratebook.h"
#include "tarewise/pricing/ratebook_slot.h"
#include "tarewise/ranking/dispatch.h"
#include "tarewise/ranking/ranking.h"

// Handles with owners: made with one, deleted with the last.
namespace tarewise::capi {

template <typename H>
H* Retain(H* handle) noexcept {
  if (handle != nullptr && handle->tag == H::kTag) handle->owners.fetch_add(1, std::memory_order_relaxed);
  return handle;
}
template <typename H>
void Release(H* handle) noexcept {
  if (handle == nullptr || handle->tag != H::kTag) return;
  if (handle->owners.fetch_sub(1, std::memory_order_acq_rel) != 1) return;
  handle->tag = Tag{};
  delete handle;
}

// A document in memory, as it is given; `where` names it in messages.
SourceText ReadSource(const tw_source& source, const std::string& where);

}  // namespace tarewise::capi

struct tw_shelf {
  static constexpr tarewise::capi::Tag kTag = tarewise::capi::Tag::kShelf;
  tarewise::capi::Tag tag = kTag;
  mutable std::atomic<std::uint32_t> owners{1};
  std::shared_ptr<const tarewise::Shelf> shelf;
  std::string currency;  // Of its costs; may be empty.
};

struct tw_ratebook {
  static constexpr tarewise::capi::Tag kTag = tarewise::capi::Tag::kRatebook;
  ~tw_ratebook() { tarewise::capi::Release(shelf); }
  tarewise::capi::Tag tag = kTag;
  mutable std::atomic<std::uint32_t> owners{1};
  std::shared_ptr<const tarewise::Ratebook> book;
  tw_shelf* shelf = nullptr;            // Owned; may be null.
  std::vector<std::string> currencies;  // By tariff.
};

struct tw_ratebook_slot {
  static constexpr tarewise::capi::Tag kTag = tarewise::capi::Tag::kSlot;
  explicit tw_ratebook_slot(std::shared_ptr<tw_ratebook> first) : slot(std::move(first)) {}
  tarewise::capi::Tag tag = kTag;
  tarewise::SharedSlot<tw_ratebook> slot;
};

struct tw_dispatch {
  static constexpr tarewise::capi::Tag kTag = tarewise::capi::Tag::kDispatch;
  // A packaging of the shelf as offers name it by index.
  struct Packaging {
    const tarewise::Packaging* packaging = nullptr;  // Nothing: not in force.
    std::string code;                                // Of one that is not in force.
    std::string issued_by;
    std::int64_t on_hand = -1;
  };
  tarewise::capi::Tag tag = kTag;
  mutable std::atomic<std::uint32_t> owners{1};
  std::shared_ptr<const tarewise::Dispatch> dispatch;
  std::shared_ptr<const tarewise::Shelf> shelf;
  std::vector<Packaging> packaging;
  std::string currency;
  std::vector<std::string> tariff_currencies;  // By carrier.
};

namespace tarewise::capi {

// A shelf as a handle with one owner.
tw_shelf* MakeShelfHandle(Shelf shelf);
// What is told of a packaging beside its code, its carrier and how many are on hand.
void DescribePackaging(const Packaging& described, tw_packaging& out);
Date DateOf(std::int32_t days, const char* field);
// The facts of a shipment in a C structure but for its places; of a dispatch and of a repricer.
// What is said of a promise that is not made is a warning in `error`.
Shipment TermsOf(const tw_shipment& shipment, const Shelf* shelf, tw_error* error);
// As FailUnlessOk, of what TermsOf gave: a place of the library's is a field of the structure.
void FailUnlessShippable(const absl::Status& status);
// `area`: the beginning of a code does as well.
Place PlaceOf(const char* country, const char* postal_code, std::int32_t residential, const char* field,
              bool area = false);
// A dispatch as a handle with one owner.
tw_dispatch* MakeDispatch(std::shared_ptr<const Dispatch> dispatch, std::shared_ptr<const Shelf> shelf);
tw_service ServiceOf(const Dispatch& dispatch, std::size_t index);
// Where it ends and when it arrives, into an offer or a service.
template <typename C>
void WriteArrival(Delivery delivers, const std::optional<Arrival>& arrives, C& out) {
  out.delivers = 1u << static_cast<unsigned>(delivers);
  out.has_arrival = arrives ? 1 : 0;
  out.arrives_earliest = arrives ? arrives->earliest.days() : 0;
  out.arrives_latest = arrives ? arrives->latest.days() : 0;
}
// What a request asks, into `out`, which is used again and again.
void FillRequest(const tw_request& from, Request& out);
// The same of what may go in several parcels, or is packed in several.
void FillPlanned(const tw_request& from, const tw_parting& parting, Request& out);
// Warns of weights and sides that no goods have: numbers without their unit, most likely.
void WarnOfUnits(const Request& asked, tw_error* error);
// Where one of the goods of a request lies.
tw_arranged_unit ArrangedUnitOf(const Request& request, const Placement& placement);
// Goods, into `out`.
void FillGoods(const tw_item* items, std::size_t count, std::vector<Item>& out);
// The same without goods: padding, fill weight and allowance.
void FillSettings(const tw_request& from, Request& out);

}  // namespace tarewise::capi

#endif  // TAREWISE_CAPI_HANDLES_H_
