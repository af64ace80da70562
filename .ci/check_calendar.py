"""Every practice plan is a sound iCalendar file that agrees with its JSON.

Source: the package icalendar, a reader of RFC 5545 that knows nothing of
hardbars, and the RFC's own rules for lines. Checked: it parses without error,
no line over 75 bytes and each ended by CRLF, the properties that the RFC asks
for, an event of a whole day for each day of the plan and no other, identifiers
of their own, the minutes and every thing to do in the event's words, the same
bytes when made twice.
"""

import datetime
import json
import tempfile
from pathlib import Path

import icalendar

import outside

SETTINGS = ["--minutes", "30", "--days", "5", "--weeks", "3", "--start", "2026-03-02"]


def lines_wrong(data):
    if not data.endswith(b"\r\n"):
        yield "the last line has no end"
    for line in data[:-2].split(b"\r\n"):
        if len(line) > 75:
            yield f"a line of {len(line)} bytes: {line!r}"
        if b"\n" in line or b"\r" in line:
            yield f"a bare line end in {line!r}"


def event_wrong(event, day):
    date = datetime.date.fromisoformat(day["date"])
    start, end = event.decoded("dtstart"), event.decoded("dtend")
    if start != date or end != date + datetime.timedelta(days=1):
        yield f"{date}: from {start} to {end}"
    if f"{day['minutes']} min" not in str(event["summary"]):
        yield f"{date}: {day['minutes']} minutes are not in {event.decoded('summary').decode()!r}"
    words = str(event["description"])
    for item in day["items"]:
        for part in (item["what"], item["how"], item["bars"], item["tempo"]["text"] if item["tempo"] else ""):
            if part not in words:
                yield f"{date}: {part!r} is not in its words"


def wrong_with(plan, data):
    yield from lines_wrong(data)
    calendar = icalendar.Calendar.from_ical(data)
    for property in ("version", "prodid"):
        if property not in calendar:
            yield f"no {property}"
    events = calendar.walk("VEVENT")
    for event in [calendar, *events]:
        for error in event.errors:
            yield f"does not parse: {error}"
    for event in events:
        for property in ("uid", "dtstamp", "dtstart", "summary"):
            if property not in event:
                yield f"an event without {property}"
    if len({str(e["uid"]) for e in events}) != len(events):
        yield "two events with one identifier"
    if len(events) != len(plan["days"]):
        yield f"{len(events)} events for {len(plan['days'])} days"
    for event, day in zip(events, plan["days"]):
        yield from event_wrong(event, day)


def main():
    troubles, checked = [], 0
    with tempfile.TemporaryDirectory() as folder:
        for score in outside.scores():
            plan = json.loads(outside.hardbars("plan", "--json", *SETTINGS, score))
            made = Path(folder) / (score.stem + ".plan.ics")
            outside.hardbars("plan", "--ics", "--out", folder, *SETTINGS, score)
            data = made.read_bytes()
            troubles += [f"{score.name}: {w}" for w in wrong_with(plan, data)]
            made.unlink()
            outside.hardbars("plan", "--ics", "--out", folder, *SETTINGS, score)
            if made.read_bytes() != data:
                troubles.append(f"{score.name}: made twice, the bytes differ")
            checked += 1
    print(f"calendar: {checked} practice plans: lines, events, days, words, same bytes twice")
    outside.finish("calendar", troubles)


if __name__ == "__main__":
    main()
