"""Pictures: what is drawn is what ``rank`` says, at the weights where it says it."""

from __future__ import annotations

import importlib.util
import pathlib
from decimal import Decimal

import pytest
import tarewise

matplotlib = pytest.importorskip("matplotlib")
matplotlib.use("Agg")

from matplotlib import pyplot as plt  # noqa: E402
from mpl_toolkits.mplot3d.proj3d import proj_transform  # noqa: E402
from PIL import Image  # noqa: E402
from tarewise import pictures  # noqa: E402

ROOT = pathlib.Path(__file__).resolve().parents[2]
LANE = tarewise.Lane("US 05401", "US 98101", residential=True)


@pytest.fixture(scope="module")
def tables() -> tarewise.Tables:
    return tarewise.load(ROOT / "tables" / "demo")


@pytest.fixture(autouse=True)
def closed() -> object:
    yield
    plt.close("all")


def test_staircase_steps_where_prices_do(tables: tarewise.Tables) -> None:
    ax = pictures.staircase(
        tables.ratebook, "9 x 6 x 3 in", LANE, "2026-08-03", up_to="3 lb", item="11.4 oz", currency="USD"
    )
    lines = {line.get_label(): line for line in ax.get_lines() if not str(line.get_label()).startswith("_")}
    assert len(lines) == 6
    for ounces in ("3.9", "4", "4.1", "10.5", "16", "16.1", "32", "32.1", "47"):
        ranking = tarewise.rank(
            tables.ratebook,
            tarewise.Parcel(f"{ounces} oz", "9 x 6 x 3 in"),
            lane=LANE,
            date="2026-08-03",
            currency="USD",
        )
        for offer in ranking.offers:
            if offer.title not in lines:
                continue
            xs, ys = lines[offer.title].get_data()
            held = [
                y for x, after, y in zip(xs, xs[1:], ys) if x < float(ounces) - 1e-9 and float(ounces) <= after + 1e-9
            ]
            assert held == [pytest.approx(float(offer.total))], (offer.title, ounces)


def test_winners_are_the_first_offers(tables: tarewise.Tables) -> None:
    lanes = {"2": tarewise.Lane("US 05401", "US 12207"), "7": tarewise.Lane("US 05401", "US 98101")}
    ax = pictures.winners(
        tables.ratebook, tables.shelf, (9.0, 6.0, 3.0), lanes, "2026-08-03", up_to_oz=160, cells=40, currency="USD"
    )
    legend = ax.get_legend()
    assert legend is not None
    names = {text.get_text() for text in legend.get_texts()}
    for lane in lanes.values():
        for ounces in (4, 40, 160):
            offer = tarewise.rank(
                tables.ratebook,
                tarewise.Item(f"{ounces} oz", "9 x 6 x 3 in"),
                shelf=tables.shelf,
                lane=lane,
                date="2026-08-03",
                currency="USD",
            ).offers[0]
            assert f"{offer.carrier}/{offer.service}" in names


def test_change_names_those_that_lose_most() -> None:
    before = [Decimal("5.00"), Decimal("6.00"), None, Decimal("9.00")]
    after = [Decimal("5.10"), Decimal("8.00"), Decimal("1"), Decimal("8.50")]
    ax = pictures.tariff_change(before, after, ["kettle", "iron", "lamp", "record"], currency="USD")
    (box,) = [text for text in ax.texts if "\n" in text.get_text()]
    assert box.get_text() == "1. iron: 6.00 to 8.00 (+2.00)\n2. kettle: 5.00 to 5.10 (+0.10)"


def test_labels_of_a_change_do_not_overprint() -> None:
    before = [Decimal(n) for n in ("196.81", "196.46", "195.55", "189.71", "5.00", "64.50", "59.37")]
    after = [Decimal(n) for n in ("205.53", "205.17", "204.22", "198.13", "9.00", "66.92", "61.43")]
    ax = pictures.tariff_change(before, after, list("abcdefg"), currency="USD")
    ax.figure.canvas.draw()
    labels = [text for text in ax.texts if "\n" not in text.get_text()]
    assert [text.get_text() for text in labels] == ["1-4", "5", "6-7"]
    boxes = [text.get_window_extent() for text in labels]
    assert not any(one.overlaps(other) for i, one in enumerate(boxes) for other in boxes[:i])


def test_destination_costs_mark_the_worst(tables: tarewise.Tables) -> None:
    mix = tarewise.Mix("US 05401", {"US 05602": 3, "US 98101": 1})
    item = tarewise.Item("2 lb", "9 x 6 x 3 in")
    ax = pictures.destination_costs(tables.ratebook, tables.shelf, item, mix, "2026-08-03", currency="USD")
    best = [
        tarewise.rank(
            tables.ratebook, item, shelf=tables.shelf, lane=lane, date="2026-08-03", currency="USD"
        ).offers[0].total
        for lane in mix.lanes()
    ]
    legend = ax.get_legend()
    assert legend is not None
    labels = [text.get_text() for text in legend.get_texts()]
    assert labels == [f"mean {(3 * best[0] + best[1]) / 4:.2f}", f"worst {max(best):.2f}, US 98101"]


def test_of_equals_the_worst_place_is_the_one_that_reprice_tells(tables: tarewise.Tables) -> None:
    mix = tarewise.Mix("US 05401", {"US 05602": 1, "US 98101": 1, "US 98102": 1})
    item = tarewise.Item("32 oz", "9 x 6 x 3 in")
    ax = pictures.destination_costs(tables.ratebook, tables.shelf, item, mix, "2026-08-03", currency="USD")
    goods = {"weight": ["32 oz"], "length": ["9 in"], "width": ["6 in"], "height": ["3 in"]}
    priced = tarewise.reprice(goods, tables.ratebook, shelf=tables.shelf, mix=mix, date="2026-08-03", currency="USD")
    legend = ax.get_legend()
    assert legend is not None and priced["worst_place"][0] == "US 98101"
    assert legend.get_texts()[1].get_text().endswith(", US 98101")


def test_pictures_say_what_cannot_be_drawn(tables: tarewise.Tables) -> None:
    with pytest.raises(tarewise.TarewiseError, match="no service that takes"):
        pictures.staircase(tables.ratebook, "9 x 9 x 9 m", LANE, "2026-08-03", up_to="1 oz", currency="USD")
    with pytest.raises(tarewise.TarewiseError, match="as many of each"):
        pictures.tariff_change([], [Decimal(1)], [])


@pytest.fixture(scope="module")
def packed(tables: tarewise.Tables) -> tarewise.Ranking:
    games = tarewise.Item("20 oz", "10 x 8 x 2 in", quantity=3, title="Board game", may_stand=(3,))
    tin = tarewise.Item("9 oz", "5 x 5 x 5 in", title="Tin", top_free=True)
    shelf = tarewise.Shelf(
        [tarewise.Packaging("carton-18", "carton", inside="18 x 12 x 10 in", wall="0.15 in", tare="12 oz", least_height="2 in")]
    )
    return tarewise.rank(tables.ratebook, [games, tin], shelf=shelf, lane=LANE, date="2026-08-03", currency="USD")


def test_an_arrangement_shows_every_unit_and_step(packed: tarewise.Ranking) -> None:
    figure = pictures.arrangement(packed)
    assert packed.best is not None
    steps = packed.steps(packed.best)
    text = " ".join(" ".join(t.get_text().split()) for t in figure.findobj(matplotlib.text.Text))
    assert all(f"{n}. {step}" in text for n, step in enumerate(steps, 1))
    solid, *layers = figure.findobj(matplotlib.axes.Axes)
    assert len(solid.collections) == 4 and layers
    drawn = [patch for ax in layers for patch in ax.patches]
    for unit in packed.best.arrangement:
        corner = tuple(float(at.to("in")) for at in unit.at[:2])
        assert any(patch.get_xy() == pytest.approx(corner) for patch in drawn), unit
    figure.canvas.draw()
    numbers = [t for ax in layers for t in ax.texts]
    assert {t.get_text() for t in numbers} <= {str(unit.step) for unit in packed.best.arrangement}
    assert {t.get_text() for t in solid.texts} == {str(unit.step) for unit in packed.best.arrangement}
    spots = [solid.transData.transform(proj_transform(*t.get_position_3d(), solid.get_proj())[:2]) for t in solid.texts]
    apart = 12 * figure.dpi / 72  # the size of a number with its ring
    assert all(max(abs(a - b)) > apart for i, a in enumerate(spots) for b in spots[:i])
    for ax in layers:
        boxes = [t.get_window_extent() for t in ax.texts]
        assert not any(a.overlaps(b) for i, a in enumerate(boxes) for b in boxes[:i])


def test_an_arrangement_needs_one(tables: tarewise.Tables) -> None:
    alone = tarewise.rank(
        tables.ratebook, tarewise.Item("9 oz", "5 x 5 x 5 in"), shelf=tables.shelf, lane=LANE, date="2026-08-03", currency="USD"
    )
    with pytest.raises(tarewise.TarewiseError, match="expected one of several goods in a carton"):
        pictures.arrangement(alone)


def test_an_arrangement_alone_is_drawn_as_an_offer_is() -> None:
    games = tarewise.Item("20 oz", "10 x 8 x 2 in", quantity=3, title="Board game")
    found = tarewise.arrange([games, tarewise.Item("9 oz", "5 x 5 x 5 in", title="Tin")], "18 x 12 x 10 in")
    figure = pictures.arrangement(found)
    text = " ".join(" ".join(t.get_text().split()) for t in figure.findobj(matplotlib.text.Text))
    assert all(f"{n}. {step}" in text for n, step in enumerate(found.steps, 1)) and "Room, inside 18 x 12 x 10 in" in text
    with pytest.raises(tarewise.TarewiseError, match="expected one that fits"):
        pictures.arrangement(tarewise.arrange(games, "9 x 9 x 9 in"))


def test_what_is_before_another_is_painted_after_it() -> None:
    order = [
        tarewise.Item("41 oz", "10.5 x 10.5 x 2.6 in"),
        tarewise.Item("22 oz", "9.2 x 6.4 x 1.5 in", quantity=2),
        tarewise.Item("14 oz", "4.5 x 4.5 x 5 in", top_free=True),
    ]
    found = tarewise.arrange(order, "17.25 x 11.25 x 8.75 in")
    solid = pictures.arrangement(found).findobj(matplotlib.axes.Axes)[0]
    assert not solid.computed_zorder
    # By their colours: the board game lies under all the others, and is painted first.
    painted = [one.get_facecolor()[0][:3].tolist() for one in sorted(solid.collections, key=lambda one: one.get_zorder())]
    assert len(painted) == 4 and painted[0] == list(matplotlib.colors.to_rgb("#0072B2")) and painted[0] not in painted[1:]


def test_the_readmes_pictures_are_drawn(tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> None:
    spec = importlib.util.spec_from_file_location("readme_pictures", ROOT / "python" / "examples" / "pictures.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    monkeypatch.chdir(ROOT)
    for drawn in module.draw(tmp_path):
        kept = ROOT / "python" / "examples" / drawn.name
        with Image.open(drawn) as now, Image.open(kept) as before:
            assert now.size == before.size, f"{kept.name}: draw it again"
