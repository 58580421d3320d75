// A player that stands alone, with no controls of a desk beside it: its name, its tempo, and a fold
// for what is wanted less often.

const PACES = { slow: 0.6, medium: 0.8, full: 1 }; // of the tempo that was written

// The tempo, which no slider beside the player says: slow, medium, full, and any other.
function tempoRow(control) {
  const { model } = control;
  const [slowest, fastest] = model.get("tempos");
  const row = make("div", "theorykit-row");
  const box = make("label", "theorykit-list");
  const slider = make("input", "theorykit-tempo", { type: "range", min: slowest, max: fastest, step: 1 });
  const number = make("output", "theorykit-beats");
  const set = tempo => {
    model.set("tempo", Math.max(slowest, Math.min(fastest, Math.round(tempo))));
    model.save_changes();
  };
  slider.oninput = () => set(+slider.value);
  box.append(make("span", "widget-label", { textContent: "tempo" }), slider, number);
  const buttons = Object.entries(PACES).map(([name, share]) => {
    const button = make("button", "jupyter-button theorykit-pace", { type: "button", textContent: name });
    button.onclick = () => set(model.get("pace") * share);
    return { button, share };
  });
  const show = () => {
    const tempo = Math.round(model.get("tempo"));
    slider.value = tempo;
    number.textContent = `${tempo} beats a minute`;
    for (const { button, share } of buttons) {
      button.setAttribute("aria-pressed", String(tempo === Math.round(model.get("pace") * share)));
    }
  };
  model.on("change:tempo", show);
  control.leaving.push(() => model.off("change:tempo", show));
  show();
  row.append(...buttons.map(one => one.button), box);
  return row;
}

// What is wanted at once stays in sight: start, place, tempo, round and round. The rest is folded.
function standAlone(control) {
  const [first, second] = control.el.querySelectorAll(".theorykit-row");
  const rest = make("details", "theorykit-more");
  control.el.classList.add("theorykit-alone");
  const tempo = tempoRow(control);
  const takes = control.model.get("takes");
  if (takes.length === 1) first.before(make("div", "theorykit-name", { textContent: takes[0].label }));
  rest.append(make("summary", "", { textContent: "bars, parts, save" }), second);
  second.append(control.save);
  tempo.append(control.loops.box);
  first.after(tempo, rest);
  const note = control.model.get("note");
  if (note) control.el.append(make("div", "theorykit-note", { textContent: note }));
}

// Plain keys that are pressed in a cell are not the notebook's; those that run a cell or leave are.
function keepKeys(el) {
  el.addEventListener("keydown", event => {
    const own = event.key.length === 1 || /^(Arrow|Page|Home$|End$)/.test(event.key);
    if (own && !event.ctrlKey && !event.metaKey && !event.altKey) event.stopPropagation();
  });
}
