#ifndef TAREWISE_TESTS_SUPPORT_CSV_LINE_H_
#define TAREWISE_TESTS_SUPPORT_CSV_LINE_H_

#include <string>
#include <vector>

namespace tarewise::testing {

/// The fields of a line of the catalogue, whose quotes hold no quotes: for tests and benchmarks, beside the library's
/// own reader.
inline std::vector<std::string> CsvFields(const std::string& line) {
  std::vector<std::string> fields(1);
  bool quoted = false;
  for (const char c : line) {
    if (c == '"') {
      quoted = !quoted;
    } else if (c == ',' && !quoted) {
      fields.emplace_back();
    } else if (c != '\r') {
      fields.back() += c;
    }
  }
  return fields;
}

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_SUPPORT_CSV_LINE_H_
