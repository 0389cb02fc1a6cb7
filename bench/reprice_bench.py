#!/usr/bin/env python3
"""Repricing against the same work written by hand: NumPy, Polars and DuckDB; the same totals, services and packagings checked.

    python bench/reprice_bench.py [--rows 100000] [--joined-rows 2000] [--repeat 3] [--demo tables/demo]

The work: every row x every packaging that takes it x every service x every zone; the cheapest, in the order that ties have.
Tables and goods are invented, and simple enough to write by hand: prices by billable weight and zone, dimensional weight with a
divisor of each service, limits, two surcharges by size and weight, cartons and one bag whose sides follow the goods.

- NumPy: by blocks that fit the cache; of each packaging the rows that fit, of each service one searchsorted for all zones.
- Polars, DuckDB: rows x packagings x services as a join, as-of joins into the rows of the price lists, the least per row and
  zone. They are given fewer rows (--joined-rows), as what they join is rows x packagings x services; rates are compared.

Also printed: what Python adds to the compiled batch, single rankings, and how soon Ctrl-C ends a run.
Everything is measured in turns, best of --repeat, one thread, in processor time.
"""

from __future__ import annotations

import argparse
import json
import os
import pathlib
import platform
import signal
import sys
import threading
import time
from collections.abc import Callable
from decimal import Decimal
from typing import Any

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "POLARS_MAX_THREADS"):
    os.environ.setdefault(name, "1")

import numpy as np

import tarewise as tw
from tarewise._columns import read_columns
from tarewise._frames import table_of

DATE = "2026-08-03"
ORIGIN = "US 05401"
ZONES = 9
PLACES = [f"US {zone}0001" for zone in range(1, ZONES + 1)]
OZ = 28_349_523_125
LB = 16 * OZ
EIGHTH = 3_175_000  # nm in an eighth of an inch

# code, carrier, days, divisor (in3/lb; 0: none), greatest weight (lb), greatest length plus girth (in), cents at 1 lb zone 1,
# cents a pound, cents a zone
BASES = [
    ("parcel", "harbourline", (3, 5), 170, 66, 112, 720, 96, 61),
    ("swift", "harbourline", (2, 3), 170, 66, 112, 905, 171, 118),
    ("noon", "harbourline", (1, 2), 0, 66, 112, 2675, 410, 365),
    ("road", "fenwick-dray", (4, 5), 145, 140, 158, 1010, 71, 42),
    ("three-day", "fenwick-dray", (2, 3), 145, 140, 158, 1390, 205, 133),
    ("two-day", "fenwick-dray", (2, 2), 145, 140, 158, 1930, 280, 214),
    ("one-day", "larkspur", (1, 1), 145, 140, 158, 3120, 455, 300),
    ("chest", "larkspur", (4, 8), 190, 22, 88, 610, 125, 40),
]
# As many as the demonstration has: the same again, dearer to begin with and cheaper a pound.
SERVICES = [(f"{code}-{turn}" if turn else code, carrier, days, divisor, heaviest, greatest, first + 37 * turn, a_pound - 5 * turn,
             a_zone + turn) for turn in range(4) for code, carrier, days, divisor, heaviest, greatest, first, a_pound, a_zone in BASES][:27]
LONG_OVER, LONG_CENTS = 26, 400  # length over 26 in
HEAVY_OVER, HEAVY_CENTS = 48, 2400  # weight over 48 lb
# code, sides in eighths of an inch (inside), tare in tenths of an ounce, cents
CARTONS = [
    ("carton-6", (48, 48, 48), 32, 35),
    ("carton-8", (64, 64, 64), 54, 48),
    ("carton-9", (72, 48, 24), 38, 41),
    ("carton-10", (80, 80, 80), 82, 63),
    ("carton-12", (96, 72, 48), 74, 69),
    ("carton-14x9", (112, 72, 40), 83, 78),
    ("carton-14", (112, 112, 112), 163, 121),
    ("carton-16", (128, 96, 96), 148, 117),
    ("carton-18", (144, 144, 144), 254, 210),
    ("carton-20", (160, 128, 64), 203, 154),
    ("flat-20", (160, 112, 24), 136, 99),
    ("carton-24", (192, 144, 144), 341, 275),
]
CARTONS += [(f"{code}-tall", (a, b, c + 16), tare + 14, cents + 9) for code, (a, b, c), tare, cents in CARTONS]
WALL = 1  # an eighth of an inch
BAG = ("bag-14", (112, 152), 11, 22)  # flat width and usable length, no wall to speak of


def cents(n: int) -> str:
    return f"{n // 100}.{n % 100:02d}"


def price_cents(service: tuple[Any, ...], pound: int, zone: int) -> int:
    """Of a row of the list; a little crooked, as lists are."""
    first, a_pound, a_zone = service[6:]
    return first + (pound - 1) * a_pound + (zone - 1) * a_zone + (pound * zone * 7) % 50


def documents() -> dict[str, str]:
    out = {}
    for carrier in dict.fromkeys(service[1] for service in SERVICES):
        services = []
        for service in SERVICES:
            code, of, days, divisor, heaviest, greatest = service[:6]
            if of != carrier:
                continue
            rows = [[pound] + [cents(price_cents(service, pound, zone)) for zone in range(1, ZONES + 1)]
                    for pound in range(1, heaviest + 1)]
            measure: dict[str, Any] = {}
            if divisor:
                measure["dimensional"] = [{"volume_per_weight": f"{divisor} in3/lb"}]
            services.append({
                "code": code, "title": code, "zones": "main", "days": {"*": list(days)}, "tracked": True, "measure": measure,
                "refuse": [{"when": {"weight": {"over": f"{heaviest} lb"}}, "reason": "too heavy"},
                           {"when": {"length_plus_girth": {"over": f"{greatest} in"}}, "reason": "too large"}],
                "prices": [{"table": {"by": "billable_weight", "unit": "lb", "columns": [str(z) for z in range(1, ZONES + 1)],
                                      "rows": rows}}],
                "surcharges": [
                    {"code": "long", "title": "Long", "when": {"length": {"over": f"{LONG_OVER} in"}}, "amount": cents(LONG_CENTS)},
                    {"code": "heavy", "title": "Heavy", "when": {"weight": {"over": f"{HEAVY_OVER} lb"}},
                     "amount": cents(HEAVY_CENTS)}],
            })
        out[f"{carrier}.json"] = json.dumps({
            "format": "tarewise-tariff-1", "carrier": {"code": carrier, "name": carrier}, "title": "invented",
            "source": "invented for the benchmark", "currency": "USD", "in_force": {"from": "2026-01-01"},
            "zones": {"main": [{"kind": "regions", "zones": {str(z): [f"US:{z}"] for z in range(1, ZONES + 1)}}]},
            "services": services})
    packaging = [{"code": code, "title": code, "kind": "carton", "inside": " x ".join(f"{side}/8" for side in sides) + " in",
                  "wall": f"{WALL}/8 in", "tare": f"{tare / 10:.1f} oz", "cost": cents(cost)} for code, sides, tare, cost in CARTONS]
    packaging.append({"code": BAG[0], "title": BAG[0], "kind": "mailer", "inside": " x ".join(f"{side}/8" for side in BAG[1]) + " in",
                      "tare": f"{BAG[2] / 10:.1f} oz", "cost": cents(BAG[3])})
    out["shelf.json"] = json.dumps({"format": "tarewise-shelf-1", "currency": "USD", "packaging": packaging, "issued": []})
    return out


def goods(rows: int) -> dict[str, Any]:
    """Invented: what a seller of used goods has, to the tenth of an ounce and the eighth of an inch."""
    rng = np.random.default_rng(2026)
    return {
        "weight_oz": np.round(np.minimum(rng.lognormal(2.9, 1.1, rows), 1500), 1) + 0.1,
        "length_in": np.minimum(rng.lognormal(4.35, 0.45, rows), 200).astype(np.int64) / 8,
        "width_in": np.minimum(rng.lognormal(4.0, 0.45, rows), 170).astype(np.int64) / 8,
        "height_in": np.minimum(rng.lognormal(3.0, 0.7, rows), 160).astype(np.int64) / 8 + 0.125,
    }


# ---- by hand ----


class ByHand:
    """What all three ways share: whole numbers, the lists, and the order among equal totals."""

    def __init__(self) -> None:
        self.tables = [np.array([[price_cents(service, pound, zone) for zone in range(1, ZONES + 1)]
                                 for pound in range(1, service[4] + 1)], np.int64) for service in SERVICES]
        # Fewest days, service, packaging, carrier: the first of equals.
        self.order = sorted(((service, p) for service in range(len(SERVICES)) for p in range(len(CARTONS) + 1)),
                            key=lambda way: (SERVICES[way[0]][2][1], SERVICES[way[0]][0], self.code(way[1]), SERVICES[way[0]][1]))
        self.rank = np.zeros((len(SERVICES), len(CARTONS) + 1), np.int64)
        for place, (service, p) in enumerate(self.order):
            self.rank[service, p] = place

    @staticmethod
    def code(packaging: int) -> str:
        return CARTONS[packaging][0] if packaging < len(CARTONS) else BAG[0]

    @staticmethod
    def whole(catalogue: dict[str, Any]) -> tuple[Any, Any]:
        """Weight in ng and the sides in eighths, longest first."""
        tenths = np.rint(catalogue["weight_oz"] * 10).astype(np.int64)
        sides = np.stack([np.rint(catalogue[name] * 8).astype(np.int64) for name in ("length_in", "width_in", "height_in")], axis=1)
        sides.sort(axis=1)
        # A tenth of an ounce is no whole number of ng: half up, as the contract says.
        return (tenths * OZ + 5) // 10, sides[:, ::-1]

    def ways(self) -> list[tuple[int, tuple[int, ...], int, int]]:
        """Cartons: number, inside sorted, tare in ng, cents."""
        return [(i, tuple(sorted(sides, reverse=True)), (tare * OZ + 5) // 10, cost)
                for i, (_, sides, tare, cost) in enumerate(CARTONS)]


class NumPy(ByHand):
    BLOCK = 8192

    def __call__(self, catalogue: dict[str, Any]) -> tuple[Any, Any]:
        weight, sides = self.whole(catalogue)
        rows = len(weight)
        best = np.full((rows, ZONES), np.iinfo(np.int64).max)
        for first in range(0, rows, self.BLOCK):
            block = slice(first, first + self.BLOCK)
            self.block(weight[block], sides[block], best[block])
        # The total and the place in the order in one number: the least is the winner.
        none = best == np.iinfo(np.int64).max
        return np.where(none, -1, best >> 16), np.where(none, -1, best & 0xFFFF)

    def block(self, weight: Any, sides: Any, best: Any) -> None:
        for p, inside, tare, cost in self.ways():
            fits = np.flatnonzero((sides[:, 0] <= inside[0]) & (sides[:, 1] <= inside[1]) & (sides[:, 2] <= inside[2]))
            if len(fits):
                a, b, c = (side + 2 * WALL for side in inside)
                self.services(p, fits, weight[fits] + tare, a, a + 2 * (b + c), a * b * c, cost, best)
        p = len(CARTONS)
        width, length = BAG[1]
        fits = np.flatnonzero((sides[:, 1] + sides[:, 2] <= width) & (sides[:, 0] + sides[:, 2] <= length))
        if len(fits):
            a, b, c = sides[fits].T
            self.services(p, fits, weight[fits] + (BAG[2] * OZ + 5) // 10, a, a + 2 * (b + c), a * b * c, BAG[3], best)

    def services(self, p: int, fits: Any, gross: Any, longest: Any, girth: Any, volume: Any, cost: int, best: Any) -> None:
        least = best[fits]
        pounds = -(-gross // LB)
        for s, service in enumerate(SERVICES):
            divisor, heaviest, greatest = service[3:6]
            billable = pounds
            if divisor:
                billable = np.maximum(pounds, -(-volume // (512 * divisor)))
            row = np.searchsorted(np.arange(1, heaviest + 1), billable)
            taken = (gross <= heaviest * LB) & (girth <= greatest * 8) & (row < heaviest)
            total = self.tables[s][np.minimum(row, heaviest - 1)] + cost
            total += np.where(longest > LONG_OVER * 8, LONG_CENTS, 0)[..., None] if np.ndim(longest) else (
                LONG_CENTS if longest > LONG_OVER * 8 else 0)
            total += np.where(gross > HEAVY_OVER * LB, HEAVY_CENTS, 0)[:, None]
            key = np.where(taken[:, None], (total << 16) | self.rank[s, p], np.iinfo(np.int64).max)
            np.minimum(least, key, out=least)
        best[fits] = least


class Joined(ByHand):
    """The lists as tables, for the two that join."""

    def frames(self, catalogue: dict[str, Any]) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any], dict[str, Any]]:
        weight, sides = self.whole(catalogue)
        items = {"row": np.arange(len(weight)), "weight": weight, "a": sides[:, 0].copy(), "b": sides[:, 1].copy(),
                 "c": sides[:, 2].copy()}
        ways = self.ways()
        shelf = {"p": [w[0] for w in ways], "ia": [w[1][0] for w in ways], "ib": [w[1][1] for w in ways],
                 "ic": [w[1][2] for w in ways], "tare": [w[2] for w in ways], "cost": [w[3] for w in ways]}
        services = {"s": list(range(len(SERVICES))), "divisor": [s[3] for s in SERVICES], "heaviest": [s[4] for s in SERVICES],
                    "greatest": [s[5] * 8 for s in SERVICES]}
        lists: dict[str, list[int]] = {"s": [], "pound": []}
        for zone in range(ZONES):
            lists[f"z{zone}"] = []
        for s, table in enumerate(self.tables):
            for pound, prices in enumerate(table.tolist(), 1):
                lists["s"].append(s)
                lists["pound"].append(pound)
                for zone, price in enumerate(prices):
                    lists[f"z{zone}"].append(price)
        return items, shelf, services, lists

    def finish(self, rows: int, row: Any, keys: Any) -> tuple[Any, Any]:
        best = np.full((rows, ZONES), -1, np.int64)
        best[row] = keys
        return np.where(best < 0, -1, best >> 16), np.where(best < 0, -1, best & 0xFFFF)


class Polars(Joined):
    def __call__(self, catalogue: dict[str, Any]) -> tuple[Any, Any]:
        import polars as pl

        items, shelf, services, lists = map(pl.DataFrame, self.frames(catalogue))
        order = pl.DataFrame([{"s": s, "p": p, "place": int(self.rank[s, p])} for s, p in self.order])
        cartons = (
            items.lazy().join(shelf.lazy(), how="cross")
            .filter((pl.col("a") <= pl.col("ia")) & (pl.col("b") <= pl.col("ib")) & (pl.col("c") <= pl.col("ic")))
            .with_columns(gross=pl.col("weight") + pl.col("tare"), a=pl.col("ia") + 2 * WALL, b=pl.col("ib") + 2 * WALL,
                          c=pl.col("ic") + 2 * WALL)
            .select("row", "p", "gross", "a", "b", "c", "cost"))
        bag = (
            items.lazy().filter((pl.col("b") + pl.col("c") <= BAG[1][0]) & (pl.col("a") + pl.col("c") <= BAG[1][1]))
            .select("row", pl.lit(len(CARTONS), pl.Int64).alias("p"),
                    (pl.col("weight") + (BAG[2] * OZ + 5) // 10).alias("gross"), "a", "b", "c",
                    pl.lit(BAG[3], pl.Int64).alias("cost")))
        girth = pl.col("a") + 2 * (pl.col("b") + pl.col("c"))
        volume = pl.col("a") * pl.col("b") * pl.col("c")
        pounds = (pl.col("gross") + LB - 1) // LB
        scale = pl.max_horizontal(pl.col("divisor"), 1) * 512
        ways = (
            pl.concat([cartons, bag]).join(services.lazy(), how="cross")
            .filter((pl.col("gross") <= pl.col("heaviest") * LB) & (girth <= pl.col("greatest")))
            .with_columns(billable=pl.when(pl.col("divisor") > 0).then(pl.max_horizontal(pounds, (volume + scale - 1) // scale))
                          .otherwise(pounds),
                          more=pl.col("cost") + pl.when(pl.col("a") > LONG_OVER * 8).then(LONG_CENTS).otherwise(0)
                          + pl.when(pl.col("gross") > HEAVY_OVER * LB).then(HEAVY_CENTS).otherwise(0))
            .sort("billable")
            .join_asof(lists.lazy().sort("pound"), left_on="billable", right_on="pound", by="s", strategy="forward",
                       check_sortedness=False)
            .filter(pl.col("pound").is_not_null())
            .join(order.lazy(), on=["s", "p"]))
        keys = [((pl.col(f"z{z}") + pl.col("more")) * 65536 + pl.col("place")).min().alias(f"k{z}") for z in range(ZONES)]
        found = ways.group_by("row").agg(keys).collect()
        return self.finish(items.height, found["row"].to_numpy(), found.select([f"k{z}" for z in range(ZONES)]).to_numpy())


class DuckDB(Joined):
    def __call__(self, catalogue: dict[str, Any]) -> tuple[Any, Any]:
        import duckdb
        import pyarrow as pa

        connection = duckdb.connect(config={"threads": 1})
        names = ("items", "shelf", "services", "lists")
        for name, frame in zip(names, self.frames(catalogue)):
            connection.register(name, pa.table(frame))
        connection.register("places", pa.table({"s": [s for s, _ in self.order], "p": [p for _, p in self.order],
                                                "place": [int(self.rank[s, p]) for s, p in self.order]}))
        keys = ", ".join(f"min((z{z} + more) * 65536 + place)::BIGINT AS k{z}" for z in range(ZONES))
        found = connection.execute(f"""
            WITH parcels AS (
              SELECT row, p, weight + tare AS gross, ia + {2 * WALL} AS a, ib + {2 * WALL} AS b, ic + {2 * WALL} AS c, cost
              FROM items JOIN shelf ON a <= ia AND b <= ib AND c <= ic
              UNION ALL
              SELECT row, {len(CARTONS)}, weight + {(BAG[2] * OZ + 5) // 10}, a, b, c, {BAG[3]} FROM items
              WHERE b + c <= {BAG[1][0]} AND a + c <= {BAG[1][1]}),
            ways AS (
              SELECT row, p, s,
                CASE WHEN divisor > 0
                  THEN greatest((gross + {LB - 1}) // {LB}, (a * b * c + 512 * divisor - 1) // (512 * divisor))
                  ELSE (gross + {LB - 1}) // {LB} END AS billable,
                cost + CASE WHEN a > {LONG_OVER * 8} THEN {LONG_CENTS} ELSE 0 END
                     + CASE WHEN gross > {HEAVY_OVER} * {LB}::BIGINT THEN {HEAVY_CENTS} ELSE 0 END AS more
              FROM parcels CROSS JOIN services
              WHERE gross <= heaviest * {LB} AND a + 2 * (b + c) <= services.greatest)
            SELECT row, {keys}
            FROM ways ASOF JOIN lists ON ways.s = lists.s AND ways.billable <= lists.pound
            JOIN places ON ways.s = places.s AND ways.p = places.p
            GROUP BY row""").fetchnumpy()
        return self.finish(len(catalogue["weight_oz"]), found["row"], np.stack([found[f"k{z}"] for z in range(ZONES)], axis=1))


# ---- measuring ----


def best_of(repeat: int, runs: dict[str, Callable[[], Any]]) -> dict[str, float]:
    """Seconds of processor time of each (all threads, so that other work on the machine counts less), the best, in turns."""
    times = {name: float("inf") for name in runs}
    for _ in range(repeat):
        for name, run in runs.items():
            start = time.process_time()
            run()
            times[name] = min(times[name], time.process_time() - start)
    return times


def plain_of(repricer: tw.Repricer) -> tw.Repricer:
    return tw.Repricer(**{**repricer._arguments, "plain": True})


def check(name: str, catalogue: dict[str, Any], way: Any, out: dict[str, Any], rows: int) -> None:
    """The same totals, services and packagings as repricing found, row by row."""
    totals, places = way({key: array[:rows] for key, array in catalogue.items()})
    codes = [(f"{SERVICES[s][1]}/{SERVICES[s][0]}", way.code(p)) for s, p in way.order] + [(None, None)]
    for zone, place in enumerate(PLACES):
        label = place.replace(" ", "_")
        wanted = out[f"total_{label}_micros"][:rows]
        found = np.where(totals[:, zone] < 0, -1, totals[:, zone] * 10_000)
        wrong = np.flatnonzero(wanted != found)
        services = [codes[at][0] for at in places[:, zone]]
        packagings = [codes[at][1] for at in places[:, zone]]
        same = services == out[f"service_{label}"][:rows].tolist() and packagings == out[f"packaging_{label}"][:rows].tolist()
        if len(wrong) or not same:
            at = int(wrong[0]) if len(wrong) else next(
                i for i in range(rows) if (services[i], packagings[i]) != (out[f"service_{label}"][i], out[f"packaging_{label}"][i]))
            sys.exit(f"{name} differs in row {at}, zone {zone + 1}: {found[at]} {services[at]} {packagings[at]}, repricing found "
                     f"{wanted[at]} {out[f'service_{label}'][at]} {out[f'packaging_{label}'][at]}")
    print(f"  {name}: {rows} rows x {ZONES} zones are the same")


def ctrl_c(repricer: tw.Repricer, catalogue: dict[str, Any]) -> float:
    """Seconds from the signal until pricing has ended."""
    big = {name: np.broadcast_to(array[:1], 50_000_000) for name, array in catalogue.items()}
    columns = read_columns(table_of(big), {}, None)
    outputs = {"worst": np.empty(columns.rows, np.int64), "reason": np.full(columns.rows, 255, np.uint8)}
    sent: list[float] = []

    def press() -> None:
        sent.append(time.perf_counter())
        os.kill(os.getpid(), signal.SIGINT)

    timer = threading.Timer(0.2, press)
    timer.start()
    _, interrupted = repricer._core.run(columns=columns.arrays, rows=columns.rows, classes=None, outputs=outputs, levels=[],
                                        threads=1, progress=None)
    took = time.perf_counter() - sent[0] if sent else float("nan")
    timer.cancel()
    assert interrupted, "the run was over before Ctrl-C"
    return took


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--rows", type=int, default=100_000)
    parser.add_argument("--joined-rows", type=int, default=2_000)
    parser.add_argument("--repeat", type=int, default=3)
    parser.add_argument("--demo", type=pathlib.Path, default=pathlib.Path(__file__).resolve().parents[1] / "tables" / "demo")
    args = parser.parse_args()
    print(f"tarewise {tw.__version__}, Python {platform.python_version()}, NumPy {np.__version__}, {platform.machine()}, "
          f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}")

    tables = tw.load(documents())
    lanes = [tw.Lane(ORIGIN, place) for place in PLACES]
    repricer = tw.Repricer(tables.ratebook, shelf=tables.shelf, lanes=lanes, date=DATE, threads=1)
    catalogue = goods(args.rows)
    few = {name: array[: args.joined_rows] for name, array in catalogue.items()}
    out = repricer(catalogue)
    print(f"{args.rows} rows x {len(CARTONS) + 1} packagings x {len(SERVICES)} services x {ZONES} zones")
    ways = {"NumPy": NumPy(), "Polars": Polars(), "DuckDB": DuckDB()}
    for name, way in ways.items():
        try:
            check(name, catalogue, way, out, args.rows if name == "NumPy" else args.joined_rows)
        except ImportError as error:
            print(f"  {name} is left out: {error}")
    ways = {name: way for name, way in ways.items() if name == "NumPy" or name.lower() in sys.modules}
    columns = read_columns(table_of(catalogue), {}, None)

    def compiled() -> None:
        repricer._core.run(columns=columns.arrays, rows=columns.rows, classes=None, outputs=repricer._allocate(args.rows), levels=[],
                           threads=1, progress=None)

    plain = plain_of(repricer)
    plain(catalogue)
    runs: dict[str, Callable[[], Any]] = {
        "reprice": lambda: repricer(catalogue), "plain numbers": lambda: plain(catalogue), "compiled batch": compiled}
    for name, way in ways.items():
        runs[name] = lambda way=way, name=name: way(catalogue if name == "NumPy" else few)
    times = best_of(args.repeat, runs)
    rates = {name: (args.joined_rows if name in ("Polars", "DuckDB") else args.rows) / took for name, took in times.items()}
    for name, rate in rates.items():
        print(f"  {name:15} {times[name] * 1e3:10.1f} ms  {rate:12.0f} rows/s  {rates['reprice'] / rate:8.1f} x reprice's time a row")

    print(f"what Python adds to the compiled batch, {args.rows} rows")
    kinds: dict[str, Any] = {"arrays": catalogue}
    try:
        import pandas as pd
        import pyarrow as pa

        kinds["pandas"], kinds["pyarrow"] = pd.DataFrame(catalogue), pa.table(catalogue)
        import polars as pl

        kinds["polars"] = pl.DataFrame(catalogue)
    except ImportError:
        pass
    mix = tw.Mix(ORIGIN, {place: 1 for place in PLACES})
    for label, other in ((f"{ZONES} lanes", repricer), ("a mix", tw.Repricer(tables.ratebook, shelf=tables.shelf, mix=mix, date=DATE, threads=1)),
                         ("1 lane", tw.Repricer(tables.ratebook, shelf=tables.shelf, lanes=lanes[7], date=DATE, threads=1))):
        other(catalogue)

        # As a C++ caller: columns of numbers in, columns of numbers out, in memory of their own.
        def bare(other: tw.Repricer = other) -> None:
            other._core.run(columns=columns.arrays, rows=columns.rows, classes=None, outputs=other._allocate(args.rows), levels=[],
                            threads=1, progress=None)

        numbers = plain_of(other)
        numbers(catalogue)
        both: dict[str, Callable[[], Any]] = {"compiled": bare, "plain arrays": lambda numbers=numbers: numbers(catalogue)}
        for kind, table in kinds.items():
            both[kind] = lambda table=table, other=other: other(table)
        found = best_of(max(args.repeat, 20), both)
        shown = ", ".join(f"{kind} {(took / found['compiled'] - 1) * 100:+.1f} %" for kind, took in found.items() if kind != "compiled")
        print(f"  {label}: compiled {found['compiled'] * 1e3:.1f} ms; {shown}")

    print(f"Ctrl-C ended a run after {min(ctrl_c(repricer, catalogue) for _ in range(args.repeat)) * 1e3:.0f} ms at best, "
          f"{max(ctrl_c(repricer, catalogue) for _ in range(args.repeat)) * 1e3:.0f} ms at worst")

    print("single rankings: every line, reason and threshold")
    demo = tw.load(args.demo)
    lane = tw.Lane("US 05401", "US 80202", residential=True)
    item, parcel = tw.Item("11.4 oz", "11 x 8 x 3 in", value="24.00"), tw.Parcel("31.3 oz", "14.3 x 9.3 x 5.3 in", value="24.00")

    def explained(ranking: tw.Ranking) -> None:
        for offer in ranking:
            for charge in offer.charges:
                charge.why
        for refusal in ranking.refusals:
            refusal.reasons

    for label, book, goods_, shelf in (("benchmark's tables, sealed parcel", tables.ratebook, parcel, None),
                                       (f"benchmark's tables, goods, {len(CARTONS) + 1} packagings", tables.ratebook, item, tables.shelf),
                                       ("demonstration, sealed parcel", demo.ratebook, parcel, None),
                                       ("demonstration, goods, 39 packagings", demo.ratebook, item, demo.shelf)):
        def once(book: Any = book, goods_: Any = goods_, shelf: Any = shelf) -> tw.Ranking:
            return tw.rank(book, goods_, shelf=shelf, lane=lane, date=DATE, currency="USD", exchange={"EUR": "1.0842"})

        def no_thresholds(book: Any = book, goods_: Any = goods_, shelf: Any = shelf) -> tw.Ranking:
            return tw.rank(book, goods_, shelf=shelf, lane=lane, date=DATE, currency="USD", exchange={"EUR": "1.0842"},
                           thresholds=False)

        count = 50
        ranking = once()
        took = best_of(max(args.repeat, 5), {"rank": lambda: [once() for _ in range(count)],
                                             "no thresholds": lambda: [no_thresholds() for _ in range(count)],
                                             "read": lambda: [explained(no_thresholds()) for _ in range(count)]})
        print(f"  {label} ({len(ranking)} offers, {len(ranking.refusals)} refusals): {took['rank'] / count * 1e6:.0f} us; without "
              f"thresholds {took['no thresholds'] / count * 1e6:.0f} us, and with each reason of each line read in Python "
              f"{took['read'] / count * 1e6:.0f} us")
    took_item = best_of(5, {"item": lambda: [tw.Item("11.4 oz", "11 x 8 x 3 in", value=Decimal("24.00")) for _ in range(1000)]})
    print(f"  making an Item: {took_item['item'] * 1e3:.1f} us")


if __name__ == "__main__":
    main()
