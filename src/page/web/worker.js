// The program in a worker: questions one after another, in the order they come.
"use strict";

// How long a worker waits for the memory of another: about as long as it would work for what is in there.
const SOON_MS = 1000;
// Larger memories are not copied: there may be several workers.
const MOST_BYTES = 64e6;
const PAGE_BYTES = 65536;

let program = null;
let turn = Promise.resolve();

// Compiled as it is unpacked, so that its ten megabytes are nowhere else.
function unpacked(packed) {
  const letters = atob(packed);
  const bytes = new Uint8Array(letters.length);
  for (let at = 0; at < bytes.length; at += 1) {
    bytes[at] = letters.charCodeAt(at);
  }
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return WebAssembly.compileStreaming(new Response(stream, { headers: { "Content-Type": "application/wasm" } }));
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

// A device may have no room for a copy; a worker then begins without one.
function whereThereIsRoom(copy) {
  try {
    copy();
  } catch (error) {
    if (!(error instanceof RangeError)) {
      throw error;
    }
  }
}

// What another worker remembers: moisture years solved there are not solved again.
function given(from) {
  return new Promise((done) => {
    from.addEventListener("message", ({ data }) => done(data), { once: true });
    from.start();
    setTimeout(() => done(null), SOON_MS);
  });
}

// Between two questions the memory is all that one instance of the module has and another has not.
function give(to) {
  const memory = program?.memory.buffer;
  if (memory?.byteLength <= MOST_BYTES) {
    const copy = memory.slice(0);
    to.postMessage(copy, [copy]);
  } else {
    to.postMessage(null);
  }
}

function takeIn(memory, exports) {
  exports.memory.grow((memory.byteLength - exports.memory.buffer.byteLength) / PAGE_BYTES);
  new Uint8Array(exports.memory.buffer).set(new Uint8Array(memory));
}

async function begin({ packed, module, from }) {
  const compiled = module ?? (await unpacked(packed));
  if (!module) {
    postMessage({ module: compiled });
  }
  const { exports } = await WebAssembly.instantiate(compiled, unused(compiled));
  const memory = from ? await given(from) : null;
  if (memory) {
    whereThereIsRoom(() => takeIn(memory, exports));
  }
  program = exports;
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

function heard(data) {
  if (data.to) {
    return whereThereIsRoom(() => give(data.to));
  }
  return data.path === undefined ? begin(data) : ask(data);
}

addEventListener("message", ({ data }) => {
  turn = turn.then(() => heard(data)).catch((error) => {
    // What broke off is no memory to go on with. The failure is thrown out of the promise, so that the page hears of it.
    program = null;
    setTimeout(() => { throw error; });
  });
});
