"""Drawings in a real browser: a finger lights a wire from end to end, two enlarge."""

from __future__ import annotations

import json

WIRE = "301a"


def spot_on(page, wire):
    """Where on the screen the middle of a wire's longest stretch is that can be seen."""
    return page.run(
        f"""(() => {{
          const line = document.querySelector('.stage [data-wire="{wire}"] polyline:not(.glow)');
          const points = line.getAttribute('points').split(' ').map(p => p.split(',').map(Number));
          const on = line.ownerSVGElement.getScreenCTM();
          const seen = line.closest('.stage').getBoundingClientRect();
          let best = 0, at = null;
          for (let n = 1; n < points.length; n += 1) {{
            const [a, b] = [points[n - 1], points[n]], long = Math.hypot(b[0] - a[0], b[1] - a[1]);
            const spot = new DOMPoint((a[0] + b[0]) / 2, (a[1] + b[1]) / 2).matrixTransform(on);
            const inside = spot.x > seen.left && spot.x < seen.right
              && spot.y > Math.max(0, seen.top) && spot.y < Math.min(innerHeight, seen.bottom);
            if (inside && long > best) [best, at] = [long, [spot.x, spot.y]];
          }}
          return at;
        }})()"""
    )


def tap_wire(page, wire):
    """A finger on a wire; where nothing of it is in view, on the button for the whole first."""
    if spot_on(page, wire) is None:
        page.tap("button", "Whole")
        settle(page)
    page.tap_at(*spot_on(page, wire))


def middle_of(page, selector):
    """Where on the screen the middle of an element is."""
    return page.run(
        f"""(b => [b.x + b.width / 2, b.y + b.height / 2])(
          document.querySelector({json.dumps(selector)}).getBoundingClientRect())"""
    )


def lit(page):
    """Wires and pins that are lit."""
    return set(
        page.run(
            """[...document.querySelectorAll('.stage:not(.small) .glow')].map(
              e => e.parentNode.dataset.wire || e.previousElementSibling.dataset.pin)"""
        )
    )


def view(page):
    return [
        float(x)
        for x in page.run("document.querySelector('.stage svg').getAttribute('viewBox')").split()
    ]


def settle(page):
    page.wait("new Promise(done => requestAnimationFrame(() => setTimeout(() => done(true), 60)))")


def test_a_tap_lights_a_wire_on_every_stretch_of_it(opened):
    opened.go("#/sheet/schematic-supply-1")
    settle(opened)
    assert lit(opened) == set()
    opened.run("document.querySelector('.stage').scrollIntoView({block: 'center'})")
    settle(opened)
    tap_wire(opened, WIRE)
    opened.wait("document.querySelector('.stage:not(.small) .glow') !== null")
    assert lit(opened) == {WIRE}
    stretches = opened.run(f"document.querySelectorAll('.stage [data-wire=\"{WIRE}\"]').length")
    glowing = opened.run("document.querySelectorAll('.stage .glow').length")
    assert stretches == glowing
    assert f"Wire {WIRE}" in opened.text()
    dimmed = opened.run(
        "getComputedStyle(document.querySelector('.stage .wire:not(.lit):not(.near)')).opacity"
    )
    assert float(dimmed) < 0.5


def test_every_wire_on_a_sheet_can_be_tapped(opened, motorcycle):
    opened.go("#/sheet/schematic-supply-2")
    settle(opened)
    opened.run("document.querySelector('.stage').scrollIntoView({block: 'center'})")
    there = {*opened.run("[...document.querySelectorAll('.stage .wire')].map(g => g.dataset.wire)")}
    assert len(there) > 5
    for wire in there:
        opened.run(
            f"[...document.querySelectorAll('details button')]"
            f".find(b => b.textContent.trim() === '{wire}').click()"
        )
        settle(opened)
        opened.run("document.querySelector('.stage').scrollIntoView({block: 'center'})")
        tap_wire(opened, wire)
        assert wire in lit(opened)


def test_the_ends_of_the_wire_are_lit_in_their_connectors(opened, motorcycle):
    """Wire 307 goes from the pump's pin 2 to the frame: the pump's face shows cavity 2 lit."""
    wire = next(w for w in motorcycle.harness.wires.values() if w.circuit == "pump ground")
    opened.go(f"#/sheet/schematic-supply-1/wire/{wire.id}")
    settle(opened)
    faces = opened.run(
        """[...document.querySelectorAll('.stage.small .glow')].map(
          e => e.previousElementSibling.dataset.pin)"""
    )
    assert {*faces} == {"fuel-pump.2"}


def test_a_cavity_that_is_tapped_shows_its_pin(opened):
    opened.go("#/sheet/face-headlamp")
    settle(opened)
    opened.run("document.querySelector('.stage').scrollIntoView({block: 'center'})")
    opened.tap_at(*middle_of(opened, '.stage circle[data-pin="headlamp.2"]'))
    assert "Pin headlamp.2" in opened.text()
    assert lit(opened) == {"headlamp.2"}
    opened.tap(".row", "Pin headlamp.2")
    assert opened.text("h1") == "Pin headlamp.2"


def test_a_fuse_that_is_tapped_on_the_panel_shows_its_card(opened):
    opened.go("#/sheet/panel-panel")
    settle(opened)
    opened.tap(".tools button", "Whole")
    opened.run("document.querySelector('.stage').scrollIntoView({block: 'center'})")
    opened.tap_at(*middle_of(opened, '.stage rect[data-of="F4"]'))
    assert "F4: Signals and tail" in opened.text()


def test_two_fingers_enlarge_and_one_moves(opened):
    opened.go("#/sheet/schematic-supply-1")
    settle(opened)
    opened.run("document.querySelector('.stage').scrollIntoView({block: 'center'})")
    x, y = middle_of(opened, ".stage")
    before = view(opened)
    opened.touch("touchStart", (x - 30, y), (x + 30, y))
    for step in (45, 60, 75, 90):
        opened.touch("touchMove", (x - step, y), (x + step, y))
    opened.touch("touchEnd")
    settle(opened)
    after = view(opened)
    assert after[2] < 0.5 * before[2]
    opened.touch("touchStart", (x, y))
    for step in (20, 40, 60):
        opened.touch("touchMove", (x - step, y))
    opened.touch("touchEnd")
    settle(opened)
    moved = view(opened)
    assert moved[0] > after[0] and abs(moved[2] - after[2]) < 0.01
    assert lit(opened) == set()


def test_a_wire_that_is_not_there_lights_nothing(opened):
    opened.go("#/sheet/schematic-supply-1/wire/999")
    settle(opened)
    assert lit(opened) == set() and opened.complaints() == []


def test_buttons_and_keys_enlarge_too(opened):
    opened.go("#/sheet/schematic-supply-1")
    settle(opened)
    opened.tap(".tools button", "Whole")
    whole = view(opened)
    assert whole == [0, 0, 267, 180]
    opened.tap(".tools button", "+")
    assert view(opened)[2] < whole[2]
    opened.tap(".tools button", "Whole")
    assert view(opened) == whole
    opened.run("document.querySelector('.stage').focus()")
    opened.key("+", 187)
    larger = view(opened)
    assert larger[2] < whole[2]
    opened.key("ArrowRight", 39)
    assert view(opened)[0] > larger[0]


def test_a_sheet_that_another_names_is_a_tap_away(opened):
    opened.go("#/sheet/schematic-supply-1")
    settle(opened)
    opened.run("document.querySelector('.stage').scrollIntoView({block: 'center'})")
    target, x, y = opened.run(
        """(() => {
          const named = [...document.querySelectorAll('.stage text[data-sheet]')]
            .find(e => /^schematic-(?!supply-1)/.test(e.dataset.sheet));
          const box = named.getBoundingClientRect();
          return [named.dataset.sheet, box.x + box.width / 2, box.y + box.height / 2];
        })()"""
    )
    opened.tap_at(x, y)
    assert opened.run("location.hash") == f"#/sheet/{target}"
