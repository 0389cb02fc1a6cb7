"""Answers as tables in a terminal and as HTML in a notebook."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal
from html import escape
from typing import TYPE_CHECKING, Any, cast

from tarewise._core import Weight

if TYPE_CHECKING:
    from tarewise._core import (
        Comparison,
        Item,
        Length,
        Offer,
        Parcel,
        Plan,
        Plans,
        Ranking,
        Ratebook,
        Refusal,
        Request,
        Shelf,
        Sides,
    )
    from tarewise._values import Caution, Tax

_SHOWN_SERVICES = 12
_SHOWN_NAMES = 4
_SHOWN_CELLS = 20
_COLUMNS = 80


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def packed_in(offer: Offer) -> str:
    """The packaging's code, and to what height of its outside it is cut."""
    return offer.packaging if offer.cut_to is None else f"{offer.packaging} cut to {offer.cut_to}"


def service_title(offer: Offer) -> str:
    """The service's title, its carrier's name in front where the title does not begin with it."""
    name = offer.carrier_name
    if not name or offer.title.split(" ")[0] == name.split(" ")[0]:
        return offer.title
    return f"{name} {offer.title}"


def _heading(ranking: Ranking) -> str:
    return f"total {ranking.currency}" + (" without tax" if ranking.totals == "without_tax" else "")


def _total(offer: Offer) -> str:
    spread = offer.total_range
    if spread is None or spread.lowest == spread.highest:
        return str(offer.total)
    return f"{spread.lowest} to {spread.highest}"


def _days(offer: Offer) -> str:
    days = "?" if offer.days is None else str(offer.days)
    return days if offer.arrives is None else f"{days}, by {offer.arrives.latest}"


def _short(weight: Weight) -> str:
    """A weight to read: exact where that is short, else to the hundredth of an ounce or the gram."""
    text = str(weight)
    if len(text.rpartition(".")[2]) <= 6:  # at most three decimals and the unit
        return text
    if text.endswith("oz"):
        return str(Weight.ounces(weight.to("oz").quantize(Decimal("0.01"), ROUND_HALF_UP)))
    return str(Weight.grams(weight.to("g").quantize(Decimal(1), ROUND_HALF_UP)))


def _room(weight: Weight) -> str:
    """What may be added, cut to the tenth of an ounce or the gram: never too much."""
    unit, step = ("oz", Decimal("0.1")) if str(weight).endswith(("oz", "lb")) else ("g", Decimal(1))
    cut = weight.to("oz" if unit == "oz" else "g").quantize(step, ROUND_DOWN)
    return f"less than {step} {unit}" if weight and not cut else str(Weight(f"{cut} {unit}"))


def _weight(offer: Offer) -> str:
    return f"{_short(offer.billable_weight)} ({offer.billable_from})"


_ENDS = {"point": "the addressee calls for it at a counter", "locker": "the addressee calls for it at a locker"}


def _handicap(offer: Offer) -> str:
    parts = ", ".join(f"{one.title or one.code} {one.amount}" for one in offer.handicaps)
    return f"counted in the order, in no total: {parts}"


def _tax(offer: Offer, tax: Tax) -> str:
    return f"{tax.title} {tax.percent} %: {tax.with_tax} {offer.tariff_currency} with it, {tax.net} without"


def _notes(offer: Offer) -> list[str]:
    notes = []
    if offer.delivers in _ENDS:
        notes.append(_ENDS[offer.delivers])
    if offer.arrives is not None:
        notes.append(f"arrives {offer.arrives}")
    if offer.tax is not None:
        notes.append(_tax(offer, offer.tax))
    if offer.handicap:
        notes.append(_handicap(offer))
    if offer.at_risk:
        due = offer.total_at_risk
        notes.append("at risk: it may be refused" if due is None else f"at risk of {due}")
    if "confirm_surface" in offer.cautions:
        notes.append("confirm with the carrier that it goes by surface")
    notes.extend(f"{one.series} lacks a value since {one.since}; the last one was charged" for one in offer.overdue)
    for saver in offer.savers:
        what = f"take out {saver.take}" if saver.of == "weight" else f"take {saver.take} off the {saver.of}"
        notes.append(f"{what}: {saver.total}, saves {saver.saves}")
    return notes


# ---- what was asked ----


def _goods(goods: Item | Parcel) -> str:
    weight = _short(goods.weight) + ("" if goods.weight_most is None else f" to {_short(goods.weight_most)}")
    sides = str(goods.sides) if goods.sides_most is None else f"{goods.sides} to {goods.sides_most}"
    more = [*goods.contents, *([] if goods.shape == "box" else [goods.shape]), *([f"worth {goods.value}"] if goods.value else [])]
    return ", ".join([weight, sides, *more])


def _item(item: Item) -> str:
    times = "" if item.quantity == 1 else f"{item.quantity} x "
    return f"{times}{item.title}: {_goods(item)}" if item.title else f"{times}{_goods(item)}"


def asked(request: Request) -> list[tuple[str, str]]:
    """(label, words) of what was asked; of what was left out nothing."""
    out = []
    if request.parcel is not None:
        within = "" if request.parcel.packaging is None else f" in {request.parcel.packaging}"
        out.append(("packed", _goods(request.parcel) + within))
    out += [("goods", _item(item)) for item in request.goods]
    out += [(f"sealed {place}", _goods(parcel)) for place, parcel in enumerate(request.sealed)]
    home = ", a home" if request.lane.destination.residential else ""
    out.append(("lane", f"{request.lane}{home}"))
    out.append(("date", f"{request.date:%Y-%m-%d, %A}" + ("" if request.time is None else f", {request.time:%H:%M}")))
    terms = []
    if request.promise is not None:
        if request.promise.days is not None:
            days = request.promise.days
            terms.append(f"within {_count(days, 'business day')}")
        elif request.promise.date is not None:
            terms.append(f"by {request.promise.date}")
        else:
            terms.append(f"no slower than {request.promise.service}, which was paid for")
    terms += request.extras
    if request.cover is not None:
        terms.append(f"covered for {request.cover}")
    if request.accepts != ("door",):
        terms.append("to " + " or ".join(request.accepts))
    terms += [f"{name.replace('_', ' ')} {amount}" for name, amount in request.amounts.items()]
    if request.consignment.get("others"):
        terms.append(f"one of {request.consignment['others'] + 1} that go together")
    if request.parcels is not None and "most" in request.parcels:
        terms.append(f"in at most {request.parcels['most']} parcels")
    if request.parcels is not None and request.parcels.get("all_by", "any") != "any":
        terms.append(f"all by one {request.parcels['all_by']}")
    if request.objective != "cheapest":
        terms.append(request.objective)
    if terms:
        out.append(("terms", ", ".join(terms)))
    return out


# ---- offers and refusals, sorted for the reader ----


def _services(ranking: Ranking) -> list[list[Offer]]:
    """The offers of each service, best first, the service with the best one first."""
    out: dict[tuple[str, str], list[Offer]] = {}
    for offer in ranking:
        out.setdefault((offer.carrier, offer.service), []).append(offer)
    return list(out.values())


# What keeps a way from being offered, the deepest cause first: where a service does not go there at all, it does not count
# that a parcel is too long for it.
_CAUSES = {
    "no_zone": "does not go there",
    "not_in_force": "not in force on the day",
    "contents_not_accepted": "does not take the contents",
    "delivered_elsewhere": "ends where it is not accepted",
    "promise_not_met": "too slow for the promise",
    "extra_not_offered": "does not have the extra",
    "extras_disagree": "extras that exclude each other",
    "currency_differs": "no rate of exchange",
    "over_limit": "over a limit",
    "not_wanted": "not wanted by the seller's rules",
    "packaging_not_allowed": "not in packaging that is at hand",
    "no_price": "no price",
    "does_not_fit": "the goods do not fit",
    "out_of_stock": "none on hand",
}
_DEPTH = {code: depth for depth, code in enumerate(_CAUSES)}
#: Of these no seller expects an offer: told last.
_FAR = frozenset({"no_zone", "not_in_force"})


def _depth(code: str) -> int:
    return _DEPTH.get(code, len(_DEPTH))


class _Group:
    """Services, or packagings, that one cause keeps from being offered: (name, its refusals, the nearest first)."""

    def __init__(self, code: str, *, of_services: bool) -> None:
        self.code = code
        self.of_services = of_services
        self.members: list[tuple[str, list[Refusal]]] = []

    @property
    def title(self) -> str:
        what = _CAUSES.get(self.code, self.code.replace("_", " "))
        return f"{what}: {_count(len(self.members), 'service' if self.of_services else 'packaging')}"

    def why(self, refusals: Sequence[Refusal]) -> str:
        """The cause in the words of the nearest refusal."""
        reasons = refusals[0].reasons
        return next((reason.text for reason in reasons if reason.code == self.code), reasons[0].text)


def _cause(refusals: Sequence[Refusal]) -> str:
    """What stands in the way whatever the packaging; else what does where least does."""
    common = set.intersection(*({reason.code for reason in refusal.reasons} for refusal in refusals))
    codes = common or {reason.code for reason in min(refusals, key=lambda refusal: len(refusal.reasons)).reasons}
    return min(codes, key=_depth)


def _groups(ranking: Ranking) -> list[_Group]:
    """What is not offered at all, by its cause: what keeps most services that go there first, what goes elsewhere last."""
    offered = {(offer.carrier, offer.service) for offer in ranking}
    services: dict[tuple[str | None, str | None], list[Refusal]] = {}
    packagings: dict[str, list[Refusal]] = {}
    for refusal in ranking.refusals:
        if refusal.service is None:
            packagings.setdefault(refusal.packaging, []).append(refusal)
        elif (refusal.carrier, refusal.service) not in offered:
            services.setdefault((refusal.carrier, refusal.service), []).append(refusal)
    groups: dict[tuple[bool, str], _Group] = {}
    named = [(True, f"{carrier}/{service}", refusals) for (carrier, service), refusals in services.items()]
    named += [(False, packaging, refusals) for packaging, refusals in packagings.items()]
    for of_services, name, refusals in named:
        code = _cause(refusals)
        group = groups.setdefault((of_services, code), _Group(code, of_services=of_services))
        group.members.append((name, sorted(refusals, key=lambda refusal: len(refusal.reasons))))
    return sorted(
        groups.values(), key=lambda group: (group.code in _FAR, not group.of_services, -len(group.members), _depth(group.code))
    )


def _elsewhere(ranking: Ranking) -> list[Refusal]:
    """Refusals of services that are offered in another packaging."""
    offered = {(offer.carrier, offer.service) for offer in ranking}
    return [refusal for refusal in ranking.refusals if (refusal.carrier, refusal.service) in offered]


def _refused_title(ranking: Ranking, groups: Sequence[_Group]) -> str:
    services = sum(len(group.members) for group in groups if group.of_services)
    packagings = sum(len(group.members) for group in groups if not group.of_services)
    parts = [_count(services, "service")] if services else []
    parts += [_count(packagings, "packaging")] if packagings else []
    return f"Refused: {len(ranking.refusals)}" + (f"; never offered: {' and '.join(parts)}" if parts else "")


# ---- text ----


def _wrap(words: str, first: str = "", rest: str | None = None) -> list[str]:
    return textwrap.wrap(
        words,
        _COLUMNS,
        initial_indent=first,
        subsequent_indent=" " * len(first) if rest is None else rest,
        break_long_words=False,
        break_on_hyphens=False,
    ) or [first.rstrip()]


def _columns(rows: Sequence[Sequence[str]], right: frozenset[int], wide: int = _COLUMNS) -> list[str]:
    """Rows in columns; where they are too wide, the widest column of words goes on in the next line."""
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    spare = wide - 2 * (len(widths) - 1)
    words = [i for i in range(len(widths)) if i not in right]
    while sum(widths) > spare:
        widest = max(words, key=lambda i: widths[i])
        if widths[widest] <= 12:
            break
        widths[widest] -= 1
    lines = []
    for row in rows:
        cells = [
            [cell] if i in right else textwrap.wrap(cell, widths[i], break_on_hyphens=False) or [""] for i, cell in enumerate(row)
        ]
        for at in range(max(map(len, cells))):
            parts = [cell[at] if at < len(cell) else "" for cell in cells]
            aligned = [part.rjust(width) if i in right else part.ljust(width) for i, (part, width) in enumerate(zip(parts, widths))]
            lines.append("  ".join(aligned).rstrip())
    return lines


def _asked_text(request: Request) -> list[str]:
    out = []
    last = ""
    for label, words in asked(request):
        out += _wrap(words, ("" if label == last else label).ljust(8) + " ")
        last = label
    return out


def _lines_text(offer: Offer) -> list[str]:
    lines = [(charge.title or charge.code, str(charge.amount), charge.why) for charge in offer.charges]
    if offer.packaging_cost:
        lines.append(("packaging", str(offer.packaging_cost), offer.packaging_title or offer.packaging))
    out = ["   " + line for line in _columns(lines, frozenset({1}), _COLUMNS - 3)] if lines else []
    for note in _notes(offer):
        out += _wrap(note, "   ")
    return out


def _refused_text(ranking: Ranking) -> list[str]:
    groups = _groups(ranking)
    out = [_refused_title(ranking, groups)]
    for group in groups:
        out += _wrap(group.title, "   ")
        for name, refusals in group.members[:_SHOWN_NAMES]:
            out += _wrap(f"{name}: {group.why(refusals)}", "      ", "         ")
        if len(group.members) > _SHOWN_NAMES:
            out.append(f"      and {len(group.members) - _SHOWN_NAMES} more, in refusals")
    return out


def _cautions_text(cautions: Sequence[Caution]) -> list[str]:
    out = []
    for caution in cautions:
        out += _wrap(caution.text + (f" ({caution.source})" if caution.source else ""))
    return out


_ESTIMATE = "An estimate: no shelf was given, the goods are not packed yet."


def _change(ranking: Ranking) -> list[str]:
    out = []
    for change in ranking.changes:
        way = "nothing can be offered" if change.service is None else f"{change.carrier}/{change.service} in {change.packaging}"
        out.append(f"Above {change.above} ({change.of}): {way}")
    return out


def text(ranking: Ranking) -> str:
    """What was asked, the best of each service as a plain table of 80 columns, the best one's lines, and what is refused and why."""
    out = [*_asked_text(ranking.request), ""]
    if ranking.estimate:
        out.append(_ESTIMATE)
    if ranking:
        services = _services(ranking)
        # A column of its own, so that nobody takes it for a part of the price.
        apart = any(ways[0].handicap for ways in services[:_SHOWN_SERVICES])
        rows = [["", _heading(ranking), *(["handicap"] if apart else []), "days", "service", "packaging", "billable weight"]]
        for place, ways in enumerate(services[:_SHOWN_SERVICES], 1):
            offer = ways[0]
            risk = " !" if offer.at_risk else ""
            handicap = [str(offer.handicap)] if apart else []
            rest = [service_title(offer), packed_in(offer), _weight(offer)]
            rows.append([str(place), _total(offer) + risk, *handicap, _days(offer), *rest])
        out += _columns(rows, frozenset({0, 1, 2, 3} if apart else {0, 1, 2}))
        if len(services) > _SHOWN_SERVICES:
            out.append(f"and {_count(len(services) - _SHOWN_SERVICES, 'dearer service')}, in offers")
        packagings = len(ranking) - len(services)
        if packagings:
            out.append(f"The best of each service; {_count(packagings, 'way')} more in other packaging, in offers.")
        best = ranking[0]
        out += ["", *_wrap(f"{service_title(best)} in {packed_in(best)}, zone {best.zone}", "1: "), *_lines_text(best)]
    else:
        out.append("Nothing can be offered for this.")
    if ranking.refusals:
        out += ["", *_refused_text(ranking)]
    out += [line for change in _change(ranking) for line in _wrap(change)]
    if ranking.cautions:
        out += ["", *_cautions_text(ranking.cautions)]
    return "\n".join(out)


def _parcel_goods(plans: Plans, plan: Plan, place: int) -> str:
    parcel = plan[place]
    if parcel.sealed is not None:
        return f"sealed parcel {parcel.sealed}"
    goods = plans.request.goods
    parts = []
    for some in parcel.goods:
        item = goods[some.item]
        parts.append(f"{some.units} x {item.title}" if item.title else f"{some.units} of {item.sides}")
    return ", ".join(parts)


def _plans_facts(plans: Plans) -> list[str]:
    out = []
    if plans.single is not None:
        out.append(f"in one parcel: {plans.single} {plans.currency}")
    if plans.best is not None:
        if plans.proved:
            out.append("no plan is cheaper")
        elif plans.at_least is not None:
            out.append(f"no plan can cost less than {plans.at_least} {plans.currency}")
    return out


def plans_text(plans: Plans) -> str:
    """What was asked, the plans' totals, and the parcels of each, in 80 columns."""
    out = [*_asked_text(plans.request), ""]
    if plans.estimate:
        out.append(_ESTIMATE)
    for place, plan in enumerate(plans, 1):
        days = "" if plan.days is None else f", {plan.days} business days"
        risk = ", at risk" if plan.at_risk else ""
        out.append(f"{place}: {plan.total} {plans.currency}, {_count(len(plan), 'parcel')}{days}{risk}")
        rows = [
            (str(parcel.offer.total), _parcel_goods(plans, plan, i), service_title(parcel.offer), packed_in(parcel.offer))
            for i, parcel in enumerate(plan)
        ]
        out += ["   " + line for line in _columns(rows, frozenset({0}), _COLUMNS - 3)]
    if not plans:
        out.append("Nothing can be sent as it is asked.")
    for obstacle in plans.obstacles:
        out += _wrap(obstacle.text, "   ")
    if facts := _plans_facts(plans):
        out += _wrap("; ".join(facts))
    if plans.cautions:
        out += ["", *_cautions_text(plans.cautions)]
    return "\n".join(out)


# ---- HTML ----

# Colours follow the notebook's own text and ground, so that dark themes and grey print read as well; what is first is told by
# weight and a rule, never by colour alone. The rules of notebooks for tables and lists are set back, by a class
# that weighs four times. Without any style, as in
# a notebook that is not trusted, the words stand in the same order and are read as they are.
_STYLE = """
&{font:inherit;line-height:1.45;max-width:62em;color:inherit}
& .tw-scroll{overflow-x:auto;max-width:100%}
& table{border-collapse:collapse;border:0;margin:.2em 0;table-layout:auto;width:auto;font-size:inherit;font-variant-numeric:tabular-nums;color:inherit}
& tr,& tr:nth-child(n),& tr:hover{background:none;border:0}
& td,& th{padding:.12em 1.1em .12em 0;text-align:left;vertical-align:top;border:0;background:none;white-space:normal;max-width:40em;line-height:inherit;font-weight:400}
& .tw-list td,& .tw-list th{border-bottom:1px solid rgba(128,128,128,.28)}
& th{font-size:.86em;opacity:.72;white-space:nowrap}
& .n{text-align:right;white-space:nowrap}
& .q{opacity:.74}
& .tw-asked{margin:.1em 0 .7em}
& .tw-asked td,& .tw-asked th{vertical-align:baseline}
& .w{white-space:nowrap}
& .tw-best{border-left:3px solid #0b7fae;padding:.1em 0 .1em .9em;margin:.4em 0 .8em}
& .tw-total{font-size:1.5em;font-weight:600;font-variant-numeric:tabular-nums;margin-right:.5em}
& .tw-name{font-weight:600}
& .tw-head{font-size:.86em;opacity:.72;margin:.6em 0 .1em}
& details{margin:0;border:0;padding:0}
& summary{cursor:pointer;padding:.16em 0;list-style:none;display:block}
& summary::-webkit-details-marker{display:none}
& summary::before{content:"+";display:inline-block;width:1.1em;opacity:.6;font-family:monospace}
& details[open]>summary::before{content:"\\2013"}
& .tw-way{border-top:1px solid rgba(128,128,128,.28)}
& .tw-way>summary{display:grid;grid-template-columns:1.1em minmax(4.4em,max-content) 6.5em minmax(8em,1fr);column-gap:.8em;align-items:baseline}
& .tw-in{padding:0 0 .5em 1.9em}
& .tw-in .tw-way{border-top:1px dotted rgba(128,128,128,.4)}
& .tw-care{border-left:3px solid #b35900;padding:.1em 0 .1em .9em;margin:.8em 0}
@media print{&{max-width:none}& .tw-scroll{overflow:visible}}
""".replace("&", ".tarewise" * 4)

_Row = Sequence[str]


def _box(*parts: str) -> str:
    return f'<div class="tarewise"><style>{_STYLE}</style>{"".join(parts)}</div>'


def _grid(
    rows: Iterable[_Row],
    head: _Row = (),
    right: frozenset[int] = frozenset(),
    kind: str = "",
    whole: frozenset[int] = frozenset(),
) -> str:
    """A table of texts in a box of its own, which scrolls where it is wide. The texts are escaped here; ``whole``: columns
    that stay in one line."""

    def row(cells: _Row, tag: str) -> str:
        kinds = {**dict.fromkeys(whole, " class=w"), **dict.fromkeys(right, " class=n")}
        parts = (f"<{tag}{kinds.get(i, '')}>{escape(cell)}</{tag}>" for i, cell in enumerate(cells))
        return f"<tr>{''.join(parts)}</tr>"

    body = "".join(row(cells, "td") for cells in rows)
    top = f"<thead>{row(head, 'th')}</thead>" if head else ""
    return f'<div class="tw-scroll"><table{f" class={kind}" if kind else ""}>{top}<tbody>{body}</tbody></table></div>'


def _asked_html(request: Request) -> str:
    rows = []
    last = ""
    for label, words in asked(request):
        rows.append(f'<tr><th>{"" if label == last else escape(label)}</th><td>{escape(words)}</td></tr>')
        last = label
    return f'<div class="tw-scroll"><table class="tw-asked"><tbody>{"".join(rows)}</tbody></table></div>'


def _lines(offer: Offer) -> str:
    rows = [(charge.title or charge.code, str(charge.amount), charge.why) for charge in offer.charges]
    if offer.packaging_cost:
        rows.append(("packaging", str(offer.packaging_cost), offer.packaging_title or offer.packaging))
    facts = [
        f"zone {offer.zone}",
        f"{_short(offer.weight)}, {offer.sides}",
        f"billable weight {_weight(offer)}",
        "tracked" if offer.tracked else "not tracked",
    ]
    if offer.headroom.weight is not None:
        facts.append(f"{_room(offer.headroom.weight)} more at the same total")
    notes = "".join(f"<div>{escape(note)}</div>" for note in _notes(offer))
    return f'{_grid(rows, right=frozenset({1}))}<div class="q">{escape("; ".join(facts))}</div>{notes}'


def _marks(offer: Offer) -> str:
    marks = ' <span title="the total may rise within the tolerance">&#9888; at risk</span>' if offer.at_risk else ""
    if offer.handicap:
        marks += f' <span class="q" title="counted in the order, in no total">handicap {offer.handicap}</span>'
    return marks


def _way(offer: Offer, name: str, more: str = "") -> str:
    days = _days(offer)
    if offer.days is not None and offer.arrives is None:
        days += " day" if days == "1" else " days"
    return (
        f'<details class="tw-way"><summary><span class="n">{escape(_total(offer))}</span> '
        f"<span>{escape(days)}</span> <span>{escape(name)}{_marks(offer)}</span></summary>"
        f'<div class="tw-in">{_lines(offer)}{more}</div></details>'
    )


def _service(ways: Sequence[Offer]) -> str:
    best = ways[0]
    return _way(best, f"{service_title(best)} in {packed_in(best)}", _others(ways))


def _others(ways: Sequence[Offer]) -> str:
    if len(ways) < 2:
        return ""
    rest = "".join(_way(offer, f"in {packed_in(offer)}") for offer in ways[1:])
    return f"<details><summary>in {_count(len(ways) - 1, 'other packaging')}</summary>{rest}</details>"


def _best(offer: Offer, currency: str, others: str = "") -> str:
    days = "days not published" if offer.days is None else _days(offer)
    if offer.days is not None and offer.arrives is None:
        days += " business day" if days == "1" else " business days"
    return (
        f'<div class="tw-best"><div><span class="tw-total">{escape(_total(offer))} {escape(currency)}</span> '
        f'<span class="tw-name">{escape(service_title(offer))} in {escape(packed_in(offer))}</span>, {escape(days)}{_marks(offer)}</div>'
        f"{_lines(offer)}{others}</div>"
    )


def _why_rows(name: str, refusals: Sequence[Refusal]) -> list[tuple[str, str, str, str]]:
    """Once for each cause: the name, the cause's words, the packagings, and what else stands in the way in them."""
    packagings: dict[tuple[str, ...], list[str]] = {}
    besides: dict[tuple[str, ...], dict[str, None]] = {}
    for refusal in refusals:
        deepest = min((reason.code for reason in refusal.reasons), key=_depth)
        cause = tuple(reason.text for reason in refusal.reasons if reason.code == deepest)
        packagings.setdefault(cause, []).append(refusal.packaging)
        besides.setdefault(cause, {}).update(dict.fromkeys(one.text for one in refusal.reasons if one.code != deepest))
    rows = []
    for cause, inside in packagings.items():
        rows.append((name, "; ".join(cause), "" if name in inside else ", ".join(inside), "; ".join(besides[cause])))
        name = ""
    return rows


def _refused_html(ranking: Ranking) -> str:
    if not ranking.refusals:
        return ""
    groups = _groups(ranking)
    parts = []
    for group in groups:
        rows = [row for name, refusals in group.members for row in _why_rows(name, refusals)]
        shown = "; ".join(f"{name}: {group.why(refusals)}" for name, refusals in group.members[:1])
        more = f" &#8230; and {len(group.members) - 1} more" if len(group.members) > 1 else ""
        parts.append(
            f'<details class="tw-group"><summary><b>{escape(group.title)}</b> <span class="q">{escape(shown)}{more}</span></summary>'
            f'<div class="tw-in">{_grid(rows, ("", "why", "in", "besides"))}</div></details>'
        )
    rest = _elsewhere(ranking)
    if rest:
        by_service: dict[str, list[Refusal]] = {}
        for refusal in rest:
            by_service.setdefault(f"{refusal.carrier}/{refusal.service}", []).append(refusal)
        rows = [row for name, refusals in by_service.items() for row in _why_rows(name, refusals)]
        parts.append(
            f"<details class=\"tw-group\"><summary><b>offered above, in other packaging: {len(by_service)}</b></summary>"
            f'<div class="tw-in">{_grid(rows, ("", "why", "in", "besides"))}</div></details>'
        )
    title = escape(_refused_title(ranking, groups))
    if not ranking:
        return f'<div class="tw-head">{title}</div>{"".join(parts)}'
    return f'<details><summary>{title}</summary><div class="tw-in">{"".join(parts)}</div></details>'


def _cautions_html(cautions: Sequence[Caution]) -> str:
    if not cautions:
        return ""
    words = "".join(
        f"<div>{escape(caution.text)}{escape(f' ({caution.source})') if caution.source else ''}</div>" for caution in cautions
    )
    return f'<div class="tw-care">{words}</div>'


def html(ranking: Ranking) -> str:
    """What was asked, the winner with its lines, the best of each service, and what is refused by its cause; the rest unfolds."""
    out = [_asked_html(ranking.request)]
    if ranking.estimate:
        out.append(f'<div class="q">{_ESTIMATE}</div>')
    if ranking:
        services = _services(ranking)
        out.append(_best(ranking[0], ranking.currency, _others(services[0])))
        if len(services) > 1:
            out.append(f'<div class="tw-head">best of each other service: {escape(_heading(ranking))}</div>')
            out += [_service(ways) for ways in services[1:_SHOWN_SERVICES]]
        if len(services) > _SHOWN_SERVICES:
            dearer = "".join(_service(ways) for ways in services[_SHOWN_SERVICES:])
            count = _count(len(services) - _SHOWN_SERVICES, "dearer service")
            out.append(f"<details><summary>{count}</summary>{dearer}</details>")
    else:
        out.append("<div><b>Nothing can be offered for this.</b></div>")
    out += [f"<div>{escape(change)}</div>" for change in _change(ranking)]
    # Why nothing can be offered comes before everything else that there is to say.
    rest = [_cautions_html(ranking.cautions), _refused_html(ranking)]
    return _box(*out, *(rest if ranking else reversed(rest)))


def offer_html(offer: Offer) -> str:
    (ranking, _) = cast(tuple[Any, ...], offer.__reduce__()[1])
    return _box(_best(offer, ranking.currency))


def request_html(request: Request) -> str:
    return _box(_asked_html(request))


def _plan_table(plans: Plans, plan: Plan) -> str:
    rows = []
    for i, parcel in enumerate(plan):
        offer = parcel.offer
        words = (_parcel_goods(plans, plan, i), service_title(offer), packed_in(offer), _short(offer.weight), _days(offer))
        rows.append((str(offer.total), *words))
    return _grid(rows, (plans.currency, "holds", "service", "packaging", "weight", "days"), frozenset({0}), "tw-list")


def plans_html(plans: Plans) -> str:
    """What was asked, the cheapest plan with its parcels and their lines, and the others."""
    out = [_asked_html(plans.request)]
    if plans.estimate:
        out.append(f'<div class="q">{_ESTIMATE}</div>')
    for place, plan in enumerate(plans):
        count = _count(len(plan), "parcel")
        days = "" if plan.days is None else f", {plan.days} business days"
        risk = ' <span title="a total may rise within the tolerance">&#9888; at risk</span>' if plan.at_risk else ""
        if place == 0:
            lines = "".join(
                f"<details><summary>parcel {i + 1}: {escape(_parcel_goods(plans, plan, i))}</summary>"
                f'<div class="tw-in">{_lines(parcel.offer)}</div></details>'
                for i, parcel in enumerate(plan)
            )
            out.append(
                f'<div class="tw-best"><div><span class="tw-total">{plan.total} {escape(plans.currency)}</span> '
                f'<span class="tw-name">{count}</span>{escape(days)}{risk}</div>{_plan_table(plans, plan)}{lines}</div>'
            )
        else:
            out.append(
                f'<details class="tw-way"><summary><span class="n">{plan.total}</span> <span>{count}</span> '
                f"<span>{escape(days.lstrip(', '))}{risk}</span></summary>"
                f'<div class="tw-in">{_plan_table(plans, plan)}</div></details>'
            )
    if not plans:
        out.append("<div><b>Nothing can be sent as it is asked.</b></div>")
    out += [f"<div>{escape(obstacle.text)}</div>" for obstacle in plans.obstacles]
    if facts := _plans_facts(plans):
        out.append(f'<div class="q">{escape("; ".join(facts))}</div>')
    out.append(_cautions_html(plans.cautions))
    return _box(*out)


def plan_html(plan: Plan) -> str:
    (plans, _) = cast(tuple[Any, ...], plan.__reduce__()[1])
    count = _count(len(plan), "parcel")
    total = f'<span class="tw-total">{plan.total} {escape(plans.currency)}</span> <span class="tw-name">{count}</span>'
    return _box(f'<div class="tw-best"><div>{total}</div>{_plan_table(plans, plan)}</div>')


def _change_of(before: Decimal | None, after: Decimal | None) -> str:
    if before is None:
        return "new"
    if after is None:
        return "gone"
    return f"{after - before:+f}" + (f" ({(after - before) * 100 / before:+.1f} %)" if before else "")


def comparison_html(comparison: Comparison) -> str:
    """The summary in words, and the first prices that differ."""
    out = [f'<div class="tw-name">{comparison.date_before} and {comparison.date_after}</div>']
    lines = comparison.summary.strip().splitlines()
    out += [f"<div>{escape(line)}</div>" for line in lines[:_SHOWN_SERVICES]]
    if len(lines) > _SHOWN_SERVICES:
        rest = "".join(f"<div>{escape(line)}</div>" for line in lines[_SHOWN_SERVICES:])
        out.append(f"<details><summary>{len(lines) - _SHOWN_SERVICES} more differences</summary>{rest}</details>")
    cells = comparison.cells
    if cells:
        rows = [
            (
                f"{cell.carrier}/{cell.service or cell.charge}",
                cell.row,
                cell.column,
                "" if cell.before is None else str(cell.before),
                "" if cell.after is None else str(cell.after),
                _change_of(cell.before, cell.after),
            )
            for cell in cells[:_SHOWN_CELLS]
        ]
        head = ("price of", "row", "column", "before", "after", "change")
        table = _grid(rows, head, frozenset({3, 4, 5}), "tw-list")
        more = f'<div class="q">and {len(cells) - len(rows)} more, in cells and to_frame()</div>' if len(cells) > len(rows) else ""
        out.append(f"<details><summary>{len(cells)} price{'' if len(cells) == 1 else 's'} of lists</summary>{table}{more}</details>")
    return _box(*out)


def ratebook_html(book: Ratebook) -> str:
    rows = []
    for tariff in book:
        since = "always" if tariff.in_force_from is None else str(tariff.in_force_from)
        until = "open" if tariff.in_force_until is None else str(tariff.in_force_until)
        named = ", ".join(service.code for service in tariff.services)
        rows.append((tariff.carrier, tariff.title, since, until, tariff.currency, named))
    head = ("carrier", "tariff", "from", "until", "currency", "services")
    title = f'<div class="tw-name">Ratebook of {_count(len(rows), "tariff")}</div>'
    return _box(title, _grid(rows, head, kind="tw-list", whole=frozenset({0, 2, 3})))


def _three(sides: str | Sides | Sequence[Length | str] | None) -> str:
    if sides is None or isinstance(sides, str):
        return sides or ""
    return " x ".join(str(side) for side in sides)


def shelf_html(shelf: Shelf) -> str:
    def hand(count: int | None) -> str:
        return "enough" if count is None else str(count)

    rows: list[_Row] = [
        (one.code, one.title, one.kind, _three(one.inside), str(one.tare), str(one.cost), hand(one.on_hand)) for one in shelf.packaging
    ]
    rows += [(one.code, f"issued by {one.carrier}", "", "", "", "", hand(one.on_hand)) for one in shelf.issued]
    head = ("code", "packaging", "kind", "inside", "weight", f"cost {shelf.currency or ''}".strip(), "on hand")
    title = f'<div class="tw-name">Shelf of {_count(len(rows), "packaging")}</div>'
    return _box(title, _grid(rows, head, frozenset({4, 5, 6}), "tw-list"))
