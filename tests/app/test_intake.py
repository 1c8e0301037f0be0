"""Uploads: only a scenario's own names, of modest size, and never outside their folder."""

from __future__ import annotations

import io
import zipfile

import pytest

from shopfit.errors import InputFaults
from shopfit.ui.intake import MAX_BYTES, MAX_ENTRIES, NAMES, Upload, base_name, unpack
from shopfit.ui.text import plain


def zipped(files: dict[str, bytes]) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return packed.getvalue()


def faults_of(uploads: list[Upload], folder) -> list[str]:
    with pytest.raises(InputFaults) as caught:
        unpack(uploads, folder)
    assert not folder.exists()
    return [str(fault) for fault in caught.value.faults]


def test_files_are_written_by_their_last_name(tmp_path):
    """Loose files land in the folder, whatever path they came with."""
    folder = tmp_path / "shop"
    unpack([Upload("C:\\mine\\shop.yaml", b"a"), Upload("x/range.csv", b"b")], folder)
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == {
        "shop.yaml": b"a",
        "range.csv": b"b",
    }


@pytest.mark.parametrize(
    "name", ["../shop.yaml", "/etc/shop.yaml", "a/../../shop.yaml", "..\\..\\shop.yaml"]
)
def test_zip_paths_never_lead_out(tmp_path, name):
    """A zip that names places outside still writes only into the folder."""
    folder = tmp_path / "deep" / "shop"
    unpack([Upload("all.zip", zipped({name: b"a"}))], folder)
    assert [path.relative_to(tmp_path) for path in tmp_path.rglob("*") if path.is_file()] == [
        (folder / "shop.yaml").relative_to(tmp_path)
    ]


def test_zip_of_a_whole_folder_may_bring_other_files(tmp_path):
    """Notes and hidden files in a zip are passed over, not written."""
    folder = tmp_path / "shop"
    files = {f"my-shop/{name}": name.encode() for name in NAMES}
    unpack([Upload("s.zip", zipped({**files, "my-shop/.notes": b"", "x.py": b"1"}))], folder)
    assert {path.name for path in folder.iterdir()} == set(NAMES)


def test_unknown_loose_file_is_refused(tmp_path):
    """A loose file of another name is named as a fault, with the names allowed."""
    (told,) = faults_of([Upload("walls.csv", b"")], tmp_path / "shop")
    assert "walls.csv" in told
    assert "fixtures.yaml" in told


def test_two_shops_at_once_are_refused(tmp_path):
    """Two files of one name would leave it open which counts."""
    uploads = [Upload("a/shop.yaml", b"1"), Upload("z.zip", zipped({"b/shop.yaml": b"2"}))]
    (told,) = faults_of(uploads, tmp_path / "shop")
    assert "two files" in told


@pytest.mark.parametrize(("size", "refused"), [(MAX_BYTES, False), (MAX_BYTES + 1, True)])
def test_size_is_limited_after_unpacking(tmp_path, size, refused):
    """A file of exactly the limit is taken; a zip that swells over it is not."""
    folder = tmp_path / "shop"
    upload = Upload("bomb.zip", zipped({"range.csv": b"0" * size}))
    assert len(upload.data) < 100_000
    if refused:
        (told,) = faults_of([upload], folder)
        assert "MB" in told
    else:
        unpack([upload], folder)
        assert (folder / "range.csv").stat().st_size == size


@pytest.mark.parametrize(("count", "refused"), [(MAX_ENTRIES, False), (MAX_ENTRIES + 1, True)])
def test_number_of_zipped_files_is_limited(tmp_path, count, refused):
    """A zip with too many files is refused before any is read."""
    files = {f"{index}.txt": b"" for index in range(count - 1)}
    upload = Upload("many.zip", zipped({**files, "shop.yaml": b"a"}))
    if refused:
        (told,) = faults_of([upload], tmp_path / "shop")
        assert str(count) in told
    else:
        unpack([upload], tmp_path / "shop")


def test_broken_zip_is_refused(tmp_path):
    """Something that only calls itself a zip is a fault, not a crash."""
    (told,) = faults_of([Upload("s.zip", b"PK not really")], tmp_path / "shop")
    assert "cannot be read" in told


def test_zip_with_damaged_contents_is_refused(tmp_path):
    """A zip whose list is whole but whose contents are damaged is a fault, not a crash."""
    data = bytearray(zipped({"shop.yaml": bytes(range(256)) * 40}))
    data[60:90] = bytes(30)
    (told,) = faults_of([Upload("s.zip", bytes(data))], tmp_path / "shop")
    assert "cannot be read" in told


def test_zip_without_any_scenario_file_is_refused(tmp_path):
    """A zip of something else says which names are looked for."""
    (told,) = faults_of([Upload("s.zip", zipped({"photo.jpg": b""}))], tmp_path / "shop")
    assert "shop.yaml" in told


def test_nothing_at_all_is_refused(tmp_path):
    """No upload is a fault too, so that no empty folder is read."""
    assert len(faults_of([], tmp_path / "shop")) == 1


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
