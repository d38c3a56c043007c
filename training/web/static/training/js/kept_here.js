// On the page in reserve: what was typed on this device and is not handed in yet, and the way back.
const PREFIX = "plan:";

function written() {
  const found = [];
  for (let place = 0; place < localStorage.length; place += 1) {
    const key = localStorage.key(place);
    if (!key.startsWith(PREFIX)) continue;
    try {
      const { plan: text } = JSON.parse(localStorage.getItem(key));
      if (text) found.push(text);
    } catch {
      // Not one of ours.
    }
  }
  return found;
}

for (const place of document.querySelectorAll("[data-kept-here]")) {
  for (const text of written()) {
    const line = document.createElement("li");
    const plan = document.createElement("p");
    plan.className = "well moves";
    plan.textContent = text;
    line.append(place.dataset.one, plan);
    place.querySelector("ul").append(line);
    place.hidden = false;
  }
}
for (const link of document.querySelectorAll("[data-again]")) {
  link.addEventListener("click", (event) => {
    event.preventDefault();
    location.reload();
  });
}
addEventListener("online", () => location.reload());
// The line may be back before this page listened, or never have been gone: the site itself was.
const { site } = document.querySelector("[data-site]").dataset;
setInterval(async () => {
  if (location.pathname === site) return; // Asked for by its own address: there is nothing behind it.
  try {
    await fetch(site, { cache: "no-store" });
    location.reload();
  } catch {
    // Still gone.
  }
}, 5000);
