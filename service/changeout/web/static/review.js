// The review page with a script: the same form, sent without leaving the page, and lines that light up.
// Without it everything works by plain posts and links; nothing here decides anything.

const page = { active: null, keys: "review-single-keys" };
const $ = (selector, within = document) => within.querySelector(selector);
const all = (selector, within = document) => [...within.querySelectorAll(selector)];

// What the page shows anyway is said to those only who do not see it.
function say(words, { seen = true } = {}) {
  const status = $("#status");
  status.classList.toggle("unseen", !seen);
  status.textContent = words;
  clearTimeout(say.later);
  say.later = setTimeout(() => { status.textContent = ""; }, 4000);
}

// --- Lines and findings -------------------------------------------------------------------------------------------

function linesOf(finding) {
  const numbers = all("[data-lines]", finding).flatMap((one) => one.dataset.lines.split(" "));
  return [...new Set(numbers)].map((number) => $(`#line-${number}`)).filter(Boolean);
}

function light(finding, { from = null } = {}) {
  for (const lit of all(".lit")) lit.classList.remove("lit");
  for (const was of all(".active")) was.classList.remove("active");
  page.active = finding;
  if (!finding) return;
  const card = finding.closest("[data-card]");
  (card || finding).classList.add("active");
  const lines = linesOf(finding);
  for (const line of lines) line.classList.add("lit");
  if (lines.length && !from) reveal(lines[0]);
}

function reveal(line) {
  const sheet = line.closest(".sheet");
  if (!sheet || sheet.scrollHeight <= sheet.clientHeight) return;
  const top = line.getBoundingClientRect().top - sheet.getBoundingClientRect().top;
  sheet.scrollTop += top - sheet.clientHeight / 4;
}

function findingsAt(line) {
  return (line.dataset.findings || "").split(" ").filter(Boolean).map((number) => $(`#finding-${number}`)).filter(Boolean);
}

function goTo(finding) {
  for (let around = finding.closest("details"); around; around = around.parentElement.closest("details")) around.open = true;
  const card = finding.closest("[data-card]") || finding;
  card.focus({ preventScroll: true });
  finding.scrollIntoView({ block: "center" });
  light(finding);
}

function back(line) {
  const findings = findingsAt(line);
  if (!findings.length) return;
  const at = findings.indexOf(page.active);
  goTo(findings[(at + 1) % findings.length]);
  say(`Finding ${((at + 1) % findings.length) + 1} of ${findings.length} that rest on line ${line.id.slice(5)}.`);
}

function goToLine(line) {
  const link = $(".back", line);
  line.scrollIntoView({ block: "center" });
  if (link) link.focus({ preventScroll: true });
}

function toFirstLine() {
  const lines = page.active ? linesOf(page.active) : [];
  if (lines.length) goToLine(lines[0]);
}

function step(by) {
  const cards = all("[data-card]").filter((card) => !card.closest("details:not([open])"));
  if (!cards.length) return;
  const at = cards.indexOf((document.activeElement && document.activeElement.closest("[data-card]")) || (page.active && page.active.closest("[data-card]")));
  const next = cards[at < 0 ? (by > 0 ? 0 : cards.length - 1) : Math.min(Math.max(at + by, 0), cards.length - 1)];
  next.focus({ preventScroll: true });
  next.scrollIntoView({ block: "nearest" });
  light(next);
}

// --- Sending without leaving --------------------------------------------------------------------------------------

async function send(button) {
  const form = $("#review");
  const data = new FormData(form, button || undefined);
  const wanted = button && button.getAttribute("formaction");
  const kept = document.activeElement && document.activeElement.id;
  document.body.classList.add("busy");
  say("Checking…");
  try {
    const response = await fetch(form.action, { method: "POST", body: data, headers: { Accept: "text/html" } });
    const text = await response.text();
    if (!(response.headers.get("Content-Type") || "").startsWith("text/html")) throw new Error(String(response.status));
    show(new DOMParser().parseFromString(text, "text/html"), kept, wanted && wanted.split("#")[1]);
  } catch {
    say("The service did not answer. What you have written is still here; check again.");
  } finally {
    document.body.classList.remove("busy");
  }
}

function show(made, kept, wanted) {
  const open = all("details[open][id]").map((one) => one.id);
  const sheet = $(".sheet");
  const place = sheet ? sheet.scrollTop : 0;
  const active = page.active && page.active.id;
  const wasJudged = $("#main").dataset.state === "judged";
  document.title = made.title;
  $("#main").replaceWith(document.adoptNode($("#main", made)));
  $(".foot").replaceWith(document.adoptNode($(".foot", made)));
  for (const id of open) if ($(`#${id}`)) $(`#${id}`).open = true;
  prepare();
  if ($(".sheet")) $(".sheet").scrollTop = place;
  const heading = $("#verdict-title") || $("#refused-title");
  if (wasJudged && active && $(`#${CSS.escape(active)}`)) light($(`#${CSS.escape(active)}`), { from: "kept" });
  const goal = wanted && $(`#${wanted}`);
  const focus = (wasJudged && wanted !== "sweep" && kept && $(`#${CSS.escape(kept)}`)) || (goal && ($("[tabindex='-1']", goal) || goal)) || heading;
  if (focus) focus.focus({ preventScroll: wasJudged && focus.id === kept });
  if (goal && wanted === "sweep") goal.scrollIntoView({ block: "nearest" });
  const told = [...all(".untaken").map((one) => one.textContent.trim()), heading ? heading.textContent.trim() : ""];
  say(told.filter(Boolean).join(" "), { seen: false });
}

function check() { send($("#check")); }

// --- What is pasted, dropped or picked ----------------------------------------------------------------------------

function take(text) {
  const field = $("#document");
  field.value = text;
  const was = $("[name=jurisdiction_was]");
  if (was) $("#jurisdiction").value = was.value;
  check();
}

async function takeFile(file) {
  if (file.size > 1024 * 1024) { say("The file has more than 1 MiB."); return; }
  const bytes = new Uint8Array(await file.arrayBuffer());
  try {
    take(new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes));
  } catch {
    say("The file is not UTF-8 text.");
  }
}

document.addEventListener("dragover", (event) => {
  if (![...event.dataTransfer.types].includes("Files")) return;
  event.preventDefault();
  document.body.classList.add("dropping");
});
document.addEventListener("dragleave", (event) => { if (!event.relatedTarget) document.body.classList.remove("dropping"); });
document.addEventListener("drop", (event) => {
  document.body.classList.remove("dropping");
  if (!event.dataTransfer.files.length) return;
  event.preventDefault();
  takeFile(event.dataTransfer.files[0]);
});
document.addEventListener("paste", (event) => {
  if (inField(event.target)) return;
  const text = event.clipboardData.getData("text");
  if (text.trim()) { event.preventDefault(); take(text); }
});

// --- Copying ------------------------------------------------------------------------------------------------------

async function copy(card) {
  const details = $("details.copy", card);
  const field = $("textarea", details);
  try {
    await navigator.clipboard.writeText(field.value);
    say("Copied.");
  } catch {
    details.hidden = false;
    details.open = true;
    field.select();
    say(document.execCommand("copy") ? "Copied." : "Selected; copy it with the keys of your browser.");
  }
}

// --- Keys ---------------------------------------------------------------------------------------------------------

// A browser may keep nothing for a page; then the letters work.
function lettersWork(wanted) {
  try {
    if (wanted !== undefined) localStorage.setItem(page.keys, wanted ? "on" : "off");
    return localStorage.getItem(page.keys) !== "off";
  } catch {
    return true;
  }
}

function inField(element) {
  return Boolean(element && element.closest && element.closest("input:not([type=checkbox]), select, textarea, [contenteditable]"));
}

const actions = {
  n: () => step(1),
  p: () => step(-1),
  l: toFirstLine,
  b: () => { const line = document.activeElement && document.activeElement.closest(".lines li"); if (line) back(line); else if (page.active) goTo(page.active); },
  q: () => { const field = $("#questions select, #questions input"); if (field) { field.focus(); field.scrollIntoView({ block: "center" }); } },
  t: () => { const card = page.active && page.active.closest("[data-card]"); if (card && $("details.copy", card)) copy(card); },
  e: () => { const edit = $("#edit"); if (edit) edit.open = true; $("#document").focus(); },
  s: () => { const box = $("#compare"); if (box) { box.checked = !box.checked; changed({ target: box }); } },
  w: () => { const letter = $("#paper-correction-letter"); if (letter) letter.click(); },
  k: () => { const keys = $("#keys"); keys.open = !keys.open; },
};

document.addEventListener("keydown", (event) => {
  if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) { event.preventDefault(); check(); return; }
  if (event.ctrlKey || event.metaKey || event.altKey || event.isComposing || inField(event.target)) return;
  if (!lettersWork()) return;
  const act = actions[event.key];
  if (act) { event.preventDefault(); act(); }
});

// --- Clicks and changes -------------------------------------------------------------------------------------------

document.addEventListener("click", (event) => {
  const target = event.target;
  if (target.closest("button.copying")) { copy(target.closest("[data-card]")); return; }
  const line = target.closest(".lines li");
  if (line) {
    if (target.closest("a")) event.preventDefault();
    if (!String(getSelection())) back(line);
    return;
  }
  const link = target.closest("[data-line]");
  if (link && link.closest("#refused")) { edit(event, link); return; }
  const finding = target.closest("[data-finding], [data-card]");
  if (!finding || target.closest("button, input, select, textarea, label, summary, details.copy")) return;
  light(finding);
  if (link) {
    event.preventDefault();
    const stands = $(`#line-${link.dataset.line}`);
    if (stands) goToLine(stands);
  }
});

function edit(event, link) {
  const field = $("#document");
  const lines = field.value.split("\n");
  const row = Number(link.dataset.line) - 1;
  const start = lines.slice(0, row).reduce((sum, text) => sum + text.length + 1, 0) + Math.max(Number(link.dataset.column) - 1, 0);
  event.preventDefault();
  field.focus();
  field.setSelectionRange(start, start);
  field.scrollTop = (row / lines.length) * field.scrollHeight - field.clientHeight / 3;
}

document.addEventListener("submit", (event) => {
  if (event.submitter && event.submitter.formTarget) return;
  event.preventDefault();
  send(event.submitter);
});

function changed(event) {
  const field = event.target;
  if (field.id === "single-keys") lettersWork(field.checked);
  if (field.id === "file" && field.files.length) { takeFile(field.files[0]); field.value = ""; }
  const written = $("#document") && $("#document").value.trim();
  if (["edition", "jurisdiction", "compare"].includes(field.id) && written) {
    send(null).then(() => { if (field.id === "compare" && field.checked && $("#side-by-side")) $("#side-by-side").scrollIntoView(); });
  }
}
document.addEventListener("change", changed);
document.addEventListener("focusin", (event) => {
  const finding = event.target.closest("[data-finding], [data-card]");
  const inside = page.active && finding && page.active.closest("[data-card]") === finding.closest("[data-card]");
  if (finding && !inside && !event.target.closest(".lines")) light(finding);
});
addEventListener("beforeprint", () => { for (const one of all("details.rest")) { one.dataset.was = one.open ? "1" : ""; one.open = true; } });
addEventListener("afterprint", () => { for (const one of all("[data-was]")) { one.open = Boolean(one.dataset.was); delete one.dataset.was; } });

function prepare() {
  document.documentElement.classList.add("scripted");
  const keys = $("#single-keys");
  if (keys) keys.checked = lettersWork();
  for (const details of all("details.copy")) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "copying";
    button.append("Copy as text", $("summary .unseen", details).cloneNode(true));
    details.before(button);
    details.hidden = true;
  }
  // One stop of the tab key for the lines of a finding; the letter l and a click reach the others.
  for (const rests of all(".rests")) all("a", rests).slice(1).forEach((link) => { link.tabIndex = -1; });
}
prepare();
