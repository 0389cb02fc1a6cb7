// Checked by compiling: names and kinds of the parcel layer.
#include "can.h"
#include "tarewise/parcel/contents.h"
#include "tarewise/parcel/item.h"
#include "tarewise/parcel/kinds.h"
#include "tarewise/parcel/packaging.h"

namespace tarewise {
namespace {

// The vocabulary is fixed, and a trait is its place in it.
static_assert(std::size(kTraitNames) == 12);
static_assert(kTraitNames[static_cast<int>(Trait::kMedia)] == "media");
static_assert(kTraitNames[static_cast<int>(Trait::kLithiumInEquipment)] == "lithium_in_equipment");
static_assert(kTraitNames[static_cast<int>(Trait::kLithiumAlone)] == "lithium_alone");
static_assert(kTraitNames[static_cast<int>(Trait::kFlammableLiquid)] == "flammable_liquid");
static_assert(kTraitNames[static_cast<int>(Trait::kAerosol)] == "aerosol");
static_assert(kTraitNames[static_cast<int>(Trait::kLive)] == "live");
static_assert(!std::is_convertible_v<const char*, Contents>, "a word is checked: Contents::Add");

static_assert(ShapeFromName("tube") == Shape::kTube && NameOf(Shape::kIrregular) == "irregular");
static_assert(PackagingKindFromName("mailer") == PackagingKind::kMailer && NameOf(PackagingKind::kBare) == "bare");
static_assert(ModeFromName("air") == Mode::kAir && NameOf(Mode::kAny) == "any");
static_assert(!ShapeFromName("Box") && !ShapeFromName("") && !ModeFromName("sea") && !PackagingKindFromName("box"));
static_assert(!std::is_convertible_v<Shape, PackagingKind> && !std::is_convertible_v<Shape, int>);

// Shape of a parcel by its packaging, and kind of an unnamed packaging by its shape.
static_assert(ShapeIn(PackagingKind::kCarton, Shape::kSoft) == Shape::kBox);
static_assert(ShapeIn(PackagingKind::kMailer, Shape::kBox) == Shape::kSoft);
static_assert(ShapeIn(PackagingKind::kEnvelope, Shape::kBox) == Shape::kFlat);
static_assert(ShapeIn(PackagingKind::kTube, Shape::kBox) == Shape::kTube);
static_assert(ShapeIn(PackagingKind::kBare, Shape::kIrregular) == Shape::kIrregular);
static_assert(KindOf(Shape::kBox) == PackagingKind::kCarton && KindOf(Shape::kTube) == PackagingKind::kTube);
static_assert(KindOf(Shape::kSoft) == PackagingKind::kMailer && KindOf(Shape::kFlat) == PackagingKind::kEnvelope);
static_assert(KindOf(Shape::kIrregular) == PackagingKind::kBare);

static_assert(std::is_nothrow_move_constructible_v<Item> && std::is_copy_constructible_v<Item>);
static_assert(std::is_nothrow_move_constructible_v<Parcel> && std::is_copy_constructible_v<Parcel>);
static_assert(std::is_nothrow_move_constructible_v<Packaging> && std::is_copy_constructible_v<Shelf>);
static_assert(!std::is_convertible_v<int, SideRange> && !can::Equal<Item, Item>);

}  // namespace
}  // namespace tarewise
