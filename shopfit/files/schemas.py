"""JSON Schemas of the files, for editors and for whoever writes scenarios by program."""

from __future__ import annotations

from inspect import cleandoc
from typing import Any, Literal, get_args

from pydantic import BaseModel
from pydantic.json_schema import GenerateJsonSchema

from shopfit.model.fixtures import Catalogue
from shopfit.model.layout import Layout
from shopfit.model.rampsite import RampTask
from shopfit.model.range import Line
from shopfit.model.scenario import Pins, Shop
from shopfit.model.study import Study

What = Literal["shop", "range", "fixtures", "pins", "layout", "study", "ramp"]
DIALECT = GenerateJsonSchema.schema_dialect

_MODELS: dict[What, tuple[type[BaseModel], str]] = {
    "shop": (Shop, "shop.yaml: shell, zones, approach and brief"),
    "range": (Line, "range.csv: one line a row"),
    "fixtures": (Catalogue, "fixtures.yaml: what may be bought or made"),
    "pins": (Pins, "pins.yaml: what must stay where it is"),
    "layout": (Layout, "layout.json: what was decided"),
    "ramp": (RampTask, "ramp.yaml: the ground, the door and the wishes for a ramp"),
    "study": (Study, "study.yaml: scenarios, and what is changed in them"),
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
        body = {
            "type": "array",
            "minItems": 1,
            "items": {"$ref": "#/$defs/Line"},
            "$defs": {**body.pop("$defs", {}), "Line": body},
        }
    parts, classes = {model.__name__: body, **body.get("$defs", {})}, _classes(model)
    for name, part in parts.items():
        _describe(part, classes.get(name))
    return {"$schema": DIALECT, **body, "title": title}


def _classes(model: type[BaseModel]) -> dict[str, type[BaseModel]]:
    """Give a model and those that it is made of, by name; others may bear the same names."""
    found: dict[str, type[BaseModel]] = {}
    waiting: list[Any] = [model]
    while waiting:
        each = waiting.pop()
        if isinstance(each, type) and issubclass(each, BaseModel):
            if each.__name__ not in found:
                found[each.__name__] = each
                waiting += [field.annotation for field in each.model_fields.values()]
        else:
            waiting += get_args(each)
    return found


def _describe(part: dict[str, Any], model: type[BaseModel] | None) -> None:
    """Give a schema and its fields the words of the model's own description."""
    if model is None or "properties" not in part:
        return
    summary, _, _ = cleandoc(model.__doc__ or "").partition("\n\n")
    part["description"] = summary
    for name, words in field_words(model).items():
        field = part["properties"].get(name)
        if field is not None:
            if "patternProperties" in field:
                field["additionalProperties"] = False
            how = field.get("description", "")
            field["description"] = f"{words} Write {how}." if how else words


def field_words(model: type[BaseModel]) -> dict[str, str]:
    """Give the fields of a model and their words, from the parameters of its description."""
    _, _, text = cleandoc(model.__doc__ or "").partition("\n\n")
    words: dict[str, str] = {}
    names: list[str] = []
    for line in text.splitlines():
        if line.startswith(" "):
            for name in names:
                words[name] = f"{words.get(name, '')} {line.strip()}".strip().replace("``", "")
        elif line and not line.startswith("-"):
            names = [name.strip() for name in line.split(",")]
    return words
