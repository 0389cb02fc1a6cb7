#ifndef TAREWISE_TESTS_COMPARE_READ_H_
#define TAREWISE_TESTS_COMPARE_READ_H_

#include <string>

#include "gtest/gtest.h"
#include "tarewise/documents/load.h"

namespace tarewise::compare_test {

inline Tariff Read(const std::string& text) {
  Loaded<Tariff> loaded = ReadTariff({"tariff.json", text});
  for (const Diagnostic& diagnostic : loaded.diagnostics) {
    if (diagnostic.severity == Diagnostic::Severity::kError) ADD_FAILURE() << diagnostic.ToString();
  }
  return loaded.value.value_or(Tariff());
}

inline Date Day(const char* text) { return *Date::Parse(text); }

}  // namespace tarewise::compare_test

#endif  // TAREWISE_TESTS_COMPARE_READ_H_
