// What the page does better with a script: drop a score anywhere, send a form
// without losing one's place, recompute as soon as a setting changes, and a
// clock that ticks. Every form works without it.

const main = document.querySelector("main");
let latest = 0; // the newest request, so that a late answer never replaces a later one

// trail are the ways to find an element again in a new page: by itself, or else
// by what stands around it.
function trail(element) {
  const ways = [];
  if (element?.form && element.name && !element.id) {
    const around = element.closest("[id]")?.id ?? main.id;
    ways.push(`#${CSS.escape(around)} form[action="${element.form.getAttribute("action")}"] [name="${element.name}"][value="${CSS.escape(element.value)}"]`);
  }
  for (let at = element; at && at !== document.body; at = at.parentElement) {
    if (at.id) {
      ways.push(`#${CSS.escape(at.id)}`);
    }
  }
  return ways;
}

function focusOn(element) {
  if (!element.matches("a[href], button, input, select, textarea, summary, [tabindex]")) {
    element.tabIndex = -1;
  }
  element.focus({ preventScroll: true });
}

// swap shows a new page in place of the old, and keeps the reader where they
// were, with what they had begun to write.
function swap(html, from = document.activeElement) {
  const page = new DOMParser().parseFromString(html, "text/html");
  const ways = trail(from);
  const text = from?.dataset?.begun && from.name ? from.value : null;
  const top = scrollY;
  document.title = page.title;
  document.querySelector("body > header").innerHTML = page.querySelector("body > header").innerHTML;
  document.body.dataset.page = page.body.dataset.page;
  main.innerHTML = page.querySelector("main").innerHTML;
  scrollTo({ top, behavior: "instant" });
  const wrong = main.querySelector("[aria-invalid=true]") ?? main.querySelector(".wrong[role=alert]");
  const same = ways.map((way) => document.querySelector(way)).find((found) => found);
  const to = wrong ?? same ?? main.querySelector("[role=status]") ?? main;
  if (to === same && text !== null && to.name === from.name) {
    to.value = text;
  }
  focusOn(to);
  if (to !== main) {
    to.scrollIntoView({ block: "nearest", behavior: "instant" });
  }
  main.dispatchEvent(new CustomEvent("content", { bubbles: true }));
}

function say(text) {
  let p = main.querySelector(".said");
  if (!p) {
    p = document.createElement("p");
    p.className = "said wrong";
    p.setAttribute("role", "alert");
    main.prepend(p);
  }
  p.textContent = text;
}

// send posts a form and shows the page that it leads to.
async function send(form, by) {
  const mine = ++latest;
  const from = by ?? document.activeElement;
  try {
    const answer = await fetch(form.getAttribute("action"), { method: "POST", body: new URLSearchParams(new FormData(form, by)) });
    const html = await answer.text();
    if (mine !== latest) {
      return;
    }
    const there = new URL(answer.url).pathname;
    if (answer.redirected && there !== location.pathname) {
      history.pushState(null, "", there);
    }
    swap(html, from);
  } catch {
    say("The page has lost its program: start hardbars again. What you wrote is still here.");
  }
}

addEventListener("popstate", () => location.reload());
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.matches(".drop")) {
    event.preventDefault();
    upload([...form.elements.score.files]);
  } else if (form.method === "post") {
    event.preventDefault();
    send(form, event.submitter);
  }
});
main.addEventListener("input", (event) => { event.target.dataset.begun = "yes"; });
main.addEventListener("change", (event) => {
  delete event.target.dataset.begun;
  const form = event.target.form;
  if (form?.getAttribute("action")?.endsWith("/settings")) {
    send(form);
  }
});

// upload reads scores in: one leads to its piece, several stay on the shelf.
// What is dropped while others are being read waits for its turn.
const waiting = [];
let reading = false;

async function upload(files) {
  if (!files.length) {
    return;
  }
  waiting.push(files);
  if (reading) {
    say(`${files.length === 1 ? files[0].name : `${files.length} scores`} will be read after the ones before.`);
    return;
  }
  reading = true;
  while (waiting.length) {
    await read(waiting.shift());
  }
  reading = false;
}

function read(files) {
  const body = new FormData();
  files.forEach((file) => body.append("score", file));
  const form = main.querySelector(".drop");
  const bar = document.createElement("progress");
  bar.setAttribute("aria-label", files.length === 1 ? `Reading ${files[0].name}` : `Reading ${files.length} scores`);
  form ? form.append(bar) : main.prepend(bar);
  return new Promise((done) => {
    const request = new XMLHttpRequest();
    request.open("POST", "/pieces");
    request.upload.onprogress = (event) => {
      if (event.lengthComputable && event.loaded < event.total) {
        bar.max = event.total;
        bar.value = event.loaded;
      } else {
        bar.removeAttribute("value"); // all is sent, and being read
      }
    };
    request.onload = () => {
      const there = new URL(request.responseURL).pathname;
      if (there !== "/pieces" && waiting.length === 0) {
        location.assign(there);
      } else {
        swap(request.responseText);
      }
      done();
    };
    request.onerror = () => {
      bar.remove();
      say("The score did not arrive: see whether hardbars still runs, then drop it again.");
      done();
    };
    request.send(body);
  });
}

const carriesFiles = (event) => event.dataTransfer?.types.includes("Files");
addEventListener("dragover", (event) => {
  if (carriesFiles(event)) {
    event.preventDefault();
    main.querySelector(".drop")?.classList.add("over");
  }
});
addEventListener("dragleave", (event) => {
  if (!event.relatedTarget) {
    main.querySelector(".drop")?.classList.remove("over");
  }
});
addEventListener("drop", (event) => {
  if (carriesFiles(event)) {
    event.preventDefault();
    main.querySelector(".drop")?.classList.remove("over");
    upload([...event.dataTransfer.files]);
  }
});

// The clock is kept by the program; here it ticks.
setInterval(() => {
  for (const time of document.querySelectorAll(".time[data-since]")) {
    const seconds = Math.max(0, Math.floor(Date.now() / 1000 - time.dataset.since));
    const two = (n) => String(n).padStart(2, "0");
    time.textContent = `${two(Math.floor(seconds / 3600))}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
  }
}, 1000);
