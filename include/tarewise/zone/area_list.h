#ifndef TAREWISE_ZONE_AREA_LIST_H_
#define TAREWISE_ZONE_AREA_LIST_H_

#include <cstddef>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "tarewise/internal/switch.h"
#include "tarewise/version.h"
#include "tarewise/zone/area.h"
#include "tarewise/zone/place.h"

namespace tarewise::inline TW_VERSIONED {

/// A list of areas that a tariff names, "far", and that is written "@far" where an area may stand. Immutable; copies
/// share it, however many areas it has.
class AreaList {
 public:
  class Builder;

  /// `areas` may overlap and stand in any order.
  AreaList(std::string name, const std::vector<Area>& areas);

  const std::string& name() const { return body_->name; }
  /// "@far"
  std::string ToString() const { return "@" + body_->name; }
  /// Areas that overlap count as one.
  std::size_t size() const { return body_->areas.size(); }
  /// Logarithmic in the areas, for each length of prefix in use.
  bool Has(const Place& place) const { return body_->areas.Find(place) != nullptr; }
  /// Calls `f` with each area, in the order of `AreaMap::ForEach`.
  template <typename F>
  void ForEach(F f) const {
    body_->areas.ForEach([&f](const Area& area, Held) { f(area); });
  }
  /// The areas in bytes (of SHA-256) that are equal for lists of the same areas, whatever their names.
  const std::string& digest() const { return body_->digest; }
  /// Of the same name and the same areas.
  friend bool operator==(const AreaList& a, const AreaList& b) {
    return a.body_ == b.body_ || (a.name() == b.name() && a.body_->areas == b.body_->areas);
  }

 private:
  struct Held {
    friend bool operator==(const Held&, const Held&) = default;
  };
  struct Body {
    std::string name;
    AreaMap<Held> areas;
    std::string digest;
  };
  explicit AreaList(std::shared_ptr<const Body> body) : body_(std::move(body)) {}

  std::shared_ptr<const Body> body_;
};

/// Fills a list area by area.
class AreaList::Builder {
 public:
  explicit Builder(std::string name) { body_.name = std::move(name); }

  void Add(const Area& area) { body_.areas.Add(area, Held()); }
  void Add(const AreaList& list) {
    list.ForEach([this](const Area& area) { Add(area); });
  }
  bool empty() const { return body_.areas.empty(); }
  /// The list; nothing may be added then.
  AreaList Finish() &&;

 private:
  Body body_;
};

}  // namespace tarewise::inline TW_VERSIONED

#ifdef TW_HEADER_ONLY
#include "tarewise/zone/internal/area_list-inl.h"
#endif

#endif  // TAREWISE_ZONE_AREA_LIST_H_
