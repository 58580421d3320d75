// The recorder: what a microphone hears while the band plays, with the clock of the band. Nothing is
// asked for before the button is pressed, and while it records a sign says so.

const PIECE = 1 << 19; // frames that are sent at a time: a megabyte
const BLOCK = 2048; // frames that the catcher hands on at a time
const BEFORE = 2; // beats before the first bar that are kept, for a pickup
const TAIL = 0.8; // seconds after the last bar
const LONGEST = 240; // seconds of a take
const TUNING = 90; // seconds that the band may take to tune up, with the microphone open
const LOOK = 60; // milliseconds between two looks at the clock
const CLICKS = 8, CLICK_EVERY = 0.6; // to clap with; seconds
const SOON = 0.1; // seconds from the press to the first sound
const WISHES = { audio: { echoCancellation: false, noiseSuppression: false, autoGainControl: false, channelCount: 1 } };
const INSTEAD = "A recording or a MIDI file can be opened instead.";
const REFUSED = {
  NotAllowedError: "The microphone was not allowed. Allow it beside the address of this page.",
  NotFoundError: "No microphone was found.",
  NotReadableError: "The microphone is in use by another program.",
  keys: "No MIDI keyboard was found. Connect it, then press the button again.",
  refused: "The MIDI keyboard was not allowed. Allow it beside the address of this page.",
  "no midi": "This browser gives a page no MIDI keyboard, or not at this address.",
  none: "At this address the browser gives a page no microphone: it does on your own machine, and where the address begins with https.",
};
const CATCHER = `registerProcessor("theorykit-catcher", class extends AudioWorkletProcessor {
  constructor() { super(); this.fresh(); }
  fresh() { this.wave = new Float32Array(${BLOCK}); this.full = 0; }
  process([input], [output]) {
    if (!this.full) this.at = currentTime;
    const heard = input[0];
    if (heard) this.wave.set(heard, this.full);
    this.full += output[0].length;
    if (this.full === ${BLOCK}) {
      this.port.postMessage({ at: this.at, wave: this.wave }, [this.wave.buffer]);
      this.fresh();
    }
    return true;
  }
});`;

function make(name, classes, settings = {}) {
  return Object.assign(document.createElement(name), { className: classes }, settings);
}

// A clock as it is now; it stands still while nothing is rendered.
function now(context) {
  const { contextTime, performanceTime } = context.getOutputTimestamp();
  return contextTime + (performance.now() - performanceTime) / 1000;
}

async function catcher(context) {
  if (!context.theorykitCatches) {
    const address = URL.createObjectURL(new Blob([CATCHER], { type: "text/javascript" }));
    context.theorykitCatches = context.audioWorklet.addModule(address);
  }
  await context.theorykitCatches;
  return new AudioWorkletNode(context, "theorykit-catcher", { channelCount: 1, channelCountMode: "explicit" });
}

class Recorder {
  constructor(model, el) {
    Object.assign(this, { model, el, phase: "rest", heard: null, sounding: null });
    this.python = new Python(model, words => this.say(words), () => this.show());
    this.build();
    const answers = {
      "change:has": () => this.show(), "change:listens": () => this.show(), "change:over": () => this.show(),
      "change:got": () => this.python.arrived(), "change:delay": () => this.show(),
      "msg:custom": (message, buffers) => this.receive(message, buffers),
    };
    for (const [name, answer] of Object.entries(answers)) model.on(name, answer);
    this.leave = () => {
      this.python.leave();
      this.phase = "gone"; // the browser may still be asking whether there is to be a microphone
      this.close();
      this.hush();
      for (const [name, answer] of Object.entries(answers)) model.off(name, answer);
    };
  }

  // The player of the same page.
  get control() {
    if (!this.el.isConnected) return null;
    const page = this.el.closest(".theorykit-keys-stay") ?? document;
    return page.querySelector(".theorykit-player")?.theorykit ?? null;
  }

  get overBand() { return this.model.get("over") === "band"; }

  // === What one sees ===

  build() {
    this.el.classList.add("theorykit-recorder");
    const press = (text, act, title = text) => {
      const one = make("button", "jupyter-button", { type: "button", textContent: text, title });
      one.onclick = act;
      return one;
    };
    this.go = press("record", () => (this.phase === "rest" ? this.record(false) : this.finish()), "with the microphone");
    this.go.classList.add("theorykit-record");
    this.keys = press("play a MIDI keyboard", () => this.record(true), "what its keys send is taken down");
    this.sign = make("span", "theorykit-sign", { role: "status" });
    this.hear = press("hear the recording", () => this.listen(false));
    this.beside = press("recording and line together", () => this.listen(true), "the line with the band, and the recording with it");
    this.save = press("keep the recording", () => this.python.ask({ keep: true }), "as a file of yours; else it is gone with the next take");
    this.drop = press("throw it away", () => this.forget(), "the line stays");
    this.words = make("div", "theorykit-words", { role: "alert" });
    this.kept = make("span", "theorykit-kept");
    this.kept.append(this.hear, this.beside, this.save, this.drop);
    this.rescue = press("keep the take as a file", () => download(this.python.left), "it is gone when this page is closed");
    this.delay = make("span", "theorykit-delay");
    this.late = make("span", "");
    this.delay.append(this.late, press("forget it", () => this.python.ask({ forget: true }), "what the browser says of the delay counts again"));
    this.claps = press("measure the delay", () => this.record(false, true),
      "once on each machine: clap with eight clicks, or hold the microphone to the headphones");
    const row = make("div", "theorykit-row");
    row.append(this.go, this.keys, this.sign, this.rescue, this.kept, this.claps, this.delay);
    this.el.append(row, this.words);
    this.show();
  }

  show() {
    const { phase } = this, rests = phase === "rest", listens = this.model.get("listens");
    this.el.dataset.phase = phase;
    this.go.textContent = rests ? "record" : phase === "sends" ? "one moment" : phase === "records" ? "stop recording" : "stop";
    this.go.disabled = phase === "sends" || (rests && listens);
    this.keys.hidden = this.claps.hidden = !rests;
    this.rescue.hidden = !this.python.missed || !this.python.left || !rests;
    const delay = this.model.get("delay");
    this.delay.hidden = delay === null || !rests;
    this.late.textContent = `${delay} ms are taken off every take `;
    this.keys.disabled = this.claps.disabled = listens;
    this.kept.hidden = !this.model.get("has") || !rests;
    this.beside.hidden = !this.model.get("goes_together");
    this.hear.textContent = this.sounding ? "stop" : "hear the recording";
    const signs = { rest: listens ? "listening to the take" : "", sends: "",
      asks: this.python.answers ? "waiting for Python" : this.byKeys ? "waiting for the keyboard" : "waiting for the microphone",
      waits: `${this.byKeys ? "" : "the microphone is open, "}the band is tuning up` };
    if (phase !== "records") this.sign.textContent = signs[phase];
    const hears = phase === "records" || (phase === "waits" && !this.byKeys);
    this.sign.classList.toggle("theorykit-on", hears);
  }

  turn(phase) {
    this.phase = phase;
    this.show();
  }

  say(words, isGood = false) {
    this.words.textContent = words;
    this.words.classList.toggle("theorykit-good", isGood);
  }

  // === Recording ===

  async record(byKeys, claps = false) {
    this.hush();
    this.control?.stop();
    this.say("");
    Object.assign(this, { byKeys, banded: this.overBand && !claps, clicks: null });
    this.turn("asks");
    if (!await this.python.isThere()) {
      if (this.phase === "gone") return;
      this.give();
      return this.say(NO_ANSWER);
    }
    if (this.phase === "gone") return;
    if (this.phase !== "asks") return this.give();
    this.show();
    try {
      await (byKeys ? this.connect() : this.open());
    } catch (wrong) {
      this.close();
      if (this.phase === "gone") return;
      this.turn("rest");
      return this.say(`${REFUSED[wrong.name] ?? REFUSED[wrong.message] ?? `The microphone cannot be used: ${wrong.message}.`} ${INSTEAD}`);
    }
    if (this.phase === "gone") return this.close();
    if (this.phase !== "asks") return this.give(); // it was stopped meanwhile
    this.begin();
    if (claps) this.click();
  }

  async open() {
    if (!navigator.mediaDevices?.getUserMedia) throw new Error("none");
    this.stream = await navigator.mediaDevices.getUserMedia(WISHES);
    if (this.phase !== "asks") return;
    this.join();
    await this.context.resume();
    this.catcher = await catcher(this.context);
    const silent = this.context.createGain();
    silent.gain.value = 0; // what is not on the way to the ear is not rendered
    this.source.connect(this.catcher).connect(silent).connect(this.context.destination);
  }

  async connect() {
    if (!navigator.requestMIDIAccess) throw new Error("no midi");
    const access = await navigator.requestMIDIAccess().catch(() => { throw new Error("refused"); });
    this.inputs = [...access.inputs.values()];
    if (!this.inputs.length) throw new Error("keys");
    this.context = this.control.clock;
    await this.context.resume();
  }

  // Some browsers join a microphone only to a clock of its own rate; then the two are compared.
  join() {
    const shared = this.control.clock;
    this.own = null;
    try {
      this.source = shared.createMediaStreamSource(this.stream);
      this.context = shared;
    } catch {
      this.context = this.own = new AudioContext();
      this.source = this.own.createMediaStreamSource(this.stream);
    }
  }

  begin() {
    const { control } = this;
    Object.assign(this, { caught: [], first: null, ends: null, even: true, begun: performance.now() });
    if (this.byKeys) {
      for (const input of this.inputs) input.onmidimessage = event => this.struck(event);
    } else this.catcher.port.onmessage = ({ data }) => this.caught.push(data);
    if (this.banded) {
      control.set("chosen", 0);
      control.mark(null);
      control.loops.input.checked = false;
      control.place(0, null);
      control.start();
    }
    this.turn(this.banded ? "waits" : "records");
    this.timer = setInterval(() => this.look(), LOOK);
  }

  // Short tones, to clap with.
  click() {
    const { clock } = this.control;
    const begins = clock.currentTime + 0.5;
    this.tones = [];
    this.clicks = Array.from({ length: CLICKS }, (_, place) => begins + place * CLICK_EVERY);
    for (const at of this.clicks) {
      const tone = clock.createOscillator(), level = clock.createGain();
      tone.frequency.value = 1600;
      level.gain.setValueAtTime(0.25, at);
      level.gain.exponentialRampToValueAtTime(0.001, at + 0.04);
      tone.connect(level).connect(clock.destination);
      tone.start(at);
      tone.stop(at + 0.05);
      this.tones.push(tone);
    }
    this.ends = this.clicks.at(-1) + CLICK_EVERY - (this.own ? now(clock) - now(this.own) : 0);
  }

  // A key was struck, or let go, while what the clock of the band says now was heard.
  struck({ data, timeStamp }) {
    if (data.length !== 3 || data[0] >= 0xf0) return;
    const { contextTime, performanceTime } = this.context.getOutputTimestamp();
    this.caught.push([contextTime + (timeStamp - performanceTime) / 1000, ...data]);
  }

  look() {
    const { control } = this;
    if (!control) return this.give();
    const { playing, isOn } = control;
    if (this.phase === "waits") {
      if (performance.now() - this.begun > 1000 * TUNING) {
        control.stop();
        this.say("The sounds of the band did not come, and nothing was recorded.");
        return this.give();
      }
      if (!isOn) return this.give();
      if (!playing) return;
      const { timeline } = playing;
      Object.assign(this, { timeline, tempo: timeline.tempo, begun: performance.now() });
      this.first = timeline.anchors[0].time + (timeline.count * 60) / timeline.tempo;
      return this.turn("records");
    }
    const seconds = (performance.now() - this.begun) / 1000;
    const doing = this.byKeys ? "takes down the keys" : this.clicks ? "recording your claps" : "recording";
    const words = `\u25cf ${doing}, ${Math.floor(seconds / 60)}:${String(Math.floor(seconds % 60)).padStart(2, "0")}`;
    if (this.sign.textContent !== words) this.sign.textContent = words;
    if (this.banded) {
      this.even &&= this.timeline.tempo === this.tempo;
      if (!playing) this.ends ??= this.context.currentTime + TAIL;
    }
    if (seconds > LONGEST || (this.ends !== null && this.context.currentTime > this.ends)) this.finish();
  }

  // Ends without a take.
  give() {
    this.close();
    this.caught = [];
    this.turn("rest");
  }

  finish() {
    if (this.phase === "asks") return this.turn("sends"); // until the browser has its answer
    if (this.phase !== "records") {
      this.control.stop();
      return this.give();
    }
    this.turn("sends");
    if (this.byKeys) {
      if (this.banded) this.control.stop();
      this.close();
      this.sendKeys();
      return this.turn("rest");
    }
    const shift = this.own ? now(this.control.clock) - now(this.own) : 0;
    const late = (this.control.clock.outputLatency || this.control.clock.baseLatency || 0)
      + (this.stream.getAudioTracks()[0]?.getSettings().latency ?? 0);
    const { sampleRate } = this.context;
    if (this.banded) this.control.stop();
    this.close();
    this.send(sampleRate, shift, late);
    this.turn("rest");
  }

  sendKeys() {
    const { caught, first, tempo } = this;
    const begins = Math.min(...caught.map(one => one[0]), first ?? Infinity);
    const from = first === null ? begins : Math.max(begins, first - (BEFORE * 60) / tempo);
    const sent = caught.filter(one => one[0] >= from).map(([at, ...data]) => [at - from, ...data]);
    const told = first !== null && this.even;
    const end = Number.isFinite(from) ? now(this.context) - from : 0;
    const take = this.python.next();
    const message = { take, sent, end, start: told ? first - from : null, tempo: told ? tempo : null };
    this.python.send(take, sent.length ? keysFile(sent) : null, [[message]]);
    this.caught = [];
  }

  // The take, from a little before its first bar, in whole numbers of 16 bits.
  send(rate, shift, late) {
    const { caught, first, tempo } = this;
    const begins = (caught[0]?.at ?? 0) + shift;
    const wanted = first === null ? begins : first - (BEFORE * 60) / tempo;
    const all = caught.length * BLOCK;
    const skipped = Math.min(all, Math.max(0, Math.round((wanted - begins) * rate)));
    const wave = new Int16Array(all - skipped);
    caught.forEach((one, block) => {
      for (let at = Math.max(0, skipped - block * BLOCK); at < BLOCK; at++) {
        wave[block * BLOCK + at - skipped] = Math.max(-1, Math.min(1, one.wave[at])) * 32767;
      }
    });
    const take = this.python.next();
    const pieces = Math.ceil(wave.length / PIECE);
    const messages = Array.from({ length: pieces }, (_, piece) =>
      [{ take, piece }, [wave.slice(piece * PIECE, (piece + 1) * PIECE).buffer]]);
    const told = first !== null && this.even;
    const start = told ? first - begins - skipped / rate : null;
    const clicks = this.clicks ? { clicks: this.clicks.map(at => at - begins) } : {};
    const end = { take, pieces, frames: wave.length, rate, start, tempo: told ? tempo : null, late, ...clicks };
    this.python.send(take, this.clicks ? null : waveFile(wave, rate), [...messages, [end]]);
    this.caught = [];
  }

  close() {
    clearInterval(this.timer);
    this.stream?.getTracks().forEach(track => track.stop());
    for (const input of this.inputs ?? []) {
      input.onmidimessage = null;
      input.close(); // where one program alone has a keyboard, the next one can
    }
    for (const tone of this.tones ?? []) tone.stop();
    if (this.catcher) this.catcher.port.onmessage = null;
    this.source?.disconnect();
    this.catcher?.disconnect();
    this.own?.close();
    Object.assign(this, { stream: null, source: null, catcher: null, own: null, inputs: null, tones: null });
  }

  // === Hearing ===

  // The recording, which the kernel has, is asked for once.
  listen(together) {
    if (this.sounding) return this.hush();
    if (this.heard?.number === this.model.get("has")) return this.sound(together);
    this.wish = together;
    this.python.ask({ hear: true });
  }

  receive(message, buffers) {
    if (message.there) return this.python.answered(message.there);
    if (message.problem) return this.say(message.problem);
    if (message.told) return this.say(message.told, true);
    if (message.saved) return download({ data: [buffers[0]], name: message.saved, type: message.type });
    if (!message.heard) return;
    const data = buffers[0];
    const wave = new Int16Array(data.buffer.slice(data.byteOffset, data.byteOffset + data.byteLength));
    const buffer = new AudioBuffer({ length: Math.max(1, wave.length), sampleRate: message.rate });
    let peak = 1;
    for (const one of wave) peak = Math.max(peak, Math.abs(one));
    buffer.copyToChannel(Float32Array.from(wave, one => one / 32768), 0);
    this.heard = { number: message.heard, buffer, start: message.start, tempo: message.tempo, gain: Math.min(8, 16384 / peak) };
    this.sound(this.wish);
  }

  sound(together) {
    const { control, heard } = this;
    control.stop();
    if (!together) return this.play(control.clock.currentTime + SOON, 0, () => false);
    control.set("tempo", heard.tempo);
    control.set("chosen", 1);
    control.mark(null);
    control.loops.input.checked = false;
    control.place(0, null);
    control.start();
    clearInterval(this.wait);
    this.wait = setInterval(() => {
      if (control.playing === null && control.isOn) return;
      clearInterval(this.wait);
      if (control.playing === null) return;
      const { timeline } = control.playing;
      const first = timeline.anchors[0].time + (timeline.count * 60) / timeline.tempo;
      const at = Math.max(first - heard.start, control.clock.currentTime);
      this.play(at, at - (first - heard.start), () => control.playing === null);
    }, LOOK);
  }

  play(at, offset, isOver) {
    const { clock } = this.control;
    const source = clock.createBufferSource();
    const level = clock.createGain();
    source.buffer = this.heard.buffer;
    level.gain.value = this.heard.gain;
    source.connect(level).connect(clock.destination);
    source.onended = () => this.sounding?.source === source && this.hush();
    source.start(at, Math.max(0, offset));
    const watch = setInterval(() => isOver() && this.hush(), LOOK);
    this.sounding = { source, watch };
    this.show();
  }

  hush() {
    clearInterval(this.wait);
    if (!this.sounding) return;
    const { source, watch } = this.sounding;
    this.sounding = null;
    clearInterval(watch);
    source.onended = null;
    source.stop();
    source.disconnect();
    this.show();
  }

  forget() {
    this.hush();
    this.heard = null;
    this.python.ask({ drop: true });
  }
}

export default {
  render({ model, el }) {
    const recorder = new Recorder(model, el);
    return () => recorder.leave();
  },
};
