// Before this site's worker is there, what Python needs is fetched while the application begins.
// Later it lies in the browser.
if (!navigator.serviceWorker?.controller)
  for (const name of EARLY)
    document.head.append(Object.assign(document.createElement("link"), { rel: "prefetch", href: `../${name}` }));
