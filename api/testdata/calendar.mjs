// Reads a calendar from its input with an independent parser, and tells what a calendar
// program would know of each event.
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";
const { default: ICAL } = await import(pathToFileURL(process.argv[2]).href);

const text = readFileSync(0, "utf8");
const component = new ICAL.Component(ICAL.parse(text));
const events = component.getAllSubcomponents("vevent").map((c) => {
  const e = new ICAL.Event(c);
  return {
    uid: e.uid,
    sequence: Number(e.sequence),
    status: c.getFirstPropertyValue("status") || "",
    from: e.startDate.toJSDate().toISOString(),
    until: e.endDate.toJSDate().toISOString(),
    zone: e.startDate.zone.tzid,
    summary: e.summary,
    place: e.location,
    words: e.description,
  };
});
const longest = Math.max(...text.split("\r\n").map((l) => Buffer.byteLength(l)));
console.log(JSON.stringify({ version: component.getFirstPropertyValue("version"), method: component.getFirstPropertyValue("method"), longest, events }));
