"""Reference vectors for a lens with prism as it is ground, from mpmath and scipy and from nothing of bevelbook.

    pip install -r tests/reference/requirements.txt
    python tests/reference/wedge.py core/tests/vectors

Writes lens_wedge.txt. One case a line: `kind inputs = expected`. Inputs are integers (1/1000 D, 1/1000 prism dioptre to
the viewer's right and up, 1/10,000 of an index, micrometre, 1/1000 degree); expected values are micrometres, volumes
1/1000 mm³, not rounded.

Nothing here is a formula of the lens. The tilt is the one with which a ray along the axis through the dot, refracted by
vectors at the back surface, is deviated by the prism. A surface is the set of points that keep to its equation in its own
axes, a sphere or a torus, which are turned by a rotation matrix; a place of it is where a line parallel to the axis meets
it, found by mpmath. The volume is an integral by scipy of that thickness over each triangle of a polygon.
"""

import random
import sys

import mpmath as mp
import numpy as np
import scipy
from scipy import integrate
from scipy.optimize import brentq
from thin import thinned

SEED = 20261128
mp.mp.dps = 40
rng = random.Random(SEED)
lines = []

CASES = 2000
VOLUMES = 40


def case(kind, inputs, expected, digits=18):
    flat = " ".join(str(value) for value in inputs)
    lines.append(f"{kind} {flat} = " + mp.nstr(mp.mpf(expected), digits))


def refracted(ray, normal, n):
    """A unit ray out of a material of index n through a surface with a unit normal along the ray."""
    cosine = mp.fdot(ray, normal)
    out = mp.sqrt(1 - n * n * (1 - cosine**2))
    return [n * r + (out - n * cosine) * m for r, m in zip(ray, normal)]


def tilt(p, q, n):
    """The angle by which the back is turned, and the direction of the base."""
    size = mp.hypot(p, q) / mp.mpf(100_000)
    if size == 0:
        return mp.mpf(0), (mp.mpf(1), mp.mpf(0))

    def short(angle):
        # The axis of the back leans away from the base, which is taken to lie along x; the ray goes along z.
        x, _, z = refracted((0, 0, 1), (-mp.sin(angle), 0, mp.cos(angle)), n)
        return x / z - size

    angle = mp.findroot(short, (size / n, size / (n - 1)), tol=1e-60)
    return angle, (p / (size * 100_000), q / (size * 100_000))


def rotation(angle, base):
    """Columns are the axes of the back surface: turned about the line across the base, so that its axis leans away."""
    k = mp.matrix([base[1], -base[0], 0])
    cross = mp.matrix([[0, -k[2], k[1]], [k[2], 0, -k[0]], [-k[1], k[0], 0]])
    return mp.eye(3) + mp.sin(angle) * cross + (1 - mp.cos(angle)) * cross * cross


class Back:
    """A toric surface of two radii in metres, positive toward the eye, infinite for flat, in its own axes."""

    def __init__(self, along, across, axis, form):
        steep = lambda r: 1 / abs(r)
        self.axis = mp.radians(mp.mpf(axis) / 1000)
        self.arc_along = (steep(along) > steep(across)) == (form == "tyre")
        self.arc, self.turning = (along, across) if self.arc_along else (across, along)

    def off(self, x, y, z):
        """Zero on the surface; of a size with the distance from it, near it."""
        turned = mp.mpc(x, y) * mp.expj(-self.axis)
        p, q = (turned.real, turned.imag) if self.arc_along else (turned.imag, turned.real)
        a, R = self.arc, self.turning
        # The arc lies in the plane of the axis of turning; how far a point lies below the level of the vertex there.
        below = z if mp.isinf(R) else R - mp.sign(R) * mp.hypot(z - R, q)
        return below if mp.isinf(a) else (p * p + below * below) / (2 * a) - below

    def depth(self, x, y, turn):
        """How deep the turned surface is met by the line through (x, y), near its vertex."""

        def short(z):
            own = turn.T * mp.matrix([x, y, z])
            return self.off(*own)

        # The first crossing on either side of its tangent plane.
        plane = -turn[0, 2] / turn[2, 2] * x - turn[1, 2] / turn[2, 2] * y
        step, far = mp.mpf("0.0004"), 0
        ends = {side: (plane, short(plane)) for side in (1, -1)}
        while True:
            far += 1
            for side, (at, value) in ends.items():
                ends[side] = (plane + side * far * step, short(plane + side * far * step))
                if value * ends[side][1] <= 0:
                    z = mp.findroot(short, (at, ends[side][0]), solver="anderson", tol=1e-60)
                    break
            else:
                continue
            break
        own = turn.T * mp.matrix([x, y, z])
        # The part of the surface on the near side of its centres.
        for r in (self.arc, self.turning):
            assert mp.isinf(r) or abs(own[2]) < abs(r) or own[2] * r < 0
        return z


def parts(l, t, form):
    """The front radius, the back surface and its rotation; metres."""
    s, c, axis, p, q, front, n = l
    n = mp.mpf(n) / 10_000
    f = mp.mpf(front) / 1000
    arriving = f / (1 - mp.mpf(t) / 10**6 / n * f)
    radius = lambda power: (n - 1) / power if power else mp.inf
    along, across = (-radius(mp.mpf(power) / 1000 - arriving) for power in (s, s + c))
    return radius(f), Back(along, across, axis, form), rotation(*tilt(mp.mpf(p), mp.mpf(q), n))


def thickness(made, t, x, y):
    radius, back, turn = made
    x, y = mp.mpf(x) / 10**6, mp.mpf(y) / 10**6
    front = radius * (1 - mp.cos(mp.asin(mp.hypot(x, y) / radius))) if not mp.isinf(radius) else 0
    return mp.mpf(t) - (front - back.depth(x, y, turn)) * 10**6


def lens():
    """As they are ordered: -12 to +10, cylinders to 6, prism to 10 in any direction, a front of the usual rule."""
    s = rng.randint(-48, 40) * 250
    c = rng.choice([0, rng.randint(-24, 24) * 250, rng.randint(-6000, 6000)])
    axis = 1000 * rng.randint(1, 180) if rng.random() < 0.8 else rng.randint(1, 180_000)
    if rng.random() < 0.7:
        p, q = rng.randint(-40, 40) * 250, rng.randint(-40, 40) * 250
    else:
        p, q = rng.randint(-10_000, 10_000), rng.randint(-10_000, 10_000)
    m = s + c / 2
    front = max(500, round(6000 + (m if m > 0 else m / 2)))
    index = rng.choice([14_980, 15_230, 15_300, 15_860, 16_000, 16_700, 17_400, rng.randint(14_500, 19_000)])
    return (s, c, axis if c else 180_000, p, q, front, index)


def reaches(made, distance):
    """Whether both surfaces go well beyond the distance."""
    radius, back, _ = made
    return min(radius, abs(back.arc), abs(back.turning)) > distance * mp.mpf("1.15")


def thicknesses():
    done = 0
    while done < CASES:
        l, t, form = lens(), rng.randint(800, 9000), rng.choice(["tyre", "barrel"])
        x, y = rng.randint(-34_000, 34_000), rng.randint(-28_000, 28_000)
        made = parts(l, t, form)
        if not reaches(made, np.hypot(x, y) / 1e6):
            continue
        done += 1
        kind = f"wedge_{form}" if l[1] else "wedge_sphere"
        case(kind, (*l, t, x, y), thickness(made, t, x, y))


# ---- volumes

def quick(l, t, form):
    """Thickness in mm at places in mm, by doubles; checked against mpmath where it is used."""
    radius, back, turn = parts(l, t, form)
    turn = np.array(turn.tolist(), dtype=float)
    front, a, R = (float(r) * 1000 for r in (radius, back.arc, back.turning))
    cos, sin = np.cos(float(back.axis)), np.sin(float(back.axis))

    def at(x, y):
        def short(z):
            own = turn.T @ np.array([x, y, z])
            p, q = own[0] * cos + own[1] * sin, own[1] * cos - own[0] * sin
            p, q = (p, q) if back.arc_along else (q, p)
            below = R - np.sign(R) * np.hypot(own[2] - R, q)
            return (p * p + below * below) / (2 * a) - below

        reach = min(abs(a), abs(R)) * 0.7
        z = brentq(short, -reach, reach, xtol=1e-12, rtol=1e-15)
        return t / 1000 - (front - np.sqrt(front * front - x * x - y * y)) + z

    return at


def outline(points):
    """A rounded shape about a decentred dot, anticlockwise."""
    a, b = rng.uniform(20, 27), rng.uniform(14, 22)
    cx, cy = rng.uniform(-6, 6), rng.uniform(-4, 4)
    at = 2 * np.pi * np.arange(points) / points
    shape = 1 + rng.uniform(-0.06, 0.06) * np.cos(3 * at + 1) + rng.uniform(-0.05, 0.05) * np.sin(2 * at)
    x, y = a * shape * np.cos(at) - cx, b * shape * np.sin(at) - cy
    return [(int(px), int(py)) for px, py in zip(np.rint(x * 1000), np.rint(y * 1000))]


def volume(at, places):
    total = 0.0
    for (x0, y0), (x1, y1) in zip(places, places[1:] + places[:1]):
        x0, y0, x1, y1 = (value / 1000 for value in (x0, y0, x1, y1))

        def strip(v, u):
            return u * at(u * (x0 + v * (x1 - x0)), u * (y0 + v * (y1 - y0)))

        part, _ = integrate.dblquad(strip, 0, 1, 0, 1, epsabs=1e-8, epsrel=1e-8)
        total += (x0 * y1 - y0 * x1) * part
    return total


def volumes():
    done = 0
    while done < VOLUMES:
        l, t, form = lens(), rng.randint(2500, 9000), rng.choice(["tyre", "barrel"])
        places = outline(rng.choice([12, 24]))
        made = parts(l, t, form)
        if not reaches(made, 1.3 * max(np.hypot(x, y) for x, y in places) / 1e6):
            continue
        at = quick(l, t, form)
        if min(at(x / 1000, y / 1000) for x, y in places) < 0.3:
            continue
        for x, y in places[:4]:
            assert abs(at(x / 1000, y / 1000) - thickness(made, t, x, y) / 1000) < 1e-9
        done += 1
        flat = [value for place in places for value in place]
        case(f"volume_wedge_{form}", (*l, t, len(places), *flat), volume(at, places) * 1000, 12)


def main():
    thicknesses()
    volumes()
    with open(f"{sys.argv[1]}/lens_wedge.txt", "w", encoding="ascii") as file:
        file.write("# Written by tests/reference/wedge.py; do not edit.\n")
        file.write(f"# seed {SEED}; python {sys.version.split()[0]}, mpmath {mp.__version__}, ")
        file.write(f"numpy {np.__version__}, scipy {scipy.__version__}\n")
        file.write("\n".join(thinned(lines)) + "\n")


if __name__ == "__main__":
    main()
