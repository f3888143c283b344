// Step 1: files come in, and what is in them is told before it is believed.

import { el, choice, field, metres } from "./dom.js";

let seen = null;     // what the engine found in the file that is looked at
let looking = "";

const roleChoices = (desk, none) => [["", none], ...desk.hello.roles.map((r) => [r.role, r.title])];

export const openStep = {
  // taken is called with the name of the file that came in last.
  async taken(desk, name) {
    const file = desk.work.files.find((f) => f.name === name);
    if (!file) return;
    if (!file.plan) {
      desk.tell(file.marks ? name + " is a list of marks: go to 2 Place, it is used there." : name + " is kept: a list of marks is used under 2 Place and 6 Base moved.");
      return desk.show();
    }
    if (desk.work.source && desk.work.source !== name && desk.view) { desk.tell(name + " is there. “Work on it” takes it instead of " + desk.work.source + "."); return desk.show(); }
    await look(desk, name);
  },
  enter(desk) { if (desk.work.source && looking !== desk.work.source) look(desk, desk.work.source).catch(desk.fail); },
  list(desk) {
    const out = [el("h2", {}, "Open")];
    out.push(drop(desk), files(desk));
    if (seen && looking) out.push(...found(desk));
    if (desk.work.files.length) out.push(el("h3", {}, "Put away"), el("button", { onclick: () => confirm("Take all files and edits out of this browser?") && desk.forget() }, "Forget everything here"));
    return out;
  },
};

function drop(desk) {
  if (desk.work.source) return el("div", { class: "buttons" }, el("button", { onclick: desk.pick, "data-key": "pick" }, "Open more files"));
  return el("div", { class: "drop" },
    el("p", {}, "Drop a drawing or a plan here: DXF, KML, GPX, GeoJSON, CSV, Shapefile (zip), GeoPackage and more. It stays on this device."),
    el("button", { class: "main", onclick: desk.pick, "data-key": "pick" }, "Choose files"));
}

function files(desk) {
  if (!desk.work.files.length) return null;
  return el("ul", { class: "rows", "aria-label": "Files" }, desk.work.files.map((f) => el("li", {},
    el("span", { class: "grow" }, el("span", { class: "kind" }, f.name), " ", f.format ? "(" + f.format + ")" : ""),
    f.plan ? el("button", { "data-key": "use " + f.name, onclick: () => desk.busy("Looking …", () => look(desk, f.name, f.name + " was looked at again; the work stands.")) }, desk.work.source === f.name ? "Look again" : "Work on it") : null)));
}

async function look(desk, name, words = "") {
  const { result } = await desk.ask("look", { name });
  seen = result;
  const again = desk.work.source === name;
  looking = name;
  if (!again) {
    await desk.askAnew((w) => {
      w.source = name; w.reading = {}; w.place = null;
      // Guesses are filled in; a person confirms or changes each.
      w.roles = result.groups.filter((g) => g.guess).map((g) => ({ key: g.key, role: g.guess }));
      if (result.unit_needed) w.reading.units = result.units.length ? result.units[0].unit : "m";
    }, name + " is open.");
  } else if (words) await desk.refresh(words);
  else desk.show();
}

function found(desk) {
  const w = desk.work, out = [];
  out.push(el("h3", {}, "In " + looking));
  out.push(el("p", {}, seen.summary));
  for (const n of seen.notes || []) out.push(el("p", { class: "why" }, n));
  for (const n of (desk.notes || []).filter((x) => x.kind === "warning" || x.kind === "lost").slice(0, 20)) out.push(el("p", { class: "why" }, n.text));
  if (seen.units && seen.units.length) {
    out.push(el("div", { class: "form" }, field("Unit of the drawing", choice(w.reading.units || "", [["", "as the file says"], ...seen.units.map((u) => [u.unit, u.words])],
      (v) => desk.askAnew((x) => { x.reading.units = v; }, "Unit changed."), { "data-key": "unit" }))));
  }
  if (seen.groups.length) {
    out.push(el("h3", {}, "What is what"));
    out.push(el("ul", { class: "rows", "aria-label": "Layers, names and values with their roles" }, seen.groups.map((g) => group(desk, g))));
  }
  const open = desk.view ? desk.view.features.filter((f) => f.gaps && f.gaps.length) : [];
  if (open.length) {
    out.push(el("h3", {}, "Outlines that gape"));
    out.push(el("ul", { class: "rows" }, open.map((f) => el("li", {},
      el("button", { class: "grow", "data-key": "gape " + f.i, onclick: () => desk.choose(f.i, true) }, f.title),
      el("button", { "data-key": "close " + f.i, onclick: () => desk.edit([{ ...f.ref, close: true }], f.title + " is closed; its ends were " + metres(f.gap_m, 3) + " apart.") }, "Close, moves " + metres(f.gap_m, 3))))));
  }
  if (desk.view) {
    const chosen = desk.feature(desk.chosen);
    out.push(el("h3", {}, "One outline"));
    out.push(chosen
      ? el("div", { class: "form" }, field(chosen.title + " is", choice(chosen.role, roleChoices(desk, "—"), (v) => desk.edit([{ ...chosen.ref, role: v }], chosen.title + ": role changed."), { "data-key": "one" })))
      : el("p", { class: "why" }, "Tap one on the plan to say what it is, whatever its layer says."));
    out.push(el("button", { class: "main", onclick: () => desk.go(desk.view.placed ? "draw" : "place"), "data-key": "on" }, desk.view.placed ? "Go on to draw" : "Go on to place"));
  }
  return out;
}

function group(desk, g) {
  const set = desk.work.roles.find((r) => r.key === g.key);
  const pick = choice(set ? set.role : "", roleChoices(desk, "leave as drawn"), (v) => desk.askAnew((w) => {
    w.roles = w.roles.filter((r) => r.key !== g.key);
    if (v) w.roles.push({ key: g.key, role: v });
  }, g.title + ": role changed."), { "data-key": "group " + g.key, "aria-label": "Role of " + g.title });
  pick.style.flex = "1 1 9rem";
  return el("li", {},
    el("span", { class: "grow" }, el("span", { class: "kind" }, g.title), " × " + g.count), pick,
    el("span", { class: "why" }, g.why || ""));
}
