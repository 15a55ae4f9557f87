"""Reference vectors for the lens as a body, from mpmath, numpy and scipy and from nothing of bevelbook.

    pip install -r tests/reference/requirements.txt
    python tests/reference/lens.py core/tests/vectors

Writes lens_curve.txt, lens_thickness.txt and lens_volume.txt. One case a line: `kind inputs = expected`. Inputs are
integers (1/1000 D, micrometre, 1/1000 degree, index in 1/10,000); expected values are in the same units, volumes in 1/1000
mm³, and not rounded to them.

A toric back surface is not taken from its formula z(x, y): its depth is the root of the equation of the torus, found by
mpmath from the outside of it. Volumes are integrals by scipy over each triangle of a polygon.
"""

import random
import sys

import mpmath as mp
import numpy as np
import scipy
from scipy import integrate
from thin import thinned

SEED = 20240611
mp.mp.dps = 50
rng = random.Random(SEED)
lines = []


def case(kind, inputs, expected, digits=18):
    flat = " ".join(str(value) for value in inputs)
    lines.append(f"{kind} {flat} = " + " ".join(mp.nstr(mp.mpf(value), digits) for value in expected))


def write(name):
    with open(f"{sys.argv[1]}/{name}", "w") as file:
        versions = f"python {sys.version.split()[0]}, mpmath {mp.__version__}, numpy {np.__version__}, "
        versions += f"scipy {scipy.__version__}"
        file.write("# Written by tests/reference/lens.py; do not edit.\n")
        file.write(f"# seed {SEED}; {versions}\n")
        file.write("\n".join(thinned(lines)) + "\n")
    lines.clear()


def index():
    return rng.choice([14_980, 15_230, 15_300, 15_860, 16_000, 16_700, 17_400, rng.randint(13_000, 20_000)])


def power(limit=20_000):
    step = rng.choice([125, 250, 1])
    return rng.randint(-limit // step, limit // step) * step


# ---- curves. Lengths in metres and powers in dioptres within mpmath.

def radius(milli, n):
    return mp.mpf(n - 10_000) / 10_000 / (mp.mpf(milli) / 1000)


def curves():
    for _ in range(400):
        p, n = power() or 125, index()
        case("radius", (p, n), [radius(p, n) * 10**6])
        r = rng.choice([1, -1]) * rng.randint(12_000, 2_000_000)
        case("power", (r, n), [mp.mpf(n - 10_000) / 10 / (mp.mpf(r) / 10**6)])
        clock = rng.choice([15_230, 15_300])
        case("clock", (p, clock, n), [mp.mpf(p) * (n - 10_000) / (clock - 10_000)])
        r = radius(p, n)
        y = rng.randint(0, int(min(abs(r) * 10**6, 50_000)))
        exact = mp.mpf(y) / 10**6
        # The angle of the radius to the place, by its arc sine: s = r·(1 − cos).
        depth = r * (1 - mp.cos(mp.asin(exact / r)))
        case("sagitta", (p, n, y), [depth * 10**6])
        whole = rng.choice([1, -1]) * rng.randint(20_000, 1_000_000)
        y = rng.randint(0, min(abs(whole), 60_000))
        depth = whole * (1 - mp.cos(mp.asin(mp.mpf(y) / abs(whole))))
        case("sagitta_of_radius", (whole, y), [depth])


# ---- lenses

def back_powers(l, t):
    """The back surface in the meridian of the axis and across, by carrying the vergence through the lens."""
    s, c, _, front, n = l
    inside = n / mp.mpf(10_000) / (mp.mpf(front) / 1000) - mp.mpf(t) / 10**6 if front else None
    arriving = (n / mp.mpf(10_000)) / inside if front else mp.mpf(0)
    return mp.mpf(s) / 1000 - arriving, mp.mpf(s + c) / 1000 - arriving


def sphere_depth(r, square):
    """Depth by the arc sine, r None for flat."""
    if r is None:
        return mp.mpf(0)
    return r * (1 - mp.cos(mp.asin(mp.sqrt(square) / abs(r))))


def toric_depth(r_along, r_across, u, w, form):
    """The root of the torus equation nearest the vertex; radii positive toward the eye, None for flat."""
    steep = lambda r: mp.mpf(0) if r is None else abs(1 / r)
    along_is_steeper = steep(r_along) > steep(r_across)
    if along_is_steeper == (form == "tyre"):
        arc, turning = (r_along, u), (r_across, w)
    else:
        arc, turning = (r_across, w), (r_along, u)
    (a, p), (R, q) = arc, turning
    if R is None:
        return sphere_depth(a, p * p)
    if a is None:
        return sphere_depth(R, q * q)

    # The arc lies in a circle of radius |a| about the distance |R − a| from the axis of turning, which lies R deep.
    def torus(z):
        from_axis = mp.sqrt((z - R) ** 2 + q * q)
        return (from_axis * mp.sign(R) - (R - a)) ** 2 + p * p - a * a

    start = (p * p / a + q * q / R) / 2
    z = mp.findroot(torus, (start, start * mp.mpf("1.01") + mp.mpf("1e-9")), tol=1e-70, maxsteps=200)
    assert abs(torus(z)) < mp.mpf("1e-40")
    return z


def thickness(l, t, x, y, form):
    s, c, axis, front, n = l
    x, y = mp.mpf(x) / 10**6, mp.mpf(y) / 10**6
    a = mp.radians(mp.mpf(axis) / 1000)
    turned = mp.mpc(x, y) * mp.expj(-a)
    back = [None if abs(p) < mp.mpf("1e-30") else -(mp.mpf(n - 10_000) / 10_000) / p for p in back_powers(l, t)]
    front_depth = sphere_depth(radius(front, n) if front else None, x * x + y * y)
    if c == 0:
        back_depth = sphere_depth(back[0], x * x + y * y)
    else:
        back_depth = toric_depth(*back, turned.real, turned.imag, form)
    return (mp.mpf(t) / 10**6 - front_depth + back_depth) * 10**6


def lens(strong=12_000):
    """A lens with a front surface that such a lens may have."""
    s = rng.randint(-strong // 250, strong // 250) * 250
    c = rng.choice([0, rng.randint(-24, 24) * 250, rng.randint(-6000, 6000)])
    axis = 1000 * rng.randint(1, 180) if rng.random() < 0.8 else rng.randint(1, 180_000)
    front = max(0, rng.choice([(s + c // 2) // 2 + 6000, 500 * rng.randint(0, 20)]))
    return (s, c, axis if c else 180_000, front, index())


def reaches(l, t, distance):
    """Whether both surfaces go well beyond the distance."""
    _, _, _, front, n = l
    strongest = max(abs(mp.mpf(front) / 1000), *(abs(p) for p in back_powers(l, t)))
    return mp.mpf(n - 10_000) / 10_000 / strongest > mp.mpf(distance) / 10**6 * mp.mpf("1.05")


def thicknesses():
    done = 0
    while done < 1200:
        l, form = lens(20_000 if done % 5 == 0 else 12_000), rng.choice(["tyre", "barrel"])
        t = rng.randint(800, 9000)
        x, y = rng.randint(-38_000, 38_000), rng.randint(-30_000, 30_000)
        if not reaches(l, t, np.hypot(x, y)):
            continue
        done += 1
        case(f"thickness_{form}", (*l, t, x, y), [thickness(l, t, x, y, form)])
        case("back", (*l, t), [p * 1000 for p in back_powers(l, t)])
    done = 0
    while done < 300:
        l, form = lens(), rng.choice(["tyre", "barrel"])
        x, y = rng.randint(-32_000, 32_000), rng.randint(-25_000, 25_000)
        edge = rng.randint(800, 9000)
        if not reaches(l, 20_000, np.hypot(x, y)) or not reaches(l, 0, np.hypot(x, y)):
            continue
        excess = lambda t: thickness(l, t, x, y, form) - edge
        if excess(200) > 0 or excess(20_000) < 0:
            continue
        centre = mp.findroot(excess, (200, 20_000), solver="anderson", tol=1e-25)
        done += 1
        case(f"centre_{form}", (*l, edge, x, y), [centre])


# ---- volumes

def depth_f64(bending, k, square):
    return bending * square / (k + np.sqrt(k * k - bending * bending * square))


def thickness_f64(l, t, form):
    """Thickness in mm at places in mm, for the integrals; checked against mpmath above where they are used."""
    s, c, axis, front, n = l
    k = (n - 10_000) / 10.0
    along, across = (-float(p) for p in back_powers(l, t))
    a = np.deg2rad(axis / 1000)

    def at(x, y):
        u, w = x * np.cos(a) + y * np.sin(a), y * np.cos(a) - x * np.sin(a)
        arc, turning, p, q = along, across, u, w
        if (abs(along) > abs(across)) != (form == "tyre"):
            arc, turning, p, q = across, along, w, u
        first = depth_f64(arc, k, p * p)
        back = first + depth_f64(turning, k - turning * first, q * q)
        return t / 1000 - depth_f64(front / 1000, k, x * x + y * y) + back

    return at


def outline(points):
    """A rounded shape about a decentred optical centre, anticlockwise."""
    a, b = rng.uniform(20, 28), rng.uniform(14, 24)
    lift, tilt = rng.uniform(-0.06, 0.06), rng.uniform(-0.05, 0.05)
    cx, cy = rng.uniform(-6, 6), rng.uniform(-4, 4)
    angles = 2 * np.pi * np.arange(points) / points
    shape = 1 + lift * np.cos(3 * angles + 1) + tilt * np.sin(2 * angles)
    x, y = a * shape * np.cos(angles) - cx, b * shape * np.sin(angles) - cy
    return [(int(px), int(py)) for px, py in zip(np.rint(x * 1000), np.rint(y * 1000))]


def volume(at, places):
    total = 0.0
    for (x0, y0), (x1, y1) in zip(places, places[1:] + places[:1]):
        x0, y0, x1, y1 = (value / 1000 for value in (x0, y0, x1, y1))
        cross = x0 * y1 - y0 * x1

        # The triangle with the optical centre: along the ray by the distance itself, unlike the code under test.
        def strip(v, u):
            return u * at(u * (x0 + v * (x1 - x0)), u * (y0 + v * (y1 - y0)))

        part, _ = integrate.dblquad(strip, 0, 1, 0, 1, epsabs=1e-10, epsrel=1e-10)
        total += cross * part
    return total


def volumes():
    done = 0
    while done < 30:
        l, form = lens(10_000), rng.choice(["tyre", "barrel"])
        t = rng.randint(1500, 9000)
        places = outline(rng.choice([8, 12, 36, 36, 72]))
        if not reaches(l, t, max(np.hypot(x, y) for x, y in places)):
            continue
        at = thickness_f64(l, t, form)
        if min(at(x / 1000, y / 1000) for x, y in places) < 0.3:
            continue
        for x, y in places[:4]:
            assert abs(at(x / 1000, y / 1000) - thickness(l, t, x, y, form) / 1000) < 1e-9
        done += 1
        flat = [value for place in places for value in place]
        case(f"volume_{form}", (*l, t, len(places), *flat), [volume(at, places) * 1000], 12)


curves()
write("lens_curve.txt")
thicknesses()
write("lens_thickness.txt")
volumes()
write("lens_volume.txt")
