"""Turns a failed validation into located problems in plain words."""

from __future__ import annotations

import typing
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from buildbook.description.models import Description
from buildbook.description.suggest import did_you_mean
from buildbook.description.tree import cut_by_comma
from buildbook.description.yaml_reader import Node
from buildbook.problem import Problem, Where

Step = str | int


def explain(
    error: ValidationError, tree: Node, model: type[BaseModel] = Description
) -> list[Problem]:
    """One problem for each thing that is wrong with a `model`, in the order of the files."""
    best: dict[tuple[Where, str], Problem] = {}
    for detail in error.errors(include_url=False):
        where, path = locate(tree, detail["loc"], detail["type"])
        problem = _problem(where, path, detail, model)
        if detail["type"] == "extra_forbidden" and path:
            *_, holder = _along(tree, path[:-1])
            hint = cut_by_comma(holder, str(path[-1]))
            problem = replace(problem, hint=hint or problem.hint)
        which = _entry_of(tree, path)
        if which:
            problem = replace(problem, what=f"{problem.what} ({which})")
        best.setdefault((where, "" if _is_union(detail["loc"]) else problem.what), problem)
    return sorted(set(best.values()))


def locate(tree: Node, loc: Sequence[Step], kind: str) -> tuple[Where, list[Step]]:
    """Place of an error and the steps of `loc` that stand in the file.

    Steps made by validators (a single entry read as a list of one, a list of states) are
    not in the file and are passed over.
    """
    node, where = tree, tree.where
    path: list[Step] = []
    for position, step in enumerate(loc):
        name = str(step)
        if name == "[key]":
            return where, path
        if isinstance(node.value, dict) and name in node.value:
            is_last = position == len(loc) - 1
            key_place = node.keys[name]
            node = node.value[name]
            key_matters = kind == "extra_forbidden" or node.value is None
            key_matters = key_matters or isinstance(node.value, (dict, list))
            where = key_place if key_matters or not is_last else node.where
            path.append(step)
        elif isinstance(node.value, list) and isinstance(step, int) and step < len(node.value):
            node = node.value[step]
            where = node.where
            path.append(step)
        elif not isinstance(node.value, (dict, list)) and node is not tree:
            where = node.where
    return where, path


def _along(tree: Node, path: Sequence[Step]) -> Iterator[Node]:
    """The tree, and what stands at each step of a path of steps that are all there."""
    node = tree
    yield node
    for step in path:
        if isinstance(node.value, dict):
            node = node.value[str(step)]
        elif isinstance(node.value, list) and isinstance(step, int):
            node = node.value[step]
        yield node


def _entry_of(tree: Node, path: Sequence[Step]) -> str:
    """Which of a list's entries a path leads to, where that has two ends; '' where it has none."""
    found = ""
    for above, node in pairwise(_along(tree, path)):
        if isinstance(above.value, list):
            entry = node.value if isinstance(node.value, dict) else {}
            ends = [str(entry[key].value) for key in ("from", "to") if key in entry]
            found = f"from {ends[0]} to {ends[1]}" if len(ends) == 2 else ""
    return found


def _problem(
    where: Where, path: list[Step], detail: ErrorDetails, model: type[BaseModel]
) -> Problem:
    kind, given, context = detail["type"], detail.get("input"), detail.get("ctx", {})
    here = _in_words(path)
    if kind == "extra_forbidden":
        return _unknown_key(where, path, model)
    if kind == "missing":
        return _missing(where, path, detail["loc"])
    if kind == "literal_error":
        hint = did_you_mean(str(given), _literal_choices(str(context.get("expected", ""))))
        return Problem(where, f"`{given}` is not allowed for {here}", "", hint)
    if kind == "value_error":
        what, _, hint = str(context.get("error", detail["msg"])).partition("; ")
        return Problem(where, f"{here}: {what}", "", hint)
    what = _plain_message(kind, given, context, detail["msg"])
    return Problem(where, f"{here}: {what}", "", _hint(kind))


def _unknown_key(where: Where, path: list[Step], model: type[BaseModel]) -> Problem:
    name = str(path[-1])
    place = f"setting `{name}`{_in_words(path[:-1], ' in ')}"
    return Problem(
        where,
        f"no {place}" if len(path) > 1 else f"no section `{name}`",
        "it would be ignored, so it is probably misspelt",
        did_you_mean(name, allowed_keys(path[:-1], model)),
    )


def _missing(where: Where, path: list[Step], loc: Sequence[Step]) -> Problem:
    name = str(loc[-1])
    if len(loc) == 1:
        why = "the book cannot be made without it"
        return Problem(where, f"the section `{name}` is missing", why, f"add `{name}:`")
    return Problem(where, f"`{name}` is missing{_in_words(path, ' in ')}", "", f"add `{name}:`")


PLAIN = {
    "model_type": "must be written as settings with names (`name: value`)",
    "model_attributes_type": "must be written as settings with names (`name: value`)",
    "dict_type": "must be entries with names (`name: …`)",
    "list_type": "must be a list",
    "tuple_type": "must be a list of two",
    "string_type": "must be text",
    "bool_parsing": "must be yes or no",
    "bool_type": "must be yes or no",
    "int_parsing": "must be a whole number",
    "int_type": "must be a whole number",
    "int_from_float": "must be a whole number",
    "float_parsing": "must be a number",
    "float_type": "must be a number",
    "too_short": "has too few entries",
    "too_long": "has too many entries",
    "string_too_short": "must not be empty",
    "string_too_long": "is too long",
    "greater_than": "must be above zero",
    "string_pattern_mismatch": "is not a colour code",
}


def _plain_message(
    kind: str, given: object, context: Mapping[str, typing.Any], message: str
) -> str:
    if isinstance(given, str) and kind in ("too_short", "too_long"):
        kind = f"string_{kind}"
    if kind == "string_too_long":
        return f"is longer than {context.get('max_length')} characters"
    if kind == "missing_argument":
        return "must be a list of two"
    if kind.startswith("date"):
        return f"`{given}` is not a date"
    if kind in ("greater_than_equal", "less_than_equal"):
        return f"`{given}` {_beyond(given, kind, context)}"
    said = PLAIN.get(kind)
    if said is None:
        return message[:1].lower() + message[1:]
    if isinstance(given, (str, int, float)) and not isinstance(given, bool):
        return f"`{given}` {said}"
    return "is empty; it " + said if given is None and said.startswith("must") else said


def _beyond(given: object, kind: str, context: Mapping[str, typing.Any]) -> str:
    """What a bare number outside of its bounds is told."""
    if kind == "less_than_equal":
        return f"is more than is possible here: at most {context.get('le'):g}"
    least = context.get("ge", 0)
    if least == 0:
        return "cannot be below zero"
    if float(str(given)) <= 0 < least:
        return "must be above zero"
    return f"is less than is possible here: at least {least:g}"


def _hint(kind: str) -> str:
    if kind.startswith("date"):
        return "write year-month-day, such as 2031-05-17"
    if kind == "string_pattern_mismatch":
        return "write IEC 60757 codes: RD, or RD/WH for red with a white tracer"
    if kind in ("list_type", "tuple_type"):
        return "write [first, second]"
    return ""


def _is_union(loc: Sequence[Step]) -> bool:
    return bool(loc) and str(loc[-1]) in ("str", "none")


def _in_words(path: Sequence[Step], lead: str = "") -> str:
    """('devices', 'pump', 'draws', 0, 'amps') -> '`amps` of `devices` `pump` `draws`'."""
    names = [str(step) for step in path if not isinstance(step, int)]
    if not names:
        return "" if lead else "the file"
    if lead or len(names) == 1:
        return lead + " ".join(f"`{name}`" for name in names)
    return f"`{names[-1]}` of " + " ".join(f"`{name}`" for name in names[:-1])


def _literal_choices(expected: str) -> list[str]:
    return [word for word in expected.replace(" or ", ", ").replace("'", "").split(", ") if word]


def allowed_keys(path: Sequence[Step], model: type[BaseModel] = Description) -> list[str]:
    """The keys that may stand at a place of a `model`, spelt as in the file."""
    place: typing.Any = model
    for step in path:
        place = _model_or_dict(place, into_lists=not isinstance(step, int))
        if isinstance(place, type) and issubclass(place, BaseModel):
            fields = {field.alias or name: field for name, field in place.model_fields.items()}
            if str(step) not in fields:
                return []
            place = fields[str(step)].annotation
        elif typing.get_origin(place) in (dict, list, tuple):
            place = typing.get_args(place)[-1]
    place = _model_or_dict(place, into_lists=True)
    if isinstance(place, type) and issubclass(place, BaseModel):
        return [field.alias or name for name, field in place.model_fields.items()]
    return []


def _model_or_dict(annotation: typing.Any, into_lists: bool = False) -> typing.Any:
    """Strip Annotated and `| None` (and lists, where one entry may stand for a list)."""
    while True:
        origin, arguments = typing.get_origin(annotation), typing.get_args(annotation)
        if origin is typing.Annotated:
            annotation = arguments[0]
        elif arguments and type(None) in arguments:
            annotation = next(a for a in arguments if a is not type(None))
        elif into_lists and origin is list:
            annotation = arguments[0]
        else:
            return annotation
