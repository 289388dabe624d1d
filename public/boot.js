// Loads the page, then keeps it for use without a network.
const note = document.getElementById("opening-note");
const fail = (says) => { if (note) note.textContent = says; };

try {
  const colours = JSON.parse(localStorage.getItem("amp-larder/colours"));
  if (colours === "light" || colours === "dark") document.documentElement.dataset.theme = colours;
} catch {
  // A browser that keeps nothing, or text that is none: the device's colours.
}

if (typeof WebAssembly !== "object") {
  fail("This browser can't run WebAssembly, which the page needs. A newer one will do.");
} else {
  import("./{{page.js}}")
    .then((page) => page.default({ module_or_path: new URL("./{{page.wasm}}", import.meta.url) }))
    .then(() => {
      if ("serviceWorker" in navigator) navigator.serviceWorker.register("./sw.js").catch(() => {});
    })
    .catch((fault) => {
      fail("The page could not be opened. Load it again; if that does not help, another browser may.");
      console.error(fault);
    });
}
