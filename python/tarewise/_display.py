"""A ranking as a table in a terminal and as HTML in a notebook."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal
from html import escape
from typing import TYPE_CHECKING

from tarewise._core import Weight

if TYPE_CHECKING:
    from tarewise._core import Offer, Ranking
    from tarewise._values import Tax

_SHOWN_OFFERS = 12
_SHOWN_REFUSALS = 6


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


def _refused(ranking: Ranking) -> list[tuple[str, str]]:
    """(what, why) of each refusal."""
    lines = []
    for refusal in ranking.refusals:
        what = refusal.packaging
        if refusal.service is not None:
            what = f"{refusal.carrier}/{refusal.service} in {refusal.packaging}"
        lines.append((what, "; ".join(reason.text for reason in refusal.reasons)))
    return lines


def _columns(rows: Sequence[Sequence[str]], right: frozenset[int]) -> list[str]:
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    lines = []
    for row in rows:
        cells = [cell.rjust(width) if i in right else cell.ljust(width) for i, (cell, width) in enumerate(zip(row, widths))]
        lines.append("  ".join(cells).rstrip())
    return lines


def text(ranking: Ranking) -> str:
    """The offers as a plain table, the best one's lines, and how much is refused and why."""
    out = []
    if ranking.estimate:
        out.append("An estimate: no shelf was given, the goods are not packed yet.")
    if ranking:
        # A column of its own, so that nobody takes it for a part of the price.
        apart = any(offer.handicap for offer in ranking[:_SHOWN_OFFERS])
        rows = [["", _heading(ranking), *(["handicap"] if apart else []), "days", "service", "packaging", "billable weight"]]
        for place, offer in enumerate(ranking[:_SHOWN_OFFERS], 1):
            risk = " !" if offer.at_risk else ""
            handicap = [str(offer.handicap)] if apart else []
            rest = [service_title(offer), packed_in(offer), _weight(offer)]
            rows.append([str(place), _total(offer) + risk, *handicap, _days(offer), *rest])
        out += _columns(rows, frozenset({0, 1, 2, 3} if apart else {0, 1, 2}))
        if len(ranking) > _SHOWN_OFFERS:
            out.append(f"and {len(ranking) - _SHOWN_OFFERS} dearer ways, in offers")
        best = ranking[0]
        out += ["", f"1: {service_title(best)} in {packed_in(best)}, zone {best.zone}"]
        lines = [(charge.title or charge.code, str(charge.amount), charge.why) for charge in best.charges]
        if best.packaging_cost:
            lines.append(("packaging", str(best.packaging_cost), best.packaging_title or best.packaging))
        out += ["   " + line for line in _columns(lines, frozenset({1}))]
        out += ["   " + note for note in _notes(best)]
    else:
        out.append("Nothing can be offered for this.")
    refused = _refused(ranking)
    if refused:
        out += ["", f"Refused: {len(refused)}"]
        out += [f"   {what}: {why}" for what, why in refused[:_SHOWN_REFUSALS]]
        if len(refused) > _SHOWN_REFUSALS:
            out.append(f"   and {len(refused) - _SHOWN_REFUSALS} more, in refusals")
    for change in ranking.changes:
        way = "nothing can be offered" if change.service is None else f"{change.carrier}/{change.service} in {change.packaging}"
        out.append(f"Above {change.above} ({change.of}): {way}")
    if ranking.cautions:
        out += [""] + [caution.text + (f" ({caution.source})" if caution.source else "") for caution in ranking.cautions]
    return "\n".join(out)


# Colours follow the notebook's own text and ground, so that dark themes and grey print read as well; the winner is told by
# weight and a rule, never by colour alone.
_STYLE = """
.tarewise{font:inherit;line-height:1.45;max-width:60em}
.tarewise table{border-collapse:collapse;margin:.3em 0;font-variant-numeric:tabular-nums}
.tarewise td,.tarewise th{padding:.15em .8em .15em 0;text-align:left;vertical-align:top;border:0;background:none}
.tarewise .n{text-align:right}
.tarewise .way{border-top:1px solid rgba(128,128,128,.35)}
.tarewise .first>td{border-top:2px solid #0b6e99;font-weight:600;padding-top:.35em}
.tarewise .first table,.tarewise .first div{font-weight:400}
.tarewise .quiet{opacity:.72;font-weight:400;font-size:.92em}
.tarewise details{margin:.1em 0}.tarewise summary{cursor:pointer}
.tarewise .caution{border-left:4px solid #b35900;padding:.2em .8em;margin:.6em 0}
"""


def _lines(offer: Offer) -> str:
    rows = []
    for charge in offer.charges:
        rows.append(
            f'<tr><td>{escape(charge.title or charge.code)}</td><td class="n">{charge.amount}</td>'
            f'<td class="quiet">{escape(charge.why)}</td></tr>'
        )
    if offer.packaging_cost:
        rows.append(
            f'<tr><td>packaging</td><td class="n">{offer.packaging_cost}</td>'
            f'<td class="quiet">{escape(offer.packaging_title or offer.packaging)}</td></tr>'
        )
    facts = [
        f"zone {offer.zone}",
        f"{_short(offer.weight)}, {offer.sides}",
        f"billable weight {_weight(offer)}",
        "tracked" if offer.tracked else "not tracked",
    ]
    if offer.headroom.weight is not None:
        facts.append(f"{_room(offer.headroom.weight)} more at the same total")
    notes = "".join(f"<div>{escape(note)}</div>" for note in _notes(offer))
    return f'<table>{"".join(rows)}</table><div class="quiet">{escape("; ".join(facts))}</div>{notes}'


def _row(offer: Offer, first: bool) -> str:
    risk = ' <span title="the total may rise within the tolerance">&#9888; at risk</span>' if offer.at_risk else ""
    name = f"{escape(service_title(offer))} in {escape(packed_in(offer))}"
    if offer.handicap:
        risk += f' <span class="quiet" title="counted in the order, in no total">handicap {offer.handicap}</span>'
    return (
        f'<tr class="way{" first" if first else ""}"><td class="n">{escape(_total(offer))}</td>'
        f'<td class="n">{escape(_days(offer))}</td>'
        f"<td><details><summary>{name}{risk}</summary>{_lines(offer)}</details></td></tr>"
    )


def _table(ranking: Ranking, rows: Sequence[str]) -> str:
    head = f'<tr><th class="n">{escape(_heading(ranking))}</th><th class="n">days</th><th>way</th></tr>'
    return f'<table>{head}{"".join(rows)}</table>'


def html(ranking: Ranking) -> str:
    """Winner first; lines unfold on demand; refusals are folded, with their reasons."""
    out = [f'<div class="tarewise"><style>{_STYLE}</style>']
    if ranking.estimate:
        out.append('<div class="quiet">An estimate: no shelf was given, the goods are not packed yet.</div>')
    if ranking:
        rows = [_row(offer, first=place == 0) for place, offer in enumerate(ranking)]
        out.append(_table(ranking, rows[:_SHOWN_OFFERS]))
        if len(rows) > _SHOWN_OFFERS:
            dearer = _table(ranking, rows[_SHOWN_OFFERS:])
            out.append(f"<details><summary>{len(rows) - _SHOWN_OFFERS} dearer ways</summary>{dearer}</details>")
    else:
        out.append("<div><b>Nothing can be offered for this.</b></div>")
    for change in ranking.changes:
        way = "nothing can be offered" if change.service is None else f"{change.carrier}/{change.service} in {change.packaging}"
        out.append(f"<div>Above {escape(str(change.above))} ({change.of}): {escape(way)}</div>")
    if ranking.cautions:
        words = "".join(
            f"<div>{escape(caution.text)}{escape(f' ({caution.source})') if caution.source else ''}</div>"
            for caution in ranking.cautions
        )
        out.append(f'<div class="caution">{words}</div>')
    refused = _refused(ranking)
    if refused:
        whys = "".join(f'<tr><td>{escape(what)}</td><td class="quiet">{escape(why)}</td></tr>' for what, why in refused)
        out.append(f"<details><summary>Refused: {len(refused)}</summary><table>{whys}</table></details>")
    out.append("</div>")
    return "".join(out)
