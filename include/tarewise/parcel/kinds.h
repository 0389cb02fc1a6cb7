#ifndef TAREWISE_PARCEL_KINDS_H_
#define TAREWISE_PARCEL_KINDS_H_

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED {

/// What a parcel or an item is like to a carrier's sorting machine.
enum class Shape : std::uint8_t { kBox, kTube, kSoft, kFlat, kIrregular };
inline constexpr std::string_view kShapeNames[] = {"box", "tube", "soft", "flat", "irregular"};

/// Kinds of packaging; `kBare` is none: the goods are shipped as they are.
enum class PackagingKind : std::uint8_t { kCarton, kMailer, kEnvelope, kTube, kBare };
inline constexpr std::string_view kPackagingKindNames[] = {"carton", "mailer", "envelope", "tube", "bare"};

/// How a service moves parcels. `kAny`: the carrier does not say; safety rules for air then do not apply by themselves.
enum class Mode : std::uint8_t { kSurface, kAir, kAny };
inline constexpr std::string_view kModeNames[] = {"surface", "air", "any"};

/// Where a service ends: at the addressee's door, at a counter where the addressee calls for it, or in a locker.
enum class Delivery : std::uint8_t { kDoor, kPoint, kLocker };
inline constexpr std::string_view kDeliveryNames[] = {"door", "point", "locker"};

constexpr std::string_view NameOf(Shape shape) { return kShapeNames[static_cast<int>(shape)]; }
constexpr std::string_view NameOf(PackagingKind kind) { return kPackagingKindNames[static_cast<int>(kind)]; }
constexpr std::string_view NameOf(Mode mode) { return kModeNames[static_cast<int>(mode)]; }
constexpr std::string_view NameOf(Delivery delivery) { return kDeliveryNames[static_cast<int>(delivery)]; }

/// The value of an enumeration whose names, in order, are `names`; nothing for another word.
template <typename E, std::size_t N>
constexpr std::optional<E> FromName(const std::string_view (&names)[N], std::string_view name) {
  for (std::size_t i = 0; i < N; ++i) {
    if (names[i] == name) return static_cast<E>(i);
  }
  return std::nullopt;
}

constexpr std::optional<Shape> ShapeFromName(std::string_view name) { return FromName<Shape>(kShapeNames, name); }
constexpr std::optional<PackagingKind> PackagingKindFromName(std::string_view name) {
  return FromName<PackagingKind>(kPackagingKindNames, name);
}
constexpr std::optional<Mode> ModeFromName(std::string_view name) { return FromName<Mode>(kModeNames, name); }
constexpr std::optional<Delivery> DeliveryFromName(std::string_view name) {
  return FromName<Delivery>(kDeliveryNames, name);
}

/// The shape of a parcel in packaging of this kind; a bare one has its goods' shape.
constexpr Shape ShapeIn(PackagingKind kind, Shape goods) {
  switch (kind) {
    case PackagingKind::kCarton:
      return Shape::kBox;
    case PackagingKind::kMailer:
      return Shape::kSoft;
    case PackagingKind::kEnvelope:
      return Shape::kFlat;
    case PackagingKind::kTube:
      return Shape::kTube;
    case PackagingKind::kBare:
      break;
  }
  return goods;
}

/// The kind a sealed parcel of this shape counts as where its packaging is not named.
constexpr PackagingKind KindOf(Shape shape) {
  switch (shape) {
    case Shape::kBox:
      return PackagingKind::kCarton;
    case Shape::kTube:
      return PackagingKind::kTube;
    case Shape::kSoft:
      return PackagingKind::kMailer;
    case Shape::kFlat:
      return PackagingKind::kEnvelope;
    case Shape::kIrregular:
      break;
  }
  return PackagingKind::kBare;
}

}  // namespace tarewise::inline TW_VERSIONED

#endif  // TAREWISE_PARCEL_KINDS_H_
