// The desk: six steps in the order of the work, the plan and one list. The page
// keeps what was asked for (files, roles, marks, limits, edits) and has the
// engine do it; it computes nothing of a plan itself.

import { ask, ready, EngineError, isNative } from "./engine.js";
import * as keep from "./keep.js";
import * as map from "./map.js";
import { el, number, rebuild, save } from "./dom.js";
import { openStep } from "./open.js";
import { placeStep } from "./place.js";
import { drawStep } from "./draw.js";
import { checkStep } from "./check.js";
import { giveStep } from "./give.js";
import { movedStep } from "./moved.js";

const $ = (id) => document.getElementById(id);

const fresh = () => ({ files: [], sketch: null, source: "", reading: {}, roles: [], place: null, limits: {}, edits: [], done: 0, step: "open" });

const asked = (w) => structuredClone({ source: w.source, reading: w.reading, roles: w.roles, place: w.place });

// lie names where the plan's coordinates lie: edits with coordinates hold there.
const lie = (a) => a.place ? "placed " + a.place.to : "drawn " + (a.reading.from || "") + " " + (a.reading.units || "");
const drawn = (e) => e.add || e.move_point || e.insert_point || e.coordinates;

// edits are those of the list that are done and belong to the file that is
// worked on, each with whether it was drawn while the plan lay elsewhere.
function edits(w) {
  const out = [];
  let then = w;
  for (let i = w.done - 1; i >= 0; i--) {
    const e = w.edits[i];
    if (e.asked) then = e.asked.was;
    else if (then.source === w.source) out.unshift({ i, edit: e, aside: !!drawn(e) && lie(then) !== lie(w) });
  }
  return out;
}

// missing says which edits do nothing now.
const missing = () => desk.missed.length + (desk.missed.length === 1 ? " change finds" : " changes find") + " nothing to change now and " + (desk.missed.length === 1 ? "is" : "are") + " kept: " + desk.missed.map((m) => m.words).join("; ") + ".";

// turn goes one step back or forth in the list.
function turn(by) {
  const e = desk.work.edits[by < 0 ? desk.work.done - 1 : desk.work.done];
  return desk.change((w) => {
    w.done += by;
    if (e.asked) Object.assign(w, structuredClone(by < 0 ? e.asked.was : e.asked.now));
  }, by < 0 ? "Taken back." : "Done again.").then(() => { if (e.asked && steps[desk.work.step].enter) steps[desk.work.step].enter(desk); });
}

let waiting = Promise.resolve(); // the last change that is on its way

// desk is what the steps share.
export const desk = {
  hello: null,
  work: fresh(),
  missed: [],       // edits that do nothing now
  view: null,       // the plan as the engine last gave it
  chosen: null,     // index of the chosen feature
  number,
  // tell says what happened; a fault also says what to do.
  tell(words, bad = false) {
    const s = $("status");
    s.textContent = words;
    s.classList.toggle("bad", bad);
  },
  fail(e) {
    if (e instanceof EngineError) desk.tell(e.message + (e.mend ? ". " + e.mend[0].toUpperCase() + e.mend.slice(1) + "." : "."), true);
    else desk.tell(String(e && e.message || e), true);
  },
  ask,
  hint(words) { $("hint").hidden = !words; $("hint").textContent = words || ""; },
  // refresh has the engine bring the plan to what was asked for; the last of the
  // edits are new, the others were in the list before.
  async refresh(words = "", news = 0) {
    const w = desk.work;
    if (!w.source) { desk.missed = []; desk.view = null; map.setView(null); desk.show(); return; }
    const sent = edits(w);
    const { result, notes } = await ask("plan", {
      source: w.source, reading: w.reading, roles: w.roles, place: w.place, limits: w.limits, edits: sent.map((s) => s.edit),
      settled: sent.length - news, missed: sent.flatMap((s, i) => (w.missed || []).includes(s.i) ? [i] : []), aside: sent.flatMap((s, i) => s.aside ? [i] : []),
    });
    // In another reading a feature may go by another name.
    (result.edits || []).forEach((e, i) => { w.edits[sent[i].i] = e; });
    desk.missed = result.missed || [];
    w.missed = desk.missed.map((m) => sent[m.i].i);
    desk.view = result;
    desk.notes = notes;
    map.setView(result);
    if (desk.chosen !== null && !result.features.some((f) => f.i === desk.chosen)) desk.chosen = null;
    desk.show();
    if (desk.missed.length) desk.tell(words + " " + missing(), true);
    else if (words) desk.tell(words);
    await desk.keep();
  },
  // change asks for something else and takes it back when the engine refuses.
  async change(how, words, news = 0) {
    const before = structuredClone(desk.work);
    try {
      how(desk.work);
      await desk.refresh(words, news);
      return true;
    } catch (e) {
      desk.work = before;
      desk.fail(e);
      try { await desk.refresh(); } catch { /* the refusal above says it */ }
      return false;
    }
  },
  // edit adds edits at the end of the list; what had been undone is gone then.
  edit(edits, words) {
    return desk.change((w) => { w.edits = w.edits.slice(0, w.done).concat(edits); w.done = w.edits.length; }, words, edits.length);
  },
  // editOf changes one feature, after what is still on its way: a change before it
  // may have given it another name to be found by.
  editOf(i, what, words) {
    const next = waiting.then(() => {
      const f = desk.feature(i);
      return f ? desk.edit([{ ...f.ref, ...what }], words) : false;
    });
    waiting = next.catch(() => {});
    return next;
  },
  // askAnew changes the file, its reading, its roles or its place. That stands in
  // the list too, so that Undo takes it back, and no edit before it is dropped.
  askAnew(how, words) {
    return desk.change((w) => {
      const was = asked(w);
      how(w);
      if (!was.source) return;
      w.edits = w.edits.slice(0, w.done).concat({ asked: { was, now: asked(w) } });
      w.done = w.edits.length;
    }, words);
  },
  edits: () => edits(desk.work).map((s) => s.edit),
  // draw turns what was drawn, in metres, into edits in the plan's coordinates.
  async draw(what, words) {
    try {
      const { result } = await ask("propose", what);
      return await desk.edit(result.edits, words);
    } catch (e) { desk.fail(e); return false; }
  },
  choose(i, go = false) {
    desk.chosen = i;
    map.choose(i === null ? [] : [i]);
    const f = desk.feature(i);
    if (go && f && f.box) map.around(f.box);
    desk.show();
    if (f) inSight();
  },
  feature: (i) => desk.view && desk.view.features.find((f) => f.i === i),
  show() { render(); },
  async keep() {
    try { await keep.keepWork(desk.work); } catch (e) { desk.tell("This browser keeps nothing: save before you close the page (" + e.message + ")", true); }
  },
  async takeFile(name, bytes) {
    const { result } = await ask("put", { name }, bytes);
    desk.work.files = result.files;
    try { await keep.keepFile(name, bytes); } catch { /* keep() tells */ }
  },
  async forget() {
    for (const f of desk.work.files) await ask("drop", { name: f.name });
    desk.work = fresh();
    desk.view = null;
    desk.missed = [];
    desk.chosen = null;
    map.setView(null);
    map.setMarks([]);
    map.setExtra(null);
    await keep.forget();
    desk.show();
    desk.tell("Everything was put away; nothing is kept in this browser.");
  },
  // busy shows that something takes a moment and tells faults.
  async busy(words, f) {
    desk.tell(words);
    try { return await f(); } catch (e) { desk.fail(e); return null; }
  },
  download: save,
};

const steps = { open: openStep, place: placeStep, draw: drawStep, check: checkStep, give: giveStep, moved: movedStep };
let leaving = null;

function render() {
  const w = desk.work;
  $("site").textContent = desk.view ? (desk.view.name || w.source) : (w.source || "No plan yet");
  $("undo").disabled = w.done === 0;
  $("redo").disabled = w.done >= w.edits.length;
  for (const b of document.querySelectorAll("#steps button")) {
    if (b.dataset.step === w.step) b.setAttribute("aria-current", "step"); else b.removeAttribute("aria-current");
  }
  const list = $("list");
  // What has the focus keeps it when the list is built anew.
  const had = document.activeElement && list.contains(document.activeElement) ? document.activeElement.dataset.key : null;
  const top = list.scrollTop;
  const inside = desk.view || w.step === "open" ? steps[w.step].list(desk)
    : [el("h2", {}, "No plan yet"), el("p", {}, "Open a drawing or a plan first."), el("button", { class: "main", onclick: () => go("open") }, "To step 1")];
  if (desk.missed.length) inside.unshift(el("p", { class: "bad box", id: "missed" }, missing() + " Undo takes back what was changed since."));
  rebuild(list, inside.flat(9).filter(Boolean), w.step + " " + desk.chosen);
  list.scrollTop = top;
  if (had) { const again = [...list.querySelectorAll("[data-key]")].find((x) => x.dataset.key === had); if (again) again.focus(); }
}

export function go(step) {
  if (leaving) leaving(desk);
  leaving = steps[step].leave || null;
  desk.work.step = step;
  desk.hint("");
  map.setMarks([]);
  map.setExtra(null);
  map.setSketch(null);
  map.setHandles(null);
  map.on("tap", steps[step].tap ? (x, y) => steps[step].tap(desk, x, y) : chooseAt);
  map.on("drag", steps[step].drag ? (h, end) => steps[step].drag(desk, h, end) : null);
  render();
  $("list").scrollTop = 0;
  if (["check", "give", "moved"].includes(step)) map.whole();
  if (steps[step].enter) steps[step].enter(desk);
  desk.keep();
}
desk.go = go;

// inSight brings the card of what was chosen into the list's sight.
function inSight() {
  const card = document.getElementById("card"), list = $("list");
  if (card) list.scrollTop += card.getBoundingClientRect().top - list.getBoundingClientRect().top - 6;
}

function chooseAt(x, y) {
  const f = map.featureAt(x, y);
  desk.choose(f ? f.i : null);
}

for (const b of document.querySelectorAll("#steps button")) b.addEventListener("click", () => go(b.dataset.step));
$("undo").addEventListener("click", () => turn(-1));
$("redo").addEventListener("click", () => turn(1));
$("whole").addEventListener("click", () => map.whole());
$("nearer").addEventListener("click", () => map.zoom(1.5));
$("farther").addEventListener("click", () => map.zoom(1 / 1.5));
addEventListener("keydown", (e) => {
  if (!(e.ctrlKey || e.metaKey) || e.target.matches("input, select, textarea")) return;
  if (e.key === "z" && !e.shiftKey && desk.work.done > 0) { e.preventDefault(); $("undo").click(); }
  if ((e.key === "y" || e.key === "Z") && desk.work.done < desk.work.edits.length) { e.preventDefault(); $("redo").click(); }
});

// Where am I: asked for, shown, never kept and never sent anywhere.
let watching = null;
$("here").addEventListener("click", () => {
  if (watching !== null) {
    navigator.geolocation.clearWatch(watching);
    watching = null;
    map.setMe(null);
    $("here").textContent = "Where am I";
    return desk.tell("Your position is no longer shown.");
  }
  if (!desk.view || !desk.view.placed) return desk.tell("The plan has no place on the earth yet: step 2 gives it one.", true);
  if (!navigator.geolocation) return desk.tell("This browser knows no position.", true);
  $("here").textContent = "Hide me";
  let first = true;
  watching = navigator.geolocation.watchPosition(async (p) => {
    try {
      const { result } = await ask("where", { lat: p.coords.latitude, lon: p.coords.longitude });
      map.setMe({ at: result.at, accuracy: p.coords.accuracy });
      if (first) map.goTo(result.at[0], result.at[1], 2);
      first = false;
      desk.tell("You are within " + Math.round(p.coords.accuracy) + " m of the dot. A phone is good to metres: never set out points by it.");
    } catch (e) { desk.fail(e); }
  }, (e) => { desk.tell("No position: " + e.message, true); $("here").click(); }, { enableHighAccuracy: true });
});

addEventListener("dragover", (e) => e.preventDefault());
addEventListener("drop", (e) => { e.preventDefault(); takeAll(e.dataTransfer.files); });
$("files").addEventListener("change", (e) => { takeAll(e.target.files); e.target.value = ""; });

export async function takeAll(list) {
  const files = [...list]; // the picker's own list empties when it is made ready again
  await desk.busy("Reading …", async () => {
    const names = [];
    for (const f of files) {
      await desk.takeFile(f.name, new Uint8Array(await f.arrayBuffer()));
      names.push(f.name);
    }
    const step = steps[desk.work.step];
    if (step.taken && step !== openStep && desk.view) {
      await desk.refresh();
      return step.taken(desk, names);
    }
    const plans = names.filter((n) => desk.work.files.some((f) => f.name === n && f.plan));
    await steps.open.taken(desk, (plans.length ? plans : names).at(-1));
  });
}
desk.pick = () => $("files").click();

async function start() {
  render();
  try {
    await ready;
    const { result } = await ask("hello");
    performance.mark("engine-ready");
    desk.hello = result;
    map.setLooks(result.roles);
    $("caution").textContent = result.caution;
    const work = await keep.keptWork().catch(() => null);
    const files = work ? await keep.keptFiles() : [];
    // Files that the program was started with are in the engine, not in the browser.
    const there = (name) => files.some((f) => f.name === name) || result.files.some((f) => f.name === name);
    if (work && work.source && there(work.source) && (!result.files.length || work.files.some((f) => result.files.some((r) => r.name === f.name)))) {
      Object.assign(desk.work, work);
      desk.work.files = result.files;
      for (const f of files) await ask("put", { name: f.name }, f.bytes).then(({ result: r }) => { desk.work.files = r.files; });
      await desk.refresh();
      go(desk.work.step);
      desk.tell("As you left it." + (navigator.onLine ? "" : " There is no network, and none is needed."));
    } else {
      desk.work.files = result.files || [];
      go("open");
      desk.tell("Ready.");
      if (desk.work.files.length) await steps.open.taken(desk, desk.work.files[0].name);
    }
  } catch (e) {
    desk.fail(e);
  }
  document.body.dataset.ready = "yes";
}
start();

if (!isNative && "serviceWorker" in navigator) navigator.serviceWorker.register("sw.js").catch(() => {});
window.swardlineDesk = desk;
