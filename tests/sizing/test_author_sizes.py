"""What the author wants of sizes: of a system, a circuit, one wire; and the sizes owned."""

import copy
import json

import pytest

from buildbook.checks.rules import pinned_too_small
from buildbook.description.read import read_folder
from buildbook.sizing.choose import choose
from buildbook.vehicle.join import join
from tests.checks import minimal as m
from tests.sizing.small import trailer, written

TOLD = trailer(amps=4.1, length_m=4.0)


def labels(change):
    """Circuit -> size of its wire, of the trailer with something changed."""
    told = copy.deepcopy(TOLD)
    change(told)
    vehicle, harness = written(told)
    sizing, _ = choose(vehicle, harness)
    return {harness.wires[w].circuit: s for w, s in sizing.wires.items()}, vehicle, harness, sizing


def sizes(change):
    return {circuit: sized.label for circuit, sized in labels(change)[0].items()}


def test_a_least_is_kept_and_governs():
    found = labels(lambda told: told["circuits"]["lamp feed"].update({"least size": "2.5 mm2"}))[0]
    assert found["lamp feed"].area_mm2 == 2.5
    assert found["lamp feed"].governing == "author" and not found["lamp feed"].pinned
    (row,) = (r for r in found["lamp feed"].limits if r.name == "author")
    assert (row.value, row.allowed, row.met) == (2.5, 2.5, True)


def test_a_most_is_kept_whatever_the_drop_asks():
    free = sizes(lambda told: None)
    held = sizes(lambda told: told["circuits"]["lamp feed"].update({"most size": "0.75 mm2"}))
    assert float(free["lamp feed"].split()[0]) > 0.75
    assert held["lamp feed"] == "0.75 mm2"


def test_the_wire_goes_before_its_circuit_and_that_before_its_system():
    def told_all(told):
        told["systems"]["lighting"]["size"] = "4 mm2"
        told["circuits"]["lamp feed"]["size"] = "2.5 mm2"
        told["circuits"]["lamp feed"]["wires"] = {"lamp.1": {"size": "1.5 mm2"}}

    def told_two(told):
        told["systems"]["lighting"]["size"] = "4 mm2"
        told["circuits"]["lamp feed"]["size"] = "2.5 mm2"

    found = sizes(told_two)
    assert (found["lamp feed"], found["lamp return"]) == ("2.5 mm2", "4 mm2")
    assert sizes(told_all)["lamp feed"] == "1.5 mm2"


def test_only_sizes_that_are_owned_are_used_where_they_do():
    free = sizes(lambda told: None)
    owned = sizes(lambda told: told["vehicle"].update({"wire": {"sizes": ["1 mm2", "4 mm2"]}}))
    assert set(owned.values()) <= {"1 mm2", "4 mm2"} and set(free.values()) - {"1 mm2", "4 mm2"}


def test_where_no_owned_size_carries_the_current_or_fits_the_contact_another_does():
    thin = sizes(lambda told: told["vehicle"].update({"wire": {"sizes": ["0.35 mm2"]}}))
    assert all(label != "0.22 mm2" for label in thin.values())
    # the lamp's contacts take no 10 mm2
    thick = sizes(lambda told: told["vehicle"].update({"wire": {"sizes": ["10 mm2"]}}))
    assert thick["lamp feed"] != "10 mm2" and thick["panel feed"] == "10 mm2"


def on_a_reel(size, **more):
    reel = {"size": size, "colour": "RD", "length": "1 m", **more}
    return sizes(lambda told: told["vehicle"].update({"wire": {"reels": [reel]}}))


def test_a_size_that_is_on_a_reel_is_taken_up_to_twice_the_copper_and_where_contacts_take_it():
    """The feed needs 1.5 mm2; the lamp's contacts take no 2.5 mm2."""
    assert set(sizes(lambda told: None).values()) == {"1.5 mm2"}
    found = on_a_reel("2.5 mm2")
    assert (found["panel feed"], found["lamp feed"]) == ("2.5 mm2", "1.5 mm2")
    assert on_a_reel("4 mm2")["panel feed"] == "1.5 mm2"
    assert on_a_reel("1 mm2")["panel feed"] == "1.5 mm2"
    assert on_a_reel("2.5 mm2", family="thin-wall-125")["panel feed"] == "1.5 mm2"


def test_a_most_goes_before_what_is_on_a_reel():
    def told_both(told):
        told["vehicle"]["wire"] = {"reels": [{"size": "2.5 mm2", "colour": "RD", "length": "1 m"}]}
        told["circuits"]["panel feed"]["most size"] = "1.5 mm2"

    assert sizes(told_both)["panel feed"] == "1.5 mm2"


def test_a_reel_is_owned_beside_the_sizes_that_are():
    reel = {"size": "1.5 mm2", "colour": "RD", "length": "1 m"}
    wire = {"sizes": ["0.35 mm2", "6 mm2"], "reels": [reel]}
    found = sizes(lambda told: told["vehicle"].update({"wire": wire}))
    assert found["panel feed"] == "1.5 mm2"


def test_a_most_that_is_too_thin_for_its_fuse_is_told():
    def hold(told):
        told["devices"]["F1"]["rating"] = "30 A"
        told["circuits"]["lamp feed"]["most size"] = "0.5 mm2"

    _, vehicle, harness, sizing = labels(hold)
    found = list(pinned_too_small.check(m.assessed(vehicle, harness, sizing_=sizing)))
    assert any("by its most size 0.5 mm2" in f.text and "fuse" in f.text for f in found)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"least size": "4 mm2", "most size": "1 mm2"}, "no size is both"),
        ({"wires": {"F9.out": {"size": "1 mm2"}}}, "F9.out"),
        ({"wires": {"lamp.1": {"size": "7 mm2"}}}, "7 mm2"),
    ],
)
def test_mistakes_are_told(change, says, tmp_path):
    told = copy.deepcopy(TOLD)
    told["circuits"]["lamp feed"].update(change)
    (tmp_path / "vehicle.yaml").write_text(json.dumps(told), "utf-8")
    contents, problems = read_folder(tmp_path)
    assert contents and not problems
    _, problems = join(contents)
    assert any(says in problem.what for problem in problems)
