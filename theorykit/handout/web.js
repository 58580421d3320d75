// The page on this device: whose pages are shown, and what was ticked. Nothing leaves the device.
(() => {
  const kept = name => {
    try { return localStorage.getItem(name); } catch { return null; }
  };
  const keep = (name, value) => {
    try { localStorage.setItem(name, value); return true; } catch { return false; }
  };

  // === Whose pages are shown ===

  const READER = "theorykit reader";
  const buttons = [...document.querySelectorAll("input[name=reader]")];
  const named = name => buttons.find(button => button.value === name);

  function choose(button) {
    if (!button) return;
    button.checked = true;
    keep(READER, button.value);
  }

  function addressed() {
    choose(named(location.hash.slice(1))); // as it stands there: no reader's mark needs a code
  }

  choose(named(kept(READER)));
  addressed();
  addEventListener("hashchange", addressed);
  for (const button of buttons) {
    button.addEventListener("change", () => {
      choose(button);
      try { history.replaceState(null, "", `#${button.value}`); } catch { /* a page without address */ }
    });
  }

  // === What was ticked ===

  const TICKED = `theorykit ticks ${document.body.dataset.kept}`;
  const boxes = [...document.querySelectorAll("input[data-tick]")];
  const ticked = new Set((kept(TICKED) ?? "").split(" ").filter(Boolean));

  function show() {
    for (const box of boxes) box.checked = ticked.has(box.dataset.tick);
  }

  for (const box of boxes) {
    box.addEventListener("change", () => {
      if (box.checked) ticked.add(box.dataset.tick);
      else ticked.delete(box.dataset.tick);
      keep(TICKED, [...ticked].join(" "));
      show();
    });
  }
  show();
  if (boxes.length && keep(TICKED, [...ticked].join(" "))) {
    document.querySelectorAll(".kept").forEach(words => { words.hidden = false; });
  }
})();
