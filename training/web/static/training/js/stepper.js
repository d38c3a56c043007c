// Steps the cube without asking the server again. Without this file the same links do it.
// The names of the style sheet's classes; what is read aloud comes with the page.
const CLASSES = { w: "white", y: "yellow", g: "green", b: "blue", r: "red", o: "orange" };
const WOVEN = new Set(["y", "g", "b", "r", "o"]);

function paint(net, code) {
  net.querySelectorAll("g").forEach((sticker, index) => {
    const letter = code[index];
    const name = CLASSES[letter];
    const [square, weave, disc, text] = sticker.children;
    square.setAttribute("class", `sticker sticker-${name}`);
    weave.setAttribute("fill", WOVEN.has(letter) ? `url(#weave-${name})` : "none");
    disc.setAttribute("class", `sticker-${name}`);
    text.setAttribute("class", `letter-${name}`);
    text.textContent = letter;
  });
}

// The net is laid out face by face, in the order in which the page names the faces.
function describe(code, spoken) {
  const rowOf = (start) => [...code.slice(start, start + 3)].map((letter) => spoken.colours[letter]).join(" ");
  const faces = spoken.faces.map((face, f) => {
    const rows = [0, 3, 6].map((r) => rowOf(9 * f + r));
    return `${face}: ${rows.join("; ")}`;
  });
  return `${faces.join(". ")}.`;
}

function go(stepper, link) {
  const way = link.closest("[data-way]");
  const step = Number(link.dataset.step);
  const code = way.dataset.nets.split(" ")[step];
  const net = stepper.querySelector("[data-net]");
  paint(net, code);
  net.dataset.net = code;
  net.querySelector("desc").textContent = describe(code, JSON.parse(net.dataset.spoken));
  stepper.querySelector("[data-said]:not([data-step])").textContent = link.dataset.said;
  for (const old of stepper.querySelectorAll("[aria-current]")) old.removeAttribute("aria-current");
  for (const old of stepper.querySelectorAll(".is-here")) old.classList.remove("is-here");
  for (const same of stepper.querySelectorAll(`[data-way="${way.dataset.way}"] [data-step="${step}"]`)) {
    same.setAttribute("aria-current", "step");
    same.closest("tr")?.classList.add("is-here");
  }
  history.replaceState(history.state, "", link.getAttribute("href").split("#")[0]);
}

function ready(stepper) {
  stepper.addEventListener("click", (event) => {
    const link = event.target.closest("[data-step]");
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    go(stepper, link);
  });
  stepper.addEventListener("keydown", (event) => {
    const link = event.target.closest("[data-step]");
    const by = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (!link || !by) return;
    const all = [...link.closest("[data-way]").querySelectorAll("[data-step]")];
    const next = all[all.indexOf(link) + by];
    event.preventDefault();
    if (!next) return;
    next.focus();
    go(stepper, next);
  });
}

document.querySelectorAll("[data-stepper]").forEach(ready);
document.addEventListener("htmx:load", (event) => {
  event.target.querySelectorAll?.("[data-stepper]").forEach(ready);
});
