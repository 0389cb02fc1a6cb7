"""The packing table of Quillmoor Secondhand: shelf, orders, catalogue, destinations. All invented."""

import random
from decimal import Decimal

HOME = {"country": "US", "postal_code": "05401"}

# code, title, kind, inside, outside, wall, thickness, tare, cost, on_hand
SHELF = [
    ("used-kettle", "Reused kettle carton", "carton", "11.75 x 10 x 8.25 in", "", "0.12 in", "", "9.6 oz", "0.20", "9"),
    ("used-tea", "Reused tea carton", "carton", "10.5 x 7.25 x 6 in", "", "0.15 in", "", "6.4 oz", "0.15", "4"),
    ("used-paper", "Reused paper-ream carton", "carton", "17.25 x 11.25 x 8.75 in", "17.75 x 11.75 x 9.5 in", "", "", "19.4 oz", "0.30", "5"),
    ("used-lamp", "Reused lamp carton", "carton", "19 x 12.5 x 12.5 in", "", "0.2 in", "", "27.7 oz", "0.35", "1"),
    ("carton-6", "Carton 6 x 4 x 4", "carton", "6 x 4 x 4 in", "", "0.12 in", "", "2.2 oz", "0.31", "40"),
    ("carton-8", "Carton 8 x 6 x 4", "carton", "8 x 6 x 4 in", "", "0.12 in", "", "3.4 oz", "0.38", "35"),
    ("carton-9", "Carton 9 x 6 x 3", "carton", "9 x 6 x 3 in", "", "0.12 in", "", "3.3 oz", "0.40", "22"),
    ("carton-10", "Carton 10 x 8 x 6", "carton", "10 x 8 x 6 in", "", "0.12 in", "", "5.5 oz", "0.56", "25"),
    ("carton-11", "Carton 11 x 8 x 8", "carton", "11 x 8 x 8 in", "", "0.12 in", "", "6.9 oz", "0.66", "16"),
    ("carton-12", "Carton 12 x 9 x 6", "carton", "12 x 9 x 6 in", "", "0.15 in", "", "7.4 oz", "0.69", "25"),
    ("carton-14x9", "Carton 14 x 9 x 5", "carton", "14 x 9 x 5 in", "", "0.15 in", "", "8.2 oz", "0.78", "18"),
    ("carton-14", "Carton 14 x 14 x 12", "carton", "14 x 14 x 12 in", "", "0.18 in", "", "18.6 oz", "1.45", "8"),
    ("carton-16", "Carton 16 x 12 x 10", "carton", "16 x 12 x 10 in", "", "0.18 in", "", "17.1 oz", "1.32", "10"),
    ("carton-20", "Carton 20 x 16 x 14, double wall", "carton", "20 x 16 x 14 in", "", "0.3 in", "", "46.5 oz", "3.85", "4"),
    ("carton-24", "Carton 24 x 18 x 18, double wall", "carton", "24 x 18 x 18 in", "", "0.3 in", "", "66.8 oz", "5.60", "2"),
    ("game-12", "Game carton 12 x 12 x 3", "carton", "12 x 12 x 3 in", "", "0.12 in", "", "6.4 oz", "0.64", "20"),
    ("flat-15", "Flat carton 15 x 15 x 3", "carton", "15 x 15 x 3 in", "", "0.12 in", "", "9.4 oz", "0.98", "15"),
    ("flat-20", "Flat carton 20 x 14 x 4", "carton", "20 x 14 x 4 in", "", "0.15 in", "", "14.6 oz", "1.28", "7"),
    ("record-13", "Record carton 13 x 13 x 1", "carton", "13 x 13 x 1.25 in", "", "0.1 in", "", "5.8 oz", "0.92", "30"),
    ("poly-7", "Poly mailer 7 x 10", "mailer", "7.5 x 10.5 in", "", "0.005 in", "", "0.4 oz", "0.26", "100"),
    ("poly-19", "Poly mailer 19 x 24", "mailer", "19 x 24 in", "", "0.005 in", "", "1.7 oz", "0.58", "0"),
    ("padded-6", "Padded mailer 6 x 9", "mailer", "6 x 9 in", "", "0.12 in", "", "0.6 oz", "0.24", "80"),
    ("padded-9", "Padded mailer 9 x 11", "mailer", "9 x 11 in", "", "0.12 in", "", "1.1 oz", "0.41", "3"),
    ("stiff-6", "Stiff envelope 6 x 8", "envelope", "6 x 8 in", "", "0.03 in", "0.4 in", "1.0 oz", "0.29", "50"),
    ("stiff-10", "Stiff envelope 10 x 13", "envelope", "9.75 x 13 in", "", "0.03 in", "0.6 in", "2.1 oz", "0.52", "45"),
    ("paper-6", "Paper envelope 6 x 9", "envelope", "5.9 x 9 in", "", "0.005 in", "0.2 in", "0.3 oz", "0.06", "200"),
    ("tube-2", "Tube 2 x 24", "tube", "2 x 24 in", "", "0.08 in", "", "5.2 oz", "1.10", "12"),
    ("tube-4", "Tube 4 x 38", "tube", "4 x 38 in", "", "0.12 in", "", "16.7 oz", "2.65", "2"),
    ("bare", "As it is", "bare", "", "", "", "", "0 oz", "0.00", ""),
]
SHELF_ISSUED = [
    ("harbourline", "hl-wallet", "20"), ("harbourline", "hl-crate-shallow", "1"),
    ("harbourline", "hl-crate-deep", "10"), ("harbourline", "hl-case-slim", "8"),
    ("harbourline", "hl-case-cube", "0"), ("harbourline", "hl-swift-chest", "4"),
    ("fenwick-dray", "fd-folder", "5"), ("fenwick-dray", "fd-pouch", "5"),
    ("larkspur", "lk-chest-small", "3"), ("larkspur", "lk-chest-large", "2"),
]


def shelf_csv():
    rows = ["code,title,kind,inside,outside,wall,thickness,tare,cost,currency,on_hand,carrier"]
    for code, title, kind, inside, outside, wall, thick, tare, cost, hand in SHELF:
        title = f'"{title}"' if "," in title else title
        rows.append(f"{code},{title},{kind},{inside},{outside},{wall},{thick},{tare},{cost},USD,"
                    f"{hand},")
    for carrier, code, hand in SHELF_ISSUED:
        rows.append(f"{code},,,,,,,,,,{hand},{carrier}")
    return "\n".join(rows) + "\n"


# --- orders ---------------------------------------------------------------------------------------

def order(goods, to, **more):
    what = {"parcel": goods} if "packaging" in goods or more.pop("sealed", False) else \
        {"goods": goods if isinstance(goods, list) else [goods]}
    return {"format": "tarewise-request-1", **what, "from": more.pop("frm", HOME), "to": to,
            "date": more.pop("date", "2026-08-03"), **more, "currency": "USD"}


def home(code):
    return {"country": "US", "postal_code": code, "residential": True}


def shop(code):
    return {"country": "US", "postal_code": code, "residential": False}


ORDERS = {
    "board-game-coast-to-coast": order(
        {"weight": "54.6 oz", "sides": "11.75 x 11.75 x 2.75 in", "quantity": 1, "value": "38.00",
         "shape": "box"}, home("98101")),
    "fountain-pen": order(
        {"weight": "1.4 oz", "sides": "6.5 x 1.25 x 1 in", "value": "85.00", "shape": "box",
         "contents": ["fragile"], "rigid": True}, home("97005"), cover="85.00", padding="0.25 in"),
    "record": order(
        {"weight": "9.3 oz", "sides": "12.4 x 12.4 x 0.25 in", "value": "24.00", "shape": "flat",
         "contents": ["media", "fragile"], "rigid": True}, home("60614"), padding="0.25 in"),
    "folded-sheet": order(
        {"weight": "0.4 oz", "sides": "7 x 4.5 x 0.04 in", "value": "4.50", "shape": "flat",
         "contents": ["documents"], "bare": True}, home("04101")),
    "coat": order(
        {"weight": "63.5 oz", "sides": "18 x 14 x 4 in", "value": "72.00", "shape": "soft"},
        home("30309")),
    "cast-iron-pan": order(
        {"weight": "8 lb 3 oz", "sides": "18 x 12.25 x 2.5 in", "value": "46.00",
         "shape": "irregular", "rigid": True}, home("98103"), fill_weight="5 oz"),
    "flat-irons-heavy-and-far": order(
        {"weight": "6 lb 1 oz", "sides": "6.25 x 3.75 x 2.4 in", "quantity": 4, "value": "120.00",
         "shape": "box", "rigid": True}, home("97005"), fill_weight="6 oz"),
    "flat-irons-heavy-and-near": order(
        {"weight": "6 lb 1 oz", "sides": "6.25 x 3.75 x 2.4 in", "quantity": 4, "value": "120.00",
         "shape": "box", "rigid": True}, home("05602"), fill_weight="6 oz"),
    "floor-loom": order(
        {"weight": "90 lb", "sides": "46 x 34 x 11 in", "value": "640.00", "shape": "irregular",
         "bare": True, "rigid": True, "this_side_up": True}, home("14850"), cover="640.00",
        extras=["signature"]),
    "lithium-lamp": order(
        {"weight": "23.8 oz", "sides": "9 x 5 x 5 in", "value": "31.00", "shape": "box",
         "contents": ["lithium_in_equipment", "fragile"]}, home("80202")),
    "spare-cells-alone": order(
        {"weight": "6.1 oz", "sides": "4 x 3 x 1 in", "value": "18.00", "shape": "box",
         "contents": ["lithium_alone"]}, home("80202")),
    "perfume-bottle": order(
        {"weight": "11.2 oz", "sides": "5 x 3 x 2.5 in", "value": "54.00", "shape": "box",
         "contents": ["liquid", "flammable_liquid", "fragile"], "this_side_up": True},
        home("85004")),
    "promise-within-three-days": order(
        {"weight": "19 lb 6 oz", "sides": "12 x 7.5 x 4.5 in", "value": "58.00",
         "shape": "irregular", "rigid": True}, home("94110"), promise={"within": 3}),
    "buyer-paid-for-swift": order(
        {"weight": "2 lb 1 oz", "sides": "9.5 x 7 x 3 in", "value": "44.00", "shape": "box"},
        home("33139"), promise={"paid_for": "harbourline/swift"}),
    "weight-not-known-yet": order(
        {"weight": "14..18 oz", "sides": "8 x 5.5 x 0.75 in", "value": "22.00", "shape": "box"},
        home("55401")),
    "cautious-near-the-edge": order(
        {"weight": "15 oz", "sides": "9 x 6.5 x 0.75 in", "value": "27.00", "shape": "box"},
        home("70115"), tolerance={"weight": "0.2 oz", "sides": "0.1 in"}, objective="cautious"),
    "sealed-parcel": order(
        {"weight": "6 lb 2 oz", "sides": "14 x 12 x 12 in", "shape": "box", "value": "95.00"},
        shop("10011"), sealed=True, cover="150.00"),
    "sealed-in-a-carriers-box": order(
        {"weight": "19 lb 4 oz", "sides": "10.78 x 10.78 x 7.78 in", "shape": "box",
         "packaging": "hl-crate-deep", "value": "120.00"}, home("99501")),
    "kettle-to-berlin": order(
        {"weight": "3 lb 14 oz", "sides": "9 x 8.5 x 7 in", "value": "66.00", "shape": "irregular",
         "rigid": True, "this_side_up": True}, {"country": "DE", "postal_code": "10115", "residential": True},
        exchange={"EUR": "1.0842"}, fill_weight="4 oz"),
    "two-books-and-a-score": order(
        [{"weight": "21.4 oz", "sides": "9.25 x 6.25 x 1.4 in", "quantity": 2, "value": "16.00",
          "shape": "box", "contents": ["media"]},
         {"weight": "6.8 oz", "sides": "12 x 9 x 0.3 in", "quantity": 1, "value": "9.00",
          "shape": "flat", "contents": ["media"]}], home("87501")),
    "rolled-map": order(
        {"weight": "7.5 oz", "sides": "36 x 2.5 x 2.5 in", "value": "35.00", "shape": "tube"},
        home("02139")),
    "clock-movement-to-anchorage": order(
        {"weight": "3 lb 9 oz", "sides": "7 x 7 x 4.5 in", "value": "1150.00", "shape": "irregular",
         "contents": ["fragile"], "rigid": True, "this_side_up": True}, home("99501"),
        cover="1150.00", extras=["signature-adult"]),
    "queen-bees": order(
        {"weight": "5.2 oz", "sides": "6 x 4 x 2.5 in", "value": "48.00", "shape": "box",
         "contents": ["live"], "this_side_up": True}, home("10011")),
    "deed-by-tomorrow": order(
        {"weight": "4.8 oz", "sides": "11 x 8.5 x 0.2 in", "value": "0", "shape": "flat",
         "contents": ["documents"]}, shop("80202"), promise={"within": 1}),
    "satchel-by-tomorrow": order(
        {"weight": "2 lb 10 oz", "sides": "13 x 10 x 3.5 in", "value": "95.00", "shape": "soft"},
        home("60614"), promise={"within": 1}),
    "satchel-in-two-days": order(
        {"weight": "2 lb 10 oz", "sides": "13 x 10 x 3.5 in", "value": "95.00", "shape": "soft"},
        home("98101"), promise={"within": 2}),
    "gloves-to-toronto": order(
        {"weight": "8.2 oz", "sides": "10 x 5 x 1.5 in", "value": "36.00", "shape": "soft"},
        {"country": "CA", "postal_code": "M5V 2T6", "residential": True}),
    "lamp-from-the-fair-in-lyon": order(
        {"weight": "1.9 kg", "sides": "31 x 22 x 20 cm", "value": "60.00", "shape": "box"},
        {"country": "DE", "postal_code": "10115", "residential": True},
        frm={"country": "FR", "postal_code": "69002"}, exchange={"EUR": "1.0842"}),
    "peak-season-gift": order(
        {"weight": "3 lb 2 oz", "sides": "11.5 x 8.5 x 2.5 in", "value": "29.00", "shape": "box"},
        home("75205"), date="2026-12-07"),
}


# --- catalogue ------------------------------------------------------------------------------------

TOWNS = ["Quillmoor", "Harrow Mill", "Saltmarsh", "Netherby", "Copperfold", "Larch Hill", "Wexcombe",
         "Thornley", "Millrace", "Oxbow", "Pennant Cove", "Dunmere", "Ashgate", "Loweswick"]
WORDS = ["Lantern", "Orchard", "Tinker", "Heron", "Cobble", "Weir", "Foxglove", "Anvil", "Harbour",
         "Thistle", "Beacon", "Juniper", "Sparrow", "Quarry", "Meadow", "Compass", "Ember", "Willow"]
WEAR = ["", "", "", "as new", "worn", "boxed", "a little rubbed", "restored", "with papers"]

# kind: count, title, weight oz, sides in, value, shape, contents, flags, monthly sales
# a range is "low..high"; sides are length, width, height as the goods stand
KINDS = [
    ("BG", 260, "Board game, The {w} of {t}", "18..96", ("9..15.5", "7..12", "1.5..4"), "14..95", "box", "", "", "0.2..6"),
    ("CG", 70, "Card game, {w} and {w2}", "4..14", ("4.5..7", "3.5..5", "0.75..1.5"), "6..24", "box", "", "", "0.4..8"),
    ("JZ", 90, "Jigsaw, {t} in spring", "14..46", ("9..14", "7..12", "1.75..3.25"), "6..30", "box", "", "", "0.2..4"),
    ("FP", 160, "Fountain pen, {w} No. {n}", "0.6..2.2", ("5.5..7", "0.75..1.5", "0.5..1.25"), "18..420", "box", "fragile x-uneven", "rigid", "0.2..5"),
    ("NB", 40, "Pen nibs, a card of {n}", "0.3..0.9", ("4.5..6", "3.5..4", "0.125..0.2"), "5..22", "flat", "x-uneven", "", "0.3..6"),
    ("IK", 50, "Ink, {w} green, a bottle", "4..9.5", ("2.5..3.5", "2..3", "2..3"), "8..36", "box", "fragile liquid", "up", "0.5..9"),
    ("LM", 130, "Table lamp, {t}", "28..120", ("8..14", "8..12", "11..16"), "24..220", "irregular", "fragile", "up", "0.1..2.5"),
    ("LL", 60, "Reading lamp with a cell, {w}", "9..38", ("6..14", "4..7", "3..7"), "16..70", "box", "fragile lithium_in_equipment", "", "0.3..5"),
    ("LP", 330, "Record, {w} at {t}", "7.8..10.5", ("12.375..12.5", "12.375..12.5", "0.125..0.25"), "5..90", "flat", "media fragile", "rigid", "0.5..7"),
    ("LB", 60, "Record set, {w} quartets", "28..96", ("12.5..13", "12.5..13", "0.75..2.5"), "18..160", "box", "media fragile", "rigid", "0.2..2"),
    ("SR", 50, "Single, {w} Waltz", "1.6..2.4", ("7.125..7.375", "7.125..7.375", "0.1..0.15"), "3..28", "flat", "media fragile", "", "0.4..5"),
    ("CT", 120, "Coat, {t} wool", "38..96", ("14..20", "11..16", "2.5..6"), "30..240", "soft", "", "", "0.2..3"),
    ("SC", 60, "Scarf, {w} weave", "3..12", ("9..12", "7..9", "1..2"), "9..60", "soft", "", "", "0.4..5"),
    ("GV", 40, "Gloves, {t}", "3.5..11", ("8.5..11", "4..5.5", "0.75..1.75"), "9..70", "soft", "", "", "0.3..4"),
    ("SA", 40, "Satchel, {t} leather", "30..74", ("12..15.5", "9..12", "3..5.5"), "30..210", "soft", "", "", "0.2..3"),
    ("KT", 70, "Kettle, {w} copper", "30..84", ("8..11", "7..9.5", "6..9.5"), "22..150", "irregular", "", "rigid", "0.2..3"),
    ("CI", 90, "Cast-iron pan, {t} foundry", "58..260", ("13..20", "8.5..15", "2..5.5"), "18..140", "irregular", "", "rigid", "0.3..4"),
    ("SM", 170, "Sheet music, {w} for two violins", "1.4..9.5", ("11.5..12.25", "8.75..9.25", "0.05..0.4"), "3..35", "flat", "media", "", "0.3..5"),
    ("FS", 190, "Folded sheet, {t} in {n}", "0.2..0.7", ("5.5..9", "3.75..6", "0.02..0.08"), "2..28", "flat", "documents", "bare", "0.5..9"),
    ("CM", 80, "Clock movement, {w} pattern {n}", "9..92", ("4..9", "4..8.5", "1.75..5.5"), "28..480", "irregular", "fragile", "rigid up", "0.1..2"),
    ("BK", 220, "Book, A history of {t}", "7..62", ("7..12.5", "4.5..9.75", "0.5..2.75"), "4..75", "box", "media", "rigid", "0.3..6"),
    ("MP", 50, "Rolled map of {t}", "4..14", ("22..37", "1.5..2.75", "1.5..2.75"), "14..120", "tube", "", "", "0.2..2.5"),
    ("TP", 50, "Teapot, {w} glaze", "18..52", ("8..11", "5..7.5", "5..7.5"), "14..110", "irregular", "fragile", "up", "0.2..3"),
    ("GL", 40, "Glasses, {w}, a set", "26..72", ("9..13", "7..10", "4.5..7"), "12..60", "box", "fragile", "up", "0.2..2"),
    ("TW", 25, "Typewriter, {t} portable", "190..420", ("13..16.5", "12..15", "5.5..8"), "60..340", "box", "fragile", "rigid up", "0.1..1"),
    ("WR", 45, "Wireless, {w} model {n}", "64..310", ("11..19", "6..11", "7..13"), "35..280", "box", "fragile magnetic", "rigid up", "0.1..1.5"),
    ("CA", 60, "Camera, {w} folding", "12..44", ("5.5..8.5", "4..6", "2.5..4.5"), "25..320", "box", "fragile", "rigid", "0.2..3"),
    ("PF", 25, "Scent, {w} water, a bottle", "5..14", ("3..6", "2..3.5", "1.5..3"), "18..150", "box", "fragile liquid flammable_liquid", "up", "0.2..2"),
    ("SP", 12, "Furniture spray, {w}", "11..18", ("8..10", "2.5..3", "2.5..3"), "6..14", "box", "aerosol", "", "0.3..2"),
    ("BC", 12, "Spare cells for lamps, a pair", "1.5..6", ("3..5", "2..3", "0.75..1.25"), "8..26", "box", "lithium_alone", "", "0.3..3"),
    ("KN", 35, "Kitchen knife, {t} steel", "4..14", ("10..16", "1.75..3", "0.75..1.25"), "12..120", "box", "sharp", "rigid", "0.2..3"),
    ("TT", 60, "Tin toy, {w}", "5..34", ("5..12", "3..6", "3..6"), "12..160", "box", "fragile", "rigid", "0.2..3"),
    ("TR", 40, "Model locomotive, {t} line", "7..30", ("7..13", "2.5..4", "2.5..4.5"), "30..260", "box", "fragile", "rigid", "0.2..3"),
    ("SW", 15, "Sewing machine, {w} hand crank", "320..560", ("17..20", "8.5..10", "11..13.5"), "50..260", "box", "fragile", "rigid up", "0.1..0.8"),
    ("QT", 40, "Quilt, {w} squares", "40..118", ("16..20", "13..17", "5..10"), "40..380", "soft", "", "", "0.1..2"),
    ("UM", 25, "Umbrella, {t}", "14..30", ("33..38", "2.5..4", "2.5..4"), "12..80", "irregular", "", "", "0.2..2"),
    ("VC", 18, "Bench vice, {t} works", "260..880", ("9..19", "6..9", "6.5..10"), "35..190", "irregular", "", "rigid", "0.1..1"),
    ("AC", 15, "Accordion, {w}", "210..420", ("15..19", "8..10", "12.5..15.5"), "120..620", "box", "fragile", "rigid up", "0.1..0.6"),
    ("BL", 20, "Flower bulbs, {w}, a bag", "6..22", ("7..10", "5..7", "2..4"), "6..18", "soft", "perishable", "", "0.3..4"),
    ("LO", 8, "Floor loom, {t}, taken apart", "1290..1560", ("44..52", "28..34", "9..13"), "380..900", "irregular", "", "rigid bare up", "0.05..0.2"),
    ("ST", 40, "Postage stamps of {t}, an album page", "0.4..2.8", ("8..11", "5.5..8.5", "0.05..0.2"), "4..130", "flat", "documents", "", "0.3..4"),
]
COLUMNS = ("sku,title,weight_oz,length_in,width_in,height_in,quantity,value,contents,shape,"
           "this_side_up,rigid,bare,monthly_sales")


class Dice:
    """Only random() is used, so that the goods stay the same in every Python."""

    def __init__(self, seed):
        self.rng = random.Random(seed)

    def below(self, n):
        return int(self.rng.random() * n)

    def pick(self, items):
        return items[self.below(len(items))]

    def between(self, text, step, t=None):
        """A decimal between "low..high" on a step; t (0..1) places it, with some play."""
        low, high = map(Decimal, text.split(".."))
        x = Decimal(round(self.rng.random(), 6)).quantize(Decimal("0.000001"))
        if t is not None:
            x = (x + 2 * t) / 3
        got = low + (high - low) * x
        return max((got / step).to_integral_value() * step, step)


def plain(x):
    text = f"{x:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def goods_csv():
    dice = Dice("quillmoor goods")
    rows = [COLUMNS]
    for code, count, title, weight, sides, value, shape, contents, flags, sales in KINDS:
        for n in range(1, count + 1):
            size = Decimal(round(dice.rng.random(), 6)).quantize(Decimal("0.000001"))
            thin = Decimal("0.001") if code == "FS" else Decimal("0.005")
            got = [dice.between(s, Decimal("0.125") if Decimal(s.split("..")[1]) > Decimal("0.5")
                                else thin, size) for s in sides]
            if shape != "irregular" and "up" not in flags:
                got.sort(reverse=True)
            if shape == "tube":
                got[2] = got[1]
            ounces = dice.between(weight, Decimal("0.1"), size)
            worth = dice.between(value, Decimal("0.5"))
            words = title.format(w=dice.pick(WORDS), w2=dice.pick(WORDS), t=dice.pick(TOWNS),
                                 n=1880 + dice.below(90) if code == "FS" else 2 + dice.below(58))
            wear = dice.pick(WEAR)
            name = f"{words}, {wear}" if wear else words
            quantity = 2 + dice.below(4) if dice.rng.random() < 0.04 and ounces < 64 else 1
            yes = lambda flag: "true" if flag in flags.split() else "false"
            rows.append(",".join([
                f"{code}-{n:04d}", f'"{name}"', plain(ounces), *map(plain, got), str(quantity),
                f"{worth:.2f}", contents, shape, yes("up"), yes("rigid"), yes("bare"),
                plain(dice.between(sales, Decimal("0.05")))]))
    return "\n".join(rows) + "\n"


# Areas of the larger cities, with a weight by guess; the rest of the country by smaller weights.
CITIES = {
    "054": 8, "056": 4, "010": 7, "122": 6, "041": 5, "100": 26, "112": 23, "113": 14, "104": 11,
    "117": 13, "070": 12, "088": 8, "076": 7, "021": 15, "018": 6, "060": 6, "191": 13, "190": 8,
    "152": 9, "207": 10, "208": 9, "200": 8, "220": 9, "212": 8, "232": 6, "276": 9, "282": 9,
    "294": 4, "303": 12, "300": 13, "322": 7, "328": 8, "331": 15, "334": 7, "336": 8, "372": 8,
    "381": 5, "402": 6, "441": 8, "432": 7, "452": 8, "462": 9, "481": 8, "482": 6, "495": 5,
    "532": 7, "554": 9, "551": 6, "606": 18, "600": 11, "604": 9, "631": 9, "641": 7, "681": 4,
    "701": 6, "731": 6, "741": 5, "752": 11, "750": 12, "761": 7, "770": 15, "774": 8, "782": 11,
    "787": 11, "799": 4, "802": 11, "801": 7, "841": 8, "850": 12, "852": 9, "857": 5, "871": 5,
    "891": 9, "900": 18, "902": 9, "913": 6, "917": 9, "921": 11, "926": 10, "941": 10, "945": 11,
    "950": 7, "956": 7, "972": 10, "970": 7, "981": 12, "980": 9, "992": 4, "837": 5, "967": 3,
    "968": 3, "995": 2, "997": 1, "006": 2, "009": 2}


def destinations_csv(prefixes):
    dice = Dice("quillmoor destinations")
    weights = {}
    for p in prefixes:
        if p in CITIES:
            weights[p] = Decimal(CITIES[p]) * 10 + dice.below(10)
        elif dice.rng.random() < 0.16 and p not in ("007", "008", "969"):
            weights[p] = Decimal(4 + dice.below(26))
    total = sum(weights.values())
    shares = {p: (100 * w / total).quantize(Decimal("0.0001")) for p, w in weights.items()}
    biggest = max(shares, key=lambda p: shares[p])
    shares[biggest] += 100 - sum(shares.values())
    assert sum(shares.values()) == 100
    return "country,postal_code,share\n" + "".join(
        f"US,{p},{shares[p]:.4f}\n" for p in sorted(shares))
