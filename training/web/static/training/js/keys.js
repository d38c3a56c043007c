// Move keys for phones, laid under the plan's field. The field works without them.
const ROWS = [
  ["U", "R", "F", "D", "L", "B"],
  ["'", "2", "w", "x", "y", "z"],
];

function type(field, text) {
  const start = field.selectionStart;
  const before = field.value.slice(0, start);
  const suffix = "'2w".includes(text);
  // A letter begins a new move; a mark belongs to the move before it.
  const glue = suffix || before === "" || /\s$/.test(before) ? "" : " ";
  field.setRangeText((suffix ? text : glue + text), start, field.selectionEnd, "end");
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function wipe(field) {
  const end = field.selectionEnd;
  let start = field.selectionStart;
  if (start === end) start = field.value.slice(0, end).replace(/\s*\S+\s*$/, "").length;
  field.setRangeText("", start, end, "end");
  field.dispatchEvent(new Event("input", { bubbles: true }));
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

document.querySelectorAll("[data-keys]").forEach((board) => {
  const field = document.getElementById(board.dataset.keys);
  const words = board.dataset; // in the reader's language, as the page has them
  const names = { "'": words.prime, 2: words.two, w: words.wide };
  ROWS.flat().forEach((text) => {
    const alt = !/[URFDLB]/.test(text);
    board.append(key(text, names[text], alt ? "alt" : "", () => type(field, text)));
  });
  board.append(key(words.takeBack, "", "wide-key alt", () => wipe(field)));
  board.hidden = false;
  // Whoever types while the scripts are still on their way (a slow phone) gets an echo, too.
  document.body.addEventListener(
    "htmx:load",
    () => {
      if (field.value !== field.defaultValue) field.dispatchEvent(new Event("written-early"));
    },
    { once: true },
  );
});
