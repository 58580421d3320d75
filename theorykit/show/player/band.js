// The band: sounds that are kept in the page under their names, and the way from them to the ear.
// It is that of the engine: each part in its place, a room behind all, a ceiling above.

const SILENT = 0.001; // what a note has fallen to when its release is over
const TURN = 0.012; // seconds in which a part becomes softer or louder
const STOP = 0.02; // seconds in which everything falls silent
const LATE = 0.004; // seconds after now at which the earliest note can begin
const DELAY = 0.006; // seconds that the compressor keeps everything back (as browsers have it)

// What the whole page shares: one clock, the sounds, and the player that plays.
export function hall() {
  const name = Symbol.for("theorykit hall");
  window[name] ??= { context: null, sounds: new Map(), plays: null };
  return window[name];
}

export function awake(rate) {
  const shared = hall();
  shared.context ??= new AudioContext({ sampleRate: rate, latencyHint: "interactive" });
  if (shared.context.state !== "running") shared.context.resume();
  return shared.context;
}

// The files in what an engine sent: one for all sounds, or one for each, which says its own bytes.
export function files(told, data) {
  if (!told.some(one => one.file)) return [[told, data]];
  return told.map(one => [[one], data.slice(...one.file)]);
}

// Takes the sounds of one file apart. `data` is what the file holds, `told` where each one lies.
export async function keep(sounds, told, data, rate) {
  const decoder = new OfflineAudioContext(1, 1, rate);
  const whole = (await decoder.decodeAudioData(data)).getChannelData(0);
  for (const one of told) {
    const buffer = new AudioBuffer({ length: Math.max(1, one.frames), sampleRate: rate });
    buffer.copyToChannel(whole.subarray(one.at, one.at + one.frames), 0);
    sounds.set(one.name, { ...one, buffer });
  }
}

export class Band {
  constructor(context, told, sounds) {
    Object.assign(this, { context, told, sounds });
    this.out = context.createGain();
    this.ceiling(this.out).connect(context.destination);
    this.room = this.echo();
    this.parts = told.parts.map((_, number) => this.part(told.sent[number]));
    this.clicks = this.part(told.sent[told.sent.length - 1]); // the count-in is heard without drums too
    this.places = new Map();
  }

  // Turns down what rises above the peak. The browser's compressor makes up for what it would take
  // away at full scale; that is given back. What a first moment lets through is cut at 1 dB below.
  ceiling(from) {
    const peak = 20 * Math.log10(this.told.peak);
    const limit = this.context.createDynamicsCompressor();
    const settings = { threshold: peak, knee: 0, ratio: 20, attack: 0.001, release: 0.08 };
    for (const [name, value] of Object.entries(settings)) limit[name].value = value;
    const back = this.context.createGain();
    back.gain.value = 10 ** ((0.6 * peak * (1 - 1 / settings.ratio)) / 20);
    const cut = this.context.createWaveShaper();
    const most = 10 ** (-1 / 20);
    cut.curve = Float32Array.from({ length: 2049 }, (_, at) =>
      Math.max(-most, Math.min(most, (at - 1024) / 1024)));
    from.connect(limit).connect(back).connect(cut);
    return cut;
  }

  echo() {
    const sides = this.told.room.map(name => this.sounds.get(name));
    const echo = this.context.createConvolver();
    echo.normalize = false;
    if (sides.every(Boolean)) {
      const answer = this.context.createBuffer(2, sides[0].frames, this.told.rate);
      sides.forEach((side, channel) => {
        const wave = side.buffer.getChannelData(0).map(value => value * side.scale);
        answer.copyToChannel(wave, channel);
      });
      echo.buffer = answer;
    }
    echo.connect(this.out);
    return echo;
  }

  // A part is heard directly, and through the room, which hears both sides together.
  part(sent) {
    const level = this.context.createGain();
    Object.assign(level, { channelCount: 2, channelCountMode: "explicit" });
    const send = this.context.createGain();
    Object.assign(send, { channelCount: 1, channelCountMode: "explicit" });
    send.gain.value = 2 * sent; // two channels become one by their mean
    level.connect(this.out);
    level.connect(send).connect(this.room);
    return level;
  }

  // Sets how loud each part is, from 0 to 1.
  balance(levels, at = this.context.currentTime) {
    levels.forEach((level, number) => {
      const { gain } = this.parts[number];
      if (at <= 0) gain.value = level;
      else gain.setTargetAtTime(level, at, TURN / 3);
    });
  }

  place(part, where) {
    const name = `${part} ${where}`;
    if (!this.places.has(name)) {
      const panner = this.context.createStereoPanner();
      panner.pan.value = Math.max(-1, Math.min(1, where));
      panner.connect(part < 0 ? this.clicks : this.parts[part]);
      this.places.set(name, panner);
    }
    return this.places.get(name);
  }

  // Starts a note; what comes back can be let go at another moment, or silenced.
  strike(note) {
    const names = note.row[1].map(at => this.sounds.get(note.take.names[at]));
    const voices = names.filter(Boolean).map(sound => this.voice(sound, note));
    return { ...note, voices };
  }

  voice(sound, note) {
    const { rate } = this.told;
    const source = this.context.createBufferSource();
    source.buffer = sound.buffer;
    if (sound.loop) {
      source.loop = true;
      [source.loopStart, source.loopEnd] = sound.loop.map(frame => frame / rate);
    }
    const level = this.context.createGain();
    level.gain.value = sound.scale * note.level;
    source.connect(level).connect(this.place(note.row[COUNTS] ? -1 : note.row[PART], sound.place));
    const exactly = (Math.round((note.begins - DELAY) * rate) - sound.lead) / rate;
    const soonest = this.context.currentTime + (this.context.currentTime > 0 ? LATE : 0);
    if (exactly >= soonest) source.start(exactly);
    else source.start(soonest, Math.min(soonest - exactly, sound.buffer.duration));
    const voice = { source, level, sound, full: level.gain.value };
    this.letGo(voice, note.ends);
    return voice;
  }

  letGo(voice, ends) {
    const { gain } = voice.level;
    const at = Math.max(ends - DELAY, this.context.currentTime);
    const silent = at + Math.max(0.005, voice.sound.release);
    gain.cancelScheduledValues(0);
    gain.setValueAtTime(voice.full, at);
    gain.exponentialRampToValueAtTime(voice.full * SILENT, silent);
    voice.source.stop(silent);
  }

  silence(note) {
    for (const { source, level } of note.voices) {
      source.stop(0);
      source.disconnect();
      level.disconnect();
    }
  }

  // Ends everything, and takes the band off the stage.
  leave() {
    const now = this.context.currentTime;
    this.out.gain.setTargetAtTime(0, now, STOP / 4);
    setTimeout(() => { this.out.disconnect(); this.room.disconnect(); }, 4000 * STOP);
  }
}

// A take that is being played: the timeline asked in time, the band told.
export class Playing {
  constructor(band, timeline) {
    Object.assign(this, { band, timeline, notes: [] });
  }

  begin(time) {
    this.timeline.begin(time);
  }

  // Hands all notes to the band that begin before a moment.
  advance(horizon) {
    const now = this.band.context.currentTime;
    this.notes = this.notes.filter(note => note.ends > now - 1);
    for (const note of this.timeline.due(horizon)) this.notes.push(this.band.strike(note));
  }

  change(time, changes) {
    const later = this.notes.filter(note => note.begins >= time);
    later.forEach(note => this.band.silence(note));
    this.notes = this.notes.filter(note => note.begins < time);
    const { round } = this.timeline.placeAt(time);
    const struck = this.notes.filter(note => note.number === round).map(note => note.row);
    this.timeline.change(time, changes, new Set(struck));
    if (changes.tempo !== undefined) {
      for (const note of this.notes.filter(one => one.ends > time)) {
        note.ends = this.timeline.endOf(note.row, note.take, note.shift, note.begins);
        note.voices.forEach(voice => this.band.letGo(voice, note.ends));
      }
    }
  }

  // The notes that sound at a moment.
  sounding(time) {
    return this.notes.filter(note => note.begins <= time && time < note.ends);
  }
}
