// A page without a kernel: takes and sounds lie inside it, and the controls find them there.

const TAIL = 2.5; // seconds after the last beat that are saved
const GLIDE = 1200; // milliseconds in which a page that goes along has come to rest
const EDGE = 8; // pixels between what sounds and the edge of what is seen

// What the device keeps for this page; where it keeps nothing, all is as at first.
const kept = {
  name: number => `theorykit tempo ${document.body.dataset.kept ?? location.pathname} ${number}`,
  get(number, pace) {
    try {
      const [tempo, of] = (localStorage.getItem(this.name(number)) ?? "").split(" of ").map(Number);
      return of === pace && tempo > 0 ? tempo : pace;
    } catch { return pace; }
  },
  put(number, pace, tempo) {
    try { localStorage.setItem(this.name(number), `${tempo} of ${pace}`); } catch { /* it is not kept */ }
  },
};

// What a control asks for and is told, as it would be by a kernel.
class Still {
  constructor(told, page, number) {
    Object.assign(this, { page, number, answers: new Map() });
    this.values = {
      band: page.told.band, takes: told.takes, chosen: 0, every_key: [],
      tempo: kept.get(number, told.tempo),
      journey: "", travels: false, is_seen: true, pace: told.tempo, tempos: page.told.tempos,
    };
  }

  get(name) { return this.values[name]; }

  set(name, value) {
    this.values[name] = value;
    if (name === "tempo") kept.put(this.number, this.get("pace"), value);
    this.tell(`change:${name}`);
  }

  save_changes() {}
  on(name, answer) { this.answers.set(name, [...(this.answers.get(name) ?? []), answer]); }
  off(name, answer) { this.answers.set(name, this.answers.get(name).filter(one => one !== answer)); }
  tell(name, ...words) { (this.answers.get(name) ?? []).forEach(answer => answer(...words)); }

  send(message) {
    if (message.save) this.save(message.save);
    else this.page.ask(this);
  }

  async save(heard) {
    await this.page.opened();
    const take = this.get("takes")[heard.chosen];
    const tempo = heard.tempo * take.pulse;
    const data = await played(take, tempo, heard.silent, this.get("band"));
    const saved = `${take.label}, tempo ${Math.round(heard.tempo)}.wav`;
    this.tell("msg:custom", { saved, type: "audio/wav" }, [data]);
  }
}

// The page goes along with what sounds, line after line, until the reader moves it; from the next start
// on it does so again. Whoever wants less motion gets it without a glide.
class Follower {
  constructor(control) {
    Object.assign(this, { control, plays: null, moves: true, until: 0 });
    addEventListener("scroll", () => { if (performance.now() > this.until) this.moves = false; }, { passive: true });
    for (const name of ["wheel", "touchmove"]) addEventListener(name, () => { this.moves = false; }, { passive: true });
  }

  follow() {
    const { control } = this;
    if (control.playing && control.playing !== this.plays) Object.assign(this, { plays: control.playing, moves: true });
    if (!control.playing || !this.moves || document.hidden) return;
    const lit = [...control.pictures.querySelectorAll("svg .theorykit-sounds[data-note]")].find(one => one.getClientRects().length);
    if (!lit) return;
    const foot = innerHeight - (getComputedStyle(control.el.parentElement).position === "sticky" ? control.el.offsetHeight : 0);
    const line = (lit.closest("g.system, svg") ?? lit).getBoundingClientRect();
    const place = line.height < foot - 2 * EDGE ? line : lit.getBoundingClientRect();
    if (place.top >= EDGE && place.bottom <= foot - EDGE) return;
    this.until = performance.now() + GLIDE;
    const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
    scrollBy({ top: place.top - Math.max(EDGE, (foot - place.height) / 4), behavior: still ? "instant" : "smooth" });
  }
}

// All players of a page. Sounds are read when a player is first touched, then for all of them.
class Page {
  constructor(told) {
    Object.assign(this, { told, touched: false, asking: new Set() });
    for (const name of ["pointerdown", "keydown"]) {
      document.addEventListener(name, event => this.touch(event), true);
    }
  }

  touch(event) {
    const near = event.target.closest?.(".theorykit-player") || event.key === " ";
    if (!near || this.touched) return;
    this.touched = true;
    if (this.asking.size) this.answer();
  }

  opened() {
    const { data, sounds, band } = this.told;
    this.open ??= Promise.all(files(sounds, bytes(data)).map(([some, file]) =>
      keep(hall().sounds, some, file, band.rate))).then(() => { this.told.data = ""; });
    return this.open;
  }

  ask(model) {
    this.asking.add(model);
    if (this.touched) this.answer();
  }

  async answer() {
    await this.opened();
    const asking = [...this.asking];
    this.asking.clear();
    asking.forEach(model => model.tell("msg:custom", { sounds: [] }, []));
  }
}

function bytes(text) {
  return Uint8Array.from(atob(text), letter => letter.charCodeAt(0)).buffer;
}

// What is heard of a take, once through, as the file of a recording.
async function played(take, tempo, levels, told) {
  const seconds = FIRST + (take.beats * 60) / tempo + TAIL;
  const context = new OfflineAudioContext(2, Math.ceil(seconds * told.rate), told.rate);
  const band = new Band(context, told, hall().sounds);
  band.balance(levels, 0);
  const playing = new Playing(band, new Timeline([take], { tempo, pace: told }));
  playing.begin(FIRST);
  playing.advance(seconds);
  return recording(await context.startRendering());
}

// Two channels of 16 bits with the head that says so (Waveform Audio File Format).
function recording(sound) {
  const sides = [sound.getChannelData(0), sound.getChannelData(1)];
  const size = 4 * sound.length;
  const view = new DataView(new ArrayBuffer(44 + size));
  const word = (at, text) => [...text].forEach((one, place) => view.setUint8(at + place, one.charCodeAt(0)));
  word(0, "RIFF");
  view.setUint32(4, 36 + size, true);
  word(8, "WAVEfmt ");
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, 2, true);
  view.setUint32(24, sound.sampleRate, true);
  view.setUint32(28, 4 * sound.sampleRate, true);
  view.setUint16(32, 4, true);
  view.setUint16(34, 16, true);
  word(36, "data");
  view.setUint32(40, size, true);
  for (let at = 0; at < sound.length; at++) {
    sides.forEach((side, channel) => view.setInt16(44 + 4 * at + 2 * channel, Math.round(side[at] * 32767), true));
  }
  return view;
}

function takePlaces() {
  const told = document.getElementById("theorykit-band");
  const ogg = document.createElement("audio").canPlayType('audio/ogg; codecs="vorbis"');
  if (!told || !ogg || !window.AudioContext || !window.OfflineAudioContext) return;
  const page = new Page(JSON.parse(told.textContent));
  for (const place of document.querySelectorAll(".theorykit-here")) {
    const number = +place.dataset.player;
    const model = new Still(page.told.players[number], page, number);
    const el = make("div", "");
    place.append(el);
    const control = new Control(model, el);
    control.follower = new Follower(control);
    standAlone(control);
    place.querySelector(".theorykit-plain").hidden = true;
  }
}

takePlaces();
