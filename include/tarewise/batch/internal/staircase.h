#ifndef TAREWISE_BATCH_INTERNAL_STAIRCASE_H_
#define TAREWISE_BATCH_INTERNAL_STAIRCASE_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <string>
#include <vector>

#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// No offer: past every total, so that the least of several needs no test for it.
inline constexpr std::int64_t kNoOffer = std::numeric_limits<std::int64_t>::max();

/// Which service and packaging, in one word.
using Way = std::uint32_t;
inline constexpr Way kNoWay = 0xFFFFFFFF;
constexpr Way MakeWay(std::size_t service, std::size_t packaging) {
  return static_cast<Way>(service) | static_cast<Way>(packaging) << 16;
}
constexpr std::uint16_t ServiceOf(Way way) { return static_cast<std::uint16_t>(way); }
constexpr std::uint16_t PackagingOf(Way way) { return static_cast<std::uint16_t>(way >> 16); }

/// The order of the contract among equal totals, as numbers: by lane class and service (longest days, tracked, cover,
/// code), then packaging code, carrier, issuer.
class TieOrder {
 public:
  std::uint64_t Key(std::size_t lane, Way way) const {
    const std::size_t s = ServiceOf(way);
    const std::size_t p = PackagingOf(way);
    return std::uint64_t{service_rank[lane * carrier_rank.size() + s]} << 48 | std::uint64_t{packaging_rank[p]} << 32 |
           std::uint64_t{carrier_rank[s]} << 16 | issuer_rank[p];
  }

  std::vector<std::uint16_t> service_rank;  ///< Lane classes x services; equal ranks tie.
  std::vector<std::uint16_t> carrier_rank;  ///< By service.
  std::vector<std::uint16_t> packaging_rank;
  std::vector<std::uint16_t> issuer_rank;  ///< By packaging.
};

/// The best offers for some goods by lane class, and the least totals of other services: three arrays side by side. `T`
/// is a total in millionths, or 32 bits of a plan's unit of money.
template <typename T>
struct Answers {
  static constexpr T kNone = std::numeric_limits<T>::max();
  T* total;
  T* second;
  Way* way;
};

/// Takes in the best of some other offers and the least total among their other services.
template <typename T>
void TakeIn(const TieOrder& order, std::size_t lane, const Answers<T>& a, T total, T second, Way way) {
  T& mine = a.total[lane];
  Way& my_way = a.way[lane];
  const bool same_service = ServiceOf(my_way) == ServiceOf(way);
  if (total < mine || (total == mine && total != Answers<T>::kNone && order.Key(lane, way) < order.Key(lane, my_way))) {
    a.second[lane] = std::min(second, same_service ? a.second[lane] : mine);
    mine = total;
    my_way = way;
  } else {
    a.second[lane] = std::min(a.second[lane], same_service ? second : total);
  }
}

/// Takes in one offer.
template <typename T>
void TakeInOne(const TieOrder& order, std::size_t lane, const Answers<T>& a, T total, Way way) {
  if (total > a.total[lane]) {
    if (total < a.second[lane] && ServiceOf(way) != ServiceOf(a.way[lane])) a.second[lane] = total;
    return;
  }
  TakeIn(order, lane, a, total, Answers<T>::kNone, way);
}

template <typename T>
void Clear(const Answers<T>& a, std::size_t lanes) {
  std::fill_n(a.total, lanes, Answers<T>::kNone);
  std::fill_n(a.second, lanes, Answers<T>::kNone);
  std::fill_n(a.way, lanes, kNoWay);
}

/// The best offers by the weight of the goods: between two bounds nothing changes. Totals are in a plan's unit of
/// money.
class Staircase {
 public:
  using Word = std::uint32_t;

  Staircase() = default;
  explicit Staircase(std::size_t lanes) : lanes_(lanes) {}

  std::vector<std::int64_t> upper;  ///< Goods weights, inclusive, rising; past the last nothing is known.
  std::vector<Word> words;          ///< By bound: totals, second totals and ways of all lane classes.

  std::size_t lanes() const { return lanes_; }
  std::size_t stride() const { return 3 * lanes_; }
  std::int64_t known_to() const { return upper.empty() ? 0 : upper.back(); }
  Answers<Word> At(std::size_t piece) {
    Word* base = words.data() + piece * stride();
    return {base, base + lanes_, base + 2 * lanes_};
  }
  const Word* PieceAt(std::size_t piece) const { return words.data() + piece * stride(); }

  /// The first bound that is at least `weight`, which is at most `known_to()`.
  static std::size_t Find(const std::int64_t* upper, std::size_t count, std::int64_t weight) {
    const std::int64_t* base = upper;
    while (count > 1) {
      const std::size_t half = count / 2;
      base += base[half - 1] < weight ? half : 0;
      count -= half;
    }
    return static_cast<std::size_t>(base - upper);
  }
  const Word* Find(std::int64_t weight) const { return PieceAt(Find(upper.data(), upper.size(), weight)); }

  /// One more bound, with the answers of a piece of another staircase.
  Answers<Word> Copy(std::int64_t weight, const Word* piece) {
    upper.push_back(weight);
    words.insert(words.end(), piece, piece + stride());
    return At(upper.size() - 1);
  }

  /// Divides the last piece at `bounds`, which rise and end with its own.
  void Repeat(const std::vector<std::int64_t>& bounds) {
    const std::size_t first = upper.size() - 1;
    upper.resize(first);
    upper.insert(upper.end(), bounds.begin(), bounds.end());
    words.resize(upper.size() * stride());
    for (std::size_t i = first + 1; i < upper.size(); ++i) {
      std::copy_n(words.data() + first * stride(), stride(), words.data() + i * stride());
    }
  }

  /// Joins neighbours with the same answers on every lane.
  void Join() {
    std::size_t kept = 0;
    for (std::size_t i = 0; i < upper.size(); ++i) {
      const Word* here = PieceAt(i);
      if (kept > 0 && std::equal(here, here + stride(), PieceAt(kept - 1))) {
        upper[kept - 1] = upper[i];
        continue;
      }
      if (kept != i) {
        upper[kept] = upper[i];
        std::copy(here, here + stride(), words.data() + kept * stride());
      }
      ++kept;
    }
    upper.resize(kept);
    words.resize(kept * stride());
    upper.shrink_to_fit();
    words.shrink_to_fit();
  }

  /// Gives up what is past a bound.
  void CutTo(std::size_t bounds) {
    upper.resize(bounds);
    words.resize(bounds * stride());
  }

  std::size_t bytes() const { return upper.capacity() * sizeof(std::int64_t) + words.capacity() * sizeof(Word); }
  friend bool operator==(const Staircase& a, const Staircase& b) { return a.upper == b.upper && a.words == b.words; }
  /// Of the content, once it is whole.
  std::uint64_t hash() const { return hash_; }
  void SetHash() {
    // Four sums at once, so that no multiplication waits for the one before.
    std::array<std::uint64_t, 4> sums = {1, 2, 3, 4};
    auto mix = [&sums](std::size_t i, std::uint64_t value) {
      sums[i % 4] = (sums[i % 4] ^ value) * 0x9E3779B97F4A7C15u;
    };
    for (std::size_t i = 0; i < upper.size(); ++i) mix(i, static_cast<std::uint64_t>(upper[i]));
    const std::size_t pairs = words.size() / 2;
    for (std::size_t i = 0; i < pairs; ++i) mix(i, std::uint64_t{words[2 * i]} << 32 | words[2 * i + 1]);
    if (words.size() % 2 != 0) mix(0, words.back());
    hash_ = 0;
    for (const std::uint64_t sum : sums) hash_ = (hash_ ^ sum ^ (sum >> 31)) * 0xC2B2AE3D27D4EB4Fu;
  }

 private:
  std::size_t lanes_ = 0;
  std::uint64_t hash_ = 0;
};

/// True where offers with these totals change anything: a quick look without branches.
inline bool Matters(std::size_t lanes, const Answers<Staircase::Word>& a, const Staircase::Word* totals) {
  unsigned any = 0;
  for (std::size_t lane = 0; lane < lanes; ++lane) {
    any |= static_cast<unsigned>(totals[lane] < a.second[lane]) |
           (static_cast<unsigned>(totals[lane] == a.total[lane]) &
            static_cast<unsigned>(totals[lane] != Answers<Staircase::Word>::kNone));
  }
  return any != 0;
}

inline void TakeInAll(const TieOrder& order, std::size_t lanes, const Answers<Staircase::Word>& a,
                      const Staircase::Word* other) {
  if (!Matters(lanes, a, other)) return;
  for (std::size_t lane = 0; lane < lanes; ++lane) {
    TakeIn(order, lane, a, other[lane], other[lanes + lane], other[2 * lanes + lane]);
  }
}

/// The staircase of several together.
inline Staircase MergeStaircases(const std::vector<const Staircase*>& parts, const TieOrder& order) {
  const std::size_t lanes = parts[0]->lanes();
  Staircase out(lanes);
  std::int64_t end = kNoOffer;
  for (const Staircase* part : parts) end = std::min(end, part->known_to());
  std::vector<std::size_t> at(parts.size(), 0);
  for (std::int64_t from = 0; from < end;) {
    std::int64_t next = end;
    for (std::size_t i = 0; i < parts.size(); ++i) {
      while (parts[i]->upper[at[i]] <= from) ++at[i];
      next = std::min(next, parts[i]->upper[at[i]]);
    }
    const Answers<Staircase::Word> answers = out.Copy(next, parts[0]->PieceAt(at[0]));
    for (std::size_t i = 1; i < parts.size(); ++i) TakeInAll(order, lanes, answers, parts[i]->PieceAt(at[i]));
    from = next;
  }
  out.Join();
  return out;
}

/// True where `a` alone answers as `a` and `b` together do, as far as both are known.
inline bool Dominates(const Staircase& a, const Staircase& b, const TieOrder& order) {
  const std::size_t lanes = a.lanes();
  const std::int64_t end = std::min(a.known_to(), b.known_to());
  std::size_t i = 0;
  std::size_t j = 0;
  for (std::int64_t from = 0; from < end;) {
    while (a.upper[i] <= from) ++i;
    while (b.upper[j] <= from) ++j;
    const Staircase::Word* mine = a.PieceAt(i);
    const Staircase::Word* other = b.PieceAt(j);
    for (std::size_t lane = 0; lane < lanes; ++lane) {
      const Staircase::Word total = mine[lane];
      const Staircase::Word theirs = other[lane];
      const Way way = mine[2 * lanes + lane];
      const Way their_way = other[2 * lanes + lane];
      if (theirs < total) return false;
      if (theirs == total && total != Answers<Staircase::Word>::kNone &&
          order.Key(lane, their_way) < order.Key(lane, way)) {
        return false;
      }
      const Staircase::Word second = ServiceOf(way) == ServiceOf(their_way) ? other[lanes + lane] : theirs;
      if (second < mine[lanes + lane]) return false;
    }
    from = std::min(a.upper[i], b.upper[j]);
  }
  return true;
}

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_BATCH_INTERNAL_STAIRCASE_H_
