// What may wait until the page can be used: on a slow line it would come between its styles and
// its own scripts.
const { worker, asks } = document.getElementById("drafts").dataset;

const then = () => {
  // The script by which a page asks again, where this one does.
  if (document.querySelector("[hx-get], [hx-post]")) {
    const script = document.createElement("script");
    script.src = asks;
    document.head.append(script);
  }
  // A page in reserve for when there is no line. Only over https, or on this very machine:
  // browsers keep nothing of a page that anybody on the way could have changed.
  navigator.serviceWorker?.register(worker).catch(() => {
    // Private windows refuse. All else works without.
  });
};

if (document.readyState === "complete") then();
else addEventListener("load", then, { once: true });
