// Reads a calendar from standard input with ical.js in strict mode, and writes
// what it found as JSON, so that a test can compare it with what went in.
// Whatever the library remarks on ends the run with a failure.
import ICAL from "ical.js";
import { readFileSync } from "node:fs";

const remarks = [];
console.warn = (...words) => remarks.push(words.join(" "));
console.error = (...words) => remarks.push(words.join(" "));

ICAL.design.strict = true;
const calendar = new ICAL.Component(ICAL.parse(readFileSync(0, "utf8")));
const zones = calendar.getAllSubcomponents("vtimezone").map((z) => {
  const zone = new ICAL.Timezone(z);
  ICAL.TimezoneService.register(zone);
  return zone.tzid;
});
const events = calendar.getAllSubcomponents("vevent").map((component) => {
  const event = new ICAL.Event(component);
  return {
    uid: event.uid,
    summary: event.summary,
    description: event.description,
    allDay: event.startDate.isDate,
    start: event.startDate.isDate ? event.startDate.toString() : event.startDate.toJSDate().toISOString(),
    minutes: (event.endDate.toUnixTime() - event.startDate.toUnixTime()) / 60,
    zone: event.startDate.zone ? event.startDate.zone.tzid : "",
    sequence: event.sequence,
    stamp: component.getFirstPropertyValue("dtstamp").toJSDate().toISOString(),
    status: component.getFirstPropertyValue("status"),
    categories: component.getFirstProperty("categories").getValues(),
    url: component.getFirstPropertyValue("url"),
    alarms: component.getAllSubcomponents("valarm").map((a) => a.getFirstPropertyValue("trigger").toString()),
  };
});
if (remarks.length > 0) {
  process.stderr.write(remarks.join("\n") + "\n");
  process.exit(1);
}
process.stdout.write(JSON.stringify({ zones, name: calendar.getFirstPropertyValue("name"), events }));
