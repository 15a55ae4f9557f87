"""Reference vectors for what passes tell of where lenses fit, from numpy and scipy and from nothing of bevelbook:
console/belief/tests/vectors/belief.txt.

    pip install -r tests/reference/requirements.txt
    python3.11 tests/reference/belief.py console/belief/tests/vectors/belief.txt

One case a line: `kind inputs = expected`, in millimetres of diameter.

- `fit n low high ... = mean deviation`: n intervals, and the normal distribution by which they are most probable, by
  scipy's maximum likelihood of censored data. An end that is open is written as 99.
- `pairs m begun begun n low high low high ... = mean deviation evidence below ... second ...`: a prior N(m, 0.2^2) of the mean of
  a model, ten spreads of frame and rim, n pairs of intervals: mean and deviation of the model's mean, the logarithm of how
  probable the pairs were, how probable the next lens fits below the sizes AT, and the second lens of a frame whose first one
  fits between the two that begin. Rectangles of the two-dimensional normal distribution by scipy, where the code under test sums cells.
- `hand touch spread misrecorded m n (much touch low high) x 2 ... = mean deviation evidence below ...`: the same with a hand
  that has its own threshold for each lens and now and then records something wrongly: the least size felt as much too big
  (99 where there was none), the largest felt as a touch (-99), and between which sizes it fits by itself. Cells a twentieth of those
  of the code under test, with splines as blurs.
- `drift n (model fresh at variance) ... = (offset deviation) ...`: the textbook Kalman filter over offset, growth and all models at
  once, matrices written out; an observation off by more than three deviations has its variance raised.
- `stations m n (model one other fresh at variance) ... = (offset deviation of each station) ...`: the same of m stations; the two
  lenses of a pair are cut at `one` and `other`, and `fresh` is the station that was renewed before it, from 1, or 0. What another
  station's sizes have beside those of the first is constant.
"""

import sys

import numpy as np
import scipy
from scipy.ndimage import gaussian_filter1d
from scipy.stats import CensoredData, multivariate_normal, norm

SEED = 20261128
RNG = np.random.default_rng(SEED)
LINES = []
AT = np.array([-0.2, 0.0, 0.1, 0.2, 0.3, 0.5])
OPEN = 99.0
# Frame, rim, share; as stated in the code under test.
SPREADS = [
    (0.0, 0.02, 0.08), (0.0, 0.03, 0.15), (0.0, 0.045, 0.2), (0.0, 0.065, 0.15), (0.0, 0.1, 0.07),
    (0.05, 0.02, 0.05), (0.05, 0.03, 0.1), (0.05, 0.045, 0.1), (0.05, 0.065, 0.06), (0.05, 0.1, 0.04),
]
# Frames of another kind than their model says: how many beside all others, and how far they lie from it.
STRAY, APART = 0.01, 0.25


def case(kind, inputs, expected):
    LINES.append(f"{kind} " + " ".join(f"{v:.10g}" for v in inputs) + " = " + " ".join(f"{v:.12g}" for v in expected))


def bracket(fits, step):
    """Sizes on a dial of `step` between which a lens is found to fit; now and then only by the window of fit, 0.15."""
    low = np.floor(fits / step) * step
    if RNG.uniform() < 0.2:
        return round(low, 4), round(low + 0.15, 4)
    return round(low, 4), round(low + step, 4)


def fit():
    deviation, count = RNG.uniform(0.04, 0.15), int(RNG.integers(15, 60))
    fits = RNG.normal(RNG.uniform(-0.2, 0.4), deviation, count)
    found = [bracket(at, [0.05, 0.1, 0.15][int(RNG.integers(3))]) for at in fits]
    # Some lenses were left while they were still too big, and some became loose.
    found = [(-OPEN, high) if RNG.uniform() < 0.1 else (low, high) for low, high in found]
    found = [(low, OPEN) if low > -OPEN and RNG.uniform() < 0.1 else (low, high) for low, high in found]
    ends = np.array([[-np.inf if low == -OPEN else low, np.inf if high == OPEN else high] for low, high in found])
    case("fit", [count, *np.ravel(found)], norm.fit(CensoredData(interval=ends)))


MEANS = np.linspace(-1.4, 1.6, 6001)


def weighed(middle, likelihoods):
    """Of what pairs are by mean and spread: weights that sum to 1 for each spread, and the logarithm of their sum."""
    prior = norm.pdf(MEANS, middle, 0.2) * (MEANS[1] - MEANS[0])
    joint = np.array([share * prior * likely for (_, _, share), likely in zip(SPREADS, likelihoods)])
    return joint / joint.sum(), np.log(joint.sum())


def summary(joint, evidence, begun=None):
    of_mean = joint.sum(axis=0)
    mean = (of_mean * MEANS).sum()
    deviation = np.sqrt((of_mean * (MEANS - mean) ** 2).sum())
    below = [
        sum((row * norm.cdf(at, MEANS, np.hypot(frame, rim))).sum() for row, (frame, rim, _) in zip(joint, SPREADS))
        for at in AT
    ]
    out = [mean, deviation, evidence, *below]
    if begun:
        first = begun_rectangles(begun, OPEN)
        all_of_it = sum((row * likely).sum() for row, likely in zip(joint, first))
        for at in AT:
            both = begun_rectangles(begun, at)
            out.append(sum((row * likely).sum() for row, likely in zip(joint, both)) / all_of_it)
    return out


def begun_rectangles(begun, at):
    """How probable a first lens in a bracket and a second one below a size are: of a frame as its model is, or of another kind."""
    pair = (begun, (-OPEN, at))
    return rectangles(pair) + STRAY * rectangles(pair, APART)


def rectangles(pair, apart=None):
    """How probable both brackets are, for each spread, by the model's mean; of frames so far apart where that is given."""
    found = []
    for spread, rim, _ in SPREADS:
        frame = spread if apart is None else apart
        if frame == 0:
            one = [norm.cdf(high, MEANS, rim) - norm.cdf(low, MEANS, rim) for low, high in pair]
            found.append(one[0] * one[1])
            continue
        spread = multivariate_normal([0, 0], [[frame**2 + rim**2, frame**2], [frame**2, frame**2 + rim**2]])
        corners = [
            sign * spread.cdf(np.column_stack([a - MEANS, b - MEANS]).clip(-5, 5))
            for a, b, sign in [
                (pair[0][1], pair[1][1], 1), (pair[0][0], pair[1][1], -1),
                (pair[0][1], pair[1][0], -1), (pair[0][0], pair[1][0], 1),
            ]
        ]
        found.append(np.clip(sum(corners), 0, None))
    return np.array(found)


def pairs(count):
    middle, mean = 0.1, RNG.normal(0.1, 0.2)
    found, likelihoods = [], np.ones((len(SPREADS), len(MEANS)))
    for _ in range(count):
        frame = RNG.normal(mean, 0.04)
        pair = [bracket(RNG.normal(frame, 0.04), 0.05) for _ in range(2)]
        likelihoods *= rectangles(pair)
        found += np.ravel(pair).tolist()
    low = round(np.floor(mean / 0.05) * 0.05, 4)
    begun = (low, round(low + 0.15, 4))
    case("pairs", [middle, *begun, count, *found], summary(*weighed(middle, likelihoods), begun))


FINE = np.linspace(-2.5, 2.7, 8321)
STEP = FINE[1] - FINE[0]


def slip(size, low, high):
    def below(at, far):
        return np.where(at < size, 0.5 * np.exp(-np.abs(at - size) / far), 1 - 0.5 * np.exp(-np.abs(at - size) / far))

    return sum(share * (below(high, far) - below(low, far)) for far, share in [(0.1, 0.9), (1.0, 0.1)])


def hand(touch, spread, misrecorded, count):
    middle, mean = 0.1, RNG.normal(0.1, 0.2)
    inputs, likelihoods = [touch, spread, misrecorded, middle, count], np.ones((len(SPREADS), len(MEANS)))
    for _ in range(count):
        rims = []
        for _ in range(2):
            much, touched, low, high = sized(RNG.normal(mean, 0.05), RNG.normal(touch, spread))
            inputs += [much, touched, low, high]
            # A size within half a cell of an end belongs to both sides of it in part.
            inside = np.clip((np.minimum(high, FINE + STEP / 2) - np.maximum(low, FINE - STEP / 2)) / STEP, 0, 1)
            # Of a share of lenses much is always put down, or never.
            wrong = [misrecorded if abs(at) < OPEN else 0.0 for at in (much, touched)]
            felt = np.subtract(*(
                0.5 * share + (1 - share) * norm.cdf(at - FINE, touch, spread) for share, at in zip(wrong, (much, touched))
            ))
            ends = sorted([max(low, touched - touch), min(high, much - touch)])
            contradicts = max(low, touched - touch) >= min(high, much - touch)
            wide = max(ends[1] - ends[0], 0.0125)
            rare = 0.00125 / wide if contradicts else 1.0
            rims.append(
                (1 - misrecorded) * inside * np.clip(felt, 0, None)
                + misrecorded * rare * slip(FINE, ends[0], ends[0] + wide)
            )
        for at, (frame, rim, _) in enumerate(SPREADS):
            both = np.prod([gaussian_filter1d(one, rim / STEP, mode="nearest", truncate=8) for one in rims], axis=0)
            if frame > 0:
                both = gaussian_filter1d(both, frame / STEP, mode="nearest", truncate=8)
            likelihoods[at] *= np.interp(MEANS, FINE, both)
    case("hand", inputs, summary(*weighed(middle, likelihoods)))


def sized(fits, threshold):
    """From 0.5 down, by 0.15 where it is much too big and by 0.05 where it is a touch."""
    at, much, touched, top = 0.5, OPEN, -OPEN, OPEN
    while at > fits:
        if at - fits > threshold:
            much, at, top = at, round(at - 0.15, 2), at
        else:
            touched, at, top = max(touched, at), round(at - 0.05, 2), at
    return much, touched, at, round(min(top, at + 0.15), 4)


def drift(count, models):
    mean, inputs, expected = 0.1, [count], []
    size = 2 + models
    state = np.concatenate([[0.0, 0.0], np.full(models, mean)])
    covariance = np.diag([0.02**2, 0.002**2, *[0.5**2] * models])
    step = np.eye(size)
    step[0, 1] = 1.0
    noise = np.zeros((size, size))
    noise[0, 0] = 0.001**2
    means, true = RNG.normal(mean, 0.2, models), 0.0
    for at in range(count):
        fresh = at > 0 and RNG.uniform() < 0.02
        if fresh:
            keep = np.diag([0.0, 0.0, *[1.0] * models])
            state, covariance = keep @ state, keep @ covariance @ keep + np.diag([0.02**2, 0.002**2, *[0.0] * models])
            true = 0.0
        true -= 0.002
        model, variance = int(RNG.integers(models)), RNG.uniform(0.001, 0.005)
        seen = means[model] + true + RNG.normal(0, np.sqrt(variance)) + (0.5 if RNG.uniform() < 0.05 else 0.0)
        state, covariance = step @ state, step @ covariance @ step.T + noise
        look = np.zeros((1, size))
        look[0, 0] = look[0, 2 + model] = 1.0
        apart, known = seen - (look @ state)[0], (look @ covariance @ look.T)[0, 0]
        raised = variance * max(1.0, apart**2 / (9.0 * (known + variance)))
        gain = (covariance @ look.T) / (known + raised)
        state = state + gain[:, 0] * apart
        rest = np.eye(size) - gain @ look
        covariance = rest @ covariance @ rest.T + raised * gain @ gain.T
        inputs += [model, int(fresh), float(f"{seen:.10g}"), float(f"{variance:.10g}")]
        expected += [state[0], np.sqrt(covariance[0, 0])]
    case("drift", inputs, expected)


def stations(many, count, models):
    mean, inputs, expected = 0.1, [many, count], []
    # Of each station its offset since it was fresh, its growth, and what it has beside the first; then the models.
    size = 3 * many + models
    state = np.concatenate([np.zeros(3 * many), np.full(models, mean)])
    beside = [0.0 if at == 0 else 0.1**2 for at in range(many)]
    covariance = np.diag([*np.ravel([[0.02**2, 0.002**2, var] for var in beside]), *[0.5**2] * models])
    means, true, apart = RNG.normal(mean, 0.2, models), np.zeros(many), [0.0, *RNG.normal(0, 0.1, many - 1)]
    for at in range(count):
        fresh = int(RNG.integers(many)) + 1 if at > 0 and RNG.uniform() < 0.05 else 0
        if fresh:
            keep = np.eye(size)
            keep[3 * (fresh - 1), 3 * (fresh - 1)] = keep[3 * fresh - 2, 3 * fresh - 2] = 0.0
            anew = np.zeros((size, size))
            anew[3 * (fresh - 1), 3 * (fresh - 1)], anew[3 * fresh - 2, 3 * fresh - 2] = 0.02**2, 0.002**2
            state, covariance = keep @ state, keep @ covariance @ keep + anew
            true[fresh - 1] = 0.0
        one = int(RNG.integers(many))
        other = int(RNG.integers(many)) if RNG.uniform() < 0.15 else one
        step, noise, look = np.eye(size), np.zeros((size, size)), np.zeros((1, size))
        for station in {one, other}:
            step[3 * station, 3 * station + 1] = 1.0
            noise[3 * station, 3 * station] = 0.001**2
            true[station] -= 0.002
        for station in (one, other):
            look[0, 3 * station] += 0.5
            look[0, 3 * station + 2] += 0.5
        model, variance = int(RNG.integers(models)), RNG.uniform(0.001, 0.005)
        look[0, 3 * many + model] = 1.0
        off = (true[one] + apart[one] + true[other] + apart[other]) / 2.0
        seen = means[model] + off + RNG.normal(0, np.sqrt(variance)) + (0.5 if RNG.uniform() < 0.05 else 0.0)
        state, covariance = step @ state, step @ covariance @ step.T + noise
        away, known = seen - (look @ state)[0], (look @ covariance @ look.T)[0, 0]
        raised = variance * max(1.0, away**2 / (9.0 * (known + variance)))
        gain = (covariance @ look.T) / (known + raised)
        state = state + gain[:, 0] * away
        rest = np.eye(size) - gain @ look
        covariance = rest @ covariance @ rest.T + raised * gain @ gain.T
        inputs += [model, one, other, fresh, float(f"{seen:.10g}"), float(f"{variance:.10g}")]
        for station in range(many):
            whole = np.zeros(size)
            whole[3 * station] = whole[3 * station + 2] = 1.0
            expected += [whole @ state, np.sqrt(whole @ covariance @ whole)]
    case("stations", inputs, expected)


for _ in range(6):
    fit()
for count in (1, 2, 5, 8):
    pairs(count)
for of_hand in [(0.15, 0.02, 0.01, 3), (0.12, 0.05, 0.04, 6), (0.15, 0.01, 0.002, 12)]:
    hand(*of_hand)
for count, models in ((40, 3), (300, 25)):
    drift(count, models)
for many, count, models in ((2, 60, 4), (3, 200, 20)):
    stations(many, count, models)

head = [
    "# Written by tests/reference/belief.py; do not edit.",
    f"# python {sys.version.split()[0]}, numpy {np.__version__}, scipy {scipy.__version__}, seed {SEED}",
]
with open(sys.argv[1], "w", encoding="ascii") as file:
    file.write("\n".join(head + LINES) + "\n")
