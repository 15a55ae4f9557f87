"""Reference vectors for the thickness of a planned lens with prism: core/tests/vectors/plan_wedge.txt.

    pip install -r tests/reference/requirements.txt
    python tests/reference/wedge_plan.py core/tests/vectors

One job a line, in words as it is ordered: material, DBL, monocular PDs and heights in 1/100 mm, for each eye the
prescription, front curve and centre thickness; then the radii of the right shape in 1/100 mm, from 0 degrees, of which
the left one is the mirror. Behind ` = ` stand the thickest and the thinnest edge of each eye in mm. The lens is that of
`wedge.py`; its dot is laid into the box of the points by numpy.
"""

import random
import sys

import numpy as np
import wedge

SEED = 20261129
rng = random.Random(SEED)
JOBS = 60
POINTS = 48
MATERIALS = {"cr39": 14_980, "polycarbonate": 15_860, "i160": 16_000, "i167": 16_700, "i174": 17_400}


def shape():
    """Whole 1/100 mm, right eye."""
    at = 2 * np.pi * np.arange(POINTS) / POINTS
    a, b, power = rng.uniform(2200, 2650), rng.uniform(1500, 2200), rng.uniform(2.0, 2.8)
    radii = (abs(np.cos(at) / a) ** power + abs(np.sin(at) / b) ** power) ** (-1 / power)
    for order in range(1, 5):
        radii = radii * (1 + rng.uniform(-0.03, 0.03) / order**2 * np.cos(order * at + rng.uniform(0, 6.28)))
    return np.rint(radii).astype(int)


def points(radii, right):
    at = 2 * np.pi * np.arange(POINTS) / POINTS
    x = radii * np.cos(at) * (1 if right else -1)
    return np.column_stack([x, radii * np.sin(at)]) / 100


def prescription():
    """Sphere, cylinder, axis, base to the viewer's right and up for a right eye, in 1/1000, and in words."""
    s, c, axis = rng.randint(-48, 40) * 250, rng.choice([0, rng.randint(-16, 16) * 250]), rng.randint(1, 180)
    inward, up = rng.choice([0, rng.randint(-28, 28) * 250]), rng.choice([0, rng.randint(-28, 28) * 250])
    words = f"{s / 1000:+.2f}" if s else "pl"
    words += f" {c / 1000:+.2f} x {axis}" if c else " DS"
    if inward or up:
        words += " prism"
        words += f" {abs(inward) / 1000:.2f} {'in' if inward > 0 else 'out'}" if inward else ""
        words += f" {abs(up) / 1000:.2f} {'up' if up > 0 else 'down'}" if up else ""
    return (s, c, 1000 * axis, inward, up), words.replace("pl DS", "pl")


def edges(lens, index, front, centre, radii, right, dbl, pd, height):
    s, c, axis, inward, up = lens
    nasal = 1 if right else -1
    made = (s, c, axis, nasal * inward, up, front, index)
    places = points(radii, right)
    low, high = places.min(axis=0), places.max(axis=0)
    size, middle = high - low, (low + high) / 2
    dot = middle + [nasal * ((size[0] + dbl / 100) / 2 - pd / 100), height / 100 - size[1] / 2]
    away = places - dot
    if not wedge.reaches(wedge.parts(made, centre, "tyre"), np.hypot(*away.T).max() / 1000):
        return None
    at = wedge.quick(made, centre, "tyre")
    thick = [at(x, y) for x, y in away]
    return max(thick), min(thick)


def main():
    lines = []
    while len(lines) < JOBS:
        material, radii, dbl = rng.choice(sorted(MATERIALS)), shape(), 50 * rng.randint(28, 40)
        words, results = [], []
        places = [50 * rng.randint(56, 66) for _ in range(2)], [50 * rng.randint(32, 44) for _ in range(2)]
        for eye, (pd, height) in enumerate(zip(*places)):
            lens, rx = prescription()
            m = lens[0] + lens[1] / 2
            front = max(500, 250 * round((6000 + (m if m > 0 else m / 2)) / 250))
            centre = 100 * rng.randint(15, 90)
            result = edges(lens, MATERIALS[material], front, centre, radii, eye == 0, dbl, pd, height)
            if result is None or result[1] < 0.3:
                break
            words.append(f"{rx};{front / 1000:.2f};{centre / 1000:.1f}")
            results += [f"{value:.5f}" for value in result]
        else:
            (r, l), (hr, hl) = places
            order = f"{material};{dbl};{r};{l};{hr};{hl};{';'.join(words)};{' '.join(map(str, radii))}"
            lines.append(f"{order} = {' '.join(results)}")
    with open(f"{sys.argv[1]}/plan_wedge.txt", "w", encoding="ascii") as file:
        file.write("# Written by tests/reference/wedge_plan.py; do not edit.\n")
        file.write(f"# seed {SEED}; numpy {np.__version__}\n")
        file.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
