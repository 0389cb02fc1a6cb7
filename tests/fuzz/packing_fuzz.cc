// Any bytes as units and a room: bad sides too, and long ones. Every arrangement keeps the rules, every refusal has its
// proof, and a second call says the same.
#include <cstddef>
#include <cstdint>
#include <vector>

#include "invariants.h"
#include "tarewise/packing/arrange.h"

namespace {

class Bytes {
 public:
  Bytes(const std::uint8_t* data, std::size_t size) : data_(data), end_(data + size) {}
  bool Empty() const { return data_ == end_; }
  std::uint8_t Next() { return Empty() ? std::uint8_t{0} : *data_++; }
  // Mostly small; now and then wide, or as wrong as can be.
  std::int64_t Length() {
    const std::uint8_t first = Next();
    if (first < 230) return first % 24;
    if (first < 250) return tarewise::kLongestPackSide / (1 + Next()) - first;
    return first % 2 == 0 ? -static_cast<std::int64_t>(Next()) : INT64_MAX - Next();
  }

 private:
  const std::uint8_t* data_;
  const std::uint8_t* end_;
};

tarewise::PackUnit UnitOf(Bytes& bytes) {
  tarewise::PackUnit unit;
  const std::uint8_t flags = bytes.Next();
  for (std::int64_t& side : unit.sides) side = bytes.Length();
  unit.this_side_up = (flags & 1) != 0;
  unit.top_free = (flags & 6) == 6;
  unit.padded = (flags & 8) != 0;
  unit.may_stand[0] = (flags & 48) != 48;
  unit.weight = flags >> 6;
  if ((flags & 192) == 192) unit.bears = bytes.Next();
  return unit;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  Bytes bytes(data, size);
  tarewise::Room room;
  for (std::int64_t& side : room.sides) side = bytes.Length();
  room.padding = bytes.Next() % 4 == 0 ? bytes.Length() : 0;
  room.wall_padding = bytes.Next() % 4 == 0 ? bytes.Length() : 0;
  std::vector<tarewise::PackUnit> units;
  while (!bytes.Empty() && units.size() < 40) units.push_back(UnitOf(bytes));
  const tarewise::Arrangement answer = tarewise::Arrange(units, room, {200});
  const bool good = !tarewise::CheckPackInput(units, room).has_value();
  fuzz::Require(good || answer.fit == tarewise::Fit::kUnknown, "wrong input has no answer");
  fuzz::Require((answer.fit == tarewise::Fit::kDoesNotFit) == (answer.proof != tarewise::FitProof::kNone), "a proof");
  if (answer.fit == tarewise::Fit::kFits) {
    fuzz::Require(!tarewise::CheckArrangement(units, room, answer.placements).has_value(), "every rule is kept");
  }
  const tarewise::Arrangement again = tarewise::Arrange(units, room, {200});
  fuzz::Require(again.fit == answer.fit && again.nodes == answer.nodes && again.proof == answer.proof,
                "the same again");
  return 0;
}
