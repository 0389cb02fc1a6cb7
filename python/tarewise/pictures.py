"""Pictures for a notebook (needs matplotlib): price staircases, who wins where, what a new tariff changes, a destination mix,
how to pack a carton.

Colours are a palette that colour-blind readers can tell apart, and lines and fields differ in dash and hatching too, so that
every picture reads in grey print. Each function draws on ``ax`` (or on a new figure, 7.2 in wide) and returns the axes;
``arrangement`` draws on a figure of its own.
"""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence
from datetime import date as Date
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Literal, NamedTuple, Union

import numpy as np

from tarewise._core import Item, Lane, Offer, Parcel, Ranking, Ratebook, Shelf, Weight, rank
from tarewise._reprice import Mix, Repricer
from tarewise._values import ArrangedUnit, Arrangement, Packaging
from tarewise.errors import TarewiseError

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from tarewise._core import Length, Sides

__all__ = ["arrangement", "destination_costs", "staircase", "tariff_change", "winners"]

# After Okabe and Ito's palette for all kinds of colour vision, ordered by lightness steps.
_COLOURS = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9", "#6B6B6B", "#B8A400")
_DASHES: tuple[Any, ...] = ("-", (0, (6, 2)), (0, (2, 1.5)), (0, (6, 2, 1.5, 2)), (0, (1, 1)), (0, (10, 3)), "-", (0, (4, 4)))
_LABEL: dict[str, Any] = {"boxstyle": "circle,pad=0.18", "facecolor": "white", "edgecolor": "black", "linewidth": 0.5}
_MOST_LAYERS = 12
_HATCHES = ("", "///", "...", "\\\\\\", "xx", "--", "++", "oo")


def _axes(ax: Axes | None, height: float) -> Axes:
    if ax is not None:
        return ax
    import matplotlib.pyplot as plt

    _, ax = plt.subplots(figsize=(7.2, height), layout="constrained")
    return ax


def _style(i: int) -> tuple[str, Any, str]:
    return _COLOURS[i % len(_COLOURS)], _DASHES[i % len(_DASHES)], _HATCHES[(i + i // len(_COLOURS)) % len(_HATCHES)]


def staircase(
    ratebook: Ratebook,
    sides: str,
    lane: Lane,
    date: Union[Date, str],
    *,
    up_to: str = "5 lb",
    item: Union[Weight, str, None] = None,
    services: Sequence[str] = (),
    most: int = 6,
    currency: str | None = None,
    shape: Literal["box", "tube", "soft", "flat", "irregular"] = "box",
    ax: Axes | None = None,
) -> Axes:
    """Total against gross weight of a sealed parcel of these sides, a line a service, with ``item``'s weight marked.

    Every step is where it is: the next weight looked at is the nearest at which some offer's headroom ends. ``services``
    (as "carrier/service") chooses; else the ``most`` that are cheapest somewhere come first.
    """
    end = Weight(up_to).nanograms
    lines: dict[str, tuple[str, list[tuple[int, int, float]]]] = {}
    cheapest: dict[str, int] = {}
    at = 1
    ounce = Weight.ounces(1).nanograms
    while at <= end:
        offers = rank(
            ratebook, Parcel(_nanograms(at), sides, shape=shape), lane=lane, date=date, currency=currency
        ).offers  # fmt: skip
        # Services that do not take this weight may take the next, so no stride is over an ounce.
        last = min([end, at // ounce * ounce + ounce])
        for offer in offers:
            if offer.headroom.weight is not None:
                last = min(last, at + offer.headroom.weight.nanograms)
        best: set[str] = set()
        for offer in offers:
            key = f"{offer.carrier}/{offer.service}"
            if key in best:
                continue
            best.add(key)
            title, pieces = lines.setdefault(key, (offer.title, []))
            pieces.append((at, last, float(offer.total)))
        if offers:
            key = f"{offers[0].carrier}/{offers[0].service}"
            cheapest[key] = cheapest.get(key, 0) + last - at
        at = last + 1
    if not lines:
        raise TarewiseError(f"found no service that takes a parcel of {sides} up to {up_to} here, expected one to draw")
    unknown = [key for key in services if key not in lines]
    if unknown:
        raise TarewiseError(f"found no offer of {', '.join(unknown)}, expected some of {', '.join(sorted(lines))}")
    by_price = sorted(lines, key=lambda key: (-cheapest.get(key, 0), min(total for _, _, total in lines[key][1])))
    chosen = list(services) or by_price[:most]
    ax = _axes(ax, 4.2)
    unit, name = (ounce, "oz") if end <= 3 * Weight.pounds(1).nanograms else (Weight.pounds(1).nanograms, "lb")
    for i, key in enumerate(chosen):
        colour, dash, _ = _style(i)
        title, pieces = lines[key]
        xs: list[float] = []
        ys: list[float] = []
        for first, last, total in pieces:
            if xs and xs[-1] < (first - 2) / unit:
                xs.append(float("nan"))
                ys.append(float("nan"))
            xs += [(first - 1) / unit, last / unit]
            ys += [total, total]
        ax.plot(xs, ys, color=colour, linestyle=dash, linewidth=2, label=title, solid_joinstyle="miter")
    if item is not None:
        weight = Weight(item).nanograms / unit if isinstance(item, str) else item.nanograms / unit
        ax.axvline(weight, color="black", linewidth=1)
        ax.annotate(
            f" {weight:g} {name}", (weight, 0.985), xycoords=("data", "axes fraction"), va="top", ha="left", fontsize=9
        )  # fmt: skip
    ax.set_xlim(0, end / unit)
    ax.set_ylim(bottom=0)
    ax.set_xlabel(f"gross weight ({name})")
    ax.set_ylabel(f"total ({currency or 'tariff currency'})")
    ax.set_title(f"Price steps, {sides}, to {lane.destination}")
    ax.legend(fontsize=8, loc="lower right", framealpha=0.9)
    ax.grid(axis="y", color="#DDDDDD", linewidth=0.6)
    return ax


def _nanograms(value: int) -> str:
    return f"{value // 10**6}.{value % 10**6:06d} mg" if value >= 1 else "0 mg"


def winners(
    ratebook: Ratebook,
    shelf: Shelf | None,
    sides: tuple[float, float, float],
    lanes: Mapping[str, Lane],
    date: Union[Date, str],
    *,
    up_to_oz: float = 320.0,
    cells: int = 160,
    contents: str = "",
    currency: str | None = None,
    ax: Axes | None = None,
) -> Axes:
    """Which service is cheapest by weight and zone, for goods of these sides in inches: a field for each winner.

    ``lanes``: a lane for each zone, by the name to show. The field's colour and hatching are the service's.
    """
    weights = np.linspace(up_to_oz / cells, up_to_oz, cells)
    repricer = Repricer(
        ratebook, date=date, lanes=dict(lanes), shelf=shelf, currency=currency, outputs=("total", "service")
    )  # fmt: skip
    goods: dict[str, Any] = {"weight_oz": weights}
    goods |= {f"{name}_in": np.full(cells, side) for name, side in zip(("length", "width", "height"), sides)}
    if contents:
        goods["contents"] = np.full(cells, contents, dtype=object)
    priced = repricer(goods)
    names = list(lanes)
    single = len(names) == 1
    columns = [[str(s or "") for s in priced["service" if single else f"service_{name}"]] for name in names]
    count: dict[str, int] = {}
    for column in columns:
        for service in column:
            count[service] = count.get(service, 0) + 1
    order = sorted((s for s in count if s), key=lambda s: (-count[s], s))
    ax = _axes(ax, 3.9)
    shown: dict[str, Any] = {}
    step = weights[0]
    for row, column in enumerate(columns):
        start = 0
        for i in range(1, cells + 1):
            if i < cells and column[i] == column[start]:
                continue
            if column[start]:
                colour, _, hatch = _style(order.index(column[start]))
                bar = ax.barh(
                    row, (weights[i - 1] - weights[start] + step) / 16, left=(weights[start] - step) / 16, height=1.0,
                    color=colour, alpha=0.75, hatch=hatch, edgecolor="white", linewidth=0.4,
                )  # fmt: skip
                shown.setdefault(column[start], bar)
            start = i
    ax.set_yticks(range(len(names)), names)
    ax.set_xlim(0, up_to_oz / 16)
    ax.set_ylim(-0.5, len(names) - 0.5)
    ax.set_xlabel("weight of the goods (lb)")
    ax.set_ylabel("zone")
    ax.set_title(f"Cheapest service, goods of {' x '.join(f'{side:g}' for side in sides)} in")
    ax.legend(
        [shown[s] for s in order], order, fontsize=8, loc="upper center", bbox_to_anchor=(0.5, -0.16), ncols=3, frameon=False
    )
    return ax


def _ranges(numbers: Sequence[int]) -> str:
    """1, 2, 3, 5 as "1-3, 5"."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs)


def tariff_change(
    before: Sequence[Union[Decimal, None]],
    after: Sequence[Union[Decimal, None]],
    names: Sequence[str],
    *,
    currency: str = "",
    most: int = 10,
    ax: Axes | None = None,
) -> Axes:
    """Each good's best total under the old tariff against the new, those that lose most named; the diagonal is no change."""
    if not len(before) == len(after) == len(names):
        raise TarewiseError(f"found {len(before)}, {len(after)} and {len(names)} values, expected as many of each")
    pairs = [(b, a, n) for b, a, n in zip(before, after, names) if b is not None and a is not None]
    if not pairs:
        raise TarewiseError("found no good that is priced under both, expected one to draw")
    ax = _axes(ax, 5.2)
    xs = np.array([float(b) for b, _, _ in pairs])
    ys = np.array([float(a) for _, a, _ in pairs])
    rise = ys > xs
    ax.scatter(xs[~rise], ys[~rise], s=10, marker="v", color=_COLOURS[2], label=f"no dearer ({int((~rise).sum())})")
    ax.scatter(xs[rise], ys[rise], s=10, marker="^", color=_COLOURS[1], label=f"dearer ({int(rise.sum())})")
    edge = max(xs.max(), ys.max()) * 1.05
    ax.plot([0, edge], [0, edge], color="black", linewidth=0.8)
    worst = sorted(pairs, key=lambda p: (p[0] - p[1], p[2]))[:most]
    lines = [f"{i + 1}. {name}: {b:.2f} to {a:.2f} (+{a - b:.2f})" for i, (b, a, name) in enumerate(worst) if a > b]
    # Goods that lie on one point, or so near that their labels would overprint, share a label; it stands above the diagonal, where
    # what is dearer has nothing beside it but itself.
    near = edge / 20
    points: list[tuple[float, float, list[int]]] = []
    for i, (b, a, _) in enumerate(worst):
        if a <= b:
            continue
        for x, y, ranks in points:
            if abs(x - float(b)) < near and abs(y - float(a)) < near:
                ranks.append(i + 1)
                break
        else:
            points.append((float(b), float(a), [i + 1]))
    for x, y, ranks in points:
        ax.annotate(_ranges(ranks), (x, y), textcoords="offset points", xytext=(-6, 4), ha="right", fontsize=8)
    if lines:
        ax.text(
            0.99, 0.02, "\n".join(lines), transform=ax.transAxes, fontsize=7.5, va="bottom", ha="right",
            bbox={"facecolor": "white", "edgecolor": "#BBBBBB", "alpha": 0.9},
        )  # fmt: skip
    ax.set_xlim(0, edge)
    ax.set_ylim(0, edge)
    ax.set_xlabel(f"best total before {f'({currency})' if currency else ''}".rstrip())
    ax.set_ylabel(f"best total after {f'({currency})' if currency else ''}".rstrip())
    ax.set_title("What the new tariff changes")
    ax.legend(fontsize=8, loc="upper left", framealpha=0.9)
    return ax


def destination_costs(
    ratebook: Ratebook,
    shelf: Shelf | None,
    item: Item,
    mix: Mix,
    date: Union[Date, str],
    *,
    currency: str | None = None,
    ax: Axes | None = None,
) -> Axes:
    """What sending one good costs over a destination mix: the share of buyers at or below each total, worst and mean marked."""
    totals: list[tuple[Decimal, int, str]] = []
    for place, share in mix:
        offers = rank(
            ratebook, item, shelf=shelf, lane=Lane(mix.origin, place), date=date, currency=currency
        ).offers  # fmt: skip
        if offers and share:
            totals.append((offers[0].total, share, str(place)))
    if not totals:
        raise TarewiseError("found no place that can be served, expected one to draw")
    # Of equals the first place, as reprice tells it.
    worst, _, where = max(totals, key=lambda place: place[0])
    totals.sort()
    weight = sum(share for _, share, _ in totals)
    mean = sum(total * share for total, share, _ in totals) / weight
    xs = [float(totals[0][0])]
    ys = [0.0]
    done = 0
    for total, share, _ in totals:
        xs += [float(total), float(total)]
        ys += [100 * done / weight, 100 * (done + share) / weight]
        done += share
    ax = _axes(ax, 3.6)
    ax.plot(xs, ys, color=_COLOURS[0], linewidth=2)
    ax.fill_between(xs, ys, color=_COLOURS[0], alpha=0.15)
    for value, dash, label in ((mean, (0, (4, 2)), f"mean {mean:.2f}"), (worst, "-", f"worst {worst:.2f}, {where}")):
        ax.axvline(float(value), color="black", linewidth=1, linestyle=dash, label=label)
    ax.set_ylim(0, 102)
    ax.set_xlabel(f"best total {f'({currency})' if currency else ''}".rstrip())
    ax.set_ylabel("buyers at or below (%)")
    ax.set_title("Cost over the destination mix")
    ax.legend(fontsize=8, loc="upper left", framealpha=0.9)
    ax.grid(color="#DDDDDD", linewidth=0.6)
    return ax


def arrangement(packed: Ranking | Arrangement, offer: Offer | None = None, *, figure: Figure | None = None) -> Figure:
    """How to pack an offer of a ranking (left out: the best), or what ``tarewise.arrange`` found: the carton in 3-D, its layers
    seen from above, and the steps, numbered.

    Each unit bears the number of its step, where it can be seen and there is room. The front is at the bottom of a layer.
    """
    told = _told(packed, offer)
    steps = told.steps
    unit: Literal["in", "cm"] = "in" if str(told.inside).endswith(" in") else "cm"
    inside = [float(side.to(unit)) for side in told.inside]
    boxes = [
        _Box(one.item, one.step, [float(at.to(unit)) for at in one.at], [float(side.to(unit)) for side in one.sides])
        for one in told.units
    ]
    heights = sorted({height for box in boxes for height in (box.at[2], box.at[2] + box.sides[2])})
    layers = [
        (low, high, [box for box in boxes if box.at[2] < high - 1e-9 and box.at[2] + box.sides[2] > low + 1e-9])
        for low, high in zip(heights, heights[1:])
    ]
    lines = [line for n, step in enumerate(steps, 1) for line in textwrap.wrap(f"{n}. {step}", 104, subsequent_indent="    ")]
    shown = layers[:_MOST_LAYERS]
    rows = -(-len(shown) // 3)
    layer_height = min(max(6.8 / 3 * inside[1] / inside[0], 0.9), 3.0) + 0.45
    heights_of = [3.8, rows * layer_height, 0.17 * len(lines) + 0.3]
    if figure is None:
        import matplotlib.pyplot as plt

        figure = plt.figure(figsize=(7.2, sum(heights_of)))
    parts: Any = figure.subfigures(3, 1, height_ratios=heights_of)
    top, middle, bottom = parts
    _draw_boxes(top.add_axes((0.05, 0.0, 0.9, 0.92), projection="3d"), boxes, inside, unit)
    cut = "" if told.cut_to is None else f", cut down to {told.cut_to}"
    top.suptitle(f"{told.name}{cut}, inside {told.inside}", fontsize=11)
    for n, (low, high, held) in enumerate(shown):
        wide, tall = 1 / 3, 1 / rows
        left, base = (n % 3) * wide, 1 - (n // 3 + 1) * tall
        room = 0.45 / layer_height
        ax = middle.add_axes((left + 0.02, base + 0.03 * tall, wide - 0.04, tall * (0.97 - room)))
        _draw_layer(ax, held, inside, 6.8 / 3 * 72)
        ax.set_title(f"{low:g} to {high:g} {unit} high", fontsize=8, pad=3)
    note = "" if len(shown) == len(layers) else f"\n(the lowest {len(shown)} of {len(layers)} layers are drawn)"
    bottom.text(0.04, 0.97, "\n".join(lines) + note, fontsize=8, va="top", ha="left", linespacing=1.4)
    return figure


class _Told(NamedTuple):
    """What is drawn of an offer or an arrangement."""

    name: str
    units: tuple[ArrangedUnit, ...]
    inside: Sides
    cut_to: Length | None
    steps: tuple[str, ...]


def _told(packed: Ranking | Arrangement, offer: Offer | None) -> _Told:
    if isinstance(packed, Arrangement):
        if offer is not None:
            raise TarewiseError("found an offer beside an arrangement, expected it beside its ranking")
        if not packed.units or packed.inside is None:
            why = packed.why or "soft goods fill it as a pillow"
            raise TarewiseError(f"found an arrangement without units ({why}), expected one that fits")
        into = packed.packaging
        name = into.title or into.code if isinstance(into, Packaging) else "Room"
        return _Told(name, packed.units, packed.inside, packed.cut_to, packed.steps)
    chosen = packed.best if offer is None else offer
    if chosen is None or not chosen.arrangement or chosen.inside is None:
        raise TarewiseError("found an offer without an arrangement, expected one of several goods in a carton")
    name = chosen.packaging_title or chosen.packaging
    return _Told(name, chosen.arrangement, chosen.inside, chosen.cut_to, packed.steps(chosen))


class _Box(NamedTuple):
    item: int
    step: int
    at: list[float]
    sides: list[float]

    def hides(self, other: _Box) -> bool:
        """Whether it may be before a part of the other, seen from above, in front and to the right."""

        def nearer(one: _Box, far: _Box) -> bool:
            return (
                one.at[0] >= far.at[0] + far.sides[0] - 1e-9
                or one.at[1] + one.sides[1] <= far.at[1] + 1e-9
                or one.at[2] >= far.at[2] + far.sides[2] - 1e-9
            )

        return nearer(self, other) and not nearer(other, self)

    def shares(self, other: _Box, axis: int) -> bool:
        """Whether the middle of this one lies within the other along an axis."""
        middle = self.at[axis] + self.sides[axis] / 2
        return other.at[axis] < middle < other.at[axis] + other.sides[axis]


def _draw_boxes(ax: Any, boxes: list[_Box], inside: list[float], unit: str) -> None:
    from mpl_toolkits.mplot3d.art3d import Poly3DCollection

    # In our order, not by the distance of their middles; each with the three faces that are seen.
    ax.computed_zorder = False
    for place, box in enumerate(_far_first(boxes)):
        (x, y, z), (w, d, h) = box.at, box.sides
        colour, _, hatch = _style(box.item)
        low, high = [(x, y), (x + w, y), (x + w, y + d), (x, y + d)], z + h
        faces = [
            [(a, b, high) for a, b in low],
            [(x, y, z), (x + w, y, z), (x + w, y, high), (x, y, high)],
            [(x + w, y, z), (x + w, y + d, z), (x + w, y + d, high), (x + w, y, high)],
        ]
        ax.add_collection3d(
            Poly3DCollection(
                faces, facecolor=colour, edgecolor="black", linewidth=0.7, alpha=0.82, hatch=hatch, zorder=10 + place
            )
        )
    for ends in _edges(inside):
        # Those of the front and of the right are before the goods.
        before = all(end[1] == 0 for end in ends) or all(end[0] == inside[0] for end in ends)
        ax.plot(*zip(*ends), color="#555555", linewidth=0.8, linestyle=(0, (4, 2)), zorder=10 + len(boxes) if before else 1)
    ax.set_xlim(0, inside[0])
    ax.set_ylim(0, inside[1])
    ax.set_zlim(0, inside[2])
    ax.set_box_aspect(inside, zoom=1.2)
    ax.view_init(elev=24, azim=-58)
    _number_boxes(ax, boxes)
    ax.set_xlabel(f"left to right ({unit})", fontsize=8)
    ax.set_ylabel(f"front to back ({unit})", fontsize=8)
    ax.set_zlabel(f"height ({unit})", fontsize=8)
    ax.tick_params(labelsize=7)


def _edges(inside: list[float]) -> list[list[tuple[float, float, float]]]:
    """The twelve of a room."""
    out = []
    for axis in range(3):
        for one in (0, 1):
            for other in (0, 1):
                begin = [0.0, 0.0, 0.0]
                begin[(axis + 1) % 3] = one * inside[(axis + 1) % 3]
                begin[(axis + 2) % 3] = other * inside[(axis + 2) % 3]
                end = [*begin]
                end[axis] = inside[axis]
                out.append([(begin[0], begin[1], begin[2]), (end[0], end[1], end[2])])
    return out


def _far_first(boxes: list[_Box]) -> list[_Box]:
    """As they are painted: what is behind, below or to the left of another, and on no axis nearer, before it."""
    order = sorted(boxes, key=lambda box: (-box.at[1], box.at[2], box.at[0]))
    left = list(range(len(order)))
    over = [[i for i in left if order[n].hides(order[i])] for n in left]
    out: list[_Box] = []
    painted: set[int] = set()
    while left:
        # Boxes may hide one another in a ring: then the farthest.
        n = next((n for n in left if painted.issuperset(over[n])), left[0])
        left.remove(n)
        painted.add(n)
        out.append(order[n])
    return out


def _number_boxes(ax: Any, boxes: list[_Box]) -> None:
    """The step of each on the larger of its faces that are seen, where no other number is."""
    from mpl_toolkits.mplot3d.proj3d import proj_transform

    ax.apply_aspect()
    taken: list[tuple[float, float]] = []
    order = sorted(boxes, key=lambda box: (box.at[1], -box.at[2]))
    # Each step once before any twice.
    first = {box.step: box for box in reversed(order)}
    for box in [*first.values(), *(box for box in order if first[box.step] is not box)]:
        (x, y, z), (w, d, h) = box.at, box.sides
        covered = any(o.at[2] >= z + h - 1e-9 and box.shares(o, 0) and box.shares(o, 1) for o in boxes)
        hidden = any(o.at[1] + o.sides[1] <= y + 1e-9 and box.shares(o, 0) and box.shares(o, 2) for o in boxes)
        faces = [] if covered else [(w * d, (x + w / 2, y + d / 2, z + h))]
        faces += [] if hidden else [(w * h, (x + w / 2, y, z + h / 2))]
        for _, spot in sorted(faces, reverse=True):
            right, up, _ = proj_transform(*spot, ax.get_proj())
            at = ax.transData.transform((right, up)) * 72 / ax.figure.dpi
            if any(abs(at[0] - other[0]) < 15 and abs(at[1] - other[1]) < 15 for other in taken):
                continue
            taken.append((at[0], at[1]))
            ax.text(*spot, str(box.step), fontsize=9, ha="center", va="center", zorder=100 + len(boxes), bbox=_LABEL)
            break


def _draw_layer(ax: Axes, boxes: list[_Box], inside: list[float], points: float) -> None:
    from matplotlib.patches import Rectangle

    scale = points / inside[0]
    for box in boxes:
        colour, _, hatch = _style(box.item)
        ax.add_patch(
            Rectangle((box.at[0], box.at[1]), *box.sides[:2], facecolor=colour, alpha=0.75, hatch=hatch, edgecolor="black")
        )
        if min(box.sides[0] * scale / len(str(box.step)), box.sides[1] * scale) >= 12:
            at = (box.at[0] + box.sides[0] / 2, box.at[1] + box.sides[1] / 2)
            ax.text(*at, str(box.step), fontsize=8, ha="center", va="center", bbox=_LABEL)
    ax.set_xlim(0, inside[0])
    ax.set_ylim(0, inside[1])
    ax.set_aspect("equal")
    ax.set_xticks([])
    ax.set_yticks([])
