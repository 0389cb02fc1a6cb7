#ifndef TAREWISE_TESTS_SUPPORT_CATALOGUE_H_
#define TAREWISE_TESTS_SUPPORT_CATALOGUE_H_

#include <array>
#include <cstddef>
#include <cstdint>
#include <fstream>
#include <string>
#include <utility>
#include <vector>

#include "support/csv_line.h"
#include "support/stop.h"

namespace tarewise::testing {

/// A row of the demonstration catalogue (invented, see tables/README.md) in the file's own words, with their units:
/// whoever tests a reader reads them by it.
struct CatalogueRow {
  std::string sku;
  std::string weight;                ///< "11.6 oz".
  std::array<std::string, 3> sides;  ///< "7 in" each.
  std::int32_t quantity = 1;
  std::string value;
  std::string contents;  ///< Words with spaces between them.
  std::string shape;
  bool this_side_up = false;
  bool rigid = false;
  bool bare = false;
};

/// All of them, read once.
inline const std::vector<CatalogueRow>& Catalogue() {
  static const std::vector<CatalogueRow> rows = [] {
    const std::string path = TW_TEST_ROOT "/tables/catalogue/goods.csv";
    std::ifstream in(path);
    std::string line;
    std::getline(in, line);
    if (line.rfind("sku,title,weight_oz,length_in,width_in,height_in,quantity,value,contents,shape,", 0) != 0) {
      Stop(path + ": found the columns " + line);
    }
    const std::size_t columns = CsvFields(line).size();
    std::vector<CatalogueRow> out;
    while (std::getline(in, line)) {
      const std::vector<std::string> fields = CsvFields(line);
      if (fields.size() != columns) Stop(path + ": " + line);
      CatalogueRow row;
      row.sku = fields[0];
      row.weight = fields[2] + " oz";
      for (std::size_t i = 0; i < 3; ++i) row.sides[i] = fields[3 + i] + " in";
      row.quantity = std::stoi(fields[6]);
      row.value = fields[7];
      row.contents = fields[8];
      row.shape = fields[9];
      row.this_side_up = fields[10] == "true";
      row.rigid = fields[11] == "true";
      row.bare = fields[12] == "true";
      out.push_back(std::move(row));
    }
    if (out.size() < 3000) Stop(path + ": found " + std::to_string(out.size()) + " rows");
    return out;
  }();
  return rows;
}

}  // namespace tarewise::testing

#endif  // TAREWISE_TESTS_SUPPORT_CATALOGUE_H_
