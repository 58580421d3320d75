// The start of the kernel: Python, the workbook's packages and the engines, all at the same time.

import { OwnFiles } from "./own_files.mjs";

const PACKAGES = "/lib/python3.14/site-packages";
const OWN = "/own/theorykit";

const here = name => new URL(name, import.meta.url).href;

async function fetched(name) {
  const answer = await fetch(here(name));
  if (!answer.ok) throw new Error(`${name} is not there (${answer.status})`);
  return new Uint8Array(await answer.arrayBuffer());
}

// Python cannot wait: what it asks for in the middle of an answer is read at once.
function read(name) {
  const request = new XMLHttpRequest();
  request.open("GET", here(name), false);
  request.responseType = "arraybuffer";
  request.send();
  if (request.status !== 200) throw new Error(`${name} is not there (${request.status})`);
  return new Uint8Array(request.response);
}

const files = new Map();
function part(name, start, end) {
  if (!files.has(name)) files.set(name, read(name));
  return files.get(name).slice(start, end);
}

async function engraver() {
  const [{ default: create }, { VerovioToolkit }] = await Promise.all([
    import(here("verovio-module.mjs")), import(here("verovio.mjs")),
  ]);
  const toolkit = new VerovioToolkit(await create());
  return {
    resetOptions: () => toolkit.resetOptions(),
    setOptions: text => toolkit.setOptions(JSON.parse(text)),
    loadData: text => toolkit.loadData(text),
    getPageCount: () => toolkit.getPageCount(),
    renderToSVG: page => toolkit.renderToSVG(page),
  };
}

async function mixer() {
  const { ready, mix, encode } = await import(here("mixing.mjs"));
  await ready();
  return { mix: text => mix(JSON.parse(text), part), encode };
}

export async function loadPyodide({ packages, ...options }) {
  const engines = Promise.all([engraver(), mixer()]);
  const brought = Promise.all([fetched("python.zip"), fetched("start.py")]);
  const { loadPyodide: load } = await import(here("pyodide.mjs"));
  const pyodide = await load(options);
  const [archive, program] = await brought;
  pyodide.unpackArchive(archive, "zip", { extractDir: PACKAGES });
  const own = new OwnFiles(pyodide.FS, OWN);
  await own.begin();
  const [staff, sound] = await engines;
  const page = { engraver: staff, ...sound, read, part };
  pyodide.registerJsModule("theorykit_browser", page);
  await pyodide.runPythonAsync(new TextDecoder().decode(program));
  return pyodide;
}
