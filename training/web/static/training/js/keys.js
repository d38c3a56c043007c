// Move keys for thumbs, laid under the plan's field. The field works without them.
const ROWS = [
  ["U", "R", "F", "D", "L", "B"],
  ["M", "E", "S", "x", "y", "z"],
  ["'", "2", "w"],
];
const MARKS = ["w", "2", "'"]; // as they stand behind a letter

// A letter with marks as notation has them, whichever was pressed first: R, 2, w give Rw2.
function spelled(letter, marks) {
  const fits = MARKS.filter((mark) => marks.includes(mark) && (mark !== "w" || "URFDLB".includes(letter)));
  // Twice a prime is none; half a turn has no direction.
  return letter + fits.filter((mark) => mark !== "'" || !fits.includes("2")).join("");
}

function put(field, text, from, to) {
  field.setRangeText(text, from, to, "end");
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

// Press a letter or a mark. ``waiting``: marks pressed before their letter.
function type(field, text, waiting) {
  const start = field.selectionStart;
  const before = field.value.slice(0, start);
  if (!MARKS.includes(text)) {
    const glue = before === "" || /\s$/.test(before) ? "" : " ";
    put(field, glue + spelled(text, waiting.splice(0)), start, field.selectionEnd);
    return;
  }
  const last = before.match(/([URFDLBMESxyz])([w2']*)$/);
  if (!last) {
    if (!waiting.includes(text)) waiting.push(text);
    return;
  }
  const [whole, letter, marks] = last;
  const had = marks.includes(text);
  const turned = text === "w" ? [...marks] : [...marks].filter((mark) => mark === "w");
  const now = had ? [...marks].filter((mark) => mark !== text) : [...turned, text];
  put(field, spelled(letter, now), start - whole.length, start);
}

function takeBack(field, waiting) {
  if (waiting.splice(0).length) return;
  const end = field.selectionEnd;
  let start = field.selectionStart;
  if (start === end) start = field.value.slice(0, end).replace(/\s*\S+\s*$/, "").length;
  put(field, "", start, end);
}

function key(text, label, classes, press) {
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = text;
  button.className = classes;
  if (label) button.setAttribute("aria-label", label);
  button.addEventListener("pointerdown", (event) => event.preventDefault());
  button.addEventListener("click", press);
  return button;
}

function nameOf(text, words) {
  const named = { "'": words.prime, 2: words.two, w: words.wide }[text];
  return named || ("MES".includes(text) ? `${text}, ${words.slice}` : "");
}

document.querySelectorAll("[data-keys]").forEach((board) => {
  const field = document.getElementById(board.dataset.keys);
  const words = board.dataset; // in the reader's language, as the page has them
  const waiting = [];
  ROWS.flat().forEach((text) => {
    const alt = !/[URFDLB]/.test(text);
    board.append(key(text, nameOf(text, words), alt ? "alt" : "", () => type(field, text, waiting)));
  });
  board.append(key("⌫", words.takeBack, "alt", () => takeBack(field, waiting)));
  board.append(key(words.clear, "", "alt word-key", () => put(field, "", 0, field.value.length)));
  board.hidden = false;
  // A phone's own keyboard would cover the keys; it comes when it is asked for.
  if (window.matchMedia("(pointer: coarse)").matches) {
    field.inputMode = "none";
    board.append(key(words.board, "", "alt whole-key", () => {
      field.inputMode = field.inputMode === "none" ? "text" : "none";
      field.blur();
      field.focus();
    }));
  }
  // Enter hands on to the read-back, with Ctrl too; a new line is made by Shift.
  field.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.shiftKey || event.isComposing) return;
    event.preventDefault();
    const reads = field.form.querySelector("[data-read-back]");
    field.form.requestSubmit(reads);
  });
  // Whoever types while the scripts are still on their way (a slow phone) gets an echo, too.
  document.body.addEventListener(
    "htmx:load",
    () => {
      if (field.value !== field.defaultValue) field.dispatchEvent(new Event("written-early"));
    },
    { once: true },
  );
});
