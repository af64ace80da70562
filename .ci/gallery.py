"""Every hot spot's excerpt beside another engraver's picture of the same bars.

Source: verovio, from PyPI. Not a check: it writes one page a score, and a list
of them, into .ci/out/gallery, to be looked at by eye. Arguments, if any, are
words in the names of the scores that are wanted.
"""

import base64
import html
import json
import os
import subprocess
import sys
from itertools import groupby

import verovio

import outside

GALLERY = outside.OUT / "gallery"
WIDTH = 660  # of a picture on the page, in pixels


def ours():
    """The excerpts that the Go test sets, in order of score."""
    GALLERY.mkdir(parents=True, exist_ok=True)
    subprocess.run(
        ["go", "test", "-count=1", "-run", "^TestGallery$", "./annotate/excerpt"],
        cwd=outside.ROOT, check=True, env={**os.environ, "HARDBARS_GALLERY": str(GALLERY)},
    )
    return json.loads((GALLERY / "list.json").read_text())


def theirs(toolkit, first, last):
    """The other engraver's picture of some bars, or what went wrong."""
    toolkit.select({"measureRange": f"{first}-{last}"})
    toolkit.redoLayout()
    return [toolkit.renderToSVG(page) for page in range(1, toolkit.getPageCount() + 1)]


def image(svg):
    """A picture in a page by itself, so that ids do not meet."""
    data = base64.b64encode(svg.encode()).decode()
    return f'<img width="{WIDTH}" src="data:image/svg+xml;base64,{data}">'


def page(path, pictures):
    """One score: ours on the left, the other on the right."""
    toolkit = verovio.toolkit()
    toolkit.setOptions({
        "pageWidth": 1740, "pageHeight": 60000, "adjustPageHeight": True, "scale": 40, "pageMarginLeft": 0,
        "pageMarginRight": 0, "header": "none", "footer": "none", "scaleToPageSize": True,
    })
    if not toolkit.loadFile(str(path)):
        sys.exit(f"{path.name}: verovio cannot read it")
    rows = []
    for p in pictures:
        left = image((GALLERY / p["File"]).read_text())
        right = "".join(map(image, theirs(toolkit, p["First"], p["Last"])))
        title = html.escape(f"{p['File']}: {p['Title']} ({p['First']} to {p['Last']} of the file)")
        rows.append(f"<tr><th colspan=2>{title}</th></tr>\n<tr><td>{left}</td><td>{right}</td></tr>\n")
    name = path.name + ".html"
    (GALLERY / name).write_text(f'<!doctype html><meta charset="utf-8"><title>{html.escape(path.name)}</title><table>\n{"".join(rows)}</table>\n')
    return name


def main():
    words = [w.lower() for w in sys.argv[1:]]
    paths = {p.name: p for p in outside.scores()}
    links = []
    for score, pictures in groupby(ours(), key=lambda p: p["Score"]):
        if words and not any(w in score.lower() for w in words):
            continue
        name = page(paths[score], list(pictures))
        links.append(f'<li><a href="{html.escape(name)}">{html.escape(score)}</a>')
        print(name)
    (GALLERY / "index.html").write_text('<!doctype html><meta charset="utf-8"><title>Gallery</title><ul>\n' + "\n".join(links) + "\n</ul>\n")


main()
