// Mixing: the sounds of notes to two channels, as the synthesizer of the workbook mixes them. What
// each note needs was reckoned before; here it is turned up, placed, let go and put in its room.

import { StbVorbis } from "./vorbis.mjs";
import { createMp3Encoder, createOggEncoder } from "./encoders.mjs";

const SILENT = 0.001; // what a note has fallen to when its release is over
const RING_OUT = 0.25; // seconds at the end in which what still rings is faded
const HOP = 0.001, AHEAD = 12; // seconds whose loudest moment is looked at; hops around a peak
const BLOCK = 1 << 16; // frames that the room answers at a time
const CHUNK = 1 << 14; // frames that are encoded at a time
const MOST_WAVES = 160; // sounds that are kept as numbers, those that were used last

const encoders = {};
const waves = new Map();

export async function ready() {
  [encoders.mp3, encoders.ogg] = await Promise.all([
    createMp3Encoder(), createOggEncoder(), StbVorbis.ready,
  ]);
}

// `told` is a row of the index: file, first byte, last byte, frames, scale, place, release, lead,
// loop. `part` gives the bytes of a file.
function waveOf(name, told, part) {
  let wave = waves.get(name);
  if (!wave) {
    const [file, start, end, frames, scale] = told;
    const heard = StbVorbis.decode(part(`sounds/${file}`, start, end)).channels[0];
    wave = new Float32Array(frames);
    wave.set(heard.subarray(0, frames));
    for (let at = 0; at < frames; at++) wave[at] *= scale;
  }
  waves.delete(name);
  waves.set(name, wave);
  if (waves.size > MOST_WAVES) waves.delete(waves.keys().next().value);
  return wave;
}

// === The mix ===

export class Sound {
  constructor(sides, rate) {
    Object.assign(this, { sides, rate, frames: sides[0].length });
  }

  get peak() {
    return this.sides.reduce((most, side) => side.reduce((top, value) => Math.max(top, Math.abs(value)), most), 0);
  }
}

export function mix(wishes, part) {
  const { notes, frames, lead, loop, rate, peak, room, sounds } = wishes;
  const sides = [new Float32Array(frames), new Float32Array(frames)];
  const sent = new Float32Array(frames);
  for (const [name, start, held, level, share] of notes)
    strike(sides, sent, waveOf(name, sounds[name], part), sounds[name], { start, held, level, share, rate });
  inRoom(sides, sent, room.map((told, side) => waveOf(`room ${side}`, told, part)));
  fade(sides, Math.round(RING_OUT * rate));
  const kept = loop ? rounded(sides, loop, lead) : sides.map(side => side.subarray(lead));
  limit(kept, rate, peak, Boolean(loop));
  return new Sound(kept, rate);
}

function strike([left, right], sent, wave, told, { start, held, level, share, rate }) {
  const [, , , , , place, release, before, loop] = told;
  const angle = (Math.min(Math.max(place, -1), 1) + 1) * Math.PI / 4;
  const [toLeft, toRight] = [Math.cos(angle) * level, Math.sin(angle) * level];
  const toRoom = share * (toLeft + toRight);
  const falls = Math.max(1, Math.round(release * rate));
  const ease = SILENT ** (1 / falls);
  const [from, to] = loop ?? [0, 0];
  const length = held + falls + before;
  let gain = 1;
  for (let at = 0; at < length; at++) {
    let from_ = at;
    if (loop) from_ = at < to ? at : from + (at - from) % (to - from);
    else if (at >= wave.length) break;
    if (at >= held + before) gain *= ease;
    const frame = start - before + at;
    if (frame < 0) continue;
    if (frame >= left.length) break;
    const value = wave[from_] * gain;
    left[frame] += value * toLeft;
    right[frame] += value * toRight;
    sent[frame] += value * toRoom;
  }
}

function fade(sides, frames) {
  for (const side of sides) {
    const first = side.length - frames;
    for (let at = 0; at < frames; at++) side[first + at] *= Math.cos((at / (frames - 1)) * Math.PI / 2);
  }
}

// What lies before and after a loop is added where it comes round; its first beat lies `lead`
// frames after the first frame.
function rounded(sides, length, lead) {
  return sides.map(side => {
    const whole = new Float32Array(length);
    for (let at = 0; at < side.length; at++) {
      const place = (((at - lead) % length) + length) % length;
      whole[place] += side[at];
    }
    return whole;
  });
}

// Turns down what is above the peak, smoothly and on both sides alike; what loops is a ring.
function limit(sides, rate, peak, loops) {
  const hop = Math.round(HOP * rate);
  const count = Math.ceil(sides[0].length / hop);
  const wanted = new Float32Array(count).fill(1);
  for (const side of sides)
    for (let at = 0; at < side.length; at++) {
      const height = Math.abs(side[at]);
      if (height <= peak) continue;
      const place = Math.floor(at / hop);
      wanted[place] = Math.min(wanted[place], peak / height);
    }
  if (wanted.every(level => level >= 1)) return;
  const around = at => (loops ? ((at % count) + count) % count : Math.min(Math.max(at, 0), count - 1));
  const least = Float32Array.from({ length: count + 2 * AHEAD }, (_, place) => {
    let lowest = 1;
    for (let step = -AHEAD - 1; step <= AHEAD + 1; step++)
      lowest = Math.min(lowest, wanted[around(place - AHEAD + step)]);
    return lowest;
  });
  const smooth = Float32Array.from({ length: count }, (_, place) => {
    let sum = 0;
    for (let step = 0; step <= 2 * AHEAD; step++) sum += least[place + step];
    return sum / (2 * AHEAD + 1);
  });
  for (const side of sides)
    for (let at = 0; at < side.length; at++) {
      const exact = at / hop - 0.5;
      const low = Math.floor(exact);
      const share = exact - low;
      side[at] *= smooth[around(low)] * (1 - share) + smooth[around(low + 1)] * share;
    }
}

// === The room ===

function inRoom(sides, sent, answers) {
  const taps = answers[0].length;
  const step = BLOCK - taps + 1;
  const heard = answers.map(answer => spectrum(answer, 0, taps));
  for (let start = 0; start < sent.length; start += step) {
    const some = spectrum(sent, start, step);
    sides.forEach((side, number) => {
      const [real, imaginary] = times(some, heard[number]);
      transform(imaginary, real); // turned round, it goes back
      const end = Math.min(BLOCK, side.length - start);
      for (let at = 0; at < end; at++) side[start + at] += real[at] / BLOCK;
    });
  }
}

function spectrum(wave, start, count) {
  const real = new Float64Array(BLOCK), imaginary = new Float64Array(BLOCK);
  real.set(wave.subarray(start, Math.min(start + count, wave.length)));
  transform(real, imaginary);
  return [real, imaginary];
}

function times([a, b], [c, d]) {
  const real = new Float64Array(BLOCK), imaginary = new Float64Array(BLOCK);
  for (let at = 0; at < BLOCK; at++) {
    real[at] = a[at] * c[at] - b[at] * d[at];
    imaginary[at] = a[at] * d[at] + b[at] * c[at];
  }
  return [real, imaginary];
}

const COS = new Float64Array(BLOCK / 2), SIN = new Float64Array(BLOCK / 2);
for (let turn = 0; turn < BLOCK / 2; turn++) {
  COS[turn] = Math.cos(2 * Math.PI * turn / BLOCK);
  SIN[turn] = -Math.sin(2 * Math.PI * turn / BLOCK);
}

// The discrete Fourier transform in place, of BLOCK numbers (Cooley and Tukey, 1965).
function transform(real, imaginary) {
  for (let at = 1, turned = 0; at < BLOCK; at++) {
    let bit = BLOCK >> 1;
    for (; turned & bit; bit >>= 1) turned ^= bit;
    turned ^= bit;
    if (at < turned) {
      [real[at], real[turned]] = [real[turned], real[at]];
      [imaginary[at], imaginary[turned]] = [imaginary[turned], imaginary[at]];
    }
  }
  for (let size = 2; size <= BLOCK; size <<= 1) {
    const half = size >> 1, stride = BLOCK / size;
    for (let start = 0; start < BLOCK; start += size)
      for (let at = 0, turn = 0; at < half; at++, turn += stride) {
        const low = start + at, high = low + half;
        const r = real[high] * COS[turn] - imaginary[high] * SIN[turn];
        const i = real[high] * SIN[turn] + imaginary[high] * COS[turn];
        real[high] = real[low] - r;
        imaginary[high] = imaginary[low] - i;
        real[low] += r;
        imaginary[low] += i;
      }
  }
}

// === Files ===

export function encode(sound, form, quality) {
  if (form === "wav") return wav(sound);
  const encoder = encoders[form];
  encoder.configure({ channels: 2, sampleRate: sound.rate, vbrQuality: quality });
  const pieces = [];
  for (let at = 0; at < sound.frames; at += CHUNK)
    pieces.push(encoder.encode(sound.sides.map(side => side.subarray(at, at + CHUNK))).slice());
  pieces.push(encoder.finalize().slice());
  return joined(pieces);
}

function joined(pieces) {
  const whole = new Uint8Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    whole.set(piece, at);
    at += piece.length;
  }
  return whole;
}

// A WAV file of 16 bits (IBM and Microsoft, Multimedia Programming Interface, 1991).
function wav({ sides, rate, frames }) {
  const size = 4 * frames;
  const view = new DataView(new ArrayBuffer(44 + size));
  const words = { 0: "RIFF", 8: "WAVE", 12: "fmt ", 36: "data" };
  for (const [at, word] of Object.entries(words))
    [...word].forEach((letter, place) => view.setUint8(+at + place, letter.charCodeAt(0)));
  const longs = { 4: 36 + size, 16: 16, 24: rate, 28: 4 * rate, 40: size };
  for (const [at, value] of Object.entries(longs)) view.setUint32(+at, value, true);
  const shorts = { 20: 1, 22: 2, 32: 4, 34: 16 };
  for (const [at, value] of Object.entries(shorts)) view.setUint16(+at, value, true);
  for (let at = 0; at < frames; at++)
    sides.forEach((side, number) => {
      const value = Math.max(-1, Math.min(1, side[at]));
      view.setInt16(44 + 4 * at + 2 * number, Math.round(value * 32767), true);
    });
  return new Uint8Array(view.buffer);
}
