// Step 4: what the rules say, beside the plan; what they could not see first.

import { el, metres } from "./dom.js";
import * as map from "./map.js";

let report = null;
let picked = -1;

async function run(desk) {
  await desk.busy("Checking …", async () => {
    const { result } = await desk.ask("check", {});
    report = result;
    picked = -1;
    marks();
    desk.show();
    desk.tell(result.words, result.errors > 0);
  });
}

function marks() {
  map.setMarks(report ? report.findings.map((f, i) => ({ at: f.at, trace: f.trace, text: String(i + 1), chosen: i === picked, grave: f.severity === "error" })) : []);
}

export const checkStep = {
  enter: run,
  leave() { report = null; },
  tap(desk, x, y) {
    if (report) {
      let best = -1, least = 24;
      report.findings.forEach((f, i) => {
        if (!f.at) return;
        const [a, b] = map.toScreen(f.at[0], f.at[1]);
        const d = Math.hypot(a - x, b - y);
        if (d < least) { least = d; best = i; }
      });
      if (best >= 0) return pick(desk, best, false);
    }
    const f = map.featureAt(x, y);
    desk.choose(f ? f.i : null);
  },
  list(desk) {
    const out = [el("h2", {}, "Check")];
    if (!report) return out.concat(el("p", {}, "Checking …"));
    out.push(el("p", {}, el("span", { class: report.status === "clean" ? "good" : report.errors ? "bad" : "kind", id: "words" }, report.words)));
    if (report.unchecked.length) {
      // First, as a line: what it hides is one tap away, what was found is in sight.
      out.push(el("details", {}, el("summary", { class: "bad" }, "Not checked: " + report.unchecked.length + " rules lack what they need"), el("ul", { class: "rows", "aria-label": "Not checked" }, report.unchecked.map((r) =>
        el("li", {}, el("span", { class: "kind" }, r.rule), el("span", { class: "why" }, r.reason))))));
    }
    if (report.findings.length) {
      out.push(el("h3", {}, "Findings (" + report.findings.length + ")"), el("ul", { class: "rows", "aria-label": "Findings" }, report.findings.map((f, i) => el("li", {},
        el("button", { class: "row", "data-key": "finding " + i, "aria-pressed": String(i === picked), onclick: () => pick(desk, i, true) },
          el("span", { class: f.severity === "error" ? "bad" : "kind" }, (i + 1) + " " + f.severity + ": "), f.message),
        i === picked ? el("span", { class: "why" }, f.mend) : null,
        i === picked && f.features.length ? el("button", { "data-key": "change", onclick: () => { desk.go("draw"); desk.choose(f.change, true); } }, "Change it") : null))));
    }
    out.push(el("p", { class: "why" }, report.counts));
    out.push(limits(desk));
    out.push(el("button", { class: "main", onclick: () => desk.go("give"), "data-key": "on" }, "Go on to hand over"));
    return out;
  },
};

function pick(desk, i, go) {
  picked = i;
  const f = report.findings[i];
  marks();
  desk.chosen = f.features.length ? f.change : null;
  map.choose(f.features);
  if (go && f.at) map.goTo(f.at[0], f.at[1], 30);
  desk.show();
}

function limits(desk) {
  return el("details", {}, el("summary", {}, "Limits used: " + report.limits.length), el("ul", { class: "rows" }, report.limits.map((l) => {
    const input = el("input", { value: String(l.value), inputmode: "decimal", "aria-label": l.name, "data-key": "limit " + l.name });
    input.style.width = "7rem";
    input.addEventListener("change", () => {
      const v = desk.number(input.value);
      if (Number.isNaN(v)) return desk.tell(l.name + ": type a number.", true);
      desk.change((w) => { w.limits[l.name] = v; }, l.name + " is " + v + " now.").then((ok) => ok && run(desk));
    });
    return el("li", {}, el("span", { class: "grow" }, el("span", { class: "kind" }, l.name), " (" + l.from + ")"), input, el("span", {}, l.unit),
      desk.work.limits[l.name] !== undefined ? el("button", { onclick: () => desk.change((w) => { delete w.limits[l.name]; }, l.name + " is as it was.").then(() => run(desk)) }, "As it was") : null,
      el("span", { class: "why" }, l.doc));
  })));
}
