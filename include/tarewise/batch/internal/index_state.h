#ifndef TAREWISE_BATCH_INTERNAL_INDEX_STATE_H_
#define TAREWISE_BATCH_INTERNAL_INDEX_STATE_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <limits>
#include <memory>
#include <numeric>
#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

#include "absl/status/status.h"
#include "absl/status/statusor.h"
#include "tarewise/batch/index.h"
#include "tarewise/batch/internal/orders.h"
#include "tarewise/batch/internal/run.h"
#include "tarewise/batch/internal/staircase.h"
#include "tarewise/batch/internal/worker.h"
#include "tarewise/batch/reprice.h"
#include "tarewise/units/internal/quantity_text.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// What a `RepriceIndex` holds.
class IndexState {
 public:
  using Touched = RepriceIndex::Touched;

  static absl::StatusOr<std::unique_ptr<IndexState>> Create(const Repricer& repricer, const GoodsColumns& goods) {
    std::unique_ptr<IndexState> index(new IndexState(repricer));
    if (absl::Status status = index->Build(goods); !status.ok()) return status;
    return index;
  }

  absl::StatusOr<Touched> Update(const Repricer& after, const GoodsColumns& goods, const RepriceResults& results);

  const Repricer& repricer() const { return repricer_; }
  std::size_t rows() const { return rows_; }

 private:
  using Worker = RepriceWorker;
  /// Groups of fewer rows do not have their cells worked out; their rows are then priced again whatever changed.
  static constexpr std::size_t kFewRows = 6;

  // Rows of one record, by weight.
  struct Group {
    std::size_t first = 0;
    std::size_t end = 0;
    std::uint32_t record = 0;  // of the worker
    Goods like;                // one of them
  };
  struct Interval {
    std::int64_t over;
    std::int64_t up_to;
  };
  static void AddInterval(std::vector<Interval>& out, std::int64_t over, std::int64_t up_to) {
    if (!out.empty() && out.back().up_to == over) {
      out.back().up_to = up_to;
    } else {
      out.push_back({over, up_to});
    }
  }
  struct PairHash {
    std::size_t operator()(const std::pair<const Staircase*, const Staircase*>& pair) const {
      return std::hash<const void*>()(pair.first) * 31 + std::hash<const void*>()(pair.second);
    }
  };
  using PairMap = std::unordered_map<std::pair<const Staircase*, const Staircase*>, std::vector<Interval>, PairHash>;

  explicit IndexState(const Repricer& repricer)
      : repricer_(repricer), worker_(std::make_unique<Worker>(repricer_.shared().store, true)) {}

  absl::Status Build(const GoodsColumns& goods);
  const std::vector<Interval>& Changes(const Staircase* before, const Staircase* after);
  const std::vector<Interval>& Turns(const Staircase* one, const Staircase* other, const TieOrder& then,
                                     const TieOrder& now);
  static std::int64_t KnownTo(const Worker::Record& record) {
    std::int64_t known = record.known_to;
    for (const Worker::Part& part : record.parts->groups) {
      if (part.staircase != nullptr) known = std::min(known, part.staircase->known_to());
    }
    return known;
  }
  bool Moved(const Worker::Record& then, const Goods& goods_then, const Worker::Record& now, const Goods& goods_now,
             const std::vector<std::size_t>& changed, Worker& worker);
  void Touch(const Group& group, Worker::Record& before, Worker::Record& after);
  void TouchTurns(const Group& group, const Worker::Record& before, const Worker::Record& after, const TieOrder& then,
                  const TieOrder& now);
  void TouchAll(const Group& group, const std::vector<Interval>& intervals);
  void TouchBetween(const Group& group, const Interval& interval);
  static bool Counts(const Worker::Parts& parts, const Staircase* one) {
    return std::find(parts.fixed.begin(), parts.fixed.end(), one) != parts.fixed.end();
  }

  Repricer repricer_;
  std::size_t rows_ = 0;
  std::unique_ptr<Worker> worker_;  // holds their records
  std::vector<Group> groups_;
  std::vector<std::int64_t> weights_;  // by group, rising
  std::vector<std::uint32_t> row_of_;  // likewise
  std::vector<std::uint32_t> loose_;   // rows that no group holds

  // Of one update.
  std::vector<std::uint8_t> touched_;
  PairMap changes_;
  PairMap turns_;
  std::vector<const Staircase*> counting_;
};

inline absl::Status IndexState::Build(const GoodsColumns& goods) {
  if (absl::Status status = CheckColumns(goods); !status.ok()) return status;
  if (goods.rows >= std::numeric_limits<std::uint32_t>::max()) {
    return Invalid("found " + std::to_string(goods.rows) + " rows, expected fewer than 2^32");
  }
  rows_ = goods.rows;
  groups_.clear();
  loose_.clear();
  const std::vector<std::uint32_t> numbers = repricer_.shared().store.NumberContents(goods.contents_classes);
  const auto block = std::make_unique<GoodsBlock>();
  std::vector<std::uint32_t> record_of(rows_, Worker::kNoRecord);
  std::vector<std::int64_t> weight_of(rows_, 0);
  Goods row;
  for (std::size_t first = 0; first < rows_; first += GoodsBlock::kRows) {
    const std::size_t count = std::min(GoodsBlock::kRows, rows_ - first);
    block->Read(goods, first, count);
    for (std::size_t i = 0; i < count; ++i) {
      if (block->in_order(i)) continue;  // Orders are priced again whatever changed.
      if (block->Check(i, {goods.contents_classes, numbers}, row) != RowReason::kPriced) continue;
      RowReason reason;
      const std::uint32_t record = worker_->RecordOf(row, reason);
      if (reason != RowReason::kPriced) continue;
      if (record == Worker::kNoRecord || worker_->record(record).one_by_one) {
        loose_.push_back(static_cast<std::uint32_t>(first + i));
        continue;
      }
      record_of[first + i] = record;
      weight_of[first + i] = row.weight;
      if (record >= groups_.size()) groups_.resize(record + 1);
      Group& group = groups_[record];
      group.record = record;
      if (group.end++ == 0) group.like = row;
    }
  }
  std::size_t at = 0;
  for (Group& group : groups_) {
    const std::size_t count = group.end;
    group.first = at;
    group.end = at;
    at += count;
  }
  row_of_.assign(at, 0);
  for (std::size_t i = 0; i < rows_; ++i) {
    if (record_of[i] != Worker::kNoRecord) row_of_[groups_[record_of[i]].end++] = static_cast<std::uint32_t>(i);
  }
  weights_.assign(at, 0);
  for (const Group& group : groups_) {
    const auto from = row_of_.begin() + static_cast<std::ptrdiff_t>(group.first);
    const auto to = row_of_.begin() + static_cast<std::ptrdiff_t>(group.end);
    std::sort(from, to, [&](std::uint32_t a, std::uint32_t b) {
      return weight_of[a] != weight_of[b] ? weight_of[a] < weight_of[b] : a < b;
    });
    for (std::size_t i = group.first; i < group.end; ++i) weights_[i] = weight_of[row_of_[i]];
  }
  return absl::OkStatus();
}

// Weights at which two staircases answer otherwise.
inline const std::vector<IndexState::Interval>& IndexState::Changes(const Staircase* before, const Staircase* after) {
  const auto [at, added] = changes_.try_emplace({before, after});
  if (!added || before == after) return at->second;
  std::vector<Interval>& out = at->second;
  const std::int64_t end = std::min(before->known_to(), after->known_to());
  std::size_t i = 0;
  std::size_t j = 0;
  for (std::int64_t from = 0; from < end;) {
    while (before->upper[i] <= from) ++i;
    while (after->upper[j] <= from) ++j;
    const std::int64_t to = std::min(before->upper[i], after->upper[j]);
    if (!std::equal(before->PieceAt(i), before->PieceAt(i) + before->stride(), after->PieceAt(j))) {
      AddInterval(out, from, to);
    }
    from = to;
  }
  out.push_back({end, kNoOffer});
  return out;
}

// Weights at which two staircases have equal totals on some lane and the order of ties puts the other first than
// before.
inline const std::vector<IndexState::Interval>& IndexState::Turns(const Staircase* one, const Staircase* other,
                                                                  const TieOrder& then, const TieOrder& now) {
  const auto [at, added] = turns_.try_emplace(std::minmax(one, other, std::less<>()));
  if (!added) return at->second;
  std::vector<Interval>& out = at->second;
  const std::size_t lanes = one->lanes();
  const std::int64_t end = std::min(one->known_to(), other->known_to());
  std::size_t i = 0;
  std::size_t j = 0;
  for (std::int64_t from = 0; from < end;) {
    while (one->upper[i] <= from) ++i;
    while (other->upper[j] <= from) ++j;
    const Staircase::Word* mine = one->PieceAt(i);
    const Staircase::Word* theirs = other->PieceAt(j);
    const std::int64_t to = std::min({one->upper[i], other->upper[j], end});
    for (std::size_t lane = 0; lane < lanes; ++lane) {
      if (mine[lane] != theirs[lane] || mine[lane] == Answers<Staircase::Word>::kNone) continue;
      const Way a = mine[2 * lanes + lane];
      const Way b = theirs[2 * lanes + lane];
      if ((then.Key(lane, a) < then.Key(lane, b)) == (now.Key(lane, a) < now.Key(lane, b))) continue;
      AddInterval(out, from, to);
      break;
    }
    from = to;
  }
  return out;
}

inline void IndexState::TouchAll(const Group& group, const std::vector<Interval>& intervals) {
  const std::int64_t lightest = weights_[group.first];
  const std::int64_t heaviest = weights_[group.end - 1];
  auto at = std::partition_point(intervals.begin(), intervals.end(),
                                 [lightest](const Interval& one) { return one.up_to < lightest; });
  for (; at != intervals.end() && at->over < heaviest; ++at) TouchBetween(group, *at);
}

inline void IndexState::TouchBetween(const Group& group, const Interval& interval) {
  const auto begin = weights_.begin() + static_cast<std::ptrdiff_t>(group.first);
  const auto end = weights_.begin() + static_cast<std::ptrdiff_t>(group.end);
  const auto from = std::upper_bound(begin, end, interval.over);
  const auto to = std::upper_bound(from, end, interval.up_to);
  std::fill(touched_.begin() + (from - weights_.begin()), touched_.begin() + (to - weights_.begin()), std::uint8_t{1});
}

// An answer is that of the staircases that count, before and after; where none of either kind changed, it did not,
// unless the order of ties did.
inline void IndexState::Touch(const Group& group, Worker::Record& before, Worker::Record& after) {
  auto touch = [&](const Staircase* then, const Staircase* now) {
    if (then != now) TouchAll(group, Changes(then, now));
  };
  for (std::size_t i = 0; i < before.parts->all.size(); ++i) {
    const Staircase* then = before.parts->all[i];
    const Staircase* now = after.parts->all[i];
    if (then != now && (Counts(*before.parts, then) || Counts(*after.parts, now))) touch(then, now);
  }
  for (std::size_t i = 0; i < before.parts->groups.size(); ++i) {
    if (before.parts->groups[i].staircase == nullptr || after.parts->groups[i].staircase == nullptr) continue;
    touch(before.parts->groups[i].staircase, after.parts->groups[i].staircase);
  }
  // Where not all is known, rows are priced one by one.
  const std::int64_t known = std::min(KnownTo(before), KnownTo(after));
  if (known < weights_[group.end - 1]) TouchBetween(group, {known, kNoOffer});
}

// Where the order of ties has changed, staircases that answer as before may still give way to one another. What changed
// in one of them is touched already, so those of now stand for those of then.
inline void IndexState::TouchTurns(const Group& group, const Worker::Record& before, const Worker::Record& after,
                                   const TieOrder& then, const TieOrder& now) {
  counting_.clear();
  for (std::size_t i = 0; i < after.parts->all.size(); ++i) {
    if (Counts(*before.parts, before.parts->all[i]) || Counts(*after.parts, after.parts->all[i]))
      counting_.push_back(after.parts->all[i]);
  }
  for (const Worker::Part& part : after.parts->groups) counting_.push_back(part.staircase);
  for (std::size_t i = 0; i < counting_.size(); ++i) {
    for (std::size_t k = 0; k < i; ++k) {
      if (counting_[i] != counting_[k]) TouchAll(group, Turns(counting_[i], counting_[k], then, now));
    }
  }
}

// True where a changed service may have another total in a packaging whose cell was not worked out, before or after.
inline bool IndexState::Moved(const Worker::Record& then, const Goods& goods_then, const Worker::Record& now,
                              const Goods& goods_now, const std::vector<std::size_t>& changed, Worker& worker) {
  constexpr std::size_t kMostAsked = 3;
  if (changed.size() > kMostAsked) return true;
  std::vector<std::int64_t> totals_then;
  std::vector<std::int64_t> totals_now;
  for (std::size_t i = 0; i < now.parts->groups.size(); ++i) {
    const Worker::Part& part = now.parts->groups[i];
    if (part.staircase != nullptr && then.parts->groups[i].staircase != nullptr) continue;
    if (part.cell == nullptr) return true;  // not one cell, so not all its rows are alike
    const std::vector<std::uint16_t>& packs = repricer_.shared().store.plan().groups()[part.group].packs;
    for (std::size_t k = 0; k < packs.size(); ++k) {
      if (((part.mask >> k) & 1u) == 0) continue;
      for (const std::size_t s : changed) {
        worker_->ServiceTotals(goods_then, packs[k], s, totals_then);
        worker.ServiceTotals(goods_now, packs[k], s, totals_now);
        if (totals_then != totals_now) return true;
      }
    }
  }
  return false;
}

inline absl::StatusOr<RepriceIndex::Touched> IndexState::Update(const Repricer& after, const GoodsColumns& goods,
                                                                const RepriceResults& results) {
  if (absl::Status status = CheckColumns(goods); !status.ok()) return status;
  if (absl::Status status = CheckResults(results, after.setup()); !status.ok()) return status;
  if (results.cautions != nullptr) return InvalidAt("cautions", "found a column, expected none in an update");
  if (goods.rows != rows_) {
    return Invalid("found " + std::to_string(goods.rows) + " rows, expected the index's " + std::to_string(rows_));
  }
  Touched touched;
  if (!after.shared().store.plan().SamePlaces(repricer_.shared().store.plan())) {
    touched.everything = true;
    if (absl::Status status = after.Run(goods, results); !status.ok()) return status;
    IndexState fresh(after);
    if (absl::Status status = fresh.Build(goods); !status.ok()) return status;
    *this = std::move(fresh);
    return touched;
  }
  auto worker = std::make_unique<Worker>(after.shared().store, true);
  touched_.assign(row_of_.size(), 0);
  changes_.clear();
  turns_.clear();
  std::vector<std::uint32_t> one_by_one = loose_;
  ResultWriter writer(after.shared().store.plan(), results);
  const std::size_t lanes = after.shared().store.plan().classes();
  const TieOrder& order = after.shared().store.plan().order();
  std::vector<Staircase::Word> words(3 * lanes);
  const Answers<Staircase::Word> answers{words.data(), words.data() + lanes, words.data() + 2 * lanes};
  Worker::Place place;
  place.words = words.data();
  std::vector<std::size_t> changed;
  for (std::size_t s = 0; s < after.services().size(); ++s) {
    if (!after.shared().store.plan().SamePrices(repricer_.shared().store.plan(), s) ||
        !after.shared().store.plan().SameTies(repricer_.shared().store.plan(), s))
      changed.push_back(s);
  }
  // Totals alone do not tell that another way of equal total comes first.
  const bool ties_moved = std::any_of(changed.begin(), changed.end(), [&](std::size_t s) {
    return !after.shared().store.plan().SameTies(repricer_.shared().store.plan(), s);
  });
  if (changed.empty()) one_by_one.clear();
  std::vector<const Staircase*> parts;
  std::vector<std::size_t> at;
  std::vector<bool> priced(rows_, false);
  for (Group& group : groups_) {
    if (group.first == group.end) continue;
    Worker::Record& then = worker_->record(group.record);
    // Numbers of contents are each plan's own.
    const Goods like_then = group.like;
    group.like.contents = after.shared().store.NumberContents(
        {&repricer_.shared().store.ContentsOf(group.like.contents)->contents, 1})[0];
    RowReason reason;
    group.record = worker->RecordOf(group.like, reason);
    Worker::Record& now = worker->record(group.record);
    const bool complete = worker_->Complete(then, like_then, group.end - group.first >= kFewRows) &&
                          worker->Complete(now, group.like, true);
    if (changed.empty()) continue;
    Touch(group, then, now);
    if (!complete) {
      for (std::size_t i = group.first; i < group.end; ++i) {
        Goods goods_then = like_then;
        Goods goods_now = group.like;
        goods_then.weight = weights_[i];
        goods_now.weight = weights_[i];
        if (touched_[i] != 0 || ties_moved || Moved(then, goods_then, now, goods_now, changed, *worker)) {
          one_by_one.push_back(row_of_[i]);
        }
      }
      continue;
    }
    if (ties_moved) TouchTurns(group, then, now, repricer_.shared().store.plan().order(), order);
    parts.assign(now.parts->fixed.begin(), now.parts->fixed.end());
    for (const Worker::Part& part : now.parts->groups) parts.push_back(part.staircase);
    at.assign(parts.size(), 0);
    const std::int64_t known = KnownTo(now);
    bool found = false;
    for (std::size_t i = group.first; i < group.end; ++i) {
      if (touched_[i] == 0) continue;
      if (weights_[i] > known) {
        one_by_one.push_back(row_of_[i]);
        continue;
      }
      for (std::size_t k = 0; k < parts.size(); ++k) {
        while (parts[k]->upper[at[k]] < weights_[i]) {
          ++at[k];
          found = false;
        }
      }
      if (!found) {
        std::copy_n(parts[0]->PieceAt(at[0]), words.size(), words.begin());
        for (std::size_t k = 1; k < parts.size(); ++k) TakeInAll(order, lanes, answers, parts[k]->PieceAt(at[k]));
        found = true;
      }
      writer.Put(row_of_[i], place);
      priced[row_of_[i]] = true;
    }
  }
  const std::vector<std::uint32_t> numbers = after.shared().store.NumberContents(goods.contents_classes);
  const auto block = std::make_unique<GoodsBlock>();
  // Another worker: what this one remembers must not be pushed out by rows that no group holds.
  std::unique_ptr<Worker> pricer = after.shared().TakeWorker();
  Goods row;
  for (const std::uint32_t i : one_by_one) {
    block->Read(goods, i, 1);
    static_cast<void>(block->Check(0, {goods.contents_classes, numbers}, row));
    writer.Put(i, pricer->Price(row));
    priced[i] = true;
  }
  if (!changed.empty()) {
    const OrderRows orders(goods);
    const ContentsNumbers contents{goods.contents_classes, numbers};
    OrderReader reader(after.shared().store, goods, contents);
    PlannedOrders planned(after.shared().store.plan());
    PlannedOrders* const several = after.setup().most_parcels > 1 ? &planned : nullptr;
    for (std::size_t i = 0; i < orders.count(); ++i) {
      PriceOrder(orders.rows(i), false, reader, *pricer, several, writer);
      priced[orders.rows(i)[0]] = true;
    }
  }
  after.shared().GiveBack(std::move(pricer));
  for (std::uint32_t i = 0; i < rows_; ++i) {
    if (priced[i]) touched.rows.push_back(i);
  }
  worker_ = std::move(worker);
  repricer_ = after;
  return touched;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_BATCH_INTERNAL_INDEX_STATE_H_
