"use strict";
// The live page: moving about the map, layers, lists, measuring, and the drift view.
// The data stand in the element plan-data; nothing is fetched.
(() => {
  const data = JSON.parse(document.getElementById("plan-data").textContent);
  const byId = id => document.getElementById(id);
  const map = byId("map"), reading = byId("reading"), here = byId("here-text");
  const SVG = "http://www.w3.org/2000/svg";
  const calm = matchMedia("(prefers-reduced-motion: reduce)");

  // The view: its middle on the ground and metres a pixel.
  const whole = data.box;
  const view = { x: 0, y: 0, k: 1 };
  let size = { w: 1, h: 1 };
  const widest = Math.max(whole[2] - whole[0], whole[3] - whole[1]);

  const measureSize = () => {
    const r = map.getBoundingClientRect();
    size = { w: Math.max(r.width, 1), h: Math.max(r.height, 1) };
  };
  const fitted = (box, pad) => ({
    x: (box[0] + box[2]) / 2, y: (box[1] + box[3]) / 2,
    k: Math.max((box[2] - box[0]) / (size.w * pad), (box[3] - box[1]) / (size.h * pad), 0.002),
  });
  const clampView = v => {
    v.k = Math.min(Math.max(v.k, 0.0005), widest * 4 / Math.min(size.w, size.h));
    v.x = Math.min(Math.max(v.x, whole[0] - widest), whole[2] + widest);
    v.y = Math.min(Math.max(v.y, whole[1] - widest), whole[3] + widest);
  };
  const hatches = [...map.querySelectorAll("pattern.hatch")];
  let patternsAt = 0;
  const show = () => {
    clampView(view);
    map.setAttribute("viewBox", [view.x - size.w * view.k / 2, -view.y - size.h * view.k / 2, size.w * view.k, size.h * view.k].join(" "));
    map.style.setProperty("--k", view.k);
    if (patternsAt !== view.k) {
      patternsAt = view.k;
      for (const p of hatches) p.setAttribute("patternTransform", "rotate(" + p.dataset.angle + ") scale(" + view.k + ")");
    }
    scaleBar();
    thinLabels();
  };
  const scaleBar = () => {
    let metres = 10 ** Math.floor(Math.log10(140 * view.k));
    for (const m of [5, 2]) if (m * metres <= 140 * view.k) { metres *= m; break; }
    byId("scale-bar").style.width = metres / view.k + "px";
    byId("scale-text").textContent = metres >= 1 ? metres + " m" : Math.round(metres * 1000) / 10 + " cm";
  };

  // Names that would lie on others or on signs are left out, zones first.
  const rank = { zone: 0, base: 1, dock: 1, keepout: 2 };
  const signs = [...map.querySelectorAll(".f > g[transform]")].map(el => el.transform.baseVal[0].matrix);
  const labels = [...map.querySelectorAll(".label")].map((el, i) => ({
    el, i, at: el.transform.baseVal[0].matrix, rank: rank[el.dataset.role] ?? 3,
    middle: el.querySelector("text").getAttribute("text-anchor") === "middle",
    text: el.querySelector("text"), full: el.querySelector("text").textContent, code: el.dataset.code, wide: +el.dataset.wide, widths: {},
  })).sort((a, b) => a.rank - b.rank || a.i - b.i);
  // How wide a text is in a label, which shows it for that.
  const widthOf = (l, name) => {
    if (l.widths[name]) return l.widths[name];
    l.shown = name;
    l.text.textContent = name;
    return l.widths[name] = l.text.getComputedTextLength() || 60;
  };
  // Tags of findings stand beside their places, where no other tag stands.
  const tags = [...map.querySelectorAll(".tag")].map(el => ({ el, at: el.transform.baseVal[0].matrix, head: el.querySelector(".px > g"), stem: el.querySelector(".stem") }));
  const sides = [26, 48, 70, 92, 114, 140].flatMap(r => [[12, -r], [-12, -r], [r, -12], [-r, -12], [12, r], [-12, r], [r, 12], [-r, 12]]);
  // Names may not lie under what floats over the map, nor past its edge.
  const floating = ["zoom-in", "zoom-out", "zoom-all", "measure", "where", "drift-on", "scale", "north"].map(byId).filter(el => el);
  const covered = () => {
    const r = map.getBoundingClientRect(), x = r.left + size.w / 2, y = r.top + size.h / 2;
    return floating.map(el => el.getBoundingClientRect()).map(b => [b.left - x, b.top - y, b.right - x, b.bottom - y]);
  };
  const placeTags = taken => {
    for (const t of tags) {
      const x = (t.at.e - view.x) / view.k, y = (t.at.f + view.y) / view.k;
      const box = ([dx, dy]) => [x + dx - 12, y + dy - 12, x + dx + 12, y + dy + 12];
      const free = s => { const b = box(s); return !taken.some(o => o[0] < b[2] && b[0] < o[2] && o[1] < b[3] && b[1] < o[3]); };
      const s = sides.find(free) || sides[0];
      t.head.setAttribute("transform", "translate(" + s[0] + " " + s[1] + ")");
      t.stem.setAttribute("d", "M0 0L" + s[0] + " " + s[1]);
      taken.push(box(s));
    }
  };
  let thinning = 0;
  const thinLabels = () => {
    if (thinning) return;
    thinning = requestAnimationFrame(() => {
      thinning = 0;
      const taken = covered();
      taken.push(...signs.map(m => [(m.e - view.x) / view.k, (m.f + view.y) / view.k]).map(p => [p[0] - 9, p[1] - 11, p[0] + 9, p[1] + 11]));
      for (const l of labels) {
        l.el.classList.remove("off");
        const x = (l.at.e - view.x) / view.k, y = (l.at.f + view.y) / view.k;
        const tooWide = l.wide && widthOf(l, l.full) > Math.max(l.wide / view.k, 24);
        let clear = false, name = l.code, b = null, dx = 0;
        const seen = Math.abs(x) < size.w / 2 && Math.abs(y) < size.h / 2 - 10;
        for (name of tooWide ? [l.code] : [l.full, l.code]) {
          const width = widthOf(l, name), x0 = l.middle ? x - width / 2 : x + 14;
          // Inside the edge: a name that would pass it moves in.
          dx = Math.max(0, 4 - size.w / 2 - x0 + 2) || Math.min(0, size.w / 2 - 6 - x0 - width);
          b = [x0 + dx - 2, y - 9, x0 + dx + width + 2, y + 9];
          clear = seen && width < size.w - 12 && !taken.some(t => t[0] < b[2] && b[0] < t[2] && t[1] < b[3] && b[1] < t[3]);
          if (clear) break;
        }
        if (l.shown !== name) {
          l.shown = name;
          l.text.textContent = name;
        }
        if (l.dx !== dx) {
          l.dx = dx;
          l.text.setAttribute("x", (l.middle ? 0 : 14) + dx);
          if (l.ground) l.ground.setAttribute("transform", "translate(" + dx + " 0)");
        }
        if (l.grounded !== name) {
          // A ground of its own knocks the hatching out.
          l.grounded = name;
          if (!l.ground) { l.ground = document.createElementNS(SVG, "rect"); l.ground.setAttribute("class", "ground"); l.ground.setAttribute("transform", "translate(" + dx + " 0)"); l.text.before(l.ground); }
          const width = widthOf(l, name), at = { x: (l.middle ? -width / 2 : 14) - 2, y: -8, width: width + 4, height: 16 };
          for (const k in at) l.ground.setAttribute(k, at[k]);
        }
        l.el.classList.toggle("off", !clear);
        if (clear) taken.push(b);
      }
      placeTags(taken);
    });
  };

  let flight = 0;
  const fly = target => {
    cancelAnimationFrame(flight);
    clampView(target);
    if (calm.matches) { Object.assign(view, target); show(); return; }
    const from = { ...view }, start = performance.now();
    const step = now => {
      const t = Math.min((now - start) / 500, 1), s = t * t * (3 - 2 * t);
      view.x = from.x + (target.x - from.x) * s;
      view.y = from.y + (target.y - from.y) * s;
      view.k = Math.exp(Math.log(from.k) + (Math.log(target.k) - Math.log(from.k)) * s);
      show();
      if (t < 1) flight = requestAnimationFrame(step);
    };
    flight = requestAnimationFrame(step);
  };
  const zoom = (factor, px, py) => {
    cancelAnimationFrame(flight);
    const gx = view.x + (px - size.w / 2) * view.k, gy = view.y - (py - size.h / 2) * view.k;
    view.k *= factor;
    clampView(view);
    view.x = gx - (px - size.w / 2) * view.k;
    view.y = gy + (py - size.h / 2) * view.k;
    show();
  };
  const ground = e => {
    const r = map.getBoundingClientRect();
    return [view.x + (e.clientX - r.left - size.w / 2) * view.k, view.y - (e.clientY - r.top - size.h / 2) * view.k];
  };

  // Pointers: one moves the map, two zoom it.
  const fingers = new Map();
  let moved = 0, spread = 0, dragBase = null;
  map.addEventListener("pointerdown", e => {
    if (e.button > 0) return;
    cancelAnimationFrame(flight);
    map.setPointerCapture(e.pointerId);
    fingers.set(e.pointerId, [e.clientX, e.clientY]);
    moved = 0;
    spread = 0;
    if (driftOn && e.target.closest("#base-handle")) {
      const g = ground(e);
      dragBase = [g[0] - shift.e, g[1] - shift.n];
      byId("base-handle").focus();
    }
  });
  map.addEventListener("pointermove", e => {
    const last = fingers.get(e.pointerId);
    if (!last) return;
    const dx = e.clientX - last[0], dy = e.clientY - last[1];
    fingers.set(e.pointerId, [e.clientX, e.clientY]);
    moved += Math.abs(dx) + Math.abs(dy);
    if (dragBase && fingers.size === 1) {
      const g = ground(e);
      setShift(g[0] - dragBase[0], g[1] - dragBase[1]);
      return;
    }
    if (fingers.size === 2) {
      const [a, b] = [...fingers.values()], r = map.getBoundingClientRect();
      const d = Math.hypot(a[0] - b[0], a[1] - b[1]);
      view.x -= dx * view.k / 2;
      view.y += dy * view.k / 2;
      if (spread > 0 && d > 0) zoom(spread / d, (a[0] + b[0]) / 2 - r.left, (a[1] + b[1]) / 2 - r.top);
      spread = d;
      return;
    }
    if (moved > 4) map.classList.add("dragging");
    view.x -= dx * view.k;
    view.y += dy * view.k;
    show();
  });
  const lift = e => {
    if (!fingers.delete(e.pointerId)) return;
    spread = 0;
    if (fingers.size > 0) return;
    map.classList.remove("dragging");
    if (dragBase) { dragBase = null; return; }
    if (moved <= 4 && e.type === "pointerup" && measuring) addPoint(ground(e));
  };
  map.addEventListener("pointerup", lift);
  map.addEventListener("pointercancel", lift);
  map.addEventListener("wheel", e => {
    e.preventDefault();
    const r = map.getBoundingClientRect();
    zoom(Math.exp(Math.min(Math.max(e.deltaY, -200), 200) * 0.0022), e.clientX - r.left, e.clientY - r.top);
  }, { passive: false });
  map.addEventListener("keydown", e => {
    if (e.target.id === "base-handle" && driftOn) { baseKey(e); return; }
    const step = 60 * view.k;
    switch (e.key) {
      case "ArrowLeft": view.x -= step; break;
      case "ArrowRight": view.x += step; break;
      case "ArrowUp": view.y += step; break;
      case "ArrowDown": view.y -= step; break;
      case "+": case "=": zoom(1 / 1.4, size.w / 2, size.h / 2); break;
      case "-": zoom(1.4, size.w / 2, size.h / 2); break;
      case "0": fly(fitted(whole, 0.94)); break;
      case "Enter": case " ": {
        const tag = e.target.closest(".tag");
        if (tag) flyTo(+tag.dataset.finding);
        else if (measuring) addPoint([view.x, view.y]);
        else return;
        break;
      }
      case "Escape": if (!measuring) return; setMeasuring(false); break;
      default: return;
    }
    e.preventDefault();
    show();
  });
  byId("zoom-in").onclick = () => zoom(1 / 1.6, size.w / 2, size.h / 2);
  byId("zoom-out").onclick = () => zoom(1.6, size.w / 2, size.h / 2);
  byId("zoom-all").onclick = () => fly(fitted(whole, 0.94));

  // Names and figures of what is pointed at or has the focus. Where fingers point, the
  // list may be out of sight, and the map says the name too.
  const touch = matchMedia("(pointer: coarse)");
  if (touch.matches) byId("here-how").textContent = "Tap a feature.";
  const tell = i => {
    const f = data.features[i];
    if (touch.matches && !measuring) reading.textContent = f.label;
    const h = document.createElement("p"), b = document.createElement("b"), dl = document.createElement("dl");
    b.textContent = f.label;
    b.dir = "auto";
    h.append(b);
    for (const [name, value] of f.facts) {
      const dt = document.createElement("dt"), dd = document.createElement("dd");
      dt.textContent = name;
      dd.textContent = value;
      dd.dir = "auto";
      dl.append(dt, dd);
    }
    here.replaceChildren(h, dl);
    for (const el of map.querySelectorAll(".f.hot")) el.classList.remove("hot");
    map.querySelector('.f[data-i="' + i + '"]').classList.add("hot");
  };
  map.addEventListener("pointerover", e => { const f = e.target.closest(".f"); if (f && !fingers.size) tell(+f.dataset.i); });
  map.addEventListener("focusin", e => {
    const f = e.target.closest(".f");
    if (!f) return;
    tell(+f.dataset.i);
    if (!e.target.matches(":focus-visible")) return;
    const box = data.features[+f.dataset.i].box, x = (box[0] + box[2]) / 2, y = (box[1] + box[3]) / 2;
    if (Math.abs(x - view.x) > size.w * view.k / 2 || Math.abs(y - view.y) > size.h * view.k / 2) fly({ x, y, k: view.k });
  });

  // Layers.
  for (const box of document.querySelectorAll("[data-layer]")) {
    box.onchange = () => {
      byId("layer-" + box.dataset.layer).toggleAttribute("hidden", !box.checked);
      for (const l of map.querySelectorAll('.label[data-role="' + box.dataset.layer + '"]')) l.toggleAttribute("hidden", !box.checked);
    };
  }

  // Findings.
  const flyTo = n => {
    const f = data.findings.find(x => x.n === n);
    if (!f || !f.at) return;
    for (const el of map.querySelectorAll(".tag.hot")) el.classList.remove("hot");
    map.querySelector('.tag[data-finding="' + n + '"]').classList.add("hot");
    reading.textContent = "Finding " + n;
    fly({ x: f.at[0], y: f.at[1], k: Math.min(view.k, 20 / Math.min(size.w, size.h)) });
  };
  for (const b of document.querySelectorAll("[data-fly]")) b.onclick = () => flyTo(+b.dataset.fly);
  map.addEventListener("click", e => {
    const tag = e.target.closest(".tag");
    if (tag && !measuring) {
      const b = document.querySelector('[data-fly="' + tag.dataset.finding + '"]');
      if (b) { b.scrollIntoView({ block: "nearest" }); b.focus({ preventScroll: true }); }
    }
  });

  // Measuring.
  let measuring = false, points = [];
  const make = (name, attributes) => {
    const el = document.createElementNS(SVG, name);
    for (const k in attributes) el.setAttribute(k, attributes[k]);
    return el;
  };
  const drawMeasure = () => {
    const g = byId("measured"), d = points.map((p, i) => (i ? "L" : "M") + p[0] + " " + -p[1]).join("");
    g.replaceChildren();
    let total = 0;
    points.forEach((p, i) => { if (i) total += Math.hypot(p[0] - points[i - 1][0], p[1] - points[i - 1][1]); });
    if (points.length > 1) g.append(make("path", { d }), make("path", { d }));
    for (const p of points) {
      const at = make("g", { transform: "translate(" + p[0] + " " + -p[1] + ")" }), px = make("g", { class: "px" });
      px.append(make("circle", { r: 5 }));
      at.append(px);
      g.append(at);
    }
    reading.textContent = points.length < 2 ? (touch.matches ? "Tap two points or more." : "Click two points or more; Enter takes the middle of the map, Escape ends.") :
      total.toFixed(2) + " m on the ground" + (points.length > 2 ? ", " + (points.length - 1) + " legs" : "");
  };
  const addPoint = p => { points.push(p); drawMeasure(); };
  const setMeasuring = on => {
    measuring = on;
    points = [];
    byId("measure").setAttribute("aria-pressed", on);
    map.classList.toggle("measuring", on);
    drawMeasure();
    if (!on) reading.textContent = "";
  };
  byId("measure").onclick = () => setMeasuring(!measuring);

  // The drift view. The table was written by the program's own rules; gap and depth
  // beyond the gap run straight between its entries.
  const table = data.drift;
  const shift = { e: 0, n: 0, u: 0 };
  let driftOn = false;
  const beyond = (row, s) => {
    if (s < 0 || !row) return 0;
    const at = table.beyond;
    let k = 1;
    while (k < at.length - 1 && at[k] < s) k++;
    const f = Math.min(1, (s - at[k - 1]) / (at[k] - at[k - 1]));
    return (row[k - 1] + (row[k] - row[k - 1]) * f) / 1000; // the table's depths are millimetres
  };
  const depth = (item, e, n) => {
    const r = Math.hypot(e, n);
    if (r === 0) return 0;
    let bearing = Math.atan2(e, n) * 180 / Math.PI;
    if (bearing < 0) bearing += 360;
    const at = bearing / (360 / table.bearings);
    let i = Math.floor(at);
    const f = at - i;
    i %= table.bearings;
    const k = (i + 1) % table.bearings, ga = item.gap[i], gb = item.gap[k];
    if (ga === null && gb === null) return 0;
    if (ga === null) return beyond(item.depth[k], r - gb) * f;
    if (gb === null) return beyond(item.depth[i], r - ga) * (1 - f);
    const s = r - (ga + (gb - ga) * f), a = beyond(item.depth[i], s), b = beyond(item.depth[k], s);
    return a + (b - a) * f;
  };
  const words = {
    "drift-enters-hazard": "drives into hazard", "drift-enters-building": "drives into building", "drift-crosses-edge": "drives past edge", "drift-leaves-boundary": "drives beyond boundary",
    "drift-enters-keepout": "drives into keep-out", "drift-leaves-zone": "drives out of zone", "drift-off-dock": "lines up off dock",
  };
  // Rows are written in runs: a letter and how often it stands.
  const unroll = row => row.replace(/([a-z-])(\d+)/g, (_, c, n) => c.repeat(+n));
  const raster = table ? table.verdicts.map(unroll) : [];
  const reachSteps = (raster.length - 1) / 2;
  const nearRows = table ? table.items.map(item => item.near ? item.near.map(unroll) : null) : [];
  // The raster's column and row of a shift, null past the raster.
  const snap = (e, n) => {
    const x = Math.round(e * 1000 / table.step), y = Math.round(n * 1000 / table.step);
    if (!(Math.abs(x) <= reachSteps && Math.abs(y) <= reachSteps)) return null;
    return { e: x * table.step / 1000, n: y * table.step / 1000, column: x + reachSteps, row: y + reachSteps };
  };
  const drift = (e, n, u = 0) => {
    const at = snap(e, n);
    if (at) { e = at.e; n = at.n; }
    const r = Math.hypot(e, n), range = table.beyond[table.beyond.length - 1];
    const found = [];
    table.items.forEach((item, i) => {
      const dock = item.rule === "drift-off-dock";
      const known = r <= range * (1 + 1e-9);
      let d = dock ? r : known ? depth(item, e, n) : null;
      let reached = d !== null && d > item.limit && r > item.limit;
      if (at && item.stops && !dock && r < table.stop) {
        reached = nearRows[i] !== null && nearRows[i][at.row][at.column] === "s";
        if (reached) d = Math.max(d, item.limit);
      }
      if (reached) found.push({ i, rule: item.rule, feature: item.feature, depth: d, stops: item.stops });
    });
    const outOfRange = table.range !== null && table.range > table.within;
    let letter = at ? raster[at.row][at.column] : "s";
    const lifted = Math.abs(u) > table.unchanged;
    if (letter === "u" && lifted) letter = outOfRange ? "s" : "r";
    found.sort((a, b) => b.stops - a.stops || b.depth - a.depth || a.i - b.i);
    return { verdict: { u: "unchanged", r: "re-measure" }[letter] || "stop", found, outOfRange, lifted, beyond: r > range * (1 + 1e-9), e, n };
  };
  const anchor = data.base || [(whole[0] + whole[2]) / 2, (whole[1] + whole[3]) / 2];
  const setShift = (e, n, typed, u) => {
    if (!Number.isFinite(e) || !Number.isFinite(n)) return;
    if (!typed) { e = Math.round(e * 1000) / 1000; n = Math.round(n * 1000) / 1000; }
    if (u === undefined) u = shift.u;
    const box = byId("drift-verdict"), list = byId("drift-list"), handle = byId("base-handle");
    const line = text => { const li = document.createElement("li"); li.textContent = text; list.append(li); return li; };
    if (Math.hypot(e, n) > table.most || Math.abs(u) > table.most) {
      box.className = "stop";
      box.textContent = "NOT JUDGED: more than " + table.most + " m";
      list.replaceChildren();
      line("a base that moved more than " + table.most + " m stands on another site; look at the numbers");
      return;
    }
    const got = drift(e, n, u);
    e = got.e;
    n = got.n;
    shift.e = e;
    shift.n = n;
    shift.u = u;
    byId("ghost").setAttribute("transform", "translate(" + e + " " + -n + ")");
    byId("base-spot").setAttribute("transform", "translate(" + (anchor[0] + e) + " " + -(anchor[1] + n) + ")");
    const way = { x1: anchor[0], y1: -anchor[1], x2: anchor[0] + e, y2: -(anchor[1] + n) };
    for (const k in way) byId("base-way").setAttribute(k, way[k]);
    if (!typed) { byId("drift-e").value = e.toFixed(3); byId("drift-n").value = n.toFixed(3); byId("drift-u").value = u.toFixed(3); }
    const moved = Math.hypot(e, n);
    let bearing = Math.atan2(e, n) * 180 / Math.PI;
    if (bearing < 0) bearing += 360;
    let text = moved === 0 ? "not moved" : moved.toFixed(3) + " m on bearing " + bearing.toFixed(1) + "°";
    if (u !== 0) text = (moved === 0 ? "" : text + ", ") + Math.abs(u).toFixed(3) + " m " + (u > 0 ? "up" : "down");
    box.className = got.verdict === "stop" ? "stop" : "";
    box.textContent = got.verdict.toUpperCase() + ": " + text;
    handle.setAttribute("aria-valuenow", moved.toFixed(3));
    handle.setAttribute("aria-valuetext", text + ", " + got.verdict);
    list.replaceChildren();
    if (moved >= table.stop) line("from " + table.stop + " m on the verdict is STOP: take the machine out of work");
    if (got.outOfRange) line("the farthest point driven is " + table.range.toFixed(1) + " m from " + table.base + ", limit " + table.within + " m");
    if (got.lifted) line("heights would be " + Math.abs(u).toFixed(3) + " m " + (u > 0 ? "higher" : "lower") + " than planned");
    if (got.beyond) line("past " + table.beyond[table.beyond.length - 1] + " m this page gives no depths; 'swardline drift' works them out");
    for (const f of got.found) {
      const li = line("");
      li.dir = "auto";
      li.dataset.item = f.i;
      li.dataset.depth = f.depth;
      const b = document.createElement("button");
      b.type = "button";
      b.textContent = f.depth.toFixed(2) + " m: " + words[f.rule] + " " + f.feature;
      const heading = table.items[f.i].heading;
      if (heading !== undefined) {
        // Across and along the heading, as the machine stands in the dock.
        const s = Math.sin(heading * Math.PI / 180), c = Math.cos(heading * Math.PI / 180), along = e * s + n * c, across = e * c - n * s;
        b.textContent += ", " + Math.abs(across).toFixed(2) + " m to the " + (across < 0 ? "left" : "right") + " and " + Math.abs(along).toFixed(2) + " m " + (along < 0 ? "short of" : "beyond") + " its line-up point";
      }
      b.onclick = () => flyToBreach(f);
      li.append(b);
    }
    if (!list.children.length) line("nothing that the limits notice");
  };
  // The place to look at: the vertex of a zone that lies farthest in the direction of
  // the movement, of anything else the one that the ground comes to first.
  const flyToBreach = f => {
    const i = data.features.findIndex(x => x.label === f.feature), el = map.querySelector('.f[data-i="' + i + '"]');
    if (!el) return;
    const box = data.features[i].box, path = el.querySelector(".line");
    let at = [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2];
    if (path) {
      const way = f.rule === "drift-leaves-zone" ? 1 : -1, n = path.getAttribute("d").match(/-?[\d.]+/g).map(Number);
      let best = -Infinity;
      for (let k = 0; k + 1 < n.length; k += 2) {
        const along = way * (n[k] * shift.e - n[k + 1] * shift.n);
        if (along > best) { best = along; at = [n[k], -n[k + 1]]; }
      }
    }
    tell(i);
    fly({ x: at[0], y: at[1], k: 6 / Math.min(size.w, size.h) });
  };
  const baseKey = e => {
    const step = e.shiftKey ? 0.1 : 0.01;
    switch (e.key) {
      case "ArrowLeft": setShift(shift.e - step, shift.n); break;
      case "ArrowRight": setShift(shift.e + step, shift.n); break;
      case "ArrowUp": setShift(shift.e, shift.n + step); break;
      case "ArrowDown": setShift(shift.e, shift.n - step); break;
      case "Home": setShift(0, 0, false, 0); break;
      default: return;
    }
    e.preventDefault();
    e.stopPropagation();
  };
  if (table) {
    const number = id => parseFloat(byId(id).value) || 0;
    const typed = () => setShift(number("drift-e"), number("drift-n"), true, number("drift-u"));
    byId("drift-e").oninput = byId("drift-n").oninput = byId("drift-u").oninput = typed;
    byId("drift-zero").onclick = () => setShift(0, 0, false, 0);
    byId("drift-on").onclick = () => {
      driftOn = !driftOn;
      byId("drift-on").setAttribute("aria-pressed", driftOn);
      for (const id of ["drift", "ghost", "base-handle"]) byId(id).toggleAttribute("hidden", !driftOn);
      if (driftOn) {
        setShift(shift.e, shift.n);
        byId("drift").scrollIntoView({ block: "nearest" });
        fly(fitted(whole, 0.94));
      }
    };
  }

  // Where the device is: asked for by the button, shown, and kept nowhere.
  const where = byId("where");
  if (where) {
    if (!navigator.geolocation || !data.earth) where.hidden = true;
    const say = text => { reading.textContent = text; };
    const spot = at => {
      const o = data.earth, a = at.longitude - o.lon, b = at.latitude - o.lat;
      const e = o.e[0] + o.e[1] * a + o.e[2] * b, n = o.n[0] + o.n[1] * a + o.n[2] * b;
      const away = Math.hypot(Math.max(whole[0] - e, 0, e - whole[2]), Math.max(whole[1] - n, 0, n - whole[3]));
      const about = "to about " + Math.max(1, Math.round(at.accuracy)) + " m, which is not good enough to set anything out";
      byId("here-spot").toggleAttribute("hidden", away > 0);
      if (away > 0) { say("You are " + (away < 2000 ? Math.round(away) + " m" : Math.round(away / 1000) + " km") + " off the plan, " + about + "."); return; }
      byId("here-at").setAttribute("transform", "translate(" + e + " " + -n + ")");
      for (const [k, v] of [["cx", e], ["cy", -n], ["r", at.accuracy]]) byId("here-ring").setAttribute(k, v);
      say("You are here, " + about + ".");
      fly({ x: e, y: n, k: Math.max(view.k, 2.5 * at.accuracy / Math.min(size.w, size.h)) });
    };
    where.onclick = () => {
      say("Asking the device where it is ...");
      navigator.geolocation.getCurrentPosition(p => spot(p.coords), f => say(f.code === 1 ? "The device may not say where it is; allow it in the browser's settings for this page." : "The device does not know where it is; try again under open sky."), { enableHighAccuracy: true, timeout: 20000, maximumAge: 0 });
    };
  }

  const resize = () => { measureSize(); show(); };
  addEventListener("resize", resize);
  // Print shows the whole plan; the view comes back after.
  let before = null;
  addEventListener("beforeprint", () => { before = { ...view }; measureSize(); Object.assign(view, fitted(whole, 0.94)); show(); });
  addEventListener("afterprint", () => { if (before) Object.assign(view, before); measureSize(); show(); });
  measureSize();
  Object.assign(view, fitted(whole, 0.94));
  show();
  // For tests and for who looks with the console: what the view shows.
  window.sheet = { view, drift: (e, n, u) => table ? drift(e, n, u) : null, depth: (i, e, n) => depth(table.items[i], e, n), ground };
})();
