// The supply: which sounds are missing and when each is needed, what is asked for, and whether the
// music can begin before all of them are there.

const SPARE = 3; // times as long as a sound takes to be made, which is what it is given
const QUICKEST = 0.03; // seconds that a sound is thought to take at least
const WAY = 0.15; // seconds from a sound that is made to one that can be struck

export class Supply {
  constructor(control) {
    Object.assign(this, { control, hears: false });
  }

  // The names of what is missing, each with the seconds in which it is needed; the first one first.
  get missing() {
    const { model } = this.control;
    const needed = new Map(model.get("band").room.map(name => [name, 0]));
    const lacks = (name, seconds) => {
      if (!(needed.get(name) <= seconds)) needed.set(name, seconds);
    };
    for (const due of this.due) {
      for (const row of due.take.notes) {
        const seconds = this.secondsTo(row, due);
        row[SOUNDS].forEach(at => lacks(due.take.names[at], seconds));
      }
    }
    model.get("takes").forEach(take => take.names.forEach(name => lacks(name, Infinity)));
    const { sounds } = hall();
    return [...needed].filter(([name]) => !sounds.has(name)).sort((one, other) => one[1] - other[1]);
  }

  // The takes that are played next: from which position on, and how many beats from now that is.
  get due() {
    const { playing, cycle, length, position, wishes } = this.control;
    const { from } = wishes;
    const whole = Math.min(wishes.to, length) - from;
    const round = (takes, number, place, counts) => takes.map((_, at) => ({
      take: takes[(number + at) % takes.length], place: at ? from : place, whole, counts: counts && !at,
      wait: (counts ? takes[0].count : 0) + (at ? at * whole - (place - from) : 0),
    }));
    if (!playing) return round(cycle, 0, Math.max(from, position), true);
    const now = playing.timeline.placeAt(playing.band.context.currentTime);
    const takes = playing.timeline.cycle;
    return [...round(takes, now.round, now.position, now.counts), ...round(cycle, now.round, now.position, false)];
  }

  // What comes before the place is needed when it comes round again.
  secondsTo(row, { take, place, whole, counts, wait }) {
    const beat = 60 / this.control.tempo;
    if (row[COUNTS]) return counts ? row[WRITTEN] * beat : Infinity;
    const beats = row[WRITTEN] - take.count - place;
    return (wait + beats + (beats < 0 && place > 0 ? whole : 0)) * beat;
  }

  // Asks for what is missing; tells whether there is anything.
  ask() {
    const names = this.missing.map(([name]) => name);
    this.tell(names.length);
    if (!names.length) return false;
    const ogg = document.createElement("audio").canPlayType('audio/ogg; codecs="vorbis"');
    this.hears = false;
    this.control.model.send({ ask: names, form: ogg ? "ogg" : "flac" });
    return true;
  }

  async take({ sounds, pace = 0 }, buffers) {
    const files = buffers.map((data, at) => wholeFile(sounds[at], data)); // none where the page has them
    if (files.includes(null)) return this.askAnew();
    await Promise.all(files.map((file, at) => keep(hall().sounds, [sounds[at]], file, this.control.rate)));
    hall().pace = Math.max(QUICKEST, 0.7 * (hall().pace ?? 0), pace);
    this.hears = true;
    this.tell(this.missing.length);
  }

  // The room of this page came from somebody whose files have another head.
  askAnew() {
    this.control.model.get("band").room.forEach(name => hall().sounds.delete(name));
    this.ask();
  }

  tell(count) {
    this.control.el.dataset.lacks = count;
  }

  // Whether the music can begin, or go on with it, and never waits: what is missing is on its way,
  // and each sound will be there before it is needed.
  get suffices() {
    const { pace = QUICKEST } = hall();
    const { missing, hears } = this;
    return missing.every(([, seconds], at) => hears && seconds > WAY + SPARE * pace * (at + 1));
  }
}

// All files are coded alike: their head comes once, with the room. Null where it has not come.
function wholeFile({ head, whole }, data) {
  const own = new Uint8Array(data.buffer, data.byteOffset, data.byteLength);
  const heads = (hall().heads ??= new Map());
  if (whole) heads.set(head, own.slice(0, whole));
  if (whole || !head) return own.slice().buffer;
  if (!heads.has(head)) return null;
  const file = new Uint8Array(heads.get(head).length + own.length);
  file.set(heads.get(head));
  file.set(own, heads.get(head).length);
  return file.buffer;
}
