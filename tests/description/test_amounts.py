"""Every quantity of the description has bounds, and what lies outside is told where it stands."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from typing import Any, get_args

import pytest
from pydantic import BaseModel, ValidationError

import buildbook.description.models as models
from buildbook.as_built.model import AsBuilt, BuiltSplice, BuiltWire
from buildbook.description.models.sensors import Inductive
from buildbook.description.models.supply import Magneto
from buildbook.description.quantities import Quantity, WireSize, WithinSize
from buildbook.files.starter import write_starter
from buildbook.pipeline import look_over, work_out


def every_model() -> Iterator[type[BaseModel]]:
    """Models of the description and of what was built."""
    for name in models.__all__:
        found = getattr(models, name)
        if isinstance(found, type) and issubclass(found, BaseModel):
            yield found
    yield from (AsBuilt, BuiltSplice, BuiltWire)


def marks(annotation: Any) -> Iterator[object]:
    """What an annotation and those inside it are marked with, and bare types."""
    if hasattr(annotation, "__metadata__"):
        yield from annotation.__metadata__
        if any(isinstance(m, (Quantity, WithinSize)) for m in annotation.__metadata__):
            return
    inner = get_args(annotation)
    if not inner:
        yield annotation
    for other in inner:
        yield from marks(other)


def test_every_quantity_has_a_least_and_a_most():
    quantities = 0
    for model in every_model():
        for name, field in model.model_fields.items():
            found = [*field.metadata, *marks(field.annotation)]
            for mark in found:
                if isinstance(mark, Quantity):
                    quantities += 1
                    assert math.isfinite(mark.least) and math.isfinite(mark.most), (model, name)
            sizes = WireSize in found and not any(isinstance(m, WithinSize) for m in found)
            assert not sizes, f"{model.__name__}.{name} is a size without bounds"
    assert quantities > 80


def test_every_bare_number_has_a_least_and_a_most():
    for model in every_model():
        for name, node in model.model_json_schema()["properties"].items():
            for part in (node, *node.get("anyOf", ())):
                if part.get("type") in ("number", "integer") and "examples" not in part:
                    low = {"minimum", "exclusiveMinimum"} & set(part)
                    assert low and "maximum" in part, f"{model.__name__}.{name}"


CASES = {
    # name: (text of the starter, what it becomes, what is said, what is meant)
    "metres for millimetres": ("1350 mm", "1350 m", "at most 100 m", "did you mean mm?"),
    "a run beyond all numbers": ("1350 mm", "1e308 mm", "at most 100 m", ""),
    "a run of an atom": ("1350 mm", "1e-300 mm", "at least 1 mm", ""),
    "nanometres": ("1350 mm", "1 nm", "at least 1 mm", "did you mean mm?"),
    "a run to the moon": ("1350 mm", "1e9 m", "at most 100 m", ""),
    "millions of clamps": ("clamps: 5", "clamps: 3000000", "at most 1000", ""),
    "no drop at all": ("critical drop: 4 %", "critical drop: 0 %", "must be above zero", ""),
    "no volts": ("nominal: 12 V", "nominal: 0 V", "must be above zero", ""),
    "a number of yes and no": ("clamps: 5", "clamps: true", "must be a number", ""),
    "millions of volts": ("volts: 12.7 V", "volts: 1e9 V", "at most 60 V", ""),
    "volts for millivolts": ("volts: 12.7 V", "volts: 12700 V", "at most 60 V", "mean mV?"),
    "colder than nothing": ("ambient: 40 degC", "ambient: -300 degC", "at least -90 degC", ""),
    "kelvin for degrees": ("ambient: 40 degC", "ambient: 313 degC", "at most 300", "degF?"),
    "least current there is": ("amps: 6 A", "amps: 5e-324 A", "at least 1 nA", ""),
    "amps for milliamps": ("amps: 1.8 A", "amps: 180000 A", "at most 10000 A", "mean mA?"),
    "tax beyond all numbers": ("tax: 20 %", "tax: 1e300 %", "at most 100 %", ""),
    "a number for a share": ("tax: 20 %", "tax: 20", "at most 100 %", "did you mean %?"),
    "a tax that is paid out": ("tax: 20 %", "tax: -20 %", "cannot be below zero", ""),
    "in space": ("tax: 20 %", "altitude: 100 km", "at most 9000 m", "did you mean m?"),
    "inrush below the current": ("inrush: 18 A", "inrush: 2 A", "less than the 6 A", ""),
    "inrush of hours": ("for 150 ms", "for 150 h", "at most 3600 s", ""),
    "inrush of a lightning": ("inrush: 18 A", "inrush: 1e300 A", "at most 10000 A", ""),
    "a wire as a tree": ("size: 25 mm2", "size: 1e6 mm2", "0.01 to 500 mm2", ""),
    "a gauge that is none": ("size: 25 mm2", "size: AWG 999", "no AWG 999", "4/0"),
    "a gauge of many digits": ("size: 25 mm2", f"size: AWG {'9' * 30}", "is not a quantity", ""),
}


@pytest.mark.parametrize("case", CASES)
def test_what_is_not_possible_is_told_at_its_place(tmp_path, case):
    before, after, said, meant = CASES[case]
    folder = tmp_path / "car"
    main = write_starter(folder)[0]
    text = main.read_text(encoding="utf-8")
    assert before in text
    main.write_text(text.replace(before, after, 1), encoding="utf-8")
    result, problems = work_out(folder)
    assert result is None
    line = text[: text.index(before)].count("\n") + 1
    assert [(p.where.file, p.where.line) for p in problems] == [("vehicle.yaml", line)]
    assert said in problems[0].what
    assert meant in f"{problems[0].what} {problems[0].hint}"


def test_of_many_runs_the_one_that_is_too_long_is_named(tmp_path):
    write_starter(tmp_path / "car")
    path = tmp_path / "car" / "vehicle.yaml"
    text = path.read_text(encoding="utf-8")
    run = re.search(r"from: ([\w-]+), to: ([\w-]+), length: \d+ mm", text)
    path.write_text(text.replace(run[0], f"{run[0].rpartition(' ')[0]}000 mm"), encoding="utf-8")
    _, (problem,) = look_over(tmp_path / "car")
    assert problem.what.endswith(f"at most 100 m (from {run[1]} to {run[2]})")


@pytest.mark.parametrize("rpm", ["0 rpm", "-0 rpm"])
def test_what_gives_volts_in_proportion_to_its_speed_is_told_them_at_a_speed(rpm):
    """Volts at no speed would be divided by it."""
    for model, given in (
        (Inductive, {"ohms": "220 ohm", "volts": "0.9 V"}),
        (Magneto, {"between": ["a", "b"], "volts": "20 V", "resistance": "1 ohm"}),
    ):
        assert model.model_validate({**given, "at": "900 rpm"}).at == 900
        with pytest.raises(ValidationError, match="must be above zero"):
            model.model_validate({**given, "at": rpm})
