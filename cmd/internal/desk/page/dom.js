// Small helpers to build the list. Text goes in as text, never as markup.

export function el(tag, props = {}, ...inside) {
  const e = document.createElement(tag);
  for (const [k, v] of Object.entries(props)) {
    if (v === undefined || v === null || v === false) continue;
    if (k.startsWith("on")) e.addEventListener(k.slice(2), v);
    else if (k === "class") e.className = v;
    else if (k === "value") e.value = v;
    else if (v === true) e.setAttribute(k, "");
    else e.setAttribute(k, v);
  }
  e.append(...inside.flat(9).filter((x) => x !== null && x !== undefined && x !== false));
  return e;
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
