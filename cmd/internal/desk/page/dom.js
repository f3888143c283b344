// Small helpers to build the list. Text goes in as text, never as markup.

export function el(tag, props = {}, ...inside) {
  const e = document.createElement(tag);
  for (const [k, v] of Object.entries(props)) {
    if (v === undefined || v === null || v === false) continue;
    if (k.startsWith("on")) e.addEventListener(k.slice(2), v);
    else if (k === "class") e.className = v;
    else if (k === "value") { e.value = v; if (tag === "input") e.dataset.was = v; }
    else if (v === true) e.setAttribute(k, "");
    else e.setAttribute(k, v);
  }
  e.append(...inside.flat(9).filter((x) => x !== null && x !== undefined && x !== false));
  return e;
}

let building = false;

// rebuild puts new content into the list. Text that was typed and not taken yet
// stays in its field, as long as the list is about the same thing.
export function rebuild(list, inside, about) {
  const typed = new Map();
  if (list.dataset.about === about) {
    for (const e of list.querySelectorAll("input[data-key][data-was]")) if (e.value !== e.dataset.was) typed.set(e.dataset.key, e);
  }
  building = true; // a field that leaves the page takes nothing
  list.replaceChildren(...inside);
  building = false;
  list.dataset.about = about;
  for (const e of typed.size ? list.querySelectorAll("input[data-key][data-was]") : []) {
    const old = typed.get(e.dataset.key);
    if (old && old.dataset.was === e.dataset.was) e.value = old.value;
  }
}

// takes has a field's text taken once it is left or Enter is pressed; set says
// false when it cannot be taken.
export function takes(input, set) {
  const take = () => {
    if (building || input.value === input.dataset.was) return;
    if (set(input.value) !== false) input.dataset.was = input.value;
  };
  input.addEventListener("change", take);
  input.addEventListener("blur", take);
  return input;
}

let serial = 0;

// field is a label with its input, two cells of a form.
export function field(label, input) {
  input.id = input.id || "f" + ++serial;
  return [el("label", { for: input.id }, label), input];
}

export function choice(value, options, onchange, props = {}) {
  return el("select", { ...props, onchange: (e) => onchange(e.target.value) },
    options.map(([v, words]) => { const o = el("option", { value: v }, words); o.selected = v === value; return o; }));
}

export const metres = (x, digits = 2) => (x === null || x === undefined || Number.isNaN(x)) ? "—" : x.toFixed(digits) + " m";
export const area = (x) => (x === null || x === undefined) ? "—" : x.toFixed(1) + " m²";

// number reads what a person types: a decimal comma is a decimal point.
export function number(s) {
  const t = String(s).trim().replace(/\s|m$/g, "").replace(",", ".");
  if (!/^[+-]?(\d+\.?\d*|\.\d+)$/.test(t)) return NaN;
  return Number(t);
}

export function save(name, bytes) {
  const url = URL.createObjectURL(new Blob([bytes]));
  const a = el("a", { href: url, download: name });
  document.body.append(a);
  a.click();
  a.remove();
  setTimeout(() => URL.revokeObjectURL(url), 60000);
}
