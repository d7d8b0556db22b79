// Drafts kept in this browser, one for each tab, so that a closed tab, a reload or an ended program loses nothing.

const DRAFT = "heartside draft ";
const MOST = 20;

let mine = null;

const lockName = (id) => `heartside tab ${id}`;

// Takes the draft `id` for this tab, unless another tab has it open.
function hold(id) {
  return new Promise((done) => {
    if (!navigator.locks) {
      done(true);
      return;
    }
    navigator.locks.request(lockName(id), { ifAvailable: true }, (lock) => {
      done(lock !== null);
      return lock === null ? undefined : new Promise(() => {});
    });
  });
}

async function held() {
  const state = await navigator.locks?.query?.();
  return new Set((state?.held ?? []).map((lock) => lock.name));
}

function newId() {
  return Array.from(crypto.getRandomValues(new Uint8Array(9)), (byte) => byte.toString(36)).join("");
}

// The draft of this tab as it was before a reload, or null. A tab that was doubled gets a draft of its own.
export async function mineAgain() {
  const before = sessionStorage.getItem("heartside tab");
  if (before !== null && (await hold(before))) {
    mine = before;
    return readDraft(before);
  }
  const draft = before === null ? null : readDraft(before);
  await begin();
  return draft;
}

// Begins a draft of its own.
export async function begin() {
  mine = newId();
  sessionStorage.setItem("heartside tab", mine);
  await hold(mine);
}

// Goes on with a draft of the list.
export async function goOn(id) {
  if (await hold(id)) {
    mine = id;
    sessionStorage.setItem("heartside tab", id);
  } else {
    await begin();
  }
  return readDraft(id);
}

function readDraft(id) {
  try {
    return JSON.parse(localStorage.getItem(DRAFT + id));
  } catch {
    return null;
  }
}

function all() {
  return Object.keys(localStorage)
    .filter((key) => key.startsWith(DRAFT))
    .map((key) => ({ id: key.slice(DRAFT.length), draft: readDraft(key.slice(DRAFT.length)) }))
    .filter((one) => one.draft?.text)
    .sort((a, b) => b.draft.at - a.draft.at);
}

// Keeps a draft; false when the browser has no room for it.
export function keep(draft) {
  try {
    localStorage.setItem(DRAFT + mine, JSON.stringify({ ...draft, at: Date.now() }));
  } catch {
    return false;
  }
  for (const old of all().slice(MOST)) {
    localStorage.removeItem(DRAFT + old.id);
  }
  return true;
}

const STEPS = "heartside steps ";
const STEPS_KEPT = [60, 20, 5];

// Keeps the steps back and forward for a reload of this tab: the last ones, as many as there is room for.
export function keepSteps(before, after) {
  for (const most of STEPS_KEPT) {
    try {
      sessionStorage.setItem(STEPS + mine, JSON.stringify({ before: before.slice(-most), after: after.slice(-most) }));
      return;
    } catch {
      // The next try keeps fewer.
    }
  }
  sessionStorage.removeItem(STEPS + mine);
}

// The steps that a reload left.
export function steps() {
  try {
    const { before, after } = JSON.parse(sessionStorage.getItem(STEPS + mine));
    return { before, after };
  } catch {
    return { before: [], after: [] };
  }
}

export function forget(id) {
  localStorage.removeItem(DRAFT + id);
}

// Files dropped on the page, by their ids: after a reload the program may have them no more.

function inStore(mode, work) {
  return new Promise((done) => {
    const opening = indexedDB.open("heartside", 1);
    opening.onupgradeneeded = () => opening.result.createObjectStore("files");
    opening.onerror = () => done(undefined);
    opening.onsuccess = () => {
      const database = opening.result;
      const act = database.transaction("files", mode);
      const request = work(act.objectStore("files"));
      const end = (value) => {
        database.close();
        done(value);
      };
      act.oncomplete = () => end(request?.result);
      act.onabort = () => end(undefined);
    };
  }).catch(() => undefined);
}

// Keeps a file; those that no draft speaks of any more go. Without room for it the file is asked for again after a reload.
export function keepFile(id, blob) {
  const wanted = new Set(all().flatMap((one) => Object.values(one.draft.files ?? {})));
  return inStore("readwrite", (files) => {
    files.getAllKeys().onsuccess = (event) => {
      event.target.result.filter((key) => key !== id && !wanted.has(key)).forEach((key) => files.delete(key));
    };
    files.put(blob, id);
  });
}

export const fileKept = (id) => inStore("readonly", (files) => files.get(id));

// Drafts that no open tab has, the newest first.
export async function list() {
  const open = await held();
  return all().filter((one) => one.id !== mine && !open.has(lockName(one.id)));
}
