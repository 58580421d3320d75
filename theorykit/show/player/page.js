// A page without a kernel: takes and sounds lie inside it, and the controls find them there.

const TAIL = 2.5; // seconds after the last beat that are saved

// What a control asks for and is told, as it would be by a kernel.
class Still {
  constructor(told, page) {
    Object.assign(this, { page, answers: new Map() });
    this.values = {
      band: page.told.band, takes: told.takes, chosen: 0, every_key: [], tempo: told.tempo,
      journey: "", travels: false, is_seen: true, pace: told.tempo, tempos: page.told.tempos,
    };
  }

  get(name) { return this.values[name]; }

  set(name, value) {
    this.values[name] = value;
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
    const model = new Still(page.told.players[+place.dataset.player], page);
    const el = make("div", "");
    place.append(el);
    standAlone(new Control(model, el));
    place.querySelector(".theorykit-plain").hidden = true;
  }
}

takePlaces();
