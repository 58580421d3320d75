// Takes on their way to Python. Where none answers, a take is made a file in the page, and is not lost.

const ANSWER = 5; // seconds in which Python says that it is there, or that a take has come
const AWAY = "Python does not answer: it was restarted, or is busy with another cell. Run this cell again, or wait until it is idle";
const NO_ANSWER = `${AWAY}; then record.`;
const NOT_SENT = `${AWAY}. Your take is still in this page: keep it as a file, which can be opened there.`;

// Python behind the page. `say` is told what is amiss, and `show` is called when something changed.
class Python {
  constructor(model, say, show) {
    // No take of a page has the number of another.
    Object.assign(this, { model, say, show, number: Date.now() % 1e9, awaited: 0, left: null, missed: false, answers: null });
  }

  next() {
    return ++this.number;
  }

  // Sends a message, and tells whether that was possible.
  ask(message, buffers) {
    try {
      this.model.send(message, undefined, buffers);
      return true;
    } catch { // the way to it was closed
      this.say(`${AWAY}.`);
      return false;
    }
  }

  // Whether it answers: what it is asked for is a word.
  async isThere() {
    const word = this.next();
    if (!this.ask({ there: word })) return false;
    const found = await new Promise(done => {
      this.answers = { word, done };
      this.show();
      setTimeout(() => done(false), 1000 * ANSWER);
    });
    this.answers = null;
    return found;
  }

  answered(word) {
    if (this.answers?.word === word) this.answers.done(true);
  }

  // A take stays in the page, as a file, until Python says that it has come.
  send(take, file, messages) {
    Object.assign(this, { awaited: take, left: file });
    const sent = messages.every(([message, buffers]) => this.ask(message, buffers));
    this.leave();
    this.patience = setTimeout(() => this.miss(), sent ? 1000 * ANSWER : 0);
  }

  arrived() {
    if (this.model.get("got") !== this.awaited) return;
    this.leave();
    if (this.missed) this.say("");
    Object.assign(this, { left: null, missed: false });
    this.show();
  }

  miss() {
    this.missed = true;
    this.say(this.left ? NOT_SENT : NO_ANSWER);
    this.show();
  }

  leave() {
    clearTimeout(this.patience);
  }
}

// === Files ===

function bytesOf(text) {
  return [...text].map(letter => letter.charCodeAt(0));
}

function number(value, size, isBig) {
  const bytes = Array.from({ length: size }, (_, place) => (value >>> (8 * place)) & 255);
  return isBig ? bytes.reverse() : bytes;
}

// Sound of 16 bits in one channel. Source: Multimedia Programming Interface and Data Specifications 1.0
// (IBM and Microsoft, 1991).
function waveFile(wave, rate) {
  const size = 2 * wave.length;
  const head = [...bytesOf("RIFF"), ...number(36 + size, 4), ...bytesOf("WAVEfmt "), ...number(16, 4), ...number(1, 2),
    ...number(1, 2), ...number(rate, 4), ...number(2 * rate, 4), ...number(2, 2), ...number(16, 2),
    ...bytesOf("data"), ...number(size, 4)];
  return { data: [new Uint8Array(head), wave], name: "take.wav", type: "audio/wav" };
}

// Messages of a keyboard, each with its second: 120 beats a minute, 480 ticks a beat. Source: Standard MIDI
// Files 1.0 (MIDI Manufacturers Association, 1988).
function keysFile(messages) {
  const track = [];
  let before = 0;
  for (const [second, ...message] of messages) {
    const tick = Math.max(before, Math.round(960 * second));
    track.push(...ticks(tick - before), ...message);
    before = tick;
  }
  track.push(0, 0xff, 0x2f, 0);
  const head = [...bytesOf("MThd"), ...number(6, 4, true), ...number(0, 2, true), ...number(1, 2, true), ...number(480, 2, true)];
  const all = [...head, ...bytesOf("MTrk"), ...number(track.length, 4, true), ...track];
  return { data: [new Uint8Array(all)], name: "take.mid", type: "audio/midi" };
}

// A number of ticks, seven bits a byte.
function ticks(value) {
  const bytes = [value & 127];
  for (let rest = value >>> 7; rest; rest >>>= 7) bytes.unshift((rest & 127) | 128);
  return bytes;
}

function download({ data, name, type }) {
  const address = URL.createObjectURL(new Blob(data, { type }));
  make("a", "", { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 10000);
}
