#ifndef TAREWISE_PRICING_RATEBOOK_H_
#define TAREWISE_PRICING_RATEBOOK_H_

#include <memory>
#include <optional>
#include <string_view>
#include <vector>

#include "absl/status/statusor.h"
#include "tarewise/internal/switch.h"
#include "tarewise/tariff/seller.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/units/date.h"
#include "tarewise/version.h"
#include "tarewise/zone/gazetteer.h"

namespace tarewise::inline TW_VERSIONED {
namespace internal {
class CompiledBook;
}

/// One version of a carrier's tariff together with the terms in force beside it. Part of a ratebook, and lives as long.
struct Edition {
  const Tariff* tariff = nullptr;
  const Terms* terms = nullptr;  ///< Nothing: none are agreed.
};

/// The tariffs and terms in hand: many carriers, every version; and the seller's own rules. Immutable, so any number of
/// threads may price from it without locks; a new ratebook is made for new rates, and old answers keep the one that
/// made them.
///
///     Loaded<Tables> tables = ReadFolder("rates");      // tarewise/documents/load.h
///     std::shared_ptr<const Ratebook> book = *Ratebook::Create(
///         std::move(tables.value->tariffs), std::move(tables.value->terms), std::move(tables.value->gazetteer),
///         std::move(tables.value->seller));
///     const Edition* now = book->InForce("harbourline", *Date::Parse("2026-08-03"));
class Ratebook {
 public:
  /// Compiles. Errors: InvalidArgument where two versions of a carrier begin on one date, a service names a list, a
  /// rule or a packaging that is not there, surcharges replace each other in a ring, or terms or the seller's own rules
  /// name a carrier without a tariff. Linear in the size of the documents.
  static absl::StatusOr<std::shared_ptr<const Ratebook>> Create(std::vector<Tariff> tariffs,
                                                                std::vector<Terms> terms = {}, Gazetteer gazetteer = {},
                                                                std::optional<SellerRules> seller = std::nullopt);
  ~Ratebook();

  const std::vector<Tariff>& tariffs() const { return tariffs_; }
  const std::vector<Terms>& terms() const { return terms_; }
  const Gazetteer& gazetteer() const { return gazetteer_; }
  /// The seller's own rules; nothing: none.
  const SellerRules* seller() const { return seller_ ? &*seller_ : nullptr; }

  /// Carriers' codes, sorted.
  std::vector<std::string_view> Carriers() const;

  /// The edition of a carrier in force on a date: the tariff with the latest start, and the terms likewise. Nothing
  /// where the carrier has none.
  const Edition* InForce(std::string_view carrier, Date date) const;

  /// The edition whose services stand for a carrier with nothing in force: of the latest version that began by the
  /// date, else of the earliest.
  const Edition* OutOfForce(std::string_view carrier, Date date) const;

  /// A packaging that a carrier issues, as this tariff describes it; nothing where it has none of that code.
  static const Packaging* FindPackaging(const Tariff& tariff, std::string_view code);

 private:
  Ratebook();

  std::vector<Tariff> tariffs_;
  std::vector<Terms> terms_;
  Gazetteer gazetteer_;
  std::optional<SellerRules> seller_;
  std::unique_ptr<internal::CompiledBook> compiled_;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/pricing/internal/ratebook-inl.h"
#endif

#endif  // TAREWISE_PRICING_RATEBOOK_H_
