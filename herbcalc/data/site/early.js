// Python, begun as soon as a page opens. JupyterLite begins it when its own start is done, three seconds later; most
// computers have a second core that would wait all the while.
//
// This worker does what JupyterLite's does, by loading that one's file. When it is asked for Python, it is given the one
// that is under way, with all packages in it.

const KERNEL = "KERNEL"; // JupyterLite's worker, as named from the folder of this file
const { packages, ...options } = "OPTIONS"; // how it would load Python; its packages are all in one file
const PACKAGES = "/lib/python3.12/site-packages/";
const MORE = "herbcalc/site/early.py"; // what is worth loading before anybody asks

const unpacked = fetch("packages.bin").then(({ body }) =>
  new Response(body.pipeThrough(new DecompressionStream("gzip"))).arrayBuffer(),
);
importScripts("pyodide.js");
const python = loadPyodide({ indexURL: new URL("./", self.location).href, ...options });

// Put all files where they belong, as they lie (laying.py says how), without a copy of any.
const lay = ({ FS }, held) => {
  const size = new DataView(held).getUint32(0, true);
  const files = JSON.parse(new TextDecoder().decode(new Uint8Array(held, 4, size)));
  const made = new Set();
  let at = 4 + size;
  for (const [name, length] of files) {
    const folder = PACKAGES + name.slice(0, name.lastIndexOf("/") + 1);
    if (!made.has(folder)) FS.mkdirTree(folder);
    made.add(folder);
    FS.writeFile(PACKAGES + name, new Uint8Array(held, at, length), { canOwn: true });
    at += length;
  }
};

const ready = Promise.all([python, unpacked]).then(([inside, held]) => {
  lay(inside, held);
  inside.runPython(inside.FS.readFile(PACKAGES + MORE, { encoding: "utf8" }));
  return inside;
});
importScripts(KERNEL); // it listens from now on
const usual = self.importScripts.bind(self);
self.importScripts = (url) => (url.endsWith("/pyodide.js") ? (self.loadPyodide = () => ready) : usual(url));
