// The one boundary between C and C++: every function of the interface runs its body in `Guard`, so nothing is thrown at
// a C program, and every error becomes a status and, where the caller gave one, an error object.
#ifndef TAREWISE_CAPI_GUARD_H_
#define TAREWISE_CAPI_GUARD_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <exception>
#include <new>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "tarewise/documents/diagnostic.h"
#include "tarewise_c.h"

namespace tarewise::capi {

// The first member of every handle, so that a handle of another kind is told apart. Not a proof: memory that was given
// back may hold anything.
enum class Tag : std::uint32_t {
  kError = 0x54574531,
  kRatebook,
  kSlot,
  kShelf,
  kDispatch,
  kRanking,
  kRepricer,
  kGrid,
  kArrangement,
  kPlans,
  kZone,
  kExamples,
  kEconomics,
  kComparison,
  kCatalogue,
  kIndex,
};

// What a body throws to leave with a status. Inside the library only.
struct Failure {
  tw_status status;
  std::string message;
  std::string pointer;
};

[[noreturn]] void Fail(tw_status status, std::string message, std::string pointer = "");

// Leaves with TW_E_INPUT where `status` is an error; `pointer` names the field that it is about, "": as the error says.
void FailUnlessOk(const absl::Status& status, const std::string& pointer = "");
template <typename StatusOr>
auto Take(StatusOr value, const std::string& pointer = "") {
  FailUnlessOk(value.status(), pointer);
  return *std::move(value);
}
// Leaves with `status` and the findings where they hold an error; else they stay with the error object as warnings.
struct Findings {
  tw_status status;
  std::vector<Diagnostic> list;
};

template <typename H>
void CheckHandle(const H* handle, const char* name) {
  if (handle == nullptr) Fail(TW_E_NULL, std::string("found NULL, expected a ") + name);
  if (handle->tag != H::kTag) Fail(TW_E_HANDLE, std::string("found another handle, expected a ") + name);
}
// Fields that are kept for later must be 0, so that they can mean something then.
inline void CheckReserved(std::int64_t value, const std::string& field) {
  if (value != 0) Fail(TW_E_INPUT, "found " + std::to_string(value) + ", expected 0", field);
}
inline void CheckPointer(const void* pointer, const char* name) {
  if (pointer == nullptr) Fail(TW_E_NULL, "found NULL, expected a pointer", "/" + std::string(name));
}

// Valid UTF-8 on one line, with every bad byte replaced by U+FFFD and what cannot be seen as "\\u200b".
std::string CleanText(std::string_view text);
bool IsUtf8(std::string_view text);

// The most bytes of one text in a structure.
inline constexpr std::size_t kMostText = 4096;
// The most bytes of one document.
inline constexpr std::size_t kMostDocument = std::size_t{16} << 20;

// NUL-terminated UTF-8 of at most `kMostText` bytes; NULL stands for "" unless `needed`.
std::string_view TextOf(const char* text, const char* field, bool needed = false);

}  // namespace tarewise::capi

struct tw_error {
  static constexpr tarewise::capi::Tag kTag = tarewise::capi::Tag::kError;
  tarewise::capi::Tag tag = kTag;
  tw_status status = TW_OK;
  bool no_memory = false;  // The findings themselves could not be kept.
  std::vector<tarewise::Diagnostic> findings;
  std::string message;
};

namespace tarewise::capi {

// NULL, or memory that is no error, is left alone.
inline tw_error* Usable(tw_error* error) { return error != nullptr && error->tag == tw_error::kTag ? error : nullptr; }

void Record(tw_error* error, tw_status status, std::string_view message, std::string_view pointer) noexcept;
void Record(tw_error* error, tw_status status, const std::vector<Diagnostic>& findings) noexcept;
tw_status RecordCurrentException(tw_error* error) noexcept;
// What a load that went well has to say. Throws where there is no memory for it: a warning is never lost.
void KeepWarnings(tw_error* error, const std::vector<Diagnostic>& warnings);
// One more warning of a call that goes well: what can be meant, but looks like a mistake. Throws likewise.
void Warn(tw_error* error, std::string_view message, std::string_view pointer);

template <typename F>
tw_status Guard(tw_error* error, F&& body) noexcept {
  error = Usable(error);
  if (error != nullptr && (error->status != TW_OK || !error->findings.empty())) Record(error, TW_OK, {});
  try {
    body();
    return TW_OK;
  } catch (...) {
    return RecordCurrentException(error);
  }
}

// ---- structures that grow ----

// The sizes that earlier versions had, of structures that have grown since. A structure from a newer caller may be
// larger than this version's.
template <typename T>
inline constexpr std::array<std::size_t, 0> kEarlierSizes{};
template <>
inline constexpr std::array<std::size_t, 1> kEarlierSizes<tw_shipment> = {offsetof(tw_shipment, by_date)};
template <>
inline constexpr std::array<std::size_t, 1> kEarlierSizes<tw_service> = {offsetof(tw_service, delivers)};
template <>
inline constexpr std::array<std::size_t, 2> kEarlierSizes<tw_packaging> = {offsetof(tw_packaging, least_height_nm),
                                                                           offsetof(tw_packaging, wall_nm)};
template <>
inline constexpr std::array<std::size_t, 1> kEarlierSizes<tw_item> = {offsetof(tw_item, may_stand)};
template <>
inline constexpr std::array<std::size_t, 3> kEarlierSizes<tw_offer> = {
    offsetof(tw_offer, cautions), offsetof(tw_offer, delivers), offsetof(tw_offer, cut_to_nm)};
template <>
inline constexpr std::array<std::size_t, 1> kEarlierSizes<tw_charge> = {offsetof(tw_charge, billed_as)};
template <>
inline constexpr std::array<std::size_t, 1> kEarlierSizes<tw_caution> = {offsetof(tw_caution, code)};
template <>
inline constexpr std::array<std::size_t, 2> kEarlierSizes<tw_results> = {offsetof(tw_results, cautions),
                                                                         offsetof(tw_results, parcels)};
template <>
inline constexpr std::array<std::size_t, 1> kEarlierSizes<tw_request> = {offsetof(tw_request, most_parcels)};
template <>
inline constexpr std::array<std::size_t, 1> kEarlierSizes<tw_goods> = {offsetof(tw_goods, order)};

template <typename T>
bool GoodSize(std::uint32_t size) {
  return (size >= sizeof(T) && size <= 4096 && size % 4 == 0) ||
         std::find(kEarlierSizes<T>.begin(), kEarlierSizes<T>.end(), size) != kEarlierSizes<T>.end();
}

template <typename T>
void CheckSize(std::uint32_t size, const char* name) {
  if (!GoodSize<T>(size)) {
    Fail(TW_E_STRUCT_SIZE,
         "found " + std::to_string(size) + ", expected " + std::to_string(sizeof(T)) +
             " (begin with the structure's TW_..._INIT)",
         "/" + std::string(name) + "/struct_size");
  }
}

// A caller's structure as this version knows it: fields that the caller does not know are 0.
template <typename T>
T ReadStruct(const T* from, const char* name) {
  CheckPointer(from, name);
  CheckSize<T>(from->struct_size, name);
  T out{};
  std::memcpy(&out, from, std::min<std::size_t>(from->struct_size, sizeof(T)));
  return out;
}

// The i-th of an array whose elements are as large as the caller's structure.
template <typename T>
T ReadElement(const T* first, std::size_t i, const char* name) {
  const std::uint32_t size = first->struct_size;
  const T* at = reinterpret_cast<const T*>(reinterpret_cast<const char*>(first) + i * size);
  if (at->struct_size != size) {
    Fail(TW_E_STRUCT_SIZE,
         "found " + std::to_string(at->struct_size) + ", expected " + std::to_string(size) + " as the first has",
         "/" + std::string(name) + "/" + std::to_string(i) + "/struct_size");
  }
  return ReadStruct(at, name);
}

// Writes no more of `value` than the caller has room for.
template <typename T>
void WriteStruct(T* to, T value) {
  const std::uint32_t size = to->struct_size;
  std::memcpy(to, &value, std::min<std::size_t>(size, sizeof(T)));
  to->struct_size = size;
}
template <typename T>
void CheckOut(const T* to, const char* name) {
  CheckPointer(to, name);
  CheckSize<T>(to->struct_size, name);
}

inline void CheckIndex(std::size_t index, std::size_t count, const char* name) {
  if (index >= count) {
    Fail(TW_E_INDEX, "found index " + std::to_string(index) + ", expected one below " + std::to_string(count),
         "/" + std::string(name));
  }
}

template <typename T>
tw_status InitStruct(T* out, std::uint32_t size, const T& initial) noexcept {
  if (out == nullptr) return TW_E_NULL;
  if (!GoodSize<T>(size)) return TW_E_STRUCT_SIZE;
  std::memset(out, 0, size);
  std::memcpy(out, &initial, std::min<std::size_t>(size, sizeof(T)));
  out->struct_size = size;
  return TW_OK;
}

}  // namespace tarewise::capi

#endif  // TAREWISE_CAPI_GUARD_H_
