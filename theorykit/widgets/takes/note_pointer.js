// The notes of the staff: each is a button over the head of a note, to be chosen by pointer or by key
// and mended by key. The kernel draws the staff anew, and the buttons follow it.

const STAFF = "svg:has(g.measure [data-note])";
const BESIDE = ".theorykit-compared"; // staves that are compared are looked at only
const ROOM = 5; // pixels around the head of a note
const NARROW = 520, LEAST = 220, STEP = 20; // pixels of a page on which each bar has a row, in steps
const WAYS = {
  ArrowUp: "half step up", ArrowDown: "half step down", "shift ArrowUp": "octave up", "shift ArrowDown": "octave down",
  ",": "earlier", ".": "later", s: "split", j: "join with the next", Delete: "delete", Backspace: "delete", u: "undo",
};

class Pointer {
  constructor(model, el) {
    Object.assign(this, { model, el, svg: null, buttons: [], holds: false });
    el.classList.add("theorykit-pointer");
    this.layer = Object.assign(document.createElement("div"), { className: "theorykit-notes" });
    this.layer.setAttribute("role", "group");
    this.layer.setAttribute("aria-label", "notes of the line");
    this.layer.onkeydown = event => this.pressed(event);
    this.layer.addEventListener("focusin", () => { this.holds = true; });
    // When the staff goes, the focus goes nowhere; then it comes back with the next staff.
    this.layer.addEventListener("focusout", event => { if (event.relatedTarget) this.holds = false; });
    this.away = event => { if (!this.layer.contains(event.target)) this.holds = false; };
    document.addEventListener("pointerdown", this.away, true);
    this.watch = new MutationObserver(() => this.found !== this.svg && this.follow());
    this.size = new ResizeObserver(() => this.lie());
    this.room = new ResizeObserver(() => this.measure());
    this.told = () => this.follow();
    this.marked = () => this.mark();
    model.on("change:notes", this.told);
    model.on("change:chosen", this.marked);
    this.later = requestAnimationFrame(() => {
      this.page = el.closest(".theorykit-keys-stay") ?? el.parentElement;
      this.watch.observe(this.page, { childList: true, subtree: true });
      this.room.observe(this.page);
      this.follow();
    });
  }

  leave() {
    cancelAnimationFrame(this.later);
    document.removeEventListener("pointerdown", this.away, true);
    this.watch.disconnect();
    this.size.disconnect();
    this.room.disconnect();
    this.layer.remove();
    this.model.off("change:notes", this.told);
    this.model.off("change:chosen", this.marked);
  }

  // Tells the kernel how wide a narrow page is; a page that is not seen has no width.
  measure() {
    const wide = this.page.clientWidth;
    if (!wide) return;
    const narrow = wide < NARROW ? Math.max(LEAST, STEP * Math.floor(wide / STEP)) : 0;
    if (narrow === this.model.get("narrow")) return;
    this.model.set("narrow", narrow);
    this.model.save_changes();
  }

  get found() {
    const staves = [...this.page.querySelectorAll(STAFF)].filter(one => !one.closest(BESIDE));
    return staves.find(one => one.getClientRects().length) ?? null;
  }

  follow() {
    if (!this.page) return;
    this.size.disconnect();
    this.layer.remove();
    this.svg = this.found;
    if (!this.svg) return;
    this.svg.parentElement.classList.add("theorykit-staff");
    this.svg.parentElement.append(this.layer);
    this.buttons = this.model.get("notes").map(([name, doubtful], place) => this.button(name, doubtful, place));
    this.layer.replaceChildren(...this.buttons);
    this.size.observe(this.svg);
    this.lie();
    this.mark();
    if (this.holds) this.buttons[this.model.get("chosen")]?.focus();
  }

  button(name, doubtful, place) {
    const title = doubtful ? `${name} (doubtful)` : name;
    const one = Object.assign(document.createElement("button"), { type: "button", className: "theorykit-note", title });
    one.setAttribute("aria-label", title);
    one.dataset.doubtful = doubtful ? "yes" : "no";
    one.onclick = () => this.choose(place);
    return one;
  }

  lie() {
    const own = this.layer.getBoundingClientRect();
    this.buttons.forEach((button, place) => {
      const note = this.svg.querySelector(`[data-note="${place}"]`);
      button.hidden = !note;
      if (!note) return;
      const box = (note.querySelector(".notehead") ?? note).getBoundingClientRect();
      Object.assign(button.style, {
        left: `${box.left - own.left - ROOM}px`, top: `${box.top - own.top - ROOM}px`,
        width: `${box.width + 2 * ROOM}px`, height: `${box.height + 2 * ROOM}px`,
      });
    });
  }

  mark() {
    const chosen = this.model.get("chosen");
    this.buttons.forEach((one, place) => {
      one.setAttribute("aria-pressed", String(place === chosen));
      one.tabIndex = place === Math.max(0, chosen) ? 0 : -1;
    });
  }

  choose(place) {
    this.model.set("chosen", place);
    this.model.save_changes();
    this.buttons[place]?.focus();
  }

  pressed(event) {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const at = this.buttons.indexOf(document.activeElement);
    const last = this.buttons.length - 1;
    const moves = { ArrowLeft: at - 1, ArrowRight: at + 1, Home: 0, End: last };
    const way = WAYS[`${event.shiftKey ? "shift " : ""}${event.key}`];
    if (event.key in moves) this.choose(Math.max(0, Math.min(moves[event.key], last)));
    else if (way && at >= 0) this.model.send({ way, at });
    else return;
    event.preventDefault();
    event.stopPropagation();
  }
}

export default {
  render({ model, el }) {
    const pointer = new Pointer(model, el);
    return () => pointer.leave();
  },
};
