// node slim.mjs PYTHON STORE PROGRAM: run a program of Python in the very Python that browsers will run, which lies in
// the folder PYTHON. Inside, the folder STORE is called /store.
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [python, store, program] = process.argv.slice(2);
const { loadPyodide } = await import(pathToFileURL(`${python}/pyodide.mjs`).href);
const inside = await loadPyodide({ indexURL: python });
inside.FS.mkdir("/store");
inside.FS.mount(inside.FS.filesystems.NODEFS, { root: store }, "/store");
inside.runPython(readFileSync(program, "utf8"));
