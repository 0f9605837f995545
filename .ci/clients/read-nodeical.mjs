// Reads calendars with node-ical, and writes what it found as JSON, so that a
// test can compare it with what went in. See each.mjs.
import nodeIcal from "node-ical";
import { each, instant } from "./each.mjs";

const plain = (value) => (value !== null && typeof value === "object" && "val" in value ? value.val : value);

// Whole days are midnights on the clock of this machine.
const pad = (n, width) => String(n).padStart(width, "0");
const when = (date) => {
  if (date === undefined) return undefined;
  return date.dateOnly ? `${pad(date.getFullYear(), 4)}-${pad(date.getMonth() + 1, 2)}-${pad(date.getDate(), 2)}` : instant(date);
};

// seconds reads the durations that alarms come with; the library leaves them as
// they are written.
const seconds = (text) => {
  const parts = /^([-+]?)P(?:(\d+)W)?(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?(?:(\d+)S)?)?$/.exec(text);
  if (parts === null) throw new Error(`trigger ${text}`);
  const [weeks, days, hours, minutes, rest] = parts.slice(2).map((n) => Number(n ?? 0));
  const all = (((weeks * 7 + days) * 24 + hours) * 60 + minutes) * 60 + rest;
  return parts[1] === "-" && all > 0 ? -all : all;
};

const common = (item, anchor) => ({
  uid: item.uid,
  summary: plain(item.summary),
  description: plain(item.description),
  categories: item.categories ?? [],
  url: plain(item.url) ?? "",
  allDay: anchor.dateOnly === true,
  zone: anchor.dateOnly ? "" : anchor.tz,
  sequence: item.sequence,
  stamp: when(item.dtstamp),
  modified: when(item.lastmodified),
  status: item.status,
  rrule: item.rrule ? String(item.rrule.toString()) : "",
  alarms: (item.alarms ?? []).map((a) => seconds(plain(a.trigger))),
  alarmTexts: (item.alarms ?? []).map((a) => plain(a.description)),
});

each((text) => {
  const calendar = nodeIcal.sync.parseICS(text);
  const items = Object.values(calendar);
  const events = items.filter((item) => item.type === "VEVENT").map((event) => ({
    ...common(event, event.start),
    start: when(event.start),
    end: when(event.end),
    minutes: event.start.dateOnly ? (Date.parse(when(event.end)) - Date.parse(when(event.start))) / 60000 : (event.end - event.start) / 60000,
    transp: event.transparency,
  }));
  const todos = items.filter((item) => item.type === "VTODO").map((todo) => ({
    ...common(todo, todo.due ?? todo.start),
    start: todo.start && when(todo.start),
    due: when(todo.due),
    percent: Number(todo.completion),
    completed: when(todo.completed),
    related: (todo.alarms ?? []).map((a) => a.trigger.params?.RELATED ?? "START"),
  }));
  const zones = items.filter((item) => item.type === "VTIMEZONE").map((zone) => zone.tzid);
  return { zones, name: calendar.vcalendar?.name ?? "", events, todos };
});
