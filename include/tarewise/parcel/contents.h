#ifndef TAREWISE_PARCEL_CONTENTS_H_
#define TAREWISE_PARCEL_CONTENTS_H_

#include <algorithm>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <string>
#include <string_view>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/internal/switch.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// The fixed vocabulary of contents traits.
enum class Trait : std::uint8_t {
  kMedia,
  kDocuments,
  kFragile,
  kLiquid,
  kPerishable,
  kLithiumInEquipment,
  kLithiumAlone,
  kFlammableLiquid,
  kAerosol,
  kSharp,
  kMagnetic,
  kLive,
};

inline constexpr std::string_view kTraitNames[] = {
    "media",         "documents",        "fragile", "liquid", "perishable", "lithium_in_equipment",
    "lithium_alone", "flammable_liquid", "aerosol", "sharp",  "magnetic",   "live"};

/// The contents traits of goods: a set of the fixed vocabulary and of words of one's own, which begin with "x-". A
/// value type.
class Contents {
 public:
  Contents() = default;

  /// Adds one word. Errors: InvalidArgument for a word that is neither in the vocabulary nor "x-" and a name: never a
  /// silent miss.
  absl::Status Add(std::string_view word);

  void Add(Trait trait) { bits_ |= 1u << static_cast<unsigned>(trait); }
  bool Has(Trait trait) const { return ((bits_ >> static_cast<unsigned>(trait)) & 1u) != 0; }
  std::size_t size() const { return static_cast<std::size_t>(std::popcount(bits_)) + own_.size(); }
  bool empty() const { return bits_ == 0 && own_.empty(); }
  std::uint32_t bits() const { return bits_; }
  const std::vector<std::string>& own() const { return own_; }

  bool HasAll(const Contents& other) const {
    return (bits_ & other.bits_) == other.bits_ &&
           (other.own_.empty() || std::includes(own_.begin(), own_.end(), other.own_.begin(), other.own_.end()));
  }
  bool HasAny(const Contents& other) const {
    if ((bits_ & other.bits_) != 0) return true;
    return std::any_of(other.own_.begin(), other.own_.end(),
                       [this](const std::string& word) { return std::binary_search(own_.begin(), own_.end(), word); });
  }
  void AddAll(const Contents& other) {
    bits_ |= other.bits_;
    for (const std::string& word : other.own_) static_cast<void>(Add(word).ok());
  }

  /// The words, vocabulary first.
  std::vector<std::string> Words() const {
    std::vector<std::string> words;
    for (std::size_t i = 0; i < std::size(kTraitNames); ++i) {
      if ((bits_ >> i) & 1u) words.emplace_back(kTraitNames[i]);
    }
    words.insert(words.end(), own_.begin(), own_.end());
    return words;
  }

  friend bool operator==(const Contents&, const Contents&) = default;

 private:
  std::uint32_t bits_ = 0;
  std::vector<std::string> own_;  // sorted
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/parcel/internal/contents-inl.h"
#endif

#endif  // TAREWISE_PARCEL_CONTENTS_H_
