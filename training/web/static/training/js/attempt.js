// Scramble, inspect, write: three steps in one page, so that a lost line takes none of them away. The page works
// without this, untimed; a tap before this script has come is timed by the browser. Times are the server's: this only
// measures how long its requests took there and back.
const page = document.querySelector("[data-attempt]");
const LONGEST = 3000; // as the server has it: a slower request measures nothing
const CALLS = { 8: "eight", 12: "twelve", 15: "over", 17: "late" };

function part(name) {
  return page.querySelector(`[data-at="${name}"]`);
}

function show(name, remember = true) {
  const now = part(name);
  page.querySelectorAll("[data-at]").forEach((one) => { one.hidden = one !== now; });
  page.dataset.step = name;
  if (remember) history.pushState({ step: name }, "", now.dataset.href);
  now.querySelector("h1").focus();
  window.scrollTo(0, 0);
}

function freshToken(form) {
  const found = document.cookie.match(/(?:^|; )csrftoken=([^;]+)/);
  const field = form.querySelector("[name=csrfmiddlewaretoken]");
  if (found && field) field.value = found[1];
}

// Send a tap; how many milliseconds it took, or null where no answer came.
async function tap(form, doing) {
  freshToken(form);
  const body = new FormData(form);
  body.set("do", doing);
  body.set("measured", "1");
  const begun = performance.now();
  try {
    const answer = await fetch(page.dataset.taps, {
      method: "POST", body, signal: AbortSignal.timeout(LONGEST), credentials: "same-origin",
    });
    return answer.status === 204 ? Math.ceil(performance.now() - begun) : null;
  } catch {
    return null;
  }
}

// The write form carries what only this device knows, and keeps it with the draft.
function carry(name, value) {
  const field = page.querySelector(`[data-draft] [name="${name}"]`);
  field.value = value;
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

// A tap before this script was there led here by way of one answer of the site, its stamp; how long that took there
// and back, the browser knows (W3C, Navigation Timing). Null where this page came otherwise, or again.
function tripOfTheWayHere() {
  const address = new URL(window.location.href);
  if (!address.searchParams.has("tapped")) return null;
  history.replaceState(null, "", address.pathname);
  const [came] = performance.getEntriesByType("navigation");
  if (!came || came.type !== "navigate" || came.redirectCount !== 1 || !came.redirectEnd) return null;
  const trip = Math.ceil(came.redirectEnd - came.startTime);
  return trip <= LONGEST ? trip : null;
}

function cover(covered = true) {
  for (const one of part("scramble").querySelectorAll("[data-covered]")) one.hidden = !covered;
  for (const one of part("scramble").querySelectorAll("[data-uncovered]")) one.hidden = covered;
}

function leadOn(name) {
  const link = part("scramble").querySelector("[data-go]");
  link.dataset.go = name;
  link.href = part(name).dataset.href;
  link.textContent = link.dataset[name];
}

function leadOnAnew() {
  const link = part("scramble").querySelector("[data-go]");
  link.textContent = link.dataset.anew;
}

// Calls -----------------------------------------------------------------------------------------

let sounds = null;

function tone(times) {
  if (!sounds) return;
  for (let count = 0; count < times; count += 1) {
    const at = sounds.currentTime + count * 0.3;
    const source = sounds.createOscillator();
    const volume = sounds.createGain();
    source.frequency.value = 660;
    volume.gain.setValueAtTime(0.2, at);
    volume.gain.exponentialRampToValueAtTime(0.001, at + 0.2);
    source.connect(volume).connect(sounds.destination);
    source.start(at);
    source.stop(at + 0.22);
  }
}

function call(inspect, second) {
  const said = inspect.dataset[CALLS[second]];
  if (!said) return;
  const words = inspect.querySelector("[data-call]");
  words.textContent = said;
  words.classList.toggle("is-late", second >= 15);
  const times = { 8: 1, 12: 2, 15: 3 }[second] || 0;
  if (second < 15) tone(times); // heard are the two calls alone, as the switch says
  if (times && navigator.vibrate) navigator.vibrate(Array(2 * times - 1).fill(120));
}

// Inspection -------------------------------------------------------------------------------------

const run = { timer: 0, trip: null, answered: Promise.resolve() };

function tick(inspect, since, timed) {
  let told = -1;
  const rule = [...inspect.querySelectorAll("[data-mark]")];
  const counted = inspect.querySelector("[data-counted]");
  const look = () => {
    const second = Math.floor((performance.now() - since) / 1000);
    if (second === told) return;
    if (timed) {
      rule.forEach((mark) => mark.classList.toggle("is-full", Number(mark.dataset.mark) <= second));
      // A phone that slept tells the last call that it missed.
      const due = Object.keys(CALLS).map(Number).filter((one) => one > told && one <= second).pop();
      if (due) call(inspect, due);
    } else if (inspect.querySelector("[data-count]").checked) {
      counted.textContent = inspect.dataset.ofSeconds.replace("{seconds}", second);
    } else {
      counted.textContent = "";
    }
    told = second;
  };
  look();
  run.timer = setInterval(look, 100);
}

function begin(inspect, timed, since) {
  inspect.querySelector("[data-begin]").hidden = true;
  inspect.querySelector("[data-running]").hidden = false;
  inspect.querySelector("[data-rule]").hidden = !timed;
  inspect.querySelector("[data-own]").hidden = timed;
  cover();
  leadOn("inspect");
  tick(inspect, since, timed);
  inspect.querySelector("[data-end] button").focus();
}

function backToStart(inspect) {
  clearInterval(run.timer);
  inspect.querySelector("[data-begin]").hidden = false;
  inspect.querySelector("[data-running]").hidden = true;
  inspect.querySelectorAll("[data-mark]").forEach((mark) => mark.classList.remove("is-full"));
  cover(false);
  leadOnAnew();
  let said = inspect.querySelector("[data-no-line]");
  if (!said) {
    said = Object.assign(document.createElement("p"), { className: "notice is-loss" });
    said.dataset.noLine = "";
    said.setAttribute("role", "alert");
    inspect.querySelector("[data-begin]").prepend(said);
  }
  said.textContent = inspect.dataset.noTime;
}

function wireInspection(inspect) {
  const member = document.getElementById("drafts").dataset.member;
  const sound = inspect.querySelector("[data-sound]");
  sound.checked = localStorage.getItem(`sound:${member}`) === "1";
  inspect.querySelector("[data-sound-switch]").hidden = !window.AudioContext;
  sound.addEventListener("change", () => {
    if (sound.checked) localStorage.setItem(`sound:${member}`, "1");
    else localStorage.removeItem(`sound:${member}`);
  });
  const starts = inspect.querySelector("[data-begin]");
  starts.addEventListener("submit", (event) => {
    event.preventDefault();
    const chosen = starts.querySelector("[name=chosen]:checked");
    const timed = chosen ? chosen.value === "timed" : Boolean(inspect.dataset.timed);
    if (sound.checked && window.AudioContext) sounds = new AudioContext();
    begin(inspect, timed, performance.now());
    run.answered = tap(starts, "begin").then((trip) => {
      run.trip = trip;
      if (trip !== null) carry("begun_trip", trip);
      else if (inspect.dataset.charges) backToStart(inspect);
      else if (timed) inspect.querySelector("[data-call]").textContent = inspect.dataset.untimed;
    });
  });
  const ends = inspect.querySelector("[data-end]");
  ends.addEventListener("submit", async (event) => {
    event.preventDefault();
    clearInterval(run.timer);
    leadOn("write");
    show("write");
    const field = page.querySelector("[data-draft] textarea");
    field.focus({ preventScroll: true });
    // On a small phone the field and its keys are in sight together.
    if (window.innerHeight < 900) field.closest(".field").scrollIntoView({ block: "start" });
    // The first tap's answer may still be on its way; the second one's stamp does not wait for it.
    if (run.trip === null) run.trip = Number(page.querySelector("[data-draft] [name=begun_trip]").value) || null;
    ends.querySelector("[name=begun_trip]").value = run.trip === null ? "" : run.trip;
    const trip = await tap(ends, "end");
    await run.answered;
    if (trip !== null) {
      carry("ended_trip", trip);
      if (run.trip !== null) carry("begun_trip", run.trip);
      return;
    }
    const lost = page.querySelector("[data-time-lost]");
    lost.textContent = inspect.dataset.charges ? inspect.dataset.charged : inspect.dataset.untimed;
    lost.hidden = false;
  });
  if (Number(inspect.dataset.elapsed) >= 0 && page.dataset.step === "inspect") {
    begin(inspect, Boolean(inspect.dataset.timed), performance.now() - Number(inspect.dataset.elapsed));
  }
}

// A place in the scramble ------------------------------------------------------------------------

function wirePlaces() {
  part("scramble").querySelectorAll(".sheet > li").forEach((row, index) => {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "place";
    button.setAttribute("aria-pressed", "false");
    button.append(...row.childNodes);
    row.append(button);
    button.addEventListener("click", () => {
      const pressed = button.getAttribute("aria-pressed") === "true";
      part("scramble").querySelectorAll(".place").forEach((one) => one.setAttribute("aria-pressed", "false"));
      button.setAttribute("aria-pressed", String(!pressed));
    });
    button.dataset.row = index + 1;
  });
}

if (page && part("scramble")) {
  wirePlaces();
  const trip = tripOfTheWayHere();
  if (trip !== null) carry(page.dataset.step === "write" ? "ended_trip" : "begun_trip", trip);
  wireInspection(part("inspect"));
  page.addEventListener("click", (event) => {
    const link = event.target.closest("[data-go]");
    if (!link || event.metaKey || event.ctrlKey) return;
    event.preventDefault();
    show(link.dataset.go);
  });
  page.querySelectorAll("form[data-look]").forEach((form) => form.addEventListener("submit", (event) => {
    event.preventDefault();
    carry("looked", "1");
    tap(form, "look");
    cover(false);
    part("scramble").querySelector("[data-looked]").hidden = false;
    show("scramble");
  }));
  history.replaceState({ step: page.dataset.step }, "", window.location.href);
  window.addEventListener("popstate", (event) => {
    if (event.state && event.state.step) show(event.state.step, false);
  });
}
