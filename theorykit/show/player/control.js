// The control: buttons, lists and a line of words in a page, and the clock that keeps them true.

const AHEAD = 1.0, HIDDEN = 3.0; // seconds that are handed to the band in advance
const TICK = 60; // milliseconds between two looks at the clock
const FIRST = 0.12; // seconds from the press to the first sound
const SOONEST = 0.06; // seconds from a change to its effect
const LEVELS = { full: 1, soft: 0.25, off: 0 };
const TURNS = "every other round";
const JOURNEYS = { "": "same key", fifths: "round the circle of fifths", "half steps": "up a half step" };

class Control {
  constructor(model, el) {
    Object.assign(this, { model, el, playing: null, position: 0, wanted: false, seen: "", leaving: [] });
    el.theorykit = this; // a recorder beside it goes by its clock
    this.supply = new Supply(this);
    this.build();
    const answers = {
      "change:takes": () => this.told(), "change:chosen": () => this.told(),
      "change:every_key": () => this.told(), "change:tempo": () => this.change({ tempo: this.tempo }),
      "change:levels": () => this.putBack(), "change:bar": () => this.putBack(),
      "change:problem": () => this.putBack(), "msg:custom": (message, buffers) => this.receive(message, buffers),
    };
    for (const [name, answer] of Object.entries(answers)) model.on(name, answer);
    this.keys = event => this.pressed(event);
    this.others = event => { if (event.target instanceof HTMLMediaElement) this.stop(); };
    document.addEventListener("play", this.others, true);
    document.addEventListener("keydown", this.keys, true);
    this.staff = null;
    this.wait();
    this.told();
    this.putBack();
    // The page around is there when this has been put into it.
    this.later = requestAnimationFrame(() => { this.staff = new StaffBars(this); this.staff.follow(); });
    this.leave = () => {
      this.stop();
      cancelAnimationFrame(this.later);
      this.staff?.leave();
      for (const [name, answer] of Object.entries(answers)) model.off(name, answer);
      document.removeEventListener("keydown", this.keys, true);
      document.removeEventListener("play", this.others, true);
      this.leaving.forEach(leave => leave());
    };
  }

  get rate() { return this.model.get("band").rate; }
  get clock() { return awake(this.rate); }
  get tempo() { return this.model.get("tempo") * (this.take?.pulse ?? 1); }
  get take() { return this.model.get("takes")[this.model.get("chosen")] ?? null; }
  get cycle() {
    const keys = this.model.get("every_key");
    return keys.length ? keys : [this.take];
  }

  // The page around, with its pictures.
  get page() {
    return this.el.closest(".theorykit-keys-stay") ?? this.el.closest(".theorykit-here")?.parentElement ?? this.el;
  }

  // The pictures that this player is about: those of its own part of a page that has several.
  get pictures() { return this.el.closest(".theorykit-pictures") ?? this.page; }

  // === What one sees ===

  build() {
    this.el.classList.add("theorykit-player");
    this.play = make("button", "jupyter-button theorykit-play", { type: "button" });
    this.play.onclick = () => (this.isOn ? this.stop("stopped") : this.start());
    this.which = list("sound");
    this.which.select.onchange = () => this.set("chosen", this.which.select.selectedIndex);
    this.where = make("span", "theorykit-where");
    this.line = make("input", "theorykit-line", { type: "range", min: 0, step: 1 });
    this.line.setAttribute("aria-label", "position");
    this.line.oninput = () => this.go(this.bars[+this.line.value] ?? 0);
    this.loops = tick("round and round");
    this.loops.input.onchange = () => { this.around(); this.say(this.loops.input.checked ? "goes round" : "once"); };
    this.from = list("bars", "from bar");
    this.to = list("to", "to bar");
    for (const one of [this.from, this.to]) one.select.onchange = () => this.around();
    this.part = list("part");
    this.part.select.className = "theorykit-part";
    this.part.select.onchange = () => this.choosePart(this.part.select.selectedIndex);
    this.moves = list("each round");
    this.moves.select.onchange = () => this.set("journey", Object.keys(JOURNEYS)[this.moves.select.selectedIndex]);
    this.parts = this.model.get("band").parts.map((name, number) => {
      const one = list(name);
      one.select.className = "theorykit-level";
      fill(one.select, [...Object.keys(LEVELS), ...(number === 0 ? [TURNS] : [])], 0);
      one.select.onchange = () => this.balance(name, one.select.value);
      return one;
    });
    this.save = make("button", "jupyter-button", { type: "button", textContent: "save this sound" });
    this.save.onclick = () => this.model.send({ save: this.heard });
    this.now = make("div", "theorykit-key", { hidden: true });
    this.words = make("div", "theorykit-said theorykit-heard-only", { role: "status" });
    this.words.setAttribute("aria-live", "polite");
    const row = (...parts) => { const one = make("div", "theorykit-row"); one.append(...parts); return one; };
    const round = [this.part.box, this.from.box, this.to.box, this.moves.box];
    this.moves.select.className = "theorykit-moves";
    this.el.append(
      row(this.play, this.which.box, this.line, this.now, this.where, this.loops.box, this.save),
      row(...round, ...this.parts.map(one => one.box)), this.words,
    );
    this.show();
  }

  get isOn() { return this.playing !== null || this.wanted; }

  show() {
    this.play.textContent = this.wanted ? "tuning up" : this.playing ? "stop" : "play";
    this.play.setAttribute("aria-pressed", String(this.isOn));
    this.el.dataset.plays = this.playing ? "yes" : "no";
  }

  // Said to those who cannot see; a problem is seen as well.
  say(words, seen = false) {
    this.words.textContent = words;
    this.words.classList.toggle("theorykit-heard-only", !seen);
  }

  // Something else is to be played: the lists follow, and the music goes on with it.
  told() {
    const takes = this.model.get("takes");
    this.which.box.hidden = takes.length < 2;
    fill(this.which.select, takes.map(one => one.label), this.model.get("chosen"));
    this.el.hidden = !this.take;
    if (!this.take) return this.stop();
    this.el.setAttribute("aria-label", `player: ${this.take.label}`);
    this.el.setAttribute("role", "group");
    const { bars } = this.take;
    if (this.bars?.length !== bars.length) {
      const numbers = bars.map((_, number) => String(number + 1));
      fill(this.from.select, numbers, 0);
      fill(this.to.select, numbers, bars.length - 1);
      this.line.max = bars.length - 1;
    }
    if (!this.bars) this.position = bars[this.model.get("bar")] ?? 0;
    this.bars = bars;
    this.staff?.follow();
    this.showPart();
    const named = `${takes.map(one => one.label)}`;
    if (this.take.loops && this.seen !== named) this.loops.input.checked = true;
    this.seen = named;
    this.moves.box.hidden = !this.model.get("travels");
    fill(this.moves.select, Object.values(JOURNEYS), Object.keys(JOURNEYS).indexOf(this.model.get("journey")));
    if (this.position >= this.length) this.position = 0;
    this.place(this.position, null);
    this.ask();
  }

  get length() { return this.take.beats - this.take.count; }

  // === Sounds ===

  // A cell among many asks for its sounds when somebody comes to it, others at once.
  wait() {
    this.asks = !this.model.get("stands_alone");
    const come = () => { if (!this.asks) { this.asks = true; this.ask(); } };
    for (const name of ["pointerenter", "focusin"]) this.el.addEventListener(name, come);
  }

  ask() {
    if (!this.asks) return;
    this.waits = this.supply.ask();
    if (!this.waits) this.ready();
  }

  // What was handed on without its sound is handed on anew, when the sound is there.
  async receive(message, buffers) {
    if (message.saved) return download(message.saved, message.type, buffers[0]);
    if (message.problem) return this.say(message.problem, true);
    await this.supply.take(message, buffers);
    if (!this.waits) this.change({});
    else if (this.supply.suffices) this.ready();
  }

  ready() {
    this.waits = false;
    this.el.dataset.ready = String(+(this.el.dataset.ready ?? 0) + 1);
    if (this.wanted) this.start();
    else if (this.playing) this.change({ cycle: this.cycle });
  }

  // === Playing ===

  start() {
    if (!this.take) return;
    const shared = hall();
    if (shared.plays !== this) shared.plays?.stop();
    shared.plays = this;
    document.querySelectorAll("audio").forEach(one => one.pause());
    const context = awake(this.rate);
    this.wanted = !this.supply.suffices;
    if (this.wanted) {
      this.asks = true;
      this.ask();
      return this.show();
    }
    const band = new Band(context, this.model.get("band"), shared.sounds);
    band.balance(this.levels, 0);
    const timeline = new Timeline(this.cycle, { ...this.wishes, tempo: this.tempo, start: this.position, pace: this.model.get("band") });
    this.playing = new Playing(band, timeline);
    this.playing.begin(context.currentTime + FIRST);
    this.tick();
    this.timer = setInterval(() => this.tick(), TICK);
    this.frame = requestAnimationFrame(() => this.draw());
    this.show();
    this.say(`plays ${this.take.label}`);
  }

  stop(words = "") {
    const plays = this.playing;
    this.playing = null;
    this.wanted = false;
    clearInterval(this.timer);
    cancelAnimationFrame(this.frame);
    if (hall().plays === this) hall().plays = null;
    if (plays) {
      plays.band.leave();
      this.light([]);
      this.now.hidden = true;
      this.place(this.bars[barOf(this.bars, this.position)], null);
      this.say(words && `${words} at bar ${barOf(this.bars, this.position) + 1}`);
    }
    this.show();
  }

  tick() {
    const { band, timeline } = this.playing;
    const { currentTime } = band.context;
    this.playing.advance(currentTime + (document.hidden ? HIDDEN : AHEAD));
    if (currentTime > timeline.end + SOONEST) {
      this.position = this.wishes.from;
      this.stop("ended");
    }
  }

  // What is heard now left the clock a little while ago.
  get heardTime() {
    const { context } = this.playing.band;
    return context.currentTime - (context.outputLatency || context.baseLatency || 0);
  }

  draw() {
    if (!this.playing) return;
    const time = this.heardTime;
    const { position, counts, round } = this.playing.timeline.placeAt(time);
    this.place(position, counts ? null : round);
    this.light(this.playing.sounding(time));
    this.frame = requestAnimationFrame(() => this.draw());
  }

  place(position, round) {
    this.position = position;
    const bar = barOf(this.bars, position);
    this.line.value = bar;
    if (!this.playing && this.model.get("bar") !== bar) this.set("bar", bar);
    const counts = this.playing && round === null;
    const words = counts ? "count-in" : `bar ${bar + 1} of ${this.bars.length}`;
    if (this.where.textContent !== words) this.where.textContent = words;
    this.line.setAttribute("aria-valuetext", words);
    const keys = this.model.get("every_key");
    this.now.hidden = !(this.playing && keys.length);
    if (this.now.hidden) return;
    const here = (round ?? this.playing.timeline.number) % keys.length;
    const name = `${keys[here].key} \u2192 ${keys[(here + 1) % keys.length].key}`;
    if (this.now.textContent !== name) this.now.textContent = name;
  }

  light(notes) {
    const marks = new Set();
    for (const { row } of this.model.get("is_seen") ? notes : []) {
      if (row[7] < 0) continue;
      marks.add(`[data-note="${row[7]}"]`);
      if (row[8] >= 0) marks.add(`[data-key="${row[8]}"]`);
    }
    const names = [...marks].join(",");
    if (names === this.lit) return;
    this.lit = names;
    this.pictures.querySelectorAll(".theorykit-sounds").forEach(one => one.classList.remove("theorykit-sounds"));
    for (const one of names ? this.pictures.querySelectorAll(names) : []) { one.classList.add("theorykit-sounds"); inFrame(one); }
    this.follower?.follow();
  }

  // === What is changed while it plays ===

  get wishes() {
    const from = this.bars[this.from.select.selectedIndex] ?? 0;
    const to = this.bars[this.to.select.selectedIndex + 1] ?? Infinity;
    const rests = this.parts[0].select.value === TURNS;
    const part = from > 0 || to < Infinity;
    return { from, to: to > from ? to : Infinity, loops: this.loops.input.checked, rests, part };
  }

  get levels() { return this.parts.map(one => LEVELS[one.select.value] ?? 1); }

  get heard() {
    return { tempo: this.model.get("tempo"), silent: this.levels, chosen: this.model.get("chosen") };
  }

  set(name, value) {
    this.model.set(name, value);
    this.model.save_changes();
  }

  change(changes) {
    if (!this.playing) return;
    const { band } = this.playing;
    this.playing.change(band.context.currentTime + SOONEST, changes);
    this.tick();
    if (changes.tempo) this.say(`tempo ${this.model.get("tempo")}`);
  }

  // The first and the last bar that are marked, from 0; null for all.
  get marked() {
    const [first, last] = [this.from.select.selectedIndex, this.to.select.selectedIndex];
    return last >= first && (first > 0 || last < this.bars.length - 1) ? [first, last] : null;
  }

  // What is marked goes round; where nothing is, it stays as it was.
  mark(bars) {
    const [first, last] = bars ?? [0, this.bars.length - 1];
    this.from.select.selectedIndex = first;
    this.to.select.selectedIndex = last;
    if (bars) this.loops.input.checked = true;
    this.around();
    const words = first === last ? `bar ${first + 1} goes` : `bars ${first + 1} to ${last + 1} go`;
    this.say(bars ? `${words} round` : "no bar is marked");
  }

  // Whole, the sections of the take by their names, and at the end bars that are none of these.
  get sections() { return [["whole", 0, this.bars.length - 1], ...(this.take.sections ?? [])]; }

  showPart() {
    const { sections, marked } = this;
    const [first, last] = marked ?? [0, this.bars.length - 1];
    const at = sections.findIndex(one => one[1] === first && one[2] === last);
    const names = sections.map(one => one[0]);
    fill(this.part.select, at < 0 ? [...names, `bars ${first + 1} to ${last + 1}`] : names, at < 0 ? names.length : at);
    this.part.box.hidden = sections.length < 2;
  }

  choosePart(at) {
    const [, first, last] = this.sections[at] ?? ["", ...this.marked];
    this.mark(at === 0 ? null : [first, last]);
  }

  around() {
    const { from, to, loops } = this.wishes;
    this.showPart();
    this.staff?.show();
    if (this.position < from || this.position >= to) this.place(from, null);
    this.change({ from, to, loops });
  }

  go(position) {
    const on = this.playing !== null;
    if (on) this.stop();
    this.place(position, null);
    if (on) this.start();
  }

  balance(name, level) {
    this.playing?.band.balance(this.levels);
    this.change({ rests: this.wishes.rests });
    this.set("levels", this.parts.map(one => one.select.value));
    this.say(`${name}: ${level}`);
  }

  // What was kept is put back; what no list offers is as at first.
  putBack() {
    const { model, bars, playing } = this;
    this.parts.forEach(({ select }, number) => choose(select, (model.get("levels") ?? [])[number]));
    playing?.band.balance(this.levels);
    const bar = model.get("bar");
    if (bars && !playing && barOf(bars, this.position) !== bar) this.place(bars[bar] ?? 0, null);
    if (model.get("problem")) this.say(model.get("problem"), true);
  }

  // The space bar starts and stops wherever it has no other work.
  pressed(event) {
    const busy = "input:not([type=range]),textarea,select,button,a,summary,audio,[contenteditable=true],[role=slider],[role=tab]";
    if (event.key !== " " || event.ctrlKey || event.metaKey || event.altKey) return;
    if (!this.page.contains(event.target)) return;
    if (event.target.closest(busy) || !this.take || !isFirst(this)) return;
    event.preventDefault();
    event.stopPropagation();
    this.play.click();
  }
}

function render({ model, el }) {
  const control = new Control(model, el);
  if (model.get("stands_alone")) {
    standAlone(control);
    keepKeys(el);
  }
  return () => control.leave();
}

export default { render };
