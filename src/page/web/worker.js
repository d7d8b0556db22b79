// The program in a worker: questions one after another, in the order they come.
"use strict";

let program = null;
let turn = Promise.resolve();

async function unpacked(packed) {
  const bytes = Uint8Array.from(atob(packed.trim()), (letter) => letter.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return WebAssembly.compile(await new Response(stream).arrayBuffer());
}

// Libraries of figures and calendars name a browser's own functions here, and none is ever called.
function unused(module) {
  const imports = {};
  for (const { module: from, name } of WebAssembly.Module.imports(module)) {
    (imports[from] ??= {})[name] = () => {
      throw new Error(`${name} is not to be called`);
    };
  }
  return imports;
}

async function begin({ packed, module }) {
  const compiled = module ?? (await unpacked(packed));
  if (!module) {
    postMessage({ module: compiled });
  }
  program = (await WebAssembly.instantiate(compiled, unused(compiled))).exports;
}

async function ask({ path, body }) {
  const content = typeof body === "string" ? new TextEncoder().encode(body) : new Uint8Array(body instanceof Blob ? await body.arrayBuffer() : body);
  const tail = new TextEncoder().encode(path);
  const room = program.room(content.length + tail.length) >>> 0;
  const question = new Uint8Array(program.memory.buffer, room, content.length + tail.length);
  question.set(content);
  question.set(tail, content.length);
  const today = new Date();
  const at = program.ask(content.length, today.getFullYear(), today.getMonth() + 1, today.getDate()) >>> 0;
  // Asking may have moved the memory.
  const answer = new Uint8Array(program.memory.buffer, at, program.length()).slice();
  const head = answer.indexOf(10);
  const [status, ...kind] = new TextDecoder().decode(answer.subarray(0, head)).split(" ");
  postMessage({ status: Number(status), kind: kind.join(" "), body: answer.subarray(head + 1) }, [answer.buffer]);
}

addEventListener("message", ({ data }) => {
  // A failure is thrown out of the promise, so that the page hears of it.
  turn = turn.then(() => (data.path === undefined ? begin(data) : ask(data))).catch((error) => setTimeout(() => { throw error; }));
});
