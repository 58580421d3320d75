// The front page: all files of the site are kept in the browser, and the page says when they are.

const LOOK = 1000; // milliseconds between two looks
const said = document.getElementById("offline");

async function look() {
  if (await caches.match(new URL(WHOLE, location.href).href)) {
    said.textContent = "All of it is in this browser now: it works without a network.";
    said.dataset.whole = "yes";
  } else setTimeout(look, LOOK);
}

if (navigator.serviceWorker) {
  navigator.serviceWorker.register(WORKER);
  look();
}
