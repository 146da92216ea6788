"""A fuse family of round figures, and loads for it, to do sums with by hand."""

from buildbook.catalogue.model import FuseFamily
from buildbook.sizing.fuse_load import FuseLoad

ROUND = FuseFamily(
    "round",
    "Round figures",
    (1.0, 2.0, 5.0, 10.0, 20.0, 50.0),
    {5.0: "tan"},
    ((1.0, 1000.0, None), (2.0, 1.0, 100.0), (8.0, 0.01, 1.0)),
    0.1,
    0.75,
    "made up for the tests",
    0.002,
    1000.0,
    "computed",
)


def load(current_a=0.0, inrush_a=0.0, inrush_s=0.0, crank_a=0.0, ambient_c=23.0):
    return FuseLoad(current_a, "on", inrush_a, inrush_s, "x", ("x",), crank_a, ambient_c)
