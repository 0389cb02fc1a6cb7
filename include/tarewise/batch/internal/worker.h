#ifndef TAREWISE_BATCH_INTERNAL_WORKER_H_
#define TAREWISE_BATCH_INTERNAL_WORKER_H_

#include <algorithm>
#include <array>
#include <atomic>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <unordered_map>
#include <utility>
#include <vector>

#include "tarewise/batch/internal/goods.h"
#include "tarewise/batch/internal/handicapped.h"
#include "tarewise/batch/internal/plan.h"
#include "tarewise/batch/internal/staircase.h"
#include "tarewise/batch/internal/store.h"
#include "tarewise/ranking/internal/overdue.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Prices rows one after another; one for each thread. What it remembers are only shortcuts into the store, so its
/// answers do not depend on what it saw before.
class RepriceWorker {
 public:
  using Word = Staircase::Word;

  /// With `keep_parts` records are never forgotten and stay in parts; there are at most `kMostRecords` of them.
  explicit RepriceWorker(RepriceStore& store, bool keep_parts = false)
      : store_(store),
        plan_(store.plan()),
        keep_parts_(keep_parts),
        lanes_(plan_.classes()),
        totals_(2 * lanes_),
        ways_(lanes_),
        words_(3 * lanes_),
        best_(plan_.handicapped() ? lanes_ : 0),
        table_masks_(plan_.tables().size()),
        group_masks_(plan_.groups().size()),
        group_cells_(plan_.groups().size()),
        key_(plan_.key_words()),
        slots_(kFirstSlots, kEmpty) {}

  /// Where a row's answers stand: in a staircase or in the worker, in words of the plan's unit or in millionths.
  struct Place {
    RowReason reason = RowReason::kPriced;
    const Word* words = nullptr;           ///< Totals, second totals and ways by lane class.
    const std::int64_t* totals = nullptr;  ///< Where `words` is nothing: totals and second totals,
    const Way* ways = nullptr;             ///< and ways.
  };

  /// A quick look: true where the answers are in a staircase, which keeps them for good, or there are none. Otherwise
  /// the row takes `Price`.
  bool Locate(const Goods& goods, Place& place) {
    place = {};
    place.reason = Fit(goods);
    if (place.reason != RowReason::kPriced) return true;
    const Record& record = Find(goods);
    if (record.upper == nullptr || goods.weight > record.known_to) return false;
    const std::size_t piece = Staircase::Find(record.upper, record.bounds, goods.weight);
    place.words = record.words + piece * 3 * lanes_;
    return true;
  }

  /// The answers, valid until the next call.
  Place Price(const Goods& goods) {
    Place place;
    place.reason = Fit(goods);
    if (place.reason != RowReason::kPriced) return place;
    Record& record = Find(goods);
    if (!record.one_by_one && goods.weight <= record.known_to && PriceParts(goods, record)) {
      place.words = words_.data();
      return place;
    }
    return PriceAll(goods);
  }

  /// The same without anything worked out before: every packaging that fits and every service.
  Place PriceOneByOne(const Goods& goods) {
    Place place;
    place.reason = Fit(goods);
    return place.reason == RowReason::kPriced ? PriceAll(goods) : place;
  }

  /// True where the offer of a way on a lane class goes by a value that is overdue.
  bool IsOverdue(const Goods& goods, std::size_t lane_class, Way way) {
    if (!plan_.overdue()) return false;
    const DispatchState& dispatch = plan_.on_lane(plan_.class_lanes()[lane_class]);
    const ServiceState& state = dispatch.services()[ServiceOf(way)];
    const CarrierState& carrier = dispatch.CarrierOf(state);
    if (!carrier.overdue) return false;
    const std::size_t p = PackagingOf(way);
    const Packed packed(plan_.packs()[p], OutsideIn(goods, p), goods, *store_.ContentsOf(goods.contents));
    const AskedGoods asked(dispatch, packed.facts, Amount::Micros(goods.value));
    const ShipmentFacts shipment = asked.FactsFor(carrier);
    const SideFacts sides = dispatch.MeasureSides(packed.facts, state);
    const std::int64_t height = CutHeight(goods, p);
    if (height != 0) {
      ParcelFacts cut = packed.facts;
      cut.sides = plan_.packs()[p].OutsideAt(height);
      const SideFacts cut_sides = dispatch.MeasureSides(cut, state);
      const std::optional<Amount> whole_total = dispatch.Total(state, packed.facts, shipment, sides);
      const std::optional<Amount> cut_total = dispatch.Total(state, cut, shipment, cut_sides);
      if (cut_total && (!whole_total || *cut_total < *whole_total)) {
        return internal::IsOverdue(carrier, {*state.compiled, state.rules, cut, shipment, state.zone, cut_sides});
      }
    }
    return internal::IsOverdue(carrier, {*state.compiled, state.rules, packed.facts, shipment, state.zone, sides});
  }

  static constexpr std::size_t kMostRecords = 1u << 16;
  static constexpr std::uint32_t kNoRecord = 0xFFFFFFFF;

  struct Part {
    std::uint16_t group = 0;
    std::uint64_t mask = 0;
    GroupCell* cell = nullptr;  ///< Nothing: always one by one.
    const Staircase* staircase = nullptr;
  };

  /// How a record's answers are found while they are not in one staircase.
  struct Parts {
    GoodsClass* goods = nullptr;
    std::vector<const Staircase*> all;    ///< Of fixed sides, in the order of the packagings; with `keep_parts`.
    std::vector<const Staircase*> fixed;  ///< Those of them that count.
    std::vector<Part> groups;
  };

  /// What rows with the same class, packagings and cells share.
  struct Record {
    const std::int64_t* upper = nullptr;  // of the one staircase; nothing: see `parts`
    const Word* words = nullptr;
    std::size_t bounds = 0;
    std::int64_t known_to = 0;
    std::uint32_t visits = 0;
    bool one_by_one = false;
    std::unique_ptr<Parts> parts;
  };

  /// The number of a row's record; `kNoRecord` where it has none: a reason is given, or there are too many.
  std::uint32_t RecordOf(const Goods& goods, RowReason& reason) {
    reason = Fit(goods);
    if (reason != RowReason::kPriced) return kNoRecord;
    const std::size_t before = records_.size();
    if (before >= kMostRecords) return kNoRecord;
    const Record& record = Find(goods);
    return static_cast<std::uint32_t>(&record - records_.data());
  }
  std::size_t records() const { return records_.size(); }
  Record& record(std::uint32_t number) { return records_[number]; }

  /// One service's totals for goods in a packaging, by lane class; `kNoOffer` where it does not take them.
  void ServiceTotals(const Goods& goods, std::size_t pack, std::size_t s, std::vector<std::int64_t>& out) {
    out.assign(lanes_, kNoOffer);
    if (!plan_.Allowed(s, pack)) return;
    const Packed packed(plan_.packs()[pack], OutsideIn(goods, pack), goods, *store_.ContentsOf(goods.contents));
    const DispatchState& dispatch = plan_.on_lane(0);
    PriceService(goods, packed.facts, dispatch.MeasureSides(packed.facts, dispatch.services()[s]), pack, s);
    for (std::size_t lane = 0; lane < lanes_; ++lane) {
      const std::int32_t k = plan_.services()[s].class_of_lane[lane];
      if (k >= 0) out[lane] = own_[static_cast<std::size_t>(k)];
    }
  }

  /// Finds what a record's parts still lack, from goods that it holds, and with `work_out` works it out where nobody
  /// has; false where a part is still without.
  bool Complete(Record& record, const Goods& goods, bool work_out) {
    for (Part& part : record.parts->groups) {
      if (part.staircase == nullptr && part.cell != nullptr) {
        part.staircase = part.cell->staircase.load(std::memory_order_acquire);
        if (part.staircase == nullptr && work_out) part.staircase = WorkOut(goods, record, part);
      }
      if (part.staircase == nullptr) return false;
    }
    return true;
  }

 private:
  static constexpr std::size_t kFirstSlots = 1024;
  static constexpr std::uint32_t kEmpty = 0xFFFFFFFF;
  static constexpr std::uint32_t kVisitsToCompile = 4;       // a cell of bounded packagings
  static constexpr std::uint32_t kVisitsToCompileWide = 24;  // one of many cells
  static constexpr std::uint32_t kVisitsToMerge = 32;

  Answers<Word> Compact() { return {words_.data(), words_.data() + lanes_, words_.data() + 2 * lanes_}; }
  Answers<std::int64_t> Wide() { return {totals_.data(), totals_.data() + lanes_, ways_.data()}; }

  // Which packagings take the goods, and the cell of each group that does.
  RowReason Fit(const Goods& goods) {
    several_ = nullptr;
    if (goods.several()) return FitSeveral(goods);
    const std::int64_t padding = plan_.PaddingOf(goods);
    std::uint64_t any = 0;
    for (std::size_t t = 0; t < table_masks_.size(); ++t) {
      table_masks_[t] = plan_.tables()[t].Fitting(goods, padding);
      any |= table_masks_[t];
    }
    for (std::size_t g = 0; g < group_masks_.size(); ++g) {
      const PackGroup& group = plan_.groups()[g];
      const std::uint64_t mask = group.fit.Fitting(goods);
      group_masks_[g] = mask;
      group_cells_[g] = 0;
      if (mask == 0) continue;
      any |= mask;
      if (group.bounded && group.cells[0].single()) continue;
      if (!FindCell(goods, g)) return RowReason::kBadSide;
    }
    return FitEnd(goods, any);
  }

  // Of several units: what they go into was found when they were packed, but for piles.
  RowReason FitSeveral(const Goods& goods) {
    const SeveralFits& fits = FitsOf(goods);
    if (fits.bad_side) return RowReason::kBadSide;
    several_ = &fits;
    std::uint64_t any = 0;
    table_masks_ = fits.tables;
    group_masks_ = fits.groups;
    for (const std::uint64_t mask : table_masks_) any |= mask;
    for (std::size_t g = 0; g < group_masks_.size(); ++g) {
      const PackGroup& group = plan_.groups()[g];
      group_cells_[g] = 0;
      if (!group.bounded) {
        group_masks_[g] = group.fit.Fitting(goods);
        if (group_masks_[g] != 0 && !FindCell(goods, g)) return RowReason::kBadSide;
      }
      any |= group_masks_[g];
    }
    return FitEnd(goods, any);
  }

  // The cell of a group whose packagings all make the same sides; false where a side is past what is accepted.
  bool FindCell(const Goods& goods, std::size_t g) {
    const PackGroup& group = plan_.groups()[g];
    const std::array<std::int64_t, 3> sides = plan_.packs()[group.packs[0]].Outside(goods);
    if (sides[0] > Length::kMostSideNanometres) return false;
    const CellIndex& cells = group.cells[!group.bounded && Irregular(goods) ? 1 : 0];
    group_cells_[g] = cells.Of(sides).value_or(kNoCell);
    return true;
  }

  RowReason FitEnd(const Goods& goods, std::uint64_t any) {
    if (any == 0) return RowReason::kFitsNothing;
    if (plan_.has_bad_packs() || goods.weight + plan_.most_around() > Weight::kMostNanograms) return FitOddly(goods);
    return RowReason::kPriced;
  }

  // Kept until the next call.
  const SeveralFits& FitsOf(const Goods& goods) {
    const UnitKind kind = goods.kind();
    const UnitKindSpan kinds = goods.order != nullptr ? UnitKindSpan(*goods.order) : UnitKindSpan(&kind, 1);
    const auto known = fits_.find(kinds);
    if (known != fits_.end()) return *known->second;
    if (fits_.size() >= kMostFits) fits_.clear();
    return *fits_.emplace(UnitKinds(kinds.begin(), kinds.end()), store_.quantity_fits().Of(kinds)).first->second;
  }

  // The sides of the parcel in a packaging that takes the goods, longest first.
  std::array<std::int64_t, 3> OutsideIn(const Goods& goods, std::size_t p) {
    const Pack& pack = plan_.packs()[p];
    if (goods.several() && pack.how != Pack::Sides::kFixed) {
      if (const SeveralFits::Own* own = FitsOf(goods).Find(p); own != nullptr) return own->sides;
    }
    return pack.Outside(goods);
  }

  // The height of the outside of a carton that is cut down to goods that it takes; 0: it stays whole.
  std::int64_t CutHeight(const Goods& goods, std::size_t p) {
    const auto& pack = plan_.packs()[p];
    if (!pack.cut_down()) return 0;
    if (goods.several()) return FitsOf(goods).cut_heights[p];
    const PackUnit unit = PackUnitOf(goods.kind());
    return PilePacker().Pack({&unit, 1}, *pack.packaging, plan_.Padding()).cut_height.value_or(0);
  }

  static bool Irregular(const Goods& goods) { return goods.shape == Shape::kTube || goods.shape == Shape::kIrregular; }

  // Parcels past what is accepted make the whole row an error, as they do a ranking.
  RowReason FitOddly(const Goods& goods) {
    RowReason reason = RowReason::kPriced;
    ForEachFitting([&](std::size_t p) {
      const Pack& pack = plan_.packs()[p];
      for (const std::int64_t side : OutsideIn(goods, p)) {
        if (side < 1 || side > Length::kMostSideNanometres) reason = RowReason::kBadSide;
      }
      if (pack.Gross(goods.weight) > Weight::kMostNanograms && reason == RowReason::kPriced) {
        reason = RowReason::kTooHeavyPacked;
      }
    });
    return reason;
  }

  template <typename F>
  void ForEachFitting(F f) const {
    for (std::size_t t = 0; t < table_masks_.size(); ++t) {
      const std::vector<std::uint16_t>& packs = plan_.tables()[t].packs();
      for (std::size_t i = 0; i < packs.size(); ++i) {
        if ((table_masks_[t] >> i) & 1u) f(packs[i]);
      }
    }
    for (std::size_t g = 0; g < group_masks_.size(); ++g) {
      const std::vector<std::uint16_t>& packs = plan_.groups()[g].packs;
      for (std::size_t i = 0; i < packs.size(); ++i) {
        if ((group_masks_[g] >> i) & 1u) f(packs[i]);
      }
    }
  }

  // ---- one by one ----

  Place PriceAll(const Goods& goods) {
    const Answers<std::int64_t> answers = Wide();
    Clear(answers, lanes_);
    const GoodsContents* contents = store_.ContentsOf(goods.contents);
    if (plan_.handicapped()) {
      PriceAllHandicapped(goods, *contents);
    } else {
      ForEachFitting([&](std::size_t p) {
        PricePack(goods, *contents, p, [&](std::size_t lane, std::int64_t total, Way way, std::int64_t) {
          TakeInOne(plan_.order(), lane, answers, total, way);
        });
      });
    }
    Place place;
    place.totals = totals_.data();
    place.ways = ways_.data();
    return place;
  }

  // The order goes by more than the totals that are told.
  void PriceAllHandicapped(const Goods& goods, const GoodsContents& contents) {
    std::fill(best_.begin(), best_.end(), BestTwo());
    ForEachFitting([&](std::size_t p) {
      PricePack(goods, contents, p, [&](std::size_t lane, std::int64_t total, Way way, std::int64_t handicap) {
        best_[lane].TakeIn(plan_.order(), lane, {total + handicap, total, way});
      });
    });
    for (std::size_t lane = 0; lane < lanes_; ++lane) {
      totals_[lane] = best_[lane].best().total;
      totals_[lanes_ + lane] = best_[lane].second().total;
      ways_[lane] = best_[lane].best().way;
    }
  }

  // Calls `offer(lane, total, way, handicap)` for each offer of one packaging.
  template <typename F>
  void PricePack(const Goods& goods, const GoodsContents& contents, std::size_t p, F offer) {
    const Packed packed(plan_.packs()[p], OutsideIn(goods, p), goods, contents);
    DispatchState::SideProfiles profiles;
    plan_.on_lane(0).MeasureSides(packed.facts, profiles);
    const std::int64_t height = CutHeight(goods, p);
    ParcelFacts cut = packed.facts;
    DispatchState::SideProfiles cut_profiles;
    if (height != 0) {
      cut.sides = plan_.packs()[p].OutsideAt(height);
      plan_.on_lane(0).MeasureSides(cut, cut_profiles);
    }
    for (std::size_t s = 0; s < plan_.services().size(); ++s) {
      if (!plan_.Allowed(s, p)) continue;
      const PlannedService& service = plan_.services()[s];
      PriceService(goods, packed.facts, profiles[service.side_profile], p, s);
      if (height != 0) {
        whole_ = own_;
        PriceService(goods, cut, cut_profiles[service.side_profile], p, s);
        for (std::size_t k = 0; k < own_.size(); ++k) own_[k] = std::min(own_[k], whole_[k]);
      }
      for (std::size_t lane = 0; lane < lanes_; ++lane) {
        const std::int32_t k = service.class_of_lane[lane];
        if (k < 0 || own_[static_cast<std::size_t>(k)] == kNoOffer) continue;
        offer(lane, own_[static_cast<std::size_t>(k)], MakeWay(s, p), handicaps_[static_cast<std::size_t>(k)]);
      }
    }
  }

  // Goods in a packaging.
  struct Packed {
    Packed(const Pack& pack, const std::array<std::int64_t, 3>& outside, const Goods& goods,
           const GoodsContents& contents)
        : facts(pack.Facts(goods.shape)) {
      facts.weight = pack.Gross(goods.weight);
      facts.sides = outside;
      facts.rigid = goods.rigid;
      facts.contents = &contents.contents;
      facts.items = contents.items;
    }

    ParcelFacts facts;
  };

  // One service's totals for goods in a packaging, on its own lane classes.
  void PriceService(const Goods& goods, const ParcelFacts& facts, const SideFacts& sides, std::size_t p,
                    std::size_t s) {
    const PlannedService& service = plan_.services()[s];
    own_.resize(service.lanes.size());
    handicaps_.resize(service.lanes.size());
    for (std::size_t k = 0; k < own_.size(); ++k) {
      const DispatchState& dispatch = plan_.on_lane(service.lanes[k]);
      const CarrierState& carrier = dispatch.carriers()[service.carrier];
      const ServiceState& state = dispatch.services()[s];
      const AskedGoods asked(dispatch, facts, Amount::Micros(goods.value));
      const ShipmentFacts shipment = asked.FactsFor(carrier);
      const std::optional<Amount> total = dispatch.Total(state, facts, shipment, sides);
      own_[k] = plan_.Converted(carrier, total ? total->micros() : kNoOffer, plan_.packs()[p]);
      handicaps_[k] = dispatch.HandicapOf(state, facts, shipment, Amount::Micros(goods.value)).micros();
    }
  }

  // ---- by staircases ----

  // False where the row is to be priced one by one.
  bool PriceParts(const Goods& goods, Record& record) {
    if (record.upper != nullptr) {
      const Word* found = record.words + Staircase::Find(record.upper, record.bounds, goods.weight) * words_.size();
      std::copy(found, found + words_.size(), words_.begin());
      return true;
    }
    const Answers<Word> answers = Compact();
    Clear(answers, lanes_);
    for (const Staircase* staircase : record.parts->fixed) {
      TakeInAll(plan_.order(), lanes_, answers, staircase->Find(goods.weight));
    }
    bool complete = true;
    bool held = true;
    for (Part& part : record.parts->groups) {
      if (part.staircase == nullptr && part.cell != nullptr) Compile(goods, record, part);
      if (part.staircase != nullptr) {
        if (goods.weight > part.staircase->known_to()) return false;
        TakeInAll(plan_.order(), lanes_, answers, part.staircase->Find(goods.weight));
        continue;
      }
      complete = false;
      const std::vector<std::uint16_t>& packs = plan_.groups()[part.group].packs;
      for (std::size_t i = 0; i < packs.size(); ++i) {
        if (((part.mask >> i) & 1u) == 0) continue;
        PricePack(goods, *record.parts->goods->contents, packs[i],
                  [&](std::size_t lane, std::int64_t micros, Way way, std::int64_t) {
                    Word total = 0;
                    held = held && plan_.ToWord(micros, total);
                    TakeInOne(plan_.order(), lane, answers, total, way);
                  });
      }
    }
    if (complete && !keep_parts_ && ++record.visits >= kVisitsToMerge) MakeWhole(record);
    return held;
  }

  void Compile(const Goods& goods, Record& record, Part& part) {
    part.staircase = part.cell->staircase.load(std::memory_order_acquire);
    if (part.staircase != nullptr) return;
    const bool bounded = plan_.groups()[part.group].bounded;
    const std::uint32_t visits = part.cell->visits.fetch_add(1, std::memory_order_relaxed) + 1;
    if (visits < (bounded ? kVisitsToCompile : kVisitsToCompileWide)) return;
    part.staircase = WorkOut(goods, record, part);
  }

  // A part's packagings make alike parcels.
  const Staircase* WorkOut(const Goods& goods, const Record& record, const Part& part) {
    const std::size_t pack = plan_.groups()[part.group].packs[static_cast<std::size_t>(std::countr_zero(part.mask))];
    return store_.CellStaircase(*part.cell, *record.parts->goods, part.group, part.mask, OutsideIn(goods, pack),
                                goods.shape);
  }

  void MakeWhole(Record& record) {
    std::vector<const Staircase*> parts = record.parts->fixed;
    for (const Part& part : record.parts->groups) {
      parts.push_back(part.staircase);
      record.known_to = std::min(record.known_to, part.staircase->known_to());
    }
    store_.Reduce(parts);
    const Staircase* whole = parts.size() == 1 ? parts[0] : store_.Merged(std::move(parts));
    if (whole != nullptr) SetWhole(*whole, record);
  }

  static void SetWhole(const Staircase& whole, Record& record) {
    if (whole.upper.empty()) return;
    record.upper = whole.upper.data();
    record.bounds = whole.upper.size();
    record.words = whole.words.data();
    record.known_to = std::min(record.known_to, whole.known_to());
    record.parts.reset();
  }

  // ---- records ----

  GoodsClass* ClassOf(const Goods& goods) {
    const std::uint64_t key = std::uint64_t{goods.contents} << 32 | std::uint64_t{plan_.ValueBand(goods.value)} << 1 |
                              (goods.rigid ? 1u : 0u);
    ClassSlot& slot = classes_[(key * 0x9E3779B97F4A7C15u) >> 56];
    if (slot.goods == nullptr || slot.key != key) slot = {key, store_.ClassOf(goods)};
    return slot.goods;
  }

  Record& Find(const Goods& goods) {
    GoodsClass* const goods_class = ClassOf(goods);
    std::fill(key_.begin(), key_.end(), 0);
    if (several_ != nullptr) {
      KeyOfSeveral(goods, *goods_class);
    } else {
      KeyOfOne(goods, *goods_class);
    }
    std::uint64_t hash = 0;
    for (const std::uint64_t value : key_) hash = (hash ^ value) * 0x9E3779B97F4A7C15u, hash ^= hash >> 29;
    const std::size_t mask = slots_.size() - 1;
    for (std::size_t slot = hash & mask;; slot = (slot + 1) & mask) {
      const std::uint32_t index = slots_[slot];
      if (index == kEmpty) return Add(goods, *goods_class, slot, hash);
      const std::uint64_t* known = keys_.data() + index * key_.size();
      bool same = true;
      for (std::size_t i = 0; i < key_.size(); ++i) same = same && known[i] == key_[i];
      if (same) return records_[index];
    }
  }

  void KeyOfOne(const Goods& goods, const GoodsClass& goods_class) {
    const RepricePlan::Field* field = plan_.fields().data();
    auto put = [&](std::uint64_t value) {
      key_[field->word] |= value << field->shift;
      ++field;
    };
    put(goods_class.number);
    const RepricePlan::Field* const shape_field = field++;
    bool shaped = false;
    for (const std::uint64_t mask : table_masks_) put(mask);
    for (std::size_t g = 0; g < group_masks_.size(); ++g) {
      const PackGroup& group = plan_.groups()[g];
      put(group_masks_[g]);
      put(group_cells_[g] != kNoCell ? group_cells_[g] : std::max(group.cells[0].count(), group.cells[1].count()));
      shaped = shaped || (group_masks_[g] != 0 && !group.bounded);
    }
    if (shaped) key_[shape_field->word] |= static_cast<std::uint64_t>(goods.shape) << shape_field->shift;
  }

  // In words of their own: class and shape, what the units go into, and the cell of each pile. A class of one unit
  // never has this bit.
  void KeyOfSeveral(const Goods& goods, const GoodsClass& goods_class) {
    constexpr std::uint64_t kOfSeveral = std::uint64_t{1} << 31;
    key_[0] = goods_class.number | kOfSeveral;
    key_[1] = several_->number;
    std::size_t word = 2;
    for (std::size_t g = 0; g < group_masks_.size(); ++g) {
      const PackGroup& group = plan_.groups()[g];
      if (group.bounded) continue;
      if (group_masks_[g] != 0) {
        key_[0] |= (1 + static_cast<std::uint64_t>(goods.shape)) << 32;
        key_[word] = group_cells_[g] != kNoCell ? 1 + group_cells_[g] : kNoCell;
      }
      ++word;
    }
  }

  Record& Add(const Goods& goods, GoodsClass& goods_class, std::size_t slot, std::uint64_t hash) {
    if (records_.size() >= kMostRecords) {
      // Rows never see the difference; only the shortcuts are found again.
      records_.clear();
      keys_.clear();
      hashes_.clear();
      std::fill(slots_.begin(), slots_.end(), kEmpty);
      slot = hash & (slots_.size() - 1);
    }
    slots_[slot] = static_cast<std::uint32_t>(records_.size());
    keys_.insert(keys_.end(), key_.begin(), key_.end());
    hashes_.push_back(hash);
    Record& record = records_.emplace_back();
    Fill(goods, goods_class, record);
    if (records_.size() * 2 > slots_.size()) Grow();
    return record;
  }

  void Grow() {
    slots_.assign(slots_.size() * 2, kEmpty);
    const std::size_t mask = slots_.size() - 1;
    for (std::uint32_t i = 0; i < records_.size(); ++i) {
      std::size_t slot = hashes_[i] & mask;
      while (slots_[slot] != kEmpty) slot = (slot + 1) & mask;
      slots_[slot] = i;
    }
  }

  void Fill(const Goods& goods, GoodsClass& goods_class, Record& record) {
    if (!goods_class.value_known || plan_.one_by_one()) {
      record.one_by_one = true;
      return;
    }
    record.known_to = kNoOffer;
    record.parts = std::make_unique<Parts>();
    record.parts->goods = &goods_class;
    std::vector<const Staircase*>& fixed = record.parts->fixed;
    for (std::size_t t = 0; t < table_masks_.size(); ++t) {
      const std::vector<std::uint16_t>& packs = plan_.tables()[t].packs();
      for (std::size_t i = 0; i < packs.size(); ++i) {
        if (((table_masks_[t] >> i) & 1u) == 0) continue;
        fixed.push_back(store_.FixedStaircase(goods_class, packs[i]));
        record.known_to = std::min(record.known_to, fixed.back()->known_to());
      }
    }
    if (keep_parts_) record.parts->all = fixed;
    store_.Reduce(fixed);
    for (std::size_t g = 0; g < group_masks_.size(); ++g) {
      const bool bounded = plan_.groups()[g].bounded;
      if (group_masks_[g] == 0 || (several_ != nullptr && bounded)) continue;
      AddPart(goods_class, g, group_masks_[g], group_cells_[g], bounded ? Shape::kBox : goods.shape, *record.parts);
    }
    if (several_ != nullptr) {
      for (const SeveralFits::Own& own : several_->own) {
        AddPart(goods_class, own.group, own.bit, own.cell, Shape::kBox, *record.parts);
      }
    }
    if (!keep_parts_ && record.parts->groups.empty() && fixed.size() == 1) SetWhole(*fixed[0], record);
  }

  void AddPart(GoodsClass& goods_class, std::size_t group, std::uint64_t mask, std::uint64_t cell, Shape shape,
               Parts& parts) {
    Part part;
    part.group = static_cast<std::uint16_t>(group);
    part.mask = mask;
    if (cell != kNoCell) part.cell = store_.CellOf(goods_class, group, mask, cell, shape);
    parts.groups.push_back(part);
  }

  static constexpr std::size_t kMostFits = std::size_t{1} << 16;
  static constexpr std::uint64_t kNoCell = SeveralFits::kNoCell;
  struct ClassSlot {
    std::uint64_t key = 0;
    GoodsClass* goods = nullptr;
  };

  RepriceStore& store_;
  const RepricePlan& plan_;
  bool keep_parts_;
  std::size_t lanes_;
  std::vector<std::int64_t> totals_;
  std::vector<Way> ways_;
  std::vector<Word> words_;
  std::vector<std::int64_t> own_;        // of one service, by its own lane classes: totals,
  std::vector<std::int64_t> handicaps_;  // and what counts beside them
  std::vector<std::int64_t> whole_;      // totals in a carton that is not cut down
  std::vector<BestTwo> best_;
  std::vector<std::uint64_t> table_masks_;
  std::vector<std::uint64_t> group_masks_;
  std::vector<std::uint64_t> group_cells_;
  std::vector<std::uint64_t> key_;
  std::array<ClassSlot, 256> classes_ = {};
  std::unordered_map<UnitKinds, std::shared_ptr<const SeveralFits>, UnitKindsHash, UnitKindsEqual> fits_;
  const SeveralFits* several_ = nullptr;  // of the goods at hand where they are several units
  std::vector<Record> records_;
  std::vector<std::uint64_t> keys_;
  std::vector<std::uint64_t> hashes_;
  std::vector<std::uint32_t> slots_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_BATCH_INTERNAL_WORKER_H_
