#ifndef TAREWISE_BATCH_INTERNAL_BUILD_H_
#define TAREWISE_BATCH_INTERNAL_BUILD_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <deque>
#include <iterator>
#include <optional>
#include <utility>
#include <vector>

#include "tarewise/batch/internal/packs.h"
#include "tarewise/batch/internal/plan.h"
#include "tarewise/batch/internal/staircase.h"
#include "tarewise/ranking/internal/dispatch_state.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// What one service asks by gross weight, packaging left out.
struct Curves {
  std::vector<std::int64_t> upper;   ///< Gross weights, inclusive, rising; past the last nothing is known.
  std::vector<std::int64_t> totals;  ///< Bounds x the service's lane classes, in the tariff's currency; only where that
                                     ///< is not the ranking's.
  std::vector<Staircase::Word> words;  ///< Bounds x the plan's lane classes, in the plan's unit.
  Staircase::Word most = 0;            ///< The greatest of `words` that is an offer.

  std::size_t bytes() const {
    return (upper.capacity() + totals.capacity()) * sizeof(std::int64_t) + words.capacity() * sizeof(Staircase::Word);
  }
};

/// Works out curves and staircases of a plan. Keeps nothing.
class StaircaseBuilder {
 public:
  explicit StaircaseBuilder(const RepricePlan& plan) : plan_(plan) {}

  /// What one service asks for parcels like `facts`, of a declared value, by gross weight.
  Curves Trace(std::size_t s, ParcelFacts facts, Amount value) const {
    const PlannedService& service = plan_.services()[s];
    Curves out;
    const std::size_t own = service.lanes.size();
    std::vector<const DispatchState*> dispatches;
    std::deque<AskedGoods> asked;  // what the shipments point into
    std::vector<ShipmentFacts> shipments;
    for (const std::uint32_t lane : service.lanes) {
      dispatches.push_back(&plan_.on_lane(lane));
      asked.emplace_back(*dispatches.back(), facts, value);
      shipments.push_back(asked.back().FactsFor(dispatches.back()->carriers()[service.carrier]));
    }
    const SideFacts sides = plan_.on_lane(0).MeasureSides(facts, plan_.on_lane(0).services()[s]);
    const Cuts& cuts = service.facts.compiled().cuts;
    const CarrierState& carrier = plan_.CarrierOf(service);
    std::vector<std::int64_t> row(own);
    std::vector<std::int64_t> last;
    std::int64_t weight = 1;
    for (int pieces = 0; pieces < kMostPieces && weight <= kMostKnown; ++pieces) {
      const std::int64_t end = std::min(cuts.NextWeight(weight, service.facts.rules().weight), kMostKnown);
      facts.weight = weight;
      for (std::size_t k = 0; k < own; ++k) {
        const std::optional<Amount> total =
            dispatches[k]->Total(dispatches[k]->services()[s], facts, shipments[k], sides);
        row[k] = total ? total->micros() : kNoOffer;
      }
      if (!out.upper.empty() && row == last) {
        out.upper.back() = end;
      } else {
        if (!AddWords(service, row, out)) break;
        out.upper.push_back(end);
        if (!carrier.same_currency) out.totals.insert(out.totals.end(), row.begin(), row.end());
        last = row;
      }
      weight = end + 1;
    }
    return out;
  }

  /// The best of all services whose curves are given (by service) in one packaging.
  Staircase Build(std::size_t pack, const std::vector<const Curves*>& curves) const {
    const Pack& around = plan_.packs()[pack];
    const std::int64_t most_around = std::max(around.around, around.around_heavy);
    std::int64_t known = kMostKnown - most_around;
    for (const Curves* curve : curves) {
      if (curve != nullptr) known = std::min(known, KnownTo(*curve) - most_around);
    }
    Staircase out(plan_.classes());
    if (known < 1) return out;
    std::vector<std::int64_t> turns;
    for (const Curves* curve : curves) {
      if (curve != nullptr) AddTurns(around, *curve, turns);
    }
    CutTurns(known, turns);
    out.upper = std::move(turns);
    out.words.resize(out.upper.size() * out.stride());
    for (std::size_t i = 0; i < out.upper.size(); ++i) Clear(out.At(i), plan_.classes());
    for (std::size_t s = 0; s < curves.size(); ++s) {
      if (curves[s] == nullptr) continue;
      std::vector<Staircase::Word> packed;
      Staircase::Word cost = 0;
      const Staircase::Word* words = Packed(s, pack, *curves[s], packed, cost);
      if (words == nullptr) return Staircase(plan_.classes());
      TakeInCurves(out, *curves[s], words, cost, MakeWay(s, pack), pack);
    }
    out.Join();
    return out;
  }

  /// The same after some services' curves have changed from `then` to `now`: only where that can matter is it worked
  /// out again. `same_ties`: by service, whether its place among equal totals is as before.
  Staircase Rebuild(std::size_t pack, const Staircase& base, const std::vector<const Curves*>& then,
                    const std::vector<const Curves*>& now, const std::vector<bool>& same_ties) const {
    struct Change {
      std::size_t service;
      const Curves* curves[2];
      std::vector<Staircase::Word> packed[2];
      const Staircase::Word* words[2];
      Staircase::Word cost[2];
      std::size_t at[2] = {0, 0};
    };
    const std::size_t lanes = plan_.classes();
    const std::int64_t most_around = std::max(plan_.packs()[pack].around, plan_.packs()[pack].around_heavy);
    std::int64_t known = base.known_to();
    std::vector<Change> changes;
    changes.reserve(plan_.services().size());
    std::vector<std::int64_t> turns = base.upper;
    for (std::size_t s = 0; s < plan_.services().size(); ++s) {
      if (then[s] == now[s]) continue;
      Change& change = changes.emplace_back();
      change.service = s;
      change.curves[0] = then[s];
      change.curves[1] = now[s];
      for (int i = 0; i < 2; ++i) {
        change.words[i] = Packed(s, pack, *change.curves[i], change.packed[i], change.cost[i]);
        if (change.words[i] == nullptr) return Build(pack, now);
        known = std::min(known, KnownTo(*change.curves[i]) - most_around);
        AddTurns(plan_.packs()[pack], *change.curves[i], turns);
      }
    }
    if (known < 1) return Build(pack, now);
    CutTurns(known, turns);
    Staircase out(lanes);
    out.upper.reserve(turns.size() + 64);
    out.words.reserve((turns.size() + 64) * out.stride());
    std::size_t from = 0;
    std::vector<std::size_t> lost;
    std::vector<std::int64_t> within;
    int asked = 0;
    for (std::size_t i = 0; i < turns.size(); ++i) {
      while (base.upper[from] < turns[i]) ++from;
      const Answers<Staircase::Word> answers = out.Copy(turns[i], base.PieceAt(from));
      const std::int64_t gross = plan_.packs()[pack].Gross(turns[i]);
      lost.clear();
      for (Change& change : changes) {
        for (int k = 0; k < 2; ++k) {
          while (change.curves[k]->upper[change.at[k]] < gross) ++change.at[k];
        }
        const Staircase::Word* was = change.words[0] + change.at[0] * lanes;
        const Staircase::Word* is = change.words[1] + change.at[1] * lanes;
        const bool ties = same_ties[change.service];
        for (std::size_t lane = 0; lane < lanes; ++lane) {
          const Staircase::Word before = Plus(was[lane], change.cost[0]);
          const Staircase::Word after = Plus(is[lane], change.cost[1]);
          if (before == after && (ties || after == Answers<Staircase::Word>::kNone)) continue;
          if (!Exchange(lane, answers, before, after, MakeWay(change.service, pack))) lost.push_back(lane);
        }
      }
      if (lost.empty()) continue;
      if (++asked > kMostAsked) return Build(pack, now);
      // Whoever takes the place may turn within the piece, where the base had no need to.
      within.clear();
      TurnsWithin(plan_.packs()[pack], now, i == 0 ? 0 : turns[i - 1], turns[i], within);
      const std::size_t whole = out.upper.size() - 1;
      within.push_back(turns[i]);
      out.Repeat(within);
      for (std::size_t piece = whole; piece < out.upper.size(); ++piece) {
        if (!AskAll(pack, now, plan_.packs()[pack].Gross(out.upper[piece]), lost, out.At(piece)))
          return Build(pack, now);
      }
    }
    out.Join();
    return out;
  }

 private:
  static constexpr int kMostPieces = 8192;
  // Where more pieces than this have to be asked for again, working out all of them is less work.
  static constexpr int kMostAsked = 40;
  // Heavier gross weights than a tonne are priced one by one.
  static constexpr std::int64_t kMostKnown = 1'000'000'000'000'000;

  static std::int64_t KnownTo(const Curves& curve) { return curve.upper.empty() ? 0 : curve.upper.back(); }

  static Staircase::Word Plus(Staircase::Word total, Staircase::Word cost) {
    return total == Answers<Staircase::Word>::kNone ? total : total + cost;
  }

  // One bound's totals in the plan's unit and lane classes; false where 32 bits do not hold one.
  bool AddWords(const PlannedService& service, const std::vector<std::int64_t>& row, Curves& out) const {
    const CarrierState& carrier = plan_.CarrierOf(service);
    const std::size_t before = out.words.size();
    for (const std::int32_t k : service.class_of_lane) {
      Staircase::Word word = Answers<Staircase::Word>::kNone;
      if (k >= 0) {
        const std::int64_t total = row[static_cast<std::size_t>(k)];
        const std::optional<Amount> converted =
            total == kNoOffer ? std::nullopt : plan_.on_lane(0).WithPackaging(carrier, Amount::Micros(total), {}, {});
        if (converted && !plan_.ToWord(converted->micros(), word)) {
          out.words.resize(before);
          return false;
        }
        if (converted) out.most = std::max(out.most, word);
      }
      out.words.push_back(word);
    }
    return true;
  }

  // A curve's totals in a packaging: what is returned and `cost` together. Nothing where 32 bits do not hold one.
  // `packed` is used where the packaging's cost counts before an exchange, so that it cannot simply be added.
  const Staircase::Word* Packed(std::size_t s, std::size_t p, const Curves& curve, std::vector<Staircase::Word>& packed,
                                Staircase::Word& cost) const {
    const PlannedService& service = plan_.services()[s];
    const CarrierState& carrier = plan_.CarrierOf(service);
    const Pack& pack = plan_.packs()[p];
    if (carrier.same_currency || pack.issued_cost == Amount()) {
      const Amount extra = carrier.same_currency ? pack.own_cost + pack.issued_cost : pack.own_cost;
      if (!plan_.ToWord(extra.micros(), cost)) return nullptr;
      // What the packaging would take past the bound of totals is priced one by one.
      const std::uint64_t most = std::uint64_t{curve.most} + cost;
      const bool held =
          most < Answers<Staircase::Word>::kNone && most <= static_cast<std::uint64_t>(kMostMicros / plan_.unit());
      return held ? curve.words.data() : nullptr;
    }
    cost = 0;
    const std::size_t own = service.lanes.size();
    for (std::size_t i = 0; i < curve.upper.size(); ++i) {
      for (const std::int32_t k : service.class_of_lane) {
        Staircase::Word word = Answers<Staircase::Word>::kNone;
        if (k >= 0 &&
            !plan_.ToWord(plan_.Converted(carrier, curve.totals[i * own + static_cast<std::size_t>(k)], pack), word)) {
          return nullptr;
        }
        packed.push_back(word);
      }
    }
    return packed.data();
  }

  void TakeInCurves(Staircase& out, const Curves& curve, const Staircase::Word* words, Staircase::Word cost, Way way,
                    std::size_t pack) const {
    const std::size_t lanes = plan_.classes();
    std::vector<Staircase::Word> totals(lanes, Answers<Staircase::Word>::kNone);
    std::size_t priced = curve.upper.size();
    std::size_t at = 0;
    for (std::size_t i = 0; i < out.upper.size(); ++i) {
      const std::int64_t gross = plan_.packs()[pack].Gross(out.upper[i]);
      while (curve.upper[at] < gross) ++at;
      if (at != priced) {
        for (std::size_t lane = 0; lane < lanes; ++lane) totals[lane] = Plus(words[at * lanes + lane], cost);
        priced = at;
      }
      const Answers<Staircase::Word> answers = out.At(i);
      if (!Matters(lanes, answers, totals.data())) continue;
      for (std::size_t lane = 0; lane < lanes; ++lane) {
        if (totals[lane] != Answers<Staircase::Word>::kNone) TakeInOne(plan_.order(), lane, answers, totals[lane], way);
      }
    }
  }

  // One service's total changes from `was` to `is`. False where others have to be asked who takes its place.
  bool Exchange(std::size_t lane, const Answers<Staircase::Word>& a, Staircase::Word was, Staircase::Word is,
                Way way) const {
    constexpr Staircase::Word kNone = Answers<Staircase::Word>::kNone;
    if (a.total[lane] != kNone && ServiceOf(a.way[lane]) == ServiceOf(way)) {
      if (is >= a.second[lane]) return is == kNone && a.second[lane] == kNone ? (Forget(lane, a), true) : false;
      a.total[lane] = is;
      return true;
    }
    // Whoever is second is not known, but for its total.
    if (was == a.second[lane] && was != kNone && is > was) return false;
    if (is != kNone) TakeInOne(plan_.order(), lane, a, is, way);
    return true;
  }
  static void Forget(std::size_t lane, const Answers<Staircase::Word>& a) {
    a.total[lane] = Answers<Staircase::Word>::kNone;
    a.way[lane] = kNoWay;
  }

  // Works out some lanes of one piece from all curves; false where a total cannot be held.
  bool AskAll(std::size_t pack, const std::vector<const Curves*>& curves, std::int64_t gross,
              const std::vector<std::size_t>& lost, const Answers<Staircase::Word>& answers) const {
    for (const std::size_t lane : lost) {
      answers.total[lane] = Answers<Staircase::Word>::kNone;
      answers.second[lane] = Answers<Staircase::Word>::kNone;
      answers.way[lane] = kNoWay;
    }
    for (std::size_t s = 0; s < curves.size(); ++s) {
      if (curves[s] == nullptr) continue;
      std::vector<Staircase::Word> packed;
      Staircase::Word cost = 0;
      const Staircase::Word* words = Packed(s, pack, *curves[s], packed, cost);
      if (words == nullptr) return false;
      words += Staircase::Find(curves[s]->upper.data(), curves[s]->upper.size(), gross) * plan_.classes();
      for (const std::size_t lane : lost) {
        const Staircase::Word total = Plus(words[lane], cost);
        if (total != Answers<Staircase::Word>::kNone) TakeInOne(plan_.order(), lane, answers, total, MakeWay(s, pack));
      }
    }
    return true;
  }

  // Goods' weights between two others at which some curve turns, rising.
  static void TurnsWithin(const Pack& pack, const std::vector<const Curves*>& curves, std::int64_t over,
                          std::int64_t under, std::vector<std::int64_t>& out) {
    auto turn = [&](std::int64_t weight) {
      if (weight > over && weight < under) out.push_back(weight);
    };
    for (const Curves* curve : curves) {
      if (curve == nullptr) continue;
      const std::int64_t most = pack.Gross(under);
      auto at =
          std::upper_bound(curve->upper.begin(), curve->upper.end(), over + std::min(pack.around, pack.around_heavy));
      for (; at != curve->upper.end() && *at < most; ++at) {
        if (*at - pack.around <= Pack::kPound || pack.around == pack.around_heavy) turn(*at - pack.around);
        if (*at - pack.around_heavy > Pack::kPound && pack.around != pack.around_heavy) turn(*at - pack.around_heavy);
      }
    }
    if (pack.around != pack.around_heavy) turn(Pack::kPound);
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end()), out.end());
  }

  // Goods' weights at which a curve turns, taken into others; both rise.
  static void AddTurns(const Pack& pack, const Curves& curve, std::vector<std::int64_t>& turns) {
    std::vector<std::int64_t> more;
    more.reserve(curve.upper.size() + 1);
    const bool one = pack.around == pack.around_heavy;
    for (const std::int64_t upper : curve.upper) {
      const std::int64_t weight = upper - pack.around;
      if (weight >= 1 && (one || weight <= Pack::kPound)) more.push_back(weight);
    }
    if (!one) {
      if (more.empty() || more.back() != Pack::kPound) more.push_back(Pack::kPound);
      for (const std::int64_t upper : curve.upper) {
        if (upper - pack.around_heavy > Pack::kPound) more.push_back(upper - pack.around_heavy);
      }
    }
    std::vector<std::int64_t> both;
    both.reserve(turns.size() + more.size());
    std::set_union(turns.begin(), turns.end(), more.begin(), more.end(), std::back_inserter(both));
    turns = std::move(both);
  }

  static void CutTurns(std::int64_t known, std::vector<std::int64_t>& turns) {
    turns.erase(std::lower_bound(turns.begin(), turns.end(), known), turns.end());
    turns.push_back(known);
  }

  const RepricePlan& plan_;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_BATCH_INTERNAL_BUILD_H_
