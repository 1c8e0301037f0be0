"""The frozen, extra-forbidding base of every model, and quantities that read trade notation."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, PlainSerializer, WithJsonSchema

from shopfit import units


class Frozen(BaseModel):
    """A value that never changes and refuses fields it does not know."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


def _quantity(allowed: str, example: str) -> WithJsonSchema:
    # Nought is the same in every unit, so it alone may stand without one.
    kinds = [{"type": "string"}, {"const": 0}]
    return WithJsonSchema({"anyOf": kinds, "description": allowed, "examples": [example]})


def _written(suffix: str) -> PlainSerializer:
    # 12 significant figures keep 1/64 in over 100 m exact and hide binary noise.
    return PlainSerializer(lambda size: f"{size:.12g} {suffix}", return_type=str)


Length = Annotated[
    float,
    BeforeValidator(units.parse_length),
    _written("mm"),
    _quantity(units.LENGTH_HELP, "7' 8 1/2\""),
]
PositiveLength = Annotated[Length, Field(gt=0)]
NonNegativeLength = Annotated[Length, Field(ge=0)]
Mass = Annotated[
    float,
    BeforeValidator(units.parse_mass),
    Field(ge=0),
    _written("kg"),
    _quantity(units.MASS_HELP, "5 lb"),
]
LineLoad = Annotated[
    float,
    BeforeValidator(units.parse_line_load),
    Field(gt=0),
    _written("kg/m"),
    _quantity(units.LINE_LOAD_HELP, "30 lb/ft"),
]
Angle = Annotated[
    float,
    BeforeValidator(units.parse_angle),
    WithJsonSchema({"type": ["number", "string"], "description": units.ANGLE_HELP}),
]
Slope = Annotated[
    float,
    BeforeValidator(units.parse_slope),
    Field(ge=0, le=2),
    WithJsonSchema({"type": ["number", "string"], "description": units.SLOPE_HELP}),
]
Pressure = Annotated[
    float,
    BeforeValidator(units.parse_pressure),
    Field(gt=0),
    _written("kPa"),
    _quantity(units.PRESSURE_HELP, "100 psf"),
]
Force = Annotated[
    float,
    BeforeValidator(units.parse_force),
    Field(ge=0),
    _written("N"),
    _quantity(units.FORCE_HELP, "5 lbf"),
]
Area = Annotated[
    float,
    BeforeValidator(units.parse_area),
    Field(gt=0),
    _written("m2"),
    _quantity(units.AREA_HELP, "32 sq ft"),
]
Share = Annotated[
    float,
    BeforeValidator(units.parse_share),
    WithJsonSchema({"type": ["number", "string"], "description": units.SHARE_HELP}),
]
Seconds = Annotated[float, Field(gt=0, le=600)]
Money = Annotated[float, Field(ge=0, le=1e9)]
Count = Annotated[int, Field(ge=0, le=1_000_000)]
Name = Annotated[str, Field(min_length=1, max_length=60, pattern=r"^[A-Za-z0-9][A-Za-z0-9 ._-]*$")]
Point = tuple[Length, Length]


def plain(model: BaseModel) -> dict[str, Any]:
    """Give a model as plain JSON-ready data."""
    return model.model_dump(mode="json")
