#!/usr/bin/python3
"""Reads calendars with Python's icalendar, and writes what it found as JSON, one
line for each file of the folder named, so that a test can compare it with what
went in. Whatever the library remarks on goes to standard error and ends the run
with a failure.

The library takes zones by their names from the machine's own database. So each
time is also read with the calendar's VTIMEZONE, both as the library makes a zone
of it and as python-dateutil does: all three must agree.
"""
import io
import json
import os
import sys
import warnings
from datetime import date, datetime, timedelta, timezone

import dateutil.tz
import icalendar

warnings.simplefilter("error")
remarks = []


def when(value):
    if value is None:
        return None
    if isinstance(value, datetime):
        return value.astimezone(timezone.utc).strftime("%Y-%m-%dT%H:%M:%SZ")
    return value.isoformat()


def of(component, name):
    value = component.get(name)
    return None if value is None else value.dt


class Zones:
    """The zones of a calendar, as its VTIMEZONEs give them."""

    def __init__(self, file, calendar):
        self.file = file
        self.names = []
        self.readings = {}
        for component in calendar.walk("VTIMEZONE"):
            name = str(component["TZID"])
            self.names.append(name)
            other = dateutil.tz.tzical(io.StringIO(component.to_ical().decode()))
            self.readings[name] = (component.to_tz(), other.get(name))

    def check(self, prop):
        """Reads a local time with the zone of its own calendar."""
        if prop is None or "TZID" not in prop.params:
            return
        name = prop.params["TZID"]
        wall = prop.dt.replace(tzinfo=None)
        library, other = self.readings[name]
        for reader, read in (("icalendar", library.localize(wall)), ("dateutil", wall.replace(tzinfo=other))):
            if read.astimezone(timezone.utc) != prop.dt.astimezone(timezone.utc):
                remarks.append(f"{self.file}: {wall} {name}: by its VTIMEZONE {reader} reads {when(read)}, by name {when(prop.dt)}")


def common(component, anchor):
    categories = component.get("CATEGORIES")
    alarms = component.walk("VALARM")
    zoned = isinstance(anchor.dt, datetime)
    rule = component.get("RRULE")
    return {
        "uid": str(component["UID"]),
        "summary": str(component["SUMMARY"]),
        "description": str(component["DESCRIPTION"]),
        "categories": [str(c) for c in categories.cats] if categories else [],
        "url": str(component.get("URL", "")),
        "allDay": not zoned,
        "zone": str(anchor.dt.tzinfo) if zoned else "",
        "local": anchor.dt.strftime("%Y-%m-%dT%H:%M:%S") if zoned else "",
        "start": when(of(component, "DTSTART")),
        "sequence": int(component["SEQUENCE"]),
        "stamp": when(of(component, "DTSTAMP")),
        "modified": when(of(component, "LAST-MODIFIED")),
        "status": str(component["STATUS"]),
        "rrule": rule.to_ical().decode() if rule else "",
        "alarms": [of(a, "TRIGGER").total_seconds() for a in alarms],
        "alarmTexts": [str(a["DESCRIPTION"]) for a in alarms],
    }


def event(component):
    start, end = of(component, "DTSTART"), of(component, "DTEND")
    end = end or start  # without one it ends as it starts (RFC 5545, 3.6.1)
    return {
        **common(component, component["DTSTART"]),
        "end": when(end),
        "minutes": (end - start) / timedelta(minutes=1),
        "transp": str(component["TRANSP"]),
    }


def todo(component):
    return {
        **common(component, component.get("DUE") or component["DTSTART"]),
        "due": when(of(component, "DUE")),
        "percent": int(component["PERCENT-COMPLETE"]),
        "completed": when(of(component, "COMPLETED")),
        "related": [a["TRIGGER"].params.get("RELATED", "START") for a in component.walk("VALARM")],
    }


def read(folder, file):
    with open(os.path.join(folder, file), "rb") as f:
        calendar = icalendar.Calendar.from_ical(f.read())
    zones = Zones(file, calendar)
    for component in calendar.walk():
        remarks.extend(f"{file}: {component.name}: {error}" for error in component.errors)
        for name in ("DTSTART", "DTEND", "DUE"):
            if component.name in ("VEVENT", "VTODO"):
                zones.check(component.get(name))
    return {
        "file": file,
        "zones": zones.names,
        "name": str(calendar.get("NAME", "")),
        "events": [event(c) for c in calendar.walk("VEVENT")],
        "todos": [todo(c) for c in calendar.walk("VTODO")],
    }


for name in sorted(os.listdir(sys.argv[1])):
    try:
        print(json.dumps(read(sys.argv[1], name)))
    except Exception as error:
        remarks.append(f"{name}: {type(error).__name__}: {error}")
if remarks:
    sys.exit("\n".join(remarks))
