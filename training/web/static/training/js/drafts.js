// Nothing typed is lost: what is written for a scramble stays in this browser, for each member and scramble, until it
// is handed in or somebody signs out; so does what is written on a second look. What is handed in without a line goes
// in when the line is back, under its key.
const words = document.getElementById("drafts").dataset;
const { member } = words;
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
    localStorage.setItem(at, JSON.stringify(draft));
  } catch {
    // A browser that keeps nothing: the page still works.
  }
}

function mine() {
  return Object.keys(localStorage).filter((at) => at.startsWith(`plan:${member}:`));
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
  return draft;
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

// Post a form's fields; where the answer leads, "" without a line, or null where somebody is signed out.
async function send(to, fields) {
  const body = new URLSearchParams(fields);
  body.set("csrfmiddlewaretoken", token());
  let answer;
  try {
    answer = await fetch(to, { method: "POST", body, credentials: "same-origin" });
  } catch {
    return "";
  }
  if (answer.status >= 500) return "";
  return answer.ok ? answer.url : null;
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
  const leads = await send(to, fields);
  delete form.dataset.sending;
  if (leads) {
    if (fields.do === "hand_in" && !leads.includes("/write/")) localStorage.removeItem(place(scramble));
    window.location.assign(leads);
    return;
  }
  if (leads === null) {
    // Signed out, or too old a page: the site says so itself, and what was typed is kept here.
    HTMLFormElement.prototype.submit.call(withButton(form, event.submitter));
    return;
  }
  const draft = { ...(read(place(scramble)) || {}), ...fields, to };
  delete draft.csrfmiddlewaretoken;
  if (fields.do === "hand_in") {
    wait(scramble, draft);
    return;
  }
  keep(place(scramble), draft);
  say(words.noLine, "mark");
  offer(form, scramble, draft);
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

// Without a line a plan cannot be read back: it may go in unread when the line is there again.
function offer(form, scramble, draft) {
  if (form.querySelector("[data-when-back]")) return;
  const button = Object.assign(document.createElement("button"), {
    type: "button", className: "button second", textContent: words.whenBack,
  });
  button.dataset.whenBack = "";
  button.addEventListener("click", () => wait(scramble, { ...draftOf(form), ...choiceOf(draft) }));
  form.append(button);
}

function choiceOf(draft) {
  return draft.choice ? { choice: draft.choice } : {};
}

function wait(scramble, draft) {
  keep(place(scramble), { ...draft, do: "hand_in", waits: true });
  say(words.waits, "mark");
}

// What waits for a line ----------------------------------------------------------------------------

let sending = false;

async function sendWaiting() {
  if (sending || !member || !navigator.onLine) return;
  sending = true;
  for (const at of mine()) {
    const draft = read(at);
    if (!draft || !draft.waits) continue;
    const { to, waits, ...fields } = draft;
    const leads = await send(to, fields);
    if (leads === "") break;
    if (leads === null) {
      say(words.signIn, "mark", { href: window.location.href, text: words.reload });
      break;
    }
    if (leads.includes("/write/")) {
      keep(at, { ...fields, to });
      say(words.notIn, "loss", { href: leads, text: words.seeWhy });
    } else {
      localStorage.removeItem(at);
      say(words.isIn, "kept", { href: leads, text: words.seeIt });
    }
  }
  sending = false;
}

// --------------------------------------------------------------------------------------------------

document.querySelectorAll("[data-handed-in]").forEach((one) => {
  localStorage.removeItem(place(one.dataset.handedIn));
});
document.querySelectorAll("form[data-draft]").forEach((form) => {
  restore(form);
  form.addEventListener("input", () => keep(place(form.dataset.draft), draftOf(form)));
  form.addEventListener("submit", submitted);
  // Another tab of the same scramble: both show what was typed last.
  window.addEventListener("storage", (event) => {
    if (event.key === place(form.dataset.draft) && event.newValue) restore(form);
  });
});
document.querySelectorAll("form[data-hand-in]").forEach((form) => form.addEventListener("submit", submitted));
document.querySelectorAll("form[data-signs-out]").forEach((form) => form.addEventListener("submit", () => {
  // On a tablet that a family shares, nobody's draft stays behind.
  Object.keys(localStorage).filter((at) => /^(plan|again):/.test(at)).forEach((at) => localStorage.removeItem(at));
}));

// On a second look what is typed belongs to a place in a plan.
document.querySelectorAll("[data-again-draft]").forEach((around) => {
  const at = `again:${member}:${around.dataset.againDraft}`;
  const stands = around.dataset.stands;
  const draft = read(at);
  // It went in: the site led on to another place.
  if (draft && draft.sent && draft.stands !== stands) localStorage.removeItem(at);
  const form = around.querySelector("form");
  if (!form) return;
  const field = form.elements.written;
  if (draft && draft.stands === stands && !field.value) field.value = draft.written;
  const note = (sent) => keep(at, { written: field.value, stands, sent });
  form.addEventListener("input", () => note(false));
  form.addEventListener("submit", () => note(true));
});
window.addEventListener("online", sendWaiting);
setInterval(sendWaiting, 5000);
sendWaiting();
