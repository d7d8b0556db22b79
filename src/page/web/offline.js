// Beside heartside.html on a web site: keeps the page on the device of whoever opened it, so that it opens there without a network.
// The kept page answers at once; a newer one is fetched for the next time.
"use strict";

const page = new URL(new URL(location).searchParams.get("page"), location).href;
const store = () => caches.open("heartside");

async function fetched() {
  const answer = await fetch(page, { cache: "no-cache" });
  if (answer.ok) {
    await (await store()).put(page, answer.clone());
  }
  return answer;
}

addEventListener("install", (event) => event.waitUntil(fetched().then(skipWaiting)));
addEventListener("activate", (event) => event.waitUntil(clients.claim()));

addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.mode !== "navigate" || request.url.split(/[?#]/)[0] !== page) {
    return;
  }
  const newer = fetched();
  event.waitUntil(newer.catch(() => {}));
  event.respondWith(store().then((kept) => kept.match(page)).then((kept) => kept ?? newer));
});
