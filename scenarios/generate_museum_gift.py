"""Makes the range of the museum shop: 1,200 invented lines, the same ones every time.

Run ``python scenarios/generate_museum_gift.py`` to write ``scenarios/museum-gift/range.csv`` again.
"""

from __future__ import annotations

import csv
import io
import os
import random
from dataclasses import dataclass
from pathlib import Path

SEED = 60_100
COLUMNS = (
    "line",
    "category",
    "width",
    "height",
    "depth",
    "weight",
    "min_facings",
    "max_facings",
    "holding",
    "value",
    "ways",
    "band",
    "secured",
)

# What the exhibits of an invented museum are about; each category has one line of each.
THEMES = (
    *("Tide pools", "Night sky", "Moths", "Ferns", "Fossil shore", "Windmills"),
    *("Weavers", "Lighthouse", "Owls", "Meadow", "Glaciers", "Steam age"),
    *("Herbal", "Bees", "Volcanoes", "Kites", "Harbour", "Kiln and clay"),
    *("Constellations", "Orchard", "River otters", "Paper birds", "Mosaics", "Clockwork"),
    *("Salt road", "Cave art", "Marsh", "Old maps", "Looms", "Comets"),
)


@dataclass(frozen=True)
class Kind:
    """A kind of goods, all of them in one category.

    Parameters
    ----------
    category, article
        The category, and the word that begins the name of each of its lines.
    size
        Usual width, height and depth, in.
    weight
        Usual weight of one unit, lb.
    facings
        Most facings of its best line.
    value
        Usual value of one facing.
    ways
        Ways of display.
    secured
        Whether it is locked in a glass case.
    """

    category: str
    article: str
    size: tuple[float, float, float]
    weight: float
    facings: int
    value: float
    ways: str
    secured: bool = False


KINDS = (
    Kind("Mugs", "Mug", (5, 4.25, 4), 0.9, 19, 14, "shelf"),
    Kind("Plates", "Plate", (9, 9.5, 2), 1.4, 11, 24, "shelf"),
    Kind("Bowls", "Bowl", (7, 4, 7), 1.6, 14, 28, "shelf|table"),
    Kind("Vases", "Vase", (6, 10, 6), 2.4, 9, 46, "shelf|table"),
    Kind("Glasses", "Glass", (3.5, 5.5, 3.5), 0.7, 19, 12, "shelf"),
    Kind("Tea towels", "Tea towel", (9, 14, 0.75), 0.3, 8, 13, "hook|face-out"),
    Kind("Aprons", "Apron", (13, 20, 1), 0.7, 4, 27, "face-out"),
    Kind("Tote bags", "Tote bag", (14, 17, 0.75), 0.4, 5, 16, "hook|face-out"),
    Kind("Scarves", "Scarf", (8, 22, 1.5), 0.4, 6, 38, "face-out"),
    Kind("T-shirts", "T-shirt", (12, 3, 10), 0.5, 11, 22, "shelf|table"),
    Kind("Socks", "Socks", (4, 11, 1), 0.2, 10, 11, "hook"),
    Kind("Umbrellas", "Umbrella", (3.5, 14, 3), 0.9, 7, 26, "hook"),
    Kind("Postcards", "Postcard", (4.5, 6.5, 0.5), 0.1, 23, 1.5, "shelf"),
    Kind("Greeting cards", "Card", (5.25, 7.5, 0.5), 0.1, 23, 4, "shelf"),
    Kind("Notebooks", "Notebook", (6, 8.5, 0.75), 0.7, 17, 13, "shelf|table"),
    Kind("Pencils", "Pencil set", (3, 8.5, 0.75), 0.2, 10, 7, "hook"),
    Kind("Erasers", "Eraser", (2.5, 4.5, 0.75), 0.1, 12, 3, "hook"),
    Kind("Bookmarks", "Bookmark", (2.5, 8, 0.25), 0.05, 12, 3, "hook"),
    Kind("Magnets", "Magnet", (3, 4.5, 0.5), 0.1, 14, 5, "hook"),
    Kind("Key rings", "Key ring", (2.5, 5.5, 0.75), 0.1, 12, 7, "hook"),
    Kind("Pins", "Pin badge", (2.5, 4, 0.5), 0.05, 12, 6, "hook"),
    Kind("Prints", "Print", (12.5, 16.5, 0.5), 0.4, 9, 24, "shelf"),
    Kind("Posters", "Poster tube", (3.25, 26, 3.25), 0.6, 4, 18, "shelf"),
    Kind("Art books", "Art book", (10, 12, 1.25), 3.6, 9, 48, "shelf|table"),
    Kind("Field guides", "Field guide", (5.5, 8.5, 0.75), 0.9, 14, 19, "shelf"),
    Kind("Picture books", "Picture book", (9, 11, 0.5), 1.0, 11, 18, "shelf"),
    Kind("Colouring books", "Colouring book", (8.75, 11, 0.4), 0.8, 11, 10, "shelf"),
    Kind("Puzzles", "Puzzle", (10, 10, 2.25), 1.6, 11, 21, "shelf|table"),
    Kind("Card games", "Card game", (4, 5.5, 1.25), 0.5, 11, 13, "hook|shelf"),
    Kind("Board games", "Board game", (11, 11, 3), 2.9, 7, 36, "shelf|table"),
    Kind("Soft toys", "Soft toy", (7, 9, 6), 0.5, 12, 17, "shelf|table"),
    Kind("Wooden toys", "Wooden toy", (7, 6, 4), 1.1, 11, 23, "shelf|table"),
    Kind("Craft kits", "Craft kit", (8.5, 10, 2.5), 1.2, 8, 20, "hook|shelf"),
    Kind("Model kits", "Model kit", (9, 7, 2.5), 1.3, 11, 25, "shelf"),
    Kind("Candles", "Candle", (4, 5, 4), 1.2, 14, 19, "shelf|table"),
    Kind("Soaps", "Soap", (4, 3, 3), 0.4, 17, 8, "shelf|table"),
    Kind("Chocolate", "Chocolate bar", (3.75, 7, 0.75), 0.3, 19, 7, "shelf"),
    Kind("Preserves", "Jar", (3.25, 4.5, 3.25), 1.0, 17, 9, "shelf"),
    Kind("Earrings", "Earrings", (2.75, 3.5, 2.5), 0.1, 5, 42, "case", secured=True),
    Kind("Necklaces", "Necklace", (4.5, 6, 3), 0.2, 4, 64, "case", secured=True),
)


def rows() -> list[dict[str, str]]:
    """Make every line, as the cells of the range file."""
    source = random.Random(SEED)
    return [_line(source, kind, theme) for kind in KINDS for theme in THEMES]


def text() -> str:
    """Give the whole range file."""
    buffer = io.StringIO()
    writer = csv.DictWriter(buffer, COLUMNS, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows())
    return buffer.getvalue()


def write(path: Path) -> None:
    """Write the range file, at once or not at all."""
    unfinished = path.with_name(path.name + ".part")
    unfinished.write_bytes(text().encode())
    os.replace(unfinished, path)


def _line(source: random.Random, kind: Kind, theme: str) -> dict[str, str]:
    # Only random() gives the same numbers in every version of Python.
    width, height, depth = (_quarter(size * (0.88 + 0.24 * source.random())) for size in kind.size)
    liked = source.random()
    most = max(2, round(kind.facings * (0.4 + 0.6 * liked)))
    fewest = 2 if liked > 0.85 and not kind.secured else 1
    eye = source.random() < 0.06 and not kind.secured and kind.ways != "table"
    return {
        "line": f"{kind.article} {theme}",
        "category": kind.category,
        "width": f"{width:g} in",
        "height": f"{height:g} in",
        "depth": f"{depth:g} in",
        "weight": f"{kind.weight * (0.85 + 0.3 * source.random()):.2f} lb",
        "min_facings": str(fewest),
        "max_facings": str(most),
        "holding": str(fewest + int(most * 0.5 * source.random())),
        "value": f"{kind.value * (0.7 + 0.6 * source.random()):.2f}",
        "ways": kind.ways,
        "band": "eye" if eye else "",
        "secured": "yes" if kind.secured else "no",
    }


def _quarter(size: float) -> float:
    return max(0.25, round(size * 4) / 4)


if __name__ == "__main__":
    write(Path(__file__).with_name("museum-gift") / "range.csv")
