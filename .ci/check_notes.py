"""The note table is what two other readers read, note for note.

Source: music21 and partitura, from PyPI. For every sounding note (tied notes
joined) of every score: bar, place in the bar, place in the piece, length,
pitch with spelling, staff, grace or not. differences.txt lists where they
differ and why; a line there that no difference needs is an error too.

Both readers keep the file's own clock, which rounds tuplets to whole
divisions, where our table has the exact value. So a bar in which all our
values are whole divisions must agree exactly, and any other bar within ROUNDING.
"""

import csv
import io
import re
import warnings
import xml.etree.ElementTree as ET
from bisect import bisect_right
from fractions import Fraction
from math import lcm
from typing import NamedTuple

import music21
import partitura

import outside

# Each note of a tuplet is rounded by up to half a division, and the longest
# tuplet in the scores has 35 notes. At 480 divisions that is less than half of
# a 64th note, so that no two notes of one key can be taken for one another.
ROUNDING = Fraction(35, 2) / 480


class Note(NamedTuple):
    bar: int  # from 1 in file order
    offset: Fraction  # quarters into the bar
    onset: Fraction  # quarters from the start of the piece
    length: Fraction
    pitch: str
    staff: int
    grace: bool

    def key(self):
        return self.bar, self.pitch, self.staff, self.grace

    def near(self, other, tolerance):
        """Whether two notes of one key agree in time."""
        return all(abs(a - b) <= tolerance for a, b in zip(self[1:4], other[1:4]))

    def __str__(self):
        grace = "grace " if self.grace else ""
        return f"{grace}{self.pitch} at {self.offset} (from the start {self.onset}), {self.length} long, staff {self.staff}"


def ours(score):
    rows = csv.DictReader(io.StringIO(outside.hardbars("notes", score).decode()))
    return [
        Note(int(r["index"]), Fraction(r["offset"]), Fraction(r["onset"]), Fraction(r["length"]), r["pitch"], int(r["staff"]), r["grace"] == "true")
        for r in rows
    ]


def spelled(step, alter, octave):
    """A pitch as our table writes it: F#4, Bb1, Cx5, Ebb3."""
    sharps, flats = max(alter, 0), max(-alter, 0)
    return step + "#" * (sharps % 2) + "x" * (sharps // 2) + "b" * flats + str(octave)


def by_music21(path):
    piece = music21.converter.parse(path, format="musicxml", forceSource=True)
    found = []
    for staff, part in enumerate(piano_staves(piece), 1):
        written = []
        for index, bar in enumerate(part.getElementsByClass("Measure"), 1):
            for n in bar.recurse().notes:
                at = Fraction(n.getOffsetInHierarchy(bar))
                for one in n.notes if n.isChord else [n]:
                    if hasattr(one, "pitch"):
                        written.append(music21_note(one, n, index, at, Fraction(bar.offset), staff))
        found += joined(written)
    return found


def piano_staves(piece):
    """The staves of the piano: those named as one, or all where there are few."""
    staves = [p for p in piece.parts if "piano" in (p.partName or "").lower()]
    return staves or list(piece.parts)


def music21_note(one, whole, index, at, bar_start, staff):
    p, tie = one.pitch, one.tie.type if one.tie else ""
    return {
        "bar": index, "at": at, "start": bar_start + at, "length": Fraction(whole.quarterLength), "staff": staff,
        "pitch": spelled(p.step, round(p.alter), p.octave), "midi": round(p.ps), "grace": whole.duration.isGrace,
        "starts": tie in ("start", "continue"), "stops": tie in ("stop", "continue"),
    }


def joined(written):
    """Joins tied notes of a staff: one that stops a tie to one that ends where it begins."""
    notes, open_ties = [], {}
    for n in sorted(written, key=lambda n: n["start"]):
        before = open_ties.pop((n["midi"], n["start"]), None) if n["stops"] and not n["grace"] else None
        if before:
            before["length"] += n["length"]
        else:
            notes.append(n)
        if n["starts"] and not n["grace"]:
            open_ties[n["midi"], n["start"] + n["length"]] = before or n
    return [Note(n["bar"], n["at"], n["start"], n["length"], n["pitch"], n["staff"], n["grace"]) for n in notes]


def by_partitura(path):
    parts = partitura.load_musicxml(path).parts
    piano = [p for p in parts if "piano" in (p.part_name or "").lower()] or parts
    return [n for i, part in enumerate(piano) for n in partitura_notes(part, i + 1 if len(piano) > 1 else None)]


def partitura_notes(part, staff):
    """The notes of a part, all on the staff given, or where they stand."""
    starts = sorted(m.start.t for m in part.iter_all(partitura.score.Measure))
    for n in part.notes_tied:
        bar = bisect_right(starts, n.start.t)
        onset, grace = quarters(part, n.start.t), isinstance(n, partitura.score.GraceNote)
        yield Note(
            bar, onset - quarters(part, starts[bar - 1]), onset,
            Fraction(0) if grace else quarters(part, n.end_tied.t) - onset,
            spelled(n.step, int(n.alter or 0), n.octave), staff or n.staff or 1, grace,
        )


def quarters(part, tick):
    """A place in quarters from the start of the first bar."""
    exact = [part.quarter_map(t) for t in (tick, part.first_point.t)]
    return Fraction(float(exact[0] - exact[1])).limit_denominator(100000)


READERS = {"music21": by_music21, "partitura": by_partitura}


def partwise(path):
    """A score-timewise document turned about, for readers that know only score-partwise."""
    score = ET.parse(path).getroot()
    if score.tag != "score-timewise":
        return path
    parts = {}
    for bar in score.findall("measure"):
        for part in bar.findall("part"):
            column = parts.setdefault(part.get("id"), ET.Element("part", id=part.get("id")))
            ET.SubElement(column, "measure", bar.attrib).extend(part)
        score.remove(bar)
    score.tag = "score-partwise"
    score.extend(parts.values())
    ET.ElementTree(score).write(path, encoding="utf-8", xml_declaration=True)
    return path


def rounded_bars(notes, path):
    """The bars in which some value of ours is not a whole division of the file."""
    divisions = lcm(*map(int, re.findall(rb"<divisions>(\d+)<", ET.tostring(ET.parse(path).getroot()))))
    return {n.bar for n in notes if any((t * divisions).denominator > 1 for t in (n.offset, n.length))}


def unmatched(a, b, rounded):
    """The notes of a that agree with no note of b, each of b used once."""
    left = {}
    for n in b:
        left.setdefault(n.key(), []).append(n)
    missing = []
    for n in a:
        same = left.get(n.key(), [])
        match = next((m for m in same if n.near(m, ROUNDING if n.bar in rounded else 0)), None)
        if match:
            same.remove(match)
        else:
            missing.append(n)
    return missing


def compare(score, path, reader, table, rounded, explained):
    """Yields the differences that no line of differences.txt explains."""
    theirs = READERS[reader](path)
    sides = (("only ours", unmatched(table, theirs, rounded)), (f"only {reader}'s", unmatched(theirs, table, rounded)))
    for side, notes in sides:
        for n in notes:
            keys = [f"{score.name}, {reader}, {bar}" for bar in (n.bar, "*")]
            used = next((k for k in keys if k in explained), None)
            if used:
                explained[used] = True
            else:
                yield f"{score.name}, {reader}, {n.bar}: {side}: {n}"


def explanations():
    """The keys of differences.txt, one for each reader and bar."""
    for key in outside.reasons("differences.txt"):
        score, reader, bars = key.split(", ")
        for one in READERS if reader == "both" else [reader]:
            yield from (f"{score}, {one}, {bar}" for bar in bars.split())


def main():
    warnings.simplefilter("ignore")
    troubles, compared = [], 0
    explained = dict.fromkeys(explanations(), False)
    for score in outside.scores():
        path, table = partwise(outside.plain(score)), ours(score)
        rounded = rounded_bars(table, path)
        for reader in READERS:
            troubles += compare(score, path, reader, table, rounded, explained)
            compared += len(table)
    troubles += [f"differences.txt explains what does not happen: {key}" for key, used in explained.items() if not used]
    print(f"notes: {compared} notes compared with {' and '.join(READERS)}, {len(explained)} differences explained")
    outside.finish("notes", troubles)


if __name__ == "__main__":
    main()
