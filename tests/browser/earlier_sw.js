// Keeps every file of this build, so that the next visit works with no network.
const CACHE = "amp-larder-{{version}}";
// Of the two builds of the workers only the one that this browser uses: with WebAssembly's lanes where it has them.
const LANES = WebAssembly.validate(new Uint8Array([0, 97, 115, 109, 1, 0, 0, 0, 1, 5, 1, 96, 0, 1, 123, 3, 2, 1, 0, 10, 10, 1, 8, 0,
  65, 0, 253, 15, 253, 98, 11]));
const FILES = ["{{files}}"].concat(LANES ? ["{{lanes}}"] : ["{{plain}}"]);
const PAGE = "./";

self.addEventListener("install", (event) => {
  event.waitUntil((async () => {
    const cache = await caches.open(CACHE);
    // Hashed files come from the browser's own cache where the page has loaded them already.
    await Promise.all(FILES.map(async (name) => cache.put(name, await fetch(name, { cache: "force-cache" }))));
    await cache.put(PAGE, await fetch(PAGE, { cache: "no-cache" }));
    await self.skipWaiting();
  })());
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) {
      if (name.startsWith("amp-larder-") && name !== CACHE) await caches.delete(name);
    }
    await self.clients.claim();
  })());
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || new URL(request.url).origin !== location.origin) return;
  event.respondWith((async () => {
    const cache = await caches.open(CACHE);
    if (request.mode === "navigate") {
      try {
        return await fetch(request);
      } catch {
        return (await cache.match(PAGE)) ?? Response.error();
      }
    }
    return (await cache.match(request)) ?? fetch(request);
  })());
});
