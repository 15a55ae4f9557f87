"""Writes the reference vectors of lenses with segments: core/tests/vectors/segments.txt.

    pip install -r tests/reference/requirements.txt
    python3.11 tests/reference/segments.py core/tests/vectors/segments.txt

Every number comes from numpy or shapely in double precision, none from bevelbook. A blank is a disc with a segment drawn
on it; it is laid onto the traced shape with the middle of the segment's top where the near pupil and the height say, and
what then lies where is looked up. Prism is -F r with power matrices (Long 1976). One case a line, as JSON: what is
ordered, the shop's settings, and what is expected; millimetres and prism dioptres.
"""

import json
import math
import sys

import numpy as np
from shapely import hausdorff_distance
from shapely.affinity import translate
from shapely.geometry import Point, Polygon, box

RNG = np.random.default_rng(20261128)
CASES = 24
BELOW = 300.0


def drawn(low, high, step):
    return round(float(RNG.integers(round(low / step), round(high / step) + 1)) * step, 3)


def radii():
    """A lens-like shape of 72 radii in 1/100 mm, as one faces the wearer, for an eye whose nose is at the right."""
    at = np.arange(72) * 2 * math.pi / 72
    a, b, power = RNG.uniform(23, 28), RNG.uniform(16, 22), RNG.uniform(2.0, 3.0)
    shape = (abs(np.cos(at) / a) ** power + abs(np.sin(at) / b) ** power) ** (-1 / power)
    # Cut away low at the nose, 315 degrees.
    shape *= 1 - 0.06 * np.exp(-(((np.degrees(at) - 315) / 25) ** 2))
    return [int(r) for r in np.rint(shape * 100)]


def outline(values):
    at = np.arange(len(values)) * 2 * math.pi / len(values)
    return Polygon(np.column_stack([np.array(values) / 100 * np.cos(at), np.array(values) / 100 * np.sin(at)]))


def matrix(power):
    sphere, cylinder, axis = power
    a = math.radians(axis)
    across = np.array([-math.sin(a), math.cos(a)])
    return sphere * np.eye(2) + cylinder * np.outer(across, across)


def power():
    return [drawn(-6, 4, 0.25), drawn(-3, 0, 0.25), int(RNG.integers(1, 181))]


def text(p, add):
    sphere, cylinder, axis = p
    lens = f"{sphere:+.2f}" + (f" {cylinder:+.2f} x {axis}" if cylinder else "")
    return f"{lens} add {add:+.2f}"


def blank_of(segment, width, table, nose):
    """A segment on its blank, about the blank's middle: its outline, the middle of its top, the two optical centres."""
    top = np.array([nose * table["in"], -table["top_below"]])
    own = top - np.array([0, table["own_centre_below"]])
    if segment == "full width":
        shape = box(-BELOW, -BELOW, BELOW, float(top[1]))
    else:
        disc = Point(*own).buffer(width / 2, quad_segs=4096)
        shape = disc.intersection(box(-BELOW, -BELOW, BELOW, float(top[1])))
    return shape, top, np.array([nose * table["centre_in"], table["centre_up"]]), own


def eye_of(case, side, lens, segment, width, table, add, below, level):
    nose = 1 if side == "right" else -1
    shape = outline(case[side]["radii"])
    x0, y0, x1, y1 = shape.bounds
    centre = np.array([(x0 + x1) / 2, (y0 + y1) / 2])
    # The pupils, from the middle of the bridge.
    bridge = centre[0] + nose * ((x1 - x0) / 2 + case["dbl"] / 2)
    far, near = (bridge - nose * case[side][which] for which in ("pd", "near_pd"))
    held = far if segment == "full width" else near
    target = np.array([held, y0 + case[side]["height"]])
    segment_shape, top, distance, own = blank_of(segment, width, table, nose)
    move = target - top
    middle, distance, own = (place + move for place in (np.zeros(2), distance, own))
    held_shape = translate(segment_shape, *move)
    at_pd = np.array([far, centre[1] + level])
    reading = np.array([near, distance[1] - below])
    if held_shape.boundary.distance(Point(*reading)) < 0.05:
        raise ValueError("too near to the edge of the segment to tell")

    def prism(f, place, about):
        p = -f @ (place - about) / 10
        return [nose * p[0], p[1]]

    def seen(place):
        return [nose * (place[0] - centre[0]), place[1] - centre[1]]

    f = matrix(lens)
    through = held_shape.contains(Point(*reading))
    of_segment = prism(add * np.eye(2), reading, own) if through else None
    total = np.array(prism(f, reading, distance)) + np.array(of_segment or [0, 0])
    return {
        "drop": seen(target)[1],
        "from_box": seen(target)[0],
        "middle": seen(middle),
        "distance_centre": seen(distance),
        "of_shape": 2 * hausdorff_distance(Point(*middle), shape),
        "at_pd": prism(f, at_pd, distance),
        "of_segment": of_segment,
        "reading": list(total),
        "jump": add * float(np.hypot(*(target - own))) / 10,
    }


def level_of(case, lenses, table):
    """How high above the boxed centre the optical centre lies of the lens that is the stronger one upright."""
    side = max(("right", "left"), key=lambda side: abs(matrix(lenses[side])[1, 1]))
    bounds = outline(case[side]["radii"]).bounds
    return bounds[1] + case[side]["height"] + table["top_below"] + table["centre_up"] - (bounds[1] + bounds[3]) / 2


def one(number):
    segment = ["flat top", "round", "full width"][number % 3]
    width = {"flat top": drawn(25, 40, 1), "round": drawn(22, 38, 1), "full width": None}[segment]
    table = {"top_below": drawn(-2, 6, 0.5), "in": drawn(0, 3, 0.5), "centre_in": drawn(-1, 1, 0.25), "centre_up": drawn(-2, 2, 0.5)}
    if segment == "full width":
        table["in"] = 0.0
    table["own_centre_below"] = {"flat top": drawn(4, 6, 0.5), "round": (width or 0) / 2, "full width": 0.0}[segment]
    add, below = drawn(1, 3, 0.25), drawn(3, 12, 0.5)
    right = radii()
    # The left shape is the mirror of the right one.
    left = [right[(36 - at) % 72] for at in range(72)]
    case = {"dbl": drawn(15, 20, 0.5)}
    for side, shape in (("right", right), ("left", left)):
        pd = drawn(29, 33, 0.5)
        heights = outline(shape).bounds
        height = drawn(0.3 * (heights[3] - heights[1]), 0.55 * (heights[3] - heights[1]), 0.5)
        case[side] = {"radii": shape, "pd": pd, "near_pd": pd - drawn(0.5, 2.5, 0.5), "height": height}
    lenses = {side: power() for side in ("right", "left")}
    level = level_of(case, lenses, table)
    for side, lens in lenses.items():
        case[side]["ordered"] = text(lens, add)
        case[side]["expected"] = eye_of(case, side, lens, segment, width, table, add, below, level)
    found = [case[side]["expected"] for side in ("right", "left")]
    case["pair"] = {
        at: [found[0][at][0] + found[1][at][0], found[0][at][1] - found[1][at][1]] for at in ("at_pd", "reading")
    }
    case["segment"] = segment if width is None else f"{segment} {width:g}"
    kept = [name for name in table if name != "own_centre_below" or segment == "flat top"]
    name = segment.replace(" ", "_")
    case["settings"] = "\n".join([f"[segment.{name}]", *[f"{key} = {table[key]}" for key in kept], "[reading]", f"below = {below}", ""])
    return case


def rounded(value):
    if isinstance(value, float):
        return round(value, 6)
    if isinstance(value, dict):
        return {key: rounded(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [rounded(float(inner)) if isinstance(inner, np.floating) else rounded(inner) for inner in value]
    return float(round(value, 6)) if isinstance(value, np.floating) else value


def main():
    lines, number = [], 0
    while len(lines) < CASES:
        try:
            lines.append(json.dumps(rounded(one(number))))
        except ValueError:
            continue
        finally:
            number += 1
    with open(sys.argv[1], "w", encoding="utf-8") as out:
        out.write("# Written by tests/reference/segments.py: millimetres, prism dioptres.\n")
        out.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
