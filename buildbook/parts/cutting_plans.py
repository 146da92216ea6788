"""Which piece is cut from which reel, hank or offcut."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import count
from math import ceil, fsum

from buildbook.parts.cutting_stock import HAIR_M, KERF_M, Cutting, CuttingPattern, best_cutting
from buildbook.parts.model import Cut, CuttingPlan, Need, StockLength
from buildbook.words.say import say


def packs_to_cut(
    need: Need, pack_m: float, in_one_length: bool, owned_m: Sequence[float]
) -> int | None:
    """Fewest packs that give every piece, and the spare length beside; None where none can."""
    cuts = cutting_of(need, pack_m, in_one_length, owned_m)
    if cuts is None:
        return None
    return max(_packs_by_length(need, pack_m, owned_m), _packs_cut(cuts, pack_m), 0)


def is_cut_from(need: Need, owned_m: Sequence[float]) -> bool:
    """Whether owned lengths alone give every piece, and the spare length beside."""
    enough = fsum(owned_m) >= need.wanted - HAIR_M
    return enough and best_cutting([p.length_m for p in need.pieces], 0.0, owned_m) is not None


def _packs_by_length(need: Need, pack_m: float, owned_m: Sequence[float]) -> int:
    """Packs that all its metres take beside what is owned, the spare length too."""
    return ceil((need.wanted - fsum(owned_m)) / pack_m - HAIR_M)


def _packs_cut(cuts: Cutting, pack_m: float) -> int:
    """Packs that are new and cut from."""
    return round(fsum(cut.length_m for cut in cuts.patterns if not cut.owned) / pack_m)


def cutting_of(
    need: Need, pack_m: float, in_one_length: bool, owned_m: Sequence[float]
) -> Cutting | None:
    """The cutting of a need's pieces; packs that come in one length are one long reel."""
    lengths = [piece.length_m for piece in need.pieces]
    if not in_one_length:
        return best_cutting(lengths, pack_m, owned_m)
    endless = fsum(lengths) + KERF_M * len(lengths)
    cuts = best_cutting(lengths, endless, owned_m)
    if cuts is None:
        return None
    patterns = tuple(cut if cut.owned else _cut_off(cut, pack_m) for cut in cuts.patterns)
    # Owned lengths are filled to save a reel, not metres: only a plan at the bound is the fewest.
    least_m = endless - fsum(owned_m) - KERF_M * (len(owned_m) + 1)
    new_m = sum(cut.length_m for cut in patterns if not cut.owned)
    return Cutting(patterns, new_m <= pack_m * max(0, ceil(least_m / pack_m - HAIR_M)) + HAIR_M)


def _cut_off(cut: CuttingPattern, pack_m: float) -> CuttingPattern:
    """A continuous length as long as whole packs make it; its last piece may end with it, uncut."""
    used = cut.length_m - cut.left_m
    whole = pack_m * ceil((used - KERF_M) / pack_m - HAIR_M)
    return CuttingPattern(whole, False, cut.pieces, max(0.0, whole - used))


def cutting_plan(
    need: Need,
    part: str,
    what: str,
    pack_m: float,
    in_one_length: bool,
    owned_m: Sequence[float],
) -> CuttingPlan | None:
    """The cut-from-this-reel list of a need: every piece with where on its reel it begins."""
    cuts = cutting_of(need, pack_m, in_one_length, owned_m)
    if cuts is None:
        return None
    fewest = cuts.fewest or _packs_cut(cuts, pack_m) <= _packs_by_length(need, pack_m, owned_m)
    numbers = {True: count(1), False: count(1)}
    sources = tuple(
        StockLength(
            _named(cut.owned, next(numbers[cut.owned])),
            cut.length_m,
            cut.owned,
            _placed(cut, need),
            cut.left_m,
        )
        for cut in cuts.patterns
    )
    return CuttingPlan(need.key, need.what, part, what, sources, fewest)


def _named(owned: bool, number: int) -> str:
    return (
        say("owned length {number}", number=number)
        if owned
        else say("reel {number}", number=number)
    )


def _placed(cut: CuttingPattern, need: Need) -> tuple[Cut, ...]:
    found, start = [], 0.0
    for place in cut.pieces:
        piece = need.pieces[place]
        found.append(Cut(piece.id, piece.harness, round(start, 6), piece.length_m))
        start += piece.length_m + KERF_M
    return tuple(found)
