// The elements that a control is made of, and what is asked of lists of bars and of the page.

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

function choose(select, text) {
  select.selectedIndex = Math.max(0, [...select.options].findIndex(one => one.text === text));
}

function download(name, type, data) {
  const address = URL.createObjectURL(new Blob([data], { type }));
  const link = make("a", "", { href: address, download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 10000);
}

// A long staff goes by inside its frame: what sounds is brought to where it is seen.
function inFrame(one) {
  const frame = one.closest(".theorykit-frame");
  if (!frame) return;
  const [own, seen] = [one.getBoundingClientRect(), frame.getBoundingClientRect()];
  if (own.top < seen.top || own.bottom > seen.bottom) frame.scrollTop += own.top - seen.top - seen.height / 4;
}

// Of several players on one page the one that plays, else the first that is seen, hears the keys.
function isFirst(control) {
  const all = [...control.page.querySelectorAll(".theorykit-player")].filter(one => one.offsetParent);
  const inside = control.el.contains(document.activeElement);
  const on = all.find(one => one.dataset.plays === "yes");
  return inside || (on ? on === control.el : all[0] === control.el && !all.some(one => one.contains(document.activeElement)));
}
