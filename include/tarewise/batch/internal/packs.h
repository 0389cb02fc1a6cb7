#ifndef TAREWISE_BATCH_INTERNAL_PACKS_H_
#define TAREWISE_BATCH_INTERNAL_PACKS_H_

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>
#include <utility>
#include <vector>

#include "tarewise/batch/internal/goods.h"
#include "tarewise/parcel/internal/fits.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/parcel/packaging.h"
#include "tarewise/ranking/internal/pieces.h"
#include "tarewise/ranking/packer.h"
#include "tarewise/rules/facts.h"
#include "tarewise/units/money.h"
#include "tarewise/units/rounding.h"
#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::internal {

/// A packaging at hand, or the estimate that stands for one, as repricing sees it.
struct Pack {
  enum class Sides : std::uint8_t { kFixed, kAround, kThickness, kEstimate };

  const Packaging* packaging = nullptr;  ///< Nothing: the estimate.
  PackagingKind kind = PackagingKind::kCarton;
  std::string_view code;
  std::string_view title;
  std::string_view issued_by;
  Sides how = Sides::kFixed;  ///< What the parcel's sides come from.
  std::array<std::int64_t, 3> outside =
      {};  ///< `kFixed`: the parcel's sides, longest first; `kThickness`: the first two.
  std::array<std::int64_t, 3> inside = {};  ///< As the packaging has them.
  std::int64_t walls = 0;                   ///< Two walls, or what an estimate adds to each side.
  std::int64_t around = 0;                  ///< Gross weight less the goods'
  std::int64_t around_heavy = 0;  ///< and the same for goods over a pound, which only an estimate tells apart.
  Amount own_cost;
  Amount issued_cost;
  bool converted = false;  ///< `issued_cost` joins a price that is converted, and then rounded, as one.
  bool cost_known = true;
  bool in_stock = true;
  /// Of a carton that may be cut down: its outside as written, and the lowest that the third may become; else zeros.
  std::array<std::int64_t, 3> whole = {};
  std::int64_t least_height = 0;

  bool cut_down() const { return least_height != 0; }
  /// The sides of a parcel whose carton is cut to a height, longest first.
  std::array<std::int64_t, 3> OutsideAt(std::int64_t height) const { return Sorted({whole[0], whole[1], height}); }

  std::int64_t Gross(std::int64_t goods) const { return goods + (goods > kPound ? around_heavy : around); }
  Shape ShapeOf(Shape goods) const { return packaging == nullptr ? goods : ShapeIn(kind, goods); }
  PackagingKind KindOf(Shape goods) const { return packaging == nullptr ? tarewise::KindOf(goods) : kind; }

  /// The parcel's sides, longest first, of one unit that fits, and of a pile bare or estimated.
  std::array<std::int64_t, 3> Outside(const Goods& goods) const {
    switch (how) {
      case Sides::kFixed:
        return outside;
      case Sides::kAround:
      case Sides::kEstimate:
        return {goods.sorted[0] + walls, goods.sorted[1] + walls, goods.sorted[2] + walls};
      case Sides::kThickness:
        return Sorted({outside[0], outside[1], Thickness(goods.sorted) + walls});
    }
    return outside;
  }

  /// Whether one unit goes in, as `PilePacker` judges it; a carton's padding is `padding` on each side.
  bool Fits(const Goods& goods, std::int64_t padding) const {
    const std::array<std::int64_t, 3>& g = goods.sorted;
    switch (kind) {
      case PackagingKind::kCarton: {
        if (packaging == nullptr) return true;
        std::array<std::int64_t, 3> room = inside;
        std::array<std::int64_t, 3> need = goods.sides;
        if (goods.up) {
          if (room[0] < room[1]) std::swap(room[0], room[1]);
          if (need[0] < need[1]) std::swap(need[0], need[1]);
        } else {
          room = Sorted(room);
          need = g;
        }
        return need[0] + 2 * padding <= room[0] && need[1] + 2 * padding <= room[1] && need[2] + 2 * padding <= room[2];
      }
      case PackagingKind::kBare:
        return packaging == nullptr || goods.bare;
      case PackagingKind::kMailer:
        if (packaging == nullptr) return true;
        return !goods.up &&
               MailerTakes({std::min(inside[0], inside[1]), std::max(inside[0], inside[1]), 0}, g[0], g[1], g[2]);
      case PackagingKind::kEnvelope:
        if (packaging == nullptr) return true;
        return !goods.up && Thickness(g) >= 0;
      case PackagingKind::kTube:
        if (packaging == nullptr) return true;
        return !goods.up && (TubeTakes(inside, g[0], g[1], g[2]) || TubeTakes(inside, g[1], g[0], g[2]) ||
                             TubeTakes(inside, g[2], g[0], g[1]));
    }
    return false;
  }

  /// Of goods in an envelope: the thinnest way that goes in, or -1.
  std::int64_t Thickness(const std::array<std::int64_t, 3>& g) const {
    const std::int64_t room = std::max(inside[0], inside[1]);
    const std::int64_t width = std::min(inside[0], inside[1]);
    const std::array<std::int64_t, 3> flat = {width, room, inside[2]};
    if (EnvelopeTakes(flat, g[0], g[1], g[2])) return g[2];
    if (EnvelopeTakes(flat, g[0], g[2], g[1])) return g[1];
    if (EnvelopeTakes(flat, g[1], g[2], g[0])) return g[0];
    return -1;
  }

  ParcelFacts Facts(Shape goods) const {
    ParcelFacts facts;
    facts.shape = ShapeOf(goods);
    facts.kind = KindOf(goods);
    facts.packaging = code;
    facts.issued_by = issued_by;
    return facts;
  }

  static constexpr std::int64_t kPound = Weight::Pounds(1).nanograms();
};

/// Up to 64 packagings of fixed sides, asked all at once: a bit for each that takes one unit. Of several: see
/// `QuantityFits`.
class FitTable {
 public:
  static constexpr std::size_t kMost = 64;

  void Add(const Pack& pack, std::uint16_t index) {
    const std::uint64_t bit = std::uint64_t{1} << packs_.size();
    packs_.push_back(index);
    if (pack.kind != PackagingKind::kCarton) {
      tubes_.push_back({&pack, bit});
      return;
    }
    std::array<std::int64_t, 3> room = pack.inside;
    if (room[0] < room[1]) std::swap(room[0], room[1]);
    for (std::size_t i = 0; i < 3; ++i) up_[i].Add(room[i], bit);
    room = Sorted(room);
    for (std::size_t i = 0; i < 3; ++i) any_[i].Add(room[i], bit);
  }
  void Finish() {
    for (Axis& axis : any_) axis.Finish();
    for (Axis& axis : up_) axis.Finish();
  }

  std::uint64_t Fitting(const Goods& goods, std::int64_t padding) const {
    std::uint64_t fits = 0;
    const std::int64_t around = 2 * padding;
    if (!goods.up) {
      fits = any_[0].AtLeast(goods.sorted[0] + around) & any_[1].AtLeast(goods.sorted[1] + around) &
             any_[2].AtLeast(goods.sorted[2] + around);
      for (const auto& [pack, bit] : tubes_) fits |= pack->Fits(goods, padding) ? bit : 0;
    } else {
      std::array<std::int64_t, 3> need = goods.sides;
      if (need[0] < need[1]) std::swap(need[0], need[1]);
      fits = up_[0].AtLeast(need[0] + around) & up_[1].AtLeast(need[1] + around) & up_[2].AtLeast(need[2] + around);
    }
    return fits;
  }

  const std::vector<std::uint16_t>& packs() const { return packs_; }
  bool full() const { return packs_.size() == kMost; }

 private:
  // The packagings with at least so much room along one axis.
  struct Axis {
    std::vector<std::pair<std::int64_t, std::uint64_t>> rooms;
    std::vector<std::int64_t> bounds;
    std::vector<std::uint64_t> masks;  // by how many bounds lie below the need
    void Add(std::int64_t room, std::uint64_t bit) { rooms.emplace_back(room, bit); }
    void Finish() {
      std::sort(rooms.begin(), rooms.end());
      masks.assign(rooms.size() + 1, 0);
      for (std::size_t i = rooms.size(); i-- > 0;) masks[i] = masks[i + 1] | rooms[i].second;
      for (const auto& [room, bit] : rooms) bounds.push_back(room);
    }
    std::uint64_t AtLeast(std::int64_t need) const {
      std::size_t below = 0;
      std::size_t count = bounds.size();
      const std::int64_t* base = bounds.data();
      while (count > 0) {
        const std::size_t half = (count + 1) / 2;
        below += base[below + half - 1] < need ? half : 0;
        count -= half;
      }
      return masks[below];
    }
  };

  std::vector<std::uint16_t> packs_;
  std::array<Axis, 3> any_;
  std::array<Axis, 3> up_;
  std::vector<std::pair<const Pack*, std::uint64_t>> tubes_;
};

/// The same for packagings whose parcels' sides follow the goods': up to 64 mailers, one envelope, or what takes
/// anything, which piles of several units are asked of too.
class GroupFit {
 public:
  void Add(const Pack& pack) {
    const std::uint64_t bit = std::uint64_t{1} << count_++;
    const std::int64_t room = std::max(pack.inside[0], pack.inside[1]);
    const std::int64_t width = std::min(pack.inside[0], pack.inside[1]);
    all_ |= bit;
    if (pack.packaging == nullptr) {
      kind_ = Kind::kAnything;
    } else if (pack.kind == PackagingKind::kBare) {
      kind_ = Kind::kBare;
    } else if (pack.kind == PackagingKind::kMailer) {
      kind_ = Kind::kMailers;
      mailers_.push_back({width, room, bit});
    } else {
      kind_ = Kind::kEnvelope;
      envelope_ = &pack;
    }
  }

  std::uint64_t Fitting(const Goods& goods) const {
    switch (kind_) {
      case Kind::kAnything:
        return all_;
      case Kind::kBare:
        return goods.bare ? all_ : 0;
      case Kind::kMailers: {
        if (goods.up) return 0;
        const std::int64_t across = goods.sorted[1] + goods.sorted[2];
        const std::int64_t along = goods.sorted[0] + goods.sorted[2];
        std::uint64_t fits = 0;
        for (const Mailer& mailer : mailers_) fits |= across <= mailer.width && along <= mailer.room ? mailer.bit : 0;
        return fits;
      }
      case Kind::kEnvelope:
        return !goods.up && envelope_->Thickness(goods.sorted) >= 0 ? all_ : 0;
    }
    return 0;
  }

 private:
  enum class Kind : std::uint8_t { kAnything, kBare, kMailers, kEnvelope };
  struct Mailer {
    std::int64_t width;
    std::int64_t room;
    std::uint64_t bit;
  };
  Kind kind_ = Kind::kAnything;
  int count_ = 0;
  std::uint64_t all_ = 0;
  std::vector<Mailer> mailers_;
  const Pack* envelope_ = nullptr;
};

}  // namespace tarewise::inline TW_VERSIONED::internal

#endif  // TAREWISE_BATCH_INTERNAL_PACKS_H_
