"""Reference vectors for rings in space, from numpy and scipy and from nothing of bevelbook: core/tests/vectors/ring.txt.

    pip install -r tests/reference/requirements.txt
    python3.11 tests/reference/ring.py core/tests/vectors

One case a line: `kind inputs = expected`. Inputs are integers in micrometres and 1/1000 D.

- `curve n x y z ... = power per_dioptre off`: the sphere through n points by numpy's least squares (a singular value
  decomposition, where the code under test solves normal equations in whole numbers): z from 1, x, y and (x2 + y2 + z2)/2,
  counted from the mean of the points.
- `sphere n x y z ... = power`: points rounded from a sphere of a known power that is shifted and tilted. Where the ring
  is scant, the whole micrometres alone are worth some 1/1000 D, less than two in every case written here.
- `girth n radius vx vy r ... = girth`: closed chords of radii at equal angles, the depth of each point being that of the sphere.
- `behind power index x y d = depth`: behind a front surface, by the arc sine.
- `bevel power front index centre part of n x y ... = power`: the top of a bevel with so many parts of the edge before it, round a
  lens of a spherical power; its back surface by carrying the vergence through the lens, its depths by the arc sine.

Beside the linear fit stands the geometric one (scipy, distances from the sphere): where points lie off a sphere by some
tenths of a millimetre, as the top of a bevel does, the two agree within 0.05 D; this is asserted here and not written.
"""

import sys

import numpy as np
import scipy
from scipy.optimize import least_squares

SEED = 20261128
RNG = np.random.default_rng(SEED)
LINES = []
TOOL = 530_000.0  # dioptres times micrometres, in 1.530


def case(kind, inputs, expected):
    LINES.append(f"{kind} " + " ".join(str(int(v)) for v in inputs) + " = " + " ".join(f"{v:.6f}" for v in expected))


def fitted(points):
    p = points - points.mean(axis=0)
    x, y, z = p.T
    w = (p * p).sum(axis=1)
    scale = w.mean()
    columns = np.column_stack([np.ones_like(x), x, y, w / scale])
    (a, b, c, half), *_ = np.linalg.lstsq(columns, z, rcond=None)
    kappa = 2 * half / scale
    curvature = kappa / np.sqrt(1 + b * b + c * c - 2 * a * kappa)
    off = np.abs(columns @ [a, b, c, half] - z).max()
    plane = columns[:, :3]
    rest = w - plane @ np.linalg.lstsq(plane, w, rcond=None)[0]
    return 1000 * TOOL * curvature, (rest.max() - rest.min()) / (2 * TOOL), off


def geometric(points, power):
    p = (points - points.mean(axis=0)) / 1000.0
    start = np.array([0.0, 0.0, 1000 * TOOL / power / 1000.0])

    def off(v):
        return np.linalg.norm(p - v[:3], axis=1) - v[3]

    found = least_squares(off, np.append(start, abs(start[2])), x_scale=[1, 1, 100, 100], xtol=1e-15, ftol=1e-15)
    return 1000 * TOOL / (found.x[3] * 1000.0)


def outline(count):
    at = np.arange(count) * 2 * np.pi / count
    a, b = RNG.uniform(22e3, 29e3), RNG.uniform(14e3, 21e3)
    power = RNG.uniform(2.0, 3.0)
    radii = (np.abs(np.cos(at) / a) ** power + np.abs(np.sin(at) / b) ** power) ** (-1 / power)
    for order in (2, 3):
        radii = radii * (1 + RNG.uniform(-0.03, 0.03) * np.cos(order * at + RNG.uniform(0, 6.28)))
    return at, np.rint(radii)


def on_sphere(x, y, power):
    """Depth on a sphere of a power in 1.530 with its vertex at the origin, by the arc sine."""
    if power == 0:
        return np.zeros_like(x)
    r = 1000 * TOOL / power
    return r * (1 - np.cos(np.arcsin(np.hypot(x, y) / abs(r))))


def turned(points, tilt):
    x, y = tilt
    about_x = np.array([[1, 0, 0], [0, np.cos(x), -np.sin(x)], [0, np.sin(x), np.cos(x)]])
    about_y = np.array([[np.cos(y), 0, np.sin(y)], [0, 1, 0], [-np.sin(y), 0, np.cos(y)]])
    return points @ (about_x @ about_y).T


def rings():
    for number in range(24):
        count = int(RNG.choice([12, 24, 36]))
        at, radii = outline(count)
        x, y = radii * np.cos(at), radii * np.sin(at)
        power = float(RNG.choice([0, 500, 2000, 4000, 5100, 6000, 8000, 10_000, 12_000, -1500, -4000]))
        shift = RNG.uniform(-5000, 5000, 2)
        points = np.column_stack([x, y, on_sphere(x + shift[0], y + shift[1], power)])
        points = turned(points, RNG.uniform(-0.12, 0.12, 2)) + [0, 0, RNG.uniform(-8000, 8000)]
        whole = np.rint(points)
        # What half a micrometre in each depth may be worth.
        worth = abs(fitted(whole)[0] - power)
        assert worth < 2, worth
        case("sphere", [count, *whole.ravel()], [power])
        if number % 2:
            # Off a sphere, as a bevel on a cylinder or a worn frame is.
            whole[:, 2] += np.rint(RNG.uniform(100, 400) * np.cos(2 * at + RNG.uniform(0, 6.28)) + RNG.normal(0, 20, count))
        found = fitted(whole)
        if abs(power) >= 2000:
            other = geometric(whole, power)
            assert abs(abs(found[0]) - other) < 50, (found, other)
        case("curve", [count, *whole.ravel()], found)


def girths():
    for power in (500, 3250, 6000, 6000, 8500, 12_000):
        for count in (36, 100):
            at, radii = outline(count)
            x, y = radii * np.cos(at), radii * np.sin(at)
            radius = int(round(1000 * TOOL / power))
            vertex = np.rint(RNG.uniform(-5000, 5000, 2))
            r = np.hypot(x - vertex[0], y - vertex[1])
            z = radius * (1 - np.cos(np.arcsin(r / radius)))
            space = np.column_stack([x, y, z])
            chords = np.linalg.norm(space - np.roll(space, -1, axis=0), axis=1)
            case("girth", [count, radius, *vertex, *radii], [chords.sum()])


def behinds():
    for _ in range(40):
        power, index = int(RNG.integers(-20, 60)) * 250, int(RNG.choice([14_980, 15_300, 15_860, 16_700]))
        x, y, d = int(RNG.integers(-25_000, 25_000)), int(RNG.integers(-18_000, 18_000)), int(RNG.integers(0, 4000))
        k = (index - 10_000) * 100_000.0
        depth = 0.0 if power == 0 else k / power * (1 - np.cos(np.arcsin(np.hypot(x, y) * abs(power) / k)))
        case("behind", [power, index, x, y, d], [depth + d])


def depth_of(power, index, square):
    if abs(power) < 1e-12:
        return np.zeros_like(square)
    r = (index - 10_000) / 10_000 * 1e6 / power  # micrometres
    return r * (1 - np.cos(np.arcsin(np.sqrt(square) / abs(r))))


def bevel(power, front, index, centre, part, of, x, y):
    n, square = index / 10_000, x * x + y * y
    back = power - front / (1 - centre / 1e6 / n * front)
    s1, s2 = depth_of(front, index, square), depth_of(-back, index, square)
    edge = centre - s1 + s2
    return fitted(np.column_stack([x, y, s1 + edge * part / of])), edge


def bevels():
    at = np.arange(24) * 2 * np.pi / 24
    lenses = [(-400, 400, 14_980, 2000), (-800, 250, 16_700, 1300), (300, 900, 14_980, 5200), (0, 600, 15_860, 2000),
              (-200, 800, 15_300, 2000), (600, 1100, 16_000, 7500)]
    for power, front, index, centre in lenses:
        for part, of in ((1, 3), (1, 2), (0, 1)):
            a, b = RNG.uniform(23e3, 28e3), RNG.uniform(15e3, 19e3)
            x, y = np.rint(a * np.cos(at)), np.rint(b * np.sin(at))
            found, edge = bevel(power / 100, front / 100, index, centre, part, of, x, y)
            assert edge.min() > 500, edge.min()
            places = np.column_stack([x, y]).ravel()
            case("bevel", [power * 10, front * 10, index, centre, part, of, 24, *places], [found[0]])


rings()
girths()
behinds()
bevels()
# The worked case of the console's tests: an ellipse of 50 by 38 mm on its middle, one third before the bevel.
turn = np.arange(360) * 2 * np.pi / 360
print(bevel(-4.0, 4.0, 14_980, 2000, 1, 3, 25e3 * np.cos(turn), 19e3 * np.sin(turn))[0])
print(bevel(-4.0, 4.0, 14_980, 2000, 0, 1, 25e3 * np.cos(turn), 19e3 * np.sin(turn))[0])
print(bevel(-4.0, 4.0, 14_980, 2000, 1, 1, 25e3 * np.cos(turn), 19e3 * np.sin(turn))[0])
with open(f"{sys.argv[1]}/ring.txt", "w") as file:
    file.write("# Written by tests/reference/ring.py; do not edit.\n")
    file.write(f"# python {sys.version.split()[0]}, numpy {np.__version__}, scipy {scipy.__version__}, seed {SEED}\n")
    file.write("\n".join(sorted(LINES, key=lambda line: line.split(" ")[0])) + "\n")
