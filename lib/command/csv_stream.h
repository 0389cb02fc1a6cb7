#ifndef TAREWISE_LIB_COMMAND_CSV_STREAM_H_
#define TAREWISE_LIB_COMMAND_CSV_STREAM_H_

#include <sys/stat.h>

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "documents/text.h"

namespace tarewise::command {

/// Reads a comma-separated file of any size (RFC 4180; lines end with LF or CRLF; a byte order mark is passed over)
/// record by record, in memory that does not grow with the file. Empty lines are passed over.
class CsvStream {
 public:
  /// The longest record that is read.
  static constexpr std::size_t kMostRecord = std::size_t{1} << 20;

  CsvStream() = default;
  ~CsvStream();
  CsvStream(const CsvStream&) = delete;
  CsvStream& operator=(const CsvStream&) = delete;

  /// Opens a file; "-" is standard input. False where it cannot be opened; `error` then says why.
  bool Open(const std::string& path);

  /// Takes the next record. False at the end, or after an error. The record's views live until the next call.
  bool Next();

  /// The record as it is written, without its line end.
  std::string_view raw() const { return raw_; }
  /// Its fields, quotation marks taken off, trimmed of spaces.
  const std::vector<std::string_view>& fields() const { return fields_; }
  /// The line that it begins on, from 1.
  std::uint64_t line() const { return line_; }
  /// What is wrong with its form; empty where nothing is. The fields are then not to be used.
  std::string_view flaw() const { return flaw_; }

  /// What is wrong with the record as a header, with its place, as "1:1: found UTF-16, expected UTF-8"; empty: nothing.
  std::string HeaderFault() const;
  /// Likewise, where something else than commas stands between the columns. For a header that lacks what it needs: a
  /// semicolon may well stand in a name.
  std::string SeparatorFault() const;

  /// Where reading stopped for another reason than the end of the file.
  const std::string& error() const { return error_; }
  /// Bytes read so far, and of the whole file where that is known (else 0).
  std::uint64_t bytes() const { return consumed_; }
  std::uint64_t size() const { return size_; }
  /// The file that is read, or nothing where it is a pipe or a device.
  const struct stat* file() const { return file_ ? &*file_ : nullptr; }

 private:
  std::string_view TakeKind();
  bool Fill();
  bool Split();

  int descriptor_ = -1;
  bool ended_ = false;
  bool pipe_ = false;
  std::string buffer_;
  std::size_t at_ = 0;
  std::string_view raw_;
  std::vector<std::string_view> fields_;
  std::vector<std::string> unquoted_;
  std::string flaw_;
  std::string error_;
  std::uint64_t line_ = 0;
  std::uint64_t next_line_ = 1;
  std::uint64_t consumed_ = 0;
  std::uint64_t size_ = 0;
  std::optional<struct stat> file_;
  bool first_ = true;
};

using load::CsvField;

}  // namespace tarewise::command

#endif  // TAREWISE_LIB_COMMAND_CSV_STREAM_H_
