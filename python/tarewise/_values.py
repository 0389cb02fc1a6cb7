"""Small values that answers are made of, and how values come back from a pickle."""

from __future__ import annotations

import dataclasses
import json
import threading
import weakref
import zlib
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any, Literal, NamedTuple, TypedDict, Union

if TYPE_CHECKING:
    from tarewise._core import (
        Charge,
        Comparison,
        Item,
        Length,
        Offer,
        Plan,
        PlannedParcel,
        Plans,
        Ranking,
        Ratebook,
        Refusal,
        Request,
        Shelf,
        Sides,
        Weight,
    )


class Diagnostic(NamedTuple):
    """One finding in a document.

    >>> try:
    ...     tw.load({"a.json": "{}"})
    ... except tw.TariffError as error:
    ...     print(error.diagnostics[0].code, error.diagnostics[0].message)
    202 found no "format", expected it: "tarewise-tariff-1", "tarewise-terms-1", "tarewise-shelf-1" or "tarewise-seller-1"
    """

    code: int
    severity: Literal["error", "warning"]
    file: str
    line: int
    column: int
    pointer: str
    message: str

    def __str__(self) -> str:
        at = f":{self.line}:{self.column}" if self.line else ""
        pointer = f" (at {self.pointer})" if self.pointer else ""
        return f"{self.file}{at}: {self.severity} {self.code}: {self.message}{pointer}"


class GridNote(NamedTuple):
    """What was done to a printed grid, or what in it looks mistyped."""

    doubt: bool
    code: int  #: of a doubt, 650 to 699; else 0
    line: int  #: the first that it is about; 0: the whole text
    last_line: int
    message: str

    def __str__(self) -> str:
        return f"{self.line}: doubt {self.code}: {self.message}" if self.doubt else self.message


class Days(NamedTuple):
    """Business days from hand-over.

    >>> ranking.best.days, str(ranking.best.days)
    (Days(least=4, most=6), '4-6')
    """

    least: int
    most: int

    def __str__(self) -> str:
        return str(self.most) if self.least == self.most else f"{self.least}-{self.most}"


class Reason(NamedTuple):
    """Why a way is not offered.

    >>> ranking.refusals[0].reasons[0]
    Reason(code='does_not_fit', text='the longest side is 12 in, the carton has 11.75 in')
    """

    code: str
    text: str


class Caution(NamedTuple):
    """A usual caution; the carrier's rules and local law decide.

    >>> tw.caution("lithium_alone").code
    'lithium_alone'
    """

    text: str
    source: str  #: the published rule's name, or "common practice"
    code: str = ""


class Arrival(NamedTuple):
    """The dates between which a parcel arrives, by the carrier's calendar.

    >>> tw.Arrival(datetime.date(2026, 8, 6), datetime.date(2026, 8, 7)).latest
    datetime.date(2026, 8, 7)
    """

    earliest: date
    latest: date

    def __str__(self) -> str:
        return str(self.latest) if self.earliest == self.latest else f"{self.earliest} to {self.latest}"


class Tax(NamedTuple):
    """The tax of a service's charges, in the tariff's currency; packaging has none.

    >>> ranking.best.tax is None  # none is due on this lane
    True
    """

    code: str
    title: str
    percent: Decimal
    amount: Decimal
    net: Decimal  #: the charges without it
    with_tax: Decimal  #: the charges with it


class Handicap(NamedTuple):
    """What the seller's own rules count in the order although nobody bills it; it is in no total.

    >>> sum(one.amount for one in ranking.best.handicaps) == ranking.best.handicap
    True
    """

    code: str
    title: str
    amount: Decimal


class Overdue(NamedTuple):
    """A series of the tariff whose last value was charged although it is older than it is good for.

    >>> [one.series for one in ranking.best.overdue]
    []
    """

    series: str
    since: date  #: the first day that lacks a value


class PlannedGoods(NamedTuple):
    """Some units of one item in a parcel of a plan.

    >>> plans.best[0].goods
    (PlannedGoods(item=0, units=1),)
    """

    item: int  #: of the request's goods, from 0
    units: int


class OnceCharge(NamedTuple):
    """What is due once for all parcels of a plan that go by one service, in the tariff's currency, before discounts.

    >>> plans.best.once
    ()
    """

    parcel: int  #: which bears it
    carrier: str
    service: str
    code: str  #: "base": the price itself
    title: str
    amount: Decimal


class PlanObstacle(NamedTuple):
    """What keeps an order from being sent.

    >>> big = tw.plan(tables.ratebook, tw.Item("5000 kg", "9 x 9 x 9 m"), shelf=tables.shelf, lane=lane, date="2026-08-03", currency="USD")
    >>> big.obstacles[0].code
    'nothing_takes'
    """

    code: str  #: nothing_takes, not_on_hand, more_parcels, not_by_one, not_found
    text: str
    goods: tuple[PlannedGoods, ...]  #: what nothing takes; empty of the others
    need: Union[int, None]  #: so many parcels would do
    ranking: Union[Ranking, None]  #: of these goods: no offers, and every refusal
    sealed: Union[int, None]  #: the place of a sealed parcel that nothing takes


class Parcels(TypedDict, total=False):
    """How an order may be parted; goods by their places, from 0. ``most`` is needed, but beside sealed parcels.

    ``together``: goods that travel in one parcel; ``apart``: that do not; ``plans``: how many are told; ``all_by``: whether one carrier
    or one service takes all.

    >>> parcels: tw.Parcels = {"most": 3, "all_by": "carrier", "apart": [[0, 1]]}
    """

    most: int  #: at most so many parcels, 1 to 100
    all_by: Literal["any", "carrier", "service"]
    together: Sequence[Sequence[int]]  #: all units of all goods of a list travel in one parcel
    apart: Sequence[Sequence[int]]  #: no parcel has goods of two places of a list
    plans: int  #: how many are told at most, 1 to 100; left out: 3


class ArrangedUnit(NamedTuple):
    """Where one of several units lies in the carton of an offer, and how it is turned.

    >>> tw.arrange(tw.Item("9 oz", "5 x 5 x 5 in", quantity=2), "12 x 9 x 6 in").units[1].at
    (Length('5 in'), Length('0 in'), Length('0 in'))
    """

    item: int  #: of the request's goods, from 0
    unit: int  #: of that item's, from 0
    at: tuple[Length, Length, Length]  #: its corner nearest to the carton's first corner, along the carton's sides
    sides: Sides  #: along the carton's; the third is upright
    step: int = 0  #: of the steps that tell how to pack it, from 1: the one that puts it in; 0: none is told


class Growth(NamedTuple):
    """How much longer one side of an item may be, of all its units at once and all else as it is, until a packaging holds the
    goods no more.

    >>> ranking.best.room_to_grow()[0].item
    0
    """

    item: int  #: of the request's goods, from 0
    sides: tuple[Length, Length, Length]  #: as the item's are written; 0: not by a nanometre


class TotalRange(NamedTuple):
    """The lowest and the highest total over a range of weights or sides.

    >>> ranged = tw.rank(tables.ratebook, tw.Parcel("1..2 lb", "9 x 6 x 3 in"), lane=lane, date="2026-08-03", currency="USD")
    >>> ranged.best.total_range
    TotalRange(lowest=Decimal('9.55'), highest=Decimal('9.55'))
    """

    lowest: Decimal
    highest: Decimal


class Headroom(NamedTuple):
    """The most that each may grow alone at the same total; None where nothing limits it.

    >>> ranking.best.headroom.weight
    Weight('5.6 oz')
    """

    weight: Weight | None
    length: Length | None
    width: Length | None
    height: Length | None


class Saver(NamedTuple):
    """The least to take out, or off a side, for a lower total with the same packaging.

    >>> ranking.best.savers[0].take, ranking.best.savers[0].saves
    (Weight('10.4 oz'), Decimal('2.58'))
    """

    of: Literal["weight", "length", "width", "height"]
    take: Union[Weight, Length]
    total: Decimal
    saves: Decimal


class WinnerChange(NamedTuple):
    """Above this weight, or longer than this, another way is the cheapest (None: nothing can be offered).

    >>> ranged = tw.rank(tables.ratebook, tw.Parcel("14..40 oz", "11 x 8 x 3 in"), lane=lane, date="2026-08-03", currency="USD")
    >>> ranged.changes[0].of, ranged.changes[0].above
    ('weight', Weight('14 oz'))
    """

    of: Literal["weight", "length", "width", "height"]
    above: Union[Weight, Length]
    carrier: str | None
    service: str | None
    packaging: str | None
    total: Decimal | None


class CellChange(NamedTuple):
    """One price of a list that differs; None where it is not offered on that side.

    >>> cell = tw.compare(tables.ratebook, "2026-07-01", tables.ratebook, "2026-08-03").cells[0]
    >>> cell.row, cell.column, cell.before, cell.after
    ('1 lb', '11', Decimal('9.78'), Decimal('10.15'))
    """

    carrier: str
    service: str | None  #: whose base price it is
    charge: str | None  #: or the surcharge or extra
    row: str
    column: str
    before: Decimal | None
    after: Decimal | None


class PlaceTotal(NamedTuple):
    """A place that goods go to: what sending there costs, what its buyer is charged for it, how often it is, and in how
    many parcels the goods go, 1 to 100: what is said of one parcel counts for each.

    >>> tw.PlaceTotal(ranking.best.total, share=3)
    PlaceTotal(total=Decimal('11.99'), charged=0, share=3, parcels=1)
    """

    total: Union[Decimal, str, int]
    charged: Union[Decimal, str, int] = 0
    share: int = 1
    parcels: int = 1


class Profit(NamedTuple):
    """What a sale leaves: in the place that leaves least, and on average over places and returns.

    >>> tw.Economics("USD").profit([tw.PlaceTotal("5.10")], cost="4.00", price="24.90").worst
    Decimal('15.80')
    """

    worst: Decimal
    worst_place: int
    expected: Decimal
    worst_returned: Decimal
    quantiles: tuple[Decimal, ...]


class SaleLine(NamedTuple):
    """One line of a sale's account; what it costs is below 0.

    >>> [line.code for line in tw.Economics("USD").account(tw.PlaceTotal("5.10"), cost="4.00", price="24.90")]
    ['price', 'shipping', 'cost']
    """

    code: str
    amount: Decimal


class CarrierWeek(TypedDict, total=False):
    """What is sent in a week: parcels, at most 1,000 million, and what is spent, in the currency of the totals.

    ``parcels``: a whole number; ``spend``: an amount, never a float.

    >>> figures: tw.CarrierWeek = {"parcels": 60, "spend": "420.00"}
    """

    parcels: int
    spend: Union[Decimal, str, int]


class Week(CarrierWeek, total=False):
    """What is sent in a week with each carrier; ``carriers``: a carrier's own figures, in the place of both.

    >>> week: tw.Week = {"parcels": 60, "spend": "420.00", "carriers": {"harbourline": {"parcels": 25}}}
    """

    carriers: Mapping[str, CarrierWeek]


class Consignment(TypedDict, total=False):
    """Of what a parcel is one: how many ``others`` go with it by one service, 0 to 999, what they weigh together, and whether
    this parcel is the ``first``, with which what is due once is charged. ``others`` is required, the rest where there are any.

    ``others_weight``: a Weight or text with its unit.

    >>> tw.rank(tables.ratebook, item, consignment={"others": 1, "others_weight": "2 lb", "first": True}, **asked).best.total
    Decimal('11.99')
    """

    others: int
    others_weight: Any
    first: bool


@dataclasses.dataclass(frozen=True)
class FeeTier:
    """Amounts up to ``up_to``, inclusive; None on the last tier.

    ``percent``: of the amount. ``fixed``: beside it, in the currency of the sale.

    >>> tw.Fee("selling", tiers=(tw.FeeTier("100", "12"), tw.FeeTier(None, "9.5"))).tiers[0].up_to
    '100'
    """

    up_to: Union[Decimal, str, int, None]
    percent: Union[Decimal, str, int]
    fixed: Union[Decimal, str, int] = 0


@dataclasses.dataclass(frozen=True)
class Fee:
    """A selling or payment fee: ``percent`` of the amount and ``fixed``, or ``tiers`` of them.

    ``scale``: the tier that the amount falls in holds for all of it, or each part of it by its own tier. ``on_return``: what
    stays with whoever takes the fee where the goods come back.

    ``code``, ``title``: its name. ``of``: what it is a part of. ``least``, ``most``: never less or more than these; None: no
    bound. Percentages are texts or numbers without the sign, amounts of money are never floats. Errors: QuantityError, RequestError
    where an `Economics` is made of it.

    >>> tw.Fee("payment", "2.2", "0.25", of="price_and_shipping").percent
    '2.2'
    """

    code: str
    percent: Union[Decimal, str, int] = 0
    fixed: Union[Decimal, str, int] = 0
    of: Literal["price", "price_and_shipping"] = "price"
    tiers: tuple[FeeTier, ...] = ()
    scale: Literal["whole", "by_parts"] = "whole"
    least: Union[Decimal, str, int, None] = None
    most: Union[Decimal, str, int, None] = None
    on_return: Literal["kept", "fixed_kept", "given_back"] = "kept"
    title: str = ""


@dataclasses.dataclass(frozen=True)
class Returns:
    """Parcels that come back: the ``share`` of sales, and what each costs.

    ``share``: percent of sales that come back. ``seller_pays``: for the way back: ``of_total`` percent of what sending cost, and
    ``plus``. ``shipping_refunded``: the buyer's shipping is given back. ``recovered``: percent of the good's cost that is not lost.
    ``handling``: of each that comes back.

    >>> tw.Economics("USD", returns=tw.Returns("4", handling="1.50")).returns.share
    '4'
    """

    share: Union[Decimal, str, int]
    seller_pays: bool = True
    of_total: Union[Decimal, str, int] = 100
    plus: Union[Decimal, str, int] = 0
    shipping_refunded: bool = True
    recovered: Union[Decimal, str, int] = 100
    handling: Union[Decimal, str, int] = 0


@dataclasses.dataclass(frozen=True)
class Service:
    """A service of a tariff.

    ``carrier``, ``code``, ``title``: its names. ``tracked``: its way can be followed. ``mode``: "surface", "air" or "any". ``days``:
    business days by zone. ``included_cover``, ``cover_by_weight``: what it covers at no charge. ``delivers``: where it ends.

    >>> tables.ratebook.tariffs[0].services[0].title
    'Fenwick & Dray Road'
    """

    carrier: str
    code: str
    title: str
    tracked: bool
    mode: Literal["surface", "air", "any"]
    days: Mapping[str, Days]
    included_cover: Decimal  #: 0 where it goes by the weight: an offer tells it
    delivers: Literal["door", "point", "locker"] = "door"
    cover_by_weight: bool = False


@dataclasses.dataclass(frozen=True)
class Tariff:
    """One version of one carrier's tariff.

    ``carrier``, ``carrier_name``, ``title``, ``source``: what it is and where it comes from. ``currency``: of its prices.
    ``in_force_from``, ``in_force_until``: its days; None: open. ``services``: what it offers. ``file``: its document.

    >>> tables.ratebook.tariffs[0].currency
    'USD'
    """

    carrier: str
    carrier_name: str
    title: str
    source: str
    currency: str
    in_force_from: date | None
    in_force_until: date | None
    services: tuple[Service, ...]
    file: str


@dataclasses.dataclass(frozen=True)
class Packaging:
    """One packaging of a shelf.

    ``inside`` by kind: carton three sides, the third upright; mailer and envelope flat width and length (an envelope's third
    is its greatest thickness); tube diameter and length; bare nothing. Give ``outside`` or ``wall``.

    ``code``, ``title``: its names. ``tare``: what it weighs empty. ``cost``: 0 to 1,000 million, in the shelf's currency, never a float.
    ``on_hand``: how many there are; None: enough. ``least_height``: of a carton that may be cut down. Errors: TariffError of the
    `Shelf` that it is put on.

    >>> tw.Shelf([tw.Packaging("box", "carton", inside="12 x 9 x 6 in", wall="1/8 in", tare="9 oz")]).packaging[0].outside
    (Length('12.25 in'), Length('9.25 in'), Length('6.25 in'))
    """

    code: str
    kind: Literal["carton", "mailer", "envelope", "tube", "bare"]
    inside: Union[str, tuple[Union[Length, str], ...], None] = None
    outside: Union[str, tuple[Union[Length, str], ...], None] = None
    tare: Union[Weight, str] = "0 g"
    cost: Union[Decimal, str, int] = 0
    title: str = ""
    on_hand: int | None = None
    wall: Union[Length, str, None] = None
    least_height: Union[Length, str, None] = None  #: of a carton that may be cut down: the lowest that its outside may become


_PROOFS = {
    "unit_too_large": "one unit is too large",
    "volume": "by volume",
    "bound": "by a bound on sides",
    "searched": "every arrangement was ruled out",
}


@dataclasses.dataclass(frozen=True, repr=False)
class Arrangement:
    """Whether goods go into one packaging, and how, or why not. True where they do.

    Made by `arrange`. ``fit``: "fits", "does_not_fit" or "unknown"; ``proof``, ``why``: what a refusal rests on. ``units``: where each
    lies, ``inside`` of what, ``sides`` and ``cut_to`` outside; ``steps``: how to pack it. ``goods``, ``packaging``, ``padding``: what was asked.

    >>> tw.arrange(item, "12 x 9 x 6 in").fit, tw.arrange(item, "9 x 9 x 6 in").why
    ('fits', 'the longest side is 12 in, the carton has 9 in')
    """

    fit: Literal["fits", "does_not_fit", "unknown"]
    #: what a ``does_not_fit`` rests on; None also where the packaging holds no such goods, whatever their sides
    proof: Literal["unit_too_large", "volume", "bound", "searched"] | None
    why: str  #: of a refusal: the value and the limit that it broke, in words
    units: tuple[ArrangedUnit, ...]  #: where each lies; none of soft goods that fill a mailer as a pillow
    sides: Sides | None  #: of the parcel's outside; of a carton its own, whole
    cut_to: Length | None  #: what the third of these comes to, where the carton may be cut down and has height to lose
    inside: Sides | None  #: what the units lie in: of a carton its inside as it is cut, else the box that just holds them
    steps: tuple[str, ...]  #: how to pack it in words, one after the other
    goods: tuple[Item, ...]
    packaging: Packaging | Sides  #: Sides: of a plain room
    padding: Length | None

    def __bool__(self) -> bool:
        return self.fit == "fits"

    def __repr__(self) -> str:
        count = sum(item.quantity for item in self.goods)
        place = self.packaging.code if isinstance(self.packaging, Packaging) else str(self.packaging)
        what = f"{count} unit{'' if count == 1 else 's'} in {place}"
        if self.fit == "fits":
            cut = "" if self.cut_to is None else f", cut down to {self.cut_to}"
            return f"<Arrangement of {what}: fits{cut}>"
        proof = "" if self.proof is None else f" ({_PROOFS[self.proof]})"
        return f"<Arrangement of {what}: {self.fit.replace('_', ' ')}{proof}: {self.why}>"


@dataclasses.dataclass(frozen=True)
class Issued:
    """A carrier's own packaging at hand; the tariff holds its sides and cost.

    ``carrier``, ``code``: whose it is and which. ``on_hand``: how many there are; None: enough.

    >>> tw.Issued("harbourline", "hl-crate-deep", on_hand=2).code
    'hl-crate-deep'
    """

    carrier: str
    code: str
    on_hand: int | None = None


def _sides(value: Any, count: int) -> tuple[str, list[str]]:
    """The text of the first ``count`` lengths, and what follows them."""
    if isinstance(value, str):
        parts = [part.strip() for part in value.replace("X", "x").replace("\u00d7", "x").split("x")]
        unit = parts[-1].lstrip("0123456789.-/ ")
        parts = [part if part[-1:].isalpha() else f"{part} {unit}" for part in parts]
    else:
        parts = [_length(part) for part in value]
    return " x ".join(parts[:count]), parts[count:]


def _length(value: Any) -> str:
    from tarewise._core import Length

    length = Length(value)
    return f"{length.to('mm'):f} mm"


def shelf_document(packaging: Iterable[Packaging], issued: Iterable[Issued], currency: str | None) -> str:
    """A shelf as a ``tarewise-shelf-1`` document, for the one reader of shelves."""
    given: object
    for name, given, expected in (("packaging", packaging, Packaging), ("issued", issued, Issued)):
        if not isinstance(given, Iterable):
            raise TypeError(f"{name}: found {type(given).__name__}, expected several {expected.__name__}, such as [one, another]")
    entries = []
    for one in packaging:
        if not isinstance(one, Packaging):
            raise TypeError(f"packaging: found {type(one).__name__}, expected Packaging")
        if isinstance(one.cost, float):
            raise TypeError(f"cost of {one.code}: found float {one.cost!r}, expected a Decimal or text: money is exact")
        count = {"carton": 3, "mailer": 2, "envelope": 2, "tube": 2}.get(one.kind, 3)
        entry: dict[str, Any] = {"code": one.code, "title": one.title or one.code, "kind": one.kind}
        if one.inside is not None and one.kind != "bare":
            entry["inside"], rest = _sides(one.inside, count)
            if rest and one.kind == "envelope":
                entry["thickness"] = rest[0]
        if one.wall is not None:
            entry["wall"] = _length(one.wall)
        elif one.outside is not None and one.kind not in ("bare", "mailer"):
            entry["outside"], _ = _sides(one.outside, count)
        if one.least_height is not None:
            entry["cut_down"], entry["least_height"] = True, _length(one.least_height)
        entry["tare"] = one.tare if isinstance(one.tare, str) else f"{one.tare.to('g'):f} g"
        entry["cost"] = f"{Decimal(one.cost):f}"
        if one.on_hand is not None:
            entry["on_hand"] = one.on_hand
        entries.append(entry)
    at_hand = []
    for carriers in issued:
        if not isinstance(carriers, Issued):
            raise TypeError(f"issued: found {type(carriers).__name__}, expected Issued")
        entry = {"carrier": carriers.carrier, "code": carriers.code}
        if carriers.on_hand is not None:
            entry["on_hand"] = carriers.on_hand
        at_hand.append(entry)
    document: dict[str, Any] = {"format": "tarewise-shelf-1", "packaging": entries, "issued": at_hand}
    if currency is not None:
        document["currency"] = currency
    return json.dumps(document, ensure_ascii=False)


# ---- to and from a pickle ----

_books: weakref.WeakValueDictionary[str, Ratebook] = weakref.WeakValueDictionary()
_books_lock = threading.Lock()
_packed: weakref.WeakKeyDictionary[Ratebook, bytes] = weakref.WeakKeyDictionary()


def reduce_ratebook(book: Ratebook) -> tuple[Any, ...]:
    """A ratebook's documents, packed once: tables of prices shrink to a quarter."""
    with _books_lock:
        packed = _packed.get(book)
    if packed is None:
        documents = book.documents
        head = json.dumps([[name, len(text)] for name, text in documents.items()]).encode()
        packed = zlib.compress(b"".join((head, b"\n", *documents.values())), 9)
        with _books_lock:
            _packed[book] = packed
    return (restore_ratebook, (2, book.version, packed))


def _unpack(packed: bytes) -> dict[str, bytes]:
    head, _, texts = zlib.decompress(packed).partition(b"\n")
    documents: dict[str, bytes] = {}
    first = 0
    for name, size in json.loads(head):
        documents[name] = texts[first : first + size]
        first += size
    return documents


def restore_ratebook(pickled: int, version: str, documents: Union[Mapping[str, bytes], bytes]) -> Ratebook:
    """A ratebook by its documents, of form 2 packed; of one content a process reads it once."""
    from tarewise._core import Ratebook

    _check_pickle(pickled, 2)
    with _books_lock:
        book = _books.get(version)
        if book is None:
            book = Ratebook.from_documents(_unpack(documents) if isinstance(documents, bytes) else documents)
            _books[version] = book
        return book


def restore_ranking(pickled: int, book: Ratebook, request: Request, shelf: Shelf | None, thresholds: bool) -> Ranking:
    from tarewise._core import rank_request

    _check_pickle(pickled)
    return rank_request(book, request, shelf=shelf, thresholds=thresholds)


def restore_plans(pickled: int, book: Ratebook, request: Request, shelf: Shelf | None, thresholds: bool) -> Plans:
    from tarewise._core import plan_request

    _check_pickle(pickled)
    return plan_request(book, request, shelf=shelf, thresholds=thresholds)


def restore_plan(plans: Plans, index: int) -> Plan:
    return plans.plans[index]


def restore_planned_parcel(plans: Plans, plan: int, index: int) -> PlannedParcel:
    return plans.plans[plan].parcels[index]


def restore_comparison(pickled: int, before: Ratebook, date_before: date, after: Ratebook, date_after: date) -> Comparison:
    from tarewise._core import compare

    _check_pickle(pickled)
    return compare(before, date_before, after, date_after)


def restore_offer(ranking: Ranking, index: int) -> Offer:
    return ranking.offers[index]


def restore_charge(ranking: Ranking, offer: int, index: int) -> Charge:
    return ranking.offers[offer].charges[index]


def restore_refusal(ranking: Ranking, index: int) -> Refusal:
    return ranking.refusals[index]


def _check_pickle(pickled: int, newest: int = 1) -> None:
    if not 1 <= pickled <= newest:
        known = "1" if newest == 1 else f"1 to {newest}"
        raise ValueError(f"found a pickle of form {pickled}, expected {known}: it was made by a later tarewise")
