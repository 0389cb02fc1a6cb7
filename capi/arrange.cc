#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "handles.h"
#include "tarewise/ranking/pack_goods.h"
#include "tarewise/units/placed_error.h"

struct tw_arrangement {
  static constexpr tarewise::capi::Tag kTag = tarewise::capi::Tag::kArrangement;
  tarewise::capi::Tag tag = kTag;
  tarewise::Request request;  // Its goods alone, with what there is to pack them.
  tarewise::Packing packing;
  std::array<std::int64_t, 3> room = {};
  std::vector<std::string> steps;
};

namespace tarewise::capi {
namespace {

static_assert(static_cast<int>(Fit::kFits) == TW_FIT_FITS);
static_assert(static_cast<int>(Fit::kDoesNotFit) == TW_FIT_DOES_NOT_FIT);
static_assert(static_cast<int>(Fit::kUnknown) == TW_FIT_UNKNOWN);
static_assert(static_cast<int>(FitProof::kNone) == TW_PROOF_NONE);
static_assert(static_cast<int>(FitProof::kUnitTooLarge) == TW_PROOF_UNIT_TOO_LARGE);
static_assert(static_cast<int>(FitProof::kVolume) == TW_PROOF_VOLUME);
static_assert(static_cast<int>(FitProof::kBound) == TW_PROOF_BOUND);
static_assert(static_cast<int>(FitProof::kSearched) == TW_PROOF_SEARCHED);
static_assert(static_cast<int>(PackagingKind::kBare) == TW_PACKAGING_BARE);

constexpr const char* kFitNames[] = {"fits", "does_not_fit", "unknown"};
constexpr const char* kProofNames[] = {"", "unit_too_large", "volume", "bound", "searched"};
constexpr std::int64_t kMostNodes = 1'000'000'000;

void CheckRange(std::int64_t value, std::int64_t least, std::int64_t most, const std::string& place) {
  if (value >= least && value <= most) return;
  Fail(TW_E_INPUT,
       "found " + std::to_string(value) + ", expected " + std::to_string(least) + " to " + std::to_string(most), place);
}

[[noreturn]] void FailPacking(const absl::Status& status) {
  FailUnlessOk(status);
  Fail(TW_E_INTERNAL, "found no error, expected one");
}

// What is to be packed, and how long to look.
struct Task {
  Request request;
  Packaging packaging;
  ArrangeBudget budget;
};

void ReadOptions(const tw_arrange_options* from, Task& out) {
  if (from == nullptr) return;
  const tw_arrange_options options = ReadStruct(from, "options");
  CheckRange(options.has_padding, 0, 1, "/options/has_padding");
  if (options.has_padding == 1) {
    CheckRange(options.padding_nm, 0, Length::kMostSideNanometres, "/options/padding_nm");
    out.request.padding = Length::Nanometres(options.padding_nm);
  } else if (options.padding_nm != 0) {
    Fail(TW_E_INPUT, "found a padding, expected has_padding beside it", "/options/padding_nm");
  }
  CheckRange(options.nodes, 0, kMostNodes, "/options/nodes");
  if (options.nodes != 0) out.budget.nodes = options.nodes;
  CheckRange(options.side_units, TW_UNITS_IMPERIAL, TW_UNITS_METRIC, "/options/side_units");
  out.request.side_units = static_cast<UnitSystem>(options.side_units);
  CheckRange(options.reserved, 0, 0, "/options/reserved");
}

void ReadPackaging(const tw_packaging* from, Packaging& out) {
  const tw_packaging packaging = ReadStruct(from, "packaging");
  CheckRange(packaging.kind, TW_PACKAGING_CARTON, TW_PACKAGING_BARE, "/packaging/kind");
  CheckRange(packaging.reserved, 0, 0, "/packaging/reserved");
  out.kind = static_cast<PackagingKind>(packaging.kind);
  out.title = TextOf(packaging.title, "/packaging/title");
  out.code = TextOf(packaging.code, "/packaging/code");
  CheckRange(packaging.wall_nm, 0, Length::kMostSideNanometres, "/packaging/wall_nm");
  out.wall = Length::Nanometres(packaging.wall_nm);
  const std::int64_t(&outside)[3] = packaging.outside_nm;
  const bool given = outside[0] != 0 || outside[1] != 0 || outside[2] != 0;
  for (std::size_t i = 0; i < 3; ++i) {
    CheckRange(packaging.inside_nm[i], 0, Length::kMostSideNanometres, "/packaging/inside_nm");
    CheckRange(outside[i], 0, Length::kMostSideNanometres, "/packaging/outside_nm");
    out.inside[i] = Length::Nanometres(packaging.inside_nm[i]);
    out.outside[i] = given ? Length::Nanometres(outside[i]) : out.inside[i] + out.wall + out.wall;
  }
  CheckRange(packaging.least_height_nm, 0, Length::kMostSideNanometres, "/packaging/least_height_nm");
  if (packaging.least_height_nm != 0) out.least_height = Length::Nanometres(packaging.least_height_nm);
}

Task ReadTask(const tw_item* items, std::size_t item_count, const tw_packaging* packaging,
              const tw_arrange_options* options) {
  Task task;
  FillGoods(items, item_count, task.request.goods);
  ReadPackaging(packaging, task.packaging);
  ReadOptions(options, task);
  return task;
}

std::vector<Placement> ReadPlacements(const Request& request, const tw_arranged_unit* units, std::size_t count) {
  if (count > static_cast<std::size_t>(kMostUnits)) {
    Fail(TW_E_COUNT, "found " + std::to_string(count) + ", expected at most 10000", "/unit_count");
  }
  std::vector<Placement> out(count);
  if (count == 0) return out;
  CheckPointer(units, "units");
  CheckSize<tw_arranged_unit>(units->struct_size, "units/0");
  std::vector<std::size_t> first;
  std::size_t all = 0;
  for (const Item& item : request.goods) {
    first.push_back(all);
    all += static_cast<std::size_t>(item.quantity);
  }
  for (std::size_t i = 0; i < count; ++i) {
    const tw_arranged_unit unit = ReadElement(units, i, "units");
    const std::string place = "/units/" + std::to_string(i);
    CheckRange(unit.reserved, 0, 0, place + "/reserved");
    CheckIndex(unit.item, first.size(), (place + "/item").c_str());
    CheckIndex(unit.unit, static_cast<std::size_t>(request.goods[unit.item].quantity), (place + "/unit").c_str());
    out[i].unit = first[unit.item] + unit.unit;
    for (std::size_t k = 0; k < 3; ++k) {
      CheckRange(unit.at_nm[k], -kLongestPackSide, kLongestPackSide, place + "/at_nm");
      CheckRange(unit.sides_nm[k], 1, kLongestPackSide, place + "/sides_nm");
      out[i].at[k] = unit.at_nm[k];
      out[i].sides[k] = unit.sides_nm[k];
    }
  }
  return out;
}

}  // namespace
}  // namespace tarewise::capi

using namespace tarewise::capi;  // NOLINT(google-build-using-namespace): definitions of the C interface only.

const char* tw_fit_name(int32_t fit) {
  return fit < 0 || fit >= static_cast<int32_t>(std::size(kFitNames)) ? "" : kFitNames[fit];
}

const char* tw_proof_name(int32_t proof) {
  return proof < 0 || proof >= static_cast<int32_t>(std::size(kProofNames)) ? "" : kProofNames[proof];
}

tw_status tw_arrange(tw_arrangement** out, const tw_item* items, size_t item_count, const tw_packaging* packaging,
                     const tw_arrange_options* options, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    Task task = ReadTask(items, item_count, packaging, options);
    WarnOfUnits(task.request, error);
    absl::StatusOr<tarewise::Packing> packed = PackGoods(task.request, task.packaging, task.budget);
    if (!packed.ok()) FailPacking(packed.status());
    auto made = std::make_unique<tw_arrangement>();
    made->packing = *std::move(packed);
    made->packing.why = CleanText(made->packing.why);
    made->room = RoomOf(task.packaging, made->packing);
    made->steps = TellPacking(task.request, task.packaging, made->packing).steps;
    made->request.goods = std::move(task.request.goods);
    *out = made.release();
  });
}

void tw_arrangement_free(tw_arrangement* arrangement) {
  if (arrangement == nullptr || arrangement->tag != tw_arrangement::kTag) return;
  arrangement->tag = Tag{};
  delete arrangement;
}

tw_status tw_arrangement_fit(tw_fit* out, const tw_arrangement* arrangement, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckHandle(arrangement, "tw_arrangement");
    const tarewise::Packing& packing = arrangement->packing;
    tw_fit fit{};
    fit.fit = static_cast<std::int32_t>(packing.fit);
    fit.proof = static_cast<std::int32_t>(packing.proof);
    fit.unit_count = static_cast<std::uint32_t>(packing.placements.size());
    fit.why = packing.why.c_str();
    if (packing.fit == tarewise::Fit::kFits) {
      std::copy(packing.outside.begin(), packing.outside.end(), fit.sides_nm);
      std::copy(arrangement->room.begin(), arrangement->room.end(), fit.room_nm);
      fit.cut_to_nm = packing.cut_height.value_or(0);
    }
    WriteStruct(out, fit);
  });
}

tw_status tw_arrangement_unit(tw_arranged_unit* out, const tw_arrangement* arrangement, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckOut(out, "out");
    CheckHandle(arrangement, "tw_arrangement");
    CheckIndex(index, arrangement->packing.placements.size(), "index");
    WriteStruct(out, ArrangedUnitOf(arrangement->request, arrangement->packing.placements[index]));
  });
}

size_t tw_arrangement_step_count(const tw_arrangement* arrangement) {
  return arrangement == nullptr || arrangement->tag != tw_arrangement::kTag ? 0 : arrangement->steps.size();
}

tw_status tw_arrangement_step(const char** out, const tw_arrangement* arrangement, size_t index, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(out, "out");
    CheckHandle(arrangement, "tw_arrangement");
    CheckIndex(index, arrangement->steps.size(), "index");
    *out = arrangement->steps[index].c_str();
  });
}

tw_status tw_check_arrangement(int32_t* keeps_out, const tw_item* items, size_t item_count,
                               const tw_packaging* packaging, const tw_arrange_options* options,
                               const tw_arranged_unit* units, size_t unit_count, tw_error* error) {
  return Guard(error, [&] {
    CheckPointer(keeps_out, "keeps_out");
    const Task task = ReadTask(items, item_count, packaging, options);
    const std::vector<tarewise::Placement> placements = ReadPlacements(task.request, units, unit_count);
    const absl::StatusOr<std::optional<std::string>> wrong = CheckPackedGoods(task.request, task.packaging, placements);
    if (!wrong.ok()) FailPacking(wrong.status());
    if (wrong->has_value()) {
      tarewise::Diagnostic finding;
      finding.severity = tarewise::Diagnostic::Severity::kWarning;
      finding.message = **wrong;
      KeepWarnings(error, {finding});
    }
    *keeps_out = wrong->has_value() ? 0 : 1;
  });
}
