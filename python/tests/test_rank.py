"""Single calls: rankings, how they are shown, and errors with their places."""

from __future__ import annotations

import copy
import json
import pathlib
import pickle
import re
import threading
from decimal import Decimal
from html.parser import HTMLParser
from typing import Any

import pytest
from typed_requests import arguments

import tarewise as tw
from tarewise import _display


def orders(root: pathlib.Path) -> list[pathlib.Path]:
    return sorted((root / "tables" / "demo-orders").glob("*.json"))


@pytest.fixture(scope="session")
def ranking(book: tw.Ratebook, shelf: tw.Shelf, lane: tw.Lane) -> tw.Ranking:
    item = tw.Item("11.4 oz", "11 x 8 x 3 in", value="24.00", contents=["fragile"])
    return tw.rank(book, item, shelf=shelf, lane=lane, date="2026-08-03", currency="USD", extras=["signature"])


def test_the_typed_request_is_the_document(root: pathlib.Path, book: tw.Ratebook, shelf: tw.Shelf) -> None:
    for path in orders(root):
        text = path.read_text(encoding="utf-8")
        read = tw.Request.from_json(text, path.name)
        kwargs = arguments(json.loads(text, parse_float=Decimal))
        made = tw.Request(**kwargs)
        assert read == made and hash(read) == hash(made), path.name
        assert pickle.loads(pickle.dumps(read)) == read
        at_hand = shelf if read.goods else None
        first = tw.rank_request(book, read, shelf=at_hand)
        second = tw.rank(book, shelf=at_hand, **kwargs)
        assert first == second and first.to_json() == second.to_json()


def test_offers_say_what_the_document_says(ranking: tw.Ranking) -> None:
    document = json.loads(ranking.to_json())
    assert document["format"] == "tarewise-ranking-1" and document["currency"] == ranking.currency == "USD"
    assert len(document["offers"]) == len(ranking) == len(ranking.offers) > 3
    for shown, offer in zip(document["offers"], ranking):
        assert shown["carrier"] == offer.carrier and shown["service"] == offer.service
        assert shown["packaging"] == offer.packaging and shown["zone"] == offer.zone and shown["tracked"] == offer.tracked
        assert shown["days"] == (None if offer.days is None else list(offer.days))
        assert shown["total"] == str(offer.total) and shown["packaging_cost"] == str(offer.packaging_cost)
        assert shown["parcel"] == {"weight": str(offer.weight), "sides": str(offer.sides)}
        assert shown["billable_weight"] == {"weight": str(offer.billable_weight), "from": offer.billable_from}
        for line, charge in zip(shown["charges"], offer.charges, strict=True):
            assert (line["code"], line["title"], line["amount"]) == (charge.code, charge.title, str(charge.amount))
            assert (line["why"], line.get("row"), line.get("column")) == (charge.why, charge.row, charge.column)
        room = {name: str(value) for name, value in offer.headroom._asdict().items() if value is not None}
        assert shown["headroom"] == room
        savers = [{"of": s.of, "take": str(s.take), "total": str(s.total), "saves": str(s.saves)} for s in offer.savers]
        assert shown["savers"] == savers
        lines = sum((charge.amount for charge in offer.charges), Decimal())
        assert lines == offer.tariff_total
    for shown, refusal in zip(document["refusals"], ranking.refusals, strict=True):
        assert (shown["carrier"] or None, shown["service"] or None) == (refusal.carrier, refusal.service)
        assert shown["reasons"] == [reason._asdict() for reason in refusal.reasons]


def test_rankings_are_sequences(ranking: tw.Ranking) -> None:
    assert ranking and ranking.best == ranking[0] == ranking.offers[0] == next(iter(ranking))
    assert ranking[-1] == ranking.offers[-1] and ranking[1:3] == ranking.offers[1:3]
    with pytest.raises(IndexError):
        ranking[len(ranking)]
    assert [offer.total for offer in ranking] == sorted(offer.total for offer in ranking)


def test_rankings_and_their_parts_pickle_and_copy(ranking: tw.Ranking, book: tw.Ratebook) -> None:
    for value in (ranking, ranking[0], ranking[2].charges[0], ranking.refusals[0], book):
        back = pickle.loads(pickle.dumps(value))
        assert back == value and hash(back) == hash(value) and repr(back) == repr(value)
        assert copy.copy(value) is value and copy.deepcopy(value) is value
    assert ranking[0] != ranking[1] and ranking[0].charges[0] != ranking[1].charges[0]
    # A part keeps what it is a part of.
    charge = pickle.loads(pickle.dumps(ranking)).offers[0].charges[0]
    assert charge.why == ranking[0].charges[0].why


def test_a_process_reads_a_pickled_ratebook_once(book: tw.Ratebook) -> None:
    first, second = pickle.loads(pickle.dumps(book)), pickle.loads(pickle.dumps(book))
    assert first is second and first == book and first.version == book.version


class Checker(HTMLParser):
    """Tags that close, and the words."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.words: list[str] = []
        self.folded = 0

    def handle_starttag(self, tag: str, attrs: Any) -> None:
        assert tag != "details" or ("open", None) not in attrs
        self.folded += tag == "details"
        self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open[-1] != "style":
            self.words.append(data)


def test_notebooks_show_the_winner_first(ranking: tw.Ranking) -> None:
    checker = Checker()
    checker.feed(ranking._repr_html_())
    assert not checker.open
    words = " ".join(checker.words)
    # What was asked, then the winner.
    assert checker.words[:4] == ["goods", "11.4 oz, 11 x 8 x 3 in, fragile, worth 24.00", "lane", "US 05401 to US 98101, a home"]
    assert words.index(f"{ranking[0].total} USD") < words.index(ranking[0].charges[0].why) < words.index(str(ranking[1].total))
    assert f"Refused: {len(ranking.refusals)}" in words
    assert all(reason.text in words for refusal in ranking.refusals for reason in refusal.reasons)
    assert all(charge.why in words for offer in ranking for charge in offer.charges)
    services = {(offer.carrier, offer.service) for offer in ranking}
    assert checker.folded > len(services)


def test_notebooks_escape_the_documents_words() -> None:
    tariff = {
        "format": "tarewise-tariff-1",
        "carrier": {"code": "larkspur", "name": "Lark <script>spur"},
        "title": "t",
        "source": "invented",
        "currency": "USD",
        "in_force": {"from": "2026-01-01"},
        "zones": {"main": [{"kind": "one", "zone": "1"}]},
        "services": [{"code": "one", "title": "One <b>bold</b>", "zones": "main", "prices": [{"amount": "1.50"}]}],
    }
    book = tw.Ratebook.from_documents({"larkspur.json": json.dumps(tariff)})
    ranking = tw.rank(book, tw.Parcel("1 lb", "4 x 4 x 4 in"), lane=tw.Lane("US 05401", "US 98101"), date="2026-08-03")
    shown = ranking._repr_html_()
    assert "<script>" not in shown and "<b>bold" not in shown and "One &lt;b&gt;bold" in shown


def test_terminals_show_a_plain_table(ranking: tw.Ranking) -> None:
    text = str(ranking)
    assert text == f"{ranking}" and "\x1b" not in text
    assert all(len(line) <= 80 for line in text.splitlines())
    blank = text.splitlines().index("")
    assert text.splitlines()[0].split() == ["goods", *"11.4 oz, 11 x 8 x 3 in, fragile, worth 24.00".split()]
    head, first = text.splitlines()[blank + 1 : blank + 3]
    assert head.split() == ["total", "USD", "days", "service", "packaging", "billable", "weight"]
    assert str(ranking[0].total) in first and ranking[0].packaging in first
    assert f"Refused: {len(ranking.refusals)}" in text
    assert repr(ranking).startswith("<Ranking of ") and str(ranking[0].total) in repr(ranking)
    assert "refused" in repr(ranking) and repr(ranking[0]).startswith(f"<Offer {ranking[0].carrier}/")


def test_weights_are_shown_short_and_room_never_too_large(book: tw.Ratebook, shelf: tw.Shelf, lane: tw.Lane) -> None:
    item = tw.Item("1 lb 3.3333333 oz", "11 x 8 x 3 in")
    ranking = tw.rank(book, item, shelf=shelf, lane=lane, date="2026-08-03", currency="USD")
    for shown in (str(ranking), ranking._repr_html_()):
        assert not re.search(r"\d\.\d{5,} (?:oz|lb|g|kg)", shown)
    for offer in ranking:
        room = offer.headroom.weight
        if room is not None:
            shown = _display._room(room)
            assert shown.startswith("less than") or room - tw.Weight("0.1 oz") < tw.Weight(shown) <= room


def test_nothing_to_offer_is_an_answer(book: tw.Ratebook, lane: tw.Lane) -> None:
    ranking = tw.rank(book, tw.Parcel("5000 kg", "10 x 10 x 10 m"), lane=lane, date="2026-08-03", currency="USD")
    assert not ranking and ranking.best is None and len(ranking.refusals) > 3
    assert "Nothing can be offered" in str(ranking) and "Nothing can be offered" in ranking._repr_html_()


def test_estimates_and_ranges(book: tw.Ratebook, lane: tw.Lane) -> None:
    estimate = tw.rank(book, tw.Item("14..40 oz", "11 x 8 x 3 in"), lane=lane, date="2026-08-03", currency="USD")
    assert estimate.estimate and "estimate" in str(estimate) and "estimate" in repr(estimate)
    spread = estimate[0].total_range
    assert spread is not None and spread.lowest <= spread.highest
    assert estimate.changes and estimate.changes[0].of == "weight"


def test_cautions(book: tw.Ratebook, shelf: tw.Shelf, lane: tw.Lane) -> None:
    item = tw.Item("8 oz", "6 x 4 x 2 in", contents="lithium_alone")
    ranking = tw.rank(book, item, shelf=shelf, lane=lane, date="2026-08-03", currency="USD")
    # 49 CFR 173.185: cells alone are not for passenger aircraft.
    assert "never go by air" in ranking.cautions[0].text and ranking.cautions[0].text in " ".join(str(ranking).split())
    assert all(offer.mode != "air" for offer in ranking)


def test_requests_say_where_they_are_wrong(book: tw.Ratebook, lane: tw.Lane) -> None:
    with pytest.raises(tw.RequestError) as caught:
        tw.Request.from_json('{"format": "tarewise-request-1",\n "colour": "red"}', "order.json")
    error = caught.value
    assert error.file == "order.json" and len(error.diagnostics) > 1
    first, = (finding for finding in error.diagnostics if finding.pointer == "/colour")
    assert (first.line, first.column) == (2, 2) and '"colour"' in first.message
    top = error.diagnostics[0]
    assert (error.code, error.line, error.column, error.pointer) == (top.code, top.line, top.column, top.pointer)
    assert pickle.loads(pickle.dumps(error)).diagnostics == error.diagnostics
    item = tw.Item("1 lb", "4 x 4 x 4 in")
    for kwargs, words, pointer in (
        ({"extras": ["signature", "signature"]}, "twice", "/extras"),
        ({"promise": tw.Promise.paid_for("nobody/nothing")}, "nobody/nothing", "/promise"),
        ({"currency": None}, "several", "/currency"),
    ):
        with pytest.raises(tw.RequestError, match=words) as caught:
            tw.rank(book, item, lane=lane, date="2026-08-03", **{"currency": "USD", **kwargs})
        assert caught.value.pointer == pointer


# The bounds of tables/FORMAT.md, B8: at them a request is taken, past them it is refused, and told where.
@pytest.mark.parametrize(
    ("taken", "refused", "pointer"),
    [
        ({"promise": "harbourline/parcel"}, {"promise": "harbourline/parcel/x"}, "/paid_for"),
        ({"promise": "parcel"}, {"promise": "Parcel"}, "/paid_for"),
        ({"promise": 10_000}, {"promise": 10_001}, "/within"),
        ({"exchange": {"EUR": "1000000000"}}, {"exchange": {"EUR": "1000000000.000001"}}, "/exchange/EUR"),
        ({"exchange": {"EUR": "1"}}, {"exchange": {"USD": "1"}}, "/exchange/USD"),
        ({"cover": "1000000000"}, {"cover": "1000000000.000001"}, "/cover"),
        ({"extras": ["signature"]}, {"extras": ["Signature"]}, "/extras"),
        ({"extras": [f"extra-{n}" for n in range(100)]}, {"extras": [f"extra-{n}" for n in range(101)]}, "/extras"),
        ({"padding": "50 m"}, {"padding": "50.000000001 m"}, "/padding"),
        ({"fill_weight": "100000 kg"}, {"fill_weight": "100000.000000000001 kg"}, "/fill_weight"),
        ({"quantity": 9_999}, {"quantity": 10_000}, "/goods"),
    ],
)
def test_requests_have_the_bounds_of_the_contract(lane: tw.Lane, taken: Any, refused: Any, pointer: str) -> None:
    def make(kwargs: dict[str, Any]) -> tw.Request:
        rest = dict(kwargs)
        goods = [tw.Item("1 g", "4 x 4 x 4 in", quantity=rest.pop("quantity", 1)), tw.Item("1 g", "4 x 4 x 4 in")]
        promise = rest.pop("promise", None)
        if promise is not None:
            promise = tw.Promise.within(promise) if isinstance(promise, int) else tw.Promise.paid_for(promise)
        return tw.Request(goods, lane=lane, date="2026-08-03", **{"currency": "USD", "promise": promise, **rest})

    make(taken)
    with pytest.raises(tw.TarewiseError) as caught:
        make(refused)
    assert caught.value.pointer == pointer


def test_tables_say_where_they_are_wrong(tmp_path: pathlib.Path) -> None:
    with pytest.raises(tw.TariffError, match="no such folder"):
        tw.load(tmp_path / "nowhere")
    with pytest.raises(tw.TariffError, match="no tables"):
        tw.load(tmp_path)
    (tmp_path / "a.json").write_text('{\n  "format": "tarewise-tariff-1",\n  "currency": "USDX"\n}\n')
    with pytest.raises(tw.TariffError) as caught:
        tw.load(tmp_path)
    error = caught.value
    assert error.file == str(tmp_path / "a.json") and error.line is not None and error.column is not None
    wrong = [finding for finding in error.diagnostics if finding.pointer == "/currency"]
    assert wrong and (wrong[0].line, wrong[0].severity) == (3, "error") and "USDX" in str(wrong[0])
    with pytest.raises(tw.TariffError):
        tw.load({"a.json": "{"})


def test_documents_from_memory_are_the_folder(book: tw.Ratebook, root: pathlib.Path) -> None:
    again = tw.Ratebook.from_documents({pathlib.Path(name).name: text for name, text in book.documents.items()})
    assert again == book and again.version == book.version and hash(again) == hash(book)
    assert tw.Ratebook.load(root / "tables" / "demo") == book
    assert {tariff.carrier for tariff in book} == set(book.carriers) and len(book) == len(book.tariffs)
    parcel = next(s for t in book if t.carrier == "harbourline" for s in t.services if s.code == "parcel")
    assert parcel.days["7"].most >= parcel.days["7"].least and parcel.tracked


def test_threads_share_everything(book: tw.Ratebook, shelf: tw.Shelf, lane: tw.Lane) -> None:
    items = [tw.Item(f"{3 + n} oz", "9 x 6 x 2 in") for n in range(40)]
    kwargs: dict[str, Any] = {"shelf": shelf, "lane": lane, "date": "2026-08-03", "currency": "USD"}
    wanted = [tw.rank(book, item, **kwargs).to_json() for item in items]
    found: dict[int, list[str]] = {}

    def work(n: int) -> None:
        found[n] = [tw.rank(book, item, **kwargs).to_json() for item in items]

    threads = [threading.Thread(target=work, args=(n,)) for n in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert all(found[n] == wanted for n in range(4))


@pytest.fixture(scope="module")
def packed(book: tw.Ratebook, lane: tw.Lane) -> tw.Ranking:
    """Three games and a tin, in a carton that may be cut down."""
    games = tw.Item("20 oz", "10 x 8 x 2 in", quantity=3, title="Board game", may_stand=(3,))
    tin = tw.Item("9 oz", "5 x 5 x 5 in", title="Tin", top_free=True)
    shelf = tw.Shelf(
        [
            tw.Packaging("carton-18", "carton", inside="18 x 12 x 10 in", wall="0.15 in", tare="12 oz", least_height="2 in"),
            tw.Packaging("mailer", "mailer", inside="18 x 20 in", tare="1 oz"),
        ]
    )
    return tw.rank(book, [games, tin], shelf=shelf, lane=lane, date="2026-08-03", currency="USD")


def test_soft_goods_fill_a_mailer(book: tw.Ratebook, lane: tw.Lane) -> None:
    shelf = tw.Shelf([tw.Packaging("mailer", "mailer", inside="12 x 15 in", tare="1 oz")])

    def thickness(**soft: str) -> str:
        shirt = tw.Item("9 oz", "10 x 8 x 2 in", **soft)  # type: ignore[arg-type]
        ranking = tw.rank(book, [shirt], shelf=shelf, lane=lane, date="2026-08-03", currency="USD")
        pressed = any(c.code == "measure_soft" for c in ranking.cautions)
        assert pressed == bool(soft)
        return str(ranking[0].sides[2])

    assert thickness() == "2 in"
    assert thickness(presses_to="50", least_thickness="0.3 in").startswith("0.47")
    assert thickness(presses_to="50", least_thickness="0.9 in") == "0.9 in"
    with pytest.raises(tw.RequestError, match="least_thickness"):
        thickness(presses_to="50", least_thickness="3 in")


def test_goods_are_arranged_and_cartons_cut_down(packed: tw.Ranking) -> None:
    cut = [offer for offer in packed if offer.cut_to is not None]
    assert cut and all(offer.packaging == "carton-18" for offer in cut)
    for offer in packed:
        if offer.packaging != "carton-18":
            assert offer.arrangement == () and offer.inside is None and packed.steps(offer) == ()
            continue
        inside, units, steps = offer.inside, offer.arrangement, packed.steps(offer)
        assert inside is not None
        assert [(one.item, one.unit) for one in units] == [(0, 0), (0, 1), (0, 2), (1, 0)]
        for n, one in enumerate(units):
            ends = [at.nanometres + side.nanometres for at, side in zip(one.at, one.sides)]
            assert all(end <= side.nanometres for end, side in zip(ends, inside))
            assert sorted(one.sides, reverse=True) == sorted(packed.request.goods[one.item].sides, reverse=True)
            assert 1 <= one.step <= len(steps)
            assert packed.request.goods[one.item].title in steps[one.step - 1]
            for other in units[:n]:
                assert any(
                    a.nanometres + s.nanometres <= b.nanometres or b.nanometres + t.nanometres <= a.nanometres
                    for a, s, b, t in zip(one.at, one.sides, other.at, other.sides)
                )
        # The first step says to what height the carton is cut; a whole one has none such.
        assert (f"down to a height of {offer.cut_to} outside" in steps[0]) == (offer.cut_to is not None)
        assert inside[2].nanometres == (offer.cut_to or tw.Length("10.3 in")).nanometres - tw.Length("0.3 in").nanometres
    assert f"carton-18 cut to {cut[0].cut_to}" in str(packed)


def test_what_json_says_of_arrangements_is_what_offers_say(packed: tw.Ranking) -> None:
    document = json.loads(packed.to_json())
    told = {one.get("cut_to"): one for one in document["arrangements"]}
    assert len(told) == 2 and None in told
    for offer, in_json in zip(packed, document["offers"]):
        cut = None if offer.cut_to is None else str(offer.cut_to)
        assert in_json.get("cut_to") == cut
        if offer.packaging != "carton-18":
            continue
        one = told[cut]
        assert one["packaging"] == "carton-18" and one["sides"] == str(offer.inside)
        assert tuple(one["steps"]) == packed.steps(offer)
        for unit, written in zip(offer.arrangement, one["units"]):
            assert (unit.item, unit.unit, unit.step) == (written["item"], written["unit"], written["step"])
            assert str(unit.sides) == written["sides"]


def test_steps_are_of_offers_of_the_same_ranking(packed: tw.Ranking, ranking: tw.Ranking) -> None:
    with pytest.raises(ValueError, match="found one of another ranking"):
        packed.steps(ranking[0])
    assert ranking.steps(ranking[0]) == () and ranking[0].cut_to is None
    again = pickle.loads(pickle.dumps(packed))
    assert again == packed and again.steps(again[0]) == packed.steps(packed[0])
