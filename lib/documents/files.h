#ifndef TAREWISE_LIB_DOCUMENTS_FILES_H_
#define TAREWISE_LIB_DOCUMENTS_FILES_H_

#include <sys/stat.h>
#include <sys/types.h>

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "tarewise/documents/diagnostic.h"
#include "tarewise/documents/load.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

/// Reads on, waiting where a pipe has nothing yet. 0: the end; less: an error, in errno.
ssize_t ReadSome(int descriptor, char* to, std::size_t most);

/// "a folder", "a pipe", "a socket" or "a device"; empty for a file.
std::string_view OtherThanFile(mode_t mode);

/// Why a path could not be opened, as "found a link in a circle, expected a file".
std::string WhyNotOpened(const std::string& path, int error);

/// Whether a file is another one than before: written on, shortened, or written again.
bool Changed(const struct stat& before, const struct stat& after);

/// What is said of a file that changed.
inline constexpr std::string_view kChangedWords =
    "found a file that changed while it was read, expected one that stays as it is";

/// The text of a file of at most 16 MiB, read whole. Never waits, but where `pipes` may be read: for one that is
/// written to.
Loaded<SourceText> ReadFileText(const std::string& path, bool pipes);

/// The names of the documents in a folder, in order: *.json, gazetteer*.csv, shelf*.csv.
Loaded<std::vector<std::string>> DocumentsIn(const std::string& path);

/// "tables/demo" -> "tables/demo/".
std::string WithSlash(std::string folder);

/// Reads files in a folder (empty: the current one, else ending in a slash). Why one that is there cannot be read is
/// added to `unread`; both must outlive the reader.
FileReader FilesIn(std::string folder, std::vector<Diagnostic>& unread);

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_FILES_H_
