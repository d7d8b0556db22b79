// The way to the program inside this file: workers of this browser. One is for what is asked at every key, one for what takes
// long, so that neither keeps the other waiting; work that is no longer wanted ends with its worker.

const inside = (id) => document.getElementById(id).textContent;
const refusals = JSON.parse(inside("refusals"));
const MOST_MS = 120000;

let source = null; // the worker's address
let compiled = null; // a promise of the module that all workers share
const files = new Map(); // what was dropped, for workers that begin later

function reply({ status, kind, body }) {
  return new Response(body, { status, headers: { "Content-Type": kind } });
}

const refusal = (kind) => reply({ status: kind === "broken" ? 500 : 503, kind: "application/json", body: JSON.stringify(refusals[kind]) });

class Line {
  queue = [];
  at = null; // what the worker is at
  worker = null;
  begun = null; // when the worker has its module

  ask(path, body, signal) {
    return new Promise((resolve, reject) => {
      const one = { path, body, resolve };
      this.queue.push(one);
      signal?.addEventListener("abort", () => {
        reject(new DOMException("no longer wanted", "AbortError"));
        if (this.at === one) {
          this.end();
        }
        this.queue = this.queue.filter((other) => other !== one);
        this.next();
      });
      this.next();
    });
  }

  // Ends the worker, and with it what it is at.
  end() {
    clearTimeout(this.at?.timer);
    this.worker?.terminate();
    this.worker = null;
    this.at = null;
  }

  begin() {
    source ??= URL.createObjectURL(new Blob([inside("worker")], { type: "text/javascript" }));
    const worker = new Worker(source);
    this.worker = worker;
    if (compiled === null) {
      compiled = new Promise((done) => {
        worker.addEventListener("message", ({ data }) => data.module && done(data.module), { once: true });
      });
      worker.postMessage({ packed: inside("module") });
      this.begun = Promise.resolve();
    } else {
      this.begun = compiled.then((module) => worker.postMessage({ module }));
    }
    worker.addEventListener("message", ({ data }) => this.worker === worker && data.status && this.done(reply(data)));
    // A module that breaks off cannot go on; the next question gets a new one.
    worker.addEventListener("error", () => this.worker === worker && this.broke());
    this.queue.unshift(...[...files].map(([path, body]) => ({ path, body, resolve() {} })));
  }

  broke() {
    const one = this.at;
    this.end();
    one?.resolve(refusal("broken"));
    this.next();
  }

  done(answer) {
    const one = this.at;
    clearTimeout(one?.timer);
    this.at = null;
    one?.resolve(answer);
    this.next();
  }

  next() {
    if (this.at !== null || this.queue.length === 0) {
      return;
    }
    if (this.worker === null) {
      this.begin();
    }
    const one = this.queue.shift();
    this.at = one;
    const { worker } = this;
    this.begun.then(() => worker.postMessage({ path: one.path, body: one.body }));
    one.timer = setTimeout(() => {
      this.end();
      one.resolve(refusal("too_long"));
      this.next();
    }, MOST_MS);
  }
}

const quick = new Line();
const long = new Line();

export function ask(address, options = {}) {
  const { body = "", signal } = options;
  if (!address.startsWith("file?")) {
    return (options.long ? long : quick).ask(address, body, signal);
  }
  if (long.worker) {
    long.ask(address, body);
  }
  const asked = quick.ask(address, body);
  files.set(address, body);
  return asked;
}

// Under which address a browser opens what the program keeps at `address`.
export async function opened(address) {
  return URL.createObjectURL(await (await ask(address, { long: true })).blob());
}

// What brings a program back that does not answer.
export const remedy = () => "Load the page again.";

export const drawingAddress = (name) => `#drawing-${name}`;
