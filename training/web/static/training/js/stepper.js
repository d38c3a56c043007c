// Steps the cube without asking the server again. Without this file the same links do it.
// The names of the style sheet's classes; what is read aloud comes with the page.
const CLASSES = { w: "white", y: "yellow", g: "green", b: "blue", r: "red", o: "orange" };
const WOVEN = new Set(["y", "g", "b", "r", "o"]);
const EACH = 1100; // milliseconds between two moves while it plays

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

function showNet(stepper, code) {
  const net = stepper.querySelector("[data-net]");
  if (!net || !code) return;
  paint(net, code);
  net.dataset.net = code;
  net.querySelector("desc").textContent = describe(code, JSON.parse(net.dataset.spoken));
}

// A move as it is read aloud.
function heard(move, words) {
  if (!move) return "";
  const letter = move.slice(0, -1);
  if (move.endsWith("'")) return words.prime.replace("{letter}", letter);
  return move.endsWith("2") ? words.twice.replace("{letter}", letter) : move;
}

class Stepper {
  constructor(element) {
    this.element = element;
    this.drawn = element.querySelector("[data-drawn]");
    this.words = JSON.parse(this.drawn?.dataset.script || "null");
    this.way = element.dataset.atWay;
    this.step = Number(element.dataset.atStep);
    this.play = element.querySelector("[data-play]");
    this.timer = 0;
    element.addEventListener("click", (event) => this.tapped(event));
    element.addEventListener("keydown", (event) => this.pressed(event));
    if (this.play) this.play.hidden = false;
  }

  track(way = this.way) {
    return this.element.querySelector(`[data-way="${way}"][data-frames]`);
  }

  links(way = this.way) {
    return [...this.track(way).querySelectorAll("[data-step]")];
  }

  last() {
    return this.track().dataset.frames.split(" ").length - 1;
  }

  tapped(event) {
    if (event.ctrlKey || event.metaKey || event.shiftKey) return;
    const link = event.target.closest("[data-step]");
    const steer = event.target.closest("[data-go]");
    if (event.target.closest("[data-play]")) return this.playing(!this.timer);
    if (!link && !steer) return;
    event.preventDefault();
    this.playing(false);
    if (steer) return this.go(this.way, this.step + Number(steer.dataset.go));
    this.go(link.closest("[data-way]").dataset.way, Number(link.dataset.step));
    this.bringIntoSight();
  }

  pressed(event) {
    const by = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    const link = event.target.closest("[data-step]");
    if (!by || !(link || event.target.closest("[data-go], [data-play]"))) return;
    event.preventDefault();
    this.playing(false);
    if (!link) return this.go(this.way, this.step + by);
    const all = [...link.closest("[data-way]").querySelectorAll("[data-step]")];
    const next = all[all.indexOf(link) + by];
    if (!next) return;
    next.focus();
    this.go(next.closest("[data-way]").dataset.way, Number(next.dataset.step));
  }

  // On a phone the pictures may be above what was tapped.
  bringIntoSight() {
    const picture = this.element.querySelector("[data-stepped]");
    const { top, bottom } = picture.getBoundingClientRect();
    if (bottom < 120 || top > innerHeight - 120) picture.scrollIntoView({ block: "start" });
  }

  playing(on) {
    if (!this.play) return;
    clearTimeout(this.timer);
    this.timer = 0;
    const [play, pause] = this.play.children;
    [play.hidden, pause.hidden] = [on, !on];
    if (!on) return;
    if (this.step >= this.last()) this.go(this.way, 0);
    const next = () => {
      this.go(this.way, this.step + 1);
      if (this.step >= this.last()) return this.playing(false);
      this.timer = setTimeout(next, EACH);
    };
    this.timer = setTimeout(next, EACH / 2);
  }

  go(way, step) {
    const track = this.track(way);
    const frames = track.dataset.frames.split(" ");
    if (step < 0 || step >= frames.length) return;
    const moves = track.dataset.moves.split(" ").filter(Boolean);
    const from = way === this.way ? this.step : -1;
    const detail = { frames, moves, colours: track.dataset.colours, step, from, told: [] };
    this.drawn?.dispatchEvent(new CustomEvent("cross:step", { detail }));
    [this.way, this.step] = [way, step];
    showNet(this.element, track.dataset.nets?.split(" ")[step]);
    this.mark(track, moves[step - 1], detail.told);
  }

  mark(track, move, told) {
    const { element, way, step } = this;
    const link = this.links()[step];
    for (const old of element.querySelectorAll("[aria-current]")) old.removeAttribute("aria-current");
    for (const old of element.querySelectorAll(".is-here")) old.classList.remove("is-here");
    for (const old of element.querySelectorAll(".is-told")) old.classList.remove("is-told");
    for (const same of element.querySelectorAll(`[data-way="${way}"] [data-step="${step}"]`)) {
      same.setAttribute("aria-current", "step");
      same.closest("tr")?.classList.add("is-here");
    }
    const tells = [...element.querySelectorAll(`[data-words="${way}"] [data-tells="${step}"]`)];
    for (const line of tells) if (line.matches("li")) line.classList.add("is-told");
    const sentence = element.querySelector("[data-sentence]");
    sentence?.replaceChildren(...tells.flatMap((line) => [...line.cloneNode(true).childNodes, " "]));
    const said = link.dataset.said;
    element.querySelector("p[data-said]").textContent = said;
    const ear = element.querySelector("[data-heard]");
    if (ear) {
      const spoken = move ? said.replace(move, () => heard(move, this.words)) : said;
      ear.textContent = [`${spoken}.`, sentence?.textContent, ...told.map((one) => `${one}.`)].join(" ");
    }
    this.steer();
    history.replaceState(history.state, "", link.getAttribute("href").split("#")[0]);
  }

  steer() {
    const again = this.element.querySelector("[data-again]");
    again?.setAttribute("href", `${again.dataset.again}?way=${this.way}&step=${this.step}`);
    for (const button of this.element.querySelectorAll("[data-go]")) {
      const link = this.links()[this.step + Number(button.dataset.go)];
      if (link) {
        button.setAttribute("href", link.getAttribute("href"));
        button.removeAttribute("aria-disabled");
      } else {
        button.setAttribute("aria-disabled", "true");
      }
    }
  }
}

const found = new WeakSet();
function ready(root) {
  for (const element of root.querySelectorAll?.("[data-stepper]") ?? []) {
    if (found.has(element)) continue;
    found.add(element);
    new Stepper(element);
  }
}

ready(document);
document.addEventListener("htmx:load", (event) => ready(event.target));
