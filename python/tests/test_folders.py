"""A folder of tables is read whole: what in it cannot be read is named, and nothing waits or is passed over."""

import os
import pathlib
import shutil

import pytest

import tarewise as tw

DEMO = pathlib.Path(__file__).resolve().parents[2] / "tables" / "demo"


@pytest.fixture
def folder(tmp_path: pathlib.Path) -> pathlib.Path:
    shutil.copytree(DEMO, tmp_path / "tables")
    return tmp_path / "tables"


def told(folder: pathlib.Path) -> str:
    with pytest.raises(tw.TariffError) as caught:
        tw.load(folder)
    return str(caught.value)


def test_a_folder_of_the_name_of_a_document_is_named(folder: pathlib.Path) -> None:
    (folder / "x.json").mkdir()
    assert "x.json" in told(folder) and "found a folder, expected a file" in told(folder)


@pytest.mark.parametrize("name", ["x.json", "gazetteer-more.csv", "shelf-more.csv"])
def test_a_pipe_is_named_and_never_waited_for(folder: pathlib.Path, name: str) -> None:
    os.mkfifo(folder / name)
    assert name in told(folder) and "found a pipe, expected a file" in told(folder)


@pytest.mark.parametrize("name", ["x.json", "gazetteer-more.csv"])
def test_links_to_nothing_and_in_a_circle_are_named(folder: pathlib.Path, name: str) -> None:
    (folder / name).symlink_to("nowhere")
    assert name in told(folder)
    (folder / name).unlink()
    (folder / name).symlink_to(name)
    assert name in told(folder)


def test_what_is_no_table_is_left_alone(folder: pathlib.Path) -> None:
    os.mkfifo(folder / "notes.txt")
    (folder / "orders").mkdir()
    assert tw.load(folder).ratebook is not None
