// Nothing typed is lost: what is written for a scramble stays in this browser, for each member and scramble, until it
// is handed in or somebody signs out; so does what is written on a second look. What is handed in without a line goes
// in when the line is back, under its key.
const words = document.getElementById("drafts").dataset;
const { member, person } = words;
const LONGEST = 30 * 86400e3; // as the page about what is kept says it
const KEPT = ["plan", "pair_ahead", "key", "begun_trip", "ended_trip", "looked"];

function place(scramble) {
  return `plan:${member}:${scramble}`;
}

function read(at) {
  try {
    return JSON.parse(localStorage.getItem(at));
  } catch {
    return null;
  }
}

function keep(at, draft) {
  try {
    localStorage.setItem(at, JSON.stringify({ at: Date.now(), ...draft }));
  } catch {
    // A browser that keeps nothing: the page still works.
  }
}

function typed() {
  return Object.keys(localStorage).filter((at) => /^(plan|again):/.test(at));
}

function mine() {
  return typed().filter((at) => at.split(":")[1] === member);
}

// On a tablet that a family shares, nobody's text stays behind. ``of``: one membership's alone.
function forget(of = "") {
  typed().filter((at) => !of || at.split(":")[1] === of).forEach((at) => localStorage.removeItem(at));
}

// Whose texts the page in reserve may show: those of whoever is signed in, and nobody's on a page of nobody.
function noteWhoIsHere() {
  if (document.querySelector("[data-kept-here]")) return;
  if (!person) {
    localStorage.removeItem("here");
    return;
  }
  const had = read("here");
  const members = had && had.person === person ? had.members : [];
  keep("here", { person, members: [...new Set([...members, member])].filter(Boolean) });
}

// Of somebody who never comes back nothing stays for ever.
function forgetTheOld() {
  typed().forEach((at) => {
    const draft = read(at);
    if (draft && !draft.at) keep(at, draft);
    else if (!draft || Date.now() - draft.at > LONGEST) localStorage.removeItem(at);
  });
}

function token() {
  const found = document.cookie.match(/(?:^|; )csrftoken=([^;]+)/);
  return found ? found[1] : "";
}

function say(text, kind, sayer) {
  let notice = document.querySelector("[data-of-drafts]");
  if (!notice) {
    notice = document.createElement("div");
    notice.dataset.ofDrafts = "";
    notice.setAttribute("role", "status");
    document.getElementById("main").prepend(notice);
  }
  notice.className = `notice is-${kind}`;
  const line = document.createElement("p");
  line.textContent = text;
  notice.replaceChildren(line);
  if (sayer) {
    const link = Object.assign(document.createElement("a"), { href: sayer.href, textContent: sayer.text });
    notice.append(link);
  }
}

// The forms ---------------------------------------------------------------------------------------

function draftOf(form) {
  const draft = read(place(form.dataset.draft)) || {};
  KEPT.forEach((name) => { if (form.elements[name]) draft[name] = form.elements[name].value; });
  ["top", "front"].forEach((name) => {
    const chosen = form.querySelector(`[name=${name}]:checked`);
    if (chosen) draft[name] = chosen.value;
  });
  draft.to = form.getAttribute("action");
  draft.at = Date.now();
  return draft;
}

// What is written on is no longer what was read back: it waits no more, and is read anew.
function changed(form, { target }) {
  const draft = draftOf(form);
  if (target.type === "hidden") {
    // A time that the device measured: nobody wrote on.
    keep(place(form.dataset.draft), draft);
    return;
  }
  if (draft.waits) say(words.changed, "mark");
  delete draft.waits;
  delete draft.do;
  delete draft.choice;
  keep(place(form.dataset.draft), draft);
  const here = form.querySelector("[data-here]");
  if (here) here.hidden = true;
}

function restore(form) {
  const draft = read(place(form.dataset.draft));
  if (!draft) return;
  KEPT.forEach((name) => {
    if (form.elements[name] && draft[name]) form.elements[name].value = draft[name];
  });
  ["top", "front"].forEach((name) => {
    const one = draft[name] && form.querySelector(`[name=${name}][value="${draft[name]}"]`);
    if (one) one.checked = true;
  });
  const pair = form.elements.pair_ahead;
  if (pair && pair.value) pair.closest("details").open = true;
}

// Post fields: the answer's status, 0 without a line or while the site is away, and where it leads, if it was taken.
async function send(to, fields) {
  const body = new URLSearchParams(fields);
  body.set("csrfmiddlewaretoken", token());
  let answer;
  try {
    answer = await fetch(to, { method: "POST", body, credentials: "same-origin" });
  } catch {
    return { status: 0, leads: "" };
  }
  if (answer.status >= 500) return { status: 0, leads: "" };
  return { status: answer.status, leads: answer.ok ? answer.headers.get("Location") || answer.url : "" };
}

function fieldsOf(form, button) {
  const fields = new FormData(form);
  if (button && button.name) fields.set(button.name, button.value);
  return Object.fromEntries(fields);
}

async function submitted(event) {
  const form = event.target;
  const scramble = form.dataset.draft || form.dataset.handIn;
  event.preventDefault();
  if (form.dataset.sending) return;
  form.dataset.sending = "1";
  const fields = fieldsOf(form, event.submitter);
  const to = form.getAttribute("action");
  const { status, leads } = await send(to, fields);
  delete form.dataset.sending;
  if (leads) {
    if (fields.do === "hand_in" && !leads.includes("/write/")) localStorage.removeItem(place(scramble));
    window.location.assign(leads);
    return;
  }
  if (status) {
    // Signed out, or too old a page: the site says so itself, and what was typed is kept here.
    HTMLFormElement.prototype.submit.call(withButton(form, event.submitter));
    return;
  }
  const draft = { ...(read(place(scramble)) || {}), choice: "", ...fields, to, at: Date.now() };
  delete draft.csrfmiddlewaretoken;
  if (fields.do === "hand_in") {
    wait(scramble, draft, true);
    return;
  }
  delete draft.waits;
  keep(place(scramble), draft);
  say(words.noLine, "mark");
  readHere(form, scramble, draft);
}

function withButton(form, button) {
  if (button && button.name) {
    const field = Object.assign(document.createElement("input"), {
      type: "hidden", name: button.name, value: button.value,
    });
    form.append(field);
  }
  const kept = form.querySelector("[name=csrfmiddlewaretoken]");
  if (kept && token()) kept.value = token();
  return form;
}

// Without a line the device reads a plan back; what it cannot read waits for the site to read it.
function readHere(form, scramble, draft) {
  const asked = { draft, read: false, goesIn: true };
  form.dispatchEvent(new CustomEvent("read-here", { detail: asked }));
  const here = form.querySelector("[data-here]");
  here.hidden = false;
  const button = here.querySelector("button");
  button.hidden = !asked.goesIn;
  button.textContent = asked.read ? here.dataset.goesIn : here.dataset.waits;
  button.onclick = () => wait(scramble, draft, asked.read);
  here.scrollIntoView({ block: "nearest" });
}

function wait(scramble, draft, wasRead) {
  keep(place(scramble), { ...draft, do: wasRead ? "hand_in" : "read_back", waits: true });
  say(wasRead ? words.waits : words.waitsUnread, "mark");
}

// What waits for a line ----------------------------------------------------------------------------

let sending = false;

async function sendWaiting() {
  if (sending || !member || !navigator.onLine) return;
  sending = true;
  for (const at of mine()) {
    const draft = read(at);
    if (!draft || !draft.waits) continue;
    const { to, waits, at: _since, stands: _stands, ...fields } = draft;
    const { status, leads } = await send(to, fields);
    if (!status) break;
    if (leads) (at.startsWith("again:") ? triedOn : cameIn)(at, draft, leads);
    else if (status === 401 || status === 403) {
      say(words.signIn, "mark", { href: window.location.href, text: words.reload });
      break;
    } else stays(at, draft, to);
  }
  sending = false;
}

function stays(at, draft, leads) {
  const { waits, ...rest } = draft;
  keep(at, rest);
  say(words.notIn, "loss", { href: leads, text: words.seeWhy });
}

function cameIn(at, draft, leads) {
  if (leads.includes("/write/")) stays(at, draft, leads);
  else if (draft.do === "hand_in") {
    localStorage.removeItem(at);
    say(words.isIn, "kept", { href: leads, text: words.seeIt });
  } else {
    // Nobody has read it yet.
    const { waits, ...rest } = draft;
    keep(at, rest);
    if (document.querySelector(`form[data-draft="${at.split(":")[2]}"]`)) window.location.assign(leads);
    else say(words.readIt, "mark", { href: leads, text: words.readItNow });
  }
}

function triedOn(at, draft, leads) {
  localStorage.removeItem(at);
  if (document.querySelector(`[data-again-draft="${at.split(":")[2]}"]`)) window.location.assign(leads);
  else say(words.tried, "kept", { href: leads, text: words.seeIt });
}

// --------------------------------------------------------------------------------------------------

try {
  document.querySelectorAll("[data-forget-typed]").forEach((one) => forget(one.dataset.forgetTyped));
  noteWhoIsHere();
  forgetTheOld();
} catch {
  // A browser that keeps nothing has nothing to forget.
}
document.querySelectorAll("[data-handed-in]").forEach((one) => {
  localStorage.removeItem(place(one.dataset.handedIn));
});
document.querySelectorAll("form[data-draft]").forEach((form) => {
  restore(form);
  form.addEventListener("input", (event) => changed(form, event));
  form.addEventListener("submit", submitted);
  // Another tab of the same scramble: both show what was typed last.
  window.addEventListener("storage", (event) => {
    if (event.key === place(form.dataset.draft) && event.newValue) restore(form);
  });
});
document.querySelectorAll("form[data-hand-in]").forEach((form) => form.addEventListener("submit", submitted));
document.addEventListener("submit", (event) => {
  if ([event.target, event.submitter].some((one) => one && "signsOut" in one.dataset)) forget();
});

// On a second look what is typed belongs to a place in a plan. Without a line it waits to be tried.
document.querySelectorAll("[data-again-draft]").forEach((around) => {
  const at = `again:${member}:${around.dataset.againDraft}`;
  const { stands } = around.dataset;
  const form = around.querySelector("form");
  if (!form) return;
  const field = form.elements.written;
  const draft = read(at);
  if (draft && draft.stands === stands && !field.value) field.value = draft.written;
  const to = window.location.pathname + window.location.search;
  const note = (more) => keep(at, { written: field.value, stands, to, leads: "1", ...more });
  form.addEventListener("input", () => note({}));
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (form.dataset.sending) return;
    form.dataset.sending = "1";
    note({});
    const { status, leads } = await send(to, { written: field.value, leads: "1" });
    delete form.dataset.sending;
    if (leads) {
      localStorage.removeItem(at);
      window.location.assign(leads);
    } else if (status) {
      HTMLFormElement.prototype.submit.call(withButton(form, null));
    } else {
      note({ waits: true });
      say(words.looks, "mark");
    }
  });
});
window.addEventListener("online", sendWaiting);
setInterval(sendWaiting, 5000);
sendWaiting();
