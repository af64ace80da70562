"""Taking the marks away leaves the input, element for element.

Source: Canonical XML (W3C C14N 2.0) as Python's own xml.etree writes it, with
comments and processing instructions. Two documents with the same canonical
form have the same elements, attributes, text, comments and instructions.
"""

import xml.etree.ElementTree as ET

import outside


def canonical(data):
    return ET.canonicalize(ET.tostring(parse(data), encoding="unicode"), with_comments=True)


def parse(data):
    """Parses with comments and processing instructions kept."""
    builder = ET.TreeBuilder(insert_comments=True, insert_pis=True)
    return ET.fromstring(data, parser=ET.XMLParser(target=builder))


def first_difference(a, b):
    at = next((i for i, (x, y) in enumerate(zip(a, b)) if x != y), min(len(a), len(b)))
    return f"…{a[max(at - 60, 0):at + 60]!r} became …{b[max(at - 60, 0):at + 60]!r}"


def main():
    troubles, checked = [], 0
    for score in outside.scores():
        before = canonical(outside.musicxml(score))
        marks = canonical(outside.marked(score).read_bytes())
        after = canonical(outside.hardbars("unmark", outside.marked(score)))
        checked += 1
        if before != after:
            troubles.append(f"{score.name}: {first_difference(before, after)}")
        if marks == before and b'"id"' in outside.hardbars("spots", "--json", score):
            troubles.append(f"{score.name}: has hot spots and no marks")
    print(f"unmark: {checked} scores marked and unmarked, compared in canonical form")
    outside.finish("unmark", troubles)


if __name__ == "__main__":
    main()
