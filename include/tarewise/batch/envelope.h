#ifndef TAREWISE_BATCH_ENVELOPE_H_
#define TAREWISE_BATCH_ENVELOPE_H_

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <vector>

namespace tarewise::detail {

/// No offer: past every total, so that the least of several needs no test for it.
inline constexpr std::int64_t kNoOffer = std::numeric_limits<std::int64_t>::max();

/// The best offer for a good on a lane, and the least total of another service.
struct Answer {
  std::int64_t total = kNoOffer;
  std::int64_t second = kNoOffer;
  std::int16_t service = -1;
  std::int16_t packaging = -1;
  friend bool operator==(const Answer&, const Answer&) = default;
};

/// The order of the contract among equal totals, as numbers: by lane class and service (longest days, tracked, cover,
/// code), then packaging code, carrier, issuer.
class TieOrder {
 public:
  std::uint64_t Key(std::size_t lane, std::int16_t service, std::int16_t packaging) const {
    const std::size_t s = static_cast<std::size_t>(service);
    const std::size_t p = static_cast<std::size_t>(packaging);
    return std::uint64_t{service_rank[lane * carrier_rank.size() + s]} << 48 | std::uint64_t{packaging_rank[p]} << 32 |
           std::uint64_t{carrier_rank[s]} << 16 | issuer_rank[p];
  }
  /// True where a comes before b; both are offers.
  bool Before(std::size_t lane, const Answer& a, const Answer& b) const {
    if (a.total != b.total) return a.total < b.total;
    if (a.total == kNoOffer) return false;
    return Key(lane, a.service, a.packaging) < Key(lane, b.service, b.packaging);
  }

  std::vector<std::uint16_t> service_rank;  ///< Lane classes x services; equal ranks tie.
  std::vector<std::uint16_t> carrier_rank;  ///< By service.
  std::vector<std::uint16_t> packaging_rank;
  std::vector<std::uint16_t> issuer_rank;   ///< By packaging.
};

/// Takes `b`'s offers into `a`. Both hold the best of some offers and the least total among their other services.
inline void Merge(const TieOrder& order, std::size_t lane, Answer& a, const Answer& b) {
  if (a.total < b.total || (a.total == b.total && !order.Before(lane, b, a))) {
    a.second = std::min(a.second, b.service == a.service ? b.second : b.total);
  } else {
    const std::int64_t second = std::min(b.second, a.service == b.service ? a.second : a.total);
    a = b;
    a.second = second;
  }
}

/// Takes one offer into `a`.
inline void MergeOne(const TieOrder& order, std::size_t lane, Answer& a, std::int64_t total, std::int16_t service,
                     std::int16_t packaging) {
  if (total > a.total) {
    if (service != a.service && total < a.second) a.second = total;
    return;
  }
  Merge(order, lane, a, Answer{total, kNoOffer, service, packaging});
}

/// The best offers by the weight of the goods: between two bounds nothing changes. All lanes of a bound lie side by side.
struct Envelope {
  std::vector<std::int64_t> upper;  ///< Goods weights, inclusive, rising; past the last nothing is known.
  std::vector<Answer> answers;      ///< Bounds x lane classes.

  std::int64_t known_to() const { return upper.empty() ? 0 : upper.back(); }

  /// The first bound that is at least `weight`, which is at most `known_to()`.
  std::size_t Find(std::int64_t weight) const {
    const std::int64_t* base = upper.data();
    std::size_t count = upper.size();
    while (count > 1) {
      const std::size_t half = count / 2;
      base += base[half - 1] < weight ? half : 0;
      count -= half;
    }
    return static_cast<std::size_t>(base - upper.data());
  }

  const Answer* At(std::int64_t weight, std::size_t lanes) const { return answers.data() + Find(weight) * lanes; }

  /// Joins neighbours with the same answers on every lane.
  void Join(std::size_t lanes) {
    std::size_t kept = 0;
    for (std::size_t i = 0; i < upper.size(); ++i) {
      const Answer* here = answers.data() + i * lanes;
      if (kept > 0 && std::equal(here, here + lanes, answers.data() + (kept - 1) * lanes)) {
        upper[kept - 1] = upper[i];
        continue;
      }
      if (kept != i) {
        upper[kept] = upper[i];
        std::copy(here, here + lanes, answers.data() + kept * lanes);
      }
      ++kept;
    }
    upper.resize(kept);
    upper.shrink_to_fit();
    answers.resize(kept * lanes);
    answers.shrink_to_fit();
  }

  std::size_t bytes() const { return upper.capacity() * sizeof(std::int64_t) + answers.capacity() * sizeof(Answer); }
};

/// Calls `f(weight, indices)` for each piece of several envelopes, up to the least `known_to`: `weight` is its upper bound.
template <typename F>
void ForEachPiece(const std::vector<const Envelope*>& parts, F f) {
  std::int64_t end = kNoOffer;
  for (const Envelope* part : parts) end = std::min(end, part->known_to());
  std::vector<std::size_t> at(parts.size(), 0);
  std::int64_t from = 0;
  while (from < end) {
    std::int64_t next = end;
    for (std::size_t i = 0; i < parts.size(); ++i) {
      while (parts[i]->upper[at[i]] <= from) ++at[i];
      next = std::min(next, parts[i]->upper[at[i]]);
    }
    f(next, at);
    from = next;
  }
}

/// The envelope of several together.
inline Envelope MergeEnvelopes(const std::vector<const Envelope*>& parts, const TieOrder& order, std::size_t lanes) {
  Envelope out;
  ForEachPiece(parts, [&](std::int64_t weight, const std::vector<std::size_t>& at) {
    out.upper.push_back(weight);
    const std::size_t base = out.answers.size();
    const Answer* first = parts[0]->answers.data() + at[0] * lanes;
    out.answers.insert(out.answers.end(), first, first + lanes);
    for (std::size_t i = 1; i < parts.size(); ++i) {
      const Answer* one = parts[i]->answers.data() + at[i] * lanes;
      for (std::size_t lane = 0; lane < lanes; ++lane) Merge(order, lane, out.answers[base + lane], one[lane]);
    }
  });
  out.Join(lanes);
  return out;
}

/// True where `a` alone answers as `a` and `b` together do, as far as both are known.
inline bool Dominates(const Envelope& a, const Envelope& b, const TieOrder& order, std::size_t lanes) {
  bool dominates = true;
  std::size_t i = 0;
  std::size_t j = 0;
  const std::int64_t end = std::min(a.known_to(), b.known_to());
  for (std::int64_t from = 0; from < end && dominates;) {
    while (a.upper[i] <= from) ++i;
    while (b.upper[j] <= from) ++j;
    for (std::size_t lane = 0; lane < lanes && dominates; ++lane) {
      const Answer& mine = a.answers[i * lanes + lane];
      Answer both = mine;
      Merge(order, lane, both, b.answers[j * lanes + lane]);
      dominates = both == mine;
    }
    from = std::min(a.upper[i], b.upper[j]);
  }
  return dominates;
}

}  // namespace tarewise::detail

#endif  // TAREWISE_BATCH_ENVELOPE_H_
