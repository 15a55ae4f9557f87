"""Of many cases the edges, where an error would show first, and a sample.

Which they are is decided by the cases themselves and by nothing of bevelbook: of each kind the first ones, and for each
expected value those that lie nearest to the middle between two whole numbers (there a result is rounded wrongly first),
the least, the greatest and the one nearest to zero; and for each input the least and the greatest.
"""

SAMPLE = 12
TIES = 3


def parts(line):
    case, expected = line.split(" = ")
    kind, *inputs = case.split(" ")
    numbers = [None if word in "RL" else int(word) for word in inputs]
    return kind, numbers, [float(word) for word in expected.split(" ")]


def thinned(lines):
    kinds = {}
    for at, line in enumerate(lines):
        kind, inputs, expected = parts(line)
        kinds.setdefault(kind, []).append((at, inputs, expected))
    kept = set()
    for cases in kinds.values():
        kept.update(at for at, _, _ in cases[:SAMPLE])

        def keep(count, by, of):
            kept.update(at for _, at in sorted((by(of(case)), case[0]) for case in cases)[:count])

        for value in range(len(cases[0][2])):
            of = lambda case, value=value: case[2][value]
            keep(TIES, lambda exact: abs(exact % 1 - 0.5), of)
            keep(1, lambda exact: exact, of)
            keep(1, lambda exact: -exact, of)
            keep(1, abs, of)
        # Where every case has as many inputs as any other; lists of lenses and outlines have their own.
        if len({len(inputs) for _, inputs, _ in cases}) == 1:
            for place, first in enumerate(cases[0][1]):
                if first is not None:
                    of = lambda case, place=place: case[1][place]
                    keep(1, lambda number: number, of)
                    keep(1, lambda number: -number, of)
    return [line for at, line in enumerate(lines) if at in kept]
