"""Answers of somebody who begins, such that every two of them that go together stand in a row."""

from __future__ import annotations

from buildbook.begin.answers import SYSTEMS, Answers

ROWS = (
    "24 negative 1 inch A4 USD modules charging starting ignition injection pump fan lights "
    "indicators horn wiper",
    "48 positive 1 metric Letter USD relays starting pump",
    "12 negative 4 metric Letter EUR relays charging ignition injection data",
    "48 negative 4 inch A4 USD modules lights indicators horn wiper",
    "6 positive 1 inch Letter EUR relays charging starting fan horn wiper",
    "12 negative 4 metric A4 EUR modules starting ignition injection pump fan indicators horn data",
    "6 positive 1 inch A4 EUR relays ignition pump fan lights wiper",
    "24 negative 1 inch Letter USD modules starting injection fan lights indicators data",
    "24 positive 4 metric A4 USD relays charging ignition lights indicators horn wiper",
    "12 positive 1 inch Letter EUR relays starting lights wiper",
    "6 negative 4 metric A4 USD relays starting pump lights indicators horn",
    "48 negative 1 inch A4 EUR modules ignition injection pump fan wiper data",
    "24 negative 1 metric Letter EUR relays ignition injection fan data",
    "12 negative 1 inch A4 USD modules starting ignition injection lights wiper",
    "48 negative 4 metric A4 EUR relays charging starting ignition injection pump",
    # and all that there is, with as many cylinders as may be
    "12 negative 12 metric A4 EUR relays charging starting ignition injection pump fan lights "
    "indicators horn wiper data",
    "6 positive 12 inch Letter USD relays charging starting ignition pump fan lights indicators "
    "horn wiper",
    "12 negative 4 metric A4 EUR relays",
)


def answers_of(row: str) -> Answers:
    volts, earthed, cylinders, units, paper, currency, switching, *systems = row.split()
    assert set(systems) <= set(SYSTEMS)
    return Answers(
        name="Tern",
        volts=int(volts),
        earthed=earthed,
        cylinders=int(cylinders),
        units=units,
        paper=paper,
        currency=currency,
        switching=switching,
        systems=tuple(systems),
    )
