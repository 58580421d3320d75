// The reader's own files: phrases, journal, settings, drafts. Python keeps them in memory; here they
// are brought from the browser's storage before it starts, and taken there when they change. Another
// kernel of the same browser is told what changed, so that none writes over the work of another.

const STORE = "files", NAME = "theorykit own files";
const TICK = 300; // milliseconds between two looks at the folder
const PASSING = /(-journal|-wal|-shm|\.turn|\.new)$/; // what SQLite and a save leave for a moment

export class OwnFiles {
  constructor(FS, folder) {
    Object.assign(this, { FS, folder, seen: new Map(), channel: new BroadcastChannel(NAME) });
    this.channel.onmessage = event => this.receive(event.data);
  }

  async begin() {
    this.book = await opened();
    this.FS.mkdirTree(this.folder);
    const [names, files] = await Promise.all([all(this.book, "getAllKeys"), all(this.book, "getAll")]);
    names.forEach((name, number) => this.write(name, files[number]));
    setInterval(() => this.look(), TICK);
  }

  path(name) { return `${this.folder}/${name}`; }

  write(name, data) {
    const path = this.path(name);
    this.FS.mkdirTree(path.slice(0, path.lastIndexOf("/")));
    this.FS.writeFile(path, data);
    this.seen.set(name, this.mark(path));
  }

  mark(path) {
    const { mtime, size } = this.FS.stat(path);
    return `${+mtime} ${size}`;
  }

  *names(folder = "") {
    for (const name of this.FS.readdir(this.path(folder))) {
      if (name === "." || name === ".." || PASSING.test(name)) continue;
      const inner = folder ? `${folder}/${name}` : name;
      if (this.FS.isDir(this.FS.stat(this.path(inner)).mode)) yield* this.names(inner);
      else yield inner;
    }
  }

  // Between two answers of the kernel nothing is half written: it has one thread.
  look() {
    const there = new Set(this.names());
    const changes = {};
    for (const name of there) {
      const mark = this.mark(this.path(name));
      if (this.seen.get(name) === mark) continue;
      this.seen.set(name, mark);
      changes[name] = this.FS.readFile(this.path(name));
    }
    for (const name of [...this.seen.keys()].filter(one => !there.has(one))) {
      this.seen.delete(name);
      changes[name] = null;
    }
    if (Object.keys(changes).length) this.take(changes);
  }

  take(changes) {
    const store = this.book.transaction(STORE, "readwrite", { durability: "strict" }).objectStore(STORE);
    for (const [name, data] of Object.entries(changes))
      data ? store.put(data, name) : store.delete(name);
    this.channel.postMessage(changes);
  }

  receive(changes) {
    for (const [name, data] of Object.entries(changes)) {
      if (data) this.write(name, data);
      else if (this.seen.delete(name)) this.FS.unlink(this.path(name));
    }
  }
}

function opened() {
  return asked(Object.assign(indexedDB.open(NAME, 1), {
    onupgradeneeded: event => event.target.result.createObjectStore(STORE),
  }));
}

function all(book, what) {
  return asked(book.transaction(STORE).objectStore(STORE)[what]());
}

function asked(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}
