// Step 2: the drawing gets its place, from measured marks or from a known grid.

import { el, choice, field, metres } from "./dom.js";
import * as map from "./map.js";

let marks = [];      // { name, a, b, x, y } as typed or paired: a, b lat/lon or e, n
let fit = null;
let pairing = -1;
let grids = null;
let near = "";
let listed = "";     // the list that the marks were read from
let pairedIn = 0;    // the drawing's unit in metres when the marks were paired

export const placeStep = {
  enter(desk) {
    if (desk.work.place && desk.work.place.marks) { marks = structuredClone(desk.work.place.marks); pairedIn = desk.work.place.unit_m || 0; }
    else {
      const lists = listsOf(desk);
      if (!marks.length && lists.length === 1 && desk.view && !desk.view.placed) readList(desk, lists[0].name);
    }
    fit = desk.view && desk.view.fit || null;
    arrows();
  },
  leave() { pairing = -1; },
  // taken is called with the names of the files that came in at this step.
  async taken(desk, names) {
    const lists = listsOf(desk).filter((f) => names.includes(f.name));
    if (lists.length === 1) return readList(desk, lists[0].name);
    desk.show();
    if (lists.length) return desk.tell(lists.length + " lists came in: choose which one under “List of marks”.");
    desk.tell(names.join(", ") + (names.length > 1 ? " are" : " is") + " no list of marks: a list is a CSV with a name and the measured coordinates of each. It is kept under 1 Open.", true);
  },
  tap(desk, x, y) {
    if (pairing < 0) { const f = map.featureAt(x, y); return desk.choose(f ? f.i : null); }
    const at = map.vertexAt(x, y);
    if (!at) return desk.tell("No drawn point there: tap a corner or a point of the drawing.", true);
    marks[pairing].x = at[0];
    marks[pairing].y = at[1];
    pairedIn = desk.view.unit_m;
    desk.tell(marks[pairing].name + " is paired with the point at " + at[0].toFixed(3) + ", " + at[1].toFixed(3) + ".");
    pairing = marks.findIndex((m) => m.x === undefined);
    desk.hint(pairing >= 0 ? "Tap the drawn point of " + marks[pairing].name : "");
    desk.show();
  },
  list(desk) {
    const v = desk.view, out = [el("h2", {}, "Place")];
    out.push(el("p", {}, v.placed ? "The plan stands in " + v.crs_name + (v.frame ? ", frame " + v.frame : "") + "." : "The drawing has no place on the earth yet. Give it measured marks, or say its grid."));
    if (v.fit) out.push(result(v.fit));
    if (v.placed && !desk.work.place && !desk.work.reading.from) { out.push(el("button", { class: "main", onclick: () => desk.go("draw") }, "Go on to draw")); return out; }
    if (desk.work.place || desk.work.reading.from) {
      out.push(el("button", { onclick: () => desk.askAnew((w) => { w.place = null; delete w.reading.from; }, "The drawing is where it was.") }, "Take the placing back"));
    }
    if (!v.placed || desk.work.place) out.push(...byMarks(desk));
    if (!v.placed) out.push(...byGrid(desk));
    return out;
  },
};

const listsOf = (desk) => desk.work.files.filter((f) => f.marks && f.name !== desk.work.source);

function readList(desk, name) {
  return desk.busy("Reading the marks …", async () => {
    const { result } = await desk.ask("marks", { name });
    marks = result.marks;
    listed = name;
    pairedIn = desk.view.unit_m;
    pairing = marks.findIndex((m) => m.x === undefined || m.x === null);
    desk.hint(pairing >= 0 ? "Tap the drawn point of " + marks[pairing].name : "");
    desk.show();
    desk.tell(name + ": " + result.words + (pairing >= 0 ? " Tap the drawn point of each." : " All are paired: lay the drawing on them."));
  });
}

function byMarks(desk) {
  const out = [el("h3", {}, "From marks")];
  const lists = listsOf(desk);
  out.push(el("div", { class: "buttons" }, el("button", { "data-key": "openmarks", onclick: desk.pick }, "Open a list of marks")));
  if (lists.length) {
    out.push(el("div", { class: "form" }, field("List of marks", choice(listed, [["", "typed below"], ...lists.map((f) => [f.name, f.name])], async (name) => {
      if (name) await readList(desk, name);
    }, { "data-key": "marks" }))));
  }
  out.push(el("ul", { class: "rows", "aria-label": "Marks" }, marks.map((m, i) => el("li", {},
    el("span", { class: "grow" }, el("span", { class: "kind" }, m.name), " measured " + short(m.a) + ", " + short(m.b) + (m.x === undefined || m.x === null ? "; not paired" : "; drawn at " + Number(m.x).toFixed(3) + ", " + Number(m.y).toFixed(3))),
    el("button", { "data-key": "pair " + i, "aria-pressed": String(pairing === i), onclick: () => { pairing = pairing === i ? -1 : i; desk.hint(pairing >= 0 ? "Tap the drawn point of " + m.name : ""); desk.show(); } }, "Pair"),
    el("button", { "data-key": "unpair " + i, onclick: () => { marks.splice(i, 1); pairing = -1; desk.show(); }, "aria-label": "Leave out " + m.name }, "Leave out")))));
  const f = el("form", { onsubmit: (e) => { e.preventDefault(); add(desk, e.target); } },
    field("Name", el("input", { name: "name", required: true, autocomplete: "off", "data-key": "mname" })),
    field("East or longitude", el("input", { name: "e", required: true, inputmode: "decimal", "data-key": "me" })),
    field("North or latitude", el("input", { name: "n", required: true, inputmode: "decimal", "data-key": "mn" })),
    el("button", {}, "Add the mark"));
  out.push(f);
  const model = el("select", { "data-key": "model" }, ["similarity", "rigid", "shift", "affine"].map((m) => el("option", { value: m }, m)));
  const grid = el("input", { value: desk.work.place && desk.work.place.to || "", placeholder: "such as EPSG:25832", autocomplete: "off", "data-key": "grid" });
  out.push(el("div", { class: "form" }, field("How the drawing may move", model), field("Grid of the marks (blank: longitude, latitude)", grid),
    el("button", { class: "main", "data-key": "lay", onclick: () => lay(desk, model.value, grid.value.trim()) }, "Lay it on its marks")));
  return out;
}

// short gives degrees to a centimetre, metres to a millimetre.
const short = (x) => Math.abs(x) <= 360 ? x.toFixed(7) : x.toFixed(3);

function add(desk, form) {
  const a = desk.number(form.e.value), b = desk.number(form.n.value);
  if (Number.isNaN(a) || Number.isNaN(b)) return desk.tell("A coordinate is no number: write 512034.25 or 9.4251", true);
  marks.push({ name: form.name.value.trim(), a, b });
  pairing = marks.length - 1;
  desk.hint("Tap the drawn point of " + marks[pairing].name);
  desk.show();
}

function lay(desk, model, to) {
  const paired = marks.filter((m) => m.x !== undefined && m.x !== null);
  if (paired.length < 2) return desk.tell("At least two marks must be paired; four tell a blunder apart.", true);
  const unit_m = pairedIn || desk.view.unit_m;
  return desk.askAnew((w) => { w.place = { marks: paired, model, to, unit_m }; }, "The drawing lies on its marks. Look at the residuals.").then((ok) => {
    if (ok) { fit = desk.view.fit; arrows(); desk.show(); map.whole(); document.getElementById("list").scrollTop = 0; }
  });
}

function result(f) {
  return el("div", { class: "box" },
    el("p", {}, el("span", { class: f.failed ? "bad" : "good" }, f.failed ? "Look before you trust it. " : "The marks agree. "), f.words),
    el("table", {}, el("thead", {}, el("tr", {}, el("th", {}, "Mark"), el("th", { class: "n" }, "Residual"), el("th", {}, ""))),
      el("tbody", {}, f.marks.map((m) => el("tr", {}, el("td", {}, m.name), el("td", { class: "n" }, metres(m.residual_m, 3)), el("td", { class: m.suspect ? "bad" : "" }, m.suspect ? "suspect: measure it again" : ""))))),
    (f.notes || []).map((n) => el("p", { class: "why" }, n)));
}

// arrows shows residuals a hundred times as long as they are.
function arrows() {
  if (!fit || !fit.marks) return map.setExtra(null);
  map.setExtra((p, toScreen, state) => {
    for (const m of fit.marks) {
      if (!m.at) continue;
      const [x, y] = toScreen(m.at[0], m.at[1]);
      const k = 2000, dx = m.de * k, dy = -m.dn * k;
      p.strokeStyle = m.suspect ? "#8f2d00" : "#0b4f7d"; p.lineWidth = 3;
      p.beginPath(); p.arc(x, y, 6, 0, 7); p.moveTo(x, y); p.lineTo(x + dx, y + dy); p.stroke();
      p.fillStyle = "#000"; p.font = "600 13px system-ui, sans-serif"; p.textAlign = "left";
      p.fillText(m.name, x + 9, y - 9);
    }
  });
}

function byGrid(desk) {
  const out = [el("h3", {}, "Or say its grid")];
  const place = el("input", { value: near, placeholder: "latitude, longitude near the site", autocomplete: "off", "data-key": "near" });
  out.push(el("div", { class: "form" }, field("A place nearby", place), el("button", { "data-key": "grids", onclick: () => desk.busy("Looking for grids …", async () => {
    near = place.value;
    const { result } = await desk.ask("near", { near, name: desk.work.source });
    grids = result.grids;
    desk.show();
    desk.tell(grids.length + " grids fit.");
  }) }, "Which grids fit?")));
  const code = el("input", { placeholder: "EPSG:25832", autocomplete: "off", "data-key": "code" });
  out.push(el("div", { class: "form" }, field("Or its name or code", code), el("button", { "data-key": "take", onclick: () => take(desk, code.value.trim()) }, "It is in this grid")));
  if (grids) {
    out.push(el("ul", { class: "rows", "aria-label": "Grids" }, grids.map((g) => el("li", {},
      el("button", { class: "row", "data-key": "g " + g.crs, onclick: () => take(desk, g.crs) }, el("span", { class: "kind" }, g.name), " ", g.crs), el("span", { class: "why" }, g.why)))));
  }
  return out;
}

function take(desk, code) {
  return desk.askAnew((w) => { w.reading.from = code; w.place = null; }, "The drawing is read in " + code + ". Check with “Whole plan” that it lies where it should.").then((ok) => ok && map.whole());
}
