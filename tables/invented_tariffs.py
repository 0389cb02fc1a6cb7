"""The tariffs of three invented carriers. Every price here comes from a formula and a seeded jitter."""

import datetime
import random
from decimal import ROUND_HALF_UP, Decimal

import worked_prices

SOURCE = "invented for the demonstration, written by tables/generate.py"
CENT = Decimal("0.01")

# How dear the way is: 0 next door, 1 across the country.
FAR = {"S": "0", "1": "0.08", "2": "0.18", "3": "0.33", "4": "0.5", "5": "0.67", "6": "0.84",
       "7": "1", "P": "1.22",
       "11": "0.1", "12": "0.2", "13": "0.34", "14": "0.49", "15": "0.66", "16": "0.83", "17": "1",
       "18": "1.2", "19": "1.36", "A": "0.18", "B": "0.52", "C": "1", "D": "1.4"}
NO_HAZARD = ["lithium_alone", "flammable_liquid", "aerosol"]


def d(x):
    return Decimal(str(x))


def cents(x):
    return d(x).quantize(CENT, ROUND_HALF_UP)


def quarter(x):
    """To five cents, as small charges are listed."""
    return ((d(x) * 20).to_integral_value(ROUND_HALF_UP) / 20).quantize(CENT)


def grid(seed, columns, bounds, price, level, jitter="0.012", missing=()):
    """Rows of prices: rising with the weight and with the way, as lists do."""
    rng = random.Random(seed)
    rows, above = [], {}
    for bound in bounds:
        row, left = [bound], Decimal(0)
        for c in columns:
            if c in missing:
                row.append(None)
                continue
            wave = 1 + d(jitter) * (d(round(rng.random(), 6)) * 2 - 1)
            cell = cents(price(d(worked_number(bound)), d(FAR.get(c, c))) * wave *
                         level(d(worked_number(bound)), c))
            cell = max(cell, left, above.get(c, Decimal(0)) + CENT)
            row.append(cell)
            left = above[c] = cell
        rows.append(row)
    return rows


def worked_number(bound):
    return str(bound).split()[0]


def inline(by, unit, columns, rows, **more):
    table = {"by": by}
    if unit:
        table["unit"] = unit
    plain = lambda b: b if isinstance(b, str) and " " in b else d(b)
    return {"table": {**table, "columns": columns, "rows": [[plain(r[0])] + r[1:] for r in rows],
                      **more}}


def step_table(by, unit, pairs, **more):
    """A table without zones."""
    return inline(by, unit, ["*"], [[b, cents(p)] for b, p in pairs], **more)


def when(test, price):
    return {"when": test, **price}


def refuse(test, reason, code=None):
    return {"when": test, "reason": reason, **({"code": code} if code else {})}


def not_taken(words, reason):
    return refuse({"contents": {"has_any": words}}, reason, "contents_not_accepted")


def by_zone(columns, price, level):
    return {"by_zone": {c: quarter(price(d(FAR[c])) * level(Decimal(1), c)) for c in columns}}


# --- the examples -----------------------------------------------------------------------------

def ex(service, weight, sides, why, zone=None, to=None, frm=None, **more):
    e = {"service": service, "parcel": {"weight": weight, "sides": sides}}
    for key in ("shape", "packaging", "contents", "value", "rigid"):
        if key in more:
            e["parcel"][key] = more.pop(key)
    if to:
        e["from"] = frm or {"country": "US", "postal_code": "05401"}
        e["to"] = to
    else:
        e["zone"] = zone
    for key in ("residential", "date", "time", "extras", "cover"):
        if key in more:
            e[key] = more.pop(key)
    e["show"] = [key for key in ("billable", "net", "arrives") if more.pop(key, False)]
    e["why"] = why
    assert not more, more
    return e


def us(code, residential=None):
    place = {"country": "US", "postal_code": code}
    if residential is not None:
        place["residential"] = residential
    return place


def land(country, code):
    return {"country": country, "postal_code": code}


# --- Harbourline Post ---------------------------------------------------------------------------

HL_ZONES = ["S", "1", "2", "3", "4", "5", "6", "7", "P"]
HL_EDGES = (90, 240, 500, 900, 1500, 2200)
HL_VERSIONS = [
    ("2026-01", "2026-01-18", "2026-07-11", "Notes, parcels and crates, winter 2026"),
    ("2026-07", "2026-07-12", "2027-01-17", "Notes, parcels and crates, summer 2026"),
    ("2027-01", "2027-01-18", None, "Notes, parcels and crates, winter 2027 (announced)"),
]


def hl_level(version):
    """What a version asks against summer 2026: some rows stay, some rise, a few get cheaper."""
    def level(w, zone):
        far = zone in ("6", "7", "P")
        if version == "2026-07":
            return Decimal(1)
        if version == "2026-01":
            rise = d("0.015") if w <= 3 else d("0.026") if w <= 12 else d("0.037")
            return 1 / (1 + rise + (d("0.008") if far else 0))
        rise = d("0.022") if w <= 4 else d("0.031") if w <= 16 else d("-0.011")
        return 1 + rise + (d("0.007") if far else 0)
    return level


def harbourline(version, start, until, title, grids):
    level = hl_level(version)
    index = {"2026-01": d("0.97"), "2026-07": d(1), "2027-01": d("1.028")}[version]
    fee = lambda x: quarter(d(x) * index)

    def file_grid(name, rows, columns=HL_ZONES, **more):
        file = f"harbourline-{version}-{name}.csv"
        grids[file] = (columns, rows)
        return {"table": {"by": "billable_weight", "unit": "lb", "csv": file, **more}}

    halves = [f"{n / 2:g}" for n in range(1, 111)]
    parcel = grid("hl-parcel", HL_ZONES, range(1, 13), lambda w, f: d("6.25") + d("2.5") * f +
                  (w - 1)**d("0.84") * (d("0.62") + d("1.9") * f), level)
    swift = grid("hl-swift", HL_ZONES, halves, lambda w, f: d("8.1") + d("4.3") * f +
                 (w - d("0.5"))**d("0.87") * (d("0.98") + d("2.6") * f), level)
    noon = grid("hl-noon", HL_ZONES, halves, lambda w, f: d("25.6") + d("15") * f +
                (w - d("0.5"))**d("0.9") * (d("2") + d("3.5") * f), level)
    brick = [[t] for t in ("0.15", "0.3", "0.45")]
    for row, (b, slope) in zip(brick, (("6.95", "2.60"), ("8.20", "4.70"), ("9.35", "7.60"))):
        row += [cents((d(b) + d(slope) * d(FAR[z])) * level(Decimal(3), z)) for z in HL_ZONES]
    abroad = ["C", "M", "W", "O"]
    abroad_far = {"C": d("0.2"), "M": d("0.45"), "W": d("0.75"), "O": d("1.05")}
    light = [[b] + [cents((d("10.4") + 6 * abroad_far[c] + d(b)**d("0.86") *
                           (d("0.15") + d("0.44") * abroad_far[c])) * level(Decimal(2), c))
                    for c in abroad] for b in ("3", "7", "11", "15.5", "22", "30", "40", "50", "60")]
    heavier = grid("hl-abroad", [str(abroad_far[c]) for c in abroad], halves[:100],
                   lambda w, f: d("22.5") + 24 * f + (w - d("0.5"))**d("0.91") *
                   (d("2") + d("4.8") * f), level)

    stamp = {"2026-01": ("0.86", "0.34"), "2026-07": ("0.88", "0.35"),
             "2027-01": ("0.91", "0.36")}[version]
    note = [(str(o), d(stamp[0]) + d(stamp[1]) * (o - 1)) for o in (1, 2, 3, 4)]
    slip = lambda *prices: step_table("weight", "oz", [
        (b, d(p) * index) for b, p in zip(("3", "7", "11", "15.5"), prices)])
    one_price = lambda x: cents(d(x) * (d("0.978") if version == "2026-01" else
                                        d("1.024") if version == "2027-01" else 1))

    heavy = refuse({"weight": {"over": "55 lb"}}, "heavier than 55 lb")
    wide = refuse({"exact_length_plus_girth": {"over": "102 in"}},
                  "length plus girth over 102 in")
    wet = not_taken(["liquid", "perishable", "flammable_liquid", "aerosol", "lithium_alone",
                     "sharp", "live"], "paper and small dry things only")
    cell = not_taken(["live"], "live creatures go by Harbourline Noon only")
    dims = {"volume_per_weight": "180 in3/lb"}
    large = {"volume": {"over": "1.25 ft3"}}

    services = [
        {"code": "note", "title": "Harbourline Note", "zones": "everywhere",
         "days": {"*": [2, 5]}, "mode": "any",
         "refuse": [
             refuse({"not": {"shape": {"is": "flat"}}}, "a note is a flat piece"),
             refuse({"weight": {"over": "4 oz"}}, "heavier than 4 oz"),
             refuse({"exact_length": {"over": "10.5 in"}}, "longer than 10.5 in"),
             refuse({"exact_width": {"over": "7 in"}}, "wider than 7 in"),
             refuse({"exact_height": {"over": "0.3 in"}}, "thicker than 0.3 in"),
             refuse({"any": [{"exact_length": {"under": "4.25 in"}},
                             {"exact_width": {"under": "3 in"}},
                             {"exact_height": {"under": "0.005 in"}}]},
                    "smaller than 4.25 x 3 x 0.005 in"), wet],
         "prices": [step_table("weight", "oz", note)], "surcharges": ["stiff"]},
        {"code": "slip", "title": "Harbourline Slip", "zones": "everywhere",
         "days": {"*": [2, 4]}, "tracked": True, "mode": "any",
         "refuse": [
             refuse({"not": {"shape": {"is": ["flat", "soft", "box"]}}},
                    "what goes through a letter slot is flat, soft or a box"),
             refuse({"weight": {"over": "15.5 oz"}}, "heavier than 15.5 oz"),
             refuse({"any": [{"exact_length": {"over": "13.5 in"}},
                             {"exact_width": {"over": "10 in"}},
                             {"exact_height": {"over": "1.1 in"}}]},
                    "larger than 13.5 x 10 x 1.1 in"), wet],
         "prices": [when({"exact_height": {"up_to": "0.4 in"}},
                         slip("2.20", "2.85", "3.60", "4.45")),
                    slip("3.15", "3.95", "4.80", "5.75")],
         "surcharges": [{"code": "uneven-slip", "title": "Slip of uneven thickness",
                         "when": {"contents": {"has": "x-uneven"}, "shape": {"is": "flat"}},
                         "amount": fee("0.80")}]},
        {"code": "parcel", "title": "Harbourline Parcel", "zones": "main",
         "days": {"S": [1, 2], "1": [2, 2], "2": [2, 3], "3": [3, 4], "P": [6, 11], "*": [4, 6]},
         "tracked": True, "mode": "surface",
         "measure": {"irregular_factor": d("0.8"), "weight": {"round": "up", "to": "1 lb"},
                     "dimensional": [{"when": large, **dims, "at_most": "50 lb"}]},
         "refuse": [heavy, refuse({"exact_length_plus_girth": {"over": "118 in"}},
                                  "length plus girth over 118 in"), cell],
         "prices": [
             when({"exact_length_plus_girth": {"over": "102 in"}},
                  {"by_zone": {z: fee(d("84") + 97 * d(FAR[z])) for z in HL_ZONES}}),
             file_grid("parcel", parcel, beyond={
                 "step": 1, "add": [cents((d("0.43") + d("1.22") * d(FAR[z])) * index)
                                    for z in HL_ZONES]})],
         "surcharges": ["long", "very-long", "bulky", "odd-shape", "peak"],
         "extras": ["cover", "signature", "signature-adult", "collect"], "included_cover": "75"},
        {"code": "brick", "title": "Harbourline Brick", "zones": "main",
         "days": {"S": [1, 2], "1": [2, 2], "2": [2, 3], "3": [3, 4], "P": [6, 11], "*": [4, 6]},
         "tracked": True, "mode": "surface",
         "measure": {"sides": {"round": "down", "to": "0.5 in"}},
         "refuse": [
             refuse({"weight": {"over": "24 lb"}}, "heavier than 24 lb"),
             refuse({"exact_length": {"over": "20 in"}}, "longer than 20 in"),
             refuse({"volume": {"over": "0.45 ft3"}}, "larger than 0.45 ft3"),
             refuse({"not": {"shape": {"is": ["box", "soft"]}}}, "boxes and soft packs only"),
             cell],
         "prices": [inline("volume", "ft3", HL_ZONES, brick)], "surcharges": ["peak"],
         "extras": ["cover", "signature", "signature-adult"], "included_cover": "75"},
        {"code": "printed", "title": "Harbourline Printed Goods", "zones": "domestic",
         "days": {"*": [4, 9]}, "tracked": True, "mode": "surface",
         "refuse": [refuse({"weight": {"over": "33 lb"}}, "heavier than 33 lb"),
                    refuse({"exact_length_plus_girth": {"over": "90 in"}},
                           "length plus girth over 90 in"),
                    refuse({"not": {"every_item": {"has": "media"}}},
                           "books, records, printed music and films only",
                           "contents_not_accepted")],
         "prices": [{"per": {"measure": "weight", "step": "1.5 lb", "first": fee("5.10"),
                             "each": cents(d("1.16") * index)}}],
         "extras": ["cover", "signature"]},
        {"code": "swift", "title": "Harbourline Swift", "zones": "main",
         "days": {"S": [1, 1], "1": [1, 1], "2": [1, 2], "P": [3, 6], "*": [2, 3]},
         "tracked": True, "mode": "air",
         "packaging": {"own": True, "issued": ["hl-swift-chest", "hl-swift-roll"]},
         "measure": {"sides": {"round": "nearest", "to": "1 in"}, "irregular_factor": d("0.8"),
                     "weight": {"round": "up", "to": "0.5 lb"},
                     "dimensional": [{"when": {"zone": {"is": ["4", "5", "6", "7", "P"]}, **large},
                                      **dims, "at_most": "50 lb"}],
                     "at_least": [{"when": {"length_plus_girth": {"over": "76 in"},
                                            "weight": {"under": "14 lb"}}, "weight": "14 lb"}]},
         "refuse": [heavy, wide, cell],
         "prices": [file_grid("swift", swift)],
         "surcharges": ["long", "very-long", "bulky", "peak"],
         "extras": ["cover", "signature", "signature-adult", "collect"], "included_cover": "75"},
        {"code": "wallet", "title": "Harbourline Set-Price Wallet", "zones": "domestic",
         "days": {"*": [1, 3]}, "tracked": True, "mode": "air",
         "packaging": {"own": False, "issued": ["hl-wallet"]},
         "refuse": [refuse({"weight": {"over": "6 lb"}}, "the wallet holds 6 lb"), cell],
         "prices": [{"amount": one_price("9.15")}],
         "surcharges": ["peak"], "extras": ["cover", "signature", "signature-adult"],
         "included_cover": "75"},
        {"code": "crate", "title": "Harbourline Set-Price Crate", "zones": "domestic",
         "days": {"*": [1, 3]}, "tracked": True, "mode": "air",
         "packaging": {"own": False, "issued": ["hl-crate-shallow", "hl-crate-deep"]},
         "refuse": [refuse({"weight": {"over": "44 lb"}}, "heavier than 44 lb"), cell],
         "prices": [when({"packaging": {"is": "hl-crate-shallow"}}, {"amount": one_price("15.60")}),
                    when({"packaging": {"is": "hl-crate-deep"}}, {"amount": one_price("19.35")})],
         "surcharges": ["peak"], "extras": ["cover", "signature", "signature-adult"],
         "included_cover": "75"},
        {"code": "lane-case", "title": "Harbourline Lane Case", "zones": "main",
         "days": {"S": [1, 1], "1": [1, 1], "2": [1, 2], "P": [3, 6], "*": [2, 3]},
         "tracked": True, "mode": "air",
         "packaging": {"own": False, "issued": ["hl-case-slim", "hl-case-cube"]},
         "refuse": [
             refuse({"packaging": {"is": "hl-case-slim"}, "weight": {"over": "12 lb"}},
                    "the slim case holds 12 lb"),
             refuse({"packaging": {"is": "hl-case-cube"}, "weight": {"over": "25 lb"}},
                    "the cube case holds 25 lb"), cell],
         "prices": [when({"packaging": {"is": "hl-case-slim"}},
                         by_zone(HL_ZONES, lambda f: d("7.3") + d("6.6") * f, level)),
                    when({"packaging": {"is": "hl-case-cube"}},
                         by_zone(HL_ZONES, lambda f: d("9.2") + d("11.8") * f, level))],
         "surcharges": ["peak"], "extras": ["cover", "signature", "signature-adult"],
         "included_cover": "75"},
        {"code": "noon", "title": "Harbourline Noon", "zones": "main",
         "days": {"S": [1, 1], "1": [1, 1], "2": [1, 1], "3": [1, 1], "P": [2, 4], "*": [1, 2]},
         "tracked": True, "mode": "air",
         "measure": {"weight": {"round": "up", "to": "0.5 lb"},
                     "dimensional": [{"when": large, **dims}]},
         "refuse": [heavy, wide],
         "prices": [file_grid("noon", noon)],
         "surcharges": ["long", "very-long", "bulky", "live-care"],
         "extras": ["cover", "signature", "signature-adult"], "included_cover": "75"},
        {"code": "abroad-light", "title": "Harbourline Abroad Light", "zones": "overseas",
         "days": {"C": [6, 10], "*": [8, 16]}, "tracked": True, "mode": "air",
         "refuse": [
             refuse({"weight": {"over": "60 oz"}}, "heavier than 60 oz"),
             refuse({"not": {"shape": {"is": "tube"}}, "sum_of_sides": {"over": "33 in"}},
                    "length, width and height together over 33 in"),
             refuse({"shape": {"is": "tube"}, "sum_of_sides": {"over": "38 in"}},
                    "length and twice the diameter together over 38 in"),
             refuse({"exact_length": {"over": "21 in"}}, "longer than 21 in"),
             not_taken(["perishable", "live", "liquid"], "not taken abroad as a light parcel")],
         "prices": [inline("weight", "oz", abroad, light)]},
        {"code": "abroad", "title": "Harbourline Abroad", "zones": "overseas",
         "days": {"C": [4, 7], "*": [6, 11]}, "tracked": True, "mode": "air",
         "measure": {"weight": {"round": "up", "to": "0.5 lb"},
                     "dimensional": [{"when": large, **dims}]},
         "refuse": [refuse({"weight": {"over": "50 lb"}}, "heavier than 50 lb"), wide,
                    not_taken(["perishable", "live"], "not taken abroad")],
         "prices": [file_grid("abroad", heavier, abroad)],
         "surcharges": ["long", "very-long"],
         "extras": ["cover", "signature"], "included_cover": "150"},
    ]

    odd = {"not": {"shape": {"is": ["box", "soft", "flat"]}}}
    surcharges = [
        {"code": "stiff", "title": "Stiff or uneven note",
         "when": {"any": [{"rigid": True}, {"contents": {"has": "x-uneven"}}]},
         "amount": cents(d("0.58") * index)},
        {"code": "long", "title": "Longer than 25 in", "when": {"exact_length": {"over": "25 in"}},
         "group": "long", "amount": fee("3.70")},
        {"code": "very-long", "title": "Longer than 40 in",
         "when": {"exact_length": {"over": "40 in"}}, "group": "long", "amount": fee("9.60")},
        {"code": "bulky", "title": "Larger than 2.6 cubic feet",
         "when": {"exact_volume": {"over": "2.6 ft3"}}, "amount": fee("16.40")},
        {"code": "odd-shape", "title": "Roll or irregular piece", "when": odd, "amount": fee("1.75")},
        {"code": "live-care", "title": "Care of live creatures", "when": {"contents": {"has": "live"}},
         "amount": fee("12.80")},
    ]
    if version == "2026-07":
        surcharges.append(
            {"code": "peak", "title": "Peak season",
             "when": {"date": {"from": "2026-11-16", "until": "2026-12-27"}},
             **step_table("weight", "lb", [("6", "0.55"), ("16", "1.20"), ("55", "2.45")])})
    else:
        for s in services:
            if "peak" in s.get("surcharges", []):
                s["surcharges"].remove("peak")
                if not s["surcharges"]:
                    del s["surcharges"]
    extras = [
        {"code": "cover", "title": "Cover for loss and damage",
         "when": {"cover": {"up_to": "4000"}},
         **step_table("cover", None, [("150", fee("2.60")), ("250", fee("3.40")),
                                      ("350", fee("4.30")), ("450", fee("5.10")),
                                      ("600", fee("7.90"))],
                      beyond={"step": 100, "add": [fee("1.50")]})},
        {"code": "signature", "title": "Signature on delivery", "amount": fee("3.30")},
        {"code": "signature-adult", "title": "Signature of an adult", "amount": fee("8.60")},
        {"code": "collect", "title": "Money collected on delivery",
         **step_table("value", None, [("60", fee("8.40")), ("120", fee("10.60")),
                                      ("240", fee("13.20")), ("600", fee("18.90")),
                                      ("1200", fee("28.10"))])},
    ]
    packaging = [
        {"code": "hl-wallet", "title": "Set-price wallet", "kind": "envelope",
         "inside": "8.5 x 11.75 in", "thickness": "1.2 in", "wall": "0.03 in", "tare": "1.7 oz",
         "cost": d("0.00")},
        {"code": "hl-crate-shallow", "title": "Set-price crate, shallow", "kind": "carton",
         "inside": "15 x 10.5 x 2.75 in", "wall": "0.14 in", "tare": "9.1 oz", "cost": d("0.00")},
        {"code": "hl-crate-deep", "title": "Set-price crate, deep", "kind": "carton",
         "inside": "10.5 x 10.5 x 7.5 in", "wall": "0.14 in", "tare": "10.6 oz",
         "cost": d("0.00")},
        {"code": "hl-case-slim", "title": "Lane case, slim", "kind": "carton",
         "inside": "13 x 8 x 3 in", "wall": "0.11 in", "tare": "6.2 oz", "cost": d("0.00")},
        {"code": "hl-case-cube", "title": "Lane case, cube", "kind": "carton",
         "inside": "9.5 x 9.5 x 9.5 in", "wall": "0.13 in", "tare": "9.4 oz", "cost": d("0.00")},
        {"code": "hl-swift-chest", "title": "Swift chest, charged by weight", "kind": "carton",
         "inside": "13 x 11 x 9 in", "wall": "0.13 in", "tare": "13.7 oz", "cost": d("0.00")},
        {"code": "hl-swift-roll", "title": "Swift roll, charged by weight", "kind": "tube",
         "inside": "4.5 x 31 in", "outside": "5 x 32 in", "tare": "12.3 oz", "cost": d("0.00")},
    ]
    zones = {
        "main": [
            {"kind": "regions", "zones": {"P": ["US:969"]}},
            {"kind": "distance",
             "bands": [{"zone": str(i + 1), "up_to": f"{m} mi"} for i, m in enumerate(HL_EDGES)] +
                      [{"zone": "7"}],
             "same": {"prefix": 5, "zone": "S"}}],
        "domestic": [{"kind": "pairs", "from": {"US": {"N": ["US"]}}}],
        "everywhere": [{"kind": "one", "zone": "N", "countries": ["US"]}],
        "overseas": [{"kind": "pairs", "from": {"US": {
            "C": ["CA"], "M": ["MX"],
            "W": ["AT", "BE", "CH", "DE", "DK", "ES", "FR", "GB", "IE", "IT", "LU", "NL", "PT",
                  "SE"],
            "O": ["AU", "JP", "NZ"]}}}],
    }
    flat = "flat"
    slim, cube = "13.22 x 8.22 x 3.22 in", "9.76 x 9.76 x 9.76 in"
    shallow, deep = "15.28 x 10.78 x 3.03 in", "10.78 x 10.78 x 7.78 in"
    examples = [
        ex("note", "0.4 oz", "7 x 4.5 x 0.04 in", "a folded sheet", shape=flat, to=us("98101")),
        ex("note", "1 oz", "9 x 5 x 0.1 in", "exactly an ounce is one ounce", "N", shape=flat),
        ex("note", "1.1 oz", "9 x 5 x 0.1 in", "the next ounce begun", "N", shape=flat),
        ex("note", "4 oz", "9 x 5 x 0.2 in", "the last step", "N", shape=flat),
        ex("note", "4.1 oz", "9 x 5 x 0.2 in", "past 4 oz it is a slip", "N", shape=flat),
        ex("note", "0.8 oz", "6 x 4.5 x 0.2 in", "a stiff note", "N", shape=flat, rigid=True),
        ex("note", "0.8 oz", "9 x 4 x 0.25 in", "a pen nib makes it uneven", "N", shape=flat,
           contents=["x-uneven"]),
        ex("note", "1 oz", "10.6 x 6 x 0.1 in", "too long", "N", shape=flat),
        ex("note", "1 oz", "9 x 7.1 x 0.1 in", "too wide", "N", shape=flat),
        ex("note", "1 oz", "9 x 5 x 0.31 in", "too thick", "N", shape=flat),
        ex("note", "0.3 oz", "4 x 3 x 0.1 in", "too small", "N", shape=flat),
        ex("note", "1 oz", "9 x 5 x 0.1 in", "not flat", "N", shape="box"),
        ex("note", "1 oz", "9 x 5 x 0.1 in", "no blades in notes", "N", shape=flat,
           contents=["sharp"]),
        ex("slip", "2.6 oz", "9 x 6 x 0.3 in", "anything within a step pays its bound", "N",
           shape=flat),
        ex("slip", "8.2 oz", "12 x 9 x 0.4 in", "sheet music, still thin", "N", shape=flat),
        ex("slip", "8.2 oz", "12 x 9 x 0.41 in", "a hundredth of an inch more: thick", "N",
           shape=flat),
        ex("slip", "11 oz", "8 x 5 x 1 in", "exactly 11 oz, a small box", "N"),
        ex("slip", "11.4 oz", "8 x 5 x 1 in", "the last step", to=us("98101"), shape="soft"),
        ex("slip", "1.2 oz", "6 x 4 x 0.2 in", "nibs on a card", "N", shape=flat,
           contents=["x-uneven"]),
        ex("slip", "15.6 oz", "8 x 5 x 1 in", "over 15.5 oz", "N"),
        ex("slip", "10.5 oz", "13.2 x 13.2 x 1 in", "a record is too wide", "N", shape=flat),
        ex("slip", "10.5 oz", "12 x 1 x 1 in", "no rolls", "N", shape="tube"),
        ex("slip", "6 oz", "5 x 3 x 1 in", "no liquids", "N", contents=["liquid"]),
        ex("parcel", "4.01 lb", "12 x 9 x 6 in", "a fraction of a pound goes up", "5"),
        ex("parcel", "10 lb", "12 x 9 x 6 in", "10.0 lb is ten pounds", "7"),
        ex("parcel", "6 lb 2 oz", "14.3 x 9.3 x 5.3 in", "across the country, by distance",
           to=us("98101")),
        ex("parcel", "3 lb", "9 x 6 x 4 in", "the same post office", to=us("05401")),
        ex("parcel", "2 lb", "8 x 6 x 4 in", "the far islands, by list", to=us("96910")),
        ex("parcel", "12.1 lb", "12 x 9 x 6 in", "past 12 lb: the last row and a pound begun", "7"),
        ex("parcel", "21 lb", "12 x 9 x 6 in", "nine pounds past 12", "2"),
        ex("parcel", "4 lb", "15 x 12 x 12 in", "2,160 in3 is not over 1.25 ft3", "4",
           billable=True),
        ex("parcel", "4 lb", "16 x 12 x 12 in", "2,304 / 180 = 12.8, so 13 lb", "4", billable=True),
        ex("parcel", "4 lb", "16 x 14 x 14 in", "irregular: 3,136 x 0.8 / 180 = 13.94, so 14 lb",
           "4", shape="irregular", billable=True),
        ex("parcel", "30 lb", "30 x 18 x 17.5 in", "9,450 / 180 = 52.5, but no more than 50 lb; "
           "longer than 25 in, and larger than 2.6 cubic feet", "2", billable=True),
        ex("parcel", "6 lb", "28 x 6 x 5 in", "longer than 25 in", "3"),
        ex("parcel", "6 lb", "42 x 5 x 4 in", "longer than 40 in: only the dearer fee", "3"),
        ex("parcel", "6 lb", "14 x 5 x 4 in", "a roll", "3", shape="tube"),
        ex("parcel", "20 lb", "40 x 18 x 15 in", "length plus girth of 106 in: the large price", "6"),
        ex("parcel", "20 lb", "40 x 22 x 18 in", "length plus girth of 120 in", "6"),
        ex("parcel", "55.1 lb", "12 x 12 x 10 in", "over 55 lb", "2"),
        ex("parcel", "5 lb", "12 x 12 x 10 in", "no live creatures", "2", contents=["live"]),
        ex("parcel", "2 lb", "9 x 6 x 4 in", "cover up to 75 is included", "5", cover="75.00"),
        ex("parcel", "2 lb", "9 x 6 x 4 in", "cover of 240", "5", cover="240.00"),
        ex("parcel", "2 lb", "9 x 6 x 4 in", "cover of 650.01: a hundred past 600 begun", "5",
           cover="650.01"),
        ex("parcel", "2 lb", "9 x 6 x 4 in", "no cover past 4,000", "5", cover="4000.01"),
        ex("parcel", "2 lb", "9 x 6 x 4 in", "signed for", "5", extras=["signature"]),
        ex("parcel", "2 lb", "9 x 6 x 4 in", "signed for by an adult, with cover as the last line",
           "5", extras=["signature-adult"], cover="180.00"),
        ex("parcel", "2 lb", "9 x 6 x 4 in", "80.00 collected", "5", value="80.00",
           extras=["collect"]),
        ex("brick", "11 lb", "9.2 x 7.4 x 4.3 in", "rounded down to 9 x 7 x 4 in: 0.146 ft3", "7"),
        ex("brick", "11 lb", "9.5 x 7 x 4 in", "266 in3: past 0.15 ft3", "7"),
        ex("brick", "3.9 lb", "12.24 x 12.24 x 3.24 in", "a game, 432 in3: up to 0.3 ft3", "4"),
        ex("brick", "24.1 lb", "9 x 6 x 3 in", "over 24 lb", "7"),
        ex("brick", "5 lb", "20.1 x 4 x 4 in", "longer than 20 in", "7"),
        ex("brick", "5 lb", "12 x 9 x 7.5 in", "810 in3 is over 0.45 ft3", "7"),
        ex("brick", "5 lb", "15 x 3 x 3 in", "no rolls", "7", shape="tube"),
        ex("brick", "5 lb", "9 x 6 x 3 in", "no live creatures", "7", contents=["live"]),
        ex("printed", "3.2 lb", "12 x 9 x 4 in", "books: the third pound and a half", "N",
           contents=["media"]),
        ex("printed", "15.1 oz", "13 x 13 x 1 in", "a record: the first step", "N",
           contents=["media"]),
        ex("printed", "3.2 lb", "12 x 9 x 4 in", "a board game is not printed goods", "N"),
        ex("printed", "34 lb", "18 x 14 x 12 in", "over 33 lb", "N", contents=["media"]),
        ex("printed", "20 lb", "30 x 18 x 14 in", "length plus girth of 94 in", "N",
           contents=["media"]),
        ex("swift", "3.4 lb", "12 x 9 x 6 in", "half a pound begun: 3.5 lb", "7", billable=True),
        ex("swift", "3.4 lb", "16 x 12 x 12 in", "near zones: by weight alone", "3", billable=True),
        ex("swift", "3.4 lb", "15.5 x 12 x 12.4 in", "far zones: 16 x 12 x 12 in, 2,304 / 180, so "
           "13 lb", "7", billable=True),
        ex("swift", "8 lb", "34 x 12 x 12 in", "82 in of length plus girth: 14 lb at least; and the "
           "fee for 25 in; and for 2.6 cubic feet", "3", billable=True),
        ex("swift", "6 lb", "15 x 15 x 15 in", "irregular: 3,375 x 0.8 / 180 = 15 lb exactly", "7",
           shape="irregular", billable=True),
        ex("swift", "2 lb", "13.26 x 11.26 x 9.26 in", "the carrier's chest, by weight", "4",
           packaging="hl-swift-chest"),
        ex("swift", "2 lb", "32 x 5 x 5 in", "the carrier's roll, by weight", "4",
           packaging="hl-swift-roll", shape="tube"),
        ex("swift", "55.1 lb", "12 x 12 x 12 in", "over 55 lb", "4"),
        ex("swift", "20 lb", "40 x 18 x 14 in", "length plus girth of 104 in", "4"),
        ex("swift", "5 lb", "9 x 6 x 4 in", "no live creatures", "4", contents=["live"]),
        ex("swift", "14 oz", "6 x 4 x 4 in", "perfume never by air", "4",
           contents=["liquid", "flammable_liquid"]),
        ex("swift", "2 lb", deep, "a set-price crate has a service of its own", "4",
           packaging="hl-crate-deep"),
        ex("wallet", "1.5 lb", "11.81 x 8.56 x 0.7 in", "one price", "N", packaging="hl-wallet",
           shape=flat),
        ex("wallet", "1.5 lb", "11.81 x 8.56 x 0.7 in", "the same across the country",
           to=us("98101"), packaging="hl-wallet", shape=flat),
        ex("wallet", "9 oz", "11 x 8 x 0.4 in", "not in one's own envelope", "N", shape=flat),
        ex("wallet", "6.1 lb", "11.81 x 8.56 x 1.2 in", "over 6 lb", "N", packaging="hl-wallet",
           shape=flat),
        ex("wallet", "1 lb", "11.81 x 8.56 x 1.2 in", "no live creatures", "N",
           packaging="hl-wallet", shape=flat, contents=["live"]),
        ex("crate", "6 lb", shallow, "shallow", "N", packaging="hl-crate-shallow"),
        ex("crate", "24.9 lb", deep, "heavy and far: deep", to=us("98101"),
           packaging="hl-crate-deep"),
        ex("crate", "44.5 lb", deep, "over 44 lb", "N", packaging="hl-crate-deep"),
        ex("crate", "7 lb", deep, "no live creatures", "N", packaging="hl-crate-deep",
           contents=["live"]),
        ex("crate", "4 lb", deep, "not in one's own carton", "N"),
        ex("crate", "4 lb", deep, "not abroad", to=land("DE", "10115"), packaging="hl-crate-deep"),
        ex("lane-case", "6 lb", slim, "slim and near", "2", packaging="hl-case-slim"),
        ex("lane-case", "18 lb", cube, "cube and far", "7", packaging="hl-case-cube"),
        ex("lane-case", "12.1 lb", slim, "the slim case holds 12 lb", "2", packaging="hl-case-slim"),
        ex("lane-case", "25.1 lb", cube, "the cube case holds 25 lb", "2", packaging="hl-case-cube"),
        ex("lane-case", "3 lb", cube, "no live creatures", "2", packaging="hl-case-cube",
           contents=["live"]),
        ex("noon", "7 oz", "9 x 6 x 1 in", "the first half pound", "7"),
        ex("noon", "1.1 lb", "9 x 6 x 4 in", "a pound and a half", "3", billable=True),
        ex("noon", "3 lb", "16 x 12 x 12 in", "2,304 / 180 = 12.8, so 13 lb", "3", billable=True),
        ex("noon", "3 lb", "26 x 8 x 8 in", "longer than 25 in", "3"),
        ex("noon", "3 lb", "14 x 10 x 8 in", "live creatures, with care", "3", contents=["live"]),
        ex("noon", "56 lb", "14 x 10 x 8 in", "over 55 lb", "3"),
        ex("noon", "20 lb", "40 x 18 x 14 in", "length plus girth of 104 in", "3"),
        ex("abroad-light", "10.5 oz", "8 x 6 x 2 in", "the 11 oz row", to=land("DE", "10115")),
        ex("abroad-light", "13 oz", "19 x 3 x 3 in", "a roll", "C", shape="tube"),
        ex("abroad-light", "61 oz", "8 x 6 x 2 in", "over 60 oz", "W"),
        ex("abroad-light", "20 oz", "14 x 11 x 9 in", "34 in in all", "W"),
        ex("abroad-light", "20 oz", "20 x 9.5 x 9.5 in", "a roll of 39 in in all", "W",
           shape="tube"),
        ex("abroad-light", "20 oz", "22 x 3 x 3 in", "longer than 21 in", "W", shape="tube"),
        ex("abroad-light", "20 oz", "8 x 6 x 2 in", "no liquids", "W", contents=["liquid"]),
        ex("abroad", "7.3 lb", "14 x 11 x 6 in", "seven pounds and a half", "O", billable=True),
        ex("abroad", "5 lb", "20 x 14 x 8 in", "2,240 / 180 = 12.44, so 12.5 lb", "W",
           billable=True),
        ex("abroad", "51 lb", "14 x 11 x 6 in", "over 50 lb", "O"),
        ex("abroad", "20 lb", "40 x 18 x 14 in", "length plus girth of 104 in", "O"),
        ex("abroad", "20 lb", "20 x 10 x 8 in", "nothing perishable", "O",
           contents=["perishable"]),
        ex("abroad", "5 lb", "26 x 10 x 6 in", "longer than 25 in, signed for", "C",
           extras=["signature"]),
    ]
    if version == "2026-07":
        examples += [
            ex("parcel", "4.01 lb", "12 x 9 x 6 in", "peak season begins on this day", "5",
               date="2026-11-16"),
            ex("parcel", "4.01 lb", "12 x 9 x 6 in", "the day before", "5", date="2026-11-15"),
            ex("parcel", "33 lb", "12 x 9 x 6 in", "peak season, heavy", "5", date="2026-12-01"),
        ]
    return document("harbourline", "Harbourline Post", title, "USD", start, until,
                    ("0.01", "0.01", "half_up"), zones, packaging, services, surcharges, extras,
                    examples)


def document(code, name, title, currency, start, until, rounding, zones, packaging, services,
             surcharges, extras, examples, **more):
    in_force = {"from": start, **({"until": until} if until else {})}
    return {"format": "tarewise-tariff-1", "carrier": {"code": code, "name": name},
            "title": title, "source": SOURCE, "currency": currency, "in_force": in_force,
            "rounding": {"line": d(rounding[0]), "total": d(rounding[1]), "mode": rounding[2]},
            **more, "zones": zones, "packaging": packaging, "services": services,
            "surcharges": surcharges, "extras": extras, "examples": examples}


# --- Fenwick & Dray -----------------------------------------------------------------------------

FD_ZONES = ["11", "12", "13", "14", "15", "16", "17", "18", "19"]
FD_VERSIONS = [
    ("2026-01", "2026-01-04", "2026-07-11", "Road and air, first half of 2026"),
    ("2026-07", "2026-07-12", "2027-01-02", "Road and air, second half of 2026"),
]
# Percent of the listed charges by the day it begins: a month each at first, a week each since July.
FD_FUEL = {
    "2026-01": [("2026-01-04", "11.4", "14.2"), ("2026-02-02", "11.8", "14.6"),
                ("2026-03-02", "11.6", "14.2"), ("2026-04-06", "12.2", "14.8"),
                ("2026-05-04", "12.6", "15.4"), ("2026-06-01", "12.8", "15.8")],
    "2026-07": [("2026-07-12", "12.6", "15.6"), ("2026-07-20", "12.2", "15.2"),
                ("2026-07-27", "12.2", "15"), ("2026-08-03", "12", "14.8"),
                ("2026-08-10", "12.4", "14.8"), ("2026-08-17", "12.6", "15.2"),
                ("2026-08-24", "12.8", "15.6"), ("2026-08-31", "12.8", "15.8"),
                ("2026-09-07", "13", "16"), ("2026-09-14", "13.2", "16.2")],
}


def fuel_rows(notices, until):
    """A row for each notice; with `until` one for each Monday too on which a notice is a week old."""
    rows = [[day, d(surface), d(air)] for day, surface, air in notices]
    if until is None:
        return rows
    monday = datetime.date.fromisoformat(rows[0][0])
    while monday.isoformat() <= until:
        if monday.weekday() == 0 and all(row[0] != monday.isoformat() for row in rows):
            rows.append([monday.isoformat(), *max(r for r in rows if r[0] < monday.isoformat())[1:]])
        monday += datetime.timedelta(days=1)
    return sorted(rows)


def pair_list(origin, gazetteer, edges, skip):
    """An explicit zone list: ranges of three-digit areas by distance from one area, rounded off."""
    start = gazetteer[("US", origin)]
    zones = {}
    for (_, prefix), at in sorted(gazetteer.items()):
        if prefix not in skip:
            miles = worked_prices.distance_km(start, at) / 1.609344
            zones[prefix] = str(11 + sum(miles > e for e in edges))
    out = {}
    prefixes = sorted(zones)
    i = 0
    while i < len(prefixes):
        j = i
        while j + 1 < len(prefixes) and zones[prefixes[j + 1]] == zones[prefixes[i]] and \
                int(prefixes[j + 1]) - int(prefixes[j]) == 1:
            j += 1
        area = f"US:{prefixes[i]}" + (f"-{prefixes[j]}" if j > i else "")
        out.setdefault(zones[prefixes[i]], []).append(area)
        i = j + 1
    return {z: out[z] for z in FD_ZONES if z in out}


def fenwick_dray(version, start, until, title, grids, gazetteer):
    def level(w, zone):
        if version == "2026-07":
            return Decimal(1)
        rise = d("0.038") if w <= 8 else d("0.051") if w <= 60 else d("0.044")
        return 1 / (1 + rise + (d("0.013") if zone in ("18", "19") else 0))

    index = d(1) if version == "2026-07" else d("0.955")
    fee = lambda x: quarter(d(x) * index)
    far = lambda near, more: {"by_zone": {
        "11": fee(near), "12": fee(d(near) + d(more) / 3), "13": fee(d(near) + 2 * d(more) / 3),
        "*": fee(d(near) + d(more))}}

    def file_grid(name, price, missing=()):
        file = f"fenwick-dray-{version}-{name}.csv"
        grids[file] = (FD_ZONES, grid(f"fd-{name}", FD_ZONES, range(1, 141), price, level,
                                      missing=missing))
        return {"table": {"by": "billable_weight", "unit": "lb", "csv": file}}

    road = file_grid("road", lambda w, f: d("9.7") + d("3.6") * f + (w - 1)**d("0.84") *
                     (d("0.58") + d("1.16") * f))
    three = file_grid("three-day", lambda w, f: d("16.2") + d("10.5") * f + (w - 1)**d("0.89") *
                      (d("1.15") + d("2.15") * f), missing=("18", "19"))
    two = file_grid("two-day", lambda w, f: d("22.3") + d("13.4") * f + (w - 1)**d("0.89") *
                    (d("1.8") + d("3.2") * f))
    next_day = file_grid("next-day", lambda w, f: d("31.5") + 23 * f + (w - 1)**d("0.91") *
                         (d("2.3") + d("3.9") * f))
    feather_zones = FD_ZONES[:7]
    feather = [[b] + [cents((d("4.35") + d("1.25") * d(FAR[z]) + d(o)**d("0.86") *
                             (d("0.12") + d("0.17") * d(FAR[z]))) * level(Decimal(1), z))
                      for z in feather_zones]
               for b, o in [(f"{n} oz", n) for n in range(2, 15, 2)] +
               [(f"{n} lb", int(16 * d(n))) for n in ("1", "1.5", "2", "3", "4", "5", "6", "7",
                                                      "8")]]
    pouch = [[b] + [cents((d("30.5") + d("25.5") * d(FAR[z]) +
                           d(b) * (d("2.4") + d("3.1") * d(FAR[z]))) * level(Decimal(1), z))
                    for z in FD_ZONES] for b in ("1", "2", "3", "4")]

    oversize_test = {"any": [{"length": {"over": "88 in"}},
                             {"length_plus_girth": {"over": "124 in"}}]}
    every_parcel = {
        "sides": {"round": "up", "to": "1 in"}, "weight": {"round": "up", "to": "1 lb"},
        "dimensional": [{"volume_per_weight": "150 in3/lb"}],
        "at_least": [{"when": oversize_test, "weight": "75 lb"}]}
    limits = [
        refuse({"weight": {"over": "140 lb"}}, "heavier than 140 lb"),
        refuse({"length": {"over": "100 in"}}, "longer than 100 in"),
        refuse({"length_plus_girth": {"over": "150 in"}}, "length plus girth over 150 in"),
        refuse({"destination": {"in": ["US:969"]}}, "the far Pacific islands are not served")]
    no_life = not_taken(["live", "perishable"], "nothing alive or perishable")
    no_cells = not_taken(["lithium_alone"], "lithium cells alone are not taken")
    no_hazard = not_taken(NO_HAZARD, "regulated goods go by Road only")

    weekly = version == "2026-07"
    named = ["base", "handling-weight", "handling-length", "handling-packaging", "oversize",
             "residential"] + (["demand"] if weekly else [])
    file = f"fenwick-dray-{version}-fuel.csv"
    grids[file] = (["surface", "air"], fuel_rows(FD_FUEL[version], until if weekly else None))
    series = {"fuel": {"csv": file, "good_for": "7 days" if weekly else "42 days"}}
    fuel = [{"code": "fuel-surface", "title": "Fuel by surface", "when": {"mode": {"is": "surface"}},
             "percent": {"series": "fuel", "column": "surface"}, "of": ["*"]},
            {"code": "fuel-air", "title": "Fuel by air", "when": {"mode": {"is": ["air", "any"]}},
             "percent": {"series": "fuel", "column": "air"}, "of": named}]
    surface_fuel, air_fuel = ["fuel-surface"], ["fuel-air"]
    handling = ["handling-weight", "handling-length", "handling-packaging", "oversize"]
    demand = ["demand"] if version == "2026-07" else []
    common = handling + ["residential", "remote", "remote-far", "value-check"] + demand

    services = [
        {"code": "road", "title": "Fenwick & Dray Road", "zones": "main",
         "days": {"11": [1, 1], "12": [1, 2], "13": [2, 2], "14": [2, 3], "15": [3, 4],
                  "16": [4, 5], "17": [5, 5], "*": [6, 9]},
         "tracked": True, "mode": "surface", "measure": every_parcel,
         "refuse": limits + [no_life, no_cells],
         "prices": [road], "surcharges": common + ["regulated"] + surface_fuel,
         "extras": ["cover", "signature", "signature-adult", "collect"], "included_cover": "60"},
        {"code": "doorstep", "title": "Fenwick & Dray Doorstep", "zones": "main",
         "days": {"11": [1, 2], "12": [2, 3], "13": [2, 3], "14": [3, 4], "15": [3, 5],
                  "16": [4, 6], "17": [5, 6], "*": [7, 10]},
         "tracked": True, "mode": "surface", "measure": every_parcel,
         "refuse": limits + [
             refuse({"residential": False}, "homes only"),
             refuse({"billable_weight": {"over": "60 lb"}}, "billable weight over 60 lb"),
             no_life, no_hazard],
         "prices": [road],
         "surcharges": handling[:3] + [
             {"code": "home", "title": "Delivery to a home", "amount": fee("4.40")},
             "remote", "remote-far", "value-check"] + demand + surface_fuel,
         "extras": ["cover", "signature", "signature-adult"], "included_cover": "60"},
        {"code": "feather", "title": "Fenwick & Dray Feather", "zones": "lower",
         "days": {"11": [2, 3], "12": [3, 5], "*": [4, 9]}, "tracked": True, "mode": "surface",
         "measure": {"sides": {"round": "up", "to": "1 in"},
                     "dimensional": [{"when": {"any": [{"weight": {"at_least": "2 lb"}},
                                                       {"volume": {"over": "700 in3"}}]},
                                      "volume_per_weight": "200 in3/lb"}]},
         "refuse": [
             refuse({"billable_weight": {"over": "8 lb"}}, "billable weight over 8 lb"),
             refuse({"any": [{"length": {"over": "24 in"}}, {"width": {"over": "18 in"}},
                             {"height": {"over": "12 in"}}]}, "larger than 24 x 18 x 12 in"),
             no_life, no_hazard],
         "prices": [inline("billable_weight", "lb", feather_zones, feather)],
         "surcharges": surface_fuel, "extras": ["cover"]},
        {"code": "three-day", "title": "Fenwick & Dray Three-Day", "zones": "main",
         "days": {"*": [2, 3]}, "tracked": True, "mode": "any", "measure": every_parcel,
         "refuse": limits + [no_life, no_hazard], "prices": [three],
         "surcharges": common + air_fuel,
         "extras": ["cover", "signature", "signature-adult"], "included_cover": "60"},
        {"code": "two-day", "title": "Fenwick & Dray Two-Day", "zones": "main",
         "days": {"18": [2, 3], "19": [2, 4], "*": [2, 2]}, "tracked": True, "mode": "air",
         "measure": every_parcel, "refuse": limits + [no_life, no_hazard], "prices": [two],
         "surcharges": common + ["screening"] + air_fuel,
         "extras": ["cover", "signature", "signature-adult"], "included_cover": "60"},
        {"code": "next-day", "title": "Fenwick & Dray Next Day", "zones": "main",
         "days": {"18": [2, 2], "19": [2, 3], "*": [1, 1]}, "tracked": True, "mode": "air",
         "measure": every_parcel, "refuse": limits + [no_life, no_hazard], "prices": [next_day],
         "surcharges": common + ["screening"] + air_fuel,
         "extras": ["cover", "signature", "signature-adult"], "included_cover": "60"},
        {"code": "pouch", "title": "Fenwick & Dray Next Day Pouch", "zones": "main",
         "days": {"18": [2, 2], "19": [2, 3], "*": [1, 1]}, "tracked": True, "mode": "air",
         "packaging": {"own": False, "issued": ["fd-folder", "fd-pouch"]},
         "refuse": [
             refuse({"packaging": {"is": "fd-folder"}, "weight": {"over": "10 oz"}},
                    "the folder holds 10 oz"),
             refuse({"packaging": {"is": "fd-pouch"}, "weight": {"over": "4 lb"}},
                    "the pouch holds 4 lb"), limits[3], no_life, no_hazard],
         "prices": [
             when({"packaging": {"is": "fd-folder"}},
                  by_zone(FD_ZONES, lambda f: d("28.5") + d("24.5") * f, level)),
             when({"packaging": {"is": "fd-pouch"}}, inline("weight", "lb", FD_ZONES, pouch))],
         "surcharges": ["residential", "remote", "remote-far", "screening"] + air_fuel,
         "extras": ["cover", "signature", "signature-adult"], "included_cover": "60"},
    ]
    surcharges = [
        {"code": "handling-weight", "title": "Handling: over 45 lb", "group": "handling",
         "when": {"weight": {"over": "45 lb"}}, **far("24.40", "8.10")},
        {"code": "handling-length", "title": "Handling: over 44 in, or second side over 26 in",
         "group": "handling", "when": {"any": [{"length": {"over": "44 in"}},
                                               {"width": {"over": "26 in"}}]},
         **far("17.60", "5.70")},
        {"code": "handling-packaging", "title": "Handling: not in a carton or pack",
         "group": "handling", "when": {"packaging_kind": {"is": ["bare", "tube"]}},
         **far("14.20", "4.80")},
        {"code": "oversize", "title": "Oversize", "when": oversize_test,
         "replaces": ["handling-weight", "handling-length", "handling-packaging"],
         **far("97", "31")},
        {"code": "residential", "title": "Delivery to a home", "when": {"residential": True},
         "amount": fee("5.40")},
        {"code": "remote", "title": "Remote delivery area", "group": "remote",
         "when": {"destination": {"in": ["US:047", "US:576-577", "US:592-593", "US:693", "US:821",
                                         "US:845", "US:898", "US:967-968", "US:995-999"]}},
         "amount": fee("4.80")},
        {"code": "remote-far", "title": "Far remote delivery area", "group": "remote",
         "when": {"destination": {"in": ["US:995-999"]}}, "amount": fee("12.60")},
        {"code": "value-check", "title": "Goods worth more than 900",
         "when": {"value": {"over": "900"}},
         "per": {"measure": "value", "step": "900", "first": fee("3.20"), "each": fee("2.40")}},
        {"code": "regulated", "title": "Regulated goods by surface",
         "when": {"contents": {"has_any": ["flammable_liquid", "aerosol"]}},
         "amount": fee("21.50")},
        {"code": "screening", "title": "Screening before flight", "when": {"mode": {"is": "air"}},
         "amount": fee("1.15")},
    ]
    if version == "2026-07":
        surcharges.append(
            {"code": "demand", "title": "Peak demand", "when": {
                "all": [{"date": {"from": "2026-11-02", "until": "2026-12-31"}},
                        {"not": {"all": [{"residential": False},
                                         {"billable_weight": {"up_to": "40 lb"}}]}}]},
             **step_table("billable_weight", "lb", [("15", "0.80"), ("40", "1.70"),
                                                    ("140", "5.90")])})
    surcharges += fuel
    extras = [
        {"code": "cover", "title": "Declared cover", "when": {"cover": {"up_to": "30000"}},
         "per": {"measure": "cover", "step": "100", "first": fee("1.30"), "each": fee("1.30")}},
        {"code": "signature", "title": "Signature on delivery", "amount": fee("5.90")},
        {"code": "signature-adult", "title": "Signature of an adult", "amount": fee("7.30")},
        {"code": "collect", "title": "Money collected on delivery", "when": {"all": [
            {"value": {"up_to": "2000"}}, {"not": {"extras": {"has": "signature"}}}]},
         "amount": fee("15.80")},
    ]
    packaging = [
        {"code": "fd-folder", "title": "Document folder", "kind": "envelope",
         "inside": "9.75 x 12 in", "thickness": "0.4 in", "wall": "0.02 in", "tare": "1.5 oz",
         "cost": d("0.00")},
        {"code": "fd-pouch", "title": "Courier pouch", "kind": "mailer", "inside": "13 x 16.5 in",
         "wall": "0.01 in", "tare": "1.0 oz", "cost": d("0.00")},
    ]
    skip = {p for c, p in gazetteer if p[:2] == "00" or p in ("967", "968", "969") or
            "995" <= p <= "999"}
    edges = (120, 280, 550, 850, 1300, 1900)
    lower = {"050-059": pair_list("054", gazetteer, edges, skip),
             "900-908": pair_list("900", gazetteer, edges, skip)}
    bands = [{"zone": str(i + 11), "up_to": f"{m} mi"} for i, m in enumerate(edges)]
    zones = {
        "main": [
            {"kind": "regions", "zones": {"18": ["US:967-968", "US:995-999"], "19": ["US:006-009"]}},
            {"kind": "pairs", "from": {f"US:{o}": z for o, z in lower.items()}},
            {"kind": "distance", "bands": bands + [{"zone": "17"}]}],
        "lower": [
            {"kind": "pairs", "from": {f"US:{o}": z for o, z in lower.items()}},
            {"kind": "distance", "bands": bands + [{"zone": "17", "up_to": "2700 mi"}]}],
    }
    home = {"residential": True}
    examples = [
        ex("road", "3.2 lb", "10 x 8 x 6 in", "480 / 150 = 3.2: four pounds either way", "14",
           billable=True),
        ex("road", "4.5 lb", "14.3 x 9.3 x 5.3 in", "sides up to 15 x 10 x 6 in: 900 / 150 is "
           "six pounds exactly", to=us("98101", True), billable=True),
        ex("road", "8 lb", "12 x 9 x 5 in", "to a home", "13", **home),
        ex("road", "61 lb", "20 x 16 x 12 in", "over 45 lb", "12"),
        ex("road", "61 lb", "50 x 12 x 12 in", "over 45 lb and over 44 in: only the dearer", "11"),
        ex("road", "20 lb", "52 x 8 x 8 in", "over 44 in", "15"),
        ex("road", "20 lb", "28 x 27 x 6 in", "second side over 26 in", "15"),
        ex("road", "20 lb", "24 x 14 x 12 in", "not in a carton", "15", shape="irregular"),
        ex("road", "96 lb", "46 x 34 x 11 in", "a floor loom, crated: oversize replaces "
           "handling; 17,204 / 150 = 114.7, so 115 lb", "12", shape="irregular", billable=True),
        ex("road", "90 lb", "50 x 26 x 24 in", "31,200 / 150 = 208 lb is past the last row",
           "12"),
        ex("road", "70 lb", "78 x 16 x 12 in", "134 in of length plus girth: oversize replaces "
           "handling, 14,976 / 150 = 99.8", "12", shape="irregular", billable=True),
        ex("road", "30 lb", "90 x 6 x 6 in", "longer than 88 in: 75 lb at least", "17",
           billable=True),
        ex("road", "140.5 lb", "20 x 16 x 12 in", "over 140 lb", "12"),
        ex("road", "30 lb", "100.5 x 6 x 6 in", "rounded up to 101 in", "12"),
        ex("road", "30 lb", "60 x 24 x 22 in", "152 in of length plus girth", "12"),
        ex("road", "30 lb", "20 x 16 x 12 in", "Guam", to=us("96910")),
        ex("road", "3 lb", "10 x 8 x 6 in", "nothing alive", "12", contents=["live"]),
        ex("road", "3 lb", "10 x 8 x 6 in", "lithium cells alone", "12", contents=["lithium_alone"]),
        ex("road", "14 oz", "6 x 4 x 4 in", "perfume by surface", "14",
           contents=["liquid", "flammable_liquid"]),
        ex("road", "5 lb", "10 x 8 x 6 in", "Hawaii by list, remote", to=us("96813", False)),
        ex("road", "5 lb", "10 x 8 x 6 in", "Alaska: only the dearer of two remote charges",
           to=us("99501", False)),
        ex("road", "5 lb", "10 x 8 x 6 in", "Puerto Rico by list", to=us("00901", False)),
        ex("road", "5 lb", "10 x 8 x 6 in", "from New York by distance", to=us("60601", False),
           frm=us("10001")),
        ex("road", "5 lb", "10 x 8 x 6 in", "goods worth 2,400", "14", value="2400.00"),
        ex("road", "5 lb", "10 x 8 x 6 in", "cover of 350: four hundreds begun", "14",
           cover="350.00"),
        ex("road", "5 lb", "10 x 8 x 6 in", "signed for", "14", extras=["signature"]),
        ex("road", "5 lb", "10 x 8 x 6 in", "money collected", "14", value="120.00",
           extras=["collect"]),
        ex("road", "5 lb", "10 x 8 x 6 in", "collecting is a signature already", "14",
           value="120.00", extras=["signature", "collect"]),
        ex("doorstep", "8 lb", "12 x 9 x 5 in", "to a home", "13", **home),
        ex("doorstep", "8 lb", "12 x 9 x 5 in", "not to a shop", "13", residential=False),
        ex("doorstep", "8 lb", "26 x 20 x 20 in", "10,400 / 150 = 69.3, so 70 lb", "13", **home),
        ex("doorstep", "55 lb", "18 x 14 x 12 in", "over 45 lb", "13", **home),
        ex("doorstep", "30 lb", "102 x 6 x 6 in", "longer than 100 in", "13", **home),
        ex("doorstep", "141 lb", "18 x 14 x 12 in", "over 140 lb", "13", **home),
        ex("doorstep", "30 lb", "60 x 24 x 22 in", "152 in of length plus girth", "13", **home),
        ex("doorstep", "3 lb", "10 x 8 x 6 in", "Guam", to=us("96910", True)),
        ex("doorstep", "3 lb", "10 x 8 x 6 in", "nothing perishable", "13", contents=["perishable"],
           **home),
        ex("doorstep", "3 lb", "10 x 8 x 6 in", "no aerosols", "13", contents=["aerosol"], **home),
        ex("doorstep", "20 lb", "90 x 6 x 6 in", "75 lb at least is over 60 lb", "13", **home),
        ex("feather", "5.4 oz", "7 x 5 x 2 in", "six ounces begun", "15"),
        ex("feather", "14.5 oz", "7 x 5 x 2 in", "over 14 oz: the pound row", "15"),
        ex("feather", "2.2 lb", "12 x 10 x 6 in", "720 / 200 = 3.6, so the 4 lb row", "15"),
        ex("feather", "12 oz", "12 x 10 x 9 in", "1,080 / 200 = 5.4 lb", "15"),
        ex("feather", "8.2 lb", "7 x 5 x 2 in", "over 8 lb", "15"),
        ex("feather", "2 lb", "25 x 4 x 4 in", "longer than 24 in", "15"),
        ex("feather", "2 lb", "8 x 4 x 4 in", "nothing alive", "15", contents=["live"]),
        ex("feather", "2 lb", "8 x 4 x 4 in", "no lithium cells alone", "15",
           contents=["lithium_alone"]),
        ex("feather", "2 lb", "8 x 4 x 4 in", "Hawaii is past the last band", frm=us("10001"),
           to=us("96813")),
        ex("three-day", "6 lb", "12 x 9 x 6 in", "six pounds", "16"),
        ex("three-day", "6 lb", "12 x 9 x 6 in", "not to Alaska and Hawaii", "18"),
        ex("three-day", "6 lb", "60 x 40 x 5 in", "oversize: fuel on the charges it names", "11"),
        ex("three-day", "141 lb", "12 x 9 x 6 in", "over 140 lb", "16"),
        ex("three-day", "6 lb", "102 x 6 x 6 in", "longer than 100 in", "16"),
        ex("three-day", "6 lb", "60 x 24 x 22 in", "152 in of length plus girth", "16"),
        ex("three-day", "6 lb", "12 x 9 x 6 in", "Guam", to=us("96910")),
        ex("three-day", "6 lb", "12 x 9 x 6 in", "nothing alive", "16", contents=["live"]),
        ex("three-day", "6 lb", "12 x 9 x 6 in", "no flammable liquids", "16",
           contents=["flammable_liquid"]),
        ex("two-day", "2 lb", "9 x 6 x 4 in", "screened before flight", "17", **home),
        ex("two-day", "30 lb", "90 x 6 x 6 in", "longer than 88 in: 75 lb at least", "17"),
        ex("two-day", "141 lb", "12 x 9 x 6 in", "over 140 lb", "16"),
        ex("two-day", "6 lb", "102 x 6 x 6 in", "longer than 100 in", "16"),
        ex("two-day", "6 lb", "60 x 24 x 22 in", "152 in of length plus girth", "16"),
        ex("two-day", "6 lb", "12 x 9 x 6 in", "Guam", to=us("96910")),
        ex("two-day", "6 lb", "12 x 9 x 6 in", "nothing perishable", "16", contents=["perishable"]),
        ex("two-day", "6 lb", "12 x 9 x 6 in", "no lithium cells alone", "16",
           contents=["lithium_alone"]),
        ex("next-day", "2 lb", "9 x 6 x 4 in", "signed for by an adult", "17",
           extras=["signature-adult"]),
        ex("next-day", "30 lb", "90 x 6 x 6 in", "longer than 88 in: 75 lb at least", "17"),
        ex("next-day", "141 lb", "12 x 9 x 6 in", "over 140 lb", "16"),
        ex("next-day", "6 lb", "102 x 6 x 6 in", "longer than 100 in", "16"),
        ex("next-day", "6 lb", "60 x 24 x 22 in", "152 in of length plus girth", "16"),
        ex("next-day", "6 lb", "12 x 9 x 6 in", "Guam", to=us("96910")),
        ex("next-day", "6 lb", "12 x 9 x 6 in", "nothing alive", "16", contents=["live"]),
        ex("next-day", "6 lb", "12 x 9 x 6 in", "no aerosols", "16", contents=["aerosol"]),
        ex("pouch", "6 oz", "12.04 x 9.79 x 0.3 in", "a document by zone", "17", shape="flat",
           packaging="fd-folder"),
        ex("pouch", "10.2 oz", "12.04 x 9.79 x 0.3 in", "the folder holds 10 oz", "17", shape="flat",
           packaging="fd-folder"),
        ex("pouch", "1.2 lb", "12 x 9 x 2 in", "the 2 lb row", "13", shape="soft",
           packaging="fd-pouch"),
        ex("pouch", "4.1 lb", "12 x 9 x 2 in", "the pouch holds 4 lb", "13", shape="soft",
           packaging="fd-pouch"),
        ex("pouch", "1 lb", "12 x 9 x 2 in", "Guam", to=us("96910"), shape="soft",
           packaging="fd-pouch"),
        ex("pouch", "1 lb", "12 x 9 x 2 in", "nothing perishable", "13", shape="soft",
           packaging="fd-pouch", contents=["perishable"]),
        ex("pouch", "1 lb", "12 x 9 x 2 in", "no flammable liquids", "13", shape="soft",
           packaging="fd-pouch", contents=["flammable_liquid"]),
        ex("pouch", "1 lb", "12 x 9 x 2 in", "not in one's own pack", "13", shape="soft"),
    ]
    for day, surface, air in FD_FUEL[version]:
        examples.append(ex("road", "5 lb", "10 x 8 x 6 in", f"surface fuel of {surface} %", "14",
                           date=day))
        examples.append(ex("two-day", "5 lb", "10 x 8 x 6 in", f"air fuel of {air} %", "14",
                           date=day))
    if version == "2026-07":
        examples += [
            ex("road", "8 lb", "12 x 9 x 5 in", "peak demand, to a home", "13", date="2026-11-30",
               **home),
            ex("road", "8 lb", "12 x 9 x 5 in", "peak demand spares light parcels to shops", "13",
               date="2026-11-30"),
            ex("road", "80 lb", "20 x 16 x 12 in", "peak demand, heavy", "13", date="2026-11-30"),
        ]
    return document("fenwick-dray", "Fenwick & Dray", title, "USD", start, until,
                    ("0.01", "0.01", "half_up"), zones, packaging, services, surcharges, extras,
                    examples, series=series)


def fenwick_terms(version, start, until):
    more = version == "2026-07"
    return {
        "format": "tarewise-terms-1", "carrier": "fenwick-dray",
        "in_force": {"from": start, "until": until},
        "discounts": [
            {"services": ["road", "doorstep"], "when": {"billable_weight": {"up_to": "16 lb"}},
             "percent": d("42.5") if more else d("40"), "of": ["base"],
             "floor": d("7.60") if more else d("7.35")},
            {"services": ["road", "doorstep"], "when": {"billable_weight": {"over": "16 lb"}},
             "percent": d("33"), "of": ["base"], "floor": d("7.60") if more else d("7.35")},
            {"services": ["feather"], "percent": d("9"), "of": ["base"], "floor": d("4.30")},
            {"services": ["three-day", "two-day"], "percent": d("47.5"), "of": ["base"],
             "floor": d("12.20")},
            {"services": ["next-day", "pouch"], "when": {"not": {"zone": {"is": ["18", "19"]}}},
             "percent": d("34"), "of": ["base"], "floor": d("18.40")},
            {"percent": d("40"), "of": ["residential", "home"]}]}


# --- Larkspur Air -------------------------------------------------------------------------------

LK_VERSIONS = [
    ("2026-02", "2026-02-01", "2026-06-30", "Rates from the United States, spring 2026"),
    ("2026-07", "2026-07-01", None, "Rates from the United States, summer 2026"),
]
LKE_VERSIONS = [
    ("2026-02", "2026-02-01", "2026-06-30", "Rates in Europe, spring 2026"),
    ("2026-07", "2026-07-01", None, "Rates in Europe, summer 2026"),
]
FRIDAY = {"2026-02": "2026-02-13", "2026-07": "2026-07-24"}
EUROPE = ["AT", "BE", "DE", "DK", "ES", "FR", "IE", "IT", "LU", "NL", "PT", "SE"]
HALF_KILOS = [f"{n / 2:.1f}" for n in range(1, 71)]


def larkspur(version, start, until, title, grids):
    now = version == "2026-07"

    def level(w, zone):
        return Decimal(1) if now else 1 / (d("1.034") if w <= 4 else d("1.049"))

    fee = lambda x: quarter(d(x) * (1 if now else d("0.96")))
    home_zones, world_zones = ["A", "B", "C", "D"], ["1", "2", "3", "4"]
    world_far = {"1": "0.2", "2": "0.7", "3": "0.8", "4": "1.1"}

    def file_grid(name, columns, price, missing=(), add=None):
        file = f"larkspur-{version}-{name}.csv"
        cols = {c: world_far[c] for c in columns} if columns == world_zones else None
        rows = grid(f"lk-{name}", [cols[c] if cols else c for c in columns], HALF_KILOS, price,
                    level, missing=missing)
        grids[file] = (columns, rows)
        return {"table": {"by": "billable_weight", "unit": "kg", "csv": file,
                          "beyond": {"step": 1, "add": [None if c in missing else fee(a)
                                                        for c, a in zip(columns, add)]}}}

    one_day = file_grid("one-day", home_zones, lambda w, f: d("24.8") + d("15.6") * f +
                        (w - d("0.5"))**d("0.91") * (d("3.4") + d("5.2") * f), missing=("D",),
                        add=["5.90", "8.80", "12.60", "0"])
    two_day = file_grid("two-day", home_zones, lambda w, f: d("13.7") + d("7.1") * f +
                        (w - d("0.5"))**d("0.91") * (d("2.3") + d("4.2") * f),
                        add=["4.60", "7.20", "9.90", "13.10"])
    world = file_grid("world", world_zones, lambda w, f: d("28.5") + d("20.5") * f +
                      (w - d("0.5"))**d("0.89") * (d("4.1") + d("6.6") * f),
                      add=["8.80", "13.10", "14.60", "17.40"])
    metric = {"sides": {"round": "nearest", "to": "1 cm"}, "weight": {"round": "up", "to": "0.5 kg"},
              "dimensional": [{"volume_per_weight": "4800 cm3/kg"}]}
    limits = [
        refuse({"weight": {"over": "60 kg"}}, "heavier than 60 kg"),
        refuse({"exact_length": {"over": "240 cm"}}, "longer than 240 cm"),
        refuse({"length_plus_girth": {"over": "310 cm"}}, "length plus girth over 310 cm"),
        not_taken(NO_HAZARD + ["live", "perishable"], "not taken by air")]
    heavy = ["large", "heavy", "own-wrap", "security", "secure-value"]
    services = [
        {"code": "one-day", "title": "Larkspur One Day", "zones": "home",
         "days": {"*": [1, 1]}, "tracked": True, "mode": "air", "measure": metric,
         "refuse": limits, "prices": [one_day], "surcharges": heavy + ["fuel"],
         "extras": ["cover", "signature"], "included_cover": "40"},
        {"code": "two-day", "title": "Larkspur Two Day", "zones": "home",
         "days": {"D": [2, 3], "*": [2, 2]}, "tracked": True, "mode": "air", "measure": metric,
         "refuse": limits, "prices": [two_day], "surcharges": heavy + ["fuel"],
         "extras": ["cover", "signature"], "included_cover": "40"},
        {"code": "chest", "title": "Larkspur Chest", "zones": "home",
         "days": {"D": [2, 3], "*": [2, 2]}, "tracked": True, "mode": "air",
         "packaging": {"own": False, "issued": ["lk-chest-small", "lk-chest-large"]},
         "measure": {"weight": {"round": "up", "to": "0.5 kg"}},
         "refuse": [
             refuse({"packaging": {"is": "lk-chest-small"}, "weight": {"over": "4 kg"}},
                    "the small chest holds 4 kg"),
             refuse({"packaging": {"is": "lk-chest-large"}, "weight": {"over": "14 kg"}},
                    "the large chest holds 14 kg"), limits[3]],
         "prices": [
             when({"packaging": {"is": "lk-chest-small"}},
                  {"by_zone": {"A": fee("16.70"), "B": fee("19.60"), "*": fee("24.80")}}),
             when({"packaging": {"is": "lk-chest-large"}},
                  {"by_zone": {"A": fee("25.90"), "B": fee("32.20"), "*": fee("41.50")}}),
             {"per": {"measure": "billable_weight", "step": "0.5 kg", "first": fee("13.40"),
                      "each": fee("3.60")}}],
         "pick": "lowest", "surcharges": ["security", "fuel"],
         "extras": ["cover", "signature"], "included_cover": "40"},
        {"code": "world", "title": "Larkspur World", "zones": "world",
         "days": {"1": [1, 3], "*": [2, 4]}, "tracked": True, "mode": "air", "measure": metric,
         "refuse": limits + [refuse({"girth": {"over": "220 cm"}}, "girth over 220 cm")],
         "prices": [world], "surcharges": heavy + ["export-desk", "fuel"],
         "extras": ["cover", "signature", "duty-paid"], "included_cover": "40"},
    ]
    surcharges = [
        {"code": "large", "title": "Longer than 110 cm, or second side over 75 cm",
         "when": {"any": [{"length": {"over": "110 cm"}}, {"width": {"over": "75 cm"}}]},
         "amount": fee("23")},
        {"code": "heavy", "title": "Heavier than 28 kg", "when": {"weight": {"over": "28 kg"}},
         "amount": fee("34")},
        {"code": "own-wrap", "title": "Not in a box, pack or envelope",
         "when": {"own_packaging": True, "shape": {"is": ["tube", "irregular"]}},
         "amount": fee("9.80")},
        {"code": "security", "title": "Air security", "when": {"mode": {"is": "air"}},
         "amount": fee("0.95")},
        {"code": "secure-value", "title": "Goods worth more than 600",
         "when": {"value": {"over": "600"}},
         "per": {"measure": "value", "step": "600", "first": fee("2.30"), "each": fee("1.60")}},
        {"code": "export-desk", "title": "Export papers",
         "when": {"not": {"destination": {"in": ["US"]}}}, "amount": fee("4.20")},
        {"code": "fuel", "title": "Fuel", "percent": d("15.4") if now else d("14.2"),
         "of": ["*"]},
    ]
    extras = [
        {"code": "cover", "title": "Cover for loss and damage", "when": {"cover": {"up_to": "20000"}},
         "per": {"measure": "cover", "step": "100", "first": fee("2.90"), "each": fee("1.10")}},
        {"code": "signature", "title": "Signature on delivery", "amount": fee("4.90")},
        {"code": "duty-paid", "title": "Duty and tax paid by the sender",
         "when": {"not": {"zone": {"is": "4"}}}, "amount": fee("17.50")},
    ]
    packaging = [
        {"code": "lk-chest-small", "title": "Larkspur chest, small", "kind": "carton",
         "inside": "30 x 22 x 12 cm", "wall": "3 mm", "tare": "190 g", "cost": d("0.00")},
        {"code": "lk-chest-large", "title": "Larkspur chest, large", "kind": "carton",
         "inside": "38 x 36 x 21 cm", "wall": "4 mm", "tare": "460 g", "cost": d("0.00")},
    ]
    east, middle, west = ["US:010-299"], ["US:300-699"], ["US:700-966", "US:970-994"]
    far = ["US:006-009", "US:967-968", "US:995-999"]
    eastern = {"A": east, "B": middle, "C": west, "D": far}
    western = {"A": west, "B": middle, "C": east, "D": far}
    zones = {
        "home": [{"kind": "pairs", "from": {
            "US:050-059": {"A": ["US:010-069", "US:120-149"],
                           "B": ["US:070-119", "US:150-499"],
                           "C": ["US:500-966", "US:970-994"], "D": far},
            "US:010-049": eastern, "US:060-299": eastern,
            "US:300-699": {"A": middle, "B": east + west, "D": far},
            "US:700-966": western, "US:970-994": western}}],
        "world": [{"kind": "pairs", "from": {"US": {
            "1": ["CA", "MX"], "2": ["BE", "DE", "FR", "GB", "IE", "LU", "NL"],
            "3": ["AT", "CH", "DK", "ES", "IT", "PT", "SE"], "4": ["AU", "JP", "NZ"]}}}],
    }
    examples = [
        ex("one-day", "0.4 kg", "22 x 16 x 5 cm", "the first half kilogram", "A"),
        ex("one-day", "0.501 kg", "22 x 16 x 5 cm", "a gram more: the next half", "A"),
        ex("one-day", "2 kg", "40 x 30 x 20 cm", "24,000 / 4,800 = 5 kg exactly", "C",
           billable=True),
        ex("one-day", "2 kg", "40.4 x 30.5 x 20 cm", "sides to the nearest centimetre: 40 x 31 x 20, "
           "5.17, so 5.5 kg", "C", billable=True),
        ex("one-day", "35.2 kg", "50 x 40 x 40 cm", "past 35 kg: a kilogram begun", "B"),
        ex("one-day", "2 kg", "30 x 20 x 10 cm", "not to Alaska, Hawaii and Puerto Rico", "D"),
        ex("one-day", "60.5 kg", "50 x 40 x 40 cm", "over 60 kg", "B"),
        ex("one-day", "9 kg", "241 x 8 x 6 cm", "longer than 240 cm", "B"),
        ex("one-day", "9 kg", "150 x 45 x 36 cm", "312 cm of length plus girth", "B"),
        ex("one-day", "0.4 kg", "15 x 10 x 10 cm", "perfume never by air", "B",
           contents=["flammable_liquid"]),
        ex("two-day", "1.1 kg", "34 x 26 x 16 cm", "14,144 / 4,800 = 2.95, so 3 kg",
           to=us("98101"), billable=True),
        ex("two-day", "36.4 kg", "60 x 40 x 40 cm", "two kilograms past 35, begun", "B"),
        ex("two-day", "0.9 kg", "90 x 8 x 8 cm", "a roll of one's own", "A", shape="tube"),
        ex("two-day", "12 kg", "115 x 40 x 20 cm", "longer than 110 cm", "A"),
        ex("two-day", "31 kg", "60 x 50 x 40 cm", "heavier than 28 kg", "C"),
        ex("two-day", "2 kg", "30 x 20 x 10 cm", "goods worth 1,250: three times 600", "B",
           value="1250.00"),
        ex("two-day", "2 kg", "30 x 20 x 10 cm", "cover of 400 and signed for", "B",
           cover="400.00", extras=["signature"]),
        ex("two-day", "2 kg", "30 x 20 x 10 cm", "duty is for going abroad", "B",
           extras=["duty-paid"]),
        ex("two-day", "61 kg", "50 x 40 x 40 cm", "over 60 kg", "B"),
        ex("two-day", "9 kg", "241 x 8 x 6 cm", "longer than 240 cm", "B"),
        ex("two-day", "9 kg", "150 x 45 x 36 cm", "312 cm of length plus girth", "B"),
        ex("two-day", "0.4 kg", "15 x 10 x 10 cm", "no lithium cells alone", "B",
           contents=["lithium_alone"]),
        ex("chest", "3.2 kg", "30.6 x 22.6 x 12.6 cm", "the flat price is lower", "B",
           packaging="lk-chest-small"),
        ex("chest", "0.9 kg", "30.6 x 22.6 x 12.6 cm", "by the half kilogram is lower", "B",
           packaging="lk-chest-small"),
        ex("chest", "9 kg", "38.8 x 36.8 x 21.8 cm", "the large chest", "D", packaging="lk-chest-large"),
        ex("chest", "4.2 kg", "30.6 x 22.6 x 12.6 cm", "the small chest holds 4 kg", "B",
           packaging="lk-chest-small"),
        ex("chest", "14.1 kg", "38.8 x 36.8 x 21.8 cm", "the large chest holds 14 kg", "B",
           packaging="lk-chest-large"),
        ex("chest", "2 kg", "30.6 x 22.6 x 12.6 cm", "no aerosols", "B", packaging="lk-chest-small",
           contents=["aerosol"]),
        ex("chest", "2 kg", "30 x 20 x 10 cm", "not in one's own box", "B"),
        ex("world", "0.8 kg", "25 x 20 x 8 cm", "to Berlin, with export papers",
           to=land("DE", "10115")),
        ex("world", "38 kg", "60 x 40 x 40 cm", "three kilograms past 35; heavier than 28 kg",
           to=land("JP", "1000001")),
        ex("world", "2 kg", "30 x 20 x 10 cm", "duty paid", "2", extras=["duty-paid"]),
        ex("world", "2 kg", "30 x 20 x 10 cm", "duty cannot be paid ahead there", "4",
           extras=["duty-paid"]),
        ex("world", "61 kg", "50 x 40 x 40 cm", "over 60 kg", "2"),
        ex("world", "9 kg", "241 x 8 x 6 cm", "longer than 240 cm", "2"),
        ex("world", "9 kg", "150 x 45 x 36 cm", "312 cm of length plus girth", "2"),
        ex("world", "9 kg", "80 x 70 x 41 cm", "222 cm of girth", "2"),
        ex("world", "0.4 kg", "15 x 10 x 10 cm", "nothing alive", "2", contents=["live"]),
    ]
    return document("larkspur", "Larkspur Air", title, "USD", start, until,
                    ("0.01", "0.01", "half_up"), zones, packaging, services, surcharges, extras,
                    examples)


def larkspur_europe(version, start, until, title):
    now = version == "2026-07"

    def level(w, zone):
        return Decimal(1) if now else 1 / (d("1.026") if w <= 8 else d("1.041"))

    fee = lambda x: quarter(d(x) * (1 if now else d("0.97")))
    near = ["1", "2", "3", "4"]
    FAR_EU = {"1": "0.12", "2": "0.4", "3": "0.75", "4": "1.2"}
    kilos = [f"{n / 2:.1f}" for n in range(1, 21)] + [str(n) for n in range(11, 31)]
    metric = {"sides": {"round": "nearest", "to": "1 cm"}, "weight": {"round": "up", "to": "0.5 kg"},
              "dimensional": [{"volume_per_weight": "4800 cm3/kg"}]}

    def zoned(seed, price, add=None, missing=()):
        rows = grid(seed, [FAR_EU[c] for c in near], kilos, price, level,
                    missing=[FAR_EU[c] for c in missing])
        more = {"beyond": {"step": "1 kg", "add": [fee(a) for a in add]}} if add else {}
        return inline("billable_weight", "kg", near, rows, **more)

    limits = [
        refuse({"weight": {"over": "36 kg"}}, "heavier than 36 kg"),
        refuse({"exact_length": {"over": "180 cm"}}, "longer than 180 cm"),
        refuse({"length_plus_width": {"over": "230 cm"}},
               "longest and second side together over 230 cm"),
        not_taken(NO_HAZARD + ["live", "perishable"], "not taken by air")]
    scale = d(1) if now else 1 / d("1.033")
    services = [
        {"code": "europe-one-day", "title": "Larkspur Europe One Day", "zones": "europe",
         "days": {"*": [1, 1]}, "tracked": True, "mode": "air", "measure": metric,
         "refuse": limits,
         "prices": [zoned("lke-one", lambda w, f: d("15.2") + d("18.4") * f + (w - d("0.5")) **
                          d("0.9") * (d("1.8") + d("3.7") * f), missing=("4",))],
         "surcharges": ["large", "fuel"], "extras": ["cover", "signature", "drop-off"],
         "included_cover": "50"},
        {"code": "europe-two-day", "title": "Larkspur Europe Two Day", "zones": "europe",
         "days": {"4": [2, 4], "*": [2, 2]}, "tracked": True, "mode": "air", "measure": metric,
         "refuse": limits,
         "prices": [zoned("lke-two", lambda w, f: d("8.7") + d("12.3") * f + (w - d("0.5")) **
                          d("0.9") * (d("1.1") + d("2.4") * f), add=["1.50", "2.40", "3.30", "4.60"])],
         "surcharges": ["large", "fuel"], "extras": ["cover", "signature", "drop-off"],
         "included_cover": "50"},
        {"code": "europe-road", "title": "Larkspur Europe Road", "zones": "europe",
         "days": {"1": [1, 2], "2": [2, 4], "3": [3, 6], "4": [5, 10]}, "tracked": True,
         "mode": "surface", "delivers": "point",
         "refuse": [
             refuse({"weight": {"over": "22 kg"}}, "heavier than 22 kg"),
             refuse({"exact_length": {"over": "110 cm"}}, "longer than 110 cm"),
             refuse({"volume": {"over": "0.12 m3"}}, "larger than 0.12 m3"),
             not_taken(["lithium_alone", "live", "perishable"], "not taken by road"),
             refuse({"all": [{"contents": {"has_all": ["fragile", "liquid"]}},
                             {"packaging_kind": {"is": "mailer"}}]},
                    "fragile liquids in a box only", "contents_not_accepted")],
         "prices": [
             when({"sum_of_sides": {"up_to": "55 cm"}, "weight": {"up_to": "1.2 kg"}},
                  {"by_zone": {"1": fee("3.70"), "2": fee("7.80"), "3": fee("9.90"),
                               "4": fee("13.60")}}),
             inline("longest_plus_shortest", "cm", near,
                    [[b] + [fee(d(p) * (1 + d(FAR_EU[z]) * d("1.7"))) for z in near]
                     for b, p in (("42", "4.20"), ("58", "5.40"), ("75", "6.90"), ("105", "9.80"),
                                  ("135", "16.40"))])],
         "surcharges": ["overweight", "fuel"], "extras": ["cover"], "included_cover": "50"},
        {"code": "world-two-day", "title": "Larkspur World from Europe", "zones": "world",
         "days": {"*": [2, 4]}, "tracked": True, "mode": "air", "measure": metric,
         "refuse": limits,
         "prices": [
             when({"contents": {"has": "documents"}, "weight": {"up_to": "0.5 kg"}},
                  {"amount": fee("21.80")}),
             inline("billable_weight", "kg", ["I", "W", "*"],
                    [[b] + [cents((d(x) + d(y) * (d(b) - d("0.5"))**d("0.93")) *
                                  level(d(b), "W"))
                            for x, y in (("24.2", "6.9"), ("27.6", "8.7"), ("34", "11.2"))]
                     for b in kilos])],
         "surcharges": ["large", "import-desk", "antiques", "fuel"],
         "extras": ["cover", "signature"], "included_cover": "50"},
        {"code": "world-freight", "title": "Larkspur Freight from Europe", "zones": "world",
         "days": {"*": [4, 7]}, "tracked": True, "mode": "air",
         "measure": {"sides": {"round": "up", "to": "1 cm"}, "weight": {"round": "up", "to": "1 kg"},
                     "dimensional": [{"weight_per_volume": "195 kg/m3"}]},
         "refuse": [refuse({"zone": {"is": "I"}}, "from Europe only"),
                    refuse({"weight": {"over": "90 kg"}}, "heavier than 90 kg"),
                    refuse({"exact_length": {"over": "190 cm"}}, "longer than 190 cm"), limits[3]],
         "prices": [inline("billable_weight", "kg", ["W", "F"],
                           [[b, cents(d(w) * scale), cents(d(f) * scale)]
                            for b, w, f in (("12", "6.90", "9.40"), ("32", "5.20", "7.70"),
                                            ("90", "4.10", "5.60"))],
                           rate="1 kg", least=[fee("31"), fee("44")], deficit=True)],
         "surcharges": ["antiques", "fuel"], "extras": ["cover"],
         "included_cover": {"per": {"measure": "weight", "step": "1 kg", "first": fee("22"),
                                    "each": fee("22")}, "at_most": fee("660")}},
    ]
    surcharges = [
        {"code": "large", "title": "Longer than 95 cm", "when": {"length": {"over": "95 cm"}},
         "amount": fee("16.20")},
        {"code": "overweight", "title": "Over 8 kg by road",
         "when": {"weight": {"over": "8 kg"}},
         "per": {"measure": "weight", "step": "4 kg", "first": fee("0.80"), "each": fee("0.80")}},
        {"code": "import-desk", "title": "Collected in the United States",
         "when": {"origin": {"in": ["US"]}}, "amount": fee("4.10")},
        {"code": "antiques", "title": "Papers for antiques", "when": {"contents": {"has": "x-antique"}},
         "amount": fee("6.80")},
        {"code": "fuel", "title": "Fuel", "percent": d("12.6") if now else d("12.1"),
         "of": ["base", "large", "overweight", "import-desk"]},
    ]
    extras = [
        {"code": "cover", "title": "Cover for loss and damage",
         **step_table("cover", None, [("200", fee("2.40")), ("450", fee("4.10")),
                                      ("900", fee("7.20")), ("2400", fee("14.80"))])},
        {"code": "signature", "title": "Signature on delivery", "amount": fee("2.60"),
         "excludes": ["drop-off"]},
        {"code": "drop-off", "title": "Handed in at a counter", "less": fee("0.85")},
    ]
    islands = {"ES": ["ES:35", "ES:38", "ES:07"], "FR": ["FR:20"], "IT": ["IT:07-09"]}
    next_to = {"FR": ["BE", "DE", "ES", "IT", "LU"],
               "DE": ["AT", "BE", "DK", "FR", "LU", "NL"],
               "NL": ["BE", "DE", "LU"], "BE": ["DE", "FR", "LU", "NL"],
               "IT": ["AT", "FR"], "ES": ["FR", "PT"]}
    pairs = {}
    for origin, neighbours in next_to.items():
        rest = [c for c in EUROPE if c != origin and c not in neighbours]
        pairs[origin] = {"1": [origin], "2": neighbours, "3": rest,
                         "4": [a for c in ("ES", "FR", "IT") for a in islands[c]]}
    world_pairs = {c: {"W": ["US", "CA", "GB", "CH"], "F": ["AU", "JP", "NZ"]} for c in next_to}
    world_pairs["US"] = {"I": EUROPE}
    zones = {"europe": [{"kind": "pairs", "from": pairs}],
             "world": [{"kind": "pairs", "from": world_pairs}]}
    fr = {"country": "FR", "postal_code": "69002"}
    examples = [
        ex("europe-one-day", "0.4 kg", "22 x 16 x 5 cm", "the first half kilogram", "1"),
        ex("europe-one-day", "2 kg", "41 x 30 x 20 cm", "24,600 / 4,800 = 5.125, so 5.5 kg", "2", billable=True),
        ex("europe-one-day", "2 kg", "30 x 20 x 10 cm", "not to the islands", "4"),
        ex("europe-one-day", "2 kg", "30 x 20 x 10 cm", "Corsica by its longer prefix", frm=fr,
           to=land("FR", "20000")),
        ex("europe-one-day", "37 kg", "30 x 20 x 10 cm", "over 36 kg", "1"),
        ex("europe-one-day", "2 kg", "181 x 6 x 5 cm", "longer than 180 cm", "1"),
        ex("europe-one-day", "2 kg", "170 x 61 x 5 cm", "231 cm in two sides", "1"),
        ex("europe-one-day", "0.4 kg", "15 x 10 x 10 cm", "perfume never by air", "1",
           contents=["flammable_liquid"]),
        ex("europe-two-day", "3.1 kg", "35 x 25 x 12 cm", "Lyon to Berlin", frm=fr,
           to=land("DE", "10115")),
        ex("europe-two-day", "33.2 kg", "60 x 50 x 40 cm", "four kilograms past 30, begun", "3",
           billable=True),
        ex("europe-two-day", "8 kg", "110 x 20 x 20 cm", "longer than 95 cm", "2"),
        ex("europe-two-day", "37 kg", "30 x 20 x 10 cm", "over 36 kg", "1"),
        ex("europe-two-day", "2 kg", "181 x 6 x 5 cm", "longer than 180 cm", "1"),
        ex("europe-two-day", "2 kg", "170 x 61 x 5 cm", "231 cm in two sides", "1"),
        ex("europe-two-day", "0.4 kg", "15 x 10 x 10 cm", "no lithium cells alone", "1",
           contents=["lithium_alone"]),
        ex("europe-two-day", "3.1 kg", "35 x 25 x 12 cm", "handed in at a counter: that much less", "2",
           extras=["drop-off"], net=True),
        ex("europe-two-day", "3.1 kg", "35 x 25 x 12 cm", "signed for, so not handed in at a counter", "2",
           extras=["drop-off", "signature"]),
        ex("europe-one-day", "0.4 kg", "22 x 16 x 5 cm", "handed over on a Friday before the cut-off: on Saturday",
           "1", date=FRIDAY[version], time="15:45", arrives=True),
        ex("europe-one-day", "0.4 kg", "22 x 16 x 5 cm", "a minute after the cut-off: on Tuesday", "1",
           date=FRIDAY[version], time="15:46", arrives=True),
        ex("europe-road", "0.8 kg", "28 x 17 x 10 cm", "small: 55 cm in all, up to 1.2 kg", "1"),
        ex("europe-road", "1.3 kg", "28 x 17 x 10 cm", "over 1.2 kg: longest and shortest side, 38 cm",
           "1"),
        ex("europe-road", "12 kg", "60 x 40 x 20 cm", "80 cm; three times 4 kg", "3"),
        ex("europe-road", "12 kg", "60 x 40 x 20 cm", "to the islands", "4", cover="400.00"),
        ex("europe-road", "23 kg", "60 x 40 x 20 cm", "over 22 kg", "1"),
        ex("europe-road", "2 kg", "111 x 10 x 10 cm", "longer than 110 cm", "1"),
        ex("europe-road", "9 kg", "70 x 50 x 36 cm", "0.126 m3", "1"),
        ex("europe-road", "2 kg", "20 x 10 x 10 cm", "nothing alive", "1", contents=["live"]),
        ex("europe-road", "0.5 kg", "20 x 10 x 6 cm", "a bottle in a bag", "1", shape="soft",
           contents=["fragile", "liquid"]),
        ex("europe-road", "0.5 kg", "20 x 10 x 6 cm", "the same bottle in a box", "1",
           contents=["fragile", "liquid"]),
        ex("europe-road", "2 kg", "30 x 20 x 10 cm", "no cover past 2,400", "1", cover="2600.00"),
        ex("world-two-day", "0.3 kg", "32 x 23 x 1 cm", "documents at one price", "W", shape="flat",
           contents=["documents"]),
        ex("world-two-day", "1.3 kg", "30 x 20 x 10 cm", "from Vermont to Utrecht",
           to=land("NL", "3511AB")),
        ex("world-two-day", "1.3 kg", "30 x 20 x 10 cm", "Lyon to New York, an antique", frm=fr,
           to=us("10001"), contents=["x-antique"], extras=["signature"]),
        ex("world-two-day", "1.3 kg", "30 x 20 x 10 cm", "the last column is any other zone", "F"),
        ex("world-two-day", "31 kg", "30 x 20 x 10 cm", "past the last row", "F"),
        ex("world-two-day", "37 kg", "30 x 20 x 10 cm", "over 36 kg", "W"),
        ex("world-two-day", "2 kg", "181 x 6 x 5 cm", "longer than 180 cm", "W"),
        ex("world-two-day", "2 kg", "170 x 61 x 5 cm", "231 cm in two sides", "W"),
        ex("world-two-day", "0.4 kg", "15 x 10 x 10 cm", "no aerosols", "W", contents=["aerosol"]),
        ex("world-freight", "4 kg", "30 x 30 x 20 cm", "the least charge", "W", net=True),
        ex("world-freight", "8 kg", "30 x 30 x 20 cm", "8 kg at the first rate", "W"),
        ex("world-freight", "10 kg", "30 x 30 x 20 cm", "billed as 12 kg, at the rate above", "W"),
        ex("world-freight", "14.2 kg", "45 x 40 x 30 cm", "15 kg at the second rate", "F", billable=True),
        ex("world-freight", "27 kg", "45 x 40 x 30 cm", "billed as 32 kg", "F"),
        ex("world-freight", "14 kg", "60 x 50 x 40.2 cm", "0.123 m3 at 195 kg are 23.985, so 24 kg", "W", billable=True),
        ex("world-freight", "4 kg", "30 x 30 x 20 cm", "60 of cover are in it by the weight", "W", cover="60.00"),
        ex("world-freight", "2 kg", "30 x 30 x 20 cm", "60 of cover are more than two kilograms include", "W",
           cover="60.00"),
        ex("world-freight", "9 kg", "30 x 30 x 20 cm", "from Europe only", "I"),
        ex("world-freight", "91 kg", "45 x 40 x 30 cm", "over 90 kg", "W"),
        ex("world-freight", "9 kg", "191 x 6 x 5 cm", "longer than 190 cm", "W"),
        ex("world-freight", "9 kg", "30 x 30 x 20 cm", "nothing perishable", "F", contents=["perishable"]),
    ]
    return document("larkspur-eu", "Larkspur Air Europe", title, "EUR", start, until,
                    ("0.01", "0.01", "half_even"), zones, [], services, surcharges, extras,
                    examples, tax={"code": "vat", "title": "VAT", "percent": 20 if now else 19, "listed": "without",
                                   "when": {"zone": {"is": near}}},
                    calendar={"working": ["mon", "tue", "wed", "thu", "fri"],
                              "delivering": ["mon", "tue", "wed", "thu", "fri", "sat"],
                              "holidays": ["2026-05-01", "2026-12-25", "2027-01-01"], "cut_off": "15:45"})


def all_tariffs(gazetteer):
    """{file name: document} and {file name: (columns, rows)}."""
    docs, grids = {}, {}
    for v in HL_VERSIONS:
        docs[f"harbourline-{v[0]}.json"] = harbourline(*v, grids)
    for v in FD_VERSIONS:
        docs[f"fenwick-dray-{v[0]}.json"] = fenwick_dray(*v, grids, gazetteer)
    for v in LK_VERSIONS:
        docs[f"larkspur-{v[0]}.json"] = larkspur(*v, grids)
    for v in LKE_VERSIONS:
        docs[f"larkspur-eu-{v[0]}.json"] = larkspur_europe(*v)
    terms = {f"fenwick-dray-terms-{v[0]}.json": fenwick_terms(*v[:3]) for v in FD_VERSIONS}
    return docs, grids, terms
