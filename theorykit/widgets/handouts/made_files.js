// Links to files that were made. The kernel sends a file when it is asked for; the browser saves it, or shows a
// page as a page of its own. So it needs neither JupyterLab's viewers nor a folder that JupyterLab can see.

const KEPT = 60000; // milliseconds that a browser has to save a file
const LOOK =
  "border:0;padding:1px 0;margin:0 10px 0 0;background:none;font:inherit;text-align:left;cursor:pointer;" +
  "text-decoration:underline;color:var(--jp-content-link-color,#0366d6)";

const make = (name, settings = {}) => Object.assign(document.createElement(name), settings);

class Links {
  constructor(model, el) {
    Object.assign(this, { model, el, waits: new Map(), mark: Math.random(), asked: 0 });
    this.show = this.show.bind(this);
    this.came = this.came.bind(this);
    this.said = make("div");
    this.said.setAttribute("role", "status");
    model.on("change:files", this.show);
    model.on("msg:custom", this.came);
    this.show();
  }

  leave() {
    this.model.off("change:files", this.show);
    this.model.off("msg:custom", this.came);
  }

  show() {
    this.said.textContent = "";
    const rows = this.model.get("files").map((told, place) => this.row(told, place));
    if (!rows.length) return this.el.replaceChildren();
    const most = this.model.get("most");
    const parts = [make("p", { textContent: this.model.get("says"), style: "margin:0" }), this.list(rows.slice(0, most))];
    if (rows.length > most) {
      const fold = make("details");
      fold.append(make("summary", { textContent: `and ${rows.length - most} more` }), this.list(rows.slice(most)));
      parts.push(fold);
    }
    this.el.replaceChildren(...parts, this.said);
  }

  list(rows) {
    const list = make("ul", { style: "margin:0" });
    list.append(...rows);
    return list;
  }

  row([name, size, isPage], place) {
    const row = make("li");
    if (isPage) row.append(this.link(name, `open ${name}`, place, true), this.link("save it", `save ${name}`, place, false));
    else row.append(this.link(name, `save ${name}`, place, false));
    row.append(make("small", { textContent: size }));
    return row;
  }

  link(text, named, place, isPage) {
    const link = make("button", { type: "button", textContent: text, title: named, style: LOOK });
    link.setAttribute("aria-label", named);
    link.onclick = () => this.ask(place, isPage);
    return link;
  }

  // A window that is opened later than the press would be held back.
  ask(place, isPage) {
    const number = `${this.mark} ${this.asked += 1}`;
    this.waits.set(number, isPage ? open("", "_blank") : null);
    this.said.textContent = "The file is on its way.";
    this.model.send({ file: place, number });
  }

  came({ number, name, type, problem = "" }, files) {
    if (!this.waits.has(number)) return;
    const shown = this.waits.get(number);
    this.waits.delete(number);
    this.said.textContent = problem;
    if (problem) return shown?.close();
    const address = URL.createObjectURL(new Blob([files[0]], { type }));
    if (shown) return shown.location.replace(address); // kept: the page may be loaded again
    make("a", { href: address, download: name }).click();
    setTimeout(() => URL.revokeObjectURL(address), KEPT);
  }
}

export default {
  render({ model, el }) {
    const links = new Links(model, el);
    return () => links.leave();
  },
};
