"""Uploads: only a scenario's own names, of modest size, and nothing onto the disk."""

from __future__ import annotations

import io
import zipfile

import pytest

from shopfit.errors import InputFaults
from shopfit.ui.intake import MAX_ENTRIES, NAMES, Upload, base_name, gather
from shopfit.ui.text import plain


def zipped(files: dict[str, bytes]) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return packed.getvalue()


MOST = 1_000_000


def faults_of(uploads: list[Upload]) -> list[str]:
    with pytest.raises(InputFaults) as caught:
        gather(uploads, MOST)
    return [str(fault) for fault in caught.value.faults]


def test_files_are_known_by_their_last_name():
    """Loose files are taken whatever path they came with."""
    given = [Upload("C:\\mine\\shop.yaml", b"a"), Upload("x/range.csv", b"b")]
    assert gather(given) == {"shop.yaml": b"a", "range.csv": b"b"}


@pytest.mark.parametrize(
    "name", ["../shop.yaml", "/etc/shop.yaml", "a/../../shop.yaml", "..\\..\\shop.yaml"]
)
def test_zip_paths_never_lead_out(tmp_path, monkeypatch, name):
    """A zip that names places outside gives a plain name, and nothing is written."""
    monkeypatch.chdir(tmp_path)
    assert gather([Upload("all.zip", zipped({name: b"a"}))]) == {"shop.yaml": b"a"}
    assert not list(tmp_path.rglob("*"))


def test_zip_of_a_whole_folder_may_bring_other_files():
    """Notes and hidden files in a zip are passed over."""
    files = {f"my-shop/{name}": name.encode() for name in NAMES}
    found = gather([Upload("s.zip", zipped({**files, "my-shop/.notes": b"", "x.py": b"1"}))])
    assert set(found) == set(NAMES)


def test_unknown_loose_file_is_refused():
    """A loose file of another name is named as a fault, with the names allowed."""
    (told,) = faults_of([Upload("walls.csv", b"")])
    assert "walls.csv" in told
    assert "fixtures.yaml" in told


def test_two_shops_at_once_are_refused():
    """Two files of one name would leave it open which counts."""
    uploads = [Upload("a/shop.yaml", b"1"), Upload("z.zip", zipped({"b/shop.yaml": b"2"}))]
    (told,) = faults_of(uploads)
    assert "two files" in told


@pytest.mark.parametrize(("size", "refused"), [(MOST, False), (MOST + 1, True)])
def test_size_is_limited_after_unpacking(size, refused):
    """A file of exactly the limit is taken; a zip that swells over it is not."""
    upload = Upload("bomb.zip", zipped({"range.csv": b"0" * size}))
    assert len(upload.data) < 100_000
    if refused:
        (told,) = faults_of([upload])
        assert "MB" in told
    else:
        assert len(gather([upload], MOST)["range.csv"]) == size


@pytest.mark.parametrize(("count", "refused"), [(MAX_ENTRIES, False), (MAX_ENTRIES + 1, True)])
def test_number_of_zipped_files_is_limited(count, refused):
    """A zip with too many files is refused before any is read."""
    files = {f"{index}.txt": b"" for index in range(count - 1)}
    upload = Upload("many.zip", zipped({**files, "shop.yaml": b"a"}))
    if refused:
        (told,) = faults_of([upload])
        assert str(count) in told
    else:
        assert set(gather([upload])) == {"shop.yaml"}


def test_broken_zip_is_refused():
    """Something that only calls itself a zip is a fault, not a crash."""
    (told,) = faults_of([Upload("s.zip", b"PK not really")])
    assert "cannot be read" in told


def test_zip_with_damaged_contents_is_refused():
    """A zip whose list is whole but whose contents are damaged is a fault, not a crash."""
    data = bytearray(zipped({"shop.yaml": bytes(range(256)) * 40}))
    data[60:90] = bytes(30)
    (told,) = faults_of([Upload("s.zip", bytes(data))])
    assert "cannot be read" in told


def test_zip_without_any_scenario_file_is_refused():
    """A zip of something else says which names are looked for."""
    (told,) = faults_of([Upload("s.zip", zipped({"photo.jpg": b""}))])
    assert "shop.yaml" in told


def test_nothing_at_all_is_refused():
    """No upload is a fault too, so that no empty folder is read."""
    assert len(faults_of([])) == 1


def test_base_name_reads_both_slashes():
    """Folders are written with either slash."""
    assert base_name("a\\b/c.csv") == "c.csv"


def test_plain_text_holds_no_marks():
    """Names of users cannot bring links, pictures, formulas or mark-up onto the page."""
    given = "![x](http://h/i.png) <b>*bold*</b> $x$ :red[a]"
    escaped = plain(given)
    for mark in "![]()<>*$:":
        assert escaped.count(mark) == escaped.count("\\" + mark)
    assert escaped.replace("\\", "") == given
