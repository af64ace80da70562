"""Demand against where pianists really miss notes.

Source: recorded performances aligned with their scores note by note. Peter et
al., "Automatic Note-Level Score-to-Performance Alignments in the ASAP Dataset",
TISMIR 6(1), 2023; Foscarin et al., "ASAP: a dataset of aligned scores and
performances for piano transcription", ISMIR 2020. In ../shared/performed,
which its README describes; without it nothing is checked, and that is said.

Two things are looked at, each within a piece, for pieces differ in players and
instruments. Bars: Spearman's rank correlation of bar_demand with the error
rate, (missed + extra) / played, bars with ornament signs left out, the mean
over works. Kinds: the share of missed notes in the tenths of a kind's places by
demand, in the share that is usual in the piece.

Both once as the data have it and once with keys that are written for two
voices counted once. A key sounds once, so that the alignment calls one of the
two missed in each performance: a third of all that is missed.

With --tables what detect/evidence.md and DEVELOPERS.md show is printed.
"""

import collections
import csv
import json
import sys
from bisect import bisect_right
from fractions import Fraction
from pathlib import Path

import outside

PERFORMED = outside.SHARED / "performed"

# Floors. What is measured is a little above, so that a change which costs is seen.
AGREEMENT = 0.42  # bars, as the data have it
ABOVE_NOTES = 0.08  # and above the number of written notes
AGREEMENT_ONCE = 0.39  # bars, each key once
ABOVE_NOTES_ONCE = 0.10
RISING = 0.3  # Spearman of a kind's share of missed notes with its tenth
PLACES = 300  # a kind with fewer is shown and not judged

TENTHS = 10


def ranks(values):
    """Ranks from 0, equal values at the middle of theirs."""
    order = sorted(values)
    first = {}
    for i, v in enumerate(order):
        first.setdefault(v, i)
    count = collections.Counter(order)
    return [first[v] + (count[v] - 1) / 2 for v in values]


def spearman(x, y):
    x, y = ranks(x), ranks(y)
    mx, my = sum(x) / len(x), sum(y) / len(y)
    xy = sum((a - mx) * (b - my) for a, b in zip(x, y))
    xx, yy = sum((a - mx) ** 2 for a in x), sum((b - my) ** 2 for b in y)
    return xy / (xx * yy) ** 0.5 if xx and yy else 0.0


def table(name):
    rows = collections.defaultdict(list)
    with open(PERFORMED / name) as file:
        for row in csv.DictReader(file):
            rows[row["score"]].append(row)
    return rows


class Work:
    """One score with its performances."""

    def __init__(self, name, bars, notes):
        self.name = name
        path = PERFORMED / "scores" / f"{name}.mxl"
        report = json.loads(outside.hardbars("spots", path, "--all", "--json"))
        self.demand, self.spots = report["bar_demand"], report["spots"]
        self.bars = [b for b in bars if b["ornaments"] == "0" and int(b["played"]) > 0 and int(b["notes"]) > 0 and int(b["index"]) <= len(self.demand)]
        plain = {int(b["index"]) for b in self.bars}
        self.start = self.starts(path)
        # Each key struck, with all that is written on it: (bar, place) to key to [played, missed, written].
        keys = collections.defaultdict(lambda: [0, 0, 0])
        for n in notes:
            k = keys[int(n["index"]), Fraction(n["offset"]), int(n["midi"])]
            k[0], k[1], k[2] = k[0] + int(n["played"]), k[1] + int(n["missed"]), k[2] + 1
        self.once = {}
        self.twice = collections.Counter()  # by bar: what is missed because a key sounds once
        for at, (played, missed, written) in keys.items():
            each = played // written
            self.once[at] = (each, max(0, missed - each * (written - 1)))
            self.twice[at[0]] += played - each
        usual = [(p, m) for (bar, _, _), (p, m) in self.once.items() if bar in plain]
        self.usual = sum(m for _, m in usual) / sum(p for p, _ in usual)
        self.plain = plain

    def starts(self, path):
        """Where each bar that has notes starts, and which hand strikes each key."""
        start, self.hand = {}, {}
        for r in csv.DictReader(outside.hardbars("notes", path).decode().splitlines()):
            if r["grace"] == "false":
                bar, offset = int(r["index"]), Fraction(r["offset"])
                start[bar] = Fraction(r["onset"]) - offset
                self.hand[bar, offset, int(r["midi"])] = r["hand"]
        return start

    def agreement(self):
        """Of demand and of the number of notes with the error rate, as the data have it and with each key once."""
        demand = [self.demand[int(b["index"]) - 1] for b in self.bars]
        written = [int(b["notes"]) for b in self.bars]
        wrong = [int(b["missed"]) + int(b["extra"]) for b in self.bars]
        played = [int(b["played"]) for b in self.bars]
        twice = [self.twice[int(b["index"])] for b in self.bars]
        rate = [w / p for w, p in zip(wrong, played)]
        once = [max(0, w - t) / (p - t) for w, p, t in zip(wrong, played, twice)]
        return spearman(demand, rate), spearman(written, rate), spearman(demand, once), spearman(written, once)

    def places(self):
        """For each occurrence: its kind, demand, and the notes that its hand strikes in it: expected to be missed at the usual rate, and missed."""
        struck = sorted((self.start[bar] + offset, key) for key, hand in self.hand.items() for bar, offset, _ in [key] if bar in self.plain)
        times = [t for t, _ in struck]
        for spot in self.spots:
            for o in spot["occurrences"]:
                first, last = self.position(o["from"]), self.position(o["to"])
                if first is None or last is None:
                    continue
                expected = missed = 0
                for i in range(bisect_right(times, first - Fraction(1, 1000)), len(times)):
                    at, key = struck[i]
                    if at >= last and at > first:
                        break
                    if spot["kind"] == "leap" and at == first:
                        continue  # the key it leaves
                    if spot["hand"] in ("both", self.hand[key]) and key in self.once:
                        expected += self.once[key][0] * self.usual
                        missed += self.once[key][1]
                if expected:
                    yield spot["kind"], o["demand"], expected, missed

    def position(self, place):
        start = self.start.get(place["index"])
        return None if start is None else start + Fraction(place["offset"])


def curves(works):
    """For each kind: how many places, and the share of missed notes in each tenth of them by demand, in the usual share."""
    found = collections.defaultdict(list)
    for w in works:
        for kind, demand, expected, missed in w.places():
            found[kind].append((demand, expected, missed))
    for kind, places in sorted(found.items(), key=lambda f: -len(f[1])):
        places.sort()
        tenths = [places[len(places) * i // TENTHS : len(places) * (i + 1) // TENTHS] for i in range(TENTHS)]
        share = [sum(m for _, _, m in t) / sum(e for _, e, _ in t) for t in tenths if t]
        yield kind, len(places), sum(m for _, _, m in places), share


def main():
    if not PERFORMED.is_dir():
        print("../shared/performed is absent: demand was not checked against performances")
        return
    notes = table("notes.csv")
    works = [Work(name, bars, notes[name]) for name, bars in table("bars.csv").items()]
    figures = [w.agreement() for w in works]
    mean = [sum(f[i] for f in figures) / len(figures) for i in range(4)]
    kinds = list(curves(works))
    if "--tables" in sys.argv:
        print("| work | bars | demand | notes | demand, each key once | notes, each key once |\n|---|---:|---:|---:|---:|---:|")
        for w, f in sorted(zip(works, figures), key=lambda wf: -wf[1][0]):
            print(f"| {w.name.replace('_', ' ')} | {len(w.bars)} | " + " | ".join(f"{x:.2f}" for x in f) + " |")
        print("\n| kind | places | missed | " + " | ".join(str(i + 1) for i in range(TENTHS)) + " | rises |\n|---|" + "---:|" * (TENTHS + 3))
        for kind, places, missed, share in kinds:
            print(f"| {kind} | {places} | {missed} | " + " | ".join(f"{s:.2f}" for s in share) + f" | {spearman(range(len(share)), share):.2f} |")
        print()
    print("%d works: demand %.3f, notes %.3f; each key once: demand %.3f, notes %.3f" % (len(works), *mean))
    faults = []
    if mean[0] < AGREEMENT or mean[0] - mean[1] < ABOVE_NOTES:
        faults.append(f"demand by bar agrees {mean[0]:.3f}, notes {mean[1]:.3f}; floors are {AGREEMENT} and {ABOVE_NOTES} above notes")
    if mean[2] < AGREEMENT_ONCE or mean[2] - mean[3] < ABOVE_NOTES_ONCE:
        faults.append(f"each key once, demand by bar agrees {mean[2]:.3f}, notes {mean[3]:.3f}; floors are {AGREEMENT_ONCE} and {ABOVE_NOTES_ONCE} above notes")
    faults += [
        f"{kind}: what is missed does not rise with demand: {' '.join(f'{s:.2f}' for s in share)}"
        for kind, places, _, share in kinds
        if kind in MEASURED and places >= PLACES and spearman(range(len(share)), share) < RISING
    ]
    if faults:
        sys.exit("\n".join(faults))


# The kinds whose demand is held to rise with what is missed.
MEASURED = {"leap", "octave-run", "fast-run", "repeated-notes", "hand-crossing"}

if __name__ == "__main__":
    main()
