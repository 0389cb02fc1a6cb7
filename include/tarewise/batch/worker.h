#ifndef TAREWISE_BATCH_WORKER_H_
#define TAREWISE_BATCH_WORKER_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "tarewise/batch/envelope.h"
#include "tarewise/batch/goods.h"
#include "tarewise/batch/plan.h"

namespace tarewise::detail {

/// Prices rows one after another; one for each thread. What it remembers are only shortcuts into the plan, so its answers do
/// not depend on what it saw before.
class RepriceWorker {
 public:
  explicit RepriceWorker(RepricePlan& plan)
      : plan_(plan),
        answers_(plan.classes()),
        table_masks_(plan.tables().size()),
        group_masks_(plan.groups().size()),
        group_cells_(plan.groups().size()),
        words_(1 + plan.tables().size() + 2 * plan.groups().size()),
        key_(words_),
        slots_(kFirstSlots, kEmpty) {}

  /// The best offers by lane class, valid until the next call; nothing where `reason` says why.
  const Answer* Price(const Goods& goods, RowReason& reason) {
    reason = Fit(goods);
    if (reason != RowReason::kPriced) return nullptr;
    Record& record = Find(goods);
    if (record.one_by_one || goods.weight > record.known_to) return PriceAll(goods);
    if (record.whole != nullptr) return record.whole->At(goods.weight, plan_.classes());
    return PriceParts(goods, record);
  }

  /// The same without anything worked out before: every packaging that fits and every service.
  const Answer* PriceOneByOne(const Goods& goods, RowReason& reason) {
    reason = Fit(goods);
    return reason == RowReason::kPriced ? PriceAll(goods) : nullptr;
  }

 private:
  static constexpr std::size_t kFirstSlots = 1024;
  static constexpr std::uint32_t kEmpty = 0xFFFFFFFF;
  static constexpr std::size_t kMostRecords = 1u << 16;
  static constexpr std::uint32_t kVisitsToCompile = 4;        // a cell of bounded packagings
  static constexpr std::uint32_t kVisitsToCompileWide = 24;   // one of many cells
  static constexpr std::uint32_t kVisitsToMerge = 48;

  struct Part {
    std::uint16_t group = 0;
    std::uint64_t mask = 0;
    GroupCell* cell = nullptr;  // nothing: always one by one
    const Envelope* envelope = nullptr;
  };

  // What rows with the same class, packagings and cells share.
  struct Record {
    GoodsClass* goods = nullptr;
    const Envelope* whole = nullptr;
    std::int64_t known_to = 0;
    std::uint32_t visits = 0;
    bool one_by_one = false;
    bool never_whole = false;
    std::vector<const Envelope*> fixed;
    std::vector<Part> parts;
  };

  // Which packagings take the goods, and the cell of each group that does.
  RowReason Fit(const Goods& goods) {
    const std::int64_t padding = plan_.PaddingOf(goods);
    std::uint64_t any = 0;
    for (std::size_t t = 0; t < table_masks_.size(); ++t) {
      table_masks_[t] = plan_.tables()[t].Fitting(goods, padding);
      any |= table_masks_[t];
    }
    for (std::size_t g = 0; g < group_masks_.size(); ++g) {
      const PackGroup& group = plan_.groups()[g];
      std::uint64_t mask = 0;
      for (std::size_t i = 0; i < group.packs.size(); ++i) {
        if (plan_.packs()[group.packs[i]].Fits(goods, padding)) mask |= std::uint64_t{1} << i;
      }
      group_masks_[g] = mask;
      group_cells_[g] = std::nullopt;
      if (mask == 0) continue;
      any |= mask;
      const Pack& pack = plan_.packs()[group.packs[0]];
      const std::array<std::int64_t, 3> sides = pack.Outside(goods);
      if (sides[0] > Length::kMostSideNanometres) return RowReason::kBadSide;
      const bool irregular =
          !group.bounded && (goods.shape == Shape::kTube || goods.shape == Shape::kIrregular);
      group_cells_[g] = group.cells[irregular ? 1 : 0].Of(sides);
    }
    if (any == 0) return RowReason::kFitsNothing;
    if (plan_.has_bad_packs() || goods.weight + plan_.most_around() > Weight::kMostNanograms) return FitOddly(goods);
    return RowReason::kPriced;
  }

  // Parcels past what is accepted make the whole row an error, as they do a ranking.
  RowReason FitOddly(const Goods& goods) {
    RowReason reason = RowReason::kPriced;
    ForEachFitting([&](std::size_t p) {
      const Pack& pack = plan_.packs()[p];
      for (const std::int64_t side : pack.Outside(goods)) {
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

  const Answer* PriceAll(const Goods& goods) {
    Begin();
    const Contents* contents = plan_.ContentsOf(goods.contents);
    ForEachFitting([&](std::size_t p) { PricePack(goods, *contents, p); });
    return answers_.data();
  }

  void Begin() { std::fill(answers_.begin(), answers_.end(), Answer{}); }

  void PricePack(const Goods& goods, const Contents& contents, std::size_t p) {
    const Pack& pack = plan_.packs()[p];
    const Contents* items[1] = {&contents};
    ParcelFacts facts = pack.Facts(goods.shape);
    facts.weight = pack.Gross(goods.weight);
    facts.sides = pack.Outside(goods);
    facts.rigid = goods.rigid;
    facts.contents = &contents;
    facts.items = items;
    Dispatch::SideProfiles profiles;
    plan_.dispatch(0)->MeasureSides(facts, profiles);
    const std::size_t lanes = plan_.classes();
    for (std::size_t s = 0; s < plan_.services().size(); ++s) {
      if (!plan_.Allowed(s, p)) continue;
      const PlannedService& service = plan_.services()[s];
      own_.resize(service.lanes.size());
      for (std::size_t k = 0; k < own_.size(); ++k) {
        const Dispatch& dispatch = *plan_.dispatch(service.lanes[k]);
        const Dispatch::Carrier& carrier = dispatch.carriers()[service.carrier];
        const ShipmentFacts shipment = dispatch.Shipment(carrier, Amount::Micros(goods.value));
        const std::optional<Amount> total =
            dispatch.Total(dispatch.services()[s], facts, shipment, profiles[service.side_profile]);
        own_[k] = plan_.Converted(carrier, total ? total->micros() : kNoOffer, pack);
      }
      for (std::size_t lane = 0; lane < lanes; ++lane) {
        const std::int32_t k = service.class_of_lane[lane];
        if (k < 0 || own_[static_cast<std::size_t>(k)] == kNoOffer) continue;
        MergeOne(plan_.order(), lane, answers_[lane], own_[static_cast<std::size_t>(k)], static_cast<std::int16_t>(s),
                 static_cast<std::int16_t>(p));
      }
    }
  }

  // ---- by envelopes ----

  const Answer* PriceParts(const Goods& goods, Record& record) {
    Begin();
    bool complete = true;
    for (const Envelope* envelope : record.fixed) Take(*envelope, goods.weight);
    for (Part& part : record.parts) {
      if (part.envelope == nullptr && part.cell != nullptr) Compile(goods, record, part);
      if (part.envelope != nullptr) {
        if (goods.weight > part.envelope->known_to()) return PriceAll(goods);
        Take(*part.envelope, goods.weight);
        continue;
      }
      complete = false;
      const Contents* contents = record.goods->contents;
      const std::vector<std::uint16_t>& packs = plan_.groups()[part.group].packs;
      for (std::size_t i = 0; i < packs.size(); ++i) {
        if ((part.mask >> i) & 1u) PricePack(goods, *contents, packs[i]);
      }
    }
    ++record.visits;
    if (complete && !record.never_whole && record.visits >= kVisitsToMerge) MakeWhole(record);
    return answers_.data();
  }

  void Take(const Envelope& envelope, std::int64_t weight) {
    const Answer* at = envelope.At(weight, plan_.classes());
    for (std::size_t lane = 0; lane < answers_.size(); ++lane) Merge(plan_.order(), lane, answers_[lane], at[lane]);
  }

  void Compile(const Goods& goods, Record& record, Part& part) {
    part.envelope = part.cell->envelope.load(std::memory_order_acquire);
    if (part.envelope != nullptr) return;
    const bool bounded = plan_.groups()[part.group].bounded;
    const std::uint32_t visits = part.cell->visits.fetch_add(1, std::memory_order_relaxed) + 1;
    if (visits < (bounded ? kVisitsToCompile : kVisitsToCompileWide)) return;
    part.envelope = plan_.CellEnvelope(*part.cell, *record.goods, part.group, part.mask, goods);
  }

  void MakeWhole(Record& record) {
    std::vector<const Envelope*> parts = record.fixed;
    for (const Part& part : record.parts) parts.push_back(part.envelope);
    const Envelope* whole = plan_.Merged(std::move(parts));
    if (whole == nullptr) {
      record.never_whole = true;
      return;
    }
    record.whole = whole;
    record.known_to = std::min(record.known_to, whole->known_to());
  }

  // ---- records ----

  GoodsClass* ClassOf(const Goods& goods) {
    const std::uint64_t key = std::uint64_t{goods.contents} << 32 |
                              std::uint64_t{plan_.ValueBand(goods.value)} << 1 | (goods.rigid ? 1u : 0u);
    ClassSlot& slot = classes_[(key * 0x9E3779B97F4A7C15u) >> 56];
    if (slot.goods == nullptr || slot.key != key) slot = {key, plan_.ClassOf(goods)};
    return slot.goods;
  }

  Record& Find(const Goods& goods) {
    GoodsClass* const goods_class = ClassOf(goods);
    std::size_t word = 0;
    bool shaped = false;
    for (const std::uint64_t mask : table_masks_) key_[++word] = mask;
    for (std::size_t g = 0; g < group_masks_.size(); ++g) {
      key_[++word] = group_masks_[g];
      key_[++word] = group_cells_[g].value_or(kNoCell);
      shaped = shaped || (group_masks_[g] != 0 && !plan_.groups()[g].bounded);
    }
    key_[0] = std::uint64_t{goods_class->number} << 8 | (shaped ? static_cast<std::uint64_t>(goods.shape) : 0);
    std::uint64_t hash = 0;
    for (const std::uint64_t value : key_) hash = (hash ^ value) * 0x9E3779B97F4A7C15u, hash ^= hash >> 29;
    const std::size_t mask = slots_.size() - 1;
    for (std::size_t slot = hash & mask;; slot = (slot + 1) & mask) {
      const std::uint32_t index = slots_[slot];
      if (index == kEmpty) return Add(goods, *goods_class, slot, hash);
      if (std::equal(key_.begin(), key_.end(), keys_.begin() + static_cast<std::ptrdiff_t>(index * words_))) {
        return records_[index];
      }
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
    record.goods = &goods_class;
    if (!goods_class.value_known) {
      record.one_by_one = true;
      return;
    }
    record.known_to = kNoOffer;
    for (std::size_t t = 0; t < table_masks_.size(); ++t) FillFixed(goods_class, t, record);
    for (std::size_t g = 0; g < group_masks_.size(); ++g) {
      if (group_masks_[g] == 0) continue;
      Part part;
      part.group = static_cast<std::uint16_t>(g);
      part.mask = group_masks_[g];
      const Shape shape = plan_.groups()[g].bounded ? Shape::kBox : goods.shape;
      if (group_cells_[g]) part.cell = plan_.CellOf(goods_class, g, part.mask, *group_cells_[g], shape);
      record.parts.push_back(part);
    }
    if (record.parts.empty() && record.fixed.size() == 1) record.whole = record.fixed[0];
  }

  // The envelopes of the packagings of a table that fit, less those that others leave nothing to.
  void FillFixed(GoodsClass& goods_class, std::size_t t, Record& record) {
    const std::vector<std::uint16_t>& packs = plan_.tables()[t].packs();
    std::vector<std::uint16_t> kept;
    for (std::size_t i = 0; i < packs.size(); ++i) {
      if (((table_masks_[t] >> i) & 1u) == 0) continue;
      const std::uint16_t p = packs[i];
      record.known_to = std::min(record.known_to, plan_.FixedEnvelope(goods_class, p)->known_to());
      if (std::any_of(kept.begin(), kept.end(),
                      [&](std::uint16_t other) { return plan_.DominatesFixed(goods_class, other, p); })) {
        continue;
      }
      std::erase_if(kept, [&](std::uint16_t other) { return plan_.DominatesFixed(goods_class, p, other); });
      kept.push_back(p);
    }
    for (const std::uint16_t p : kept) record.fixed.push_back(plan_.FixedEnvelope(goods_class, p));
  }

  static constexpr std::uint64_t kNoCell = 0xFFFFFFFFFFFFFFFF;
  struct ClassSlot {
    std::uint64_t key = 0;
    GoodsClass* goods = nullptr;
  };

  RepricePlan& plan_;
  std::vector<Answer> answers_;
  std::vector<std::int64_t> own_;
  std::vector<std::uint64_t> table_masks_;
  std::vector<std::uint64_t> group_masks_;
  std::vector<std::optional<std::uint64_t>> group_cells_;
  std::size_t words_;
  std::vector<std::uint64_t> key_;
  std::array<ClassSlot, 256> classes_ = {};
  std::vector<Record> records_;
  std::vector<std::uint64_t> keys_;
  std::vector<std::uint64_t> hashes_;
  std::vector<std::uint32_t> slots_;
};

}  // namespace tarewise::detail

#endif  // TAREWISE_BATCH_WORKER_H_
