// The work is kept in the browser until it is saved elsewhere: a reload or a
// crash loses nothing, and nothing leaves the device.

const NAME = "swardline-desk";

function open() {
  return new Promise((resolve, reject) => {
    const r = indexedDB.open(NAME, 1);
    r.onupgradeneeded = () => {
      r.result.createObjectStore("files");
      r.result.createObjectStore("work");
    };
    r.onsuccess = () => resolve(r.result);
    r.onerror = () => reject(r.error);
  });
}

let base = null;

async function run(store, mode, f) {
  base = base || open();
  const db = await base;
  return new Promise((resolve, reject) => {
    const t = db.transaction(store, mode);
    const r = f(t.objectStore(store));
    t.oncomplete = () => resolve(r && r.result);
    t.onerror = () => reject(t.error);
    t.onabort = () => reject(t.error);
  });
}

export const keepFile = (name, bytes) => run("files", "readwrite", (s) => s.put(bytes, name));
export const dropFile = (name) => run("files", "readwrite", (s) => s.delete(name));
export const keepWork = (work) => run("work", "readwrite", (s) => s.put(work, "now"));
export const keptWork = () => run("work", "readonly", (s) => s.get("now"));

export async function keptFiles() {
  const names = await run("files", "readonly", (s) => s.getAllKeys());
  const all = await run("files", "readonly", (s) => s.getAll());
  return names.map((name, i) => ({ name, bytes: all[i] }));
}

export async function forget() {
  await run("files", "readwrite", (s) => s.clear());
  await run("work", "readwrite", (s) => s.clear());
}
