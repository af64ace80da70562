"""What is written on the staves is what another reader reads, sign by sign.

Source: music21, from PyPI. For every note and rest of every score: its bar,
place and staff, its pitch with what an octave line moves left out, note value
and dots, stem, beams, how many tuplets it lies in, articulations, ornaments
and fermatas, and the accidental that is shown; the ends of every slur; every
clef. Accidentals by rule, where the file has none, are compared with
music21's own; beams by rule are not, since editions differ. written.txt lists
where the two differ and why.
"""

import json
import os
import re
import subprocess
import sys
import warnings
from collections import defaultdict
from fractions import Fraction

import music21
from music21.stream.makeNotation import getTiePitchSet

import outside
from check_notes import partwise, piano_staves

WRITTEN = outside.OUT / "written"

# music21 keeps the file's own clock, which rounds tuplets to whole divisions: by
# up to so much of a quarter.
ROUNDING = 35 / 2 / 480

ACCIDENTALS = {"sharp-sharp": "double-sharp", "flat-flat": "double-flat"}
BEAMS = {"begin": "start", "continue": "continue", "end": "stop", "forward hook": "partial right", "backward hook": "partial left"}
MARKS = {
    "staccato": "Staccato", "accent": "Accent", "strong-accent": "StrongAccent", "tenuto": "Tenuto", "staccatissimo": "Staccatissimo",
    "detached-legato": "DetachedLegato", "spiccato": "Spiccato", "fermata": "Fermata", "trill-mark": "Trill", "turn": "Turn",
    "delayed-turn": "Turn", "inverted-turn": "InvertedTurn", "mordent": "Mordent", "inverted-mordent": "InvertedMordent",
}


class Table:
    """What is written, by kind: what it is, without its place in the bar, and its places."""

    def __init__(self):
        self.found = defaultdict(list)

    def add(self, kind, places, *what):
        bars = tuple(bar for bar, _, _ in places)
        self.found[kind, bars, tuple(staff for _, _, staff in places), what].append([at for _, at, _ in places])

    def without(self, other):
        """What stands here and not in the other within the rounding, each used once."""
        for key, places in self.found.items():
            left = list(other.found.get(key, []))
            for at in places:
                match = next((x for x in left if all(abs(a - b) <= ROUNDING for a, b in zip(at, x))), None)
                if match is None:
                    yield key[0], f"bar {key[1]} at {[round(a, 3) for a in at]} staff {key[2]}: {key[3]}"
                else:
                    left.remove(match)


def pitch_name(step, alter, octave):
    return f"{step}{int(alter):+d}/{octave}"


def ours(written):
    table, chords = Table(), written["Chords"]
    bars = [Fraction(b["Start"]) for b in written["Bars"]]

    def place(c, staff=None):
        return c["Bar"] + 1, float(Fraction(c["At"]) - bars[c["Bar"]]), staff or c["Staff"]

    depth = defaultdict(int)
    for t in written["Tuplets"] or []:
        for i in range(t["From"], t["To"] + 1):
            depth[i] += chords[i]["Voice"] == chords[t["From"]]["Voice"] and not chords[i]["Grace"]
    for i, c in enumerate(chords):
        if not c["Hidden"]:
            our_chord(table, c, place, depth[i], c["Length"] == written["Bars"][c["Bar"]]["Length"])
    for s in written["Slurs"] or []:
        if s["From"] >= 0 and s["To"] >= 0 and not chords[s["From"]]["Hidden"] and not chords[s["To"]]["Hidden"]:
            table.add("slurs", [place(chords[s["From"]]), place(chords[s["To"]])])
    for c in written["Clefs"]:
        table.add("clefs", [place(c)], c["Sign"], c["Line"], c["Octave"])
    return table


def our_chord(table, c, place, depth, whole):
    kind = "rest" if c["Rest"] else "grace" if c["Grace"] else "note"
    notes = [n for n in c["Notes"] or [] if n["Head"] != "none"]
    for staff in {n["Staff"] for n in notes} or {c["Staff"]}:
        names = tuple(our_pitch(n) for n in notes if n["Staff"] == staff)
        value = "bar" if c["Rest"] and whole else (c["Value"]["Type"], c["Value"]["Dots"])
        table.add("chords", [place(c, staff)], kind, value, names)
    for n in notes:
        if n["Accidental"]:
            table.add("accidentals", [place(c, n["Staff"])], our_pitch(n), ACCIDENTALS.get(n["Accidental"], n["Accidental"]))
    if not notes:
        return
    if c["Beams"]:
        table.add("beams", [place(c)], kind, tuple(BEAMS[b] for b in c["Beams"]))
    if c["Stem"] in (1, 2):
        table.add("stems", [place(c)], kind, ("up", "down")[c["Stem"] - 1])
    if depth:
        table.add("tuplets", [place(c)], depth)
    for m in c["Marks"] or []:
        if m["Name"] in MARKS:
            table.add("marks", [place(c)], MARKS[m["Name"]])


def our_pitch(note):
    step, alter, octave = re.fullmatch(r"([A-G])(#*|x|b*)(-?\d+)", note["Written"]).groups()
    return pitch_name(step, {"x": 2}.get(alter, alter.count("#") - alter.count("b")), int(octave))


def by_music21(path):
    piece = music21.converter.parse(path, format="musicxml", forceSource=True)
    table, places = Table(), {}
    shifted = {}  # octaves that a line moves what is written, by note
    for line in piece.recurse().getElementsByClass("Ottava"):
        shifted |= {id(n): line.interval().semitones // 12 for n in line.getSpannedElements()}
    lengths = defaultdict(int)  # of the bars, by number in the file
    for part in piano_staves(piece):
        for index, bar in enumerate(part.getElementsByClass("Measure"), 1):
            lengths[index] = max(lengths[index], bar.duration.quarterLength)
    for staff, part in enumerate(piano_staves(piece), 1):
        their_clefs(table, part, staff)
        if b"<accidental" not in path.read_bytes():
            set_accidentals(part)
        for index, bar in enumerate(part.getElementsByClass("Measure"), 1):
            for n in bar.recurse().notesAndRests:
                if not n.style.hideObjectOnPrint:
                    places[id(n)] = index, float(n.getOffsetInHierarchy(bar)), staff
                    their_chord(table, n, lengths[index], places[id(n)], shifted.get(id(n), 0))
    for slur in piece.recurse().getElementsByClass("Slur"):
        ends = [places.get(id(slur.getFirst())), places.get(id(slur.getLast()))]
        if None not in ends:
            table.add("slurs", ends)
    return table


def set_accidentals(part):
    """Sets accidentals by music21's rule for one bar, without courtesy accidentals."""
    key, before = music21.key.KeySignature(0), None
    for bar in part.getElementsByClass("Measure"):
        key = bar.keySignature or key
        bar.makeAccidentals(
            inPlace=True, overrideStatus=True, useKeySignature=key, searchKeySignatureByContext=False, cautionaryPitchClass=False,
            cautionaryNotImmediateRepeat=False, tiePitchSet=before and getTiePitchSet(before),
        )
        before = ([None] + list(bar.recurse().notes))[-1]


def their_clefs(table, part, staff):
    """The clefs of a staff, without those that say what is in force."""
    before = None
    for index, bar in enumerate(part.getElementsByClass("Measure"), 1):
        for clef in bar.recurse().getElementsByClass("Clef"):
            here = clef.sign, clef.line, clef.octaveChange
            if here != before:
                table.add("clefs", [(index, float(clef.getOffsetInHierarchy(bar)), staff)], *here)
            before = here


def their_chord(table, n, length, place, shift):
    kind = "rest" if n.isRest else "grace" if n.duration.isGrace else "note"
    notes = list(n.notes) if n.isChord else [] if n.isRest else [n]
    notes = [x for x in notes if hasattr(x, "pitch") and not x.style.hideObjectOnPrint]
    if not notes and kind != "rest":
        return
    notes.sort(key=lambda x: (x.pitch.diatonicNoteNum, x.pitch.alter))
    names = tuple(pitch_name(x.pitch.step, x.pitch.alter, x.pitch.octave - shift) for x in notes)
    whole = kind == "rest" and n.quarterLength == length
    table.add("chords", [place], kind, "bar" if whole else (n.duration.type, n.duration.dots), names)
    for x, name in zip(notes, names):
        if x.pitch.accidental and x.pitch.accidental.displayStatus:
            table.add("accidentals", [place], name, x.pitch.accidental.name)
    if not notes:
        return
    if n.beams.beamsList:
        table.add("beams", [place], kind, tuple(f"{b.type} {b.direction}" if b.type == "partial" else b.type for b in n.beams.beamsList))
    for stem in {x.stemDirection for x in [n, *notes]} & {"up", "down"}:
        table.add("stems", [place], kind, stem)
    if n.duration.tuplets and kind == "note":
        table.add("tuplets", [place], len(n.duration.tuplets))
    for m in [*n.articulations, *n.expressions]:
        if type(m).__name__ in MARKS.values():
            table.add("marks", [place], type(m).__name__)


def print_written():
    """Lets a Go test write what is written in each score as JSON."""
    WRITTEN.mkdir(parents=True, exist_ok=True)
    subprocess.run(
        ["go", "test", "-count=1", "-run", "TestNotationAsJSON", "./score/musicxml"],
        cwd=outside.ROOT, env={**os.environ, "HARDBARS_WRITTEN": str(WRITTEN)}, check=True, stdout=subprocess.DEVNULL,
    )


def compare(score, explained):
    """Yields the differences that no line of written.txt explains."""
    path = partwise(outside.plain(score))
    mine, theirs = ours(json.loads((WRITTEN / (score.name + ".json")).read_text())), by_music21(path)
    ruled = b"<beam" not in path.read_bytes()
    for side, extra in (("only ours", mine.without(theirs)), ("only music21's", theirs.without(mine))):
        for kind, what in extra:
            if kind == "beams" and ruled:
                continue
            key = f"{score.name}, {kind}"
            if key in explained:
                explained[key] = True
            else:
                yield f"{key}: {side}: {what}"


def main():
    warnings.simplefilter("ignore")
    print_written()
    troubles, count = [], 0
    explained = dict.fromkeys(outside.reasons("written.txt"), False)
    for score in outside.scores():
        troubles += compare(score, explained)
        count += 1
    troubles += [f"written.txt explains what does not happen: {key}" for key, used in explained.items() if not used]
    print(f"written: {count} scores compared with music21, {len(explained)} differences explained")
    outside.finish("written", troubles)


if __name__ == "__main__":
    main()
