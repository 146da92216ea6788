"""The phone edition for gloves, poor eyes, keyboards and readers of screens; and on paper.

Contrast and its least value: WCAG 2.2, success criterion 1.4.3; targets of 44 px: 2.5.5; names,
headings and focus: 4.1.2, 1.3.1, 2.4.7.
"""

from __future__ import annotations

import json

import pytest

from tests.phone.browser import WIDE_PX

LEAST_PX = 44
LEAST_CONTRAST = 4.5

VIEWS = {
    "nothing typed": "#/find",
    "one thing found": "#/find/301a",
    "many things found": "#/find/horn",
    "nothing found": "#/find/zzzz",
    "wire": "#/wire/301a",
    "pin": "#/pin/ignition-controller.1",
    "fuse": "#/device/F2",
    "device": "#/device/headlamp",
    "sensor": "#/device/pick-up",
    "panel": "#/device/panel",
    "connector": "#/plug/tail-lamp",
    "splice": "#/splice/S301",
    "circuit": "#/circuit/ignition feed",
    "drawings": "#/sheets",
    "schematic": "#/sheet/schematic-supply-1/wire/301a",
    "face": "#/sheet/face-headlamp/pin/headlamp.2",
    "faults": "#/fault",
    "entry": "#/entry/0",
    "entry's end": "#/entry/0/l",
    "question": "#/symptom/starter-dead",
    "end": """(() => {
      const way = [];
      let at = symptoms["starter-dead"].to;
      for (; at[0] === "ask"; at = trees.asks[at[1]].low.to) way.push("l");
      return to("symptom", "starter-dead", ...way);
    })()""",
    "doubt": """(() => {
      const wide = (at) => at[0] === "ask" && trees.asks[at[1]].what === "volts"
        && Math.abs(trees.asks[at[1]].high.value - trees.asks[at[1]].low.value) > 6;
      return to("symptom", Object.values(symptoms).find((row) => wide(row.to)).id, "h6.2");
    })()""",
    "nowhere": "#/wire/999",
}
COLOURS = """
  const seen = (c) => (/rgba?\\(([^)]+)\\)/.exec(c)[1].split(/[ ,/]+/).map(Number));
  const under = (e) => {
    for (let at = e; at; at = at.parentElement) {
      const c = seen(getComputedStyle(at).backgroundColor);
      if (c.length < 4 || c[3] === 1) return c;
    }
    return [255, 255, 255];
  };
  const light = (c) => [0, 1, 2].map((n) => c[n] / 255)
    .map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4))
    .reduce((sum, v, n) => sum + v * [0.2126, 0.7152, 0.0722][n], 0);
  const contrast = (a, b) => {
    const [x, y] = [light(a), light(b)].sort((p, q) => q - p);
    return (x + 0.05) / (y + 0.05);
  };
"""
"""Relative luminance and contrast as WCAG 2.2 defines them."""


def go_to(page, view):
    """Open a view, whose address may have to be sought by the file's own script."""
    address = VIEWS[view]
    page.go(address if address.startswith("#") else page.run(address))


@pytest.fixture(params=["light", "dark"])
def scheme(request):
    return request.param


@pytest.fixture(params=VIEWS)
def shown(request, opened):
    go_to(opened, request.param)
    opened.run("document.querySelectorAll('details').forEach(d => { d.open = true; })")
    return opened


def test_every_target_is_large_enough_for_a_glove(shown):
    small = shown.run(
        f"""[...document.querySelectorAll('a, button, input, summary')]
          .filter(e => e.checkVisibility() && !e.classList.contains('skip'))
          .map(e => [e.textContent || e.id, e.getBoundingClientRect()])
          .filter(([, b]) => b.width < {LEAST_PX} || b.height < {LEAST_PX})
          .map(([text, b]) => [text, b.width, b.height])"""
    )
    assert small == []


def test_nothing_runs_off_a_small_screen(shown):
    assert shown.run("document.documentElement.scrollWidth") <= WIDE_PX
    beyond = shown.run(
        f"""[...document.querySelectorAll('main *')].filter(e => !e.closest('svg'))
          .filter(e => e.getBoundingClientRect().right > {WIDE_PX} + 1).map(e => e.outerHTML)"""
    )
    assert beyond == []


def test_nothing_of_the_script_is_left_among_the_words(shown):
    text = shown.text()
    for left in ("undefined", "[object", "NaN", "null"):
        assert left not in text
    alone = shown.run(
        """[...document.querySelectorAll('main, main *')].filter(e => !e.closest('svg'))
          .flatMap(e => [...e.childNodes]).filter(n => n.nodeType === 3)
          .map(n => n.textContent).filter(t => /^(0|false|true)$/.test(t))"""
    )
    assert alone == []


def test_targets_do_not_lie_over_each_other(shown):
    over = shown.run(
        """(() => {
          const all = [...main.querySelectorAll('a, button, input, summary')]
            .filter(e => e.checkVisibility()).map(e => [e, e.getBoundingClientRect()]);
          return all.flatMap(([a, p], n) => all.slice(n + 1)
            .filter(([b, q]) => !a.contains(b) && !b.contains(a)
              && Math.min(p.right, q.right) - Math.max(p.left, q.left) > 1
              && Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top) > 1)
            .map(([b]) => [a.textContent, b.textContent]));
        })()"""
    )
    assert over == []


@pytest.mark.parametrize("view", VIEWS)
def test_words_stand_out_from_what_is_behind_them(opened, view, scheme):
    opened.media(scheme=scheme)
    go_to(opened, view)
    opened.run("document.querySelectorAll('details').forEach(d => { d.open = true; })")
    assert opened.run("document.documentElement.dataset.theme") == scheme
    faint = opened.run(
        f"""(() => {{ {COLOURS}
          const found = [];
          const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
          while (walk.nextNode()) {{
            const e = walk.currentNode.parentElement;
            if (!walk.currentNode.textContent.trim() || !e.checkVisibility()) continue;
            if (e.closest('svg, script, noscript')) continue;
            const value = contrast(seen(getComputedStyle(e).color), under(e));
            if (value < {LEAST_CONTRAST}) found.push([walk.currentNode.textContent, value]);
          }}
          for (const e of document.querySelectorAll('input')) {{
            const value = contrast(seen(getComputedStyle(e, '::placeholder').color), under(e));
            if (value < {LEAST_CONTRAST}) found.push(['placeholder', value]);
          }}
          return found;
        }})()"""
    )
    assert faint == []


def test_the_contrast_is_that_of_the_standard(opened):
    """Of #777777 on white 4.48, a little too faint: the example of WCAG's own explanation."""
    value = opened.run(
        f"(() => {{ {COLOURS} return contrast([119, 119, 119], [255, 255, 255]); }})()"
    )
    assert value == pytest.approx(4.48, abs=0.005)


def test_all_that_can_be_worked_has_a_name(shown):
    shown.call("Accessibility.enable")
    nodes = shown.call("Accessibility.getFullAXTree")["nodes"]
    worked = ("button", "link", "textbox", "searchbox", "DisclosureTriangle", "group", "img")
    nameless = [
        node["role"]["value"]
        for node in nodes
        if not node["ignored"] and node.get("role", {}).get("value") in worked
        if not node.get("name", {}).get("value")
        if node["role"]["value"] != "group"
        or any(p["name"] == "focusable" for p in node.get("properties", ()))
    ]
    assert nameless == []


def test_headings_are_in_order_and_the_page_says_its_language(shown):
    levels = shown.run("[...document.querySelectorAll('h1,h2,h3,h4')].map(e => +e.tagName[1])")
    assert levels.count(1) == 1 and levels[0] == 1
    assert all(b <= a + 1 for a, b in zip(levels, levels[1:], strict=False))
    assert shown.run("document.documentElement.lang") == "en"
    assert shown.text("h1") in shown.run("document.title")
    for place in ("main", "nav[aria-label]", "header", "footer", "[aria-live]"):
        assert shown.run(f"!!document.querySelector({json.dumps(place)})")


@pytest.mark.parametrize("view", ["many things found", "wire", "schematic", "question"])
def test_the_keyboard_reaches_everything_in_order_and_shows_where_it_is(opened, view, scheme):
    opened.media(scheme=scheme)
    go_to(opened, view)
    opened.run("document.body.tabIndex = -1; document.body.focus(); scrollTo(0, 0)")
    opened.run("document.activeElement.blur()")
    wanted = opened.run(
        """(() => {
          const all = [...document.querySelectorAll('a, button, input, summary, [tabindex="0"]')]
            .filter(e => e.checkVisibility());
          all.forEach((e, n) => { e.dataset.n = n; });
          return all.length;
        })()"""
    )
    reached = []
    for _ in range(wanted):
        opened.key("Tab", 9)
        at = opened.run(
            f"""(() => {{ {COLOURS}
              const e = document.activeElement, s = getComputedStyle(e);
              return [+e.dataset.n, s.outlineStyle, parseFloat(s.outlineWidth),
                contrast(seen(s.outlineColor), under(e.parentElement))];
            }})()"""
        )
        reached.append(at[0])
        assert at[1] == "solid" and at[2] >= 2 and at[3] >= 3, at
    assert reached == list(range(wanted))


def test_enter_works_what_a_tap_works(opened):
    opened.go("#/symptom/starter-dead")
    opened.run("document.querySelector('.answers button').focus()")
    opened.key("Enter", 13)
    opened.wait("document.querySelector('main').innerText.includes('Asked so far: 1')")


def test_the_views_are_what_they_are_called(opened):
    go_to(opened, "end")
    assert opened.run("!!document.querySelector('.found')")
    go_to(opened, "doubt")
    assert "Neither." in opened.text()
    go_to(opened, "entry")
    assert opened.run("!!document.querySelector('.ask')")


def test_the_switch_turns_it_dark_and_light(opened):
    opened.run("localStorage.removeItem('theme')")
    opened.go("#/find")
    assert opened.run("document.documentElement.dataset.theme") == "light"
    opened.tap("#theme")
    assert opened.run("document.documentElement.dataset.theme") == "dark"
    assert opened.run("document.getElementById('theme').getAttribute('aria-pressed')") == "true"
    opened.tap("#theme")
    assert opened.run("document.documentElement.dataset.theme") == "light"
    opened.run("localStorage.removeItem('theme')")


def test_on_paper_there_is_the_card_and_no_buttons(opened):
    opened.media(scheme="dark")
    opened.go("#/wire/301a")
    opened.media("print", "dark")
    assert not opened.run("document.querySelector('nav').checkVisibility()")
    assert not opened.run("document.querySelector('#theme').checkVisibility()")
    assert "Wire 301a" in opened.text(".card")
    opened.run("dispatchEvent(new Event('beforeprint'))")
    assert "cranking" in opened.text(".card")
    opened.run("dispatchEvent(new Event('afterprint'))")
    assert "cranking" not in opened.text(".card")
    assert opened.run("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    assert opened.run("getComputedStyle(document.body).color") == "rgb(0, 0, 0)"
