// Every broken document of tests/broken/*.txt gives exactly the findings that stand with it: code, line, column, words.

#include <gtest/gtest.h>

#include <cctype>
#include <ostream>
#include <set>

#include "broken_case.h"

namespace tarewise::broken {
namespace {

struct NamedCase {
  std::string file;
  Case test;
};

void PrintTo(const NamedCase& c, std::ostream* out) { *out << c.file << ".txt: " << c.test.name; }

std::vector<NamedCase> AllCases() {
  std::vector<std::filesystem::path> paths;
  for (const auto& entry : std::filesystem::directory_iterator(TW_TEST_ROOT "/tests/broken")) {
    if (entry.path().extension() == ".txt") paths.push_back(entry.path());
  }
  std::sort(paths.begin(), paths.end());
  std::vector<NamedCase> all;
  for (const std::filesystem::path& path : paths) {
    for (Case& c : ReadCases(path)) all.push_back({path.stem().string(), std::move(c)});
  }
  return all;
}

std::string TestName(const ::testing::TestParamInfo<NamedCase>& info) {
  std::string name = info.param.file + "_";
  for (const char c : info.param.test.name) name += std::isalnum(static_cast<unsigned char>(c)) != 0 ? c : '_';
  return name;
}

std::string Lines(const std::vector<std::string>& lines) {
  std::string out;
  for (const std::string& line : lines) out += line + "\n";
  return out;
}

class Broken : public ::testing::TestWithParam<NamedCase> {};

TEST_P(Broken, SaysExactlyThis) {
  const Case& c = GetParam().test;
  ASSERT_FALSE(c.expect.empty()) << "the case expects nothing";
  const Outcome outcome = Answer(c);
  EXPECT_EQ(Lines(c.expect), Lines(outcome.said));
  bool errors = false;
  for (const std::string& line : c.expect) errors = errors || line.find(": error ") != std::string::npos;
  EXPECT_EQ(outcome.loaded, !errors) << "a document with errors gives nothing, one with warnings alone gives all";
}

INSTANTIATE_TEST_SUITE_P(Documents, Broken, ::testing::ValuesIn(AllCases()), TestName);

TEST(BrokenCorpus, IsLargeAndHasNoNameTwice) {
  std::set<std::string> names;
  std::size_t errors = 0;
  for (const NamedCase& c : AllCases()) {
    EXPECT_TRUE(names.insert(c.file + "/" + c.test.name).second) << c.file << "/" << c.test.name;
    for (const std::string& line : c.test.expect) errors += line.find(": error ") != std::string::npos ? 1 : 0;
  }
  EXPECT_GE(names.size(), 180u);
  EXPECT_GE(errors, 300u);
}

}  // namespace
}  // namespace tarewise::broken
