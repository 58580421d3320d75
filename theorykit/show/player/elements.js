// The elements that a control is made of, and what is asked of lists of bars.

function barOf(bars, position) {
  const after = bars.findIndex(begins => begins > position + 1e-9);
  return (after < 0 ? bars.length : after) - 1;
}

function make(name, classes, settings = {}) {
  return Object.assign(document.createElement(name), { className: classes }, settings);
}

// A list of choices; what it is called where its label says too little.
function list(label, called = "") {
  const box = make("label", "theorykit-list");
  const select = make("select", "");
  if (called) select.setAttribute("aria-label", called);
  box.append(make("span", "widget-label", { textContent: label }), select);
  return { box, select };
}

function tick(label) {
  const box = make("label", "theorykit-list");
  const input = make("input", "", { type: "checkbox" });
  box.append(input, make("span", "widget-label", { textContent: label }));
  return { box, input };
}

function fill(select, texts, chosen) {
  const same = texts.length === select.options.length && texts.every((text, at) => select.options[at].text === text);
  if (!same) select.replaceChildren(...texts.map(text => new Option(text)));
  select.selectedIndex = chosen;
}

function download(name, type, data) {
  const address = URL.createObjectURL(new Blob([data], { type }));
  const link = make("a", "", { href: address, download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 10000);
}
