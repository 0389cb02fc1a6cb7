// What the library says of made orders, a line each, for a solver to compare:
//   tw_packing_answers FIRST COUNT
// number; room, padding, walls; fit 0 fits, 1 does not, 2 unknown; then for each unit its sides and the flags this side
// up, top free, padded. An arrangement that breaks a rule ends it.
#include <cstdint>
#include <iostream>
#include <optional>
#include <string>

#include "packing/made.h"
#include "tarewise/packing/arrange.h"

int main(int count, char** words) {
  using namespace tarewise;
  if (count != 3) {
    std::cerr << "tw_packing_answers FIRST COUNT\n";
    return 2;
  }
  const std::uint64_t first = std::stoull(words[1]);
  for (std::uint64_t number = first; number < first + std::stoull(words[2]); ++number) {
    const testing::MadePacking made = testing::OraclePacking(number);
    const Arrangement answer = Arrange(made.units, made.room);
    if (answer.fit == Fit::kFits) {
      if (const std::optional<std::string> wrong = CheckArrangement(made.units, made.room, answer.placements)) {
        std::cerr << number << ": " << *wrong << "\n";
        return 1;
      }
    }
    std::cout << number << " ; " << made.room.sides[0] << " " << made.room.sides[1] << " " << made.room.sides[2] << " "
              << made.room.padding << " " << made.room.wall_padding << " ; " << static_cast<int>(answer.fit);
    for (const PackUnit& unit : made.units) {
      std::cout << " ; " << unit.sides[0] << " " << unit.sides[1] << " " << unit.sides[2] << " " << unit.this_side_up
                << " " << unit.top_free << " " << unit.padded;
    }
    std::cout << "\n";
  }
  return 0;
}
