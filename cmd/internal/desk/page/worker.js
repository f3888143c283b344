// The engine in a worker: it takes frames and answers each with one, in order.
importScripts("wasm_exec.js");

async function start() {
  const answer = await fetch("engine.bin");
  if (!answer.ok) throw new Error("engine.bin: " + answer.status);
  let bytes = await answer.arrayBuffer();
  const head = new Uint8Array(bytes, 0, 2);
  // Some hosts unpack what they serve, some do not.
  if (head[0] === 0x1f && head[1] === 0x8b) {
    const unpacked = new Response(bytes).body.pipeThrough(new DecompressionStream("gzip"));
    bytes = await new Response(unpacked).arrayBuffer();
  }
  const go = new Go();
  const { instance } = await WebAssembly.instantiate(bytes, go.importObject);
  const ready = new Promise((resolve) => { self.swardlineReady = resolve; });
  go.run(instance);
  await ready;
}

const started = start();
started.then(
  () => postMessage({ ready: true }),
  (e) => postMessage({ failed: String(e && e.message || e) }),
);

onmessage = async (event) => {
  await started;
  const frame = self.swardlineHandle(new Uint8Array(event.data));
  const out = frame.buffer.slice(frame.byteOffset, frame.byteOffset + frame.byteLength);
  postMessage({ frame: out }, [out]);
};
