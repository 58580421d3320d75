// Compiles the archives of a kernel by its own Python, on the machine that builds the site.

import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [kernel, program] = process.argv.slice(2);
const { loadPyodide } = await import(pathToFileURL(`${kernel}/pyodide.mjs`).href);
const pyodide = await loadPyodide({ indexURL: kernel });
pyodide.FS.mkdir("/kernel");
pyodide.FS.mount(pyodide.FS.filesystems.NODEFS, { root: kernel }, "/kernel");
pyodide.registerJsModule("theorykit_browser", {}); // it is imported, and not asked
pyodide.runPython(readFileSync(program, "utf8"));
