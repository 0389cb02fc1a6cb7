#ifndef TAREWISE_DOCUMENTS_LOAD_H_
#define TAREWISE_DOCUMENTS_LOAD_H_

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tarewise/documents/diagnostic.h"
#include "tarewise/parcel/packaging.h"
#include "tarewise/ranking/request.h"
#include "tarewise/tariff/seller.h"
#include "tarewise/tariff/tariff.h"
#include "tarewise/version.h"
#include "tarewise/zone/gazetteer.h"

namespace tarewise::inline TW_VERSIONED {

// What is wrong with a document or a file is a diagnostic, never an exception. Where memory runs out, all of these
// throw std::bad_alloc.

/// A document's text and its name for messages.
struct SourceText {
  std::string name;
  std::string text;
};

/// What was read, and what was found wrong with it. `value` is there only without errors: nothing is half-loaded.
template <typename T>
struct Loaded {
  std::optional<T> value;
  std::vector<Diagnostic> diagnostics;  ///< Errors and warnings, in the order of the text.
  bool ok() const { return value.has_value(); }
};

/// Everything that a folder of tables holds.
///
///     Loaded<Tables> tables = ReadFolder("rates");
///     for (const Diagnostic& finding : tables.diagnostics) Tell(finding.ToString());
///     if (!tables.ok()) return;
///     absl::StatusOr<std::shared_ptr<const Ratebook>> rates = Ratebook::Create(
///         std::move(tables.value->tariffs), std::move(tables.value->terms), std::move(tables.value->gazetteer),
///         std::move(tables.value->seller));
struct Tables {
  std::vector<Tariff> tariffs;
  std::vector<Terms> terms;
  Gazetteer gazetteer;
  std::optional<Shelf> shelf;
  std::optional<SellerRules> seller;
};

/// Gives the text of a file beside a tariff (a grid named by its `csv`), or nothing where there is none.
using FileReader = std::function<std::optional<std::string>(std::string_view name)>;

/// Reads a tariff document (`tarewise-tariff-1`): syntax, form, and the checks inside one document.
Loaded<Tariff> ReadTariff(const SourceText& source, const FileReader& beside = {});
/// Reads a terms document (`tarewise-terms-1`); codes of services are checked in `CheckTables`.
Loaded<Terms> ReadTerms(const SourceText& source);
/// Reads the seller's own rules (`tarewise-seller-1`); carriers, services, packagings and extras are checked in
/// `CheckTables`.
Loaded<SellerRules> ReadSeller(const SourceText& source);
/// Reads a shelf, JSON (`tarewise-shelf-1`) or CSV by the name's ending.
Loaded<Shelf> ReadShelf(const SourceText& source);
/// Reads a gazetteer (CSV: country,prefix,latitude,longitude[,name]) into `gazetteer`; call `Gazetteer::Finish` after
/// the last.
std::vector<Diagnostic> ReadGazetteer(const SourceText& source, Gazetteer& gazetteer);
/// Reads a request (`tarewise-request-1`).
Loaded<Request> ReadRequest(const SourceText& source);

/// Checks across documents: two versions of a carrier with one start, terms for unknown carriers or services, issued
/// packaging on the shelf that no tariff has, packaging codes used twice, currencies of the shelf, names in the
/// seller's own rules that nothing has.
std::vector<Diagnostic> CheckTables(const Tables& tables);

/// Reads documents from memory: each `.json` by its `format`, gazetteers and shelves (CSV) by their names, grids as
/// tariffs ask for them.
Loaded<Tables> ReadTables(const std::vector<SourceText>& sources);
/// Reads a folder whole (not its subfolders): each *.json by its `format`, gazetteer*.csv, shelf*.csv.
Loaded<Tables> ReadFolder(const std::string& path);
/// Reads a folder as it would be with these files in it, which are not there yet: each is named without a folder, and
/// stands in the place of one of that name. The folder may be missing. Nothing is written.
Loaded<Tables> ReadFolderWith(const std::string& path, const std::vector<SourceText>& drafts);

/// Reads a file of at most 16 MiB. Errors as diagnostics.
Loaded<SourceText> ReadFile(const std::string& path);

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_DOCUMENTS_LOAD_H_
