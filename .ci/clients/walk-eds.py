# Walks through a collection of to-dos as the programs do that stand on Evolution Data
# Server: it is added as a task list, fetched, one ticked off, one moved, one deleted,
# and looked at again. Writes what it saw as JSON. It runs without a screen, in a
# session bus of its own, with GSETTINGS_BACKEND=keyfile.
import json
import os
import sys
import threading
import time
from urllib.parse import urlparse

import gi

gi.require_version("EDataServer", "1.2")
gi.require_version("ECal", "2.0")
gi.require_version("ICalGLib", "3.0")
from gi.repository import ECal, EDataServer, GLib, ICalGLib  # noqa: E402

url, user, password, ticked, moved, deleted = sys.argv[1:7]
address = urlparse(url)

loop = GLib.MainLoop()
threading.Thread(target=loop.run, daemon=True).start()

folder = os.path.join(os.environ["XDG_CONFIG_HOME"], "evolution", "sources")
os.makedirs(folder)
with open(os.path.join(folder, "care.source"), "w") as file:
    file.write(f"""[Data Source]
DisplayName=Care
Enabled=true
Parent=caldav-stub

[Task List]
BackendName=caldav

[Authentication]
Host={address.hostname}
Port={address.port}
User={user}
Method=plain/password

[Security]
Method=none

[WebDAV Backend]
ResourcePath={address.path}
""")

settings = os.path.join(os.environ["XDG_CONFIG_HOME"], "glib-2.0", "settings")
os.makedirs(settings)
with open(os.path.join(settings, "keyfile"), "w") as file:  # for a computer without a network
    file.write("[org/gnome/evolution-data-server]\nnetwork-monitor-gio-name='always-online'\n")

registry = EDataServer.SourceRegistry.new_sync(None)
for _ in range(100):
    source = registry.ref_source("care")
    if source is not None:
        break
    time.sleep(0.1)

credentials = EDataServer.NamedParameters.new()
credentials.set(EDataServer.SOURCE_CREDENTIAL_USERNAME, user)
credentials.set(EDataServer.SOURCE_CREDENTIAL_PASSWORD, password)
source.connect("credentials-required", lambda s, *_: s.invoke_authenticate(credentials, None, None, None))

client = ECal.Client.connect_sync(source, ECal.ClientSourceType.TASKS, 1, None)
source.invoke_authenticate_sync(credentials, None)


def todos(most=60):
    """What the server has, once a fetch has come to its end."""
    client.refresh_sync(None)
    last = None
    for _ in range(most):
        time.sleep(1)
        ok, found = client.get_object_list_sync("#t", None)
        now = {c.get_uid(): c.as_ical_string() for c in found}
        if now and now == last:
            return {c.get_uid(): c for c in found}
        last = now
    return {c.get_uid(): c for c in found}


def shown(c):
    return {"summary": c.get_summary(), "status": str(c.get_status()), "due": c.get_due().as_ical_string()}


before = todos()
seen = {"open": sorted(before), "before": {u: shown(before[u]) for u in (ticked, moved, deleted)}}

done = before[ticked]
done.set_status(ICalGLib.PropertyStatus.COMPLETED)
client.modify_object_sync(done, ECal.ObjModType.ALL, ECal.OperationFlags.NONE, None)

other = before[moved]
other.set_due(ICalGLib.Time.new_from_string("20991219T100000Z"))
client.modify_object_sync(other, ECal.ObjModType.ALL, ECal.OperationFlags.NONE, None)

client.remove_object_sync(deleted, None, ECal.ObjModType.ALL, ECal.OperationFlags.NONE, None)

time.sleep(3)
after = todos()
seen["after"] = {u: shown(after[u]) for u in (ticked, moved, deleted) if u in after}
seen["came"] = sorted(set(after) - set(before))
json.dump(seen, sys.stdout)
