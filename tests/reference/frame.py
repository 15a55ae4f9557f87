"""Writes the reference vectors of frame outlines: core/tests/vectors/frame.txt.

    pip install -r tests/reference/requirements.txt
    python3.11 tests/reference/frame.py

Every number comes from numpy, scipy or shapely in double precision, none from bevelbook. Lengths are micrometres,
areas square micrometres, angles degrees. A shape is given by whole radii at equal angles from 0 degrees; what
follows it is true of the polygon of those points.
"""

import math
import platform
from pathlib import Path

import numpy
import scipy
import shapely
from scipy.optimize import brentq, minimize_scalar
from scipy.special import ellipe, ellipeinc
from shapely.geometry import LineString, Point, Polygon

SEED = 20260
RNG = numpy.random.default_rng(SEED)
OUT = Path(__file__).resolve().parents[2] / "core" / "tests" / "vectors" / "frame.txt"
LINES = []


def say(key, *values):
    words = [v if isinstance(v, str) else f"{v:.4f}" if isinstance(v, float) else str(v) for v in values]
    LINES.append(" ".join([key, *words]))


def angles(count):
    return numpy.arange(count) * 2 * math.pi / count


def polar(radii):
    at = angles(len(radii))
    return numpy.column_stack([radii * numpy.cos(at), radii * numpy.sin(at)])


def direction(vector):
    return float(numpy.degrees(numpy.arctan2(vector[1], vector[0])) % 360)


def ray(shape, angle, outermost):
    """Distance from the origin to where the ray meets the edge of the shape."""
    far = 300_000.0
    line = LineString([(0, 0), (far * math.cos(angle), far * math.sin(angle))])
    hits = shapely.get_coordinates(shapely.intersection(line, shape.boundary))
    distances = numpy.hypot(hits[:, 0], hits[:, 1])
    return float(distances.max() if outermost else distances.min())


def measure(polygon, points):
    low_x, low_y, high_x, high_y = polygon.bounds
    centre = numpy.array([(low_x + high_x) / 2, (low_y + high_y) / 2])
    way = points - centre
    longest = int(numpy.argmax(numpy.hypot(way[:, 0], way[:, 1])))
    say("box", high_x - low_x, high_y - low_y, float(centre[0]), float(centre[1]))
    say("ed", 2 * float(numpy.hypot(*way[longest])), direction(way[longest]))
    say("girth", polygon.length)
    say("area", polygon.area)
    for angle in (225.0, 315.0):
        toward = numpy.array([math.cos(math.radians(angle)), math.sin(math.radians(angle))])
        line = LineString([centre, centre + 300_000 * toward])
        hits = shapely.get_coordinates(shapely.intersection(line, polygon.boundary))
        say("reach", angle, float(numpy.hypot(*(hits - centre).T).max()))
    return centre


def blanks(points, centre):
    for _ in range(3):
        way = RNG.integers(-6000, 6001, 2)
        middle = centre + way
        say("blank", int(way[0]), int(way[1]), 2 * float(numpy.hypot(*(points - middle).T).max()))
    for spare in (1500, 9000):
        angle = int(RNG.integers(0, 360))
        least = 2 * float(numpy.hypot(*(points - centre).T).max())
        blank = int(least) + spare
        toward = numpy.array([math.cos(math.radians(angle)), math.sin(math.radians(angle))])

        def short(way, toward=toward, blank=blank):
            return 2 * float(numpy.hypot(*(points - centre - way * toward).T).max()) - blank

        say("decentre", blank, angle, float(brentq(short, 0, 50_000, xtol=1e-6)))


def offsets(polygon, steps, rays=24):
    for step in steps:
        curve = polygon.buffer(step, quad_segs=1024)
        say("offset", step, rays, *[ray(curve, angle, step > 0) for angle in angles(rays)])


def depths(points):
    count = len(points)
    # A ring with a count of its own, met by straight lines over the angle.
    ring = numpy.rint(1500 * numpy.cos(2 * angles(50)) + 200 * numpy.sin(5 * angles(50))).astype(int)
    over = numpy.interp(angles(count), numpy.append(angles(50), 2 * math.pi), numpy.append(ring, ring[0]))
    space = numpy.column_stack([points, over])
    chords = numpy.linalg.norm(space - numpy.roll(space, -1, axis=0), axis=1)
    say("ring", *[int(depth) for depth in ring], float(chords.sum()))


def shape(name, radii, steps):
    radii = numpy.rint(radii).astype(int)
    points = polar(radii)
    polygon = Polygon(points)
    assert polygon.is_valid
    say("shape", name, *[int(radius) for radius in radii])
    blanks(points, measure(polygon, points))
    offsets(polygon, steps)
    depths(points)


def lens(count, unit):
    """A lens-like shape: a superellipse with the nasal corner cut away and a little noise of low order."""
    at = angles(count)
    a, b, power = RNG.uniform(22e3, 28e3), RNG.uniform(15e3, 23e3), RNG.uniform(2.0, 3.2)
    radii = (abs(numpy.cos(at) / a) ** power + abs(numpy.sin(at) / b) ** power) ** (-1 / power)
    for order in range(1, 6):
        radii = radii * (1 + RNG.uniform(-0.03, 0.03) / order**2 * numpy.cos(order * at + RNG.uniform(0, 6.28)))
    return numpy.rint(radii / unit) * unit


def waisted(count):
    """Not convex: two waists whose curvature is smaller than a step of 6 mm, and two tight lobes."""
    at = angles(count)
    return 20e3 + 6e3 * numpy.cos(2 * at) - 2.5e3 * numpy.cos(4 * at)


def cornered(count):
    """A rectangle 48 by 32 mm with corners of 1.5 mm: an inward step of 4 mm is larger than they are."""
    block = Polygon([(-22500, -14500), (22500, -14500), (22500, 14500), (-22500, 14500)])
    rounded = block.buffer(1500, quad_segs=1024)
    return numpy.array([ray(rounded, angle, True) for angle in angles(count)])


def squircle(a, b, ed, count):
    """(1 - x2/a2)(1 - y2/b2) = m2 x2 y2/(a2 b2), m found so that the longest radius is ED/2, searched by scipy."""
    half_a, half_b = a / 2, b / 2

    def radius(at, m):
        def off(r):
            x, y = (r * math.cos(at) / half_a) ** 2, (r * math.sin(at) / half_b) ** 2
            return (1 - x) * (1 - y) - m * m * x * y

        reach = min(
            half_a / max(abs(math.cos(at)), 1e-15),
            half_b / max(abs(math.sin(at)), 1e-15),
        )
        if off(reach) >= -1e-13:
            return reach
        return brentq(off, 0, reach, xtol=1e-9)

    def longest(m):
        best = minimize_scalar(
            lambda at: -radius(at, m), bounds=(0, math.pi / 2), method="bounded", options={"xatol": 1e-10}
        )
        return -best.fun

    m = 1.0 if ed is None else brentq(lambda m: longest(m) - ed / 2, 1e-6, min(a, b) / max(a, b) * 0.999, xtol=1e-14)
    say("made", a, b, ed or 0, count, *[float(radius(at, m)) for at in angles(count)])


def far_across(a, b, ways):
    """Twice the way from a place to the farthest point of the ellipse, searched by scipy from 64 starts."""
    for inward, up in ways:

        def short(t, inward=inward, up=up):
            return -math.hypot(a / 2 * math.cos(t) - inward, b / 2 * math.sin(t) - up)

        best = 0.0
        for start in numpy.arange(64) * 2 * math.pi / 64:
            found = minimize_scalar(
                short, bounds=(start, start + 2 * math.pi / 64), method="bounded", options={"xatol": 1e-12}
            )
            best = max(best, -found.fun, -short(start))
        say("across", a, b, inward, up, 2 * best)


def inset(a, b, depth):
    """Girth of what is left inside an ellipse when everything within the depth of its edge is taken away.

    Beyond the smallest radius of curvature the parallel curve crosses itself on the long axis; the loops behind the
    crossing are no part of it. With t from the long axis: sin2 t = (d2 l2/s2 - s2)/(l2 - s2) at the crossing.
    """
    long, short = max(a, b) / 2, min(a, b) / 2
    assert short**2 / long < depth < short and long > short
    start = math.asin(math.sqrt((depth**2 * long**2 / short**2 - short**2) / (long**2 - short**2)))
    # Arc length from t to the short axis, by the complement of t; the normal turns by what is left of a quarter.
    arc = long * ellipeinc(math.pi / 2 - start, 1 - short**2 / long**2)
    normal = math.atan2(long * math.sin(start), short * math.cos(start))
    say("inset", a, b, -depth, float(4 * (arc - depth * (math.pi / 2 - normal))))


def main():
    for count, unit in [(36, 10), (73, 10), (100, 1), (1000, 10)]:
        shape(f"lens{count}", lens(count, unit), [250, -250, 2500, -2500])
    shape("waisted200", waisted(200), [250, -250, 6000, -3000, -6000])
    shape("cornered200", cornered(200), [250, -250, 4000, -4000])
    shape("circle200", numpy.full(200, 25_000), [250, -250, 5000, -5000])
    for a, b, ed in [
        (50_000, 38_000, 53_000),
        (52_000, 30_000, 53_500),
        (48_001, 36_003, 50_007),
        (46_000, 46_000, 50_000),
        (40_000, 44_000, 47_000),
        (54_000, 28_000, 58_500),
        (56_000, 41_000, None),
        (100_000, 10_000, None),
    ]:
        squircle(a, b, ed, 40)
    for a, b in [(52_000, 35_000), (50_000, 50_000), (54_000, 27_000), (48_000, 40_000), (45_000, 45_500)]:
        long, short = max(a, b) / 2, min(a, b) / 2
        # Perimeter of the true ellipse and its smallest radius of curvature.
        say("ellipse", a, b, float(4 * long * ellipe(1 - short**2 / long**2)), short**2 / long)
    for a, b in [(52_000, 35_000), (38_000, 50_000), (46_000, 46_000), (100_000, 10_000)]:
        far_across(a, b, [(0, 0), (2500, 0), (0, -1500), (-4321, 2345), (7000, 6000), (1, 20_000)])
    for a, b, depth in [(52_000, 35_000, 12_000), (52_000, 35_000, 15_000), (54_000, 27_000, 9000), (30_000, 50_000, 12_500)]:
        inset(a, b, depth)
    head = [
        "# Written by tests/reference/frame.py: micrometres, square micrometres, degrees.",
        f"# python {platform.python_version()}, numpy {numpy.__version__}, scipy {scipy.__version__}, "
        f"shapely {shapely.__version__}, geos {shapely.geos_version_string}, seed {SEED}",
    ]
    OUT.write_text("\n".join(head + LINES) + "\n")


if __name__ == "__main__":
    main()
