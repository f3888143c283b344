"use strict";
for (const table of document.querySelectorAll("table.sortable")) {
  const heads = [...table.tHead.rows[0].cells], body = table.tBodies[0];
  const key = (row, k) => row.cells[k].dataset.rank ?? row.cells[k].textContent.replace(/[\s\u00a0]+/g, " ").trim();
  let last = -1, down = false;
  const sort = k => {
    down = k === last && !down;
    last = k;
    const rows = [...body.rows].map(row => [key(row, k), row]);
    const figures = rows.every(([v]) => v === "" || !isNaN(v));
    const order = new Intl.Collator(undefined, { numeric: true });
    rows.sort(([a], [b]) => {
      if (a === "" || b === "") return (a === "") - (b === ""); // what is not known stands last
      const c = figures ? a - b : order.compare(a, b);
      return down ? -c : c;
    });
    body.append(...rows.map(r => r[1]));
    heads.forEach((h, i) => { if (i === k) h.setAttribute("aria-sort", down ? "descending" : "ascending"); else h.removeAttribute("aria-sort"); });
  };
  const label = document.createElement("label"), choice = document.createElement("select");
  label.className = "sorter";
  label.append("Sort by ", choice);
  heads.forEach((h, k) => {
    const b = document.createElement("button");
    b.type = "button";
    b.textContent = h.textContent;
    h.replaceChildren(b);
    b.addEventListener("click", () => sort(k));
    choice.append(new Option(b.textContent, k));
  });
  choice.addEventListener("change", () => sort(+choice.value));
  table.before(label);
}
