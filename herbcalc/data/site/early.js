// Python, begun as soon as a page opens. JupyterLite begins it when its own start is done, three seconds later; most
// computers have a second core that would wait all the while.
//
// This worker does what JupyterLite's does, by loading that one's file. When it is asked for Python, it is given the one
// that is under way.

const KERNEL = "KERNEL"; // JupyterLite's worker, as named from the folder of this file
const OPTIONS = "OPTIONS"; // how it would load Python
const MORE = "/lib/python3.12/site-packages/herbcalc/site/early.py"; // what is worth loading before anybody asks

importScripts("pyodide.js");
const python = loadPyodide({ indexURL: new URL("./", self.location).href, ...OPTIONS });
const ready = python.then((inside) => {
  inside.runPython(inside.FS.readFile(MORE, { encoding: "utf8" }));
  return inside;
});
importScripts(KERNEL); // it listens from now on
const usual = self.importScripts.bind(self);
self.importScripts = (url) => (url.endsWith("/pyodide.js") ? (self.loadPyodide = () => ready) : usual(url));
