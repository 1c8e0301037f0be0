"""JSON Schemas of the files, for editors and for whoever writes scenarios by program."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel
from pydantic.json_schema import GenerateJsonSchema

from shopfit.model.fixtures import Catalogue
from shopfit.model.layout import Layout
from shopfit.model.range import Line
from shopfit.model.scenario import Pins, Shop

What = Literal["shop", "range", "fixtures", "pins", "layout"]
DIALECT = GenerateJsonSchema.schema_dialect

_MODELS: dict[What, tuple[type[BaseModel], str]] = {
    "shop": (Shop, "shop.yaml: shell, zones, approach and brief"),
    "range": (Line, "range.csv: one line a row"),
    "fixtures": (Catalogue, "fixtures.yaml: what may be bought or made"),
    "pins": (Pins, "pins.yaml: what must stay where it is"),
    "layout": (Layout, "layout.json: what was decided"),
}


def schema(what: What) -> dict[str, Any]:
    """Give the JSON Schema (2020-12) of a file.

    Parameters
    ----------
    what
        Which file. The range is described as the list of its rows, each an object with the
        columns as names and ``ways`` as a list.

    Raises
    ------
    KeyError
        If there is no such file.
    """
    model, title = _MODELS[what]
    body = model.model_json_schema(mode="validation")
    if what == "range":
        body = {"type": "array", "minItems": 1, "items": {"$ref": "#/$defs/Line"}} | {
            "$defs": {**body.pop("$defs", {}), "Line": body}
        }
    return {"$schema": DIALECT, **_plain_descriptions(body), "title": title}


def _plain_descriptions(part: Any) -> Any:
    """Keep the first sentence of a class's description; the rest is laid out for programmers."""
    if isinstance(part, dict):
        plain = {key: _plain_descriptions(value) for key, value in part.items()}
        if isinstance(plain.get("description"), str):
            plain["description"] = plain["description"].partition("\n\n")[0]
        return plain
    return [_plain_descriptions(item) for item in part] if isinstance(part, list) else part
