// Step 6: somebody touched the base. What the machine would do now, and what to
// do about it.

import { el, choice, field, metres } from "./dom.js";
import * as map from "./map.js";
import * as driven from "./driven.js";

let answer = null;
let form = { e: "", n: "", u: "", marks: "", date: "" };

export const movedStep = {
  leave() { answer = null; driven.forget(); map.setExtra(null); },
  taken: driven.taken,
  list(desk) {
    const out = [el("h2", {}, "Base moved")];
    if (answer) out.push(...said(desk), el("h3", {}, "Another movement"));
    out.push(el("p", {}, "When the base moves, every line of the plan moves with it. Say by how much, or measure marks again."));
    const e = el("input", { value: form.e, inputmode: "decimal", "data-key": "se", name: "e" });
    const n = el("input", { value: form.n, inputmode: "decimal", "data-key": "sn", name: "n" });
    const u = el("input", { value: form.u, inputmode: "decimal", placeholder: "not known", "data-key": "su", name: "u" });
    const lists = desk.work.files.filter((f) => !f.plan || f.format === "csv" && f.name !== desk.work.source);
    out.push(el("form", { onsubmit: (ev) => { ev.preventDefault(); form = { ...form, e: e.value, n: n.value, u: u.value }; shift(desk); } },
      field("Antenna moved east, m", e), field("north, m", n), field("up, m", u), el("button", { class: "main", "data-key": "shift" }, "What happens?")));
    out.push(lists.length
      ? el("div", { class: "form" }, field("Or marks measured again", choice(form.marks, [["", "—"], ...lists.map((f) => [f.name, f.name])], (v) => { form.marks = v; if (v) byMarks(desk, v); }, { "data-key": "remarks" })))
      : el("p", { class: "why" }, "Marks measured again: open the list (CSV) in step 1, then choose it here."));
    out.push(...driven.list(desk));
    return out;
  },
};

async function ask(desk, what) {
  await desk.busy("Looking …", async () => {
    const { result, notes } = await desk.ask("drift", what);
    driven.forget();
    answer = { ...result, what, notes };
    ghost();
    map.whole();
    desk.show();
    document.getElementById("list").scrollTop = 0;
    desk.tell(result.words, result.verdict !== "unchanged");
  });
}

function shift(desk) {
  const v = [form.e, form.n].map(desk.number);
  if (v.some(Number.isNaN)) return desk.tell("Type metres east and north, such as 0.06 and -0.05", true);
  const up = desk.number(form.u);
  return ask(desk, { shift: v.concat(Number.isNaN(up) ? [] : [up]) });
}

const byMarks = (desk, name) => ask(desk, { marks: name });

// ghost draws where the machine drives now, over where it should.
function ghost() {
  if (!answer) return map.setExtra(null);
  const [de, dn] = answer.shift;
  map.setMarks(answer.findings.map((f, i) => ({ at: f.at, trace: f.trace, text: String(i + 1) })));
  map.setExtra((p, toScreen, state) => {
    if (!state.view) return;
    p.strokeStyle = "#8f2d00"; p.lineWidth = 2; p.setLineDash([5, 4]);
    for (const f of state.view.features) {
      if (!f.active || !["zone", "corridor", "dock"].includes(f.role)) continue;
      for (const part of f.parts) for (const r of part) {
        p.beginPath();
        for (let i = 0; i < r.length; i += 2) { const [x, y] = toScreen(r[i] + de, r[i + 1] + dn); if (i) p.lineTo(x, y); else p.moveTo(x, y); }
        if (f.kind === "polygon") p.closePath();
        p.stroke();
      }
    }
    p.setLineDash([]);
  });
}

function said(desk) {
  const bad = answer.verdict !== "unchanged";
  const out = [el("div", { class: "box" },
    el("p", {}, el("span", { class: bad ? "bad" : "good" }, answer.title)),
    answer.advice.map((a) => el("p", {}, a)),
    el("p", { class: "why" }, "Movement " + metres(answer.horizontal_m, 3) + " towards " + Math.round(answer.bearing_deg) + "°. Dashed: where the machine drives now."))];
  if (answer.unchecked.length) out.push(el("h3", {}, "Not checked"), el("ul", { class: "rows" }, answer.unchecked.map((r) => el("li", {}, el("span", { class: "kind" }, r.rule), el("span", { class: "why" }, r.reason)))));
  if (answer.findings.length) out.push(el("h3", {}, "What is entered or left (" + answer.findings.length + ")"), el("ul", { class: "rows" }, answer.findings.map((f, i) => el("li", {},
    el("button", { class: "row", "data-key": "d" + i, onclick: () => { map.choose(f.features); if (f.at) map.goTo(f.at[0], f.at[1], 30); } }, el("span", { class: "bad" }, (i + 1) + " "), f.message)))));
  const date = el("input", { type: "date", value: form.date || new Date().toISOString().slice(0, 10), "data-key": "date" });
  out.push(el("h3", {}, "The base stays where it is now"),
    el("div", { class: "form" }, field("Date of the movement", date),
      el("button", { "data-key": "correct", onclick: () => correct(desk, date.value) }, "Make the corrected plan")));
  return out;
}

async function correct(desk, date) {
  form.date = date;
  await desk.busy("Correcting …", async () => {
    const { result, bytes } = await desk.ask("correct", { ...answer.what, date });
    await desk.takeFile(result.name, bytes.slice());
    desk.download(result.name, bytes.slice());
    desk.show();
    desk.tell(result.words);
  });
}
