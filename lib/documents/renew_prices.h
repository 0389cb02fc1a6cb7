#ifndef TAREWISE_LIB_DOCUMENTS_RENEW_PRICES_H_
#define TAREWISE_LIB_DOCUMENTS_RENEW_PRICES_H_

#include <cstddef>
#include <cstdint>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "csv.h"
#include "edits.h"
#include "findings.h"
#include "json_tree.h"
#include "tarewise/documents/load.h"
#include "tarewise/documents/renew.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// A grid beside the document, with what is changed in it.
struct RenewedGrid {
  std::string text;
  std::unique_ptr<Findings> findings;
  Csv csv;
  Edits edits;
  std::string new_name;  ///< Empty: nobody names it anew.
  bool raised = false;
};

/// Names of the new files: the old one's, with the new beginning in the place of the old.
class NewNames {
 public:
  NewNames(std::string old_stem, std::string new_stem) : old_(std::move(old_stem)), new_(std::move(new_stem)) {}
  /// A name that none has yet.
  std::string For(std::string_view old_name);

 private:
  std::string old_;
  std::string new_;
  std::map<std::string, bool, std::less<>> taken_;
};

/// Raises prices of a tariff document whose old text was found sound.
class PriceRaiser {
 public:
  PriceRaiser(const Tariff& tariff, const Renewal& renewal, const FileReader& beside, Edits& document,
              Findings& findings, NewNames& names)
      : tariff_(tariff),
        renewal_(renewal),
        beside_(beside),
        document_(document),
        findings_(findings),
        names_(names),
        text_(findings.text()) {}

  /// Raises the price that an alternative or a charge holds. Nothing is noted where it has no amount.
  void Raise(Value holder, RenewedPrice about);
  /// The same, with a printed grid in the place of the table's.
  void Lay(Value holder, RenewedPrice about, const LaidGrid& grid);

  std::vector<RenewedPrice> TakePrices() { return std::move(prices_); }
  /// The new files: the raised grids, then the laid ones.
  std::vector<SourceText> TakeGrids();
  /// The files that messages name by their new names, and the names to say.
  const std::map<std::string, std::string>& said() const { return said_; }
  bool good() const { return good_; }
  /// Whether any price is one by a series.
  bool by_series() const { return by_series_; }

 private:
  struct Place {
    Edits* edits = nullptr;  // None: the file's cells are raised already.
    std::size_t begin = 0;
    std::size_t end = 0;
    std::int64_t micros = 0;
  };

  void Gather(Value amount);
  void GatherAll(Value list);
  void GatherTable(Value table, RenewedPrice& about);
  void GatherGrid(std::string_view name, std::size_t bounds);
  void Apply(RenewedPrice about, Value holder);
  std::int64_t StepOf(bool& finer) const;

  const Tariff& tariff_;
  const Renewal& renewal_;
  const FileReader& beside_;
  Edits& document_;
  Findings& findings_;
  NewNames& names_;
  std::string_view text_;
  std::vector<Place> places_;
  std::map<std::string, RenewedGrid, std::less<>> grids_;
  std::vector<SourceText> laid_;
  std::map<const LaidGrid*, std::string> laid_names_;
  std::map<std::string, std::string> said_;
  std::vector<RenewedPrice> prices_;
  bool good_ = true;
  bool by_series_ = false;
};

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_RENEW_PRICES_H_
