"""What every section of the description is made of: names, texts, amounts, states."""

from __future__ import annotations

from typing import Annotated, Any, Literal, get_args

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationInfo,
    WithJsonSchema,
    field_validator,
)

from buildbook.description.unseen import one_line


class Section(BaseModel):
    """Base of every model: no unknown keys, keys written with spaces."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        populate_by_name=True,
        allow_inf_nan=False,
        alias_generator=lambda name: name.rstrip("_").replace("_", " "),
    )

    @field_validator("*", mode="before")
    @classmethod
    def _no_truth_for_a_number(cls, value: Any, info: ValidationInfo) -> Any:
        """`yes` and `false` are no numbers, though Python counts them as 1 and 0."""
        if isinstance(value, bool) and cls._is_number(info.field_name or ""):
            raise ValueError("must be a number")
        return value

    @classmethod
    def _is_number(cls, field: str) -> bool:
        kind = cls.model_fields[field].annotation
        return bool({int, float} & {kind, *get_args(kind)})


def as_text(value: Any) -> Any:
    """A bare number as the text that it was written as."""
    return str(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else value


Name = Annotated[
    str, BeforeValidator(as_text), Field(min_length=1, max_length=60), AfterValidator(one_line)
]


Title = Annotated[str, BeforeValidator(as_text), Field(max_length=200), AfterValidator(one_line)]
"""Words in one line: what a thing is called beside its name."""


Text = Annotated[str, BeforeValidator(as_text), Field(max_length=4000)]


Money = Annotated[str, BeforeValidator(as_text)]
"""An amount as decimal text, kept as written."""


Colour = Annotated[str, Field(pattern=r"^[A-Z]{2}(/[A-Z]{2})?$")]
"""By IEC 60757: a body, and where it has one a tracer: `RD/WH`."""


def as_list(value: Any) -> Any:
    """A single value as a list of one."""
    return value if isinstance(value, list) or value is None else [value]


Names = Annotated[list[Name], BeforeValidator(as_list)]


class When(Section):
    """States in which something holds: `all`, a list, or all `except` a list."""

    states: list[Name] | None = None
    """In these."""
    except_: Annotated[list[Name], BeforeValidator(as_list)] = []
    """In all but these."""


def _when(value: Any) -> Any:
    if value == "all":
        return {}
    if isinstance(value, str):
        return {"states": [value]}
    return {"states": value} if isinstance(value, list) else value


In = Annotated[When, BeforeValidator(_when)]


def _columns(value: Any) -> Any:
    """Values of `<n>` alone, or lists of values by name."""
    return {"n": value} if isinstance(value, list) else value


class Alike(Section):
    """What may be written once for several things that are alike."""

    count: Annotated[int, Field(ge=1, le=500)] | None = None
    """Makes so many of it, `<n>` being 1, 2, 3 … in every word of the entry: `count: 4` with
    `name: Coil <n>`. A name without `<n>` gets it at its end: `coil` makes `coil-1` to `coil-4`."""
    each: (
        Annotated[
            dict[Name, list[Name]],
            BeforeValidator(_columns),
            WithJsonSchema(
                {
                    "anyOf": [
                        {"type": "array", "items": {"type": "string"}},
                        {
                            "type": "object",
                            "additionalProperties": {
                                "type": "array",
                                "items": {"type": "string"},
                            },
                        },
                    ]
                }
            ),
        ]
        | None
    ) = None
    """Makes one of it for each value of a list, written `<n>`, or of several lists of one length
    by name: `each: {side: [left, right], pin: [3, 4]}`, written `<side>`, `<Side>` with a capital,
    `<pin>`, `<pin+8>`."""


Caution = Literal["fuel", "hot", "cranking", "moving", "lifting", "battery"]
