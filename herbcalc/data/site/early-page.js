// Each notebook that asks for Python is given a worker of ours (early.js), the first one a worker that has begun already.
(() => {
  const KERNEL = "KERNEL"; // JupyterLite's worker
  const KEEPER = new URL("../service-worker.js?enableCache=false", location.href).href; // as JupyterLite's pages ask for it
  const Usual = Worker;
  const ours = () => new Usual("../static/pyodide/early.js");
  let early = null;
  let asked = false;
  window.Worker = class extends Usual {
    constructor(url, options) {
      if (!String(url).includes(KERNEL)) return new Usual(url, options);
      const lent = early ?? ours();
      [early, asked] = [null, true];
      return lent;
    }
  };
  const begin = () => {
    if (!asked) early = ours();
  };
  const keeper = navigator.serviceWorker;
  if (!keeper || navigator.hardwareConcurrency < 2) return; // no second core that would wait all the while
  // Python reaches a page's files through the worker that keeps the site. A visitor's first page is not in its care
  // from the start, and a worker that is made before that never is.
  if (keeper.controller) return begin();
  keeper.addEventListener("controllerchange", begin, { once: true });
  // JupyterLite dismisses a worker that it finds in its place without its own version beside it, only to call it back.
  localStorage.setItem(`${KEEPER}-version`, "VERSION");
  keeper.register(KEEPER);
})();
