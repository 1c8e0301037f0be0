"""Files appear whole and together, or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopfit.files.writing import Bundle, write_all, write_bytes, write_text


def names(folder: Path) -> list[str]:
    """List everything in a folder, hidden files too."""
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*"))


def test_text_is_utf8_with_plain_line_ends(tmp_path: Path) -> None:
    """The same text gives the same bytes on every machine."""
    write_text(tmp_path / "new" / "a.txt", "é\n")
    assert (tmp_path / "new" / "a.txt").read_bytes() == b"\xc3\xa9\n"
    assert names(tmp_path) == ["new", "new/a.txt"]


def test_a_bundle_appears_at_its_end(tmp_path: Path) -> None:
    """Until then the old files stand under their names."""
    write_text(tmp_path / "a.txt", "old")
    with Bundle(tmp_path) as bundle:
        bundle.write_text("a.txt", "new")
        bundle.write_bytes("deep/b.bin", b"\x00")
        bundle.path("c.txt").write_text("by itself", "utf-8")
        assert (tmp_path / "a.txt").read_text("utf-8") == "old"
        assert not (tmp_path / "c.txt").exists()
    assert names(tmp_path) == ["a.txt", "c.txt", "deep", "deep/b.bin"]
    assert (tmp_path / "a.txt").read_text("utf-8") == "new"


def test_a_failure_leaves_everything_as_it_was(tmp_path: Path) -> None:
    """An error half way removes what was begun and keeps the old files."""
    write_text(tmp_path / "a.txt", "old")

    def fail() -> None:
        with Bundle(tmp_path) as bundle:
            bundle.write_text("a.txt", "new")
            bundle.write_text("b.txt", "new")
            raise RuntimeError("stop")

    with pytest.raises(RuntimeError, match="stop"):
        fail()
    assert names(tmp_path) == ["a.txt"]
    assert (tmp_path / "a.txt").read_text("utf-8") == "old"


def test_a_folder_in_the_way_renames_nothing(tmp_path: Path) -> None:
    """Obstacles are looked for before the first file is renamed."""
    (tmp_path / "b.txt").mkdir()

    def write() -> None:
        with Bundle(tmp_path) as bundle:
            bundle.write_text("a.txt", "new")
            bundle.write_text("b.txt", "new")

    with pytest.raises(IsADirectoryError):
        write()
    assert names(tmp_path) == ["b.txt"]


def test_a_file_that_was_promised_must_be_written(tmp_path: Path) -> None:
    """Asking for a path and not writing to it is an error of the writer."""

    def promise() -> None:
        with Bundle(tmp_path) as bundle:
            bundle.write_text("a.txt", "new")
            bundle.path("b.pdf")

    with pytest.raises(FileNotFoundError, match=r"b\.pdf"):
        promise()
    assert names(tmp_path) == []


@pytest.mark.parametrize("name", ["../a.txt", "/etc/a.txt", "x/../../a.txt"])
def test_names_stay_in_the_folder(tmp_path: Path, name: str) -> None:
    """No name leads out of the folder of the bundle."""
    with Bundle(tmp_path / "out") as bundle, pytest.raises(ValueError, match="leads out"):
        bundle.write_text(name, "x")
    assert names(tmp_path) == ["out"]


def test_one_name_is_written_once(tmp_path: Path) -> None:
    """The last text given under a name is the one that appears."""
    with Bundle(tmp_path) as bundle:
        bundle.write_text("a.svg", "first")
        bundle.write_text("a.svg", "last")
        assert bundle.path("a.svg").suffix == ".svg"
    assert (tmp_path / "a.svg").read_text("utf-8") == "last"


def test_bytes_replace_a_file_in_one_step(tmp_path: Path) -> None:
    """No temporary file stays behind."""
    write_bytes(tmp_path / "a", b"1")
    write_bytes(tmp_path / "a", b"2")
    assert names(tmp_path) == ["a"]
    assert (tmp_path / "a").read_bytes() == b"2"


def test_what_an_earlier_writing_left_goes_and_the_rest_stays(tmp_path: Path) -> None:
    """Only names that match and are not written now are removed."""
    for name in ("sheet-1.svg", "sheet-2.svg", "list.csv", "mine.svg"):
        write_bytes(tmp_path / name, b"old")
    written = write_all({"sheet-1.svg": b"new"}, tmp_path, ("sheet-*.svg", "list.csv"))
    assert written == ("sheet-1.svg",)
    assert names(tmp_path) == ["mine.svg", "sheet-1.svg"]
    assert (tmp_path / "sheet-1.svg").read_bytes() == b"new"


def test_nothing_is_removed_where_a_file_cannot_be_written(tmp_path: Path) -> None:
    """An older set stays whole until the new one is."""
    write_bytes(tmp_path / "sheet-2.svg", b"old")
    with pytest.raises(ValueError, match="out of the folder"):
        write_all({"sheet-1.svg": b"new", "../x": b""}, tmp_path, ("sheet-*.svg",))
    assert names(tmp_path) == ["sheet-2.svg"]
