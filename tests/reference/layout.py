"""Writes the reference blanks of progressives: core/tests/vectors/plan_blank.txt.

    pip install -r tests/reference/requirements.txt
    python3.11 tests/reference/layout.py

A line is an order and what it needs: radii of the right lens at equal angles from 0 degrees in 1/100 mm (the left one is
its mirror), DBL, monocular PDs, fitting heights, how far the reference point lies below the cross; and the least blank
of each lens, without allowance, in mm. Every number comes from shapely in double precision, none from bevelbook: the
blank is the least circle about the reference point that holds the shape, its radius the Hausdorff distance of the two.
A shape without radii is one by A, B and ED; its blank is ED and twice the way from the boxed centre to that point.
"""

import math
from pathlib import Path

import numpy
import shapely
from shapely.geometry import LinearRing, Point

SEED = 20262
RNG = numpy.random.default_rng(SEED)
OUT = Path(__file__).resolve().parents[2] / "core" / "tests" / "vectors" / "plan_blank.txt"
BELOW = [round(0.05 * step, 2) for step in range(81)]


def hundredths(low, high):
    return int(RNG.integers(low * 100, high * 100 + 1)) / 100


def radii(count):
    """A superellipse with a little noise of low order: no two corners alike."""
    at = numpy.arange(count) * 2 * math.pi / count
    a, b, power = RNG.uniform(23, 28), RNG.uniform(15, 22), RNG.uniform(2.0, 3.2)
    radius = (abs(numpy.cos(at) / a) ** power + abs(numpy.sin(at) / b) ** power) ** (-1 / power)
    for order in range(1, 6):
        radius = radius * (1 + RNG.uniform(-0.03, 0.03) / order**2 * numpy.cos(order * at + RNG.uniform(0, 6.28)))
    return numpy.rint(radius * 100).astype(int)


def ring(hundredth_radii, mirrored):
    at = numpy.arange(len(hundredth_radii)) * 2 * math.pi / len(hundredth_radii)
    side = -1 if mirrored else 1
    return LinearRing(
        numpy.column_stack([side * hundredth_radii / 100 * numpy.cos(at), hundredth_radii / 100 * numpy.sin(at)])
    )


def middle(box, dbl, pd, height, below, mirrored):
    """Where the reference point lies in the plane of the shape, the nose of the left lens being at its left."""
    low_x, low_y, high_x, high_y = box
    inward = (high_x - low_x + dbl) / 2 - pd
    x = (low_x + high_x) / 2 + (-inward if mirrored else inward)
    return Point(x, low_y + height - below)


def order():
    dbl, below = hundredths(14, 24), float(RNG.choice(BELOW))
    return dbl, [hundredths(27, 36) for _ in range(2)], below


def traced():
    shape = radii(int(RNG.choice([36, 60, 100])))
    dbl, pds, below = order()
    rings = [ring(shape, mirrored) for mirrored in (False, True)]
    b = rings[0].bounds[3] - rings[0].bounds[1]
    heights = [hundredths(b / 2 - 3, b / 2 + 6) for _ in range(2)]
    blanks = [
        2 * shapely.hausdorff_distance(one, middle(one.bounds, dbl, pd, height, below, mirrored))
        for one, pd, height, mirrored in zip(rings, pds, heights, (False, True))
    ]
    return ["trace", " ".join(map(str, shape)), dbl, *pds, *heights, below], blanks


def sized():
    a, b = hundredths(44, 58), hundredths(28, 40)
    # Longer than the longer side, shorter than the diagonal.
    ed = round(a + RNG.uniform(0.2, 0.6) * (math.hypot(a, b) - a), 2)
    dbl, pds, below = order()
    heights = [hundredths(b / 2 - 3, b / 2 + 6) for _ in range(2)]
    box = (-a / 2, -b / 2, a / 2, b / 2)
    blanks = [
        ed + 2 * Point(0, 0).distance(middle(box, dbl, pd, height, below, mirrored))
        for pd, height, mirrored in zip(pds, heights, (False, True))
    ]
    return ["sizes", f"{a} {b} {ed}", dbl, *pds, *heights, below], blanks


def main():
    lines = [
        "# Written by tests/reference/layout.py: kind; radii in 1/100 mm, or A B ED in mm; DBL; PD right; left; height right;",
        "# left; reference point below the cross = least blanks right, left, without allowance, in mm.",
        f"# numpy {numpy.__version__}, shapely {shapely.__version__}, geos {shapely.geos_version_string}, seed {SEED}",
    ]
    for case in [traced] * 12 + [sized] * 6:
        fields, blanks = case()
        lines.append(";".join(map(str, fields)) + " = " + " ".join(f"{blank:.6f}" for blank in blanks))
    OUT.write_text("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
