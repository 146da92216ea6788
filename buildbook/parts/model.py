"""What to buy, from whom, how to cut it, and what it costs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from math import fsum

from buildbook.parts.keys import colour_of


@dataclass(frozen=True)
class Use:
    """Where some of a need goes: a harness and a system, '' where it belongs to neither."""

    harness: str
    system: str
    quantity: float


@dataclass(frozen=True)
class PieceToCut:
    """A wire, or the part of a cable in one harness, by id and cut length."""

    id: str
    harness: str
    length_m: float


@dataclass(frozen=True)
class Need:
    """How much of one thing: `key` such as 'wire thin-wall 0.5 mm2 RD' or 'fuse blade 5 A'."""

    key: str
    what: str
    quantity: float
    """What goes into the vehicle."""
    unit: str
    """piece or m"""
    uses: tuple[Use, ...] = ()
    spare: float = 0.0
    """Bought beside it for failed crimps, wrong cuts and lost pieces."""
    carried: float = 0.0
    """Bought beside it for the spares box."""
    pieces: tuple[PieceToCut, ...] = ()
    """Of wire and cable: what is cut from it."""

    @property
    def wanted(self) -> float:
        """All that must be there."""
        return round(self.quantity + self.spare + self.carried, 3)

    @property
    def used_by(self) -> tuple[str, ...]:
        """Harnesses, or systems where no harness is known."""
        return tuple(sorted({use.harness or use.system for use in self.uses} - {""}))


@dataclass(frozen=True)
class BillLine:
    """One line of the priced bill of materials; None prices are missing, not zero."""

    need: Need
    """What it serves, added up."""
    keys: tuple[str, ...]
    """Of the needs that it serves."""
    part: str
    what: str
    supplier: str
    packs: int
    pack: float
    pack_price: Decimal | None
    """As the supplier asks, for this many packs, in `currency`."""
    cost: Decimal | None
    """In the vehicle's currency, rounded half up to the hundredth."""
    currency: str = ""
    asked: Decimal | None = None
    """All packs, in the currency of the order."""
    quantity: float = 0.0
    """What of the need this line serves, owned stock not counted."""
    owned: float = 0.0
    """What of the need is there already."""
    dated: date | None = None
    old: bool = False
    """The price has no date or one too long before the revision's."""
    in_place_of: str = ""
    """The part that this one is a substitute of."""
    lead_days: int | None = None
    colours: tuple[tuple[str, int], ...] = ()
    """Of wire: how many of the packs in which colour."""

    @property
    def in_colours(self) -> str:
        """'BK, 2 × RD, WH': the packs by colour as an order says them; '' without."""
        return ", ".join(c if n == 1 else f"{n} × {c}" for c, n in self.colours if n)


@dataclass(frozen=True)
class Sums:
    """Money of one order in one currency."""

    net: Decimal
    carriage: Decimal
    tax: Decimal

    @property
    def total(self) -> Decimal:
        return self.net + self.carriage + self.tax


@dataclass(frozen=True)
class Order:
    """What is bought from one supplier."""

    supplier: str
    lines: tuple[BillLine, ...]
    currency: str
    rate: Decimal
    """What one unit of it costs in the vehicle's currency."""
    asked: Sums
    """In the order's currency."""
    home: Sums
    """In the vehicle's."""
    tax_share: Decimal
    unpriced: int
    lead_days: int | None


@dataclass(frozen=True)
class Cut:
    """One piece cut from a reel; `start_m` is where it begins."""

    piece: str
    """Wire id, or cable id."""
    harness: str
    start_m: float
    length_m: float


@dataclass(frozen=True)
class StockLength:
    """One reel, hank or offcut, and what is cut from it in order."""

    name: str
    """'reel 1', 'owned 1'."""
    length_m: float
    owned: bool
    cuts: tuple[Cut, ...]
    left_m: float


@dataclass(frozen=True)
class CuttingPlan:
    """How all pieces of one wire or cable are cut."""

    key: str
    what: str
    part: str
    """The part that the reels are; '' where all is cut from reels of none."""
    title: str
    sources: tuple[StockLength, ...]
    fewest: bool
    """Whether fewer new reels or metres are proven not to do."""

    @property
    def colour(self) -> str:
        """Colour letters of a wire; '' for a cable."""
        return colour_of(self.key)

    @property
    def cut_m(self) -> float:
        return fsum(cut.length_m for source in self.sources for cut in source.cuts)

    @property
    def left_m(self) -> float:
        return fsum(source.left_m for source in self.sources)


@dataclass(frozen=True)
class Stock:
    """Owned stock of a part, and what of it this vehicle takes."""

    part: str
    what: str
    there: float
    taken: float
    unit: str
    lengths_m: tuple[float, ...] = ()
    key: str = ""
    """Need that it meets, of wire that is on a reel of no part; then `part` is ''."""


@dataclass(frozen=True)
class ReelsSave:
    """What would be bought beside the rest if nothing were on the author's reels."""

    total: Decimal
    """With carriage and tax, in the vehicle's currency."""
    unpriced: int
    """Kinds of wire among it that have no price and are not in the total."""


@dataclass(frozen=True)
class CarriedSpare:
    """One thing in the spares box; `cost` at the price of its pack, None where it has none."""

    what: str
    part: str
    quantity: float
    unit: str
    cost: Decimal | None


@dataclass(frozen=True)
class Bill:
    lines: tuple[BillLine, ...]
    net: Decimal
    carriage: Decimal
    tax: Decimal
    total: Decimal
    missing: tuple[str, ...]
    """Need keys without a price, those that nothing serves included."""
    currency: str
    by_kind: dict[str, Decimal]
    by_system: dict[str, Decimal]
    by_harness: dict[str, Decimal]
    orders: tuple[Order, ...]
    needs: tuple[Need, ...]
    plans: tuple[CuttingPlan, ...]
    stock: tuple[Stock, ...]
    spares_box: tuple[CarriedSpare, ...]
    unserved: tuple[tuple[str, str], ...]
    """Need keys that no part maps to, with the reason."""
    gap: float | None
    """Share of the total that another choice of suppliers and packs could at most save; 0 where
    none is proven to cost less, None where the search ended without knowing."""
    reels_save: ReelsSave | None = None
    """None where the author has no reels."""

    @property
    def least(self) -> bool:
        """Whether the choice of suppliers and packs is proven to cost the least."""
        return self.gap == 0

    @property
    def perhaps_fewer(self) -> tuple[str, ...]:
        """Wires and cables whose cutting plan may take more reels than there need be."""
        return tuple(plan.what for plan in self.plans if not plan.fewest)
