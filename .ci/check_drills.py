"""The practice scores are valid MusicXML that other programs open and play.

Source: the MusicXML 4.0 schema, musicxml.xsd, judged by xmllint (libxml2), and
music21 and partitura (readers) and verovio (an engraver), from PyPI. Every
practice score of testdata and of ../shared/scores must be valid, the books
too. Of each score, that of the first hot spot of each kind is opened by all
three: every voice that music21 finds in a bar must fill its time signature
exactly, partitura and music21 must find the same notes, and verovio must draw
every page. drills.txt lists warnings that are about the reader and not about
the score, as "reader, part of the warning: reason".
"""

import json
import subprocess
import warnings
from fractions import Fraction

import music21
import partitura

import check_readers
import outside

SCHEMA = outside.SHARED / "musicxml-4.0" / "musicxml.xsd"
DRILLS = outside.OUT / "drills"


def invalid(paths):
    """Yields what xmllint says of files that are not valid."""
    for i in range(0, len(paths), 50):
        done = subprocess.run(
            ["xmllint", "--nonet", "--noout", "--schema", SCHEMA, *paths[i : i + 50]], capture_output=True, text=True, check=False
        )
        yield from (line for line in done.stderr.splitlines() if not line.endswith(" validates"))


def bars_by_music21(path):
    """Reads a drill and yields its trouble: bars that are not full. Returns its notes."""
    piece = music21.converter.parse(path, forceSource=True)
    notes = []
    for part in piece.parts:
        signature = None
        for bar in part.getElementsByClass(music21.stream.Measure):
            signature = bar.timeSignature or signature
            full = Fraction(signature.barDuration.quarterLength)
            for voice in bar.voices or [bar]:
                end = max((Fraction(n.offset) + Fraction(n.quarterLength) for n in voice.notesAndRests), default=full)
                if end != full:
                    yield f"measure {bar.number} ends after {end} of {full} quarters"
        for n in part.flatten().notes:
            if not n.duration.isGrace:
                notes += [(round(float(n.offset), 4), p.midi) for p in n.pitches]
    return notes


def notes_by_partitura(path):
    """The notes that partitura finds, as onset in quarters and key."""
    part = partitura.load_musicxml(str(path)).parts[0]
    quarter = part.quarter_map
    return [(round(float(quarter(n.start.t)), 4), n.midi_pitch) for n in part.notes if not isinstance(n, partitura.score.GraceNote)]


def troubles_of(path, excused):
    """Yields everything that is wrong with one drill."""
    with warnings.catch_warnings(record=True) as seen:
        warnings.simplefilter("always")
        opened = bars_by_music21(path)
        try:
            while True:
                yield f"{path.name}: music21: {next(opened)}"
        except StopIteration as done:
            ours = sorted(done.value)
        theirs = sorted(notes_by_partitura(path))
    if ours != theirs:
        yield f"{path.name}: music21 finds {len(ours)} notes, partitura {len(theirs)}, and not the same"
    loaded, said = check_readers.engraver(path)
    if not loaded:
        yield f"{path.name}: verovio does not load it"
    for who, lines in (("partitura", [str(w.message) for w in seen]), ("verovio", said)):
        for line in lines:
            if not any(who == name and part in line for name, part in excused):
                yield f"{path.name}: {who}: {line}"


def drills(score):
    """Writes the drills of a score; returns those to open: of each kind the first that could be written."""
    out = DRILLS / score.name
    outside.hardbars("drills", "--out", out, score)
    first = {}
    for spot in json.loads(outside.hardbars("spots", "--json", score))["spots"]:
        path = out / f"{score.stem}.drill-{spot['id']}.musicxml"
        if path.exists():  # one with a length too fine for a note value is left out, and said
            first.setdefault(spot["kind"], path)
    return list(first.values())


def main():
    excused = [key.split(", ", 1) for key in outside.reasons("drills.txt")]
    opened = [path for score in outside.scores() for path in drills(score)]
    written = sorted(DRILLS.glob("*/*.musicxml"))
    troubles = list(invalid(written))
    for path in opened:
        troubles += troubles_of(path, excused)
    print(f"drills: {len(written)} practice scores, {len(opened)} of them opened by music21, partitura and verovio")
    outside.finish("drills", troubles)


if __name__ == "__main__":
    main()
