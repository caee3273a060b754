// Prints what two readers make of a calendar file on standard input, as JSON:
// {"ical.js": [visit], "node-ical": [visit]}, each visit with uid, sequence, method, summary,
// description, and start and end in minutes since 1970 (UTC).
import { readFileSync } from "node:fs";
import ICAL from "ical.js";
import nodeIcal from "node-ical";

const text = readFileSync(0, "utf-8");
const minute = (date) => date.getTime() / 60000;

function withIcalJs() {
  const calendar = new ICAL.Component(ICAL.parse(text));
  return calendar.getAllSubcomponents("vevent").map((part) => {
    const event = new ICAL.Event(part);
    return {
      uid: event.uid,
      sequence: event.sequence,
      method: calendar.getFirstPropertyValue("method"),
      status: part.getFirstPropertyValue("status"),
      summary: event.summary,
      description: event.description,
      start: minute(event.startDate.toJSDate()),
      end: minute(event.endDate.toJSDate()),
    };
  });
}

function withNodeIcal() {
  const parts = Object.values(nodeIcal.sync.parseICS(text));
  const calendar = parts.find((part) => part.type === "VCALENDAR") ?? {};
  return parts
    .filter((part) => part.type === "VEVENT")
    .map((part) => ({
      uid: part.uid,
      sequence: Number(part.sequence),
      method: part.method ?? calendar.method,
      status: part.status,
      summary: part.summary,
      description: part.description,
      start: minute(part.start),
      end: minute(part.end),
    }));
}

console.log(JSON.stringify({ "ical.js": withIcalJs(), "node-ical": withNodeIcal() }));
