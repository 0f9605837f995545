// Walks through a collection of to-dos as an app does that is built on tsdav:
// discovery, the to-dos, one ticked off, what changed since by the library's own
// synchronisation, one that must not be made. Writes what it saw as JSON.
import { createDAVClient } from "tsdav";

const [serverUrl, username, password, task] = process.argv.slice(2);
const remarks = [];
console.warn = (...words) => remarks.push(words.join(" "));
console.error = (...words) => remarks.push(words.join(" "));

const client = await createDAVClient({
  serverUrl,
  credentials: { username, password },
  authMethod: "Basic",
  defaultAccountType: "caldav",
});
const calendars = await client.fetchCalendars();
const calendar = calendars[0];
const filters = {
  "comp-filter": { _attributes: { name: "VCALENDAR" }, "comp-filter": { _attributes: { name: "VTODO" } } },
};
const fetch = () => client.fetchCalendarObjects({ calendar, filters });
const objects = await fetch();
const seen = {
  calendars: calendars.map((c) => ({ name: c.displayName, url: c.url, components: c.components, ctag: c.ctag, syncToken: c.syncToken, reports: c.reports })),
  objects: objects.map((o) => o.url.split("/").pop()).sort(),
};
const wanted = objects.find((o) => o.data.includes(`UID:${task}\r\n`));
const done = wanted.data.replace(/STATUS:NEEDS-ACTION/, "STATUS:COMPLETED").replace(/PERCENT-COMPLETE:0/, "PERCENT-COMPLETE:100");
const stale = await client.updateCalendarObject({ calendarObject: { ...wanted, data: done, etag: '"another"' } });
const put = await client.updateCalendarObject({ calendarObject: { ...wanted, data: done } });
seen.stale = stale.status;
seen.put = put.status;

const synced = await client.smartCollectionSync({
  collection: { ...calendar, objects, objectMultiGet: client.calendarMultiGet },
  method: "webdav",
  detailedResult: true,
});
seen.created = synced.objects.created.map((o) => o.url.split("/").pop()).sort();
seen.updated = synced.objects.updated.map((o) => o.url.split("/").pop()).sort();
seen.deleted = synced.objects.deleted.map((o) => o.url.split("/").pop()).sort();
seen.status = synced.objects.updated.find((o) => o.url === wanted.url).data.match(/STATUS:(.*)\r\n/)[1];

const own = await client.createCalendarObject({
  calendar,
  filename: "mine.ics",
  iCalString: "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//t//EN\r\nBEGIN:VTODO\r\nUID:mine\r\nDTSTAMP:20260101T000000Z\r\nSUMMARY:Mine\r\nEND:VTODO\r\nEND:VCALENDAR\r\n",
});
seen.own = own.status;
// Its tag may be another since the rest of the plan followed.
const other = (await fetch()).find((o) => o.url.includes("tools.thermometer.") || o.url.includes("tools.scale-check."));
seen.deletion = (await client.deleteCalendarObject({ calendarObject: other })).status;
seen.left = (await fetch()).some((o) => o.url === other.url);

if (remarks.length > 0) {
  process.stderr.write(remarks.join("\n") + "\n");
  process.exit(1);
}
process.stdout.write(JSON.stringify(seen));
