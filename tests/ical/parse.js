// Reads a calendar on standard input with the parser named (ical.js or node-ical) and prints its
// events as JSON, days as YYYY-MM-DD and instants in UTC.
const path = require("path");
const modules = path.join(__dirname, "..", "node_modules");
const chunks = [];
process.stdin.on("data", (c) => chunks.push(c)).on("end", async () => {
  const text = Buffer.concat(chunks).toString("utf8");
  const read = process.argv[2] === "node-ical" ? withNodeIcal : withIcalJs;
  process.stdout.write(JSON.stringify(await read(text)));
});

const minute = (date) => date.toISOString().slice(0, 16) + "Z";

async function withIcalJs(text) {
  const fs = require("fs");
  const home = path.join(modules, "ical.js");
  const meta = JSON.parse(fs.readFileSync(path.join(home, "package.json"), "utf8"));
  const ICAL = (await import(path.join(home, meta.module || meta.main))).default;
  const root = new ICAL.Component(ICAL.parse(text));
  for (const zone of root.getAllSubcomponents("vtimezone")) ICAL.TimezoneService.register(zone);
  const when = (t) => (t.isDate ? t.toString() : minute(new Date(t.toUnixTime() * 1000)));
  return root.getAllSubcomponents("vevent").map((part) => {
    const event = new ICAL.Event(part);
    return {
      uid: event.uid, start: when(event.startDate), end: when(event.endDate),
      summary: event.summary, description: event.description || "", location: event.location || "",
    };
  });
}

function withNodeIcal(text) {
  const ical = require(path.join(modules, "node-ical"));
  const local = (d) =>
    [d.getFullYear(), d.getMonth() + 1, d.getDate()].map((n) => String(n).padStart(2, "0")).join("-");
  const when = (d, kind) => (kind === "date" ? local(d) : minute(d));
  const plain = (v) => (v && typeof v === "object" && "val" in v ? v.val : v || "");
  return Object.values(ical.sync.parseICS(text)).filter((e) => e.type === "VEVENT").map((e) => ({
    uid: e.uid, start: when(e.start, e.datetype), end: when(e.end, e.datetype),
    summary: plain(e.summary), description: plain(e.description), location: plain(e.location),
  }));
}
