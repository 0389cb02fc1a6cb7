"""What ``help()`` says of the compiled classes and functions: prototypes, whose words and signatures they are given.

Each has the signature that the stub and the compiled module have. Examples go on from that of ``help(tarewise)``.
"""

# mypy: disable-error-code="empty-body"
# ruff: noqa: D

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date, time
    from decimal import Decimal
    from fractions import Fraction
    from os import PathLike
    from typing import Any, Literal, SupportsIndex

    from tarewise import _core
    from tarewise._values import (
        ArrangedUnit,
        Arrangement,
        Caution,
        Consignment,
        Fee,
        Growth,
        Issued,
        Packaging,
        Parcels,
        PlaceTotal,
        Profit,
        Returns,
        SaleLine,
        Week,
    )

#: Of each class the words of its properties.
PROPERTIES: Final[dict[str, dict[str, str]]] = {}


class Weight:
    """A weight, exact to the nanogram.

    ``value``: text with a unit (lb, oz, kg, g, mg; several together, fractions too) or another
    Weight. Bare numbers and floats are a TypeError, text that cannot be read a QuantityError.
    Weights compare, add, subtract and multiply by whole numbers, never with another kind; they are
    shown in pounds and ounces or in metric, as they were written.

    >>> tw.Weight("1 lb 3 oz") + tw.Weight("100 g")
    Weight('22.52739619496 oz')
    >>> tw.Weight("16 oz") == tw.Weight("1 lb"), sum([tw.Weight("1 kg")] * 3)
    (True, Weight('3 kg'))
    """

    def __init__(self, value: Weight | str, /) -> None: ...

    @staticmethod
    def pounds(number: int | Decimal | Fraction | str, /) -> Weight:
        """So many pounds: a whole number, Decimal, Fraction or text; a float is a TypeError.

        >>> tw.Weight.pounds("2.5")
        Weight('40 oz')
        """

    @staticmethod
    def ounces(number: int | Decimal | Fraction | str, /) -> Weight:
        """So many ounces: a whole number, Decimal, Fraction or text; a float is a TypeError.

        >>> tw.Weight.ounces(19)
        Weight('19 oz')
        """

    @staticmethod
    def kilograms(number: int | Decimal | Fraction | str, /) -> Weight:
        """So many kilograms: a whole number, Decimal, Fraction or text; a float is a TypeError.

        >>> tw.Weight.kilograms("0.54")
        Weight('540 g')
        """

    @staticmethod
    def grams(number: int | Decimal | Fraction | str, /) -> Weight:
        """So many grams: a whole number, Decimal, Fraction or text; a float is a TypeError.

        >>> tw.Weight.grams(540)
        Weight('540 g')
        """

    def to(self, unit: Literal["lb", "oz", "kg", "g", "mg"], /) -> Decimal:
        """The number in ``unit``: "lb", "oz", "kg", "g" or "mg", exact, or to twelve decimals. Errors:
        QuantityError of another unit.

        >>> tw.Weight("1 lb 3 oz").to("oz")
        Decimal('19')
        """


PROPERTIES["Weight"] = {
    "nanograms": "Whole nanograms, below 0 after a subtraction that went there.",
}


class Length:
    """A length, exact to the nanometre.

    ``value``: text with a unit (mi, km, m, yd, ft, in, cm, mm; fractions too) or another Length.
    Bare numbers and floats are a TypeError, text that cannot be read a QuantityError. Lengths
    compare, add, subtract and multiply by whole numbers.

    >>> tw.Length("12-3/8 in"), tw.Length("31.4 cm") > tw.Length("1 ft")
    (Length('12.375 in'), True)
    """

    def __init__(self, value: Length | str, /) -> None: ...

    @staticmethod
    def inches(number: int | Decimal | Fraction | str, /) -> Length:
        """So many inches: a whole number, Decimal, Fraction or text; a float is a TypeError.

        >>> tw.Length.inches("12.375")
        Length('12.375 in')
        """

    @staticmethod
    def feet(number: int | Decimal | Fraction | str, /) -> Length:
        """So many feet: a whole number, Decimal, Fraction or text; a float is a TypeError.

        >>> tw.Length.feet(2)
        Length('24 in')
        """

    @staticmethod
    def millimetres(number: int | Decimal | Fraction | str, /) -> Length:
        """So many millimetres: a whole number, Decimal, Fraction or text; a float is a TypeError.

        >>> tw.Length.millimetres(305)
        Length('30.5 cm')
        """

    @staticmethod
    def centimetres(number: int | Decimal | Fraction | str, /) -> Length:
        """So many centimetres: a whole number, Decimal, Fraction or text; a float is a TypeError.

        >>> tw.Length.centimetres("30.5")
        Length('30.5 cm')
        """

    @staticmethod
    def metres(number: int | Decimal | Fraction | str, /) -> Length:
        """So many metres: a whole number, Decimal, Fraction or text; a float is a TypeError.

        >>> tw.Length.metres("1.2")
        Length('120 cm')
        """

    def to(self, unit: Literal["mi", "km", "m", "yd", "ft", "in", "cm", "mm"], /) -> Decimal:
        """The number in ``unit``: "mi", "km", "m", "yd", "ft", "in", "cm" or "mm", exact, or to twelve
        decimals. Errors: QuantityError of another unit.

        >>> tw.Length("1 ft").to("cm")
        Decimal('30.48')
        """


PROPERTIES["Length"] = {
    "nanometres": "Whole nanometres, below 0 after a subtraction that went there.",
}


class Sides:
    """Three sides in the order written; the third is the upright one. Each is over 0 and at most 50 m.

    ``value``: text ("14 x 9 x 5 in"), three lengths, or other Sides. Indices 0 to 2 are the sides
    as written; ``length``, ``width`` and ``height`` go by size. Errors: QuantityError; TypeError of
    numbers without a unit.

    >>> sides = tw.Sides("9 x 14 x 5 in")
    >>> sides[0], sides.length, sides.girth
    (Length('9 in'), Length('14 in'), Length('28 in'))
    >>> tw.Sides(("30 cm", "20 cm", "100 mm"))
    Sides('30 x 20 x 10 cm')
    """

    def __init__(
        self,
        value: Sides | str | tuple[Length | str, Length | str, Length | str] | list[Length | str],
        /,
    ) -> None: ...

    def volume(self, unit: Literal["in3", "ft3", "cm3", "m3", "l", "mm3"], /) -> Decimal:
        """The volume in ``unit``: "in3", "ft3", "cm3", "m3", "l" or "mm3". Errors: QuantityError of
        another unit.

        >>> tw.Sides("12 x 9 x 6 in").volume("in3")
        Decimal('648')
        """


PROPERTIES["Sides"] = {
    "length": "The longest side.",
    "width": "The second longest side.",
    "height": "The shortest side.",
    "girth": "Twice the width and twice the height together: the way around the parcel.",
    "length_plus_girth": "The longest side and the girth together.",
}


class Place:
    """A country and a postal code, which may be empty.

    ``country``: two letters ("US"), or the whole place as one text ("US 05401"). ``residential``: a
    home, where some carriers charge more. ``area``: the beginning of a code will do ("US 100"), as
    a place of a `Mix`. Errors: QuantityError where the two do not belong together.

    >>> tw.Place("US 05401"), tw.Place("CA", "K1A 0B1", residential=True)
    (Place('US 05401'), Place('CA K1A0B1', residential=True))
    >>> tw.Place("US", "5401")
    Traceback (most recent call last):
        ...
    tarewise.errors.QuantityError: postal_code: found "5401", expected five digits, perhaps a hyphen and four more; was it "05401"?
    """

    def __init__(
        self,
        country: Place | str,
        postal_code: str | None = None,
        *,
        residential: bool = False,
        area: bool = False,
    ) -> None: ...

    @staticmethod
    def mend(country: str, postal_code: str) -> tuple[str, str]:
        """For a column that is known to have lost zeros: the code that it most likely was, and what
        was done to it, which is to be told; "" where nothing was. Errors: QuantityError of a code
        that no zeros mend.

        >>> tw.Place.mend("US", "5401")
        ('05401', 'found "5401", read as "05401"')
        """


PROPERTIES["Place"] = {
    "country": "Two letters.",
    "postal_code": 'As it was written, in capitals; "" where there is none.',
    "residential": "Whether it is a home.",
}


class Lane:
    """From where to where. The way back may cost another price.

    ``origin`` and ``destination``: Places, or texts such as "US 05401". ``residential``: whether
    the destination is a home; left out, as the Place says. Errors: QuantityError.

    >>> tw.Lane("US 05401", "US 98101", residential=True)
    Lane('US 05401', 'US 98101', residential=True)
    """

    def __init__(self, origin: Place | str, destination: Place | str, *, residential: bool | None = None) -> None: ...


PROPERTIES["Lane"] = {
    "origin": "Where the parcel is handed over.",
    "destination": "Where it is to arrive.",
}


class Item:
    """Goods that were sold, one kind of them.

    - ``weight``: of one unit, over 0 and at most 100000 kg; it may be a range, "14..18 oz".
    - ``sides``: of one unit, over 0 and at most 50 m each, the third upright; they may be ranges.
    - ``quantity``: 1 to 10000 units.
    - ``contents``: what they are, such as "media", "fragile" or an "x-" word of one's own.
    - ``value``: of one unit, 0 to 1,000 million; never a float.
    - ``shape``: "box", "tube", "soft", "flat" or "irregular".
    - ``this_side_up``: the third side stays upright; ``may_stand``: which of sides 1, 2, 3 may.
    - ``rigid``: does not bend. ``bare``: may go without packaging.
    - ``top_free``: nothing may lie on it; ``bears``: at most so much may.
    - ``presses_to``: percent of its thickness that soft goods press to, as text, with
      ``least_thickness``, what they keep: as measured.
    - ``title``: its name in steps and pictures.

    Errors: QuantityError with ``pointer``; TypeError of bare numbers and floats.

    >>> tw.Item("1 lb 3 oz", "12 x 9 x 4 in", value="24.00", contents=["media"])
    Item('19 oz', '12 x 9 x 4 in', contents=('media',), value=Decimal('24.00'))
    >>> tw.Item("9 oz", "5 x 5 x 5 in", quantity=2, top_free=True, title="Tin")
    Item('9 oz', '5 x 5 x 5 in', quantity=2, top_free=True, title='Tin')
    >>> tw.Item(19, "12 x 9 x 4 in")
    Traceback (most recent call last):
        ...
    TypeError: weight: found int, expected a Weight, or text with a unit such as "10.5 oz"
    """

    def __init__(
        self,
        weight: Weight | str,
        sides: Sides | str | tuple[Length | str, Length | str, Length | str] | list[Length | str],
        *,
        quantity: SupportsIndex = 1,
        contents: str | Sequence[str] = (),
        value: Decimal | str | int = 0,
        shape: Literal["box", "tube", "soft", "flat", "irregular"] = "box",
        this_side_up: bool = False,
        rigid: bool = False,
        bare: bool = False,
        may_stand: Sequence[SupportsIndex] | None = None,
        top_free: bool = False,
        bears: Weight | str | None = None,
        presses_to: str | None = None,
        least_thickness: Length | str | None = None,
        title: str = "",
    ) -> None: ...


PROPERTIES["Item"] = {
    "weight": "Of one unit; of a range its least.",
    "weight_most": "The most of a range of weights; None: it is no range.",
    "sides": "Of one unit; of ranges their least.",
    "sides_most": "The most of ranges of sides; None: none is a range.",
    "quantity": "How many units, 1 to 10000.",
    "contents": "The words for what it is.",
    "value": "Of one unit, as an amount of money.",
    "shape": '"box", "tube", "soft", "flat" or "irregular".',
    "this_side_up": "Whether the third side stays upright.",
    "rigid": "Whether it does not bend.",
    "bare": "Whether it may go without packaging.",
    "may_stand": "Which of the sides 1, 2 and 3 may be upright.",
    "top_free": "Whether nothing may lie on it.",
    "bears": "The most that may lie on it; None: anything.",
    "presses_to": "Percent of its thickness that soft goods press to, as text; None: hard.",
    "least_thickness": "What soft goods keep however they are pressed; None: hard.",
    "title": 'Its name; "": none.',
}


class Parcel:
    """A parcel that is packed and closed.

    ``weight``: gross, over 0 and at most 100000 kg; ``sides``: outside, over 0 and at most 50 m
    each; either may be a range ("14..18 oz"). ``packaging``: the code of what it is in, where a
    carrier's own packaging has its own prices. ``contents``, ``value``, ``shape`` and ``rigid`` as
    of an `Item`. Errors: QuantityError with ``pointer``; TypeError of bare numbers and floats.

    >>> tw.Parcel("2 lb", "12.25 x 9.25 x 6.25 in", value="24.00")
    Parcel('2 lb', '12.25 x 9.25 x 6.25 in', value=Decimal('24.00'))
    """

    def __init__(
        self,
        weight: Weight | str,
        sides: Sides | str | tuple[Length | str, Length | str, Length | str] | list[Length | str],
        *,
        packaging: str | None = None,
        contents: str | Sequence[str] = (),
        value: Decimal | str | int = 0,
        shape: Literal["box", "tube", "soft", "flat", "irregular"] = "box",
        rigid: bool = False,
    ) -> None: ...


PROPERTIES["Parcel"] = {
    "weight": "Gross; of a range its least.",
    "weight_most": "The most of a range of weights; None: it is no range.",
    "sides": "Outside, the longest first; of ranges their least.",
    "sides_most": "The most of ranges of sides; None: none is a range.",
    "packaging": "The code of its packaging; None: not said.",
    "contents": "The words for what is in it.",
    "value": "Of what is in it, as an amount of money.",
    "shape": '"box", "tube", "soft", "flat" or "irregular".',
    "rigid": "Whether it does not bend.",
}


class Promise:
    """What the buyer was promised: made by `within`, `by` or `paid_for`. Offers that may break it are
    refused.

    >>> tw.Promise.within(3)
    Promise.within(3)
    >>> tw.Promise.by("2026-08-07").date
    datetime.date(2026, 8, 7)
    """

    @staticmethod
    def within(days: SupportsIndex, /) -> Promise:
        """So many business days from the hand-over at most, 0 to 10000. Errors: QuantityError.

        >>> tw.Promise.within(8)
        Promise.within(8)
        """

    @staticmethod
    def by(date: date | str, /) -> Promise:
        """To arrive on a day at the latest, by the carrier's calendar: a date or text. Errors:
        QuantityError.

        >>> tw.Promise.by("2026-08-07")
        Promise.by('2026-08-07')
        """

    @staticmethod
    def paid_for(service: str, /) -> Promise:
        """No slower than the service that the buyer paid for, "carrier/service" or a service's code
        alone. Errors: QuantityError.

        >>> tw.Promise.paid_for("harbourline/swift")
        Promise.paid_for('harbourline/swift')
        """


PROPERTIES["Promise"] = {
    "days": "Business days; None: it is another promise.",
    "date": "The last day; None: it is another promise.",
    "service": 'The service that was paid for, "carrier/service"; None: it is another promise.',
}


class Tolerance:
    """What the scale and the tape may be short by: an offer that is dearer or refused within it is
    ``at_risk``.

    ``weight``, ``sides``: 0 or more; left out: 0. Errors: QuantityError, and RequestError of more
    than a request may have.

    >>> tw.Tolerance(weight="0.1 oz", sides="0.25 in")
    Tolerance(weight='0.1 oz', sides='0.25 in')
    """

    def __init__(self, *, weight: Weight | str | None = None, sides: Length | str | None = None) -> None: ...


PROPERTIES["Tolerance"] = {
    "weight": "What the scale may be short by.",
    "sides": "What the tape may be short by, on each side.",
}


class Steps:
    """The finest that a scale and a tape show: `Offer.headroom`, savers and changes are told in whole
    steps.

    ``weight``, ``sides``: over 0, fractions too; left out of a request: 0.1 oz or 1 g, 1/8 in or 1
    mm. Errors: QuantityError.

    >>> tw.Steps(weight="1 oz", sides="1/16 in")
    Steps(weight='1 oz', sides='1/16 in')
    """

    def __init__(self, *, weight: Weight | str, sides: Length | str) -> None: ...


PROPERTIES["Steps"] = {
    "weight": "Of the scale, as it was written.",
    "sides": "Of the tape, as it was written.",
}


class Allowance:
    """What packing adds to the weight of an estimate, where no shelf is given: from ``least`` to
    ``most``. Errors: QuantityError where ``most`` is less than ``least``.

    >>> tw.Allowance("8 oz", "12 oz")
    Allowance('8 oz', '12 oz')
    """

    def __init__(self, least: Weight | str, most: Weight | str) -> None: ...


PROPERTIES["Allowance"] = {
    "least": "What packing adds at the least.",
    "most": "What it adds at the most.",
}


class Request:
    """What is asked: how to send this, from here to there, on this day; for `rank_request` and
    `plan_request`.

    - ``goods``: an `Item`, several, or a packed `Parcel`.
    - ``lane``: from where to where.
    - ``date``: the day of the hand-over, a date or text such as "2026-08-03".
    - ``promise``: what the buyer was promised, a `Promise`.
    - ``extras``: the codes of extras, at most 100, such as ("signature",).
    - ``cover``: what it is to be covered for, 0 to 1,000 million; never a float, as no money is.
    - ``accepts``: where it may end: "door", "point", "locker", or several.
    - ``amounts``: {"cash_on_delivery": "64.00"}, what is to be collected, in the currency of
      totals.
    - ``time``: of the hand-over, "15:30" or a datetime.time of whole minutes.
    - ``totals``: "with_tax" or "without_tax".
    - ``week``: what is sent in a week, a `Week`.
    - ``consignment``: that the parcel is one of several that go together, a `Consignment`.
    - ``tolerance``, ``steps``: of the scale and the tape, `Tolerance` and `Steps`.
    - ``objective``: "cheapest", or "cautious": what is at risk counts at what it may come to.
    - ``currency``: of totals, such as "USD"; needed where tariffs have several.
    - ``exchange``: units of it for one of another: {"EUR": "1.0842"}.
    - ``padding``: on every side of the goods, 0 to 50 m.
    - ``fill_weight``: what fills each carton, 0 to 100000 kg.
    - ``allowance``: what packing adds to an estimate, an `Allowance`.
    - ``parcels``: how an order may be parted, a number or `Parcels`.
    - ``sealed``: parcels that are packed, in the place of goods.

    Errors: QuantityError, RequestError with ``pointer``.

    >>> asked = tw.Request(item, lane=lane, date="2026-08-03", currency="USD")
    >>> tw.rank_request(tables.ratebook, asked, shelf=tables.shelf).best.total
    Decimal('11.99')
    """

    def __init__(
        self,
        goods: Item | Parcel | Sequence[Item] | None = None,
        *,
        lane: Lane,
        date: date | str,
        promise: Promise | None = None,
        extras: Sequence[str] = (),
        cover: Decimal | str | int | None = None,
        accepts: str | Sequence[str] = "door",
        amounts: Mapping[str, Decimal | str | int] | None = None,
        time: time | str | None = None,
        totals: Literal["with_tax", "without_tax"] = "with_tax",
        week: Week | None = None,
        consignment: Consignment | None = None,
        tolerance: Tolerance | None = None,
        steps: Steps | None = None,
        objective: Literal["cheapest", "cautious"] = "cheapest",
        currency: str | None = None,
        exchange: Mapping[str, Decimal | str | int] | None = None,
        padding: Length | str | None = None,
        fill_weight: Weight | str | None = None,
        allowance: Allowance | None = None,
        parcels: int | Parcels | Mapping[str, Any] | None = None,
        sealed: Sequence[Parcel] | None = None,
    ) -> None: ...

    @staticmethod
    def from_json(text: str | bytes, /, name: str = "request") -> Request:
        """Reads a request document (FORMAT.md B8); ``name`` stands in errors. Errors: RequestError
        with every finding in ``diagnostics``.

        >>> text = '{"format": "tarewise-request-1", "goods": [{"weight": "2 lb", "sides": "9 x 6 x 3 in"}],'
        >>> text += '"from": {"country": "US", "postal_code": "05401"}, "to": {"country": "US", "postal_code": "98101"}, "date": "2026-08-03"}'
        >>> tw.Request.from_json(text, "order.json")
        Request(Item('2 lb', '9 x 6 x 3 in'), lane=Lane('US 05401', 'US 98101'), date='2026-08-03')
        """


PROPERTIES["Request"] = {
    "goods": "The Items; none of a packed parcel.",
    "parcel": "The packed parcel; None: there are goods.",
    "parcels": "How the order may be parted; None: one parcel.",
    "sealed": "Parcels that are packed and go together.",
    "lane": "From where to where.",
    "date": "The day of the hand-over.",
    "promise": "What the buyer was promised; None: nothing.",
    "extras": "The codes of extras.",
    "cover": "What it is to be covered for; None: no more than is included.",
    "accepts": 'Where it may end: of "door", "point", "locker".',
    "amounts": "What is to be collected, by its name.",
    "time": "Of the hand-over; None: before every cut-off.",
    "totals": '"with_tax" or "without_tax".',
    "week": "What is sent in a week.",
    "consignment": "Of how many parcels it is one.",
    "tolerance": "What scale and tape may be short by.",
    "steps": "The finest that scale and tape show.",
    "objective": '"cheapest" or "cautious".',
    "currency": "Of the totals; None: that of the tariffs.",
    "exchange": "Units of the currency of the totals for one of each other.",
    "padding": "On every side of the goods; None: none.",
    "fill_weight": "What fills each carton, in weight.",
    "allowance": "What packing adds to an estimate.",
}


class Shelf:
    """The packaging at hand: one's own, and a carrier's.

    ``packaging``: `Packaging` of one's own; ``issued``: what carriers give out (`Issued`);
    ``currency``: of the costs, needed where there are any. Errors: TariffError that says where, as
    of a document.

    >>> shelf = tw.Shelf([tw.Packaging("box", "carton", inside="12 x 9 x 6 in", wall="1/8 in", tare="9 oz", cost="0.69")], currency="USD")
    >>> [one.code for one in shelf]
    ['box']
    """

    def __init__(
        self,
        packaging: Sequence[Packaging] = (),
        *,
        issued: Sequence[Issued] = (),
        currency: str | None = None,
    ) -> None: ...

    @staticmethod
    def load(path: str | PathLike[str], /) -> Shelf:
        """Reads a shelf's document. Errors: TariffError.

        >>> len(tw.Shelf.load("tables/demo/shelf.csv"))
        39
        """


PROPERTIES["Shelf"] = {
    "currency": "Of the costs; None: there are none.",
    "packaging": "One's own.",
    "issued": "What carriers give out.",
}


class Ratebook:
    """The tariffs and terms in hand, every version: made by `load`, and by `Ratebook.load` and
    `Ratebook.from_documents`.

    It is a sequence of its `Tariff` versions. It never changes, may be shared between threads, and
    is pickled as its documents.

    >>> tables.ratebook.carriers
    ('fenwick-dray', 'harbourline', 'larkspur', 'larkspur-eu')
    >>> len(tables.ratebook) == len(tables.ratebook.tariffs)
    True
    """

    @staticmethod
    def load(path: str | PathLike[str], /) -> Ratebook:
        """Reads a folder of tables whole. Errors: TariffError; nothing is half-loaded. `tarewise.load`
        gives the shelf and warnings too.

        >>> tw.Ratebook.load("tables/demo") == tables.ratebook
        True
        """

    @staticmethod
    def from_documents(documents: Mapping[str, str | bytes], /) -> Ratebook:
        """Reads documents by their names, texts or bytes. Errors: TariffError; nothing is half-loaded.

        >>> tw.Ratebook.from_documents(tables.ratebook.documents) == tables.ratebook
        True
        """


PROPERTIES["Ratebook"] = {
    "version": "SHA-256 of the documents, in hexadecimal: equal of equal documents, whatever their folder.",
    "carriers": "The codes of the carriers.",
    "tariffs": "Every version of every tariff.",
    "documents": "What it was read from: bytes by name.",
}


class Charge:
    """One line of an offer: what is charged, and why. Had from `Offer.charges`.

    >>> charge = ranking.best.charges[0]
    >>> charge.code, charge.amount, charge.why
    ('base', Decimal('11.30'), 'billable weight 2 lb (actual); zone 7')
    """


PROPERTIES["Charge"] = {
    "code": '"base": the price itself; else that of the surcharge, extra or discount.',
    "title": "What it is called.",
    "amount": "In the tariff's currency; of a discount below 0.",
    "why": "The values that it rests on, in words.",
    "row": "Of the price list; None: it is of no list.",
    "column": "Of the price list; None: it has none.",
    "billed_as": 'The heavier break whose price was lower ("45 kg"); None: its own.',
}


class Offer:
    """One way to send, with its price and why. Had from a `Ranking`.

    >>> best = ranking.best
    >>> best.carrier, best.service, best.packaging, best.total, best.days
    ('harbourline', 'parcel', 'carton-12', Decimal('11.99'), Days(least=4, most=6))
    >>> best.total == sum(charge.amount for charge in best.charges) + best.packaging_cost
    True
    """

    def room_to_grow(self, *, nodes: SupportsIndex = 20000) -> tuple[Growth, ...]:
        """How much longer each side of each item may be, all else as it is, until the packaging holds
        the goods no more.

        ``nodes``: steps of each search, 1 to 1,000 million; fewer are faster and may tell less than
        there is. Some 40 fits a side: milliseconds as a rule, minutes where many units fit closely.
        Errors: QuantityError.

        >>> ranking.best.room_to_grow()
        (Growth(item=0, sides=(Length('0 in'), Length('0 in'), Length('2 in'))),)
        """

    def to_dict(self) -> dict[str, Any]:
        """The offer as plain Python values, as the document of its ranking has it: amounts of money
        and quantities are text.

        >>> ranking.best.to_dict()["total"]
        '11.99'
        """


PROPERTIES["Offer"] = {
    "carrier": "The carrier's code.",
    "carrier_name": "The carrier's name.",
    "service": "The service's code.",
    "title": "The service's title.",
    "packaging": 'The packaging\'s code; "own": not named, "estimate": of an estimate.',
    "packaging_title": "What the packaging is called; None: nothing.",
    "issued_by": "The carrier whose packaging it is; None: one's own.",
    "zone": "The zone of the tariff.",
    "days": "Business days from the hand-over; None: none are published.",
    "arrives": "Between which dates; None: no days, or no calendar.",
    "delivers": 'Where it ends: "door", "point" or "locker".',
    "tracked": "Whether its way can be followed.",
    "mode": '"surface", "air", or "any": it is not said.',
    "weight": "Gross, of the parcel.",
    "sides": "Outside, the longest first.",
    "billable_weight": "What the price goes by.",
    "billable_from": '"actual", "dimensional" or "minimum".',
    "charges": "The lines of the service's price.",
    "tariff_currency": "The currency of the charges.",
    "tariff_total": "The charges together, in the tariff's currency, without packaging.",
    "tax": "That of the charges; None: none is due.",
    "packaging_cost": "In the ranking's currency.",
    "total": "Of service and packaging, in the ranking's currency.",
    "handicaps": "What the seller's own rules count in the order; in no total.",
    "cut_to": "The height of the outside of a carton that is cut down; None: it is not.",
    "arrangement": "Where each unit lies, of several in one packaging; empty of one.",
    "inside": "What the units lie in; None: no packaging holds them.",
    "overdue": "Series whose last value was charged although it is older than it is good for.",
    "handicap": "The handicaps together, in the ranking's currency: counted in the order, in no total.",
    "included_cover": "What the service covers at no charge, in the ranking's currency.",
    "cautions": "The codes of cautions of this offer alone; `caution` tells the words.",
    "at_risk": "Whether within the tolerance it is dearer, or refused.",
    "total_at_risk": "What it comes to then; None while at risk: it is refused, and where it is not at risk.",
    "total_range": "The lowest and highest total of goods that range; None: they do not.",
    "headroom": "What weight and sides may each grow by at the same total.",
    "savers": "What taking a little out would save.",
}


class Refusal:
    """One way that is not offered, with every reason. Had from `Ranking.refusals`.

    >>> refusal = ranking.refusals[0]
    >>> refusal.packaging, refusal.reasons[0].code
    ('used-kettle', 'does_not_fit')
    """


PROPERTIES["Refusal"] = {
    "carrier": "The carrier's code; None: the packaging itself is out.",
    "service": "The service's code; None: the packaging itself is out.",
    "packaging": "The packaging's code.",
    "reasons": "Every reason, as code and words.",
}


class Ranking:
    """Every way to send, best first, and every way that is not offered. Made by `rank`.

    A sequence of its offers, false where there is none. In a notebook it is shown with what was
    asked, the best of each service and what stands in the way of the others; ``print`` gives the
    same as text of 80 columns.

    >>> len(ranking) == len(ranking.offers), ranking[0] == ranking.best
    (True, True)
    >>> [offer.total for offer in ranking[:3]]
    [Decimal('11.99'), Decimal('12.08'), Decimal('13.66')]
    """

    def steps(self, offer: Offer) -> tuple[str, ...]:
        """How to pack an offer of this ranking, in steps to follow. Errors: ValueError of another
        ranking's offer.

        >>> tins = tw.Item("9 oz", "5 x 5 x 5 in", quantity=2, title="Tin")
        >>> packed = tw.rank(tables.ratebook, tins, shelf=tables.shelf, lane=lane, date="2026-08-03", currency="USD")
        >>> packed.steps(packed.best)[-1]
        'Fill what is left free, so that nothing moves.'
        """

    def to_json(self, *, indent: int = 2, room_to_grow: bool = False) -> str:
        """The ranking's document (FORMAT.md B10) as text. ``indent``: spaces a level, 2 left out, -1:
        one line. ``room_to_grow``: with `Offer.room_to_grow` of every offer, which takes longer.

        >>> ranking.to_json(indent=-1)[:33]
        '{"format":"tarewise-ranking-1","e'
        """

    def to_dict(self) -> dict[str, Any]:
        """The ranking's document as plain Python values: amounts of money and quantities are text, so
        that nothing is lost.

        >>> sorted(ranking.to_dict())
        ['cautions', 'currency', 'estimate', 'format', 'offers', 'refusals', 'steps']
        """

    def to_frame(
        self,
        kind: Literal["offers", "refusals", "charges"] = "offers",
        *,
        totals: Literal["decimal", "float"] = "decimal",
    ) -> Any:
        """The offers as a pandas DataFrame, one row each; with ``kind`` "refusals" a row for each
        reason, with "charges" one for each line of each offer.

        ``totals``: "decimal", or "float" for programs that cannot go on with decimals; a float is
        not exact. Errors: ImportError without pandas, which ``pip install "tarewise[frames]"``
        brings; ValueError of another word.

        >>> frame = ranking.to_frame()
        >>> frame.loc[0, "total"] == ranking.best.total
        True
        >>> list(ranking.to_frame("charges").columns)
        ['offer', 'carrier', 'service', 'packaging', 'code', 'title', 'amount', 'currency', 'why', 'row', 'column', 'billed_as']
        """


PROPERTIES["Ranking"] = {
    "offers": "Every way to send, best first.",
    "refusals": "Every way that is not offered, with its reasons.",
    "best": "The first offer; None: nothing can be offered.",
    "cautions": "What to take care of: usual cautions, with their sources.",
    "changes": "Of goods that range: where another way becomes the cheapest.",
    "estimate": "Whether no shelf was given: the goods are not packed yet.",
    "currency": "Of totals.",
    "totals": '"with_tax" or "without_tax".',
    "request": "What was asked.",
    "ratebook": "What it was priced by.",
    "shelf": "The packaging at hand; None: an estimate, or a packed parcel.",
}


class PlannedParcel:
    """One parcel of a plan: what is in it, and how it goes. Had from a `Plan`.

    >>> parcel = plans.best[0]
    >>> parcel.goods, parcel.offer.total
    ((PlannedGoods(item=0, units=1),), Decimal('11.99'))
    """


PROPERTIES["PlannedParcel"] = {
    "goods": "How many units of which item are in it.",
    "sealed": "Its place among the sealed parcels; None: it is packed now.",
    "ranking": "Every offer in its packaging, with steps and pictures as of any.",
    "offer": "How it goes.",
}


class Plan:
    """A set of parcels that together hold every unit of an order once: a sequence of them. Had from
    `Plans`.

    >>> plan = plans.best
    >>> len(plan), plan.total == sum(parcel.offer.total for parcel in plan)
    (1, True)
    """


PROPERTIES["Plan"] = {
    "parcels": "The parcels.",
    "total": "Of all of them, in the currency of the plans.",
    "handicap": "Of all of them: counted in the order, in no total.",
    "at_risk": "Whether one of them is.",
    "total_at_risk": "What it comes to then; None: one is refused then, or none is at risk.",
    "days": "Business days until the last arrives; None: one has none published.",
    "arrives": "Between which dates the last arrives; None: not known.",
    "once": "What is due once for parcels that go together.",
}


class Plans:
    """How to part an order into parcels, cheapest first: a sequence of plans. Made by `plan`.

    >>> plans.best.total <= plans.single, plans.proved
    (True, True)
    """

    def to_json(self, *, indent: int = 2, room_to_grow: bool = False) -> str:
        """The plans' document (FORMAT.md B10) as text. ``indent``: spaces a level, 2 left out, -1: one
        line. ``room_to_grow``: with `Offer.room_to_grow` of every offer, which takes longer.

        >>> plans.to_json(indent=-1)[:31]
        '{"format":"tarewise-plans-1","c'
        """

    def to_dict(self) -> dict[str, Any]:
        """The plans' document as plain Python values: amounts of money and quantities are text, so
        that nothing is lost.

        >>> plans.to_dict()["single"] == str(plans.single)
        True
        """

    def to_frame(
        self,
        kind: Literal["parcels", "plans", "charges"] = "parcels",
        *,
        totals: Literal["decimal", "float"] = "decimal",
    ) -> Any:
        """The parcels of every plan as a pandas DataFrame, one row each; with ``kind`` "plans" one for
        each plan, with "charges" one for each line of each parcel.

        ``totals``: "decimal", or "float" for programs that cannot go on with decimals; a float is
        not exact. Errors: ImportError without pandas, which ``pip install "tarewise[frames]"``
        brings; ValueError of another word.

        >>> frame = plans.to_frame()
        >>> frame["total"][frame["plan"] == 0].sum() == plans.best.total
        True
        """


PROPERTIES["Plans"] = {
    "plans": "The plans, cheapest first.",
    "best": "The first; None: nothing can be sent.",
    "single": "The total in one parcel; None: it does not go in one.",
    "at_least": "No plan can cost less than this; None: not known.",
    "proved": "Whether the first is proved the cheapest there is.",
    "obstacles": "What keeps the order from being sent.",
    "cautions": "What to take care of: usual cautions, with their sources.",
    "estimate": "Whether no shelf was given.",
    "currency": "Of totals.",
    "request": "What was asked.",
    "ratebook": "What they were priced by.",
    "shelf": "The packaging at hand; None: an estimate.",
}


class Comparison:
    """What differs between two ratebooks on two dates. Made by `compare`; false where nothing differs.

    >>> comparison = tw.compare(tables.ratebook, "2026-07-01", tables.ratebook, "2026-08-03")
    >>> comparison
    <Comparison of 2026-07-01 and 2026-08-03: 2 carriers differ>
    """

    def to_json(self, *, indent: int = 2) -> str:
        """The comparison's document as text. ``indent``: spaces a level, 2 left out, -1: one line.

        >>> comparison = tw.compare(tables.ratebook, "2026-07-01", tables.ratebook, "2026-08-03")
        >>> comparison.to_json(indent=-1)[:36]
        '{"format":"tarewise-comparison-1","d'
        """

    def to_dict(self) -> dict[str, Any]:
        """The comparison's document as plain Python values.

        >>> comparison = tw.compare(tables.ratebook, "2026-07-01", tables.ratebook, "2026-08-03")
        >>> comparison.to_dict()["format"]
        'tarewise-comparison-1'
        """

    def to_frame(self, *, totals: Literal["decimal", "float"] = "decimal") -> Any:
        """The prices that differ as a pandas DataFrame, one row each, None where a price is not there
        on that side.

        ``totals``: "decimal", or "float" for programs that cannot go on with decimals; a float is
        not exact. Errors: ImportError without pandas, which ``pip install "tarewise[frames]"``
        brings; ValueError of another word.

        >>> comparison = tw.compare(tables.ratebook, "2026-07-01", tables.ratebook, "2026-08-03")
        >>> len(comparison.to_frame()) == len(comparison.cells)
        True
        """


PROPERTIES["Comparison"] = {
    "summary": "The difference in words.",
    "date_before": "The first date.",
    "date_after": "The second date.",
    "carriers": "The codes of those that differ.",
    "cells": "Each price of a list that differs.",
}


class Economics:
    """What selling and sending leaves of a price: fees, returns, labour and packaging, in one
    currency.

    ``fees``: `Fee`; ``packaging``, ``labour``: of each parcel, 0 to 1,000 million, never a float;
    ``returns``: `Returns`. Places are `PlaceTotal` with the totals that `rank` and `reprice` gave.
    Errors: QuantityError, RequestError with ``pointer``.

    >>> shop = tw.Economics("USD", fees=[tw.Fee("selling", "11.4")], labour="1.20")
    >>> places = [tw.PlaceTotal("5.10", share=3), tw.PlaceTotal("9.40")]
    >>> shop.profit(places, cost="4.00", price="24.90").expected
    Decimal('10.69')
    """

    def __init__(
        self,
        currency: str,
        *,
        fees: Sequence[Fee] = (),
        packaging: Decimal | str | int = 0,
        labour: Decimal | str | int = 0,
        returns: Returns | None = None,
    ) -> None: ...

    def profit(
        self,
        places: Sequence[PlaceTotal],
        *,
        cost: Decimal | str | int,
        price: Decimal | str | int,
        quantiles: Sequence[Decimal | float | str] = (),
    ) -> Profit:
        """What a sale leaves in the worst place, on average, and at ``quantiles`` (0 to 1). Errors:
        QuantityError, RequestError.

        >>> shop = tw.Economics("USD", fees=[tw.Fee("selling", "11.4")], labour="1.20")
        >>> places = [tw.PlaceTotal("5.10", share=3), tw.PlaceTotal("9.40")]
        >>> shop.profit(places, cost="4.00", price="24.90", quantiles=["0.5"])
        Profit(worst=Decimal('7.46'), worst_place=1, expected=Decimal('10.69'), worst_returned=Decimal('7.46'), quantiles=(Decimal('11.76'),))
        """

    def account(
        self,
        place: PlaceTotal,
        *,
        cost: Decimal | str | int,
        price: Decimal | str | int,
        returned: bool = False,
    ) -> tuple[SaleLine, ...]:
        """A sale to one place line by line; what it costs is below 0. ``returned``: of one that came
        back.

        >>> shop = tw.Economics("USD", fees=[tw.Fee("selling", "11.4")], labour="1.20")
        >>> places = [tw.PlaceTotal("5.10", share=3), tw.PlaceTotal("9.40")]
        >>> sum(line.amount for line in shop.account(places[0], cost="4.00", price="24.90"))
        Decimal('11.76')
        """

    def keeps(
        self,
        places: Sequence[PlaceTotal],
        *,
        cost: Decimal | str | int,
        price: Decimal | str | int,
        wanted: Decimal | str | int,
        of: Literal["worst", "average"] = "average",
    ) -> bool:
        """Whether a sale leaves ``wanted``, an amount or a part of the price such as "20 %", ``of``
        the "worst" place or on "average".

        >>> shop = tw.Economics("USD", fees=[tw.Fee("selling", "11.4")], labour="1.20")
        >>> places = [tw.PlaceTotal("5.10", share=3), tw.PlaceTotal("9.40")]
        >>> shop.keeps(places, cost="4.00", price="24.90", wanted="5.00", of="worst")
        True
        """

    def most_to_pay(
        self,
        places: Sequence[PlaceTotal],
        *,
        price: Decimal | str | int,
        wanted: Decimal | str | int,
        of: Literal["worst", "average"] = "average",
    ) -> Decimal | None:
        """The most to pay for a good that sells at ``price``, so that ``wanted`` is left; None:
        nothing is.

        >>> shop = tw.Economics("USD", fees=[tw.Fee("selling", "11.4")], labour="1.20")
        >>> places = [tw.PlaceTotal("5.10", share=3), tw.PlaceTotal("9.40")]
        >>> shop.most_to_pay(places, price="24.90", wanted="5.00", of="worst")
        Decimal('6.46')
        """

    def least_price(
        self,
        places: Sequence[PlaceTotal],
        *,
        cost: Decimal | str | int,
        wanted: Decimal | str | int,
        of: Literal["worst", "average"] = "average",
        up_to: Decimal | str | int = 1000000,
    ) -> Decimal | None:
        """The least price, at most ``up_to``, at which a good of ``cost`` leaves ``wanted``; None: no
        such price does.

        >>> shop = tw.Economics("USD", fees=[tw.Fee("selling", "11.4")], labour="1.20")
        >>> places = [tw.PlaceTotal("5.10", share=3), tw.PlaceTotal("9.40")]
        >>> shop.least_price(places, cost="4.00", wanted="5.00")
        Decimal('18.49')
        """


PROPERTIES["Economics"] = {
    "currency": "Of every amount.",
    "fees": "Selling and payment fees.",
    "packaging": "What packing a parcel costs beside its carton.",
    "labour": "What packing a parcel costs in work.",
    "returns": "What comes back, and what that costs; None: nothing does.",
}


def caution(code: str) -> Caution:
    """The words and the source of a caution, by its code. Errors: KeyError of another code.

    >>> tw.caution("lithium_alone").source
    '69 FR 75207 and 84 FR 8006; 49 CFR 173.185'
    """


def arrange(
    goods: Item | tuple[Item, ...] | list[Item],
    packaging: Packaging | (Sides | str | tuple[Length | str, Length | str, Length | str] | list[Length | str]),
    *,
    padding: Length | str | None = None,
    nodes: SupportsIndex = 20000,
) -> Arrangement:
    """Whether goods go into a packaging together, and how, or why not; no lane, no tariff, no price.

    ``goods``: an `Item` or several; ``packaging``: a `Packaging`, or the three sides of a plain
    room; ``padding``: on every side of the goods, 0 to 50 m; ``nodes``: steps of the search, 1 to
    1,000 million, to which the time is in proportion at worst. Errors: QuantityError, RequestError
    with ``pointer``, TariffError of a packaging that cannot be.

    >>> tw.arrange(tw.Item("9 oz", "5 x 5 x 5 in", quantity=2), "12 x 9 x 6 in")
    <Arrangement of 2 units in 12 x 9 x 6 in: fits>
    >>> tw.arrange(item, "10 x 10 x 3 in")
    <Arrangement of 1 unit in 10 x 10 x 3 in: does not fit (one unit is too large): the longest side is 12 in, the carton has 10 in>
    """


def check_arrangement(
    goods: Item | tuple[Item, ...] | list[Item],
    packaging: Packaging | (Sides | str | tuple[Length | str, Length | str, Length | str] | list[Length | str]),
    units: Arrangement | Sequence[ArrangedUnit],
    *,
    padding: Length | str | None = None,
) -> str | None:
    """None where an arrangement in a carton, made by whomever, keeps every rule, else what is wrong.

    ``goods``, ``packaging``, ``padding``: as of `arrange`; ``units``: an `Arrangement`, or
    `ArrangedUnit` of every unit. Errors: QuantityError, RequestError with ``pointer``; TypeError of
    other units.

    >>> tins = tw.Item("9 oz", "5 x 5 x 5 in", quantity=2)
    >>> tw.check_arrangement(tins, "12 x 9 x 6 in", tw.arrange(tins, "12 x 9 x 6 in")) is None
    True
    """


def rank(
    ratebook: Ratebook,
    goods: Item | Parcel | tuple[Item, ...] | list[Item],
    *,
    shelf: Shelf | None = None,
    lane: Lane,
    date: date | str,
    promise: Promise | None = None,
    extras: Sequence[str] = (),
    cover: Decimal | str | int | None = None,
    accepts: str | Sequence[str] = "door",
    amounts: Mapping[str, Decimal | str | int] | None = None,
    time: time | str | None = None,
    totals: Literal["with_tax", "without_tax"] = "with_tax",
    week: Week | None = None,
    consignment: Consignment | None = None,
    tolerance: Tolerance | None = None,
    steps: Steps | None = None,
    objective: Literal["cheapest", "cautious"] = "cheapest",
    currency: str | None = None,
    exchange: Mapping[str, Decimal | str | int] | None = None,
    padding: Length | str | None = None,
    fill_weight: Weight | str | None = None,
    allowance: Allowance | None = None,
    thresholds: bool = True,
) -> Ranking:
    """Every way to send, best first, with every charge and its reason, and why the other ways are not
    offered.

    - ``goods``: an `Item`, several, or a packed `Parcel`.
    - ``lane``: from where to where.
    - ``date``: the day of the hand-over, a date or text such as "2026-08-03".
    - ``promise``: what the buyer was promised, a `Promise`.
    - ``extras``: the codes of extras, at most 100, such as ("signature",).
    - ``cover``: what it is to be covered for, 0 to 1,000 million; never a float, as no money is.
    - ``accepts``: where it may end: "door", "point", "locker", or several.
    - ``amounts``: {"cash_on_delivery": "64.00"}, what is to be collected, in the currency of
      totals.
    - ``time``: of the hand-over, "15:30" or a datetime.time of whole minutes.
    - ``totals``: "with_tax" or "without_tax".
    - ``week``: what is sent in a week, a `Week`.
    - ``consignment``: that the parcel is one of several that go together, a `Consignment`.
    - ``tolerance``, ``steps``: of the scale and the tape, `Tolerance` and `Steps`.
    - ``objective``: "cheapest", or "cautious": what is at risk counts at what it may come to.
    - ``currency``: of totals, such as "USD"; needed where tariffs have several.
    - ``exchange``: units of it for one of another: {"EUR": "1.0842"}.
    - ``padding``: on every side of the goods, 0 to 50 m.
    - ``fill_weight``: what fills each carton, 0 to 100000 kg.
    - ``allowance``: what packing adds to an estimate, an `Allowance`.
    - ``shelf``: the packaging at hand; left out, goods make an estimate.
    - ``thresholds``: headroom and savers too, which takes longer.

    That nothing can be offered is an answer: no offers, and refusals with their reasons. Errors:
    QuantityError, RequestError with ``pointer``.

    >>> ranking = tw.rank(tables.ratebook, item, shelf=tables.shelf, lane=lane, date="2026-08-03", currency="USD")
    >>> ranking.best
    <Offer harbourline/parcel in carton-12: 11.99 USD, 4-6 days>
    >>> tw.rank(tables.ratebook, item, lane=lane, curency="USD")
    Traceback (most recent call last):
        ...
    TypeError: rank() has no keyword 'curency'; did you mean 'currency'?
    """


def rank_request(
    ratebook: Ratebook,
    request: Request,
    *,
    shelf: Shelf | None = None,
    thresholds: bool = True,
) -> Ranking:
    """As `rank`, of a `Request`. Errors: RequestError.

    >>> asked = tw.Request(item, lane=lane, date="2026-08-03", currency="USD")
    >>> tw.rank_request(tables.ratebook, asked, shelf=tables.shelf) == ranking
    True
    """


def plan_request(
    ratebook: Ratebook,
    request: Request,
    *,
    shelf: Shelf | None = None,
    thresholds: bool = False,
) -> Plans:
    """As `plan`, of a `Request` with its ``parcels``. ``thresholds``: headroom and savers of each
    parcel's offers, which takes longer. Errors: RequestError.

    >>> asked = tw.Request(item, lane=lane, date="2026-08-03", currency="USD", parcels=2)
    >>> tw.plan_request(tables.ratebook, asked, shelf=tables.shelf).best.total
    Decimal('11.99')
    """


def compare(before: Ratebook, date_before: date | str, after: Ratebook, date_after: date | str) -> Comparison:
    """What differs between two ratebooks, or one on two dates: every price, charge, limit and service,
    both directions of each.

    ``date_before``, ``date_after``: dates or texts. Errors: QuantityError of a date.

    >>> comparison = tw.compare(tables.ratebook, "2026-07-01", tables.ratebook, "2026-08-03")
    >>> comparison.carriers
    ('fenwick-dray', 'harbourline')
    """


#: Of each small value the words of its fields.
FIELDS: Final[dict[str, dict[str, str]]] = {
    "Diagnostic": {
        "code": "Its pinned number.",
        "severity": '"error" or "warning".',
        "file": "The document's name.",
        "line": "From 1; 0: the whole document.",
        "column": "From 1; 0: the whole line.",
        "pointer": "A JSON pointer to the value.",
        "message": "What was found, and what was expected.",
    },
    "Days": {
        "least": "Business days at the least.",
        "most": "Business days at the most.",
    },
    "Reason": {
        "code": 'A pinned word, such as "over_limit".',
        "text": "The value and the limit that it broke, in words.",
    },
    "Caution": {
        "text": "The words.",
        "source": 'The published rule\'s name, or "common practice".',
        "code": "A pinned word.",
    },
    "Arrival": {
        "earliest": "The first date.",
        "latest": "The last date.",
    },
    "Tax": {
        "code": "The tariff's code of it.",
        "title": "What it is called.",
        "percent": "Of the net charges.",
        "amount": "In the tariff's currency.",
        "net": "The charges without it.",
        "with_tax": "The charges with it.",
    },
    "Handicap": {
        "code": "The rule's code.",
        "title": "The rule's title.",
        "amount": "In the ranking's currency.",
    },
    "Overdue": {
        "series": "Its code.",
        "since": "The first day that lacks a value.",
    },
    "PlannedGoods": {
        "item": "Of the request's goods, from 0.",
        "units": "How many of them.",
    },
    "OnceCharge": {
        "parcel": "The place of the parcel that bears it, from 0.",
        "carrier": "The carrier's code.",
        "service": "The service's code.",
        "code": '"base": the price itself.',
        "title": "What it is called.",
        "amount": "In the tariff's currency, before discounts.",
    },
    "PlanObstacle": {
        "code": '"nothing_takes", "not_on_hand", "more_parcels", "not_by_one" or "not_found".',
        "text": "The same in words.",
        "goods": "What nothing takes; empty of the others.",
        "need": "So many parcels would do; None: not known.",
        "ranking": "Of these goods: no offers, and every refusal.",
        "sealed": "The place of a sealed parcel that nothing takes; None: no such.",
    },
    "ArrangedUnit": {
        "item": "Of the request's goods, from 0.",
        "unit": "Of that item's units, from 0.",
        "at": "Its corner nearest to the carton's first corner, along the carton's sides.",
        "sides": "Along the carton's; the third is upright.",
        "step": "The step that puts it in, from 1; 0: none is told.",
    },
    "Growth": {
        "item": "Of the request's goods, from 0.",
        "sides": "How much longer each may be, as the item's are written; 0: not at all.",
    },
    "TotalRange": {
        "lowest": "The lowest total.",
        "highest": "The highest total.",
    },
    "Headroom": {
        "weight": "What may be added; None: nothing limits it.",
        "length": "What the longest side may grow by; None: nothing limits it.",
        "width": "What the second longest side may grow by; None: nothing limits it.",
        "height": "What the shortest side may grow by; None: nothing limits it.",
    },
    "Saver": {
        "of": '"weight", "length", "width" or "height".',
        "take": "The least to take out, or off the side.",
        "total": "What it then comes to.",
        "saves": "What that saves.",
    },
    "WinnerChange": {
        "of": '"weight", "length", "width" or "height".',
        "above": "From here on.",
        "carrier": "The carrier's code; None: nothing can be offered.",
        "service": "The service's code; None: nothing can be offered.",
        "packaging": "The packaging's code; None: nothing can be offered.",
        "total": "In the ranking's currency; None: nothing can be offered.",
    },
    "CellChange": {
        "carrier": "The carrier's code.",
        "service": "The service whose base price it is; None: of a surcharge or extra.",
        "charge": "The code of the surcharge or extra; None: a base price.",
        "row": "Of the price list.",
        "column": "Of the price list.",
        "before": "The price at first; None: none.",
        "after": "The price then; None: none.",
    },
    "PlaceTotal": {
        "total": "What sending there costs, never a float.",
        "charged": "What its buyer is charged for it; left out: 0.",
        "share": "How often it is, against the other places; left out: 1.",
        "parcels": "In how many parcels the goods go, 1 to 100.",
    },
    "Profit": {
        "worst": "In the place that leaves least.",
        "worst_place": "Its place in the list, from 0.",
        "expected": "On average over places and returns.",
        "worst_returned": "In the worst place, of a sale that comes back.",
        "quantiles": "At the quantiles that were asked for.",
    },
    "Way": {
        "total": "In the currency of the totals.",
        "service": 'As "carrier/service".',
        "packaging": "The packaging's code.",
    },
    "RowLoss": {
        "row": "Its number, from 0.",
        "name": 'As its column of names says; without one "row 1", from 1.',
        "before": "The mean of one parcel's total at first, by the shares of the places.",
        "after": "The same mean then.",
        "month": "What it rises a month: the exact mean's rise for all its parcels.",
        "most_to": "The place where one parcel rises most, the first of equals.",
        "way_before": "The best offer to that place at first.",
        "way_after": "The best offer to that place then.",
    },
    "PlaceChange": {
        "place": "Country and postal code.",
        "share": "How often it is, against the other places; without a mix 1.",
        "rows": "With a total there before and after.",
        "dearer": "Of these, those whose total rises.",
        "cheaper": "Of these, those whose total falls.",
        "service_changed": "Of these, those that go by another service.",
        "lost": "Rows that can no longer be sent there.",
        "gained": "Rows that only now can be sent there.",
        "month_before": "Its part of the whole month at first.",
        "month_after": "Its part of the whole month then.",
    },
    "ServiceMove": {
        "before": 'As "carrier/service"; None: nothing was offered.',
        "after": 'As "carrier/service"; None: nothing is offered.',
        "cells": "How many, each a row at a place.",
        "month_before": "Their part of the whole month at first.",
        "month_after": "Their part of the whole month then.",
    },
    "LosingRows": {
        "before": "Those that lose at first.",
        "after": "Those that lose then.",
        "newly": "Those that lose then and did not, or of which it was not known.",
        "no_longer": "Those that lose at first and then are known not to.",
    },
    "LosingPeriod": {
        "name": 'As it was asked for, "2026-07" or "2026-07-12".',
        "dates": "The days that were asked about: the first, and each on which rates are others than on the day before.",
        "known": "How many rows of which it is known on each of the dates.",
        "rows": "Those that lose on one of the dates or more.",
        "newly": "Of these, those that did not in the period before; of the first period none.",
        "no_longer": "Those of the period before that do not in this one.",
    },
    "SaleLine": {
        "code": "What it is.",
        "amount": "What it costs is below 0.",
    },
    "Tables": {
        "ratebook": "The tariffs and terms.",
        "shelf": "The packaging at hand; None: there is none.",
        "warnings": "What was found that is no error.",
    },
}
