// The timeline: when each note of a take sounds, round after round, at any tempo. Nothing here makes
// a sound, and nothing here is rounded: every moment is counted from the last change, so that a loop
// has no gap and ten minutes have no drift.
//
// Beats of the timeline run on from the count-in through all rounds. A round begins at a beat of the
// timeline and at a position, which is a beat of the music.

const SOON = 0.5; // seconds by which a note may lie beside its written place
const PART = 0, SOUNDS = 1, LEVEL = 2, BEGINS = 3, ENDS = 4, WRITTEN = 5, COUNTS = 6, MARK = 7, KEY = 8, TURNED = 9;
const SHORTEST = 0.02; // seconds that a note sounds at least

export class Timeline {
  // `cycle` are the takes that are played by turns, a round each; they are equally long.
  constructor(cycle, { tempo, start = 0, from = 0, to = Infinity, loops = false, rests = false, pace }) {
    Object.assign(this, { cycle, tempo, loops, rests, pace });
    this.number = 0; // of the round that the plan begins with
    this.plan(start, from, to);
    this.counted = this.count > 0;
    this.first = this.count;
    this.since = -Infinity;
    this.struck = new Set();
    this.anchors = [];
    this.forget();
  }

  get take() { return this.cycle[0]; }
  get count() { return this.take.count; }
  get length() { return this.take.beats - this.count; }

  plan(start, from, to) {
    this.to = Math.min(to, this.length);
    this.from = from < this.to ? from : 0;
    this.start = start >= this.from && start < this.to ? start : this.from;
  }

  begin(time) {
    this.anchors = [{ time, beat: 0, tempo: this.tempo }];
  }

  // What was decided of rounds to come is decided anew.
  forget() {
    this.round = 0;
    this.cursors = new Map();
  }

  takeOf(round) {
    return this.cycle[(this.number + round) % this.cycle.length];
  }

  // The beat of the timeline at which a round begins, and the position at which it does.
  beginning(round) {
    if (round === 0) return [this.first, this.start];
    const whole = this.to - this.from;
    return [this.first + this.to - this.start + (round - 1) * whole, this.from];
  }

  timeOf(beat, milliseconds = 0) {
    const last = this.anchors[this.anchors.length - 1];
    return last.time + ((beat - last.beat) * 60) / last.tempo + milliseconds / 1000;
  }

  beatAt(time) {
    const past = this.anchors.filter(one => one.time <= time);
    const anchor = past.length ? past[past.length - 1] : this.anchors[0];
    return anchor.beat + ((time - anchor.time) * anchor.tempo) / 60;
  }

  // Where the music is at a moment: the round, counted on from the start, and the position in it.
  placeAt(time) {
    const beat = this.beatAt(time);
    if (beat < this.first) return { round: this.number, position: this.start, counts: this.counted };
    const after = beat - this.first - (this.to - this.start);
    if (after < 0 || !this.loops) {
      return { round: this.number, position: Math.min(this.to, this.start + beat - this.first) };
    }
    const whole = this.to - this.from;
    const rounds = Math.floor(after / whole);
    return { round: this.number + 1 + rounds, position: this.from + after - rounds * whole };
  }

  get end() {
    return this.loops ? Infinity : this.timeOf(this.first + this.to - this.start);
  }

  moment(moment, take, shift) {
    const [beats = 0, swings = 0, late = 0, lags = 0] = moment;
    const swing = between(take.swing, this.tempo, this.pace);
    const delay = between(take.late, this.tempo, this.pace);
    return this.timeOf(beats + swings * swing + shift, late + lags * delay);
  }

  // The notes that begin before a moment and were not yet asked for, each with its times.
  due(horizon) {
    const found = [];
    for (let round = this.round; round === 0 || this.loops; round++) {
      const [begins, position] = this.beginning(round);
      if (round > 0 && this.timeOf(begins - this.count) - SOON > horizon) break;
      const take = this.takeOf(round);
      const shift = begins - take.count - position;
      let at = this.cursors.get(round) ?? 0;
      for (; at < take.notes.length; at++) {
        const row = take.notes[at];
        if (this.timeOf(row[WRITTEN] + (row[COUNTS] ? 0 : shift)) - SOON > horizon) break;
        const note = this.noteOf(row, at, take, round, shift, position);
        if (note) found.push(note);
      }
      this.cursors.set(round, at);
      if (at === take.notes.length && round === this.round) {
        this.cursors.delete(round);
        this.round++;
        if (!this.loops) break;
      }
    }
    return found;
  }

  noteOf(row, at, take, round, shift, position) {
    if (row[COUNTS] && (round > 0 || !this.counted)) return null;
    const moved = row[COUNTS] ? 0 : shift;
    const begins = this.moment(row[BEGINS], take, moved);
    const written = row[WRITTEN] - take.count;
    if (begins < this.since || written >= this.to) return null;
    const isPickup = written < 0 && position === 0;
    if (round === 0 && this.since > -Infinity) {
      const least = this.counted ? position : position - 1; // some are late, and begin after all
      if (this.struck.has(row) || (!row[COUNTS] && !isPickup && written < least)) return null;
    } else if (!row[COUNTS] && !isPickup && written < position) return null;
    const number = this.number + round;
    if (this.rests && row[PART] === 0 && number % 2 === 1) return null;
    const ends = this.endOf(row, take, moved, begins);
    return { row, take, shift: moved, begins, ends, number, level: row[LEVEL] * this.turnOf(row, take) };
  }

  // How much a note of the line is turned up, by how long such notes are at this tempo.
  turnOf(row, take) {
    const gains = take.gains[row[TURNED]];
    if (!gains) return 1;
    const [beats, first, last, steps] = this.pace.moments;
    const moment = Math.min(Math.max(beats / this.tempo, first), last);
    return gains[Math.round(((moment - first) / (last - first)) * steps)];
  }

  endOf(row, take, shift, begins) {
    return Math.max(begins + SHORTEST, this.moment(row[ENDS], take, shift));
  }

  // Goes on otherwise from a moment: at another tempo, with another take, around other bars. What
  // has been struck before the moment is not struck again.
  change(time, changes, struck) {
    const beat = this.beatAt(time);
    const place = this.placeAt(time);
    const { tempo = this.tempo, cycle, loops = this.loops, rests = this.rests } = changes;
    const { from = this.from, to = this.to } = changes;
    if (beat >= this.first) {
      this.number = place.round;
      this.first = beat;
      this.counted = false;
    }
    Object.assign(this, { tempo, loops, rests, cycle: cycle ?? this.cycle });
    this.plan(place.position, from, to);
    this.anchors = [...this.anchors.filter(one => one.time < time), { time, beat, tempo }].slice(-4);
    this.since = time;
    this.struck = cycle ? new Set() : struck;
    this.forget();
  }
}

export function between(rows, tempo, { slowest, step }) {
  const at = Math.max(0, Math.min(rows.length - 1, (tempo - slowest) / step));
  const low = Math.floor(at);
  const high = Math.min(rows.length - 1, low + 1);
  return rows[low] + (rows[high] - rows[low]) * (at - low);
}
