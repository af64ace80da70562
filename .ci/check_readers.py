"""Other programs open the marked score as they opened the input.

Source: music21 and partitura (readers) and verovio (an engraver), from PyPI.
The readers must find the same notes in both, and none of the three may warn
about the marked score where it did not warn about the input. readers.txt
lists the warnings that are about the reader and not about the score, as
"reader, part of the warning: reason".
"""

import os
import re
import tempfile
import warnings
from collections import Counter

import verovio

import check_notes
import outside


def reader(name):
    """Makes a function from a path to (notes, warnings)."""

    def read(path):
        with warnings.catch_warnings(record=True) as seen:
            warnings.simplefilter("always")
            notes = list(check_notes.READERS[name](path))
        return notes, Counter(str(w.message) for w in seen)

    return read


def engraver(path):
    """Loads and draws a score; verovio's log without the identifiers it makes up anew each time."""
    with tempfile.TemporaryFile("w+") as log:
        stderr = os.dup(2)
        os.dup2(log.fileno(), 2)  # the library writes there itself
        try:
            toolkit = verovio.toolkit()
            loaded = toolkit.loadFile(str(path))
            for page in range(1, toolkit.getPageCount() + 1):
                toolkit.renderToSVG(page)
        finally:
            os.dup2(stderr, 2)
            os.close(stderr)
        log.seek(0)
        lines = re.sub(r"'[a-z0-9]{6,10}'", "'…'", log.read()).splitlines()
    return loaded, Counter(line for line in lines if line.strip())


OPENERS = {"music21": reader("music21"), "partitura": reader("partitura"), "verovio": engraver}


def compare(score, excused):
    """Yields what one of the three says about the marked score and not about the input."""
    before, after = check_notes.partwise(outside.plain(score)), check_notes.partwise(outside.plain(outside.marked(score)))
    for name, opened in OPENERS.items():
        (was, warned), (now, warns) = opened(before), opened(after)
        if was != now:
            yield f"{score.name}: {name} does not read the same from the marked score"
        for warning, n in (warns - warned).items():
            if not any(name == who and part in warning for who, part in excused):
                yield f"{score.name}: {name}, new and {n} times: {warning}"


def main():
    troubles = []
    excused = [key.split(", ", 1) for key in outside.reasons("readers.txt")]
    scores = outside.scores()
    for score in scores:
        troubles += compare(score, excused)
    print(f"readers: {len(scores)} marked scores opened by {', '.join(OPENERS)}")
    outside.finish("readers", troubles)


if __name__ == "__main__":
    main()
