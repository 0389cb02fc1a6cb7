#ifndef TAREWISE_TESTS_SUPPORT_RANDOM_WORLDS_H_
#define TAREWISE_TESTS_SUPPORT_RANDOM_WORLDS_H_

// Tables and requests of tests/oracle/random_world.py, made before the tests run: other rules, roundings and ties than
// the demonstration's.

#include <algorithm>
#include <cstddef>
#include <filesystem>
#include <fstream>
#include <string>
#include <system_error>
#include <utility>
#include <vector>

#include "support/fewer.h"
#include "support/stop.h"
#include "tarewise/documents/load.h"

namespace tarewise::testing {

/// A folder of tables each; with sanitizers one in kFewerWorlds of them.
inline std::vector<std::filesystem::path> RandomWorldFolders() {
  std::vector<std::filesystem::path> folders;
  std::error_code missing;
  for (const auto& entry : std::filesystem::directory_iterator(TW_TEST_WORLDS, missing)) {
    if (entry.is_directory()) folders.push_back(entry.path());
  }
  if (folders.empty()) Stop("no worlds in " TW_TEST_WORLDS);
  std::sort(folders.begin(), folders.end());
  std::vector<std::filesystem::path> some;
  for (std::size_t i = 0; i < folders.size(); i += kFewerWorlds) some.push_back(std::move(folders[i]));
  return some;
}

/// One in so many of a folder's requests, and of these those that can be read: some are wrong on purpose.
inline std::vector<Request> RequestsOf(const std::filesystem::path& folder, std::size_t one_in = 1) {
  std::ifstream in(folder / "requests.jsonl");
  std::vector<Request> requests;
  std::string line;
  for (std::size_t number = 0; std::getline(in, line); ++number) {
    if (number % one_in != 0) continue;
    Loaded<Request> request = ReadRequest({"request", line});
    if (request.ok()) requests.push_back(*std::move(request.value));
  }
  return requests;
}

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_SUPPORT_RANDOM_WORLDS_H_
