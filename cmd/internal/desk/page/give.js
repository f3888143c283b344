// Step 5: the plan goes out, in the other side's form; losses are told first.

import { el } from "./dom.js";

let ready = null; // what is about to be saved
let standing = ""; // what the check says, where it is not without findings
let grave = false; // with errors

export const giveStep = {
  enter(desk) {
    ready = null;
    standing = "";
    desk.ask("check", {}).then(({ result }) => { standing = result.status === "clean" ? "" : result.words; grave = result.errors > 0; desk.show(); }).catch(() => {});
  },
  list(desk) {
    const out = [el("h2", {}, "Hand over")];
    if (standing) out.push(el("p", { class: grave ? "bad" : "kind", id: "standing" }, "The check stands at: " + standing + " Whoever gets the plan should know."));
    if (ready) {
      const o = ready.of;
      out.push(el("div", { class: "box" }, el("p", {}, el("span", { class: "kind" }, ready.name), " " + Math.ceil(ready.bytes.length / 1024) + " kB"),
        ready.losses.length ? [el("p", { class: "bad" }, "It does not hold everything:"), el("ul", {}, ready.losses.map((l) => el("li", {}, l)))] : el("p", { class: o.whole ? "good" : "why", id: "holds" }, o.holds),
        ready.notes.map((n) => el("p", { class: "why" }, n)),
        el("div", { class: "buttons" }, el("button", { class: "main", "data-key": "save", onclick: () => { desk.download(ready.name, ready.bytes); desk.tell(ready.name + " was saved where your browser saves files."); } }, "Save"),
          el("button", { "data-key": "not", onclick: () => { ready = null; desk.show(); } }, "Not this one"))));
    }
    const group = (title, list) => [el("h3", {}, title), el("ul", { class: "rows" }, list.map((o) => el("li", {},
      el("span", { class: "grow" }, el("span", { class: "kind" }, o.title), el("span", { class: "why" }, o.words || "")),
      el("button", { "data-key": "give " + o.what, onclick: () => make(desk, o) }, "Make"))))];
    out.push(...group("Sheets and bundles", desk.hello.sheets), ...group("Data", desk.hello.formats));
    out.push(el("h3", {}, "The edits"), el("p", { class: "why" }, "The list that turned the file into this plan, for the command line to replay."),
      el("button", { onclick: () => desk.download("edits.json", new TextEncoder().encode(JSON.stringify({ edits: desk.edits() }, null, 1))) }, "Save edits.json"));
    return out;
  },
};

async function make(desk, o) {
  await desk.busy("Making " + o.title + " …", async () => {
    const { result, notes, bytes } = await desk.ask("save", { what: o.what });
    ready = { of: o, name: result.name, losses: result.losses || [], notes: notes.map((n) => n.text), bytes: bytes.slice() };
    desk.show();
    document.getElementById("list").scrollTop = 0;
    desk.tell(ready.losses.length ? "Read what it cannot hold, then save." : "Ready to save.");
  });
}
