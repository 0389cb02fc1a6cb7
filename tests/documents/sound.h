#ifndef TAREWISE_TESTS_DOCUMENTS_SOUND_H_
#define TAREWISE_TESTS_DOCUMENTS_SOUND_H_

// Sound documents, to read and to edit. All data invented.

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "gtest/gtest.h"
#include "tarewise/documents/load.h"

namespace tarewise::documents_test {

inline std::string Lines(const std::vector<Diagnostic>& diagnostics) {
  std::string out;
  for (const Diagnostic& diagnostic : diagnostics) out += diagnostic.ToString() + "\n";
  return out;
}

inline FileReader Files(std::map<std::string, std::string> files) {
  return [files = std::move(files)](std::string_view name) -> std::optional<std::string> {
    const auto at = files.find(std::string(name));
    if (at == files.end()) return std::nullopt;
    return at->second;
  };
}

inline constexpr std::string_view kHead =
    R"("format": "tarewise-tariff-1", "carrier": {"code": "harbourline", "name": "Harbourline Post"}, "title": "List",
       "currency": "USD", "in_force": {"from": "2026-07-12", "until": "2027-01-10"},)";
inline constexpr std::string_view kZones =
    R"("zones": {"main": [{"kind": "regions", "zones": {"1": ["US:4"], "2": ["US"]}}]},)";

/// A tariff of one service, "ground", with these members.
inline std::string OneService(std::string_view members, std::string_view more = "") {
  return "{" + std::string(kHead) + std::string(kZones) + std::string(more) +
         R"("services": [{"code": "ground", "title": "Ground", "zones": "main", )" + std::string(members) + "}]}";
}

inline Tariff Sound(const std::string& text, const FileReader& beside = {}) {
  Loaded<Tariff> loaded = ReadTariff({"tariff.json", text}, beside);
  EXPECT_TRUE(loaded.ok()) << Lines(loaded.diagnostics);
  return loaded.value.value_or(Tariff());
}

template <typename T>
const T& Only(const Test& test) {
  EXPECT_EQ(test.conditions.size(), 1u);
  return std::get<T>(test.conditions.at(0));
}

inline Place At(std::string_view country, std::string_view code) { return *Place::Make(country, code); }

}  // namespace tarewise::documents_test

#endif  // TAREWISE_TESTS_DOCUMENTS_SOUND_H_
