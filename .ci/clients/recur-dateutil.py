#!/usr/bin/python3
"""Expands recurrence rules with python-dateutil. Each line of standard input is
{"rule", "start", "to"}, times written as 20260301T080000 on a clock without a
zone; the answer is one line of all times from the start up to, but not including,
the last, in the same form.
"""
import json
import sys
from datetime import datetime

import dateutil.rrule

FORM = "%Y%m%dT%H%M%S"

for line in sys.stdin:
    asked = json.loads(line)
    start, to = datetime.strptime(asked["start"], FORM), datetime.strptime(asked["to"], FORM)
    found = []
    for at in dateutil.rrule.rrulestr(asked["rule"], dtstart=start):
        if at >= to:
            break
        found.append(at.strftime(FORM))
    print(json.dumps(found))
