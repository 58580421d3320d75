// Pages without code: a chapter in the application for one document, its code out of sight. All of
// it is run as soon as Python has started; until then its stored pictures are seen.

const TRY = 200; // milliseconds between two looks
const BARS = new Set(["top-panel-wrapper", "menu-panel-wrapper", "spacer-widget-top"]);
const DEEP = 4; // parts inside parts that are looked through for them
const said = document.createElement("p");
said.id = "theorykit-words";
said.setAttribute("role", "status");

async function shown() {
  const { jupyterapp: app } = window;
  const panel = app?.shell.currentWidget;
  if (!panel?.sessionContext) return new Promise(go => setTimeout(() => go(shown()), TRY));
  await panel.context.ready;
  return panel;
}

async function begin() {
  document.body.classList.add("theorykit-words");
  said.textContent = "Sounds, choices and questions are being made ready: about half a minute.";
  document.body.append(said);
  const panel = await shown();
  panel.context.save = async () => {}; // the stored pictures stay for another day
  hideBars(window.jupyterapp.shell, DEEP);
  await panel.sessionContext.ready;
  await panel.sessionContext.session.kernel.info;
  await run(panel);
  said.hidden = true;
  document.body.dataset.words = "ready";
}

// One cell after the other: what a control that is there already asks is answered between two of
// them, and does not wait for the last. What a page cannot do stays as it was stored; why is said once.
async function run({ content, sessionContext }) {
  let said = false;
  for (const { model, outputArea } of content.widgets) {
    if (model.type !== "code" || !model.sharedModel.source.trim()) continue;
    const code = model.sharedModel.source, stored = outputArea.model.toJSON();
    outputArea.future = sessionContext.session.kernel.requestExecute({ code });
    const { content: answer } = await outputArea.future.done;
    if (answer.status === "ok") continue;
    const text = `This page cannot do this anew: ${answer.evalue}\n`;
    const why = { output_type: "stream", name: "stdout", text };
    outputArea.model.fromJSON(said ? stored : [...stored, why]);
    said = true;
  }
}

// The application then lays itself out anew, without room for what is hidden.
function hideBars(part, depth) {
  if (BARS.has(part.id)) part.hide();
  else if (depth) for (const inner of part.layout ?? []) hideBars(inner, depth - 1);
}

// Without code there are no cells to be moved, changed or taken out by a key or a click.
window.addEventListener("keydown", event => {
  const { key, target } = event;
  if (target.closest?.("input, textarea, select, [contenteditable=true]")) return;
  const isCommand = /^([a-z0-9]|Enter|Backspace|Delete)$/i.test(key);
  if (isCommand && !(key.length > 1 && target.closest?.(".jp-OutputArea"))) event.stopImmediatePropagation();
}, true);
window.addEventListener("dblclick", event => {
  if (!event.target.closest?.(".jp-OutputArea")) event.stopImmediatePropagation();
}, true);

// Links between chapters stay among pages without code. A file that was made here lies in the browser
// without a name: it is saved under the name that the link says. The application would look for it on
// the server.
document.addEventListener("click", event => {
  const link = event.target.closest?.("a[href]");
  if (link?.protocol === "blob:") {
    link.download = link.textContent;
    return event.stopPropagation();
  }
  const name = link && new URL(link.href).pathname.match(/([^/]+\.ipynb)$/)?.[1];
  if (!name) return;
  event.preventDefault();
  event.stopPropagation();
  location.search = `?path=${name}`;
}, true);

begin();
