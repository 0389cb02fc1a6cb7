#ifndef TAREWISE_BATCH_INTERNAL_STORE_H_
#define TAREWISE_BATCH_INTERNAL_STORE_H_

#include <algorithm>
#include <array>
#include <atomic>
#include <cstddef>
#include <cstdint>
#include <map>
#include <memory>
#include <mutex>
#include <span>
#include <string>
#include <tuple>
#include <unordered_map>
#include <unordered_set>
#include <utility>
#include <vector>

#include "tarewise/batch/internal/build.h"
#include "tarewise/batch/internal/goods.h"
#include "tarewise/batch/internal/plan.h"
#include "tarewise/batch/internal/quantity_fits.h"
#include "tarewise/batch/internal/staircase.h"
#include "tarewise/ranking/internal/request_goods.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// Goods that every service treats alike.
struct GoodsClass {
  std::uint32_t number = 0;
  const GoodsContents* contents = nullptr;
  bool rigid = false;
  std::int64_t value = 0;               ///< One that stands for the class, ranking's currency.
  bool value_known = true;              ///< False: worth so much that rows are priced one by one.
  std::vector<std::uint32_t> outcomes;  ///< By service: a number for how its tests of goods and of the value come out.
  std::vector<std::atomic<const Staircase*>> staircases;  ///< By packaging of fixed sides.
};

/// A cell of a group for a class of goods and some of its packagings: its staircase, once it has been asked for often
/// enough.
struct GroupCell {
  std::atomic<const Staircase*> staircase{nullptr};
  std::atomic<std::uint32_t> visits{0};
  std::shared_ptr<const Staircase> kept;  ///< Of several packagings.
};

/// What has been worked out from a plan so far. It grows as rows need it, under a lock; what is in it never changes or
/// goes away while it lives, so pointers into it may be kept and read without the lock. Where memory runs out nothing
/// half worked out stays in it.
class RepriceStore {
 public:
  explicit RepriceStore(std::shared_ptr<const RepricePlan> plan)
      : plan_(std::move(plan)),
        builder_(*plan_),
        quantity_fits_(*plan_),
        services_(plan_->services().size()),
        fixed_sides_(plan_->packs().size()) {}

  /// Takes over what a store of another plan has worked out, as far as it holds for this one too.
  RepriceStore(std::shared_ptr<const RepricePlan> plan, const RepriceStore& past) : RepriceStore(std::move(plan)) {
    Adopt(past);
  }

  const RepricePlan& plan() const { return *plan_; }
  const std::shared_ptr<const RepricePlan>& shared_plan() const { return plan_; }

  /// The numbers of a run's classes of contents.
  std::vector<std::uint32_t> NumberContents(std::span<const Contents> classes) {
    const std::lock_guard<std::mutex> lock(mutex_);
    std::vector<std::uint32_t> numbers;
    for (const Contents& contents : classes) {
      if (contents.own().empty()) {
        numbers.push_back(contents.bits());
        continue;
      }
      std::string key = std::to_string(contents.bits());
      for (const std::string& word : contents.own()) key += " " + word;
      auto at = own_contents_.find(key);
      if (at == own_contents_.end()) {
        // The contents before their number, which is then never without them.
        const std::uint32_t number = next_contents_++;
        KeepContents(number, contents);
        at = own_contents_.emplace(std::move(key), number).first;
      }
      numbers.push_back(at->second);
    }
    return numbers;
  }

  /// The number of what several items together hold; `numbers` are theirs, and are sorted.
  std::uint32_t JoinContents(std::vector<std::uint32_t>& numbers) {
    std::sort(numbers.begin(), numbers.end());
    numbers.erase(std::unique(numbers.begin(), numbers.end()), numbers.end());
    if (numbers.size() == 1) return numbers[0];
    const std::lock_guard<std::mutex> lock(mutex_);
    const auto found = joined_contents_.find(numbers);
    if (found != joined_contents_.end()) return found->second;
    GoodsContents joined;
    for (const std::uint32_t one : numbers) {
      const GoodsContents* item = ContentsLocked(one);
      joined.contents.AddAll(item->contents);
      joined.items.push_back(&item->contents);
    }
    const std::uint32_t number = next_contents_++;
    contents_.insert_or_assign(number, std::move(joined));
    joined_contents_.emplace(numbers, number);
    return number;
  }

  QuantityFits& quantity_fits() { return quantity_fits_; }

  const GoodsContents* ContentsOf(std::uint32_t number) {
    const std::lock_guard<std::mutex> lock(mutex_);
    return ContentsLocked(number);
  }

  GoodsClass* ClassOf(const Goods& goods) {
    const std::lock_guard<std::mutex> lock(mutex_);
    auto made = std::make_unique<GoodsClass>();
    made->contents = ContentsLocked(goods.contents);
    made->rigid = goods.rigid;
    made->value = goods.value;
    made->value_known = goods.value <= plan_->value_known_to();
    for (std::size_t s = 0; s < services_.size(); ++s) {
      made->outcomes.push_back(services_[s].goods.Number(GoodsOutcomes(s, *made->contents, goods.rigid, goods.value)));
    }
    std::vector<std::uint32_t> key = made->outcomes;
    key.push_back(made->value_known ? 1 : 0);
    const auto found = goods_classes_.find(key);
    if (found != goods_classes_.end()) return found->second.get();
    made->number = static_cast<std::uint32_t>(goods_classes_.size());
    made->staircases = std::vector<std::atomic<const Staircase*>>(plan_->packs().size());
    return goods_classes_.emplace(std::move(key), std::move(made)).first->second.get();
  }

  /// The staircase of a packaging of fixed sides.
  const Staircase* FixedStaircase(GoodsClass& goods, std::size_t pack) {
    const Staircase* staircase = goods.staircases[pack].load(std::memory_order_acquire);
    if (staircase != nullptr) return staircase;
    const std::lock_guard<std::mutex> lock(mutex_);
    staircase = goods.staircases[pack].load(std::memory_order_relaxed);
    if (staircase != nullptr) return staircase;
    const std::array<std::int64_t, 3>& sides = plan_->packs()[pack].outside;
    if (fixed_sides_[pack].empty()) fixed_sides_[pack] = SideNumbers(pack, sides, Shape::kBox);
    staircase = PackStaircase(goods, pack, sides, Shape::kBox, fixed_sides_[pack]);
    goods.staircases[pack].store(staircase, std::memory_order_release);
    return staircase;
  }

  /// Leaves out staircases that others leave nothing to win. What is left answers as all of them, as far as they are
  /// known.
  void Reduce(std::vector<const Staircase*>& parts) {
    std::sort(parts.begin(), parts.end());
    parts.erase(std::unique(parts.begin(), parts.end()), parts.end());
    const std::lock_guard<std::mutex> lock(mutex_);
    auto known = reduced_.find(parts);
    if (known == reduced_.end()) {
      std::vector<const Staircase*> kept;
      for (const Staircase* part : parts) {
        if (std::any_of(kept.begin(), kept.end(),
                        [&](const Staircase* other) { return DominatesLocked(other, part); })) {
          continue;
        }
        std::erase_if(kept, [&](const Staircase* other) { return DominatesLocked(part, other); });
        kept.push_back(part);
      }
      known = reduced_.emplace(parts, std::move(kept)).first;
    }
    parts = known->second;
  }

  /// What is kept of a cell of a group; nothing where no more can be kept.
  GroupCell* CellOf(const GoodsClass& goods, std::size_t group, std::uint64_t mask, std::uint64_t cell, Shape shape) {
    const std::lock_guard<std::mutex> lock(mutex_);
    const CellKey key{goods.number, static_cast<std::uint32_t>(group), mask, cell, static_cast<std::uint32_t>(shape)};
    const auto found = cells_.find(key);
    if (found != cells_.end()) return found->second.get();
    if (cells_.size() >= kMostCells) return nullptr;
    return cells_.emplace(key, std::make_unique<GroupCell>()).first->second.get();
  }

  /// The staircase of a group's cell, from a parcel that is in it. Nothing where no more can be kept.
  const Staircase* CellStaircase(GroupCell& cell, GoodsClass& goods, std::size_t group, std::uint64_t mask,
                                 const std::array<std::int64_t, 3>& sides, Shape shape) {
    const std::lock_guard<std::mutex> lock(mutex_);
    const Staircase* staircase = cell.staircase.load(std::memory_order_relaxed);
    if (staircase != nullptr) return staircase;
    if (bytes_ >= kMostBytes) return nullptr;
    std::vector<const Staircase*> parts;
    const PackGroup& packs = plan_->groups()[group];
    for (std::size_t i = 0; i < packs.packs.size(); ++i) {
      if (((mask >> i) & 1u) == 0) continue;
      const std::size_t pack = packs.packs[i];
      parts.push_back(PackStaircase(goods, pack, sides, shape, SideNumbers(pack, sides, shape)));
    }
    if (parts.size() > 1) cell.kept = Keep(MergeStaircases(parts, plan_->order()));
    staircase = parts.size() == 1 ? parts[0] : cell.kept.get();
    cell.staircase.store(staircase, std::memory_order_release);
    return staircase;
  }

  /// Several staircases as one. Nothing where no more can be kept.
  const Staircase* Merged(std::vector<const Staircase*> parts) {
    std::sort(parts.begin(), parts.end());
    const std::lock_guard<std::mutex> lock(mutex_);
    const auto found = merged_.find(parts);
    if (found != merged_.end()) return found->second.get();
    if (bytes_ >= kMostBytes) return nullptr;
    std::shared_ptr<const Staircase> staircase = Keep(MergeStaircases(parts, plan_->order()));
    return merged_.emplace(std::move(parts), std::move(staircase)).first->second.get();
  }

  std::size_t bytes() const {
    const std::lock_guard<std::mutex> lock(mutex_);
    return bytes_;
  }

 private:
  static constexpr std::size_t kMostCells = 1u << 18;
  static constexpr std::size_t kMostBytes = std::size_t{512} << 20;

  // Texts as numbers, in the order they came.
  struct Numbers {
    std::unordered_map<std::string, std::uint32_t> known;
    std::uint32_t Number(std::string text) {
      return known.try_emplace(std::move(text), static_cast<std::uint32_t>(known.size())).first->second;
    }
  };
  using CurveMap = std::unordered_map<std::uint64_t, std::shared_ptr<const Curves>>;
  struct PerService {
    Numbers goods;
    Numbers sides;  // of the packaging, too
    CurveMap curves;
  };
  struct Hash {
    std::size_t operator()(const std::vector<const Staircase*>& key) const { return Of(key.data(), key.size(), 0); }
    std::size_t operator()(const std::pair<std::size_t, std::vector<const Curves*>>& key) const {
      return Of(key.second.data(), key.second.size(), key.first);
    }
    std::size_t operator()(const std::pair<const Staircase*, const Staircase*>& key) const {
      const Staircase* const both[2] = {key.first, key.second};
      return Of(both, 2, 0);
    }
    template <typename T>
    static std::size_t Of(const T* const* pointers, std::size_t count, std::uint64_t hash) {
      for (std::size_t i = 0; i < count; ++i) {
        hash = (hash ^ reinterpret_cast<std::uintptr_t>(pointers[i])) * 0x9E3779B97F4A7C15u;
        hash ^= hash >> 29;
      }
      return static_cast<std::size_t>(hash);
    }
  };
  // What an earlier store knew, to build on.
  struct Past {
    std::vector<CurveMap> curves;
    std::vector<bool> same_prices;
    std::vector<bool> same_bounds;
    std::vector<bool> same_ties;
  };
  using CellKey = std::tuple<std::uint32_t, std::uint32_t, std::uint64_t, std::uint64_t, std::uint32_t>;
  using CurveList = std::vector<const Curves*>;  // by service

  const GoodsContents* ContentsLocked(std::uint32_t number) {
    const auto found = contents_.find(number);
    if (found != contents_.end()) return &found->second;
    Contents contents;
    for (std::uint32_t bit = 0; bit < kTraitCount; ++bit) {
      if ((number >> bit) & 1u) contents.Add(static_cast<Trait>(bit));
    }
    return KeepContents(number, std::move(contents));
  }

  // Of one item.
  const GoodsContents* KeepContents(std::uint32_t number, Contents contents) {
    GoodsContents& kept = contents_[number];
    kept.contents = std::move(contents);
    kept.items.assign(1, &kept.contents);
    return &kept;
  }

  std::string GoodsOutcomes(std::size_t s, const GoodsContents& contents, bool rigid, std::int64_t value) const {
    const PlannedService& service = plan_->services()[s];
    const ShipmentFacts facts = plan_->on_lane(0).FactsFor(plan_->CarrierOf(service), Amount::Micros(value));
    auto band = [](const std::vector<std::int64_t>& cuts, std::int64_t at) {
      return std::to_string(std::lower_bound(cuts.begin(), cuts.end(), at) - cuts.begin());
    };
    return service.facts.GoodsOutcomes(contents.contents, contents.items, rigid) +
           band(service.facts.value_cuts(), facts.value) + '/' +
           band(service.facts.seller_value_cuts(), facts.seller_value);
  }

  // By service: how its tests of packaging and sides come out, as a number.
  std::vector<std::uint32_t> SideNumbers(std::size_t pack, const std::array<std::int64_t, 3>& sides, Shape shape) {
    ParcelFacts facts = plan_->packs()[pack].Facts(shape);
    facts.sides = sides;
    std::vector<std::uint32_t> numbers(services_.size(), 0);
    for (std::size_t s = 0; s < services_.size(); ++s) {
      if (!plan_->Allowed(s, pack)) continue;
      const ServiceFacts& service = plan_->services()[s].facts;
      numbers[s] = services_[s].sides.Number(service.PackagingOutcomes(facts) + '/' +
                                             service.SideOutcomes(facts.sides, facts.irregular()));
    }
    return numbers;
  }

  static std::uint64_t CurveKey(std::uint32_t goods, std::uint32_t sides) { return std::uint64_t{goods} << 32 | sides; }

  const Curves* CurvesOf(const GoodsClass& goods, std::size_t s, std::size_t pack,
                         const std::array<std::int64_t, 3>& sides, Shape shape, std::uint32_t side_number) {
    CurveMap& curves = services_[s].curves;
    const std::uint64_t key = CurveKey(goods.outcomes[s], side_number);
    auto known = curves.find(key);
    if (known == curves.end()) {
      ParcelFacts facts = plan_->packs()[pack].Facts(shape);
      facts.sides = sides;
      facts.rigid = goods.rigid;
      facts.contents = &goods.contents->contents;
      facts.items = goods.contents->items;
      known = curves.emplace(key, std::make_shared<const Curves>(builder_.Trace(s, facts, Amount::Micros(goods.value))))
                  .first;
      bytes_ += known->second->bytes();
    }
    return known->second.get();
  }

  // One packaging around parcels with these sides: the best of all services that take it.
  const Staircase* PackStaircase(const GoodsClass& goods, std::size_t pack, const std::array<std::int64_t, 3>& sides,
                                 Shape shape, const std::vector<std::uint32_t>& side_numbers) {
    CurveList curves(services_.size(), nullptr);
    for (std::size_t s = 0; s < services_.size(); ++s) {
      if (!plan_->Allowed(s, pack) ||
          DispatchState::ForbiddenByAir(plan_->services()[s].facts.service(), goods.contents->contents)) {
        continue;
      }
      curves[s] = CurvesOf(goods, s, pack, sides, shape, side_numbers[s]);
    }
    const auto found = by_curves_.find({pack, curves});
    if (found != by_curves_.end()) return found->second.get();
    CurveList then;
    const Staircase* base = PastStaircase(goods, pack, side_numbers, curves, then);
    std::shared_ptr<const Staircase> made = Keep(
        base == nullptr ? builder_.Build(pack, curves) : builder_.Rebuild(pack, *base, then, curves, past_->same_ties));
    return by_curves_.emplace(std::pair(pack, std::move(curves)), std::move(made)).first->second.get();
  }

  // The past staircase for the same parcels, with the curves that it was made of; nothing where there is none or too
  // much of it has changed.
  const Staircase* PastStaircase(const GoodsClass& goods, std::size_t pack,
                                 const std::vector<std::uint32_t>& side_numbers, const CurveList& curves,
                                 CurveList& then) const {
    constexpr int kMostChanged = 2;
    if (past_ == nullptr) return nullptr;
    then = curves;
    int changed = 0;
    for (std::size_t s = 0; s < services_.size(); ++s) {
      if (past_->same_prices[s] || curves[s] == nullptr) continue;
      // Only then do the numbers mean the same.
      if (!past_->same_bounds[s] || ++changed > kMostChanged) return nullptr;
      const auto found = past_->curves[s].find(CurveKey(goods.outcomes[s], side_numbers[s]));
      if (found == past_->curves[s].end()) return nullptr;
      then[s] = found->second.get();
    }
    const auto found = by_curves_.find({pack, then});
    return found == by_curves_.end() ? nullptr : found->second.get();
  }

  // One of each content.
  std::shared_ptr<const Staircase> Keep(Staircase staircase) {
    staircase.SetHash();
    std::vector<std::shared_ptr<const Staircase>>& alike = by_hash_[staircase.hash()];
    for (const std::shared_ptr<const Staircase>& one : alike) {
      if (*one == staircase) return one;
    }
    alike.push_back(std::make_shared<const Staircase>(std::move(staircase)));
    bytes_ += alike.back()->bytes();
    return alike.back();
  }

  bool DominatesLocked(const Staircase* a, const Staircase* b) {
    const auto [at, added] = dominates_.try_emplace({a, b}, false);
    if (added) at->second = Dominates(*a, *b, plan_->order());
    return at->second;
  }

  void Adopt(const RepriceStore& past) {
    const RepricePlan& was = past.plan();
    // What was worked out is in the plan's unit.
    if (!plan_->SameServices(was) || !plan_->SameLanes(was) || plan_->unit() != was.unit()) return;
    const std::lock_guard<std::mutex> lock(past.mutex_);
    auto kept = std::make_unique<Past>();
    bool same_ties = true;
    std::unordered_set<const Curves*> known;
    for (std::size_t s = 0; s < services_.size(); ++s) {
      const bool ties = plan_->SameTies(was, s);
      const bool bounds = plan_->SameBounds(was, s);
      const bool prices = ties && plan_->SamePrices(was, s);
      same_ties = same_ties && ties;
      kept->same_ties.push_back(ties);
      // Totals in another currency stand by the service's own lane classes.
      kept->same_bounds.push_back(bounds && plan_->SameClasses(was, s));
      kept->same_prices.push_back(prices);
      kept->curves.push_back(past.services_[s].curves);
      if (bounds) {
        services_[s].goods = past.services_[s].goods;
        services_[s].sides = past.services_[s].sides;
      }
      if (bounds && prices) {
        services_[s].curves = past.services_[s].curves;
        for (const auto& [key, curves] : services_[s].curves) bytes_ += curves->bytes();
      }
      for (const auto& [key, curves] : past.services_[s].curves) known.insert(curves.get());
    }
    past_ = std::move(kept);
    if (!plan_->SamePacks(was)) return;
    // Staircases of curves that the past store itself knew, and whatever it merged of them.
    for (const auto& [key, staircase] : past.by_curves_) {
      if (!std::all_of(key.second.begin(), key.second.end(),
                       [&known](const Curves* one) { return one == nullptr || known.contains(one); })) {
        continue;
      }
      by_curves_.emplace(key, staircase);
      Share(staircase);
    }
    for (const auto& [parts, staircase] : past.merged_) Share(staircase);
    for (const auto& [key, cell] : past.cells_) {
      if (cell->kept != nullptr) Share(cell->kept);
    }
    if (!same_ties) return;
    std::unordered_set<const Staircase*> shared;
    for (const auto& [hash, alike] : by_hash_) {
      for (const auto& one : alike) shared.insert(one.get());
    }
    for (const auto& [pair, dominates] : past.dominates_) {
      if (shared.contains(pair.first) && shared.contains(pair.second)) dominates_.emplace(pair, dominates);
    }
  }

  void Share(const std::shared_ptr<const Staircase>& staircase) {
    std::vector<std::shared_ptr<const Staircase>>& alike = by_hash_[staircase->hash()];
    if (std::find(alike.begin(), alike.end(), staircase) != alike.end()) return;
    bytes_ += staircase->bytes();
    alike.push_back(staircase);
  }

  std::shared_ptr<const RepricePlan> plan_;
  StaircaseBuilder builder_;
  QuantityFits quantity_fits_;
  mutable std::mutex mutex_;
  std::unordered_map<std::uint32_t, GoodsContents> contents_;
  std::map<std::string, std::uint32_t> own_contents_;
  std::map<std::vector<std::uint32_t>, std::uint32_t> joined_contents_;
  std::uint32_t next_contents_ = kFirstOwnContents;
  std::vector<PerService> services_;
  std::vector<std::vector<std::uint32_t>> fixed_sides_;  // by packaging: `SideNumbers`
  std::map<std::vector<std::uint32_t>, std::unique_ptr<GoodsClass>> goods_classes_;
  std::map<CellKey, std::unique_ptr<GroupCell>> cells_;
  std::unordered_map<std::pair<std::size_t, CurveList>, std::shared_ptr<const Staircase>, Hash> by_curves_;
  std::unordered_map<std::vector<const Staircase*>, std::shared_ptr<const Staircase>, Hash> merged_;
  std::unordered_map<std::vector<const Staircase*>, std::vector<const Staircase*>, Hash> reduced_;
  std::unordered_map<std::pair<const Staircase*, const Staircase*>, bool, Hash> dominates_;
  std::unordered_map<std::uint64_t, std::vector<std::shared_ptr<const Staircase>>> by_hash_;
  std::unique_ptr<const Past> past_;
  std::size_t bytes_ = 0;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_BATCH_INTERNAL_STORE_H_
