// The first notebook that asks for Python is given the worker that has begun already (early.js).
(() => {
  const KERNEL = "KERNEL"; // JupyterLite's worker
  // A visitor's first page is not yet in the care of the worker that keeps the site, and could not reach its own files.
  if (!navigator.serviceWorker?.controller) return;
  if (navigator.hardwareConcurrency < 2) return; // nothing waits there, and the page is to be read first
  const Usual = Worker;
  let early = new Usual("../static/pyodide/early.js");
  window.Worker = class extends Usual {
    constructor(url, options) {
      if (early === null || !String(url).includes(KERNEL)) return new Usual(url, options);
      const lent = early;
      early = null;
      return lent;
    }
  };
})();
