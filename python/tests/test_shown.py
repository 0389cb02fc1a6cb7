"""What is shown of answers: in notebooks, as text, as dictionaries and frames; how they are explained, and how small their pickles are."""

from __future__ import annotations

import json
import os
import pathlib
import pickle
import re
import shutil
import subprocess
import sys
from decimal import Decimal
from html.parser import HTMLParser
from typing import Any

import numpy as np
import pytest

import tarewise as tw
from tarewise import _display

DATE = "2026-08-03"
NASTY = '<script>alert("x & y")</script> \'Ann & Co\''


@pytest.fixture(scope="module")
def asked(shelf: tw.Shelf, lane: tw.Lane) -> dict[str, Any]:
    return {"shelf": shelf, "lane": lane, "date": DATE, "currency": "USD"}


@pytest.fixture(scope="module")
def ranking(book: tw.Ratebook, asked: dict[str, Any]) -> tw.Ranking:
    item = tw.Item("1 lb 3 oz", "12 x 9 x 4 in", value="24.00", contents=["media"])
    return tw.rank(book, item, promise=tw.Promise.within(8), **asked)


@pytest.fixture(scope="module")
def plans(book: tw.Ratebook, asked: dict[str, Any]) -> tw.Plans:
    goods = [tw.Item("20 lb", "12 x 9 x 4 in", quantity=3), tw.Item("11 oz", "7 x 5 x 3 in", title="Tin")]
    return tw.plan(book, goods, parcels={"most": 3, "all_by": "carrier"}, **asked)


@pytest.fixture(scope="module")
def comparison(book: tw.Ratebook) -> tw.Comparison:
    return tw.compare(book, "2026-07-01", book, DATE)


@pytest.fixture(scope="module")
def nasty() -> dict[str, Any]:
    """Answers from documents whose every title is an attack."""
    tariff = {
        "format": "tarewise-tariff-1",
        "carrier": {"code": "larkspur", "name": NASTY},
        "title": NASTY,
        "source": "invented",
        "currency": "USD",
        "in_force": {"from": "2026-01-01"},
        "zones": {"main": [{"kind": "one", "zone": "1"}]},
        "services": [
            {"code": "one", "title": NASTY, "zones": "main", "prices": [{"amount": "1.50"}]},
            {
                "code": "two", "title": NASTY, "zones": "main", "prices": [{"amount": "2.50"}],
                "refuse": [{"when": {"weight": {"over": "1 oz"}}, "reason": NASTY}],
            },
        ],
    }  # fmt: skip
    dearer = json.loads(json.dumps(tariff))
    dearer["services"][0]["prices"][0]["amount"] = "1.70"
    book = tw.Ratebook.from_documents({"larkspur.json": json.dumps(tariff)})
    later = tw.Ratebook.from_documents({"larkspur.json": json.dumps(dearer)})
    box = tw.Packaging("box", "carton", inside="12 x 9 x 6 in", wall="1/8 in", tare="9 oz", cost="0.69", title=NASTY)
    shelf = tw.Shelf([box], currency="USD")
    item = tw.Item("1 lb", "4 x 4 x 4 in", quantity=2, title=NASTY)
    lane = tw.Lane("US 05401", "US 98101")
    ranking = tw.rank(book, item, shelf=shelf, lane=lane, date=DATE)
    return {
        "ranking": ranking,
        "offer": ranking[0],
        "request": ranking.request,
        "plans": tw.plan(book, item, parcels=2, shelf=shelf, lane=lane, date=DATE),
        "plan": tw.plan(book, item, parcels=2, shelf=shelf, lane=lane, date=DATE)[0],
        "comparison": tw.compare(book, DATE, later, DATE),
        "ratebook": book,
        "shelf": shelf,
    }


class Tags(HTMLParser):
    """Tags that close, and the words outside of the style."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.seen: set[str] = set()
        self.words: list[str] = []
        self.feed(html)
        assert not self.open

    def handle_starttag(self, tag: str, attrs: Any) -> None:
        self.open.append(tag)
        self.seen.add(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open[-1:] != ["style"]:
            self.words.append(data)


@pytest.mark.parametrize("kind", ["ranking", "offer", "request", "plans", "plan", "comparison", "ratebook", "shelf"])
def test_words_of_documents_are_words(nasty: dict[str, Any], kind: str) -> None:
    html = nasty[kind]._repr_html_()
    tags = Tags(html)
    assert "script" not in tags.seen and "<script" not in html
    assert tags.seen <= {"div", "style", "table", "thead", "tbody", "tr", "th", "td", "details", "summary", "b", "span"}
    words = " ".join(tags.words)
    if kind != "comparison":
        assert NASTY in words
    assert nasty[kind] is not None and repr(nasty[kind])


# ---- what was asked, the best of each service, refusals by their cause ----


def test_what_was_asked_comes_first(ranking: tw.Ranking) -> None:
    wanted = ["19 oz, 12 x 9 x 4 in, media, worth 24.00", "US 05401 to US 98101, a home", "2026-08-03, Monday", "within 8 business days"]
    words = Tags(ranking._repr_html_()).words
    assert [word for word in words[:8] if word not in ("goods", "lane", "date", "terms")] == wanted
    assert [line.partition(" ")[2].strip() for line in str(ranking).splitlines()[:4]] == wanted


def test_every_term_is_told(book: tw.Ratebook, asked: dict[str, Any]) -> None:
    request = tw.Request(
        tw.Item("14..18 oz", "10..12 x 9 x 6 in", quantity=2, shape="soft", title="Rug"),
        lane=asked["lane"], date=DATE, time="15:30", promise=tw.Promise.by("2026-08-07"), extras=["signature"], cover="80",
        accepts=("door", "point"), amounts={"cash_on_delivery": "64"}, objective="cautious",
    )  # fmt: skip
    told = " / ".join(Tags(request._repr_html_()).words)
    for words in ("2 x Rug: 14 oz to 18 oz", "10 x 9 x 6 in to 12 x 9 x 6 in", "soft", "15:30", "by 2026-08-07", "signature",
                  "covered for 80", "to door or point", "cash on delivery 64", "cautious"):
        assert words in told, (words, told)


def test_services_are_told_once_with_their_best(ranking: tw.Ranking) -> None:
    best: dict[str, tw.Offer] = {}
    for offer in ranking:
        best.setdefault(f"{offer.carrier}/{offer.service}", offer)
    assert [ways[0] for ways in _display._services(ranking)] == list(best.values())
    html = ranking._repr_html_()
    first = html.split("Refused")[0]
    places = [first.index(f"{_display.service_title(offer)} in {offer.packaging}".replace("&", "&amp;")) for offer in best.values()]
    assert places == sorted(places)
    rows = [line for line in str(ranking).splitlines() if re.match(r" ?\d+  ", line)]
    assert [line.split()[1] for line in rows] == [str(offer.total) for offer in list(best.values())[:12]]


def test_refusals_are_grouped_by_what_stands_in_the_way(ranking: tw.Ranking) -> None:
    offered = {(offer.carrier, offer.service) for offer in ranking}
    groups = _display._groups(ranking)
    told = [name for group in groups if group.of_services for name, _ in group.members]
    wanted = {(one.carrier, one.service) for one in ranking.refusals if one.service is not None} - offered
    assert len(told) == len(set(told)) and set(told) == {f"{carrier}/{service}" for carrier, service in wanted}
    # Where a service does not go there, its currency does not count; and what goes elsewhere comes last.
    assert groups[-1].code == "no_zone" and "larkspur-eu/europe-road" in dict(groups[-1].members)
    assert groups[-1].why(dict(groups[-1].members)["larkspur-eu/europe-road"]).startswith("no zone from")
    slow = next(group for group in groups if group.code == "promise_not_met")
    assert [name for name, _ in slow.members] == ["fenwick-dray/feather", "harbourline/printed"]
    # The cause is a reason of each of the refusals where one is.
    for group in groups:
        for _, refusals in group.members:
            common = set.intersection(*({reason.code for reason in one.reasons} for one in refusals))
            assert group.code in common or not common
    assert _display._CAUSES.keys() >= {reason.code for one in ranking.refusals for reason in one.reasons}


def test_every_cause_has_words() -> None:
    header = (pathlib.Path(__file__).resolve().parents[2] / "include" / "tarewise" / "tariff" / "reason.h").read_text(encoding="utf-8")
    names = re.findall(r'"(\w+)"', header.split("kReasonNames")[1].split("};")[0])
    assert len(names) > 10 and set(names) == set(_display._CAUSES)


def test_nothing_to_offer_tells_why_at_once(book: tw.Ratebook, lane: tw.Lane) -> None:
    ranking = tw.rank(book, tw.Parcel("5000 kg", "10 x 10 x 10 m"), lane=lane, date=DATE, currency="USD")
    groups = _display._groups(ranking)
    assert groups[0].code == "over_limit" and groups[-1].code == "no_zone"
    text = str(ranking)
    assert text.index("Nothing can be offered") < text.index("over a limit: ") < text.index("does not go there: ")
    html = ranking._repr_html_()
    assert "<details><summary>Refused" not in html and "over a limit: " in html


def test_text_keeps_to_80_columns(
    ranking: tw.Ranking, plans: tw.Plans, nasty: dict[str, Any], book: tw.Ratebook, asked: dict[str, Any]
) -> None:
    shown = [str(ranking), str(plans), str(nasty["ranking"]), str(nasty["plans"])]
    for weight in ("3 oz", "20 lb", "14..40 oz"):
        for contents in ((), ("lithium_alone", "fragile")):
            goods = tw.Item(weight, "11 x 8 x 3 in", contents=contents, title="A long title of a good that goes on and on and on for long")
            shown += [str(tw.rank(book, goods, **asked)), str(tw.rank(book, goods, **{**asked, "shelf": None}))]
    for text in shown:
        assert max(map(len, text.splitlines())) <= 80
        assert not any(line != line.rstrip() for line in text.splitlines())


def test_plans_are_told_as_text(plans: tw.Plans) -> None:
    text = str(plans)
    assert plans.best is not None
    for parcel in plans.best:
        assert str(parcel.offer.total) in text
    assert f"in one parcel: {plans.single} USD" in text and "1 x Tin" in text
    assert repr(plans[0]) in repr(list(plans))


# ---- dictionaries and frames ----


def test_dictionaries_are_the_documents(ranking: tw.Ranking, plans: tw.Plans, comparison: tw.Comparison) -> None:
    for answer in (ranking, plans, comparison):
        told = answer.to_dict()
        assert json.loads(json.dumps(told)) == told == json.loads(answer.to_json())
    assert ranking[3].to_dict() == ranking.to_dict()["offers"][3]
    assert ranking.to_dict()["offers"][0]["total"] == str(ranking[0].total)


def test_frames_of_rankings(ranking: tw.Ranking) -> None:
    frame = ranking.to_frame()
    assert len(frame) == len(ranking) and frame["total"].tolist() == [offer.total for offer in ranking]
    assert all(isinstance(total, Decimal) for total in frame["total"])
    assert frame["service"].tolist() == [offer.service for offer in ranking]
    charges = ranking.to_frame("charges")
    assert charges.groupby("offer")["amount"].sum().tolist() == [offer.total for offer in ranking]
    refusals = ranking.to_frame(kind="refusals")
    assert refusals["text"].tolist() == [reason.text for one in ranking.refusals for reason in one.reasons]
    floats = ranking.to_frame(totals="float")
    assert floats["total"].dtype == np.float64 and floats["total"].tolist() == [float(offer.total) for offer in ranking]
    assert floats["total_at_risk"].dtype == np.float64


def test_frames_of_plans_and_comparisons(plans: tw.Plans, comparison: tw.Comparison) -> None:
    parcels = plans.to_frame()
    assert len(parcels) == sum(len(plan) for plan in plans)
    assert parcels.groupby("plan")["total"].sum().tolist() == [plan.total for plan in plans]
    whole = plans.to_frame("plans", totals="float")
    assert whole["total"].tolist() == [float(plan.total) for plan in plans] and whole["parcels"].tolist() == [len(plan) for plan in plans]
    charges = plans.to_frame("charges")
    assert charges.groupby("plan")["amount"].sum().tolist() == [plan.total for plan in plans]
    cells = comparison.to_frame()
    assert cells["after"].tolist() == [cell.after for cell in comparison.cells]


def test_frames_of_nothing_have_their_columns(book: tw.Ratebook, lane: tw.Lane, ranking: tw.Ranking) -> None:
    empty = tw.rank(book, tw.Parcel("5000 kg", "10 x 10 x 10 m"), lane=lane, date=DATE, currency="USD")
    for kind in ("offers", "charges"):
        assert list(empty.to_frame(kind).columns) == list(ranking.to_frame(kind).columns) and len(empty.to_frame(kind)) == 0


def test_frames_say_what_is_wrong(ranking: tw.Ranking, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(tw.QuantityError, match="kind: found 'offer', expected 'offers', 'refusals', 'charges'"):
        ranking.to_frame("offer")  # type: ignore[arg-type]
    with pytest.raises(tw.QuantityError, match="totals: found 'int', expected 'decimal' or 'float'"):
        ranking.to_frame(totals="int")  # type: ignore[arg-type]
    monkeypatch.setitem(sys.modules, "pandas", None)
    with pytest.raises(ImportError, match=r"to_frame\(\) needs pandas: pip install \"tarewise\[frames\]\""):
        ranking.to_frame()


# ---- catalogues: plain reasons, and what explains a row ----


def catalogue(rows: int, seed: int) -> dict[str, Any]:
    """Invented goods in pounds and inches; some cannot be read, some are too large for anything."""
    rng = np.random.default_rng(seed)
    weight = np.round(rng.lognormal(0.2, 1.2, rows), 2) + 0.05
    weight[rng.random(rows) < 0.04] = np.nan
    length = rng.integers(16, 160, rows) / 8
    length[rng.random(rows) < 0.04] = 300.0
    return {
        "mass": weight,
        "length_in": length,
        "width_in": rng.integers(8, 100, rows) / 8,
        "height_in": rng.integers(2, 60, rows) / 8,
        "quantity": rng.integers(1, 3, rows),
        "shape": rng.choice(np.array(["box", "soft", "round"], object), rows, p=[0.7, 0.27, 0.03]),
    }


OWN = {"columns": {"weight": "mass"}, "units": {"weight": "lb"}}
LANES = {"near": tw.Lane("US 05401", "US 05602"), "far": tw.Lane("US 05401", "US 98101", residential=True)}


def test_plain_reasons_are_places_in_reasons(book: tw.Ratebook, shelf: tw.Shelf) -> None:
    goods = catalogue(300, 3)
    options: dict[str, Any] = {"shelf": shelf, "lanes": LANES, "date": DATE, "currency": "USD", **OWN}
    told = tw.reprice(goods, book, **options)["reason"]
    repricer = tw.Repricer(book, plain=True, **options)
    codes = repricer(goods)["reason"]
    assert codes.dtype == np.uint8 and len(set(codes.tolist())) > 3
    for code, reason in zip(codes.tolist(), told.tolist()):
        assert (code == 0) == (reason is None)
        assert reason is None or repricer.reasons[code] == reason.split(":")[0]


@pytest.mark.parametrize("seed", [1, 2])
def test_explain_tells_what_reprice_does(book: tw.Ratebook, shelf: tw.Shelf, seed: int) -> None:
    """Row by row: single ones, orders with several rows, both lanes, columns and units of one's own."""
    rows = 90
    goods = catalogue(rows, seed)
    rng = np.random.default_rng(seed)
    # A third of the rows are in orders of one to four rows, not next to each other.
    goods["order"] = np.array([f"o{rng.integers(0, 12)}" if rng.random() < 0.34 else None for _ in range(rows)], object)
    repricer = tw.Repricer(book, shelf=shelf, lanes=LANES, date=DATE, currency="USD", **OWN)
    priced = repricer(goods)
    seen = set()
    first: dict[str, int] = {}
    for row in range(rows):
        order = goods["order"][row]
        at = row if order is None else first.setdefault(order, row)
        reason = priced["reason"][row]
        seen.add(None if reason is None else reason.split(":")[0])
        for name, lane in LANES.items():
            micros, service = priced[f"total_{name}_micros"][at], priced[f"service_{name}"][at]
            try:
                ranking = repricer.explain(goods, row, name)
            except tw.RequestError:
                assert micros == -1 and priced["reason"][at] is not None, row
                continue
            assert ranking.request.lane == lane
            if ranking.best is None:
                assert micros == -1 and service is None, row
            else:
                assert Decimal(int(micros)).scaleb(-6) == ranking.best.total, (row, name)
                assert service == f"{ranking.best.carrier}/{ranking.best.service}", (row, name)
                assert priced[f"packaging_{name}"][at] == ranking.best.packaging, (row, name)
    assert {None, "in_order", "order_not_priced"} <= seen and len(seen) > 4


def test_explain_of_an_order_in_several_parcels_is_that_in_one(book: tw.Ratebook, shelf: tw.Shelf) -> None:
    goods = {
        "mass": np.array([20.0, 20.0, 1.0, 2.5]),
        "length_in": np.array([12.0, 12.0, 7.0, 9.0]),
        "width_in": np.array([9.0, 9.0, 5.0, 6.0]),
        "height_in": np.array([4.0, 4.0, 3.0, 3.0]),
        "order": np.array(["a", "a", "b", None], object),
    }
    repricer = tw.Repricer(book, shelf=shelf, lanes=LANES["far"], date=DATE, currency="USD", most_parcels=3, **OWN)
    priced = repricer(goods)
    assert priced["parcels"].tolist()[0] > 1
    for row in (0, 2, 3):
        best = repricer.explain(goods, row).best
        assert best is not None
        total = Decimal(int(priced["total_micros"][row])).scaleb(-6)
        assert total == best.total if priced["parcels"][row] == 1 else total < best.total


# ---- pickles ----


def test_pickles_are_small_and_share_their_ratebook(
    book: tw.Ratebook, ranking: tw.Ranking, plans: tw.Plans, comparison: tw.Comparison, shelf: tw.Shelf
) -> None:
    written = sum(map(len, book.documents.values()))
    repricer = tw.Repricer(book, shelf=shelf, lanes=LANES, date=DATE, currency="USD")
    whole = len(pickle.dumps(book))
    assert whole < 0.3 * written
    for value in (ranking, ranking[0], plans, comparison, repricer):
        assert len(pickle.dumps(value)) < whole + 6000
    many = [tw.rank_request(book, ranking.request, shelf=shelf) for _ in range(20)]
    assert len(pickle.dumps(many)) < whole + 20 * 1500
    again = pickle.loads(pickle.dumps([ranking, plans, comparison]))
    assert again == [ranking, plans, comparison] and again[0].ratebook is again[1].ratebook


def test_pickles_of_the_first_form_load(book: tw.Ratebook) -> None:
    from tarewise._values import restore_ratebook

    assert restore_ratebook(1, "another version", book.documents) == book
    _, (form, version, packed) = book.__reduce__()  # type: ignore[misc]
    assert form == 2 and restore_ratebook(form, version + "-", packed) == book
    with pytest.raises(ValueError, match="form 3, expected 1 to 2"):
        restore_ratebook(3, version, packed)


# ---- in a browser ----

# The rules of notebooks that reach into what is shown, as JupyterLab and nbconvert have them.
NOTEBOOK = """
.jp-RenderedHTMLCommon table{border-collapse:collapse;border-spacing:0;border:none;font-size:12px;table-layout:fixed;margin-left:auto;margin-right:auto}
.jp-RenderedHTMLCommon td,.jp-RenderedHTMLCommon th,.jp-RenderedHTMLCommon tr{vertical-align:middle;padding:.5em;line-height:normal;white-space:normal;max-width:none;border:none}
.jp-RenderedHTMLCommon :not(.jp-RenderedMarkdown.jp-RenderedHTMLCommon) tbody tr:nth-child(odd){background:#f5f5f5}
.jp-RenderedHTMLCommon tbody tr:hover{background:#dff}
.jp-RenderedHTMLCommon td,.jp-RenderedHTMLCommon th{text-align:right}
.light{background:#fff;color:#212121}.dark{background:#111;color:#fff}
.cell{font:14px sans-serif;padding:12px;overflow:hidden}
"""

MEASURE = """
const wrong=[];
function light(c){const f=c.map(v=>{v/=255;return v<=.03928?v/12.92:((v+.055)/1.055)**2.4});return .2126*f[0]+.7152*f[1]+.0722*f[2]}
function rgb(s){return s.match(/[\\d.]+/g).map(Number)}
document.querySelectorAll('.cell').forEach(cell=>{
  const ground=rgb(getComputedStyle(cell).backgroundColor);
  cell.querySelectorAll('.tarewise').forEach(e=>{if(e.scrollWidth>e.clientWidth+1)wrong.push('wide '+cell.id)});
  cell.querySelectorAll('.tarewise *').forEach(e=>{
    if(!e.childNodes.length||e.tagName=='STYLE'||!e.checkVisibility())return;
    const s=getComputedStyle(e);
    if(['TD','TH','TR'].includes(e.tagName)&&s.backgroundColor!='rgba(0, 0, 0, 0)')wrong.push('ground '+e.tagName);
    if(e.tagName=='TD'&&!e.classList.contains('n')&&s.textAlign!='left')wrong.push('align '+e.textContent);
    let o=1;for(let p=e;p!==cell;p=p.parentElement)o*=getComputedStyle(p).opacity;
    const ink=rgb(s.color).slice(0,3).map((v,i)=>v*o+ground[i]*(1-o));
    const a=light(ink),b=light(ground.slice(0,3));
    if((Math.max(a,b)+.05)/(Math.min(a,b)+.05)<4.5)wrong.push('faint '+e.textContent.slice(0,30));
  });
  const boxes=[...cell.querySelectorAll('summary>span,td,th')].filter(e=>e.checkVisibility()).map(e=>[e,e.getBoundingClientRect()]);
  for(let i=1;i<boxes.length;i++){const [e,p]=boxes[i-1],[f,q]=boxes[i];
    if(!e.contains(f)&&!f.contains(e)&&p.width&&q.width&&p.right>q.left+1&&q.right>p.left+1&&p.bottom>q.top+1&&q.bottom>p.top+1)wrong.push('over '+e.textContent.slice(0,30)+'|'+f.textContent.slice(0,30));}
});
document.body.setAttribute('data-wrong',JSON.stringify(wrong));
document.body.setAttribute('data-seen',document.querySelectorAll('.cell .tarewise *').length);
"""

CHROMIUM = shutil.which("chromium", path=os.pathsep.join((os.environ.get("PATH", ""), "/usr/bin")))


def in_notebook(cells: list[str], width: int) -> str:
    return (
        f'<!doctype html><meta charset="utf-8"><style>{NOTEBOOK}</style><body style="margin:0;width:{width}px">{"".join(cells)}'
        f"<script>{MEASURE}</script>"
    )


def measured(page: pathlib.Path) -> str:
    """What is wrong on a page, as the browser finds it."""
    assert CHROMIUM is not None
    arguments = [CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={page.parent / 'profile'}", "--dump-dom"]
    environment = {**os.environ, "PATH": "/usr/local/bin:/usr/bin:/bin", "HOME": str(page.parent)}
    run = subprocess.run([*arguments, page.as_uri()], capture_output=True, text=True, timeout=120, env=environment, check=False)
    seen = re.search(r'data-seen="(\d+)"', run.stdout)
    assert seen and int(seen[1]) > 5, run.stderr[-2000:]
    wrong = re.search(r'data-wrong="([^"]*)"', run.stdout)
    assert wrong
    return wrong[1].replace("&quot;", '"')


@pytest.mark.skipif(CHROMIUM is None, reason="there is no chromium")
def test_the_measure_finds_what_is_wrong(tmp_path: pathlib.Path) -> None:
    page = tmp_path / "page.html"
    bad = '<div class="tarewise"><div style="width:900px">wide</div><div style="opacity:.3">pale</div><table><tr><td>a</td></tr></table></div>'
    page.write_text(in_notebook([f'<div class="cell light jp-RenderedHTMLCommon" id="bad">{bad}</div>'], 420), encoding="utf-8")
    wrong = measured(page)
    assert "wide bad" in wrong and "faint pale" in wrong and "align a" in wrong and "ground TR" in wrong


@pytest.mark.skipif(CHROMIUM is None, reason="there is no chromium")
@pytest.mark.parametrize("width", [420, 1000])
def test_browsers_show_it_in_light_and_dark(
    tmp_path: pathlib.Path, width: int, nasty: dict[str, Any], ranking: tw.Ranking, plans: tw.Plans, comparison: tw.Comparison,
    book: tw.Ratebook, shelf: tw.Shelf,
) -> None:  # fmt: skip
    """Nothing lies over another, is wider than its cell, is striped or aligned by the notebook's rules, or too faint to be read."""
    answers = {
        "ranking": ranking, "plans": plans, "comparison": comparison, "ratebook": book, "shelf": shelf, "offer": ranking[5],
        "request": ranking.request, "nasty": nasty["ranking"],
    }  # fmt: skip
    cells = []
    for theme in ("light", "dark"):
        for name, answer in answers.items():
            html = answer._repr_html_()
            unfolded = html.replace("<details", "<details open") if name in ("plans", "offer", "nasty", "comparison") else html
            cells.append(f'<div class="cell {theme} jp-RenderedHTMLCommon" id="{theme}-{name}">{unfolded}</div>')
    page = tmp_path / "page.html"
    page.write_text(in_notebook(cells, width), encoding="utf-8")
    assert measured(page) == "[]"
