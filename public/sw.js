// Answers the page from one complete build kept in this browser; works without a network.
//
// A build counts as kept only when every part has arrived whole: each is held to its hash, and a marker is written last.
// Whatever the server says meanwhile (half a deploy, an error, silence), the last complete build stays.
const BUILDS = "amp-larder/";
const CACHE = BUILDS + "{{version}}";
const COMPLETE = "./complete";
const PAGE = "./";
// Patience with a silent server where nothing is kept [ms].
const PATIENCE = 10_000;
// Of the two builds of the workers only the one that this browser uses: with WebAssembly's lanes where it has them.
const LANES = WebAssembly.validate(new Uint8Array([0, 97, 115, 109, 1, 0, 0, 0, 1, 5, 1, 96, 0, 1, 123, 3, 2, 1, 0, 10, 10, 1, 8, 0,
  65, 0, 253, 15, 253, 98, 11]));
// Name and hash of each part.
const PARTS = ["{{parts}}"].concat(LANES ? ["{{lanes}}"] : ["{{plain}}"]);

// Name and hash of what is fetched when it is first asked for, and kept from then on.
const LATER = ["{{later}}"];

// Fetches a part: from the browser's own cache where the page has loaded it already, anew where that is not of this build.
// `integrity` refuses every other content.
const whole = (name, integrity) => {
  const ask = async (cache) => {
    const answer = await fetch(name, { integrity, cache, redirect: "error" });
    if (answer.status !== 200) throw new Error(`${name}: ${answer.status}`);
    return answer;
  };
  return ask("force-cache").catch(() => ask("reload"));
};

self.addEventListener("install", (event) => {
  event.waitUntil((async () => {
    const cache = await caches.open(CACHE);
    await Promise.all(PARTS.map(async ([name, integrity]) => {
      if (!(await cache.match(name))) await cache.put(name, await whole(name, integrity));
    }));
    // What an earlier build was asked for is kept in this one.
    await Promise.all(LATER.map(async ([name]) => {
      const kept = await caches.match(name);
      if (kept?.ok) await cache.put(name, kept);
    }));
    await cache.put(COMPLETE, new Response());
    await self.skipWaiting();
  })());
});

const find = (name, what) => caches.match(what, { cacheName: name, ignoreVary: true });
const isComplete = async (name) => name.startsWith(BUILDS) && !!(await find(name, COMPLETE));

// Removes older builds, but only while no page is open that may still load their parts. A worker may outlive its turn, so it
// leaves newer builds alone, and all of them where its own is lost: then they are what can still be opened.
const sweep = async () => {
  const names = await caches.keys();
  const open = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  if (open.length > 0 || !(await isComplete(CACHE))) return;
  // In the order in which they were made.
  for (const name of names.slice(0, names.indexOf(CACHE))) {
    if (name.startsWith(BUILDS) || name.startsWith("amp-larder-")) await caches.delete(name);
  }
};

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    // Earlier versions stored answers unseen, errors among them. A page that got one loads itself again (boot.js).
    for (const name of (await caches.keys()).filter((name) => name.startsWith("amp-larder-"))) {
      const cache = await caches.open(name);
      for (const request of await cache.keys()) {
        if (!(await cache.match(request))?.ok) await cache.delete(request);
      }
    }
    await sweep();
    await self.clients.claim();
  })());
});

const plain = (why) => new Response(
  `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>Amp Larder</title>
<h1>Amp Larder can't be loaded</h1><p>${why} Your plans are kept in this browser. Check the network, then load the page again.</p>`,
  { status: 503, headers: { "content-type": "text/html; charset=utf-8", "content-security-policy": "default-src 'none'" } },
);

// The page: this build's, else any complete one, else the server's within a limited time.
const page = async (request) => {
  for (const name of [CACHE, ...(await caches.keys())]) {
    const kept = (await isComplete(name)) && (await find(name, PAGE));
    if (kept) return kept;
  }
  try {
    const answer = await fetch(request, { signal: AbortSignal.timeout(PATIENCE) });
    return answer.ok || answer.type === "opaqueredirect" ? answer : plain(`The server answered ${answer.status}.`);
  } catch {
    return plain("The server did not answer.");
  }
};

// A part, of this build or of an earlier one: names carry a hash, so a page that is still open gets its own.
const part = async (request) => {
  const kept = (await find(CACHE, request)) ?? (await caches.match(request, { ignoreVary: true }));
  if (kept?.ok) return kept;
  const later = LATER.find(([name]) => new URL(name, self.registration.scope).href === request.url);
  if (!later) return fetch(request);
  const answer = await whole(...later);
  await (await caches.open(CACHE)).put(later[0], answer.clone()).catch(() => {});
  return answer;
};

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const scope = self.registration.scope;
  const address = request.url.split(/[?#]/)[0];
  if (request.method !== "GET" || !address.startsWith(scope)) return;
  if (request.mode !== "navigate") {
    event.respondWith(part(request));
  } else if (address === scope || address === `${scope}index.html`) {
    event.respondWith(page(request));
    event.waitUntil(sweep());
  }
});
