// Does the core's jobs beside the page, or on it where there are no workers: a plan comes as text, jobs come as numbers.
import open, { Bench } from "./{{glue}}";

const ready = open({ module_or_path: new URL("./{{wasm}}", import.meta.url) });
let bench;

// Jobs of a run, four numbers each, with the plan that they are of where it is a new one; answered with the numbers of each and
// how long they took.
export async function answer({ plan, run, jobs }) {
  await ready;
  if (plan !== undefined) {
    bench?.free();
    bench = new Bench(plan);
  }
  const done = [];
  for (let at = 0; at < jobs.length; at += 4) {
    const start = performance.now();
    const numbers = bench.work(...jobs.subarray(at, at + 4));
    done.push({ numbers, took: performance.now() - start });
  }
  return { run, done };
}

if (typeof WorkerGlobalScope === "function") {
  self.onmessage = async ({ data }) => {
    self.postMessage(await answer(data).catch((fault) => ({ fault: String(fault) })));
  };
}
