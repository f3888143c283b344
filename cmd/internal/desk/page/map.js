// The plan on the canvas, in metres east and north as the engine gives them.
// Signs follow the sheet: each role has its own hatch and line, so that it can
// be told without colour. Nothing is measured here.

const canvas = document.getElementById("map");
const pen = canvas.getContext("2d");

const state = {
  view: null, looks: {}, at: [0, 0], px: 20, width: 1, height: 1, dpr: 1,
  chosen: new Set(), marks: [], extra: null, sketch: null, handles: null, me: null,
};
const listeners = { tap: null, drag: null, change: null };
let shapes = [];
let frame = 0;
let rest = 0; // while the plan is being moved, hatches and names wait

function moving() {
  clearTimeout(rest);
  rest = setTimeout(() => { rest = 0; redraw(); }, 150);
}

const order = ["boundary", "other", "zone", "building", "keepout", "hazard", "edge", "corridor", "supply", "mark", "dock", "base"];

export function setLooks(looks) { for (const l of looks) state.looks[l.role] = l; makeHatches(); }

export function setView(view) {
  const first = !state.view;
  state.view = view;
  shapes = view ? view.features.map(shapeOf) : [];
  shapes.sort((a, b) => order.indexOf(a.f.role) - order.indexOf(b.f.role));
  if (first && view) whole();
  redraw();
}

export const choose = (list) => { state.chosen = new Set(list); redraw(); };
export const setMarks = (marks) => { state.marks = marks || []; redraw(); };
export const setExtra = (draw) => { state.extra = draw; redraw(); };
export const setSketch = (points, closed) => { state.sketch = points ? { points, closed } : null; redraw(); };
export const setHandles = (points) => { state.handles = points; redraw(); };
export const setMe = (me) => { state.me = me; redraw(); };
export const on = (what, f) => { listeners[what] = f; };

function shapeOf(f) {
  const path = new Path2D();
  let dots = [];
  for (const part of f.parts) {
    for (const ring of part) {
      if (f.kind === "point") { dots.push([ring[0], ring[1]]); continue; }
      for (let i = 0; i < ring.length; i += 2) {
        if (i) path.lineTo(ring[i], ring[i + 1]); else path.moveTo(ring[i], ring[i + 1]);
      }
      if (f.kind === "polygon") path.closePath();
    }
  }
  return { f, path, dots };
}

// Hatches are drawn once, in the pixels of the screen.
const hatches = {};
function makeHatches() {
  for (const [role, l] of Object.entries(state.looks)) {
    if (!l.hatch) continue;
    const size = l.hatch === "cross" ? 12 : 10;
    const tile = document.createElement("canvas");
    tile.width = tile.height = size * 2;
    const p = tile.getContext("2d");
    p.scale(2, 2);
    p.strokeStyle = l.line;
    p.lineWidth = 0.9;
    p.beginPath();
    const s = size;
    if (l.hatch !== "level") { p.moveTo(-1, s + 1); p.lineTo(s + 1, -1); p.moveTo(-1, 1); p.lineTo(1, -1); p.moveTo(s - 1, s + 1); p.lineTo(s + 1, s - 1); }
    if (l.hatch === "cross") { p.moveTo(-1, -1); p.lineTo(s + 1, s + 1); p.moveTo(-1, s - 1); p.lineTo(1, s + 1); p.moveTo(s - 1, -1); p.lineTo(s + 1, 1); }
    if (l.hatch === "level") { p.setLineDash([4, 3]); p.moveTo(0, 3); p.lineTo(s, 3); p.moveTo(3, 8); p.lineTo(s, 8); }
    p.stroke();
    hatches[role] = pen.createPattern(tile, "repeat");
  }
}

export const toScreen = (e, n) => [state.width / 2 + (e - state.at[0]) * state.px, state.height / 2 - (n - state.at[1]) * state.px];
export const toGround = (x, y) => [state.at[0] + (x - state.width / 2) / state.px, state.at[1] - (y - state.height / 2) / state.px];

export function whole() {
  const b = state.view && state.view.bounds;
  if (!b) return;
  show(b);
}

export function show(b) {
  const w = Math.max(b[2] - b[0], 2), h = Math.max(b[3] - b[1], 2);
  state.at = [(b[0] + b[2]) / 2, (b[1] + b[3]) / 2];
  // The buttons stand in the lowest 60 pixels.
  const clear = Math.min(60, state.height / 4);
  state.px = Math.min(state.width / w, (state.height - clear) / h) * 0.9;
  state.at[1] -= clear / 2 / state.px;
  redraw();
}

// around shows a box with what lies about it: ten metres across at the least.
export function around(b) {
  const e = (b[0] + b[2]) / 2, n = (b[1] + b[3]) / 2;
  const w = Math.max((b[2] - b[0]) / 2 + 1, 6), h = Math.max((b[3] - b[1]) / 2 + 1, 6);
  show([e - w, n - h, e + w, n + h]);
}

export function goTo(e, n, least = 60) {
  state.at = [e, n];
  // Nearer is well, but never so near that nothing else is in sight.
  const most = Math.min(state.width, state.height) / 10;
  state.px = Math.min(Math.max(state.px, least), Math.max(most, 1));
  redraw();
}

export function zoom(factor, x = state.width / 2, y = state.height / 2) {
  const [e, n] = toGround(x, y);
  state.px = Math.min(Math.max(state.px * factor, 0.02), 20000);
  const [e2, n2] = toGround(x, y);
  state.at = [state.at[0] + e - e2, state.at[1] + n - n2];
  moving();
  redraw();
}

export function redraw() {
  if (frame) return;
  frame = requestAnimationFrame(() => { frame = 0; draw(); });
}

function size() {
  state.dpr = Math.min(window.devicePixelRatio || 1, 2);
  const r = canvas.getBoundingClientRect();
  const fresh = state.width === 1;
  state.width = r.width; state.height = r.height;
  canvas.width = Math.round(r.width * state.dpr); canvas.height = Math.round(r.height * state.dpr);
  if (fresh) whole();
  redraw();
}
new ResizeObserver(size).observe(canvas);

function groundTransform() {
  const s = state.px * state.dpr;
  return [s, 0, 0, -s, (state.width / 2 - state.at[0] * state.px) * state.dpr, (state.height / 2 + state.at[1] * state.px) * state.dpr];
}

function draw() {
  const p = pen;
  p.setTransform(1, 0, 0, 1, 0, 0);
  p.fillStyle = "#fff";
  p.fillRect(0, 0, canvas.width, canvas.height);
  const t = groundTransform();
  const back = new DOMMatrix(t).inverse();
  for (const h of Object.values(hatches)) h.setTransform(back.scale(state.dpr / 2));
  const line = 1 / state.px;
  const [west, north] = toGround(0, 0), [east, south] = toGround(state.width, state.height);
  for (const s of shapes) {
    const l = state.looks[s.f.role] || state.looks.other;
    const b = s.f.box;
    if (!l || b && s.f.kind !== "point" && (b[0] > east || b[2] < west || b[1] > north || b[3] < south)) continue;
    p.setTransform(...t);
    p.setLineDash([]);
    if (s.f.kind === "polygon" && s.f.active) {
      if (l.fill) { p.globalAlpha = l.opacity; p.fillStyle = l.fill; p.fill(s.path, "evenodd"); p.globalAlpha = 1; }
      if (!rest && hatches[s.f.role]) { p.fillStyle = hatches[s.f.role]; p.fill(s.path, "evenodd"); }
    }
    p.lineWidth = (s.f.active ? l.width : 1) * line;
    p.strokeStyle = s.f.active ? l.line : "#606060";
    p.setLineDash((s.f.active ? l.dash || [] : [4, 4]).map((x) => x * line));
    p.lineJoin = "round";
    p.stroke(s.path);
    if (state.chosen.has(s.f.i)) {
      p.setLineDash([]);
      p.strokeStyle = "#0b4f7d";
      p.lineWidth = 4 * line;
      p.globalAlpha = 0.85;
      p.stroke(s.path);
      p.globalAlpha = 1;
    }
    if (s.f.kind === "polygon" && s.f.box && s.f.span * state.px < 9) speck(s.f, l);
    for (const d of s.dots) sign(s.f, l, d);
    for (const g of s.f.gaps || []) gape(g);
  }
  p.setTransform(state.dpr, 0, 0, state.dpr, 0, 0);
  p.setLineDash([]);
  if (state.extra) state.extra(p, toScreen, state);
  p.setLineDash([]);
  if (!rest || shapes.length < 60) labels();
  for (const m of state.marks) if (!m.chosen && !m.grave) finding(m);
  for (const m of state.marks) if (!m.chosen && m.grave) finding(m);
  for (const m of state.marks) if (m.chosen) finding(m);
  sketch();
  handles();
  me();
  scale();
}

// speck keeps in sight what is too small to be drawn to scale.
function speck(f, l) {
  const p = pen;
  p.setTransform(state.dpr, 0, 0, state.dpr, 0, 0);
  p.setLineDash([]);
  const [x, y] = toScreen((f.box[0] + f.box[2]) / 2, (f.box[1] + f.box[3]) / 2);
  p.beginPath(); p.rect(x - 5, y - 5, 10, 10);
  p.fillStyle = l.fill || "#fff"; p.fill();
  p.lineWidth = 2; p.strokeStyle = l.line; p.stroke();
}

// swatch draws a role's sign into a small canvas, for the list of signs.
export function swatch(role) {
  const c = document.createElement("canvas"), l = state.looks[role];
  c.width = 52; c.height = 36;
  c.className = "swatch";
  const p = c.getContext("2d");
  p.scale(2, 2);
  p.fillStyle = "#fff"; p.fillRect(0, 0, 26, 18);
  if (l.fill) { p.globalAlpha = l.opacity; p.fillStyle = l.fill; p.fillRect(3, 3, 20, 12); p.globalAlpha = 1; }
  p.strokeStyle = l.line; p.lineWidth = Math.min(l.width, 2);
  p.setLineDash((l.dash || []).map((x) => x / 2));
  if (l.hatch) { p.save(); p.beginPath(); p.rect(3, 3, 20, 12); p.clip(); p.lineWidth = 0.6; p.setLineDash([]); p.beginPath();
    for (let i = -12; i < 32; i += 5) {
      if (l.hatch === "level") { p.moveTo(0, i); p.lineTo(26, i); continue; }
      p.moveTo(i, 18); p.lineTo(i + 18, 0);
      if (l.hatch === "cross") { p.moveTo(i, 0); p.lineTo(i + 18, 18); }
    }
    p.stroke(); p.restore(); p.setLineDash((l.dash || []).map((x) => x / 2)); }
  p.beginPath();
  if (["corridor", "edge"].includes(role)) { p.moveTo(2, 9); p.lineTo(24, 9); }
  else if (role === "base") { p.moveTo(13, 3); p.lineTo(20, 15); p.lineTo(6, 15); p.closePath(); }
  else if (role === "mark") { p.moveTo(5, 9); p.lineTo(21, 9); p.moveTo(13, 2); p.lineTo(13, 16); }
  else if (role === "supply") p.arc(13, 9, 6, 0, 7);
  else p.rect(3, 3, 20, 12);
  p.stroke();
  return c;
}

function sign(f, l, [e, n]) {
  const p = pen;
  p.setTransform(state.dpr, 0, 0, state.dpr, 0, 0);
  p.setLineDash([]);
  const [x, y] = toScreen(e, n);
  const r = 8;
  p.lineWidth = 1.6; p.strokeStyle = "#000"; p.fillStyle = l.fill || "#fff";
  p.beginPath();
  if (f.role === "base") { p.moveTo(x, y - r - 2); p.lineTo(x + r, y + r - 2); p.lineTo(x - r, y + r - 2); p.closePath(); }
  else if (f.role === "dock") {
    p.rect(x - r, y - r, 2 * r, 2 * r);
    if (f.heading !== undefined) {
      // The way in: from the line-up point to the dock, against the heading.
      const a = f.heading * Math.PI / 180, out = Math.max((f.standoff || 2) * state.px, 14);
      p.moveTo(x, y); p.lineTo(x - Math.sin(a) * out, y + Math.cos(a) * out);
    }
  } else if (f.role === "mark") { p.moveTo(x - r, y); p.lineTo(x + r, y); p.moveTo(x, y - r); p.lineTo(x, y + r); p.arc(x, y, r / 2, 0, 7); }
  else if (f.role === "supply") { p.arc(x, y, r, 0, 7); p.moveTo(x - 3, y - 3); p.lineTo(x - 3, y + 3); p.moveTo(x + 3, y - 3); p.lineTo(x + 3, y + 3); }
  else if (f.radius) p.arc(x, y, Math.max(f.radius * state.px, 4), 0, 7);
  else p.arc(x, y, 5, 0, 7);
  if (!f.active) p.setLineDash([3, 3]);
  else p.fill();
  p.stroke();
  if (state.chosen.has(f.i)) { p.setLineDash([]); p.lineWidth = 3; p.strokeStyle = "#0b4f7d"; p.beginPath(); p.arc(x, y, r + 6, 0, 7); p.stroke(); }
}

function gape([e1, n1, e2, n2]) {
  const p = pen;
  p.setTransform(state.dpr, 0, 0, state.dpr, 0, 0);
  p.setLineDash([]);
  p.strokeStyle = "#8f2d00"; p.lineWidth = 2.5;
  for (const [e, n] of [[e1, n1], [e2, n2]]) {
    const [x, y] = toScreen(e, n);
    p.beginPath(); p.moveTo(x - 6, y - 6); p.lineTo(x + 6, y + 6); p.moveTo(x + 6, y - 6); p.lineTo(x - 6, y + 6); p.stroke();
  }
}

function labels() {
  const p = pen;
  p.font = "600 13px system-ui, sans-serif";
  p.textAlign = "center";
  p.textBaseline = "middle";
  const taken = [];
  // The larger a thing, the sooner it has its name; a small one inside a zone must not
  // look like the zone's.
  for (const s of [...shapes].sort((a, b) => b.f.span - a.f.span)) {
    const f = s.f;
    if (!f.label_at || !f.name && !f.id || f.role === "boundary" && f.kind === "polygon") continue;
    const words = (f.name || f.id) + (f.active ? "" : " (off)");
    let [x, y] = toScreen(f.label_at[0], f.label_at[1]);
    if (f.kind === "point") y -= 20;
    if (x < 0 || x > state.width) continue;
    const w = p.measureText(words).width / 2 + 4;
    x = Math.min(Math.max(x, w), state.width - w);
    const box = [x - w, y - 10, x + w, y + 10];
    if (y < 8 || y > state.height - 8 || f.kind === "polygon" && f.span * state.px < 1.2 * w && !state.chosen.has(f.i)) continue;
    if (taken.some((t) => box[0] < t[2] && t[0] < box[2] && box[1] < t[3] && t[1] < box[3])) continue;
    taken.push(box);
    p.lineWidth = 4; p.strokeStyle = "#fff"; p.lineJoin = "round"; p.strokeText(words, x, y);
    p.fillStyle = "#000"; p.fillText(words, x, y);
  }
}

function finding(m) {
  const p = pen;
  if (m.trace && m.trace.length > 1) {
    p.beginPath();
    m.trace.forEach(([e, n], i) => { const [x, y] = toScreen(e, n); if (i) p.lineTo(x, y); else p.moveTo(x, y); });
    p.strokeStyle = "#8f2d00"; p.lineWidth = 3; p.stroke();
  }
  if (!m.at) return;
  const [x, y] = toScreen(m.at[0], m.at[1]);
  const full = m.chosen || m.grave;
  p.beginPath(); p.arc(x, y, m.chosen ? 15 : 11, 0, 7);
  p.fillStyle = full ? "#8f2d00" : "#fff"; p.fill();
  p.lineWidth = 2.5; p.strokeStyle = m.chosen ? "#000" : "#8f2d00"; p.stroke();
  p.fillStyle = full ? "#fff" : "#8f2d00"; p.font = "700 12px system-ui, sans-serif"; p.textAlign = "center"; p.textBaseline = "middle";
  p.fillText(m.text || "!", x, y + 0.5);
}

function sketch() {
  if (!state.sketch) return;
  const p = pen;
  p.beginPath();
  state.sketch.points.forEach(([e, n], i) => { const [x, y] = toScreen(e, n); if (i) p.lineTo(x, y); else p.moveTo(x, y); });
  if (state.sketch.closed && state.sketch.points.length > 2) p.closePath();
  p.strokeStyle = "#0b4f7d"; p.lineWidth = 3; p.setLineDash([8, 4]); p.stroke(); p.setLineDash([]);
  for (const [e, n] of state.sketch.points) square(e, n);
}

function square(e, n) {
  const [x, y] = toScreen(e, n);
  pen.fillStyle = "#fff"; pen.strokeStyle = "#0b4f7d"; pen.lineWidth = 2.5;
  pen.beginPath(); pen.rect(x - 7, y - 7, 14, 14); pen.fill(); pen.stroke();
}

function handles() {
  if (!state.handles) return;
  // Squares that would lie on one another say nothing: come nearer to see them.
  let last = null;
  for (const h of state.handles) {
    const at = toScreen(h.at[0], h.at[1]);
    if (last && Math.hypot(at[0] - last[0], at[1] - last[1]) < 9) continue;
    square(h.at[0], h.at[1]);
    last = at;
  }
}

function me() {
  if (!state.me) return;
  const p = pen, [x, y] = toScreen(state.me.at[0], state.me.at[1]);
  p.beginPath(); p.arc(x, y, Math.max(state.me.accuracy * state.px, 3), 0, 7);
  p.strokeStyle = "#0b4f7d"; p.lineWidth = 2; p.setLineDash([6, 4]); p.stroke(); p.setLineDash([]);
  p.beginPath(); p.arc(x, y, 5, 0, 7); p.fillStyle = "#0b4f7d"; p.fill();
}

function scale() {
  const out = document.getElementById("scale");
  if (!state.view) { out.textContent = ""; return; }
  let m = 90 / state.px;
  const ten = Math.pow(10, Math.floor(Math.log10(m)));
  m = [5, 2, 1].map((k) => k * ten).find((k) => k <= m) || ten;
  out.style.width = m * state.px + "px";
  out.textContent = (m < 1 ? m.toFixed(2) : m) + " m";
}

// At a place on the screen: the feature on top, or null.
export function featureAt(x, y) {
  const t = groundTransform();
  pen.setTransform(...t);
  for (let pass = 0; pass < 2; pass++) {
    for (let i = shapes.length - 1; i >= 0; i--) {
      const s = shapes[i];
      if (pass === 0) {
        for (const [e, n] of s.dots) { const [a, b] = toScreen(e, n); if (Math.hypot(a - x, b - y) < 20) return s.f; }
        if (s.f.kind === "line") { pen.lineWidth = 22 / state.px; if (pen.isPointInStroke(s.path, x * state.dpr, y * state.dpr)) return s.f; }
      } else if (s.f.kind === "polygon" && pen.isPointInPath(s.path, x * state.dpr, y * state.dpr, "evenodd")) return s.f;
    }
  }
  return null;
}

// The drawn point nearest to a place on the screen, within reach: for pairing.
export function vertexAt(x, y, reach = 24) {
  let best = null, least = reach;
  for (const s of shapes) for (const part of s.f.parts) for (const ring of part) {
    for (let i = 0; i < ring.length; i += 2) {
      const [a, b] = toScreen(ring[i], ring[i + 1]);
      const d = Math.hypot(a - x, b - y);
      if (d < least) { least = d; best = [ring[i], ring[i + 1]]; }
    }
  }
  return best;
}

const fingers = new Map();
let moved = 0, dragging = null, spread = 0;

canvas.addEventListener("pointerdown", (e) => {
  canvas.setPointerCapture(e.pointerId);
  fingers.set(e.pointerId, [e.offsetX, e.offsetY]);
  moved = 0;
  dragging = null;
  if (fingers.size === 1 && state.handles) {
    let least = e.pointerType === "touch" ? 28 : 14;
    for (const h of state.handles) {
      const [x, y] = toScreen(h.at[0], h.at[1]);
      const d = Math.hypot(x - e.offsetX, y - e.offsetY);
      if (d < least) { least = d; dragging = h; }
    }
  }
  if (fingers.size === 2) spread = gap();
});

function gap() { const [a, b] = [...fingers.values()]; return Math.hypot(a[0] - b[0], a[1] - b[1]); }

canvas.addEventListener("pointermove", (e) => {
  const old = fingers.get(e.pointerId);
  if (!old) return;
  const now = [e.offsetX, e.offsetY];
  fingers.set(e.pointerId, now);
  moved += Math.hypot(now[0] - old[0], now[1] - old[1]);
  if (fingers.size === 2) {
    const wide = gap(), [a, b] = [...fingers.values()];
    zoom(wide / spread, (a[0] + b[0]) / 2, (a[1] + b[1]) / 2);
    spread = wide;
  }
  if (dragging && fingers.size === 1) {
    if (moved > 5) { dragging.at = toGround(...now); redraw(); if (listeners.drag) listeners.drag(dragging, false); }
    return;
  }
  const share = 1 / fingers.size;
  state.at = [state.at[0] - (now[0] - old[0]) * share / state.px, state.at[1] + (now[1] - old[1]) * share / state.px];
  moving();
  redraw();
});

function lift(e) {
  if (!fingers.delete(e.pointerId) || fingers.size) return;
  if (dragging && moved > 5) { if (listeners.drag) listeners.drag(dragging, true); }
  else if (e.type === "pointerup" && moved < 8 && listeners.tap) listeners.tap(e.offsetX, e.offsetY);
  dragging = null;
}
canvas.addEventListener("pointerup", lift);
canvas.addEventListener("pointercancel", lift);
canvas.addEventListener("wheel", (e) => { e.preventDefault(); zoom(Math.exp(-e.deltaY * 0.0015), e.offsetX, e.offsetY); }, { passive: false });
canvas.addEventListener("keydown", (e) => {
  const step = 60 / state.px;
  const go = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] }[e.key];
  if (go) state.at = [state.at[0] + go[0], state.at[1] + go[1]];
  else if (e.key === "+" || e.key === "=") zoom(1.4);
  else if (e.key === "-") zoom(1 / 1.4);
  else if (e.key === "0") whole();
  else return;
  e.preventDefault();
  redraw();
});

// For tests and for the curious: what is shown now.
window.swardlineMap = { state, toScreen, toGround };
