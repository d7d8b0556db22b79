// What is asked of the program, and what comes back. Which way it goes, over HTTP or to a worker of this browser, is the
// carrier's matter alone.
import { ask, opened } from "./carrier.js";

// The program does not answer: it was ended, or it is starting again.
export class Gone extends Error {}

// The program answered that it will not.
export class Refused extends Error {
  constructor(words, problems) {
    super(words);
    this.problems = problems ?? [];
  }
}

async function send(address, options) {
  let answer;
  try {
    answer = await ask(address, options);
  } catch (error) {
    if (error.name === "AbortError") {
      throw error;
    }
    throw new Gone("the program does not answer");
  }
  if (answer.ok) {
    return answer;
  }
  const text = await answer.text().catch(() => "");
  let given = {};
  try {
    given = JSON.parse(text);
  } catch {
    given = { what: text };
  }
  const words = [given.what ?? given.error, given.remedy].filter(Boolean).join(": ");
  throw new Refused(words || `the program answered ${answer.status}`, given.problems);
}

// `long`: a question that may take long and is not to keep others waiting.
function json(value, { signal, long = false } = {}) {
  return { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(value), signal, long };
}

const LONG = { long: true };

export const get = async (address) => (await send(address)).json();
export const answer = async (question, signal) =>
  (await send("answer", json(question, { signal, long: question.draws === null }))).json();
export const numbers = async (question) => (await send("json", json(question, LONG))).blob();
export const layout = async (asked) => (await send("layout", json(asked, LONG))).json();
export const air = async (asked) => (await send("air", json(asked))).json();
export const rings = async (asked) => (await send("rings", json(asked, LONG))).json();

// The address under which a browser opens the report, or saves it.
export async function report(question) {
  const { address } = await (await send("report", json(question, LONG))).json();
  return opened(address);
}

export async function read(name, bytes) {
  const address = `file?name=${encodeURIComponent(name)}`;
  const headers = { "Content-Type": "application/octet-stream" };
  return (await send(address, { method: "POST", headers, body: bytes })).json();
}
