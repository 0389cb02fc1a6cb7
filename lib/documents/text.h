#ifndef TAREWISE_LIB_DOCUMENTS_TEXT_H_
#define TAREWISE_LIB_DOCUMENTS_TEXT_H_

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/units/internal/nearest_name.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// The largest document that is read: 16 MiB.
inline constexpr std::size_t kMostBytes = std::size_t{16} << 20;

/// The byte order mark that may stand before a text in UTF-8.
inline constexpr std::string_view kUtf8Mark = "\xEF\xBB\xBF";

/// The offset of the first byte that is not UTF-8, or nothing.
std::optional<std::size_t> FirstNotUtf8(std::string_view text);

/// "UTF-16" or "UTF-32" where the text is in one of these, by its byte order mark or by the zero bytes of its first
/// characters; else empty.
std::string_view OtherEncoding(std::string_view text);
/// "found UTF-16, expected UTF-8 (...)"
std::string EncodingWords(std::string_view found);

/// What stands between the columns of a header more often than a comma, outside of quotation marks.
struct OtherSeparator {
  std::size_t offset = 0;  ///< Where it stands first.
  std::string_view words;  ///< "found a semicolon between the columns, expected a comma"
};
std::optional<OtherSeparator> FindOtherSeparator(std::string_view line);

/// What helps where a price grid is not in the form of A4.5.
inline constexpr std::string_view kRunGrid = ": run tarewise grid on the file";

using internal::NearestName;
using internal::Quoted;

/// A field of a CSV file as it must be written: in quotation marks where it has a comma, a quotation mark or a line
/// end.
std::string CsvField(std::string_view text);

/// ` (did you mean "weight"?)` where a name is near, else `: weight, sides, shape` with the names that there are.
std::string Suggestion(std::string_view text, const std::vector<std::string_view>& names);

/// The last part of a path.
std::string_view BaseName(std::string_view path);
/// The path without its last part, with the slash at its end; empty where there is none.
std::string_view FolderOf(std::string_view path);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_TEXT_H_
