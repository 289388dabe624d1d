// Does the core's jobs beside the page, or on it where there are no workers: a plan comes as text, jobs come as numbers.
import open, { Bench } from "./{{glue}}";

const ready = open({ module_or_path: new URL("./{{wasm}}", import.meta.url) });
let bench;

// A plan: { plan }. A job: { run, job }, answered with its numbers and how long they took.
export async function answer({ plan, run, job }) {
  await ready;
  if (plan !== undefined) {
    bench?.free();
    bench = new Bench(plan);
    return undefined;
  }
  const start = performance.now();
  const numbers = bench.work(...job);
  return { run, numbers, took: performance.now() - start };
}

if (typeof WorkerGlobalScope === "function") {
  self.onmessage = async ({ data }) => {
    const said = await answer(data);
    if (said) self.postMessage(said);
  };
}
