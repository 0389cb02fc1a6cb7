// One of two shared libraries, each with another version of tarewise inside and every symbol of it exported, so that
// what is not told apart by its name would meet.
#include <string>

#include "tarewise/units/weight.h"
#include "tarewise/version.h"

extern "C" const char* SIDE(void);
extern "C" const char* SIDE(void) {
  static const std::string said = [] {
    const auto weight = tarewise::Weight::Parse("no weight");
    return std::string(TAREWISE_VERSION_STRING) + ": " + std::string(weight.status().message());
  }();
  return said.c_str();
}
