"""What harm each rule is about, so that what burns is read before what is untidy."""

from __future__ import annotations

from enum import Enum


class Harm(Enum):
    """Kinds of harm, the worst first."""

    WRONG = "wrongly described"
    BURNS = "may burn"
    DEAD = "does not do what it should"
    READS = "reads or controls wrongly"
    WEARS = "wears or fails early"
    BUILDS = "cannot be built so"
    ASKS = "asked or told"

    @property
    def rank(self) -> int:
        """0 for the worst."""
        return list(Harm).index(self)

    def __str__(self) -> str:
        return self.value


OF = {
    Harm.WRONG: ("not-as-meant value-unlikely run-unlikely setting-unlikely place-unlikely"),
    Harm.BURNS: (
        "feed-shorted fed-twice fuse-above-wire fuse-below-load short-burns-on "
        "feed-unfused contact-overloaded terminal-overloaded too-hot coil-reversed "
        "generator-unfused live-pins isolator-bypassed engine-survives-isolator "
        "pinned-too-small cover-too-hot not-selective load-overvolted cut-out-crossed"
    ),
    Harm.DEAD: (
        "load-dead-in-state load-never-works load-no-way load-runs-unasked load-twice "
        "relay-idle relay-coil-weak cranking-voltage charging-negative battery-flat-soon "
        "drop-above-allowance circuit-to-nowhere pin-undeclared power-pin-unused "
        "switch-bypassed contact-unsettled fuse-shared fuse-idle driver-idle draw-missing "
        "pump-no-cut-off"
    ),
    Harm.READS: (
        "sensor-ground-shared sensor-level sensor-range sensor-return-shared "
        "sensor-supply-shared sensor-supply-wrong signal-unread signal-unscreened "
        "quiet-beside-noisy input-overvolted input-misread tracks-disagree can-stub "
        "can-termination can-termination-place ground-loop pair-loose screen-ground "
        "switched-too-fast names-crossed sides-crossed twins-swapped twin-pin-unused "
        "strap-missing"
    ),
    Harm.WEARS: (
        "seal-misfit unsealed-in-wet support-far moving-no-slack splice-in-moving "
        "bend-tight heat-near rope-bare coil-unsuppressed connectors-alike halves-alike "
        "service-loop-none"
    ),
    Harm.BUILDS: (
        "splices-crowded splice-mixed bundle-misfit pass-through-full pass-through-hole "
        "sizes-unsettled as-built description-older"
    ),
}
"""Rules of each kind of harm; what is not named asks or tells."""

_BY_RULE = {rule: harm for harm, rules in OF.items() for rule in rules.split()}


def harm_of(rule: str) -> Harm:
    """The kind of harm that a rule is about."""
    return _BY_RULE.get(rule, Harm.ASKS)
