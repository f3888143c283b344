// The way to the engine: frames out, frames back. A frame is the length of a
// head as four bytes, big end first, the head as JSON, then bytes of a file.
// The engine is a worker of this page, or the program that serves it.

const text = { out: new TextEncoder(), in: new TextDecoder() };

function pack(head, bytes) {
  const h = text.out.encode(JSON.stringify(head));
  const frame = new Uint8Array(4 + h.length + (bytes ? bytes.length : 0));
  new DataView(frame.buffer).setUint32(0, h.length);
  frame.set(h, 4);
  if (bytes) frame.set(bytes, 4 + h.length);
  return frame;
}

function unpack(buffer) {
  const n = new DataView(buffer).getUint32(0);
  const head = JSON.parse(text.in.decode(new Uint8Array(buffer, 4, n)));
  return { head, bytes: new Uint8Array(buffer, 4 + n) };
}

// EngineError is a refusal: what is wrong, and what to do about it.
export class EngineError extends Error {
  constructor(head) {
    super(head.error);
    this.mend = head.mend || "";
    this.notes = head.notes || [];
  }
}

function worker() {
  const w = new Worker("worker.js");
  const waiting = [];
  const ready = new Promise((resolve, reject) => {
    w.onerror = (e) => reject(new Error("the engine did not start: " + (e.message || "unknown fault")));
    w.onmessage = (event) => {
      const m = event.data;
      if (m.ready) resolve();
      else if (m.failed) reject(new Error("the engine did not start: " + m.failed));
      else waiting.shift()(m.frame);
    };
  });
  return {
    ready,
    send: (frame) => new Promise((resolve) => { waiting.push(resolve); w.postMessage(frame.buffer, [frame.buffer]); }),
  };
}

function server() {
  const key = new URLSearchParams(location.search).get("key") || "";
  let last = Promise.resolve();
  return {
    ready: Promise.resolve(),
    send(frame) {
      // One at a time, in order, as a worker does it.
      const turn = last.then(async () => {
        const answer = await fetch("engine", { method: "POST", body: frame, headers: { "X-Desk-Key": key } });
        if (!answer.ok) throw new Error("the program answered " + answer.status + ": is it still running?");
        return answer.arrayBuffer();
      });
      last = turn.catch(() => {});
      return turn;
    },
  };
}

const native = document.querySelector("meta[name=engine]").content === "native";
const way = native ? server() : worker();

export const isNative = native;
export const ready = way.ready;

// ask has the engine do one thing. It gives the result, the notes and the bytes
// of the answer, or throws an EngineError.
export async function ask(what, options = {}, bytes = null) {
  await way.ready;
  const { head, bytes: out } = unpack(await way.send(pack({ do: what, with: options }, bytes)));
  if (head.error) throw new EngineError(head);
  return { result: head.result, notes: head.notes || [], bytes: out };
}
