// Loads the page, then keeps it for use without a network.
const note = document.getElementById("opening-note");
const fail = (says) => { if (note) note.textContent = says; };

// Whether this browser has WebAssembly's lanes: a module of one function that uses them.
const lanes = () => WebAssembly.validate(new Uint8Array([0, 97, 115, 109, 1, 0, 0, 0, 1, 5, 1, 96, 0, 1, 123, 3, 2, 1, 0, 10, 10, 1, 8, 0,
  65, 0, 253, 15, 253, 98, 11]));

// Hands for what takes long: workers, or this page itself where there are none. `said` hears a hand, a run, the numbers and the
// time of each job. A hand that fails, or has jobs and answers none of them for so many seconds, ends the whole crew: `said` then
// hears a time below 0, once.
const PATIENCE_S = 20;
globalThis.larderCrew = (here, said) => {
  const file = new URL(lanes() ? "./{{lanes.js}}" : "./{{plain.js}}", import.meta.url);
  const most = here ? 1 : Math.min(4, navigator.hardwareConcurrency || 1);
  const workers = [];
  const unanswered = new Array(most).fill(0);
  const silent = new Array(most).fill(0);
  let ended = false;
  const end = (why) => {
    if (ended) return;
    ended = true;
    clearInterval(watch);
    console.warn(why);
    for (const worker of workers) worker.terminate();
    said(0, 0, new Float64Array(), -1);
  };
  // Seconds are counted one by one, so that a device that sleeps meanwhile counts none.
  const watch = setInterval(() => {
    for (let nth = 0; nth < most; nth += 1) {
      if (unanswered[nth] > 0 && (silent[nth] += 1) >= PATIENCE_S) end("a worker does not answer");
    }
  }, 1000);
  const heard = (nth, { run, done, fault }) => {
    if (fault) end(fault);
    if (ended) return;
    silent[nth] = 0;
    unanswered[nth] -= 1;
    for (const { numbers, took } of done) said(nth, run, numbers, took);
  };
  const hand = (nth) => {
    if (here) {
      let work;
      return (message) => setTimeout(async () => {
        try {
          heard(nth, await (await (work ??= import(file))).answer(message));
        } catch (fault) {
          end(fault);
        }
      }, 4);
    }
    const worker = new Worker(file, { type: "module" });
    workers.push(worker);
    worker.onmessage = ({ data }) => heard(nth, data);
    worker.onmessageerror = () => end("a worker's answer can't be read");
    worker.onerror = (event) => {
      event.preventDefault();
      end(event.message ?? "a worker can't be opened");
    };
    return (message) => worker.postMessage(message);
  };
  const hands = Array.from({ length: most }, (_, nth) => hand(nth));
  // The plan for each hand that has not yet been given it: it goes with the hand's next jobs, for each message costs the page time.
  let plans = [];
  return {
    count: most,
    plan: (plan) => { plans = hands.map(() => plan); },
    give: (nth, run, jobs) => {
      if (ended) return;
      unanswered[nth] += 1;
      hands[nth]({ plan: plans[nth], run, jobs });
      plans[nth] = undefined;
    },
    now: () => performance.now(),
    measure: (name, start, duration) => performance.measure(name, { start, duration }),
  };
};

// The list of towns, fetched when the place is first asked for.
globalThis.larderTowns = async () => {
  const answer = await fetch(new URL("./{{towns.txt}}", import.meta.url));
  if (!answer.ok) throw new Error(`${answer.status}`);
  return answer.text();
};

try {
  const colours = JSON.parse(localStorage.getItem("amp-larder/colours"));
  if (colours === "light" || colours === "dark") document.documentElement.dataset.theme = colours;
} catch {
  // A browser that keeps nothing, or text that is none: the device's colours.
}

// Stores the page for use without a network; undefined where the browser can't.
const store = () => navigator.serviceWorker?.register("./sw.js");

// Whether loading the page again will help: after a deploy that was cut short, a newer service worker may store a whole build.
// Tried once for each build and tab, so that it can't go round in circles.
const served = navigator.serviceWorker?.controller;
const repair = async () => {
  const tried = "amp-larder/repaired";
  const registration = await store();
  if (!registration || sessionStorage.getItem(tried) === import.meta.url) return false;
  await registration.update();
  const worker = registration.installing ?? registration.waiting ?? registration.active;
  const isSettled = () => ["activated", "redundant"].includes(worker.state);
  while (worker && !isSettled()) await new Promise((done) => worker.addEventListener("statechange", done, { once: true }));
  if (worker?.state !== "activated" || worker === served) return false;
  sessionStorage.setItem(tried, import.meta.url);
  return true;
};

if (typeof WebAssembly !== "object") {
  fail("This browser can't run WebAssembly, which the page needs. A newer one will do.");
} else {
  import("./{{page.js}}")
    .then((page) => page.default({ module_or_path: new URL("./{{page.wasm}}", import.meta.url) }))
    // A page from the store asks for a newer build itself: browsers may put that off, and do so longer where the worker asks.
    .then(() => { store()?.then((registration) => served && registration.update()).catch(() => {}); })
    .catch(async (fault) => {
      console.error(fault);
      fail("A part of the page is missing. Loading it again …");
      if (await repair().catch(() => false)) return location.reload();
      fail("The page could not be opened. Load it again; if that does not help, another browser may.");
    });
}
