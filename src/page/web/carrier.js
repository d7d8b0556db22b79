// The way to the program inside this file: workers of this browser, so that none keeps another waiting. One is for what is asked
// at every key, one for what needs all draws, and where there are cores for it one for photos and laid panels. Each has a
// program of its own, which begins with what the first one remembers; work that is no longer wanted ends with its worker. Where
// there are cores for it, further workers each make a share of the first answer with all draws, and end; of later ones the worker
// has most draws already.

const inside = (id) => document.getElementById(id).textContent;
const refusals = JSON.parse(inside("refusals"));
const MOST_MS = 120000;
const CORES = navigator.hardwareConcurrency ?? 1;
// Workers that draw for one answer; one core is left to the page.
const SHARES = Math.min(4, CORES - 1);

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
      const stopped = () => reject(new DOMException("no longer wanted", "AbortError"));
      if (signal?.aborted) {
        stopped();
        return;
      }
      const one = { path, body, resolve };
      this.queue.push(one);
      signal?.addEventListener("abort", () => {
        stopped();
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
      // A copy goes from worker to worker.
      const more = [];
      if (this !== quick && quick.worker !== null) {
        const { port1, port2 } = new MessageChannel();
        quick.worker.postMessage({ to: port1 }, [port1]);
        more.push(port2);
      }
      this.begun = compiled.then((module) => worker.postMessage({ module, from: more[0] }, more));
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
    this.begun.then(() => worker.postMessage({ path: one.path, body: one.body }, one.body instanceof ArrayBuffer ? [one.body] : []));
    one.timer = setTimeout(() => {
      this.end();
      one.resolve(refusal("too_long"));
      this.next();
    }, MOST_MS);
  }
}

const quick = new Line();
const long = new Line();
const beside = CORES > 2 ? new Line() : long;
let drawn = null; // the worker that has answered with all draws
const DRAWN = new Set(["answer", "json", "report"]);
const lineOf = (address, options) => (!options.long ? quick : address === "layout" || address === "rings" ? beside : long);

// What is answered with all draws: shares of them are made side by side, and handed to the worker that answers. What it is not
// handed it makes itself, so that a share that is lost costs time only.
async function askDrawn(address, body, signal) {
  if (SHARES > 1 && (long.worker === null || long.worker !== drawn)) {
    const further = Array.from({ length: SHARES - 1 }, () => new Line());
    const shares = [long, ...further].map(async (line, number) => {
      const share = await line.ask(`draws?share=${number}&of=${SHARES}`, body, signal);
      const made = share.ok ? await share.arrayBuffer() : new ArrayBuffer();
      if (line !== long) {
        line.end();
      }
      return made;
    });
    for (const made of await Promise.all(shares)) {
      if (made.byteLength > 0) {
        await long.ask("drawn", made, signal);
      }
    }
  }
  const answer = await long.ask(address, body, signal);
  drawn = long.worker;
  return answer;
}

export function ask(address, options = {}) {
  const { body = "", signal } = options;
  if (options.long && DRAWN.has(address)) {
    return askDrawn(address, body, signal);
  }
  if (!address.startsWith("file?")) {
    return lineOf(address, options).ask(address, body, signal);
  }
  for (const line of new Set([long, beside])) {
    if (line.worker) {
      line.ask(address, body);
    }
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

// On a web site the page can be installed, and then opens without a network: the script beside it keeps it. Where there is no such
// script, and on a disk, the page is the same without.
function offer() {
  const here = location.origin + location.pathname;
  const icon = { src: document.querySelector("link[rel=icon]").href, sizes: "any", type: "image/svg+xml" };
  const manifest = { id: here, name: document.title, short_name: "heartside", start_url: here, scope: here, display: "standalone", icons: [icon] };
  const link = document.createElement("link");
  link.rel = "manifest";
  link.href = URL.createObjectURL(new Blob([JSON.stringify(manifest)], { type: "application/manifest+json" }));
  document.head.append(link);
  const kept = navigator.serviceWorker?.register(`heartside-offline.js?page=${encodeURIComponent(location.pathname)}`, { scope: location.pathname });
  kept?.catch(() => {});
}

if (location.protocol.startsWith("http")) {
  offer();
}
