// Step 6, by the machine's own logs: the track on the plan, what was missed, and
// what it says of the base. Everything is worked out by the engine.

import { el, choice, field, area } from "./dom.js";
import * as map from "./map.js";

const readable = ["nmea", "gpx", "csv", "solution"];
let answer = null;
let form = { receiver: "machine", quality: "" };

const logs = (desk) => desk.work.files.filter((f) => f.name !== desk.work.source && (readable.includes(f.format) || !f.plan && /\.(csv|txt|pos|nmea|log)$/i.test(f.name)));
let picked = new Set();

export const forget = () => { answer = null; picked = new Set(); };

// taken is called when files came in during this step.
export async function taken(desk, names) {
  for (const n of names) picked.add(n);
  await look(desk);
}

export function list(desk) {
  const all = logs(desk);
  const out = [el("h3", {}, "Or lay the machine's logs over the plan"),
    el("p", { class: "why" }, "NMEA, GPX with times, CSV with a column of times, or .pos. They stay on this device.")];
  if (all.length) {
    out.push(el("ul", { class: "rows", "aria-label": "Logs" }, all.map((f) => el("li", {}, el("label", {},
      el("input", { type: "checkbox", checked: picked.has(f.name), "data-key": "log " + f.name, onchange: (e) => { if (e.target.checked) picked.add(f.name); else picked.delete(f.name); } }), " ", f.name)))));
  }
  out.push(el("div", { class: "form" },
    field("Whose receiver", choice(form.receiver, [["machine", "the machine's, on this base"], ["independent", "on the machine, on other corrections"]], (v) => { form.receiver = v; }, { "data-key": "receiver" })),
    field("Positions that state no quality", choice(form.quality, [["", "count apart"], ["fixed", "are fixed"], ["float", "are float"], ["single", "are single"]], (v) => { form.quality = v; }, { "data-key": "quality" }))));
  out.push(el("div", { class: "buttons" },
    el("button", { "data-key": "logs", onclick: desk.pick }, "Open logs"),
    all.length ? el("button", { class: "main", "data-key": "lay logs", onclick: () => look(desk) }, "Lay over the plan") : null));
  if (answer) out.push(...said(desk));
  return out;
}

async function look(desk) {
  const there = logs(desk).map((f) => f.name).filter((n) => picked.has(n));
  if (!there.length) return desk.tell("Choose at least one log.", true);
  await desk.busy("Reading the logs …", async () => {
    const { result, notes } = await desk.ask("driven", { logs: there, ...form });
    answer = { ...result, notes };
    draw();
    map.whole();
    desk.show();
    const at = document.getElementById("driven-says");
    if (at) at.scrollIntoView({ block: "start" });
    desk.tell(result.words, result.verdict !== "unchanged");
  });
}

// draw keeps the track and the missed ground on the plan.
export function draw() {
  if (!answer) return;
  const a = answer;
  map.setMarks(a.findings.map((f, i) => ({ at: f.at, text: String(i + 1) })));
  map.setExtra((p, toScreen, state) => {
    for (const m of a.missed) {
      p.save();
      p.beginPath();
      for (const r of m.rings) { trace(p, toScreen, r); p.closePath(); }
      p.fillStyle = "#ffffffd9"; p.fill("evenodd");
      p.strokeStyle = a.missed_line; p.lineWidth = 1.6; p.stroke();
      p.clip("evenodd");
      stripes(p, state);
      p.restore();
    }
    for (const t of a.track) {
      p.strokeStyle = t.line; p.lineWidth = t.width; p.setLineDash(t.dash);
      p.beginPath();
      for (const r of t.runs) trace(p, toScreen, r);
      p.stroke();
    }
    p.setLineDash([]);
  });
}

function trace(p, toScreen, r) {
  for (let i = 0; i < r.length; i += 2) { const [x, y] = toScreen(r[i], r[i + 1]); if (i) p.lineTo(x, y); else p.moveTo(x, y); }
}

function stripes(p, state) {
  p.beginPath();
  for (let x = -state.height; x < state.width; x += 7) { p.moveTo(x, 0); p.lineTo(x + state.height, state.height); }
  p.strokeStyle = "#000"; p.lineWidth = 0.9; p.stroke();
}

function swatch(t) {
  const c = el("canvas", { class: "swatch", width: 52, height: 36 });
  const p = c.getContext("2d");
  p.scale(2, 2);
  if (t) { p.strokeStyle = t.line; p.lineWidth = 2; p.setLineDash(t.dash); p.beginPath(); p.moveTo(1, 9); p.lineTo(25, 9); p.stroke(); }
  else { p.beginPath(); p.rect(2, 2, 22, 14); p.strokeStyle = answer.missed_line; p.lineWidth = 1.6; p.stroke(); p.clip(); stripes(p, { width: 26, height: 18 }); }
  return c;
}

function said() {
  const a = answer;
  const out = [el("div", { class: "box", id: "driven-says" },
    el("p", {}, el("span", { class: a.verdict !== "unchanged" ? "bad" : "good" }, a.title)),
    el("p", {}, "By the logs: " + a.why + "."), a.step ? el("p", {}, el("b", {}, a.step)) : null, el("p", { class: "why" }, a.span + "."))];
  for (const n of a.notes.filter((x) => x.kind === "warning" || x.kind === "remark")) out.push(el("p", { class: "why" }, n.text));
  out.push(el("h3", {}, "On the plan"), el("ul", { class: "rows", "aria-label": "Signs of the track" },
    a.track.map((t) => el("li", {}, swatch(t), t.says)), a.missed.length ? el("li", {}, swatch(null), "missed: not driven over") : null));
  out.push(el("h3", {}, "Ground covered"), el("table", { "aria-label": "Ground covered" },
    el("thead", {}, el("tr", {}, el("th", {}, "Zone"), el("th", { class: "n" }, "Driven"), el("th", { class: "n" }, "Missed"))),
    el("tbody", {}, a.zones.map((z) => el("tr", {}, el("td", {}, z.zone), z.unchecked ? el("td", { colspan: 2 }, "not checked: " + z.unchecked)
      : [el("td", { class: "n" }, z.percent.toFixed(1) + " %"), el("td", { class: "n" }, area(z.missed_m2))])))));
  if (a.days.length) out.push(el("h3", {}, "The base, day by day"), el("table", { "aria-label": "The base, day by day" },
    el("thead", {}, el("tr", {}, el("th", {}, "Day"), el("th", { class: "n" }, "East"), el("th", { class: "n" }, "North"), el("th", {}, "Says"))),
    el("tbody", {}, a.days.map((d) => el("tr", {}, el("td", {}, d.day), el("td", { class: "n" }, d.known ? mm(d.e) : "—"), el("td", { class: "n" }, d.known ? mm(d.n) : "—"), el("td", {}, d.verdict))))));
  if (a.findings.length) out.push(el("h3", {}, "What was found (" + a.findings.length + ")"), el("ul", { class: "rows", "aria-label": "What the logs show" }, a.findings.map((f, i) => el("li", {},
    el("button", { class: "row", "data-key": "drv" + i, onclick: () => { map.choose(f.features); if (f.at) map.goTo(f.at[0], f.at[1], 20); } }, el("span", { class: "bad" }, (i + 1) + " "), f.message)))));
  if (a.unchecked.length) out.push(el("details", {}, el("summary", {}, "Not checked (" + a.unchecked.length + ")"), el("ul", { class: "rows" }, a.unchecked.map((r) => el("li", {}, el("span", { class: "kind" }, r.rule), el("span", { class: "why" }, r.reason))))));
  return out;
}

const mm = (x) => (x < 0 ? "−" : "+") + Math.abs(x * 1000).toFixed(0) + " mm";
