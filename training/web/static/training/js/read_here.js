// A plan is read back before it goes in. Without a line the device does it, as far as it can: the usual spelling, and
// how the cube is held at the first move and at the end. Whatever is spelled otherwise, the site reads later.
const CYCLES = { x: "UBDF", y: "FLBR", z: "URDL" }; // x brings what is up to the back, and so on
const HOLD_TURNS = {
  x: ["x", 1], Rw: ["x", 1], Lw: ["x", 3], M: ["x", 3],
  y: ["y", 1], Uw: ["y", 1], Dw: ["y", 3], E: ["y", 3],
  z: ["z", 1], Fw: ["z", 1], Bw: ["z", 3], S: ["z", 1],
};
const AS_SCRAMBLED = { U: "white", R: "red", F: "green", D: "yellow", L: "orange", B: "blue" };
const MOVE = /\s*([URFDLB]w?|[MESxyz])(2|['’])?(?![0-9w'’‘′ʼ`´])/y;
const STRICT = /\s*([URFDLB]w?|[xyz])(2|')?(?=\s|$)/y;
const MOST = 80; // WCA E2d1

function moved(hold, axis, quarters) {
  let now = hold;
  for (let quarter = 0; quarter < quarters; quarter += 1) {
    const was = now;
    now = { ...was };
    [...CYCLES[axis]].forEach((face, at, cycle) => { now[cycle[(at + 1) % 4]] = was[face]; });
  }
  return now;
}

function after(hold, move) {
  const turns = HOLD_TURNS[move.family];
  return turns ? moved(hold, turns[0], (turns[1] * move.quarters) % 4) : hold;
}

// The hold with these colours on top and in front; undefined where no cube can be held so.
function holdWith(top, front) {
  for (let x = 0; x < 4; x += 1) {
    for (let z = 0; z < 4; z += 1) {
      for (let y = 0; y < 4; y += 1) {
        const hold = moved(moved(moved(AS_SCRAMBLED, "x", x), "z", z), "y", y);
        if (hold.U === top && hold.F === front) return hold;
      }
    }
  }
  return undefined;
}

// The moves of a text; null where the device cannot tell.
function movesOf(text, strict) {
  const found = [];
  const one = strict ? STRICT : MOVE;
  const whole = text.trimEnd();
  one.lastIndex = 0;
  while (one.lastIndex < whole.length) {
    const move = one.exec(whole);
    if (!move) return null;
    const [, family, mark = ""] = move;
    const quarters = mark === "2" ? 2 : mark ? 3 : 1;
    found.push({ family, quarters, text: family + ["", "", "2", "'"][quarters] });
  }
  return found.length > MOST ? null : found;
}

function costs(move) {
  if ("xyz".includes(move.family)) return 0;
  return "MES".includes(move.family) ? 2 : 1;
}

function spelled(moves) {
  return moves.map((move) => move.text).join(" ");
}

// What is read of a plan: moves, pair, and both holds; null where the device cannot tell.
function readBack(draft, told, strict) {
  const moves = movesOf(draft.plan || "", strict);
  const pair = movesOf(draft.pair_ahead || "", strict);
  const held = draft.top ? `${draft.top} ${draft.front}` : "";
  const begun = holdWith(...(held || told).split(" "));
  if (!moves || !pair || !begun) return null;
  const first = moves.findIndex((move) => costs(move));
  const rotations = first < 0 ? moves : moves.slice(0, first);
  return {
    canonical: spelled(moves),
    pair: spelled(pair),
    number: moves.reduce((sum, move) => sum + costs(move), 0),
    // Told beside the plan, the hold needs no rotation.
    after: held && held !== told ? "" : spelled(rotations),
    first: rotations.reduce(after, begun),
    last: moves.reduce(after, begun),
  };
}

function filled(text, values) {
  return Object.entries(values).reduce((said, [name, value]) => said.replace(`{${name}}`, value), text);
}

function show(here, title, moves, sentences) {
  here.querySelector("[data-title]").textContent = title;
  const line = here.querySelector("[data-moves-read]");
  line.textContent = moves;
  line.hidden = !moves;
  here.querySelector("[data-said]").textContent = sentences.join(" ");
}

function held(here, hold) {
  const colours = JSON.parse(here.dataset.colours);
  return filled(here.dataset.heldSo, { top: colours[hold.U], front: colours[hold.F] });
}

function told(here, draft) {
  const say = here.dataset;
  const written = `${draft.plan || ""}${draft.pair_ahead || ""}`.trim();
  if (draft.choice && draft.choice !== "moves") {
    if (written) return { title: say.both, moves: "", sentences: [], read: false, goesIn: false };
    const title = draft.choice === "no_plan" ? say.noPlan : say.solved;
    return { title, moves: "", sentences: [say.final], read: true, goesIn: true };
  }
  if (!(draft.plan || "").trim()) return { title: say.empty, moves: "", sentences: [], read: false, goesIn: false };
  const read = readBack(draft, say.hold, Boolean(say.strict));
  if (!read) return { title: say.unread, moves: draft.plan, sentences: [say.later], read: false, goesIn: true };
  const begins = read.after ? say.startAfter : say.start;
  return {
    title: say.plan,
    moves: read.canonical,
    sentences: [
      filled(say.moves, { number: read.number }),
      filled(begins, { hold: held(here, read.first), after: read.after }),
      filled(say.end, { hold: held(here, read.last) }),
      ...(read.pair ? [`${filled(say.pair, { moves: read.pair })}.`] : []),
      say.final,
    ],
    read: true,
    goesIn: true,
  };
}

document.querySelectorAll("form[data-draft]").forEach((form) => form.addEventListener("read-here", (event) => {
  const here = form.querySelector("[data-here]");
  const { title, moves, sentences, read, goesIn } = told(here, event.detail.draft);
  show(here, title, moves, sentences);
  Object.assign(event.detail, { read, goesIn });
}));
// What was read before the line went is no reading of what stands there now.
document.addEventListener("htmx:sendError", ({ detail }) => {
  if (detail.target && detail.target.classList.contains("echo")) detail.target.replaceChildren();
});
