// The bars of the staff: each is a button over the picture, to be marked by pointer or by key. What
// is marked goes round. A staff that is cut into lines is one, line after line.

const STAFF = "svg:has(g.measure [data-note])", ANY = "svg:has(g.measure)", LINE = "[data-line]";

class StaffBars {
  // `told` answers which bars are marked; `mark(first, last)` is asked to mark others; null for all.
  constructor(control) {
    Object.assign(this, { control, anchor: null, held: false, buttons: [], svg: null, layers: [] });
    this.watch = new MutationObserver(() => this.found !== this.svg && this.follow());
    this.size = new ResizeObserver(() => this.resized());
    this.up = () => { this.held = false; };
    document.addEventListener("pointerup", this.up);
    this.watch.observe(control.pictures, { childList: true, subtree: true });
  }

  leave() {
    document.removeEventListener("pointerup", this.up);
    this.watch.disconnect();
    this.clear();
  }

  // The staff on which the notes of what is played stand, as far as it is seen.
  get found() {
    const { pictures, model } = this.control;
    if (!this.seen || !model.get("is_seen")) return null;
    return [...pictures.querySelectorAll(STAFF)].find(one => one.getClientRects().length) ?? null;
  }

  // The take that stands on the staff; another one that is as long has the same bars.
  get seen() {
    const { take, model } = this.control;
    const all = model.get("takes").filter(one => one.bars.length === take?.bars.length);
    return all.find(one => one.notes.some(row => row[MARK] >= 0)) ?? null;
  }

  // The lines of a staff, as far as they are seen; the first may hold rests alone.
  lines(svg) {
    const all = [...this.control.pictures.querySelectorAll(ANY)]
      .filter(one => one.getClientRects().length && !one.parentElement.closest("svg"));
    let first = all.indexOf(svg), end = first + 1;
    while (first > 0 && all[first].matches(LINE)) first -= 1;
    while (all[end]?.matches(LINE)) end += 1;
    return all.slice(first, end);
  }

  clear() {
    this.size.disconnect();
    this.layers.forEach(layer => layer.remove());
    Object.assign(this, { svg: null, buttons: [], layers: [] });
  }

  // Where another page or another width is chosen, the staff that is seen is another one.
  resized() {
    const { found } = this;
    if (found && found !== this.svg) this.follow();
    else this.lie();
  }

  layer() {
    const one = make("div", "theorykit-bars", { role: "group" });
    one.setAttribute("aria-label", "bars of the staff");
    one.onkeydown = event => this.pressed(event);
    return one;
  }

  // Another staff, or the same one drawn anew: the buttons follow it.
  follow() {
    const focused = this.buttons.indexOf(document.activeElement);
    this.clear();
    this.svg = this.found;
    if (!this.svg) return;
    const lines = this.lines(this.svg).map(one => [one, [...one.querySelectorAll("g.measure")]]);
    this.measures = lines.flatMap(([, measures]) => measures);
    let place = -this.before();
    for (const [svg, measures] of lines) {
      const layer = this.layer();
      layer.append(...measures.map(() => this.button(place++)).filter(Boolean));
      svg.parentElement.classList.add("theorykit-staff");
      svg.after(layer);
      this.layers.push(layer);
    }
    this.buttons = this.layers.flatMap(layer => [...layer.children]);
    this.show();
    this.size.observe(this.svg);
    this.lie();
    if (focused >= 0) this.buttons[Math.min(focused, this.buttons.length - 1)]?.focus();
  }

  // How many measures stand before the first bar: one where a pickup has its own.
  before() {
    const take = this.seen;
    for (const [place, one] of this.measures.entries()) {
      const mark = one.querySelector("[data-note]")?.dataset.note;
      const row = take.notes.find(note => note[MARK] === Number(mark));
      if (row) return place - barBefore(take.bars, row[WRITTEN] - take.count);
    }
    return 0;
  }

  button(bar) {
    if (bar < 0 || bar >= this.control.bars.length) return null;
    const one = make("button", "theorykit-bar", { type: "button", title: `bar ${bar + 1}` });
    one.dataset.bar = bar;
    one.setAttribute("aria-label", `bar ${bar + 1}`);
    one.onpointerdown = event => this.taken(event, bar);
    one.onpointerenter = event => this.held && event.buttons && this.reach(bar);
    one.onclick = event => event.detail === 0 && this.chosen(bar, event.shiftKey);
    return one;
  }

  taken(event, bar) {
    if (event.button !== 0) return;
    event.target.releasePointerCapture?.(event.pointerId); // so that a finger reaches other bars
    this.held = true;
    this.chosen(bar, event.shiftKey);
  }

  // One bar, or with shift all from the one that was marked before. The only one again is all.
  chosen(bar, more) {
    if (more && this.anchor !== null) return this.reach(bar);
    const marked = this.control.marked;
    this.anchor = bar;
    if (marked && marked[0] === bar && marked[1] === bar) this.control.mark(null);
    else this.control.mark([bar, bar]);
  }

  reach(bar) {
    const marked = [Math.min(this.anchor, bar), Math.max(this.anchor, bar)];
    if (String(marked) !== String(this.control.marked)) this.control.mark(marked);
  }

  pressed(event) {
    const at = this.buttons.indexOf(document.activeElement);
    const ways = { ArrowLeft: at - 1, ArrowRight: at + 1, Home: 0, End: this.buttons.length - 1 };
    if (event.key === "Escape") this.control.mark(null);
    else if (!(event.key in ways) || at < 0) return;
    else {
      const to = this.buttons[Math.max(0, Math.min(ways[event.key], this.buttons.length - 1))];
      this.buttons.forEach(one => { one.tabIndex = one === to ? 0 : -1; });
      to.focus();
      if (event.shiftKey) this.chosen(Number(to.dataset.bar), true);
    }
    event.preventDefault();
    event.stopPropagation();
  }

  // Lays each button over its bar; the lines of the staff say how wide and how high it is.
  lie() {
    if (!this.svg?.isConnected) return;
    for (const button of this.buttons) {
      const own = button.parentElement.offsetParent?.getBoundingClientRect();
      if (!own) return;
      const place = Number(button.dataset.bar) + this.before();
      const staff = this.measures[place].querySelector("g.staff");
      const lines = [...staff.children].filter(one => one.tagName === "path");
      const boxes = (lines.length ? lines : [staff]).map(one => one.getBoundingClientRect());
      const [left, right] = [Math.min(...boxes.map(b => b.left)), Math.max(...boxes.map(b => b.right))];
      const [top, foot] = [Math.min(...boxes.map(b => b.top)), Math.max(...boxes.map(b => b.bottom))];
      const room = (foot - top) * 0.6;
      Object.assign(button.style, {
        left: `${left - own.left}px`, width: `${right - left}px`,
        top: `${top - own.top - room}px`, height: `${foot - top + 2 * room}px`,
      });
    }
  }

  show() {
    const marked = this.control.marked;
    for (const one of this.buttons) {
      const bar = Number(one.dataset.bar);
      const isIn = marked !== null && marked[0] <= bar && bar <= marked[1];
      one.setAttribute("aria-pressed", String(isIn));
    }
    const first = this.buttons.find(one => one.getAttribute("aria-pressed") === "true") ?? this.buttons[0];
    if (!this.buttons.includes(document.activeElement)) {
      this.buttons.forEach(one => { one.tabIndex = one === first ? 0 : -1; });
    }
  }
}

// The bar of a position; that of a pickup is -1.
function barBefore(bars, position) {
  return position < 0 ? -1 : barOf(bars, position);
}
