// Moves a drawn cross: it draws what the server would draw at a step, and the turn between two.
// Told by an event "cross:step" on [data-drawn]; the moves come as codes (parts/drawn.py, Track).
const FACES = "URFDLB";
const CLASSES = { w: "white", y: "yellow", g: "green", b: "blue", r: "red", o: "orange" };
const PLACES = ["UF", "UR", "UB", "UL", "FR", "FL", "BR", "BL", "DF", "DR", "DB", "DL"];
const OUT = { U: [0, 1, 0], R: [1, 0, 0], F: [0, 0, 1], D: [0, -1, 0], L: [-1, 0, 0], B: [0, 0, -1] };
// Of each family the face that it follows and the layers that it turns, outwards along it.
const LAYERS = {
  M: ["L", [0]],
  E: ["D", [0]],
  S: ["F", [0]],
  x: ["R", [-1, 0, 1]],
  y: ["U", [-1, 0, 1]],
  z: ["F", [-1, 0, 1]],
};
const MIDDLE = { R: "M", L: "M", U: "E", D: "E", F: "S", B: "S" };
const QUARTER = 140; // milliseconds
const SHORT = 17.5;
const INSET = 0.46;
const still = matchMedia("(prefers-reduced-motion: reduce)");

function readMove(text) {
  const quarters = { "'": 3, 2: 2 }[text.at(-1)] ?? 1;
  const family = quarters === 1 ? text : text.slice(0, -1);
  const [face, layers] = LAYERS[family] ?? [family[0], family.endsWith("w") ? [0, 1] : [1]];
  return { family, face, layers, quarters, ring: family in LAYERS ? "" : face };
}

const back = (move) => ({ ...move, quarters: 4 - move.quarters });
const number = (value) => `${Math.round(value * 100) / 100}`;
const point = (at) => `${number(at.x)} ${number(at.y)}`;
const edgesOf = (code) => [...code.slice(6)].map((letter) => letter.charCodeAt(0) - 97);

// The rings, as the page has drawn them.
function readPlane(svg) {
  const read = (circle) => {
    const [x, y, r] = ["cx", "cy", "r"].map((name) => Number(circle.getAttribute(name)));
    return { x, y, r };
  };
  const rings = {};
  for (const face of FACES) rings[face] = read(svg.querySelector(`[data-ring="${face}"]`));
  const places = PLACES.map((name) => read(svg.querySelector(`[data-place="${name}"]`)));
  const order = {};
  for (const face of FACES) {
    const angle = (place) => Math.atan2(places[place].y - rings[face].y, places[place].x - rings[face].x);
    const on = PLACES.map((_, place) => place).filter((place) => PLACES[place].includes(face));
    on.sort((one, other) => angle(one) - angle(other));
    order[face] = face === "D" ? on.reverse() : on;
  }
  return { rings, places, order };
}

function legs(plane, edge, move) {
  const place = edge >> 1;
  if (!move.ring || !PLACES[place].includes(move.ring)) return [];
  const order = plane.order[move.ring];
  const steps = move.quarters === 3 ? [-1] : Array(move.quarters).fill(1);
  let at = order.indexOf(place);
  return steps.map((step) => {
    const from = order[at];
    at = (at + step + 4) % 4;
    return { face: move.ring, from, to: order[at], sweep: (step > 0) !== (move.ring === "D") ? 1 : 0 };
  });
}

function onRing(ring, angle) {
  return { x: ring.x + ring.r * Math.cos(angle), y: ring.y + ring.r * Math.sin(angle) };
}

function angleAt(ring, at) {
  return Math.atan2(at.y - ring.y, at.x - ring.x);
}

function pathOf(plane, edge, after, move, short = 0) {
  const along = legs(plane, edge, move);
  const start = plane.places[edge >> 1];
  if (!along.length) {
    const end = plane.places[after >> 1];
    const far = Math.hypot(end.x - start.x, end.y - start.y);
    const part = far ? Math.max(0, 1 - short / far) : 0;
    const stop = { x: start.x + (end.x - start.x) * part, y: start.y + (end.y - start.y) * part };
    return `M${point(start)}L${point(stop)}`;
  }
  const arcs = along.map((leg, index) => {
    const ring = plane.rings[leg.face];
    let end = plane.places[leg.to];
    if (index === along.length - 1 && short) {
      end = onRing(ring, angleAt(ring, end) + ((leg.sweep ? -1 : 1) * short) / ring.r);
    }
    return `A${number(ring.r)} ${number(ring.r)} 0 0 ${leg.sweep} ${point(end)}`;
  });
  return `M${point(start)}${arcs.join("")}`;
}

// Where a chip is, part of the way through a move; the half of the cross colour stays on its side of the ring.
function chipAt(plane, edge, after, move, part) {
  const along = move ? legs(plane, edge, move) : [];
  const pose = (state) => {
    const at = plane.places[state >> 1];
    const face = PLACES[state >> 1][state & 1];
    const turn = Math.atan2(plane.rings[face].y - at.y, plane.rings[face].x - at.x);
    return { x: at.x, y: at.y, angle: face === "D" ? turn + Math.PI : turn };
  };
  if (part >= 1 || !move) return pose(after);
  if (!along.length) {
    const [from, to] = [pose(edge), pose(after)];
    const turn = Math.atan2(Math.sin(to.angle - from.angle), Math.cos(to.angle - from.angle));
    const mix = (one, other) => one + (other - one) * part;
    return { x: mix(from.x, to.x), y: mix(from.y, to.y), angle: from.angle + turn * part };
  }
  const index = Math.min(along.length - 1, Math.floor(part * along.length));
  const leg = along[index];
  const ring = plane.rings[leg.face];
  const start = angleAt(ring, plane.places[leg.from]);
  const round = 2 * Math.PI;
  const far = (((angleAt(ring, plane.places[leg.to]) - start) % round) + round) % round;
  const angle = start + (leg.sweep ? far : far - round) * (part * along.length - index);
  const inwards = (PLACES[edge >> 1][edge & 1] === leg.face) !== (leg.face === "D");
  return { ...onRing(ring, angle), angle: inwards ? angle + Math.PI : angle };
}

function placeChip(chip, at) {
  const [halves, one, other] = chip.children;
  chip.setAttribute("transform", `translate(${number(at.x)} ${number(at.y)})`);
  halves.setAttribute("transform", `rotate(${number((at.angle * 180) / Math.PI)})`);
  const [x, y] = [6.9 * Math.cos(at.angle), 6.9 * Math.sin(at.angle)];
  one.setAttribute("x", number(x));
  one.setAttribute("y", number(y));
  other.setAttribute("x", number(-x));
  other.setAttribute("y", number(-y));
}

const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const sum = (a, b, far) => [a[0] + far * b[0], a[1] + far * b[1], a[2] + far * b[2]];

// A vector turned clockwise about an axis, as seen from the end of the axis.
function turned(vector, axis, angle) {
  const across = cross(axis, vector);
  const along = dot(axis, vector) * (1 - Math.cos(angle));
  return vector.map((value, i) => value * Math.cos(angle) - across[i] * Math.sin(angle) + axis[i] * along);
}

// A sticker in space: where its piece is, where it looks to, its middle and its corners.
function inSpace(face, towards) {
  const out = OUT[face];
  const along = "UD".includes(face) ? OUT.F : OUT.U;
  const across = cross(out, along);
  const middle = sum(towards, out, 1.5);
  const corners = [[-1, -1], [1, -1], [1, 1], [-1, 1]].map(([a, b]) =>
    sum(sum(middle, along, a * INSET), across, b * INSET),
  );
  return { piece: sum(towards, out, 1), out, middle, corners };
}

function placeFacelet(facelet, sticker, views, move, part) {
  let { out, middle, corners } = sticker;
  if (move && part < 1) {
    const axis = OUT[move.face];
    if (move.layers.includes(dot(sticker.piece, axis))) {
      const angle = ((move.quarters === 3 ? -1 : move.quarters) * part * Math.PI) / 2;
      [out, middle] = [turned(out, axis, angle), turned(middle, axis, angle)];
      corners = corners.map((corner) => turned(corner, axis, angle));
    }
  }
  const inFront = out[0] + out[1] + out[2] > 0;
  const [x0, y0] = inFront ? views.front : views.back;
  const project = ([x, y, z]) => [
    x0 + (inFront ? x - z : z - x) * views.across,
    y0 + views.unit * ((x + z) / 2 - y),
  ];
  const tenth = (value) => Math.round(value * 10) / 10;
  const [square, weave, disc, letter] = facelet.children;
  const points = corners.map((corner) => project(corner).map(tenth).join(",")).join(" ");
  square.setAttribute("points", points);
  weave.setAttribute("points", points);
  const [x, y] = project(middle).map(tenth);
  disc.setAttribute("cx", x);
  disc.setAttribute("cy", y);
  letter.setAttribute("x", x);
  letter.setAttribute("y", y);
}

const weaveOf = (letter) => (letter === "w" ? "none" : `url(#weave-${CLASSES[letter]})`);

function colourFacelet(facelet, letter) {
  const name = CLASSES[letter];
  const [square, weave, disc, text] = facelet.children;
  square.setAttribute("class", `sticker sticker-${name}`);
  weave.setAttribute("fill", weaveOf(letter));
  disc.setAttribute("class", `sticker-${name}`);
  text.setAttribute("class", `letter-${name}`);
  text.textContent = letter;
}

function colourPart(shape, text, letter) {
  shape.setAttribute("class", `sticker sticker-${CLASSES[letter]}`);
  text.setAttribute("class", `letter-${CLASSES[letter]}`);
  text.textContent = letter;
}

function views(svg) {
  const [x1, y1, x2, y2, unit] = svg.dataset.views.split(" ").map(Number);
  return { front: [x1, y1], back: [x2, y2], unit, across: (unit * Math.sqrt(3)) / 2 };
}

function wholeFace(code, colours) {
  const centres = code.slice(0, 6);
  const home = edgesOf(code).every((edge, index) => {
    const [name, lie] = [PLACES[edge >> 1], edge & 1];
    const at = (face) => centres[FACES.indexOf(face)];
    return at(name[lie]) === colours[0] && at(name[1 - lie]) === colours[index + 1];
  });
  return home ? FACES[centres.indexOf(colours[0])] : "";
}

function say(words, template, values) {
  return template.replace(/\{(\w+)\}/g, (_, name) => values[name]);
}

function sayEdge(words, edge, cross, side) {
  const [place, lie] = [edge >> 1, edge & 1];
  return say(words, words.edge, {
    cross: words.colours[cross],
    side: words.colours[side],
    place: words.places[place],
    facing: words.facing[PLACES[place][lie]],
  });
}

function layersOf(move) {
  if ("xyz".includes(move.family)) return "";
  return move.family.endsWith("w") ? `${move.face} ${MIDDLE[move.face]}` : move.family;
}

class Drawn {
  constructor(element) {
    this.rings = element.querySelector(".rings");
    this.cube = element.querySelector(".cube");
    this.words = JSON.parse(element.dataset.script);
    this.plane = readPlane(this.rings);
    this.views = views(this.cube);
    this.chips = [...this.rings.querySelectorAll("[data-chip]")];
    this.facelets = [...this.cube.querySelectorAll("[data-facelet]")];
    this.frame = 0;
    element.addEventListener("cross:step", (event) => this.show(event.detail));
  }

  // `from`: the step that the cube stood at on the same way, or -1. Sets `detail.told`.
  show(detail) {
    const { frames, moves, colours, step, from } = detail;
    const [was, now] = [frames[from] ?? frames[step], frames[step]];
    const read = moves.map(readMove);
    this.colour(now, colours);
    this.mark(frames, read, colours, step);
    const edges = edgesOf(now);
    const said = edges.map((edge, index) => sayEdge(this.words, edge, colours[0], colours[index + 1]));
    const before = edgesOf(was);
    detail.told = said.filter((_, index) => edges[index] !== before[index]);
    this.rings.querySelector("desc").textContent = `${said.join("; ")}.`;
    cancelAnimationFrame(this.frame);
    const move = step === from + 1 ? read[from] : step === from - 1 ? back(read[step]) : null;
    if (from < 0 || !move || still.matches) return this.place(was, now, null, 1);
    this.colour(was, colours);
    this.run(was, now, move, colours);
  }

  run(was, now, move, colours) {
    const length = QUARTER * (move.quarters === 2 ? 2 : 1);
    let begun = 0;
    const next = (time) => {
      begun ||= time;
      const part = Math.min(1, (time - begun) / length);
      if (part === 1) this.colour(now, colours);
      this.place(was, now, move, part);
      if (part < 1) this.frame = requestAnimationFrame(next);
    };
    this.frame = requestAnimationFrame(next);
  }

  place(was, now, move, part) {
    const [before, after] = [edgesOf(was), edgesOf(now)];
    this.chips.forEach((chip, index) => {
      placeChip(chip, chipAt(this.plane, before[index], after[index], move, part));
    });
    this.facelets.forEach((facelet, index) => {
      const edge = (part < 1 ? before : after)[(index - 6) >> 1] ^ (index & 1);
      const [name, lie] = [PLACES[edge >> 1], edge & 1];
      const sticker = index < 6 ? inSpace(FACES[index], [0, 0, 0]) : inSpace(name[lie], OUT[name[1 - lie]]);
      placeFacelet(facelet, sticker, this.views, move, part);
    });
  }

  colour(code, colours) {
    this.facelets.forEach((facelet, index) => {
      colourFacelet(facelet, index < 6 ? code[index] : index & 1 ? colours[((index - 6) >> 1) + 1] : colours[0]);
    });
    for (const disc of this.rings.querySelectorAll("[data-disc]")) {
      colourPart(disc.children[0], disc.children[1], code[FACES.indexOf(disc.dataset.disc)]);
    }
    this.chips.forEach((chip, index) => {
      const [halves, one, other] = chip.children;
      colourPart(halves.children[0], one, colours[0]);
      colourPart(halves.children[1], other, colours[index + 1]);
      halves.children[2].setAttribute("fill", weaveOf(colours[0]));
      halves.children[3].setAttribute("fill", weaveOf(colours[index + 1]));
    });
  }

  mark(frames, moves, colours, step) {
    const last = step ? moves[step - 1] : null;
    const layers = last ? layersOf(last) : "";
    this.rings.dataset.turned = last?.ring ?? "";
    this.rings.dataset.whole = wholeFace(frames[step], colours);
    this.cube.dataset.turned = layers;
    this.cube.dataset.quarters = layers ? last.quarters : 0;
    const edges = frames.map(edgesOf);
    const goes = (index, at, short) => {
      const [one, other] = [edges[at][index], edges[at + 1][index]];
      if (one === other || "xyz".includes(moves[at].family)) return "";
      return pathOf(this.plane, one, other, moves[at], short);
    };
    this.rings.querySelectorAll(".trail").forEach((trail, index) => {
      trail.setAttribute("d", moves.map((_, at) => goes(index, at, 0)).filter(Boolean).join(" "));
    });
    this.rings.querySelectorAll(".ring-arc").forEach((arc, index) => {
      arc.setAttribute("d", last ? goes(index, step - 1, SHORT) : "");
    });
  }
}

const found = new WeakSet();
function ready(root) {
  for (const element of root.querySelectorAll?.("[data-drawn][data-script]") ?? []) {
    if (found.has(element)) continue;
    found.add(element);
    new Drawn(element);
  }
}

ready(document);
document.addEventListener("htmx:load", (event) => ready(event.target));
