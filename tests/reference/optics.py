"""Reference vectors for the optics of bevelbook-core, from mpmath and numpy and from nothing of bevelbook.

    pip install -r tests/reference/requirements.txt
    python tests/reference/optics.py core/tests/vectors/optics.txt

One case a line: `kind inputs = expected`. Inputs are integers in the units of the core (1/1000 D, 1/1000 prism dioptre,
micrometre, 1/1000 degree, index in 1/10,000; R and L for the eyes); expected values are in the same units (vectors and
ratios in 1e-6) but not rounded to them.
"""

import random
import sys

import mpmath as mp
import numpy as np
from thin import thinned

SEED = 20240131
mp.mp.dps = 50

rng = random.Random(SEED)
lines = []


def case(kind, inputs, expected):
    flat = " ".join(str(value) for value in inputs)
    lines.append(f"{kind} {flat} = " + " ".join(mp.nstr(mp.mpf(value), 14) for value in expected))


# ---- draws

def lens(sphere=20_000, cylinder=10_000, fine_axis=0.2):
    """Sphere and cylinder in eighths of a dioptre, as lenses are ordered, or in thousandths, as they are read."""
    step = 125 if rng.random() < 0.6 else 1
    s = rng.randint(-sphere // step, sphere // step) * step
    c = rng.randint(-cylinder // step, cylinder // step) * step
    axis = rng.randint(1, 180_000) if rng.random() < fine_axis else 1000 * rng.randint(1, 180)
    return (s, c, axis if c else 180_000)


def point(reach=40_000):
    return tuple(rng.randint(-reach, reach) for _ in range(2))


def eye():
    return rng.choice("RL")


# ---- numpy: matrices in 1/1000 D, axes to the viewer's right and up

def matrix(l):
    s, c, axis = l
    a = np.deg2rad(axis / 1000)
    across = np.array([-np.sin(a), np.cos(a)])
    return s * np.eye(2) + c * np.outer(across, across)


def minus_cylinder(f):
    """Sphere, cylinder and axis of a power matrix by its eigenvectors."""
    values, vectors = np.linalg.eigh(f)
    strong = vectors[:, 1]
    axis = np.rad2deg(np.arctan2(strong[1], strong[0])) % 180
    return values[1], values[0] - values[1], axis * 1000


def plus_cylinder(f):
    s, c, axis = minus_cylinder(f)
    return s + c, -c, (axis + 90_000) % 180_000


def norm(f):
    """Length of the power vector: half the sum of squared elements of the symmetric matrix, twice-counted parts in."""
    return np.sqrt(np.sum(f * f) / 2)


def nasal(e):
    return 1 if e == "R" else -1


def prism(l, e, at):
    r = np.array([nasal(e) * at[0], at[1]]) / 10_000  # cm
    p = -matrix(l) @ r
    return np.array([nasal(e) * p[0], p[1]])


# ---- mpmath: scalars

def radians(milli):
    return mp.mpf(milli) / 1000 * mp.pi / 180


def carried(power, distance, index):
    f = mp.mpf(power) / 1000
    return f / (1 - mp.mpf(distance) / 1_000_000 / (mp.mpf(index) / 10_000) * f) * 1000


def gain(power, distance, index):
    return 1 / (1 - mp.mpf(distance) / 1_000_000 / (mp.mpf(index) / 10_000) * mp.mpf(power) / 1000)


def meridians(count):
    for _ in range(count):
        l, at = lens(), rng.randint(0, 360_000)
        s, c, axis = l
        case("meridian", [*l, at], [s + c * mp.sin(radians(at - axis)) ** 2])


def vectors(count):
    for _ in range(count):
        s, c, axis = l = lens(100_000, 100_000)
        half = -mp.mpf(c) / 2 * 1000
        a2 = radians(2 * axis)
        case("vector", l, [(s + mp.mpf(c) / 2) * 1000, half * mp.cos(a2), half * mp.sin(a2)])


def combinations(count):
    for _ in range(count):
        many = [lens(8000, 6000) for _ in range(rng.randint(2, 10))]
        case("combine", [v for l in many for v in l], minus_cylinder(sum(matrix(l) for l in many)))
        case("combine_plus", [v for l in many for v in l], plus_cylinder(sum(matrix(l) for l in many)))


def residuals(count):
    for _ in range(count):
        ordered = lens()
        s, c, axis = ordered
        read = (s + rng.randint(-300, 300), c + rng.randint(-300, 300), (axis + rng.randint(-9000, 9000)) % 180_000 or 180_000)
        left = matrix(read) - matrix(ordered)
        case("residual", [*ordered, *read], [*minus_cylinder(left), norm(left)])


def vertices(count):
    while count:
        (s, c, axis), d = lens(20_000, 8000), rng.randint(-16_000, 16_000)
        one, other = carried(s, d, 10_000), carried(s + c, d, 10_000)
        case("vertex", [s, c, axis, d], [one, other - one, axis])
        count -= 1


def prisms(count):
    """Points of a lens from its optical centre, up to 40 prism dioptres; and of far stronger lenses, up to 100."""
    while count:
        strong = count % 4 == 0
        l, e, at = lens(100_000, 100_000, 1) if strong else lens(), eye(), point()
        p = prism(l, e, at)
        if np.hypot(*p) > (100_000 if strong else 40_000):
            continue
        case("prism", [e, *l, *at], p)
        count -= 1


def wanted(count):
    while count:
        l, e = lens(), eye()
        if min(abs(l[0]), abs(l[0] + l[1])) < 125:
            continue
        p = [rng.randint(-14_000, 14_000) for _ in range(2)]
        r = -np.linalg.solve(matrix(l), np.array([nasal(e) * p[0], p[1]])) * 10_000
        if np.max(np.abs(r)) > 500_000:
            continue
        case("point", [e, *l, *p], [nasal(e) * r[0], r[1]])
        count -= 1


def imbalances(count):
    while count:
        right, left, a, b = lens(), lens(), point(), point()
        p, q = prism(right, "R", a), prism(left, "L", b)
        if max(abs(p[0] + q[0]), abs(p[1] - q[1])) > 100_000:
            continue
        case("imbalance", [*right, *left, *a, *b], [p[0] + q[0], p[1] - q[1]])
        count -= 1


def obliques(count):
    for _ in range(count):
        e, h, v = eye(), rng.randint(-40_000, 40_000), rng.randint(-40_000, 40_000)
        base = mp.degrees(mp.atan2(v, nasal(e) * h)) % 360
        case("oblique", [e, h, v], [mp.sqrt(mp.mpf(h) ** 2 + mp.mpf(v) ** 2), base * 1000])
        total, at = rng.randint(1, 100_000), rng.randint(0, 359_999)
        case("split", [e, total, at], [nasal(e) * total * mp.cos(radians(at)), total * mp.sin(radians(at))])


def thick_lenses(count):
    for _ in range(count):
        front, back = rng.randint(-4000, 18_000), rng.randint(-25_000, 4000)
        centre, index = rng.randint(800, 12_000), rng.randint(14_000, 20_000)
        case(
            "thick",
            [front, back, centre, index],
            [carried(front, centre, index) + back, carried(back, centre, index) + front],
        )


def magnifications(count):
    for _ in range(count):
        bvp, front = rng.randint(-25_000, 20_000), rng.randint(-4000, 18_000)
        centre, index, vertex = rng.randint(800, 12_000), rng.randint(14_000, 20_000), rng.randint(0, 20_000)
        shape, power = gain(front, centre, index), gain(bvp, vertex, 10_000)
        million = 1_000_000
        case("magnify", [bvp, front, centre, index, vertex], [shape * million, power * million, shape * power * million])


def tilts(count):
    """The model of the core's documentation, by matrices."""
    while count:
        l = lens(20_000, 6000) if count % 3 else (rng.randint(-160, 160) * 125, 0, 180_000)
        if abs(l[0] + l[1]) > 20_000 or l[:2] == (0, 0):
            continue
        by, about = rng.randint(-30_000, 30_000), rng.choice([180_000, 90_000, 1000 * rng.randint(1, 180)])
        index = rng.randint(14_000, 19_000)
        a, t = np.deg2rad(about / 1000), np.deg2rad(by / 1000)
        turn = np.array([[np.cos(a), -np.sin(a)], [np.sin(a), np.cos(a)]])
        stretch = turn @ np.diag([1, 1 / np.cos(t)]) @ turn.T
        f = (1 + np.sin(t) ** 2 / (2 * index / 10_000)) * stretch @ matrix(l) @ stretch
        form = plus_cylinder if (l[1] or l[0]) > 0 else minus_cylinder
        case("tilt", [*l, by, about, index], form(f))
        count -= 1


def spreads(count):
    for _ in range(count):
        s, c, axis = lens(10_000, 4000)
        many = []
        for _ in range(rng.randint(2, 12)):
            turn = (axis + rng.randint(-8000, 8000)) % 180_000 or 180_000
            many.append((s + rng.randint(-250, 250), c + rng.randint(-250, 250), turn))
        f = np.array([matrix(l) for l in many]) * 1000
        parts = np.array([(f[:, 0, 0] + f[:, 1, 1]) / 2, (f[:, 0, 0] - f[:, 1, 1]) / 2, f[:, 0, 1]])
        mean, deviation = parts.mean(axis=1), parts.std(axis=1, ddof=1)
        total = np.sqrt(np.sum(deviation**2)) / 1000
        case("spread", [v for l in many for v in l], [*mean, *deviation, total])


for make, count in [
    (meridians, 200), (vectors, 200), (combinations, 200), (residuals, 300), (vertices, 300), (prisms, 600),
    (wanted, 300), (imbalances, 200), (obliques, 200), (thick_lenses, 200), (magnifications, 200), (tilts, 300),
    (spreads, 150),
]:
    make(count)

with open(sys.argv[1], "w", encoding="ascii", newline="\n") as out:
    out.write("# Written by tests/reference/optics.py; do not edit.\n")
    out.write(f"# seed {SEED}; python {sys.version.split()[0]}, mpmath {mp.__version__}, numpy {np.__version__}\n")
    out.write("\n".join(thinned(lines)) + "\n")
