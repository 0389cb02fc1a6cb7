"""The tariffs of three invented carriers. Every price here comes from a formula and a seeded jitter."""

import random
from decimal import ROUND_HALF_UP, Decimal

import worked_prices

SOURCE = "invented for the demonstration, written by tables/generate.py"
CENT = Decimal("0.01")

# How dear the way is: 0 next door, 1 across the country.
FAR = {"L": "0", "1": "0.06", "2": "0.14", "3": "0.26", "4": "0.40", "5": "0.55", "6": "0.70",
       "7": "0.85", "8": "1", "9": "1.16", "10": "1.30",
       "A": "0.15", "B": "0.55", "C": "1", "D": "1.45"}
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
        e["from"] = frm or {"country": "US", "postal_code": "43004"}
        e["to"] = to
    else:
        e["zone"] = zone
    for key in ("residential", "date", "extras", "cover"):
        if key in more:
            e[key] = more.pop(key)
    e["show_billable"] = more.pop("billable", False)
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

HL_ZONES = ["L", "1", "2", "3", "4", "5", "6", "7", "8", "9"]
HL_VERSIONS = [
    ("2026-01", "2026-01-18", "2026-07-11", "Letter and parcel tariff, winter 2026"),
    ("2026-07", "2026-07-12", "2027-01-17", "Letter and parcel tariff, summer 2026"),
    ("2027-01", "2027-01-18", None, "Letter and parcel tariff, winter 2027 (announced)"),
]


def hl_level(version):
    """What a version asks against summer 2026: some rows stay, some rise, a few get cheaper."""
    def level(w, zone):
        far = zone in ("7", "8", "9")
        if version == "2026-07":
            return Decimal(1)
        if version == "2026-01":
            rise = d("0.012") if w <= 2 else d("0.028") if w <= 10 else d("0.041")
            return 1 / (1 + rise + (d("0.009") if far else 0))
        rise = d("0.019") if w <= 5 else d("0.034") if w <= 20 else d("-0.008")
        return 1 + rise + (d("0.006") if far else 0)
    return level


def harbourline(version, start, until, title, grids):
    level = hl_level(version)
    index = {"2026-01": d("0.965"), "2026-07": d(1), "2027-01": d("1.03")}[version]
    fee = lambda x: quarter(d(x) * index)

    def file_grid(name, rows, columns=HL_ZONES):
        file = f"harbourline-{version}-{name}.csv"
        grids[file] = (columns, rows)
        return file

    pounds = list(range(1, 71))
    ground = grid("hl-ground", HL_ZONES, pounds, lambda w, f: d("5.85") + d("2.9") * f +
                  (w - 1)**d("0.86") * (d("0.66") + d("1.85") * f), level)
    swift = grid("hl-swift", HL_ZONES, pounds, lambda w, f: d("8.55") + d("4.6") * f +
                 (w - 1)**d("0.88") * (d("0.95") + d("2.7") * f), level)
    noon = grid("hl-noon", HL_ZONES, ["0.5"] + pounds, lambda w, f: d("27.9") + d("14") * f +
                max(w - d("0.5"), 0)**d("0.9") * (d("2.1") + d("3.4") * f), level)
    light = [["4 oz"], ["8 oz"], ["12 oz"], ["15.999 oz"]]
    for row, (b, slope) in zip(light, (("4.05", "1.15"), ("4.50", "1.45"), ("5.15", "1.90"),
                                       ("5.72", "2.70"))):
        row += [cents((d(b) + d(slope) * d(FAR[z])) * level(Decimal(1), z)) for z in HL_ZONES]
    cubic = [[t] for t in ("0.1", "0.2", "0.3", "0.4", "0.5")]
    for row, (b, slope) in zip(cubic, (("6.60", "2.00"), ("7.40", "3.30"), ("8.15", "4.90"),
                                       ("8.80", "6.70"), ("9.45", "9.10"))):
        row += [cents((d(b) + d(slope) * d(FAR[z])) * level(Decimal(3), z)) for z in HL_ZONES]
    abroad = ["C", "M", "E", "P"]
    abroad_far = {"C": d("0.2"), "M": d("0.5"), "E": d("0.8"), "P": d(1)}
    packet = [[b] + [cents((d("11.2") + 5 * abroad_far[c] + d(b)**d("0.85") *
                            (d("0.16") + d("0.42") * abroad_far[c])) * level(Decimal(2), c))
                     for c in abroad] for b in ("4", "8", "12", "16", "24", "32", "48", "64", "70")]
    overseas = [[b] + [cents((d("24") + 26 * abroad_far[c] + (d(b) - 1)**d("0.9") *
                              (d("2.2") + d("4.6") * abroad_far[c])) * level(d(b), c))
                       for c in abroad] for b in range(1, 67)]

    by_ounce = lambda first, each, last, scale=index: [
        (str(o), (d(first) + d(each) * (o - 1)) * scale) for o in range(1, last + 1)]
    stamp = {"2026-01": ("0.69", "0.27"), "2026-07": ("0.71", "0.27"),
             "2027-01": ("0.73", "0.28")}[version]
    letter = [(str(o), d(stamp[0]) + d(stamp[1]) * (o - 1)) for o in (1, 2, 3)]
    letter.append(("3.5", letter[-1][1] + d(stamp[1])))
    flat_far = lambda x: cents(d(x) * (d("0.974") if version == "2026-01" else
                                       d("1.022") if version == "2027-01" else 1))

    heavy = refuse({"weight": {"over": "70 lb"}}, "heavier than 70 lb")
    wide = refuse({"exact_length_plus_girth": {"over": "108 in"}},
                  "length plus girth over 108 in")
    wet = not_taken(["liquid", "perishable", "flammable_liquid", "aerosol", "lithium_alone",
                     "sharp", "live"], "letters hold paper and small dry things only")
    cell = not_taken(["live"], "live creatures go by Harbourline Noon only")
    dims = {"volume_per_weight": "166 in3/lb"}

    services = [
        {"code": "postcard", "title": "Harbourline Postcard", "zones": "letters",
         "days": {"*": [2, 5]}, "mode": "any",
         "refuse": [
             refuse({"not": {"shape": {"is": "flat"}}}, "a postcard is a single flat card"),
             refuse({"weight": {"over": "0.5 oz"}}, "heavier than 0.5 oz"),
             refuse({"any": [{"exact_length": {"over": "6 in"}},
                             {"exact_width": {"over": "4.25 in"}}]},
                    "larger than 6 x 4.25 in"),
             refuse({"exact_height": {"over": "0.016 in"}}, "thicker than 0.016 in"),
             refuse({"any": [{"exact_length": {"under": "5 in"}},
                             {"exact_width": {"under": "3.5 in"}},
                             {"exact_height": {"under": "0.007 in"}}]},
                    "smaller than 5 x 3.5 x 0.007 in"),
             refuse({"rigid": True}, "a card that does not bend is a letter")],
         "prices": [{"amount": d({"2026-01": "0.54", "2026-07": "0.56", "2027-01": "0.58"}[version])}]},
        {"code": "letter", "title": "Harbourline Letter", "zones": "letters",
         "days": {"*": [2, 5]}, "mode": "any",
         "refuse": [
             refuse({"not": {"shape": {"is": "flat"}}}, "a letter is a flat piece"),
             refuse({"weight": {"over": "3.5 oz"}}, "heavier than 3.5 oz"),
             refuse({"exact_length": {"over": "11.5 in"}}, "longer than 11.5 in"),
             refuse({"exact_width": {"over": "6.125 in"}}, "wider than 6.125 in"),
             refuse({"exact_height": {"over": "0.25 in"}}, "thicker than 0.25 in"),
             refuse({"any": [{"exact_length": {"under": "5 in"}},
                             {"exact_width": {"under": "3.5 in"}},
                             {"exact_height": {"under": "0.007 in"}}]},
                    "smaller than 5 x 3.5 x 0.007 in"), wet],
         "prices": [step_table("weight", "oz", letter)], "surcharges": ["stiff"]},
        {"code": "large-letter", "title": "Harbourline Large Letter", "zones": "letters",
         "days": {"*": [2, 6]}, "mode": "any",
         "refuse": [
             refuse({"not": {"shape": {"is": "flat"}}}, "a large letter is a flat piece"),
             refuse({"weight": {"over": "13 oz"}}, "heavier than 13 oz"),
             refuse({"any": [{"exact_length": {"over": "15 in"}},
                             {"exact_width": {"over": "12 in"}},
                             {"exact_height": {"over": "0.75 in"}}]},
                    "larger than 15 x 12 x 0.75 in"), wet],
         "prices": [step_table("weight", "oz", by_ounce("1.63", "0.27", 13))],
         "surcharges": [{"code": "stiff-large", "title": "Stiff or uneven large letter",
                         "when": {"any": [{"rigid": True}, {"contents": {"has": "x-uneven"}}]},
                         "amount": fee("1.35")}]},
        {"code": "light", "title": "Harbourline Light Parcel", "zones": "main",
         "days": {"L": [2, 2], "1": [2, 2], "2": [2, 3], "9": [5, 9], "*": [3, 5]},
         "tracked": True, "mode": "surface",
         "refuse": [
             refuse({"weight": {"over": "15.999 oz"}}, "heavier than 15.999 oz"),
             refuse({"exact_length": {"over": "22 in"}}, "longer than 22 in"),
             refuse({"exact_volume": {"over": "1728 in3"}}, "larger than a cubic foot"), cell],
         "prices": [inline("weight", "oz", HL_ZONES, light)],
         "surcharges": ["odd-shape", "peak"],
         "extras": ["cover", "signature", "collect"], "included_cover": "100"},
        {"code": "ground", "title": "Harbourline Ground", "zones": "main",
         "days": {"L": [2, 2], "1": [2, 2], "2": [2, 3], "3": [3, 3], "4": [3, 4], "9": [6, 10],
                  "*": [3, 5]},
         "tracked": True, "mode": "surface",
         "measure": {"irregular_factor": d("0.785"), "weight": {"round": "up", "to": "1 lb"},
                     "dimensional": [{"when": {"volume": {"over": "1728 in3"}}, **dims,
                                      "at_most": "70 lb"}]},
         "refuse": [heavy, refuse({"exact_length_plus_girth": {"over": "130 in"}},
                                  "length plus girth over 130 in"), cell],
         "prices": [
             when({"exact_length_plus_girth": {"over": "108 in"}},
                  {"by_zone": {z: fee(d("96") + 118 * d(FAR[z])) for z in HL_ZONES}}),
             {"table": {"by": "billable_weight", "unit": "lb",
                        "csv": file_grid("ground", ground)}}],
         "surcharges": ["long-22", "long-30", "bulky", "odd-shape", "peak"],
         "extras": ["cover", "signature", "signature-adult", "collect"], "included_cover": "100"},
        {"code": "cubic", "title": "Harbourline Small Dense Parcel", "zones": "main",
         "days": {"L": [2, 2], "1": [2, 2], "2": [2, 3], "9": [6, 10], "*": [3, 5]},
         "tracked": True, "mode": "surface",
         "measure": {"sides": {"round": "down", "to": "0.25 in"}},
         "refuse": [
             refuse({"weight": {"over": "20 lb"}}, "heavier than 20 lb"),
             refuse({"exact_length": {"over": "18 in"}}, "longer than 18 in"),
             refuse({"volume": {"over": "0.5 ft3"}}, "larger than half a cubic foot"),
             refuse({"not": {"shape": {"is": ["box", "soft"]}}}, "boxes and soft packs only"),
             cell],
         "prices": [inline("volume", "ft3", HL_ZONES, cubic)], "surcharges": ["peak"],
         "extras": ["cover", "signature", "signature-adult"], "included_cover": "100"},
        {"code": "media", "title": "Harbourline Media", "zones": "domestic",
         "days": {"*": [3, 8]}, "tracked": True, "mode": "surface",
         "refuse": [heavy, wide,
                    refuse({"not": {"every_item": {"has": "media"}}},
                           "books, records, printed music and films only",
                           "contents_not_accepted")],
         "prices": [{"per": {"measure": "weight", "step": "1 lb", "first": fee("4.60"),
                             "each": cents(d("0.78") * index)}}],
         "extras": ["cover", "signature"]},
        {"code": "swift", "title": "Harbourline Swift", "zones": "main",
         "days": {"L": [1, 1], "1": [1, 2], "2": [1, 2], "9": [3, 5], "*": [2, 3]},
         "tracked": True, "mode": "air",
         "packaging": {"own": True, "issued": ["hl-swift-box", "hl-swift-tube"]},
         "measure": {"sides": {"round": "nearest", "to": "1 in"}, "irregular_factor": d("0.785"),
                     "weight": {"round": "up", "to": "1 lb"},
                     "dimensional": [{"when": {"zone": {"is": ["5", "6", "7", "8", "9"]},
                                               "volume": {"over": "1728 in3"}}, **dims,
                                      "at_most": "70 lb"}],
                     "at_least": [{"when": {"length_plus_girth": {"over": "84 in"},
                                            "weight": {"under": "20 lb"}}, "weight": "20 lb"}]},
         "refuse": [heavy, wide, cell],
         "prices": [{"table": {"by": "billable_weight", "unit": "lb",
                               "csv": file_grid("swift", swift)}}],
         "surcharges": ["long-22", "long-30", "bulky", "peak"],
         "extras": ["cover", "signature", "signature-adult", "collect"], "included_cover": "100"},
        {"code": "flat-envelope", "title": "Harbourline Flat-Price Envelope", "zones": "domestic",
         "days": {"*": [1, 3]}, "tracked": True, "mode": "air",
         "packaging": {"own": False, "issued": ["hl-envelope", "hl-envelope-long",
                                                "hl-envelope-padded"]},
         "refuse": [heavy, cell],
         "prices": [when({"packaging": {"is": "hl-envelope"}}, {"amount": flat_far("9.85")}),
                    when({"packaging": {"is": "hl-envelope-long"}}, {"amount": flat_far("10.20")}),
                    when({"packaging": {"is": "hl-envelope-padded"}},
                         {"amount": flat_far("10.65")})],
         "surcharges": ["peak"], "extras": ["cover", "signature", "signature-adult"],
         "included_cover": "100"},
        {"code": "flat-box", "title": "Harbourline Flat-Price Box", "zones": "domestic",
         "days": {"*": [1, 3]}, "tracked": True, "mode": "air",
         "packaging": {"own": False, "issued": ["hl-box-s", "hl-box-m", "hl-box-m-low",
                                                "hl-box-l"]},
         "refuse": [heavy, cell],
         "prices": [when({"packaging": {"is": "hl-box-s"}}, {"amount": flat_far("10.40")}),
                    when({"packaging": {"is": ["hl-box-m", "hl-box-m-low"]}},
                         {"amount": flat_far("17.95")}),
                    when({"packaging": {"is": "hl-box-l"}}, {"amount": flat_far("24.90")})],
         "surcharges": ["peak"], "extras": ["cover", "signature", "signature-adult"],
         "included_cover": "100"},
        {"code": "zone-box", "title": "Harbourline Zone Box", "zones": "main",
         "days": {"L": [1, 1], "1": [1, 2], "2": [1, 2], "9": [3, 5], "*": [2, 3]},
         "tracked": True, "mode": "air",
         "packaging": {"own": False, "issued": ["hl-zone-a", "hl-zone-b"]},
         "refuse": [
             refuse({"packaging": {"is": "hl-zone-a"}, "weight": {"over": "15 lb"}},
                    "Zone Box A holds 15 lb"),
             refuse({"packaging": {"is": "hl-zone-b"}, "weight": {"over": "20 lb"}},
                    "Zone Box B holds 20 lb"), cell],
         "prices": [when({"packaging": {"is": "hl-zone-a"}},
                         by_zone(HL_ZONES, lambda f: d("8.4") + d("8.6") * f, level)),
                    when({"packaging": {"is": "hl-zone-b"}},
                         by_zone(HL_ZONES, lambda f: d("9.9") + d("13.4") * f, level))],
         "surcharges": ["peak"], "extras": ["cover", "signature", "signature-adult"],
         "included_cover": "100"},
        {"code": "noon", "title": "Harbourline Noon", "zones": "main",
         "days": {"9": [2, 4], "*": [1, 2]}, "tracked": True, "mode": "air",
         "measure": {"weight": {"round": "up", "to": "0.5 lb"},
                     "dimensional": [{"when": {"volume": {"over": "1728 in3"}}, **dims}]},
         "refuse": [heavy, wide],
         "prices": [{"table": {"by": "billable_weight", "unit": "lb",
                               "csv": file_grid("noon", noon)}}],
         "surcharges": ["long-22", "long-30", "bulky", "live-care"],
         "extras": ["cover", "signature", "signature-adult"], "included_cover": "100"},
        {"code": "overseas-packet", "title": "Harbourline Overseas Packet", "zones": "overseas",
         "days": {"C": [6, 10], "*": [8, 15]}, "tracked": True, "mode": "air",
         "refuse": [
             refuse({"weight": {"over": "70 oz"}}, "heavier than 70 oz"),
             refuse({"not": {"shape": {"is": "tube"}}, "sum_of_sides": {"over": "36 in"}},
                    "length, width and height together over 36 in"),
             refuse({"shape": {"is": "tube"}, "sum_of_sides": {"over": "41 in"}},
                    "length and twice the diameter together over 41 in"),
             refuse({"exact_length": {"over": "24 in"}}, "longer than 24 in"),
             not_taken(["perishable", "live", "liquid"], "not taken abroad by packet")],
         "prices": [inline("weight", "oz", abroad, packet)]},
        {"code": "overseas-parcel", "title": "Harbourline Overseas Parcel", "zones": "overseas",
         "days": {"C": [4, 7], "*": [6, 10]}, "tracked": True, "mode": "air",
         "measure": {"weight": {"round": "up", "to": "1 lb"},
                     "dimensional": [{"when": {"volume": {"over": "1728 in3"}}, **dims}]},
         "refuse": [refuse({"weight": {"over": "66 lb"}}, "heavier than 66 lb"), wide,
                    not_taken(["perishable", "live"], "not taken abroad")],
         "prices": [{"table": {"by": "billable_weight", "unit": "lb",
                               "csv": file_grid("overseas", overseas, abroad)}}],
         "surcharges": ["long-22", "long-30"],
         "extras": ["cover", "signature"], "included_cover": "200"},
    ]

    odd = {"not": {"shape": {"is": ["box", "soft", "flat"]}}}
    surcharges = [
        {"code": "stiff", "title": "Stiff or uneven letter",
         "when": {"any": [{"rigid": True}, {"contents": {"has": "x-uneven"}}]},
         "amount": cents(d("0.46") * index)},
        {"code": "long-22", "title": "Longer than 22 in", "when": {"exact_length": {"over": "22 in"}},
         "group": "long", "amount": fee("4.20")},
        {"code": "long-30", "title": "Longer than 30 in", "when": {"exact_length": {"over": "30 in"}},
         "group": "long", "amount": fee("8.40")},
        {"code": "bulky", "title": "Larger than 2 cubic feet",
         "when": {"exact_volume": {"over": "2 ft3"}}, "amount": fee("19.50")},
        {"code": "odd-shape", "title": "Roll or irregular piece", "when": odd, "amount": fee("2.10")},
        {"code": "live-care", "title": "Care of live creatures", "when": {"contents": {"has": "live"}},
         "amount": fee("14.50")},
    ]
    if version == "2026-07":
        surcharges.append(
            {"code": "peak", "title": "Peak season",
             "when": {"date": {"from": "2026-10-04", "until": "2027-01-17"}},
             **step_table("weight", "lb", [("10", "0.40"), ("25", "0.95"), ("70", "3.10")])})
    else:
        for s in services:
            if "peak" in s.get("surcharges", []):
                s["surcharges"].remove("peak")
                if not s["surcharges"]:
                    del s["surcharges"]
    extras = [
        {"code": "cover", "title": "Cover for loss and damage",
         "when": {"cover": {"up_to": "5000"}},
         **step_table("cover", None, [("200", fee("3.10")), ("300", fee("3.95")),
                                      ("400", fee("4.85")), ("500", fee("5.80")),
                                      ("600", fee("8.70"))],
                      beyond={"step": 100, "add": [fee("1.65")]})},
        {"code": "signature", "title": "Signature on delivery", "amount": fee("3.65")},
        {"code": "signature-adult", "title": "Signature of an adult", "amount": fee("9.35")},
        {"code": "collect", "title": "Money collected on delivery",
         **step_table("value", None, [("50", fee("9.20")), ("100", fee("11.40")),
                                      ("200", fee("13.60")), ("500", fee("19.80")),
                                      ("1000", fee("29.50"))])},
    ]
    packaging = [
        {"code": "hl-envelope", "title": "Flat-price envelope", "kind": "envelope",
         "inside": "9.25 x 12.25 in", "thickness": "0.75 in", "wall": "0.02 in", "tare": "1.1 oz",
         "cost": d("0.00")},
        {"code": "hl-envelope-long", "title": "Flat-price long envelope", "kind": "envelope",
         "inside": "9.25 x 14.75 in", "thickness": "0.75 in", "wall": "0.02 in", "tare": "1.3 oz",
         "cost": d("0.00")},
        {"code": "hl-envelope-padded", "title": "Flat-price padded envelope", "kind": "mailer",
         "inside": "9.25 x 12 in", "wall": "0.12 in", "tare": "1.4 oz", "cost": d("0.00")},
        {"code": "hl-box-s", "title": "Flat-price box, small", "kind": "carton",
         "inside": "8.5 x 5.25 x 1.6 in", "wall": "0.06 in", "tare": "2.6 oz", "cost": d("0.00")},
        {"code": "hl-box-m", "title": "Flat-price box, medium", "kind": "carton",
         "inside": "11.25 x 8.75 x 5.25 in", "wall": "0.12 in", "tare": "7.2 oz",
         "cost": d("0.00")},
        {"code": "hl-box-m-low", "title": "Flat-price box, medium low", "kind": "carton",
         "inside": "13.5 x 11.5 x 3.5 in", "wall": "0.12 in", "tare": "8.4 oz", "cost": d("0.00")},
        {"code": "hl-box-l", "title": "Flat-price box, large", "kind": "carton",
         "inside": "12.25 x 11.75 x 6 in", "wall": "0.12 in", "tare": "10.3 oz",
         "cost": d("0.00")},
        {"code": "hl-zone-a", "title": "Zone Box A", "kind": "carton",
         "inside": "10 x 7 x 4.75 in", "wall": "0.12 in", "tare": "5.4 oz", "cost": d("0.00")},
        {"code": "hl-zone-b", "title": "Zone Box B", "kind": "carton",
         "inside": "12 x 10.25 x 5 in", "wall": "0.12 in", "tare": "8.1 oz", "cost": d("0.00")},
        {"code": "hl-swift-box", "title": "Swift box, charged by weight", "kind": "carton",
         "inside": "12 x 12 x 8 in", "wall": "0.12 in", "tare": "11.6 oz", "cost": d("0.00")},
        {"code": "hl-swift-tube", "title": "Swift tube, charged by weight", "kind": "tube",
         "inside": "5.5 x 37 in", "outside": "6 x 38 in", "tare": "14.8 oz", "cost": d("0.00")},
    ]
    zones = {
        "main": [
            {"kind": "regions", "zones": {"9": ["US:969"]}},
            {"kind": "distance",
             "bands": [{"zone": str(i + 1), "up_to": f"{m} mi"} for i, m in
                       enumerate((50, 150, 300, 600, 1000, 1400, 1800))] + [{"zone": "8"}],
             "same": {"prefix": 5, "zone": "L"}}],
        "domestic": [{"kind": "pairs", "from": {"US": {"N": ["US"]}}}],
        "letters": [{"kind": "one", "zone": "N", "countries": ["US"]}],
        "overseas": [{"kind": "pairs", "from": {"US": {
            "C": ["CA"], "M": ["MX"],
            "E": ["AT", "BE", "CH", "DE", "DK", "ES", "FR", "GB", "IE", "IT", "LU", "NL", "PT",
                  "SE"],
            "P": ["AU", "JP", "NZ"]}}}],
    }
    flat = "flat"
    cards = "5.5 x 3.5 x 0.012 in"
    examples = [
        ex("postcard", "0.2 oz", cards, "one price, anywhere in the country", "N", shape=flat),
        ex("postcard", "0.2 oz", "5.5 x 3.5 x 0.02 in", "a thick card is a letter", "N", shape=flat),
        ex("postcard", "0.2 oz", "7 x 5 x 0.012 in", "a large card is a letter", "N", shape=flat),
        ex("postcard", "0.2 oz", "4.5 x 3.5 x 0.012 in", "too small to post", "N", shape=flat),
        ex("postcard", "0.6 oz", cards, "over half an ounce", "N", shape=flat),
        ex("postcard", "0.2 oz", cards, "a stiff card is a letter", "N", shape=flat, rigid=True),
        ex("postcard", "0.2 oz", cards, "not flat", "N", shape="tube"),
        ex("letter", "0.3 oz", "6 x 4.25 x 0.05 in", "one card in its sleeves", shape=flat,
           to=us("97005")),
        ex("letter", "1 oz", "9 x 5 x 0.1 in", "exactly an ounce is one ounce", "N", shape=flat),
        ex("letter", "1.1 oz", "9 x 5 x 0.1 in", "the next ounce begun", "N", shape=flat),
        ex("letter", "3.5 oz", "9 x 5 x 0.2 in", "the last step is half an ounce", "N", shape=flat),
        ex("letter", "3.6 oz", "9 x 5 x 0.2 in", "past 3.5 oz it is a large letter", "N", shape=flat),
        ex("letter", "0.8 oz", "6 x 4.25 x 0.2 in", "a stiff letter", "N", shape=flat, rigid=True),
        ex("letter", "0.8 oz", "9 x 4 x 0.25 in", "a pen nib makes it uneven", "N", shape=flat,
           contents=["x-uneven"]),
        ex("letter", "1 oz", "11.6 x 6 x 0.1 in", "too long", "N", shape=flat),
        ex("letter", "1 oz", "11 x 6.25 x 0.1 in", "too wide", "N", shape=flat),
        ex("letter", "1 oz", "9 x 5 x 0.3 in", "too thick", "N", shape=flat),
        ex("letter", "0.3 oz", "4.5 x 3.5 x 0.1 in", "too small", "N", shape=flat),
        ex("letter", "1 oz", "9 x 5 x 0.1 in", "not flat", "N", shape="box"),
        ex("letter", "1 oz", "9 x 5 x 0.1 in", "no blades in letters", "N", shape=flat,
           contents=["sharp"]),
        ex("large-letter", "6.2 oz", "12 x 9 x 0.3 in", "sheet music: seven ounces begun", "N",
           shape=flat),
        ex("large-letter", "6.2 oz", "12 x 9 x 0.3 in", "the same between boards", "N", shape=flat,
           rigid=True),
        ex("large-letter", "13.1 oz", "12 x 9 x 0.3 in", "over 13 oz", "N", shape=flat),
        ex("large-letter", "6 oz", "12.5 x 12.5 x 0.3 in", "a record is too wide", "N", shape=flat),
        ex("large-letter", "6 oz", "12 x 9 x 0.3 in", "not flat", "N", shape="soft"),
        ex("large-letter", "6 oz", "12 x 9 x 0.3 in", "no liquids in letters", "N", shape=flat,
           contents=["liquid"]),
        ex("light", "3 oz", "7 x 5 x 1 in", "3 oz costs what 4 oz costs", "5"),
        ex("light", "12 oz", "7 x 5 x 2 in", "exactly 12 oz", "8"),
        ex("light", "12.1 oz", "7 x 5 x 2 in", "a tenth of an ounce more", "8"),
        ex("light", "15.999 oz", "9 x 6 x 3 in", "the last light step", "8"),
        ex("light", "16 oz", "9 x 6 x 3 in", "a whole pound is not light", "8"),
        ex("light", "9 oz", "14 x 2 x 2 in", "a roll", "3", shape="tube"),
        ex("light", "9 oz", "24 x 2 x 2 in", "longer than 22 in", "3", shape="tube"),
        ex("light", "9 oz", "13 x 12 x 12 in", "over a cubic foot", "3"),
        ex("light", "9 oz", "8 x 6 x 4 in", "no live creatures", "3", contents=["live"]),
        ex("ground", "4.01 lb", "12 x 9 x 6 in", "a fraction of a pound goes up", "5"),
        ex("ground", "10 lb", "12 x 9 x 6 in", "10.0 lb is ten pounds", "8"),
        ex("ground", "6 lb 2 oz", "13.3 x 10.3 x 6.3 in", "Ohio to California by distance",
           to=us("90210")),
        ex("ground", "3 lb", "9 x 6 x 4 in", "the same post office", to=us("43004")),
        ex("ground", "2 lb", "8 x 6 x 4 in", "zone 9 by list", to=us("96910")),
        ex("ground", "4 lb", "12 x 12 x 12 in", "a cubic foot is not over a cubic foot", "4",
           billable=True),
        ex("ground", "4 lb", "14 x 12 x 12 in", "2,016 / 166 = 12.14, so 13 lb", "4", billable=True),
        ex("ground", "4 lb", "14 x 14 x 12 in", "irregular: 2,352 x 0.785 / 166 = 11.12, so 12 lb",
           "4", shape="irregular", billable=True),
        ex("ground", "30 lb", "36 x 18 x 18 in", "11,664 / 166 = 70.3, but no more than 70 lb; "
           "longer than 30 in, and larger than 2 cubic feet", "2", billable=True),
        ex("ground", "6 lb", "28 x 6 x 5 in", "longer than 22 in", "3"),
        ex("ground", "6 lb", "40 x 5 x 4 in", "longer than 30 in: only the dearer fee", "3"),
        ex("ground", "20 lb", "40 x 18 x 17 in", "length plus girth of 110 in: the large price", "6"),
        ex("ground", "20 lb", "40 x 24 x 22 in", "length plus girth of 132 in", "6"),
        ex("ground", "70.1 lb", "12 x 12 x 10 in", "over 70 lb", "2"),
        ex("ground", "5 lb", "12 x 12 x 10 in", "no live creatures", "2", contents=["live"]),
        ex("ground", "2 lb", "9 x 6 x 4 in", "cover up to 100 is included", "5", cover="100.00"),
        ex("ground", "2 lb", "9 x 6 x 4 in", "cover of 240", "5", cover="240.00"),
        ex("ground", "2 lb", "9 x 6 x 4 in", "cover of 650.01: a hundred past 600 begun", "5",
           cover="650.01"),
        ex("ground", "2 lb", "9 x 6 x 4 in", "no cover past 5,000", "5", cover="5000.01"),
        ex("ground", "2 lb", "9 x 6 x 4 in", "signed for", "5", extras=["signature"]),
        ex("ground", "2 lb", "9 x 6 x 4 in", "signed for by an adult, with cover as the last line",
           "5", extras=["signature-adult"], cover="180.00"),
        ex("ground", "2 lb", "9 x 6 x 4 in", "80.00 collected", "5", value="80.00",
           extras=["collect"]),
        ex("cubic", "11 lb", "9.2 x 6.2 x 3.1 in", "rounded down to 9 x 6 x 3 in: 0.094 ft3", "8"),
        ex("cubic", "11 lb", "9.25 x 6.5 x 3 in", "180.375 in3: past 0.1 ft3", "8"),
        ex("cubic", "20.5 lb", "9 x 6 x 3 in", "over 20 lb", "8"),
        ex("cubic", "5 lb", "18.5 x 4 x 4 in", "longer than 18 in", "8"),
        ex("cubic", "5 lb", "12 x 9 x 8.25 in", "891 in3 is over half a cubic foot", "8"),
        ex("cubic", "5 lb", "15 x 3 x 3 in", "no rolls", "8", shape="tube"),
        ex("cubic", "5 lb", "9 x 6 x 3 in", "no live creatures", "8", contents=["live"]),
        ex("media", "3.2 lb", "12 x 9 x 4 in", "books: four pounds begun", "N", contents=["media"]),
        ex("media", "9 oz", "13 x 13 x 0.8 in", "a record: the first pound", "N", contents=["media"]),
        ex("media", "3.2 lb", "12 x 9 x 4 in", "a board game is not media", "N"),
        ex("media", "71 lb", "20 x 14 x 12 in", "over 70 lb", "N", contents=["media"]),
        ex("media", "40 lb", "36 x 20 x 18 in", "length plus girth of 112 in", "N",
           contents=["media"]),
        ex("swift", "3.4 lb", "12 x 9 x 6 in", "four pounds begun", "7"),
        ex("swift", "3.4 lb", "14 x 12 x 12 in", "near zones: by weight alone", "4", billable=True),
        ex("swift", "3.4 lb", "14.5 x 12 x 12.4 in", "far zones: 15 x 12 x 12 in, 2,160 / 166, so "
           "14 lb", "7", billable=True),
        ex("swift", "8 lb", "32 x 14 x 14 in", "88 in of length plus girth: 20 lb at least; and the "
           "fee for 30 in; and for 2 cubic feet", "4", billable=True),
        ex("swift", "6 lb", "15 x 15 x 15 in", "irregular: 3,375 x 0.785 / 166 = 15.96", "8",
           shape="irregular", billable=True),
        ex("swift", "2 lb", "12.24 x 12.24 x 8.24 in", "the carrier's box, by weight", "4",
           packaging="hl-swift-box"),
        ex("swift", "2 lb", "38 x 6 x 6 in", "the carrier's tube, by weight", "4",
           packaging="hl-swift-tube", shape="tube"),
        ex("swift", "70.1 lb", "12 x 12 x 12 in", "over 70 lb", "4"),
        ex("swift", "20 lb", "40 x 20 x 15 in", "length plus girth of 110 in", "4"),
        ex("swift", "5 lb", "9 x 6 x 4 in", "no live creatures", "4", contents=["live"]),
        ex("swift", "14 oz", "6 x 4 x 4 in", "perfume never by air", "4",
           contents=["liquid", "flammable_liquid"]),
        ex("swift", "2 lb", "11.49 x 8.99 x 5.49 in", "a flat-price box has a service of its own",
           "4", packaging="hl-box-m"),
        ex("flat-envelope", "9 oz", "12.29 x 9.29 x 0.4 in", "flat price", "N",
           packaging="hl-envelope", shape=flat),
        ex("flat-envelope", "1.5 lb", "14.79 x 9.29 x 0.6 in", "flat price, long", "N",
           packaging="hl-envelope-long", shape=flat),
        ex("flat-envelope", "2 lb", "9 x 7 x 1.5 in", "flat price, padded", to=us("97005"),
           packaging="hl-envelope-padded", shape="soft"),
        ex("flat-envelope", "9 oz", "12 x 9 x 0.4 in", "not in one's own envelope", "N", shape=flat),
        ex("flat-envelope", "70.5 lb", "9 x 7 x 1.5 in", "over 70 lb", "N",
           packaging="hl-envelope-padded", shape="soft"),
        ex("flat-envelope", "1 lb", "9 x 7 x 1.5 in", "no live creatures", "N",
           packaging="hl-envelope-padded", shape="soft", contents=["live"]),
        ex("flat-box", "4 lb", "8.62 x 5.37 x 1.72 in", "small", "N", packaging="hl-box-s"),
        ex("flat-box", "24 lb", "11.49 x 8.99 x 5.49 in", "heavy and far: medium",
           to=us("97005"), packaging="hl-box-m"),
        ex("flat-box", "6 lb", "13.74 x 11.74 x 3.74 in", "medium, low", "N",
           packaging="hl-box-m-low"),
        ex("flat-box", "41 lb", "12.49 x 11.99 x 6.24 in", "large", "N", packaging="hl-box-l"),
        ex("flat-box", "71 lb", "12.49 x 11.99 x 6.24 in", "over 70 lb", "N", packaging="hl-box-l"),
        ex("flat-box", "7 lb", "12.49 x 11.99 x 6.24 in", "no live creatures", "N",
           packaging="hl-box-l", contents=["live"]),
        ex("flat-box", "4 lb", "11.49 x 8.99 x 5.49 in", "not in one's own box", "N"),
        ex("flat-box", "4 lb", "11.49 x 8.99 x 5.49 in", "not abroad", to=land("DE", "10115"),
           packaging="hl-box-m"),
        ex("zone-box", "6 lb", "10.24 x 7.24 x 4.99 in", "box A near", "2", packaging="hl-zone-a"),
        ex("zone-box", "18 lb", "12.24 x 10.49 x 5.24 in", "box B far", "8", packaging="hl-zone-b"),
        ex("zone-box", "15.1 lb", "10.24 x 7.24 x 4.99 in", "box A holds 15 lb", "2",
           packaging="hl-zone-a"),
        ex("zone-box", "20.1 lb", "12.24 x 10.49 x 5.24 in", "box B holds 20 lb", "2",
           packaging="hl-zone-b"),
        ex("zone-box", "3 lb", "12.24 x 10.49 x 5.24 in", "no live creatures", "2",
           packaging="hl-zone-b", contents=["live"]),
        ex("noon", "7 oz", "9 x 6 x 1 in", "the first half pound", "8"),
        ex("noon", "1.1 lb", "9 x 6 x 4 in", "1.5 lb, so the 2 lb row", "3", billable=True),
        ex("noon", "3 lb", "16 x 12 x 12 in", "2,304 / 166 = 13.88, so 14 lb", "3", billable=True),
        ex("noon", "3 lb", "26 x 8 x 8 in", "longer than 22 in", "3"),
        ex("noon", "3 lb", "14 x 10 x 8 in", "live creatures, with care", "3", contents=["live"]),
        ex("noon", "71 lb", "14 x 10 x 8 in", "over 70 lb", "3"),
        ex("noon", "20 lb", "40 x 20 x 15 in", "length plus girth of 110 in", "3"),
        ex("overseas-packet", "13 oz", "8 x 6 x 2 in", "the 16 oz row", to=land("DE", "10115")),
        ex("overseas-packet", "13 oz", "20 x 3 x 3 in", "a roll", "C", shape="tube"),
        ex("overseas-packet", "71 oz", "8 x 6 x 2 in", "over 70 oz", "E"),
        ex("overseas-packet", "20 oz", "16 x 12 x 9 in", "37 in in all", "E"),
        ex("overseas-packet", "20 oz", "23 x 9.5 x 9.5 in", "a roll of 42 in in all", "E",
           shape="tube"),
        ex("overseas-packet", "20 oz", "25 x 3 x 3 in", "longer than 24 in", "E", shape="tube"),
        ex("overseas-packet", "20 oz", "8 x 6 x 2 in", "no liquids by packet", "E",
           contents=["liquid"]),
        ex("overseas-parcel", "7.3 lb", "14 x 11 x 6 in", "eight pounds begun", "P"),
        ex("overseas-parcel", "5 lb", "18 x 14 x 8 in", "2,016 / 166 = 12.14, so 13 lb", "E",
           billable=True),
        ex("overseas-parcel", "67 lb", "14 x 11 x 6 in", "over 66 lb", "P"),
        ex("overseas-parcel", "20 lb", "40 x 20 x 15 in", "length plus girth of 110 in", "P"),
        ex("overseas-parcel", "20 lb", "20 x 10 x 8 in", "nothing perishable", "P",
           contents=["perishable"]),
        ex("overseas-parcel", "5 lb", "24 x 10 x 6 in", "longer than 22 in, signed for", "C",
           extras=["signature"]),
    ]
    if version == "2026-07":
        examples += [
            ex("ground", "4.01 lb", "12 x 9 x 6 in", "peak season begins on this day", "5",
               date="2026-10-04"),
            ex("ground", "4.01 lb", "12 x 9 x 6 in", "the day before", "5", date="2026-10-03"),
            ex("ground", "33 lb", "12 x 9 x 6 in", "peak season, heavy", "5", date="2026-12-01"),
        ]
    return document("harbourline", "Harbourline Post", title, "USD", start, until,
                    ("0.01", "0.01", "half_up"), zones, packaging, services, surcharges, extras,
                    examples)


def document(code, name, title, currency, start, until, rounding, zones, packaging, services,
             surcharges, extras, examples):
    in_force = {"from": start, **({"until": until} if until else {})}
    return {"format": "tarewise-tariff-1", "carrier": {"code": code, "name": name},
            "title": title, "source": SOURCE, "currency": currency, "in_force": in_force,
            "rounding": {"line": d(rounding[0]), "total": d(rounding[1]), "mode": rounding[2]},
            "zones": zones, "packaging": packaging, "services": services,
            "surcharges": surcharges, "extras": extras, "examples": examples}


# --- Fenwick & Dray -----------------------------------------------------------------------------

FD_ZONES = ["2", "3", "4", "5", "6", "7", "8", "9", "10"]
FD_VERSIONS = [
    ("2026-01", "2026-01-04", "2026-07-11", "Service guide, first half of 2026"),
    ("2026-07", "2026-07-12", "2027-01-02", "Service guide, second half of 2026"),
]
# Percent of the listed charges by the day it begins: a month each at first, a week each since July.
FD_FUEL = {
    "2026-01": [("2026-01-04", "17.25", "19.50"), ("2026-02-02", "17.50", "19.75"),
                ("2026-03-02", "17.25", "19.25"), ("2026-04-06", "17.75", "20.00"),
                ("2026-05-04", "18.00", "20.25"), ("2026-06-01", "18.25", "20.75")],
    "2026-07": [("2026-07-12", "18.50", "21.00"), ("2026-07-20", "18.25", "20.75"),
                ("2026-07-27", "18.25", "20.50"), ("2026-08-03", "18.00", "20.25"),
                ("2026-08-10", "18.25", "20.25"), ("2026-08-17", "18.50", "20.50"),
                ("2026-08-24", "18.75", "21.00"), ("2026-08-31", "18.75", "21.25"),
                ("2026-09-07", "19.00", "21.25"), ("2026-09-14", "19.00", "21.50")],
}


def day_before(day):
    import datetime
    return (datetime.date.fromisoformat(day) - datetime.timedelta(days=1)).isoformat()


def pair_list(origin, gazetteer, edges, skip):
    """An explicit zone list: ranges of three-digit areas by distance from one area, rounded off."""
    start = gazetteer[("US", origin)]
    zones = {}
    for (_, prefix), at in sorted(gazetteer.items()):
        if prefix not in skip:
            miles = worked_prices.distance_km(start, at) / 1.609344
            zones[prefix] = str(2 + sum(miles > e for e in edges))
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
        rise = d("0.047") if w <= 10 else d("0.059") if w <= 70 else d("0.052")
        return 1 / (1 + rise + (d("0.011") if zone in ("9", "10") else 0))

    index = d(1) if version == "2026-07" else d("0.945")
    fee = lambda x: quarter(d(x) * index)
    far = lambda near, more: {"by_zone": {
        "2": fee(near), "3": fee(d(near) + d(more) / 2), "4": fee(d(near) + d(more) / 2),
        "*": fee(d(near) + d(more))}}

    def file_grid(name, price, missing=()):
        file = f"fenwick-dray-{version}-{name}.csv"
        grids[file] = (FD_ZONES, grid(f"fd-{name}", FD_ZONES, range(1, 151), price, level,
                                      missing=missing))
        return {"table": {"by": "billable_weight", "unit": "lb", "csv": file}}

    ground = file_grid("ground", lambda w, f: d("10.4") + 3 * f + (w - 1)**d("0.86") *
                       (d("0.55") + d("1.05") * f))
    three = file_grid("three-day", lambda w, f: d("17.5") + 9 * f + (w - 1)**d("0.9") *
                      (d("1.1") + 2 * f), missing=("9", "10"))
    two = file_grid("two-day", lambda w, f: d("24") + 12 * f + (w - 1)**d("0.9") *
                    (d("1.7") + d("3.1") * f))
    next_day = file_grid("next-day", lambda w, f: d("40") + 32 * f + (w - 1)**d("0.9") *
                         (d("2.6") + d("4.2") * f))
    economy_zones = FD_ZONES[:7]
    economy = [[b] + [cents((d("4.65") + d("1.1") * d(FAR[z]) + d(o)**d("0.85") *
                             (d("0.13") + d("0.14") * d(FAR[z]))) * level(Decimal(1), z))
                      for z in economy_zones]
               for b, o in [(f"{n} oz", n) for n in range(1, 16)] +
               [(f"{n} lb", 16 * n) for n in range(1, 11)]]
    pak = [[b] + [cents((d("33") + d("24") * d(FAR[z]) + d(b) * (d("2.2") + d("3.3") * d(FAR[z]))) *
                        level(Decimal(1), z)) for z in FD_ZONES] for b in ("1", "2", "3")]

    oversize_test = {"any": [{"length": {"over": "96 in"}},
                             {"length_plus_girth": {"over": "130 in"}}]}
    every_parcel = {
        "sides": {"round": "up", "to": "1 in"}, "weight": {"round": "up", "to": "1 lb"},
        "dimensional": [{"volume_per_weight": "139 in3/lb"}],
        "at_least": [{"when": oversize_test, "weight": "90 lb"}]}
    limits = [
        refuse({"weight": {"over": "150 lb"}}, "heavier than 150 lb"),
        refuse({"length": {"over": "108 in"}}, "longer than 108 in"),
        refuse({"length_plus_girth": {"over": "165 in"}}, "length plus girth over 165 in"),
        refuse({"destination": {"in": ["US:969"]}}, "the far Pacific islands are not served")]
    no_life = not_taken(["live", "perishable"], "nothing alive or perishable")
    no_cells = not_taken(["lithium_alone"], "lithium cells alone are not taken")
    no_hazard = not_taken(NO_HAZARD, "regulated goods go by Ground only")

    fuel, last = [], [f for f in FD_FUEL[version]]
    for i, (day, surface, air) in enumerate(last):
        end = day_before(last[i + 1][0]) if i + 1 < len(last) else until
        words = (f"from {day} until {end}" if version == "2026-01" else
                 f"week of {day}" if i + 1 < len(last) else f"from {day} until the next notice")
        named = ["base", "handling-weight", "handling-length", "handling-packaging", "oversize",
                 "residential"] + (["demand"] if version == "2026-07" else [])
        fuel.append({"code": f"fuel-surface-{day}", "title": f"Fuel by surface, {words}",
                     "when": {"mode": {"is": "surface"}, "date": {"from": day, "until": end}},
                     "percent": d(surface), "of": ["*"]})
        fuel.append({"code": f"fuel-air-{day}", "title": f"Fuel by air, {words}",
                     "when": {"mode": {"is": ["air", "any"]}, "date": {"from": day, "until": end}},
                     "percent": d(air), "of": named})
    surface_fuel = [f["code"] for f in fuel if "-surface-" in f["code"]]
    air_fuel = [f["code"] for f in fuel if "-air-" in f["code"]]
    handling = ["handling-weight", "handling-length", "handling-packaging", "oversize"]
    demand = ["demand"] if version == "2026-07" else []
    common = handling + ["residential", "remote", "remote-far", "value-check"] + demand

    services = [
        {"code": "ground", "title": "Fenwick & Dray Ground", "zones": "main",
         "days": {"2": [1, 1], "3": [2, 2], "4": [2, 3], "5": [3, 3], "6": [3, 4], "7": [4, 4],
                  "8": [4, 5], "*": [5, 8]},
         "tracked": True, "mode": "surface", "measure": every_parcel,
         "refuse": limits + [no_life, no_cells],
         "prices": [ground], "surcharges": common + ["regulated"] + surface_fuel,
         "extras": ["cover", "signature", "signature-adult", "collect"], "included_cover": "100"},
        {"code": "doorstep", "title": "Fenwick & Dray Doorstep", "zones": "main",
         "days": {"2": [1, 2], "3": [2, 3], "4": [2, 4], "5": [3, 4], "6": [3, 5], "7": [4, 5],
                  "8": [4, 6], "*": [6, 9]},
         "tracked": True, "mode": "surface", "measure": every_parcel,
         "refuse": limits + [
             refuse({"residential": False}, "homes only"),
             refuse({"billable_weight": {"over": "70 lb"}}, "billable weight over 70 lb"),
             no_life, no_hazard],
         "prices": [ground],
         "surcharges": handling[:3] + [
             {"code": "home", "title": "Delivery to a home", "amount": fee("4.85")},
             "remote", "remote-far", "value-check"] + demand + surface_fuel,
         "extras": ["cover", "signature", "signature-adult"], "included_cover": "100"},
        {"code": "economy", "title": "Fenwick & Dray Light Economy", "zones": "lower",
         "days": {"2": [2, 4], "*": [4, 8]}, "tracked": True, "mode": "surface",
         "measure": {"sides": {"round": "up", "to": "1 in"},
                     "dimensional": [{"when": {"any": [{"weight": {"at_least": "1 lb"}},
                                                       {"volume": {"over": "1000 in3"}}]},
                                      "volume_per_weight": "166 in3/lb"}]},
         "refuse": [
             refuse({"billable_weight": {"over": "10 lb"}}, "billable weight over 10 lb"),
             refuse({"any": [{"length": {"over": "27 in"}}, {"width": {"over": "17 in"}},
                             {"height": {"over": "17 in"}}]}, "larger than 27 x 17 x 17 in"),
             no_life, no_hazard],
         "prices": [inline("billable_weight", "lb", economy_zones, economy)],
         "surcharges": surface_fuel, "extras": ["cover"]},
        {"code": "three-day", "title": "Fenwick & Dray Three-Day", "zones": "main",
         "days": {"*": [2, 3]}, "tracked": True, "mode": "any", "measure": every_parcel,
         "refuse": limits + [no_life, no_hazard], "prices": [three],
         "surcharges": common + air_fuel,
         "extras": ["cover", "signature", "signature-adult"], "included_cover": "100"},
        {"code": "two-day", "title": "Fenwick & Dray Two-Day", "zones": "main",
         "days": {"9": [2, 3], "10": [2, 3], "*": [2, 2]}, "tracked": True, "mode": "air",
         "measure": every_parcel, "refuse": limits + [no_life, no_hazard], "prices": [two],
         "surcharges": common + ["screening"] + air_fuel,
         "extras": ["cover", "signature", "signature-adult"], "included_cover": "100"},
        {"code": "next-day", "title": "Fenwick & Dray Next Day", "zones": "main",
         "days": {"9": [2, 2], "10": [2, 3], "*": [1, 1]}, "tracked": True, "mode": "air",
         "measure": every_parcel, "refuse": limits + [no_life, no_hazard], "prices": [next_day],
         "surcharges": common + ["screening"] + air_fuel,
         "extras": ["cover", "signature", "signature-adult"], "included_cover": "100"},
        {"code": "pouch", "title": "Fenwick & Dray Next Day Pouch", "zones": "main",
         "days": {"9": [2, 2], "10": [2, 3], "*": [1, 1]}, "tracked": True, "mode": "air",
         "packaging": {"own": False, "issued": ["fd-document", "fd-pouch"]},
         "refuse": [
             refuse({"packaging": {"is": "fd-document"}, "weight": {"over": "8 oz"}},
                    "the document envelope holds 8 oz"),
             refuse({"packaging": {"is": "fd-pouch"}, "weight": {"over": "3 lb"}},
                    "the pouch holds 3 lb"), limits[3], no_life, no_hazard],
         "prices": [
             when({"packaging": {"is": "fd-document"}},
                  by_zone(FD_ZONES, lambda f: d("31") + 23 * f, level)),
             when({"packaging": {"is": "fd-pouch"}}, inline("weight", "lb", FD_ZONES, pak))],
         "surcharges": ["residential", "remote", "remote-far", "screening"] + air_fuel,
         "extras": ["cover", "signature", "signature-adult"], "included_cover": "100"},
    ]
    surcharges = [
        {"code": "handling-weight", "title": "Handling: over 50 lb", "group": "handling",
         "when": {"weight": {"over": "50 lb"}}, **far("28.50", "6.50")},
        {"code": "handling-length", "title": "Handling: over 48 in, or second side over 30 in",
         "group": "handling", "when": {"any": [{"length": {"over": "48 in"}},
                                               {"width": {"over": "30 in"}}]},
         **far("19.25", "5")},
        {"code": "handling-packaging", "title": "Handling: not in a carton or pack",
         "group": "handling", "when": {"packaging_kind": {"is": ["bare", "tube"]}},
         **far("16.75", "4")},
        {"code": "oversize", "title": "Oversize", "when": oversize_test,
         "replaces": ["handling-weight", "handling-length", "handling-packaging"],
         **far("118", "24")},
        {"code": "residential", "title": "Delivery to a home", "when": {"residential": True},
         "amount": fee("5.95")},
        {"code": "remote", "title": "Remote delivery area", "group": "remote",
         "when": {"destination": {"in": ["US:590-593", "US:677", "US:693", "US:797-798", "US:821",
                                         "US:830-831", "US:898", "US:967-968", "US:995-999"]}},
         "amount": fee("4.40")},
        {"code": "remote-far", "title": "Far remote delivery area", "group": "remote",
         "when": {"destination": {"in": ["US:995-999"]}}, "amount": fee("14.20")},
        {"code": "value-check", "title": "Goods worth more than 1,000",
         "when": {"value": {"over": "1000"}},
         "per": {"measure": "value", "step": "1000", "first": fee("3.50"), "each": fee("2.25")}},
        {"code": "regulated", "title": "Regulated goods by surface",
         "when": {"contents": {"has_any": ["flammable_liquid", "aerosol"]}},
         "amount": fee("32.50")},
        {"code": "screening", "title": "Screening before flight", "when": {"mode": {"is": "air"}},
         "amount": fee("0.85")},
    ]
    if version == "2026-07":
        surcharges.append(
            {"code": "demand", "title": "Peak demand", "when": {
                "all": [{"date": {"from": "2026-09-27", "until": "2027-01-02"}},
                        {"not": {"all": [{"residential": False},
                                         {"billable_weight": {"up_to": "50 lb"}}]}}]},
             **step_table("billable_weight", "lb", [("20", "0.60"), ("50", "1.35"),
                                                    ("150", "6.75")])})
    surcharges += fuel
    extras = [
        {"code": "cover", "title": "Declared cover", "when": {"cover": {"up_to": "50000"}},
         "per": {"measure": "cover", "step": "100", "first": fee("1.45"), "each": fee("1.45")}},
        {"code": "signature", "title": "Signature on delivery", "amount": fee("6.60")},
        {"code": "signature-adult", "title": "Signature of an adult", "amount": fee("7.90")},
        {"code": "collect", "title": "Money collected on delivery", "when": {"all": [
            {"value": {"up_to": "2000"}}, {"not": {"extras": {"has": "signature"}}}]},
         "amount": fee("17.50")},
    ]
    packaging = [
        {"code": "fd-document", "title": "Document envelope", "kind": "envelope",
         "inside": "9.25 x 12.25 in", "thickness": "0.5 in", "wall": "0.02 in", "tare": "1.2 oz",
         "cost": d("0.00")},
        {"code": "fd-pouch", "title": "Courier pouch", "kind": "mailer", "inside": "12 x 15 in",
         "wall": "0.01 in", "tare": "0.9 oz", "cost": d("0.00")},
    ]
    skip = {p for c, p in gazetteer if p[:2] == "00" or p in ("967", "968", "969") or
            "995" <= p <= "999"}
    edges = (150, 300, 600, 1000, 1400, 1800)
    lower = {"430-439": pair_list("432", gazetteer, edges, skip),
             "900-908": pair_list("900", gazetteer, edges, skip)}
    bands = [{"zone": str(i + 2), "up_to": f"{m} mi"} for i, m in enumerate(edges)]
    zones = {
        "main": [
            {"kind": "regions", "zones": {"9": ["US:967-968", "US:995-999"], "10": ["US:006-009"]}},
            {"kind": "pairs", "from": {f"US:{o}": z for o, z in lower.items()}},
            {"kind": "distance", "bands": bands + [{"zone": "8"}]}],
        "lower": [
            {"kind": "pairs", "from": {f"US:{o}": z for o, z in lower.items()}},
            {"kind": "distance", "bands": bands + [{"zone": "8", "up_to": "2900 mi"}]}],
    }
    home = {"residential": True}
    examples = [
        ex("ground", "3.2 lb", "10 x 8 x 6 in", "480 / 139 = 3.45: four pounds either way", "5",
           billable=True),
        ex("ground", "4.5 lb", "13.3 x 10.3 x 6.3 in", "sides up to 14 x 11 x 7 in: 1,078 / 139 = "
           "7.76, so 8 lb", to=us("90210", True), billable=True),
        ex("ground", "8 lb", "12 x 9 x 5 in", "to a home", "4", **home),
        ex("ground", "61 lb", "20 x 16 x 12 in", "over 50 lb", "3"),
        ex("ground", "61 lb", "50 x 12 x 12 in", "over 50 lb and over 48 in: only the dearer", "2"),
        ex("ground", "20 lb", "52 x 8 x 8 in", "over 48 in", "6"),
        ex("ground", "20 lb", "32 x 31 x 6 in", "second side over 30 in", "6"),
        ex("ground", "20 lb", "24 x 14 x 12 in", "not in a carton", "6", shape="irregular"),
        ex("ground", "96 lb", "46 x 34 x 11 in", "a floor loom, crated: oversize replaces "
           "handling; 17,204 / 139 = 123.8, so 124 lb", "3", shape="irregular", billable=True),
        ex("ground", "90 lb", "62 x 26 x 25 in", "40,300 / 139 = 289.9 lb is past the last row",
           "3"),
        ex("ground", "70 lb", "78 x 16 x 12 in", "134 in of length plus girth: oversize replaces "
           "handling, 14,976 / 139 = 107.7", "3", shape="irregular", billable=True),
        ex("ground", "30 lb", "98 x 6 x 6 in", "longer than 96 in: 90 lb at least", "8",
           billable=True),
        ex("ground", "150.5 lb", "20 x 16 x 12 in", "over 150 lb", "3"),
        ex("ground", "30 lb", "108.5 x 6 x 6 in", "rounded up to 109 in", "3"),
        ex("ground", "30 lb", "60 x 30 x 23 in", "166 in of length plus girth", "3"),
        ex("ground", "30 lb", "20 x 16 x 12 in", "Guam", to=us("96910")),
        ex("ground", "3 lb", "10 x 8 x 6 in", "nothing alive", "3", contents=["live"]),
        ex("ground", "3 lb", "10 x 8 x 6 in", "lithium cells alone", "3", contents=["lithium_alone"]),
        ex("ground", "14 oz", "6 x 4 x 4 in", "perfume by surface", "5",
           contents=["liquid", "flammable_liquid"]),
        ex("ground", "5 lb", "10 x 8 x 6 in", "Hawaii by list, remote", to=us("96813", False)),
        ex("ground", "5 lb", "10 x 8 x 6 in", "Alaska: only the dearer of two remote charges",
           to=us("99501", False)),
        ex("ground", "5 lb", "10 x 8 x 6 in", "Puerto Rico by list", to=us("00901", False)),
        ex("ground", "5 lb", "10 x 8 x 6 in", "from New York by distance", to=us("60601", False),
           frm=us("10001")),
        ex("ground", "5 lb", "10 x 8 x 6 in", "goods worth 2,400", "5", value="2400.00"),
        ex("ground", "5 lb", "10 x 8 x 6 in", "cover of 350: four hundreds begun", "5",
           cover="350.00"),
        ex("ground", "5 lb", "10 x 8 x 6 in", "signed for", "5", extras=["signature"]),
        ex("ground", "5 lb", "10 x 8 x 6 in", "money collected", "5", value="120.00",
           extras=["collect"]),
        ex("ground", "5 lb", "10 x 8 x 6 in", "collecting is a signature already", "5",
           value="120.00", extras=["signature", "collect"]),
        ex("doorstep", "8 lb", "12 x 9 x 5 in", "to a home", "4", **home),
        ex("doorstep", "8 lb", "12 x 9 x 5 in", "not to a shop", "4", residential=False),
        ex("doorstep", "8 lb", "26 x 20 x 20 in", "10,400 / 139 = 74.8, so 75 lb", "4", **home),
        ex("doorstep", "55 lb", "18 x 14 x 12 in", "over 50 lb", "4", **home),
        ex("doorstep", "30 lb", "109 x 6 x 6 in", "longer than 108 in", "4", **home),
        ex("doorstep", "151 lb", "18 x 14 x 12 in", "over 150 lb", "4", **home),
        ex("doorstep", "30 lb", "60 x 30 x 23 in", "166 in of length plus girth", "4", **home),
        ex("doorstep", "3 lb", "10 x 8 x 6 in", "Guam", to=us("96910", True)),
        ex("doorstep", "3 lb", "10 x 8 x 6 in", "nothing perishable", "4", contents=["perishable"],
           **home),
        ex("doorstep", "3 lb", "10 x 8 x 6 in", "no aerosols", "4", contents=["aerosol"], **home),
        ex("doorstep", "20 lb", "97 x 6 x 6 in", "90 lb at least is over 70 lb", "4", **home),
        ex("economy", "5.4 oz", "7 x 5 x 2 in", "six ounces begun", "6"),
        ex("economy", "15.5 oz", "7 x 5 x 2 in", "over 15 oz: the pound row", "6"),
        ex("economy", "1.2 lb", "11 x 8 x 6 in", "528 / 166 = 3.18, so the 4 lb row", "6"),
        ex("economy", "12 oz", "12 x 10 x 9 in", "1,080 / 166 = 6.51 lb", "6"),
        ex("economy", "10.2 lb", "7 x 5 x 2 in", "over 10 lb", "6"),
        ex("economy", "2 lb", "28 x 4 x 4 in", "longer than 27 in", "6"),
        ex("economy", "2 lb", "8 x 4 x 4 in", "nothing alive", "6", contents=["live"]),
        ex("economy", "2 lb", "8 x 4 x 4 in", "no lithium cells alone", "6",
           contents=["lithium_alone"]),
        ex("economy", "2 lb", "8 x 4 x 4 in", "Hawaii is past the last band", frm=us("10001"),
           to=us("96813")),
        ex("three-day", "6 lb", "12 x 9 x 6 in", "six pounds", "7"),
        ex("three-day", "6 lb", "12 x 9 x 6 in", "not to Alaska and Hawaii", "9"),
        ex("three-day", "6 lb", "60 x 40 x 5 in", "oversize: fuel on the charges it names", "2"),
        ex("three-day", "151 lb", "12 x 9 x 6 in", "over 150 lb", "7"),
        ex("three-day", "6 lb", "110 x 6 x 6 in", "longer than 108 in", "7"),
        ex("three-day", "6 lb", "60 x 30 x 23 in", "166 in of length plus girth", "7"),
        ex("three-day", "6 lb", "12 x 9 x 6 in", "Guam", to=us("96910")),
        ex("three-day", "6 lb", "12 x 9 x 6 in", "nothing alive", "7", contents=["live"]),
        ex("three-day", "6 lb", "12 x 9 x 6 in", "no flammable liquids", "7",
           contents=["flammable_liquid"]),
        ex("two-day", "2 lb", "9 x 6 x 4 in", "screened before flight", "8", **home),
        ex("two-day", "30 lb", "98 x 6 x 6 in", "longer than 96 in: 90 lb at least", "8"),
        ex("two-day", "151 lb", "12 x 9 x 6 in", "over 150 lb", "7"),
        ex("two-day", "6 lb", "110 x 6 x 6 in", "longer than 108 in", "7"),
        ex("two-day", "6 lb", "60 x 30 x 23 in", "166 in of length plus girth", "7"),
        ex("two-day", "6 lb", "12 x 9 x 6 in", "Guam", to=us("96910")),
        ex("two-day", "6 lb", "12 x 9 x 6 in", "nothing perishable", "7", contents=["perishable"]),
        ex("two-day", "6 lb", "12 x 9 x 6 in", "no lithium cells alone", "7",
           contents=["lithium_alone"]),
        ex("next-day", "2 lb", "9 x 6 x 4 in", "signed for by an adult", "8",
           extras=["signature-adult"]),
        ex("next-day", "30 lb", "98 x 6 x 6 in", "longer than 96 in: 90 lb at least", "8"),
        ex("next-day", "151 lb", "12 x 9 x 6 in", "over 150 lb", "7"),
        ex("next-day", "6 lb", "110 x 6 x 6 in", "longer than 108 in", "7"),
        ex("next-day", "6 lb", "60 x 30 x 23 in", "166 in of length plus girth", "7"),
        ex("next-day", "6 lb", "12 x 9 x 6 in", "Guam", to=us("96910")),
        ex("next-day", "6 lb", "12 x 9 x 6 in", "nothing alive", "7", contents=["live"]),
        ex("next-day", "6 lb", "12 x 9 x 6 in", "no aerosols", "7", contents=["aerosol"]),
        ex("pouch", "6 oz", "12.29 x 9.29 x 0.3 in", "a document by zone", "8", shape="flat",
           packaging="fd-document"),
        ex("pouch", "8.1 oz", "12.29 x 9.29 x 0.3 in", "the envelope holds 8 oz", "8", shape="flat",
           packaging="fd-document"),
        ex("pouch", "1.2 lb", "12 x 9 x 2 in", "the 2 lb row", "4", shape="soft",
           packaging="fd-pouch"),
        ex("pouch", "3.1 lb", "12 x 9 x 2 in", "the pouch holds 3 lb", "4", shape="soft",
           packaging="fd-pouch"),
        ex("pouch", "1 lb", "12 x 9 x 2 in", "Guam", to=us("96910"), shape="soft",
           packaging="fd-pouch"),
        ex("pouch", "1 lb", "12 x 9 x 2 in", "nothing perishable", "4", shape="soft",
           packaging="fd-pouch", contents=["perishable"]),
        ex("pouch", "1 lb", "12 x 9 x 2 in", "no flammable liquids", "4", shape="soft",
           packaging="fd-pouch", contents=["flammable_liquid"]),
        ex("pouch", "1 lb", "12 x 9 x 2 in", "not in one's own pack", "4", shape="soft"),
    ]
    for day, surface, air in FD_FUEL[version]:
        examples.append(ex("ground", "5 lb", "10 x 8 x 6 in", f"surface fuel of {surface} %", "5",
                           date=day))
        examples.append(ex("two-day", "5 lb", "10 x 8 x 6 in", f"air fuel of {air} %", "5",
                           date=day))
    if version == "2026-07":
        examples += [
            ex("ground", "8 lb", "12 x 9 x 5 in", "peak demand, to a home", "4", date="2026-11-30",
               **home),
            ex("ground", "8 lb", "12 x 9 x 5 in", "peak demand spares light parcels to shops", "4",
               date="2026-11-30"),
            ex("ground", "80 lb", "20 x 16 x 12 in", "peak demand, heavy", "4", date="2026-11-30"),
        ]
    return document("fenwick-dray", "Fenwick & Dray", title, "USD", start, until,
                    ("0.01", "0.01", "half_up"), zones, packaging, services, surcharges, extras,
                    examples)


def fenwick_terms(version, start, until):
    more = version == "2026-07"
    return {
        "format": "tarewise-terms-1", "carrier": "fenwick-dray",
        "in_force": {"from": start, "until": until},
        "discounts": [
            {"services": ["ground", "doorstep"], "when": {"billable_weight": {"up_to": "20 lb"}},
             "percent": d("46.5") if more else d("44"), "of": ["base"],
             "floor": d("8.15") if more else d("7.85")},
            {"services": ["ground", "doorstep"], "when": {"billable_weight": {"over": "20 lb"}},
             "percent": d("38"), "of": ["base"], "floor": d("8.15") if more else d("7.85")},
            {"services": ["economy"], "percent": d("12"), "of": ["base"], "floor": d("4.60")},
            {"services": ["three-day", "two-day"], "percent": d("52.5"), "of": ["base"],
             "floor": d("11.40")},
            {"services": ["next-day", "pouch"], "when": {"not": {"zone": {"is": ["9", "10"]}}},
             "percent": d("36"), "of": ["base"], "floor": d("19.75")},
            {"percent": d("45"), "of": ["residential", "home"]}]}


# --- Larkspur Air -------------------------------------------------------------------------------

LK_VERSIONS = [
    ("2026-02", "2026-02-01", "2026-06-30", "Rates from the United States, spring 2026"),
    ("2026-07", "2026-07-01", None, "Rates from the United States, summer 2026"),
]
LKE_VERSIONS = [
    ("2026-02", "2026-02-01", "2026-06-30", "Rates in Europe, spring 2026"),
    ("2026-07", "2026-07-01", None, "Rates in Europe, summer 2026"),
]
EUROPE = ["AT", "BE", "DE", "DK", "ES", "FR", "IE", "IT", "LU", "NL", "PT", "SE"]
HALF_KILOS = [f"{n / 2:.1f}" for n in range(1, 61)]


def larkspur(version, start, until, title, grids):
    now = version == "2026-07"

    def level(w, zone):
        return Decimal(1) if now else 1 / (d("1.039") if w <= 5 else d("1.056"))

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

    one_day = file_grid("one-day", home_zones, lambda w, f: d("27") + d("14") * f +
                        (w - d("0.5"))**d("0.92") * (d("3.6") + d("4.9") * f), missing=("D",),
                        add=["6.40", "9.10", "12.20", "0"])
    two_day = file_grid("two-day", home_zones, lambda w, f: d("14.6") + d("6.2") * f +
                        (w - d("0.5"))**d("0.92") * (d("2.5") + d("3.9") * f),
                        add=["4.90", "7.10", "9.60", "12.80"])
    world = file_grid("world", world_zones, lambda w, f: d("31") + d("19") * f +
                      (w - d("0.5"))**d("0.9") * (d("4.4") + d("6.1") * f),
                      add=["9.20", "13.40", "14.20", "16.90"])
    metric = {"sides": {"round": "nearest", "to": "1 cm"}, "weight": {"round": "up", "to": "0.5 kg"},
              "dimensional": [{"volume_per_weight": "5000 cm3/kg"}]}
    limits = [
        refuse({"weight": {"over": "68 kg"}}, "heavier than 68 kg"),
        refuse({"exact_length": {"over": "270 cm"}}, "longer than 270 cm"),
        refuse({"length_plus_girth": {"over": "330 cm"}}, "length plus girth over 330 cm"),
        not_taken(NO_HAZARD + ["live", "perishable"], "not taken by air")]
    heavy = ["large", "heavy", "own-wrap", "security", "secure-value"]
    services = [
        {"code": "one-day", "title": "Larkspur One Day", "zones": "home",
         "days": {"*": [1, 1]}, "tracked": True, "mode": "air", "measure": metric,
         "refuse": limits, "prices": [one_day], "surcharges": heavy + ["fuel"],
         "extras": ["cover", "signature"], "included_cover": "100"},
        {"code": "two-day", "title": "Larkspur Two Day", "zones": "home",
         "days": {"D": [2, 3], "*": [2, 2]}, "tracked": True, "mode": "air", "measure": metric,
         "refuse": limits, "prices": [two_day], "surcharges": heavy + ["fuel"],
         "extras": ["cover", "signature"], "included_cover": "100"},
        {"code": "box", "title": "Larkspur Box", "zones": "home",
         "days": {"D": [2, 3], "*": [2, 2]}, "tracked": True, "mode": "air",
         "packaging": {"own": False, "issued": ["lk-box-2", "lk-box-5"]},
         "measure": {"weight": {"round": "up", "to": "0.5 kg"}},
         "refuse": [
             refuse({"packaging": {"is": "lk-box-2"}, "weight": {"over": "5 kg"}},
                    "the small box holds 5 kg"),
             refuse({"packaging": {"is": "lk-box-5"}, "weight": {"over": "12 kg"}},
                    "the large box holds 12 kg"), limits[3]],
         "prices": [
             when({"packaging": {"is": "lk-box-2"}},
                  {"by_zone": {"A": fee("18.90"), "B": fee("21.50"), "*": fee("26.40")}}),
             when({"packaging": {"is": "lk-box-5"}},
                  {"by_zone": {"A": fee("27.40"), "B": fee("33.60"), "*": fee("43.80")}}),
             {"per": {"measure": "billable_weight", "step": "0.5 kg", "first": fee("14.80"),
                      "each": fee("3.95")}}],
         "pick": "lowest", "surcharges": ["security", "fuel"],
         "extras": ["cover", "signature"], "included_cover": "100"},
        {"code": "world", "title": "Larkspur World", "zones": "world",
         "days": {"1": [1, 3], "*": [2, 4]}, "tracked": True, "mode": "air", "measure": metric,
         "refuse": limits + [refuse({"girth": {"over": "240 cm"}}, "girth over 240 cm")],
         "prices": [world], "surcharges": heavy + ["export-desk", "fuel"],
         "extras": ["cover", "signature", "duty-paid"], "included_cover": "100"},
    ]
    surcharges = [
        {"code": "large", "title": "Longer than 120 cm, or second side over 80 cm",
         "when": {"any": [{"length": {"over": "120 cm"}}, {"width": {"over": "80 cm"}}]},
         "amount": fee("27")},
        {"code": "heavy", "title": "Heavier than 32 kg", "when": {"weight": {"over": "32 kg"}},
         "amount": fee("39")},
        {"code": "own-wrap", "title": "Not in a box, pack or envelope",
         "when": {"own_packaging": True, "shape": {"is": ["tube", "irregular"]}},
         "amount": fee("11.50")},
        {"code": "security", "title": "Air security", "when": {"mode": {"is": "air"}},
         "amount": fee("1.10")},
        {"code": "secure-value", "title": "Goods worth more than 500",
         "when": {"value": {"over": "500"}},
         "per": {"measure": "value", "step": "500", "first": fee("2"), "each": fee("1.40")}},
        {"code": "export-desk", "title": "Export papers",
         "when": {"not": {"destination": {"in": ["US"]}}}, "amount": fee("3.80")},
        {"code": "fuel", "title": "Fuel", "percent": d("16.75") if now else d("15.5"),
         "of": ["*"]},
    ]
    extras = [
        {"code": "cover", "title": "Cover for loss and damage", "when": {"cover": {"up_to": "25000"}},
         "per": {"measure": "cover", "step": "100", "first": fee("2.60"), "each": fee("1.20")}},
        {"code": "signature", "title": "Signature on delivery", "amount": fee("5.40")},
        {"code": "duty-paid", "title": "Duty and tax paid by the sender",
         "when": {"not": {"zone": {"is": "4"}}}, "amount": fee("19")},
    ]
    packaging = [
        {"code": "lk-box-2", "title": "Larkspur box, small", "kind": "carton",
         "inside": "33 x 25 x 10 cm", "wall": "3 mm", "tare": "210 g", "cost": d("0.00")},
        {"code": "lk-box-5", "title": "Larkspur box, large", "kind": "carton",
         "inside": "40 x 33 x 18 cm", "wall": "4 mm", "tare": "430 g", "cost": d("0.00")},
    ]
    east, middle, west = ["US:010-349"], ["US:350-799"], ["US:800-966", "US:970-994"]
    far = ["US:006-009", "US:967-968", "US:995-999"]
    zones = {
        "home": [{"kind": "pairs", "from": {
            "US:430-459": {"A": ["US:150-169", "US:250-268", "US:400-499"],
                           "B": ["US:010-149", "US:170-249", "US:270-399", "US:500-799"],
                           "C": west, "D": far},
            "US:010-349": {"A": east, "B": middle, "C": west, "D": far},
            "US:350-429": {"A": middle, "B": east + west, "D": far},
            "US:460-799": {"A": middle, "B": east + west, "D": far},
            "US:800-966": {"A": west, "B": middle, "C": east, "D": far},
            "US:970-994": {"A": west, "B": middle, "C": east, "D": far}}}],
        "world": [{"kind": "pairs", "from": {"US": {
            "1": ["CA", "MX"], "2": ["BE", "DE", "FR", "GB", "IE", "LU", "NL"],
            "3": ["AT", "CH", "DK", "ES", "IT", "PT", "SE"], "4": ["AU", "JP", "NZ"]}}}],
    }
    examples = [
        ex("one-day", "0.4 kg", "22 x 16 x 5 cm", "the first half kilogram", "A"),
        ex("one-day", "0.501 kg", "22 x 16 x 5 cm", "a gram more: the next half", "A"),
        ex("one-day", "2 kg", "40 x 30 x 20 cm", "24,000 / 5,000 = 4.8, so 5 kg", "C",
           billable=True),
        ex("one-day", "2 kg", "40.4 x 30.5 x 20 cm", "sides to the nearest centimetre: 40 x 31 x 20, "
           "4.96, so 5 kg", "C", billable=True),
        ex("one-day", "30.2 kg", "50 x 40 x 40 cm", "past 30 kg: a kilogram begun", "B"),
        ex("one-day", "2 kg", "30 x 20 x 10 cm", "not to Alaska, Hawaii and Puerto Rico", "D"),
        ex("one-day", "68.5 kg", "50 x 40 x 40 cm", "over 68 kg", "B"),
        ex("one-day", "9 kg", "271 x 8 x 6 cm", "longer than 270 cm", "B"),
        ex("one-day", "9 kg", "150 x 50 x 41 cm", "332 cm of length plus girth", "B"),
        ex("one-day", "0.4 kg", "15 x 10 x 10 cm", "perfume never by air", "B",
           contents=["flammable_liquid"]),
        ex("two-day", "1.1 kg", "34 x 26 x 16 cm", "14,144 / 5,000 = 2.83, so 3 kg",
           to=us("90210"), billable=True),
        ex("two-day", "31.4 kg", "60 x 40 x 40 cm", "two kilograms past 30, begun", "B"),
        ex("two-day", "0.9 kg", "90 x 8 x 8 cm", "a roll of one's own", "A", shape="tube"),
        ex("two-day", "12 kg", "130 x 40 x 20 cm", "longer than 120 cm", "A"),
        ex("two-day", "36 kg", "60 x 50 x 40 cm", "heavier than 32 kg", "C"),
        ex("two-day", "2 kg", "30 x 20 x 10 cm", "goods worth 1,250: three times 500", "B",
           value="1250.00"),
        ex("two-day", "2 kg", "30 x 20 x 10 cm", "cover of 400 and signed for", "B",
           cover="400.00", extras=["signature"]),
        ex("two-day", "2 kg", "30 x 20 x 10 cm", "duty is for going abroad", "B",
           extras=["duty-paid"]),
        ex("two-day", "69 kg", "50 x 40 x 40 cm", "over 68 kg", "B"),
        ex("two-day", "9 kg", "271 x 8 x 6 cm", "longer than 270 cm", "B"),
        ex("two-day", "9 kg", "150 x 50 x 41 cm", "332 cm of length plus girth", "B"),
        ex("two-day", "0.4 kg", "15 x 10 x 10 cm", "no lithium cells alone", "B",
           contents=["lithium_alone"]),
        ex("box", "3.2 kg", "33.6 x 25.6 x 10.6 cm", "the flat price is lower", "B",
           packaging="lk-box-2"),
        ex("box", "0.9 kg", "33.6 x 25.6 x 10.6 cm", "by the half kilogram is lower", "B",
           packaging="lk-box-2"),
        ex("box", "9 kg", "40.8 x 33.8 x 18.8 cm", "the large box", "D", packaging="lk-box-5"),
        ex("box", "5.2 kg", "33.6 x 25.6 x 10.6 cm", "the small box holds 5 kg", "B",
           packaging="lk-box-2"),
        ex("box", "12.1 kg", "40.8 x 33.8 x 18.8 cm", "the large box holds 12 kg", "B",
           packaging="lk-box-5"),
        ex("box", "2 kg", "33.6 x 25.6 x 10.6 cm", "no aerosols", "B", packaging="lk-box-2",
           contents=["aerosol"]),
        ex("box", "2 kg", "30 x 20 x 10 cm", "not in one's own box", "B"),
        ex("world", "0.8 kg", "25 x 20 x 8 cm", "to Berlin, with export papers",
           to=land("DE", "10115")),
        ex("world", "33 kg", "60 x 40 x 40 cm", "three kilograms past 30; heavier than 32 kg",
           to=land("JP", "1000001")),
        ex("world", "2 kg", "30 x 20 x 10 cm", "duty paid", "2", extras=["duty-paid"]),
        ex("world", "2 kg", "30 x 20 x 10 cm", "duty cannot be paid ahead there", "4",
           extras=["duty-paid"]),
        ex("world", "69 kg", "50 x 40 x 40 cm", "over 68 kg", "2"),
        ex("world", "9 kg", "271 x 8 x 6 cm", "longer than 270 cm", "2"),
        ex("world", "9 kg", "150 x 50 x 41 cm", "332 cm of length plus girth", "2"),
        ex("world", "9 kg", "80 x 70 x 51 cm", "242 cm of girth", "2"),
        ex("world", "0.4 kg", "15 x 10 x 10 cm", "nothing alive", "2", contents=["live"]),
    ]
    return document("larkspur", "Larkspur Air", title, "USD", start, until,
                    ("0.01", "0.01", "half_up"), zones, packaging, services, surcharges, extras,
                    examples)


def larkspur_europe(version, start, until, title):
    now = version == "2026-07"

    def level(w, zone):
        return Decimal(1) if now else 1 / (d("1.029") if w <= 10 else d("1.044"))

    fee = lambda x: quarter(d(x) * (1 if now else d("0.97")))
    near = ["1", "2", "3", "4"]
    FAR_EU = {"1": "0.12", "2": "0.4", "3": "0.75", "4": "1.2"}
    kilos = [f"{n / 2:.1f}" for n in range(1, 21)] + [str(n) for n in range(11, 31)]
    metric = {"sides": {"round": "nearest", "to": "1 cm"}, "weight": {"round": "up", "to": "0.5 kg"},
              "dimensional": [{"volume_per_weight": "5000 cm3/kg"}]}

    def zoned(seed, price, add=None, missing=()):
        rows = grid(seed, [FAR_EU[c] for c in near], kilos, price, level,
                    missing=[FAR_EU[c] for c in missing])
        more = {"beyond": {"step": "1 kg", "add": [fee(a) for a in add]}} if add else {}
        return inline("billable_weight", "kg", near, rows, **more)

    limits = [
        refuse({"weight": {"over": "40 kg"}}, "heavier than 40 kg"),
        refuse({"exact_length": {"over": "200 cm"}}, "longer than 200 cm"),
        refuse({"length_plus_width": {"over": "260 cm"}},
               "longest and second side together over 260 cm"),
        not_taken(NO_HAZARD + ["live", "perishable"], "not taken by air")]
    services = [
        {"code": "europe-one-day", "title": "Larkspur Europe One Day", "zones": "europe",
         "days": {"*": [1, 1]}, "tracked": True, "mode": "air", "measure": metric,
         "refuse": limits,
         "prices": [zoned("lke-one", lambda w, f: d("16.5") + d("19") * f + (w - d("0.5")) **
                          d("0.9") * (d("1.9") + d("3.6") * f), missing=("4",))],
         "surcharges": ["large", "fuel"], "extras": ["cover", "signature"],
         "included_cover": "50"},
        {"code": "europe-two-day", "title": "Larkspur Europe Two Day", "zones": "europe",
         "days": {"4": [2, 4], "*": [2, 2]}, "tracked": True, "mode": "air", "measure": metric,
         "refuse": limits,
         "prices": [zoned("lke-two", lambda w, f: d("9.4") + d("11.5") * f + (w - d("0.5")) **
                          d("0.9") * (d("1.2") + d("2.3") * f), add=["1.60", "2.30", "3.10", "4.40"])],
         "surcharges": ["large", "fuel"], "extras": ["cover", "signature"],
         "included_cover": "50"},
        {"code": "europe-road", "title": "Larkspur Europe Road", "zones": "europe",
         "days": {"1": [1, 2], "2": [2, 4], "3": [3, 6], "4": [5, 10]}, "tracked": True,
         "mode": "surface",
         "refuse": [
             refuse({"weight": {"over": "25 kg"}}, "heavier than 25 kg"),
             refuse({"exact_length": {"over": "120 cm"}}, "longer than 120 cm"),
             refuse({"volume": {"over": "0.15 m3"}}, "larger than 0.15 m3"),
             not_taken(["lithium_alone", "live", "perishable"], "not taken by road"),
             refuse({"all": [{"contents": {"has_all": ["fragile", "liquid"]}},
                             {"packaging_kind": {"is": "mailer"}}]},
                    "fragile liquids in a box only", "contents_not_accepted")],
         "prices": [
             when({"sum_of_sides": {"up_to": "60 cm"}, "weight": {"up_to": "1 kg"}},
                  {"by_zone": {"1": fee("4.10"), "2": fee("8.90"), "3": fee("10.60"),
                               "4": fee("14.80")}}),
             inline("longest_plus_shortest", "cm", near,
                    [[b] + [fee(d(p) * (1 + d(FAR_EU[z]) * d("1.7"))) for z in near]
                     for b, p in (("37", "4.30"), ("50", "5.15"), ("80", "6.60"), ("120", "10.40"),
                                  ("150", "17.90"))])],
         "surcharges": ["overweight", "fuel"], "extras": ["cover"], "included_cover": "50"},
        {"code": "world-two-day", "title": "Larkspur World from Europe", "zones": "world",
         "days": {"*": [2, 4]}, "tracked": True, "mode": "air", "measure": metric,
         "refuse": limits,
         "prices": [
             when({"contents": {"has": "documents"}, "weight": {"up_to": "0.5 kg"}},
                  {"amount": fee("23.50")}),
             inline("billable_weight", "kg", ["I", "W", "*"],
                    [[b] + [cents((d(x) + d(y) * (d(b) - d("0.5"))**d("0.93")) *
                                  level(d(b), "W"))
                            for x, y in (("27.5", "8.4"), ("29", "9.1"), ("36", "11.6"))]
                     for b in kilos])],
         "surcharges": ["large", "import-desk", "antiques", "fuel"],
         "extras": ["cover", "signature"], "included_cover": "50"},
    ]
    surcharges = [
        {"code": "large", "title": "Longer than 100 cm", "when": {"length": {"over": "100 cm"}},
         "amount": fee("18")},
        {"code": "overweight", "title": "Over 10 kg by road",
         "when": {"weight": {"over": "10 kg"}},
         "per": {"measure": "weight", "step": "5 kg", "first": fee("0.90"), "each": fee("0.90")}},
        {"code": "import-desk", "title": "Collected in the United States",
         "when": {"origin": {"in": ["US"]}}, "amount": fee("4.50")},
        {"code": "antiques", "title": "Papers for antiques", "when": {"contents": {"has": "x-antique"}},
         "amount": fee("7.25")},
        {"code": "fuel", "title": "Fuel", "percent": d("14.25") if now else d("13.75"),
         "of": ["base", "large", "overweight", "import-desk"]},
    ]
    extras = [
        {"code": "cover", "title": "Cover for loss and damage",
         **step_table("cover", None, [("250", fee("2.90")), ("500", fee("4.60")),
                                      ("1000", fee("7.80")), ("2500", fee("15.50"))])},
        {"code": "signature", "title": "Signature on delivery", "amount": fee("2.75")},
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
        ex("europe-one-day", "2 kg", "40 x 30 x 20 cm", "4.8, so 5 kg", "2", billable=True),
        ex("europe-one-day", "2 kg", "30 x 20 x 10 cm", "not to the islands", "4"),
        ex("europe-one-day", "2 kg", "30 x 20 x 10 cm", "Corsica by its longer prefix", frm=fr,
           to=land("FR", "20000")),
        ex("europe-one-day", "41 kg", "30 x 20 x 10 cm", "over 40 kg", "1"),
        ex("europe-one-day", "2 kg", "201 x 6 x 5 cm", "longer than 200 cm", "1"),
        ex("europe-one-day", "2 kg", "190 x 71 x 5 cm", "261 cm in two sides", "1"),
        ex("europe-one-day", "0.4 kg", "15 x 10 x 10 cm", "perfume never by air", "1",
           contents=["flammable_liquid"]),
        ex("europe-two-day", "3.1 kg", "35 x 25 x 12 cm", "Lyon to Berlin", frm=fr,
           to=land("DE", "10115")),
        ex("europe-two-day", "33.2 kg", "60 x 50 x 40 cm", "four kilograms past 30, begun", "3",
           billable=True),
        ex("europe-two-day", "8 kg", "110 x 20 x 20 cm", "longer than 100 cm", "2"),
        ex("europe-two-day", "41 kg", "30 x 20 x 10 cm", "over 40 kg", "1"),
        ex("europe-two-day", "2 kg", "201 x 6 x 5 cm", "longer than 200 cm", "1"),
        ex("europe-two-day", "2 kg", "190 x 71 x 5 cm", "261 cm in two sides", "1"),
        ex("europe-two-day", "0.4 kg", "15 x 10 x 10 cm", "no lithium cells alone", "1",
           contents=["lithium_alone"]),
        ex("europe-road", "0.8 kg", "30 x 20 x 10 cm", "small: 60 cm in all, up to 1 kg", "1"),
        ex("europe-road", "1.1 kg", "30 x 20 x 10 cm", "over 1 kg: longest and shortest side, 40 cm",
           "1"),
        ex("europe-road", "12 kg", "60 x 40 x 20 cm", "80 cm; three times 5 kg", "3"),
        ex("europe-road", "12 kg", "60 x 40 x 20 cm", "to the islands", "4", cover="400.00"),
        ex("europe-road", "26 kg", "60 x 40 x 20 cm", "over 25 kg", "1"),
        ex("europe-road", "2 kg", "121 x 10 x 10 cm", "longer than 120 cm", "1"),
        ex("europe-road", "9 kg", "80 x 50 x 40 cm", "0.16 m3", "1"),
        ex("europe-road", "2 kg", "20 x 10 x 10 cm", "nothing alive", "1", contents=["live"]),
        ex("europe-road", "0.5 kg", "20 x 10 x 6 cm", "a bottle in a bag", "1", shape="soft",
           contents=["fragile", "liquid"]),
        ex("europe-road", "0.5 kg", "20 x 10 x 6 cm", "the same bottle in a box", "1",
           contents=["fragile", "liquid"]),
        ex("europe-road", "2 kg", "30 x 20 x 10 cm", "no cover past 2,500", "1", cover="2600.00"),
        ex("world-two-day", "0.3 kg", "32 x 23 x 1 cm", "documents at one price", "W", shape="flat",
           contents=["documents"]),
        ex("world-two-day", "1.3 kg", "30 x 20 x 10 cm", "from Ohio to Utrecht",
           to=land("NL", "3511AB")),
        ex("world-two-day", "1.3 kg", "30 x 20 x 10 cm", "Lyon to New York, an antique", frm=fr,
           to=us("10001"), contents=["x-antique"], extras=["signature"]),
        ex("world-two-day", "1.3 kg", "30 x 20 x 10 cm", "the last column is any other zone", "F"),
        ex("world-two-day", "31 kg", "30 x 20 x 10 cm", "past the last row", "F"),
        ex("world-two-day", "41 kg", "30 x 20 x 10 cm", "over 40 kg", "W"),
        ex("world-two-day", "2 kg", "201 x 6 x 5 cm", "longer than 200 cm", "W"),
        ex("world-two-day", "2 kg", "190 x 71 x 5 cm", "261 cm in two sides", "W"),
        ex("world-two-day", "0.4 kg", "15 x 10 x 10 cm", "no aerosols", "W", contents=["aerosol"]),
    ]
    return document("larkspur-eu", "Larkspur Air Europe", title, "EUR", start, until,
                    ("0.01", "0.01", "half_even"), zones, [], services, surcharges, extras,
                    examples)


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
