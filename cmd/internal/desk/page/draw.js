// Step 3: outlines are drawn, moved and named. Every change is an edit of one
// list that the command line replays.

import { el, choice, field, metres, area, takes } from "./dom.js";
import * as map from "./map.js";

let drawing = null;  // { role, points: [[e, n]] }
let ring = 0, part = 0;

const kinds = {
  zone: "polygon", keepout: "polygon", hazard: "polygon", building: "polygon", boundary: "polygon",
  corridor: "line", edge: "line", dock: "point", base: "point", supply: "point", mark: "point",
};

// hold keeps what is half drawn with the work, so that a reload loses no point.
function hold(desk) {
  desk.work.sketch = drawing ? structuredClone(drawing) : null;
  desk.keep();
}

export const drawStep = {
  enter(desk) {
    if (desk.work.sketch) { drawing = structuredClone(desk.work.sketch); sketch(); desk.show(); }
    handles(desk);
  },
  leave(desk) { drawing = null; desk.work.sketch = null; desk.hint(""); },
  tap(desk, x, y) {
    if (drawing) {
      drawing.points.push(map.toGround(x, y).map((v) => Math.round(v * 100) / 100));
      if (kinds[drawing.role] === "point") return finish(desk);
      sketch();
      hold(desk);
      return desk.show();
    }
    const f = map.featureAt(x, y);
    part = ring = 0;
    desk.choose(f ? f.i : null);
    handles(desk);
  },
  drag(desk, h, end) {
    if (!end) return;
    const f = desk.feature(desk.chosen);
    const at = h.at.map((v) => Math.round(v * 1000) / 1000);
    desk.draw({ kind: "move-point", feature: f.i, part: h.part, ring: h.ring, index: h.index, at }, "Point moved.").then(() => handles(desk));
  },
  list(desk) {
    const out = [el("h2", {}, "Draw")];
    if (drawing) return out.concat(inHand(desk));
    out.push(el("h3", {}, "Draw something new"), el("div", { class: "buttons", role: "group", "aria-label": "Draw something new" }, desk.hello.roles.filter((r) => kinds[r.role]).map((r) =>
      el("button", { "data-key": "new " + r.role, class: "sign", onclick: () => begin(desk, r.role) }, map.swatch(r.role), r.title))));
    const f = desk.feature(desk.chosen);
    if (f) out.push(...one(desk, f));
    out.push(el("h3", {}, "All of it (" + desk.view.features.length + ")"));
    out.push(el("ul", { class: "rows" }, desk.view.features.slice(0, 500).map((g) => el("li", {},
      el("button", { class: "row", "data-key": "f " + g.i, "aria-pressed": String(g.i === desk.chosen), onclick: () => { part = ring = 0; desk.choose(g.i === desk.chosen ? null : g.i, true); handles(desk); } },
        el("span", { class: "kind" }, g.title), " — " + g.role_title + (g.active ? "" : ", off"), g.area_m2 !== undefined ? ", " + area(g.area_m2) : g.length_m !== undefined ? ", " + metres(g.length_m) : "")))));
    if (desk.view.features.length > 500) out.push(el("p", {}, "The first 500 are listed; tap the plan for the others."));
    out.push(el("button", { class: "main", onclick: () => desk.go("check"), "data-key": "on" }, "Go on to check"));
    return out;
  },
};

function begin(desk, role) {
  drawing = { role, points: [] };
  hold(desk);
  desk.choose(null);
  map.setHandles(null);
  desk.hint(kinds[role] === "point" ? "Tap where it stands, or type it" : "Tap point after point, then Done");
  desk.show();
}

function sketch() { map.setSketch(drawing ? drawing.points : null, drawing && kinds[drawing.role] === "polygon"); }

function inHand(desk) {
  const r = desk.hello.roles.find((x) => x.role === drawing.role);
  const least = kinds[drawing.role] === "polygon" ? 3 : 2;
  return [
    el("h3", {}, "New: " + r.title),
    el("p", {}, drawing.points.length + " points. Straights need two points, curves more."),
    el("ol", {}, drawing.points.map((p) => el("li", {}, p[0].toFixed(2) + " E, " + p[1].toFixed(2) + " N"))),
    el("form", { onsubmit: (e) => { e.preventDefault(); typed(desk, e.target); } },
      field("East, m", el("input", { name: "e", inputmode: "decimal", autocomplete: "off", "data-key": "e" })),
      field("North, m", el("input", { name: "n", inputmode: "decimal", autocomplete: "off", "data-key": "n" })),
      el("button", { "data-key": "addp" }, "Add this point")),
    el("div", { class: "buttons" },
      kinds[drawing.role] !== "point" ? el("button", { class: "main", disabled: drawing.points.length < least, "data-key": "done", onclick: () => finish(desk) }, "Done") : null,
      el("button", { disabled: !drawing.points.length, "data-key": "back", onclick: () => { drawing.points.pop(); sketch(); hold(desk); desk.show(); } }, "Last point away"),
      el("button", { "data-key": "stop", onclick: () => { drawing = null; sketch(); hold(desk); desk.hint(""); desk.show(); } }, "Leave it")),
  ];
}

function typed(desk, form) {
  const e = desk.number(form.e.value), n = desk.number(form.n.value);
  if (Number.isNaN(e) || Number.isNaN(n)) return desk.tell("Type metres such as 12.35; the plan’s base, else its middle, is 0, 0.", true);
  drawing.points.push([e, n]);
  if (kinds[drawing.role] === "point") return finish(desk);
  sketch();
  hold(desk);
  desk.show();
}

async function finish(desk) {
  const d = drawing;
  drawing = null;
  desk.work.sketch = null;
  sketch();
  desk.hint("");
  const before = desk.view.features.length;
  const ok = await desk.draw({ kind: "add", role: d.role, shape: kinds[d.role], points: d.points }, "Drawn. Give it a name.");
  if (ok && desk.view.features.length > before) desk.choose(desk.view.features[desk.view.features.length - 1].i, true);
  else if (!ok) { drawing = d; sketch(); }
  handles(desk);
  desk.show();
}

// handles puts a square on every point of the chosen outline, up to 400.
function handles(desk) {
  const f = desk.feature(desk.chosen);
  if (!f || drawing) return map.setHandles(null);
  const out = [];
  f.parts.forEach((rings, p) => rings.forEach((r, k) => {
    const n = r.length / 2;
    for (let i = 0; i < n && out.length < 400; i++) out.push({ part: p, ring: k, index: i, at: [r[2 * i], r[2 * i + 1]] });
  }));
  map.setHandles(out);
}

function one(desk, f) {
  const edit = (what, words) => desk.editOf(f.i, what, words).then(() => handles(desk));
  const name = takes(el("input", { value: f.name, autocomplete: "off", "data-key": "name" }), (v) => { edit({ name: v.trim() }, "Renamed."); });
  const out = [
    el("div", { class: "box", id: "card" },
      el("p", {}, el("span", { class: "kind" }, f.title), f.area_m2 !== undefined ? " " + area(f.area_m2) : f.length_m !== undefined ? " " + metres(f.length_m) : ""),
      el("form", { onsubmit: (e) => { e.preventDefault(); name.blur(); } }, field("Name", name), el("button", {}, "Rename")),
      el("div", { class: "form" },
        field("It is", choice(f.role, desk.hello.roles.map((r) => [r.role, r.title]), (v) => edit({ role: v }, "Role changed."), { "data-key": "role" })),
        f.role === "edge" ? field("Kind of edge", choice(f.edge_kind || "", [["", "not told"], ...desk.hello.edge_kinds.map((k) => [k, k])], (v) => edit(v ? { set: { edge_kind: v } } : { unset: ["edge_kind"] }, "Kind changed."), { "data-key": "edge" })) : null,
        f.role === "dock" ? numberField(desk, "Bearing that the machine faces when it stands in the dock, degrees", f.heading, (v) => edit({ set: { heading_deg: v } }, "Heading set.")) : null,
        f.role === "building" || f.role === "hazard" ? numberField(desk, "Height, m", f.height, (v) => edit({ set: { height_m: v } }, "Height set.")) : null),
      el("div", { class: "buttons" },
        el("button", { "data-key": "off", onclick: () => edit({ active: !f.active }, f.active ? "Switched off; it stays in the plan." : "Switched on.") }, f.active ? "Switch off" : "Switch on"),
        f.kind === "polygon" ? el("button", { "data-key": "rev", onclick: () => edit({ reverse: true }, "Turned round.") }, "Turn round") : null,
        el("button", { "data-key": "rm", class: "apart", onclick: () => { desk.choose(null); map.setHandles(null); edit({ remove: true }, f.title + " is removed. Undo brings it back."); } }, "Remove")),
      f.kind === "polygon" ? offset(desk, edit) : null,
      points(desk, f)),
  ];
  return out;
}

function numberField(desk, label, value, set) {
  return field(label, takes(el("input", { value: value === undefined ? "" : String(value), inputmode: "decimal", "data-key": label }), (text) => {
    const v = desk.number(text);
    if (Number.isNaN(v)) { desk.tell(label + ": type a number.", true); return false; }
    set(v);
  }));
}

function offset(desk, edit) {
  const by = el("input", { value: "", inputmode: "decimal", placeholder: "0.25", "data-key": "by" });
  const go = (sign) => { const v = desk.number(by.value); if (Number.isNaN(v) || v <= 0) return desk.tell("Type by how many metres, such as 0.25", true); edit({ move_outline_m: sign * v }, "The outline moved " + (sign < 0 ? "in" : "out") + " by " + metres(v) + "."); };
  return el("div", { class: "form" }, field("Move the outline by, m", by),
    el("div", { class: "buttons both" }, el("button", { "data-key": "in", onclick: () => go(-1) }, "Inward"), el("button", { "data-key": "out", onclick: () => go(1) }, "Outward")));
}

function points(desk, f) {
  const rings = f.parts[part] || f.parts[0];
  if (!rings) return null;
  const r = rings[ring] || rings[0];
  const rows = [];
  const many = r.length / 2;
  for (let i = 0; i < Math.min(many, 200); i++) {
    const e = el("input", { value: r[2 * i].toFixed(3), inputmode: "decimal", "aria-label": "East of point " + (i + 1), "data-key": "e" + i });
    const n = el("input", { value: r[2 * i + 1].toFixed(3), inputmode: "decimal", "aria-label": "North of point " + (i + 1), "data-key": "n" + i });
    const move = () => {
      const at = [desk.number(e.value), desk.number(n.value)];
      if (at.some(Number.isNaN)) return desk.tell("Type metres such as 12.345", true);
      if (Math.hypot(at[0] - r[2 * i], at[1] - r[2 * i + 1]) < 0.0005) return;
      desk.draw({ kind: "move-point", feature: f.i, part, ring, index: i, at }, "Point " + (i + 1) + " moved.").then(() => handles(desk));
    };
    e.addEventListener("change", move);
    n.addEventListener("change", move);
    rows.push(el("li", {}, el("button", { "data-key": "p" + i, onclick: () => map.goTo(r[2 * i], r[2 * i + 1]), "aria-label": "Show point " + (i + 1) }, String(i + 1)), el("span", { class: "pair grow" }, e, n),
      f.kind !== "point" ? el("button", { "data-key": "ins" + i, "aria-label": "Put a point after " + (i + 1), onclick: () => {
        const j = (i + 1) % many;
        const at = i + 1 < many || f.kind === "polygon" ? [(r[2 * i] + r[2 * j]) / 2, (r[2 * i + 1] + r[2 * j + 1]) / 2] : [r[2 * i] + 1, r[2 * i + 1]];
        desk.draw({ kind: "insert-point", feature: f.i, part, ring, index: i + 1, at }, "Point added after " + (i + 1) + ".").then(() => handles(desk));
      } }, "+") : null,
      f.kind !== "point" ? el("button", { "data-key": "del" + i, "aria-label": "Take point " + (i + 1) + " away", onclick: () => desk.draw({ kind: "remove-point", feature: f.i, part, ring, index: i }, "Point " + (i + 1) + " is gone.").then(() => handles(desk)) }, "×") : null));
  }
  return el("details", { open: f.kind === "point" },
    el("summary", {}, "Points: " + many + ", in metres east and north of " + desk.view.zero),
    el("ol", { class: "rows" }, rows), many > 200 ? el("p", {}, "The first 200 are listed.") : null);
}
