// The front page: all files of the site are kept in the browser, and the page says when they are.

const LOOK = 1000; // milliseconds between two looks
const said = document.getElementById("offline");

async function look() {
  if (await caches.match(new URL(WHOLE, location.href).href)) {
    said.textContent = "It works without a network now. Only what sets pages to print comes when you first make some.";
    said.dataset.whole = "yes";
    return;
  }
  const { active } = await navigator.serviceWorker.ready;
  active.postMessage("all files");
  setTimeout(look, LOOK);
}

if (navigator.serviceWorker) {
  navigator.serviceWorker.register(WORKER);
  look();
}
