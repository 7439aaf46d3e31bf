// The service worker: the whole shell is kept for offline use; what is heavy and versioned is kept as it comes.
// It never takes over by itself: the page asks, and only when nothing is being recorded.
import { cleanupOutdatedCaches, createHandlerBoundToURL, precacheAndRoute } from "workbox-precaching";
import { NavigationRoute, registerRoute } from "workbox-routing";
import { wholeModel } from "./hear/pieces";
import { fact } from "./keep/db";
import { SYNC_LOCK, exchange } from "./sync/exchange";
import { answerCalls } from "./calls/worker_calls";

declare const self: ServiceWorkerGlobalScope & { __WB_MANIFEST: (string | { url: string; revision: string | null })[] };

const HEAVY = "plytally-heavy";

/** The page goes by the name under which it is served. */
const served = self.__WB_MANIFEST.map((entry) =>
  typeof entry !== "string" && entry.url === "index.html" ? { ...entry, url: "/" } : entry,
);
precacheAndRoute(served);
cleanupOutdatedCaches();
registerRoute(new NavigationRoute(createHandlerBoundToURL("/"), { denylist: [/^\/(install|api|health|desk|static)/] }));

/** The engine asks for parts that its model does not have; a server that hangs must not keep it waiting for them. */
const NONE = new Response(null, { status: 404 });
registerRoute(({ url }) => url.pathname === "/assets/null", async () => NONE.clone());
registerRoute(
  ({ url }) => url.origin === self.location.origin && url.pathname.startsWith("/engine/"),
  async ({ request, url }) => {
    if (![...__HEAVY__, ...__ON_ASKING__].includes(url.pathname)) return NONE.clone();
    const cache = await caches.open(HEAVY);
    const known = await cache.match(request.url);
    if (known) return known;
    const answer = await fetch(request);
    if (answer.ok) await cache.put(request.url, answer.clone());
    return answer;
  },
);

/** A model's archive comes from the pieces that were fetched and compared, never from the network. */
registerRoute(({ url }) => url.pathname.startsWith("/model/") && !url.searchParams.has("piece"), ({ url }) => wholeModel(url.pathname));

/** An update brings its engines along before it counts as ready, so that it works offline from its first moment. */
self.addEventListener("install", (event) => {
  if (self.registration.active) event.waitUntil(fetchHeavy());
});

self.addEventListener("activate", (event) => {
  event.waitUntil(Promise.all([self.clients.claim(), dropOldHeavy()]));
});

self.addEventListener("message", (event) => {
  if (event.data === "take over") void self.skipWaiting();
  if (event.data === "fetch heavy") event.waitUntil(fetchHeavy());
});

self.addEventListener("sync", (event) => (event as ExtendableEvent).waitUntil(sendOutbox()));

/** The page in use sends; with none in use the notes go from here, and sounds and photos wait for the page. */
async function sendOutbox(): Promise<void> {
  const pages = await self.clients.matchAll({ type: "window" });
  pages.forEach((page) => page.postMessage("sync"));
  const token = await fact<string>("token");
  if (token === undefined || pages.some((page) => page.visibilityState === "visible")) return;
  const done = await navigator.locks.request(SYNC_LOCK, { ifAvailable: true }, (lock) => (lock ? exchange(token) : null));
  if (done?.outcome.kind === "later") throw new Error(done.outcome.why); // the browser may knock again
}

answerCalls();

async function fetchHeavy(): Promise<void> {
  const cache = await caches.open(HEAVY);
  for (const path of __HEAVY__) if (!(await cache.match(path))) await cache.add(path);
}

async function dropOldHeavy(): Promise<void> {
  const cache = await caches.open(HEAVY);
  const wanted = new Set([...__HEAVY__, ...__ON_ASKING__]);
  for (const request of await cache.keys()) if (!wanted.has(new URL(request.url).pathname)) await cache.delete(request);
}
