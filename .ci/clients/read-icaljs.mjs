// Reads calendars with ical.js in strict mode, and writes what it found as JSON,
// so that a test can compare it with what went in. See each.mjs.
import ICAL from "ical.js";
import { each, instant } from "./each.mjs";

ICAL.design.strict = true;

const when = (time) => (time === null || time === undefined ? undefined : time.isDate ? time.toString() : instant(time.toJSDate()));

// seconds gives how long after an anchor an alarm goes off.
const seconds = (alarm) => alarm.getFirstPropertyValue("trigger").toSeconds();

// common is what events and to-dos share.
const common = (component, anchor) => ({
  uid: component.getFirstPropertyValue("uid"),
  summary: component.getFirstPropertyValue("summary"),
  description: component.getFirstPropertyValue("description"),
  categories: component.getFirstProperty("categories")?.getValues() ?? [],
  url: component.getFirstPropertyValue("url") ?? "",
  allDay: anchor.isDate,
  zone: anchor.isDate ? "" : anchor.zone.tzid,
  local: anchor.isDate ? "" : anchor.toString().replace("Z", ""),
  sequence: component.getFirstPropertyValue("sequence"),
  stamp: when(component.getFirstPropertyValue("dtstamp")),
  modified: when(component.getFirstPropertyValue("last-modified")),
  status: component.getFirstPropertyValue("status"),
  rrule: component.getFirstPropertyValue("rrule")?.toString() ?? "",
  alarms: component.getAllSubcomponents("valarm").map(seconds),
  alarmTexts: component.getAllSubcomponents("valarm").map((a) => a.getFirstPropertyValue("description")),
});

each((text) => {
  const calendar = new ICAL.Component(ICAL.parse(text));
  ICAL.TimezoneService.reset();
  const zones = calendar.getAllSubcomponents("vtimezone").map((z) => {
    const zone = new ICAL.Timezone(z);
    ICAL.TimezoneService.register(zone);
    return zone.tzid;
  });
  const events = calendar.getAllSubcomponents("vevent").map((component) => {
    const event = new ICAL.Event(component);
    return {
      ...common(component, event.startDate),
      start: when(event.startDate),
      end: when(event.endDate),
      minutes: (event.endDate.toUnixTime() - event.startDate.toUnixTime()) / 60,
      transp: component.getFirstPropertyValue("transp"),
    };
  });
  const todos = calendar.getAllSubcomponents("vtodo").map((component) => {
    const due = component.getFirstPropertyValue("due");
    const start = component.getFirstPropertyValue("dtstart");
    const related = component.getAllSubcomponents("valarm").map((a) => a.getFirstProperty("trigger").getParameter("related") ?? "START");
    return {
      ...common(component, due ?? start),
      start: when(start),
      due: when(due),
      percent: component.getFirstPropertyValue("percent-complete"),
      completed: when(component.getFirstPropertyValue("completed")),
      related,
    };
  });
  return { zones, name: calendar.getFirstPropertyValue("name") ?? "", events, todos };
});
