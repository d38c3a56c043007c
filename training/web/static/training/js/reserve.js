// Asks the browser to keep a page in reserve for when there is no line. Only over https, or on
// this very machine: browsers keep nothing of a page that anybody on the way could have changed.
const worker = document.querySelector("script[data-worker]").dataset.worker;
navigator.serviceWorker?.register(worker).catch(() => {
  // Private windows refuse. All else works without.
});
