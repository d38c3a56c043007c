// On the page in reserve: what its reader typed on this device and is not handed in yet, and the way back.
// By the beginning of its key: the field that is kept, and whose words say what it is.
const KINDS = { "plan:": ["plan", "one"], "again:": ["written", "look"] };

// Whoever is signed in here reads what is theirs; others of a family, nothing of it.
function readers() {
  try {
    return JSON.parse(localStorage.getItem("here")).members.map(String);
  } catch {
    return [];
  }
}

function written() {
  const found = [];
  const mine = readers();
  for (let place = 0; place < localStorage.length; place += 1) {
    const key = localStorage.key(place);
    const kind = KINDS[key.slice(0, key.indexOf(":") + 1)];
    if (!kind || !mine.includes(key.split(":")[1])) continue;
    const [field, words] = kind;
    try {
      const text = JSON.parse(localStorage.getItem(key))[field];
      if (text) found.push([words, text]);
    } catch {
      // Not one of ours.
    }
  }
  return found;
}

for (const place of document.querySelectorAll("[data-kept-here]")) {
  for (const [words, text] of written()) {
    const line = document.createElement("li");
    const plan = document.createElement("p");
    plan.className = "well moves";
    plan.textContent = text;
    line.append(place.dataset[words], plan);
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
