# Walks through a collection of to-dos as an app does that is built on Python's
# caldav: discovery from the root, the to-dos by its own calls, one ticked off, one
# edited, one deleted, one of its own. Writes what it saw as JSON. A warning of the
# library ends the run with a failure.
import json
import logging
import sys
import warnings

import caldav
from caldav.lib import error

warnings.simplefilter("error")
warnings.filterwarnings("ignore", category=DeprecationWarning)
remarks = []


class Remarks(logging.Handler):
    def emit(self, record):
        remarks.append(record.getMessage())


logging.getLogger().addHandler(Remarks(level=logging.WARNING))

url, user, password, task = sys.argv[1:5]
client = caldav.DAVClient(url=url, username=user, password=password, timeout=3600)
principal = client.principal()
calendars = principal.calendars()
seen = {"calendars": [{"name": c.name, "url": str(c.url), "components": c.get_supported_components()} for c in calendars]}
calendar = calendars[0]


def titles(todos):
    return sorted(str(t.vobject_instance.vtodo.uid.value) for t in todos)


open_before = calendar.todos()
seen["open"] = titles(open_before)
seen["all"] = titles(calendar.todos(include_completed=True))
sync = calendar.objects(load_objects=True)
seen["synced"] = len(list(sync))

wanted = next(t for t in open_before if t.vobject_instance.vtodo.uid.value == task)
by_uid = calendar.todo_by_uid(task)
seen["by_uid"] = str(by_uid.vobject_instance.vtodo.uid.value)

# Edited, it is as it was at the next look.
summary = wanted.vobject_instance.vtodo.summary.value
wanted.vobject_instance.vtodo.summary.value = "Something else"
wanted.save()
wanted.load()
seen["edited"] = wanted.vobject_instance.vtodo.summary.value == summary

wanted.complete()
wanted.load()
seen["status"] = wanted.vobject_instance.vtodo.status.value
seen["open_after"] = titles(calendar.todos())
updated, deleted = sync.sync()
seen["changed"] = [str(o.url).rsplit("/", 1)[1] for o in updated]
seen["gone"] = [str(o.url).rsplit("/", 1)[1] for o in deleted]

try:
    calendar.save_todo(summary="Of my own")
    seen["own"] = "taken"
except error.AuthorizationError:
    seen["own"] = "refused"

other = next(t for t in calendar.todos() if "/tamper." in t.vobject_instance.vtodo.uid.value)
other.delete()
seen["deleted"] = str(other.vobject_instance.vtodo.uid.value) not in titles(calendar.todos(include_completed=True))

if remarks:
    sys.stderr.write("\n".join(remarks) + "\n")
    sys.exit(1)
json.dump(seen, sys.stdout)
