// What the page does better with a script: drop a score anywhere, recompute as
// soon as a setting changes, and undo or tick off without a reload. Every form
// works without it.

const main = document.querySelector("main");
let latest = 0; // the newest request, so that a late answer never replaces a later one

// swap shows new content in place of the old, and keeps the reader where they
// were, with what they had begun to write.
function swap(html) {
  const from = document.activeElement;
  const id = from?.id;
  const text = from?.matches("input:not([type=file]), textarea, select") && from.name ? from.value : null;
  const top = scrollY;
  main.innerHTML = html;
  scrollTo({ top, behavior: "instant" });
  const wrong = main.querySelector(":scope > .wrong[role=alert]");
  const to = !wrong && id && document.getElementById(id);
  const said = wrong ?? main.querySelector("[role=status]");
  if (to) {
    if (text !== null && from.dataset.begun) {
      to.value = text;
    }
    to.focus({ preventScroll: true });
  } else if (said) {
    said.tabIndex = -1;
    said.focus(); // and into sight
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

// send posts a form and shows the content that comes back.
async function send(form) {
  const mine = ++latest;
  try {
    const answer = await fetch(form.getAttribute("action") + "?only=content", {
      method: "POST", body: new URLSearchParams(new FormData(form)),
    });
    const html = await answer.text();
    if (mine === latest) {
      swap(html);
    }
  } catch {
    say("The page has lost its program: start hardbars serve again.");
  }
}

const live = (form) => /\/(settings|remove|restore|tonight)$/.test(form.getAttribute("action") ?? "");

main.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.matches(".drop")) {
    event.preventDefault();
    upload([...form.elements.score.files]);
  } else if (live(form)) {
    event.preventDefault();
    send(form);
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
function upload(files) {
  const form = main.querySelector(".drop");
  if (!files.length || form?.dataset.busy) {
    return;
  }
  const body = new FormData();
  files.forEach((file) => body.append("score", file));
  const bar = document.createElement("progress");
  bar.setAttribute("aria-label", files.length === 1 ? `Reading ${files[0].name}` : `Reading ${files.length} scores`);
  if (form) {
    form.dataset.busy = "yes";
    form.append(bar);
  } else {
    main.prepend(bar);
  }
  const request = new XMLHttpRequest();
  request.open("POST", "/pieces?only=content");
  request.upload.onprogress = (event) => {
    if (event.lengthComputable && event.loaded < event.total) {
      bar.max = event.total;
      bar.value = event.loaded;
    } else {
      bar.removeAttribute("value"); // all is sent, and being read
    }
  };
  request.onload = () => {
    swap(request.responseText);
    const read = main.querySelectorAll(".files a");
    if (files.length === 1 && request.status === 200 && read.length === 1) {
      location.assign(read[0].href);
    }
  };
  request.onerror = () => {
    bar.remove();
    delete form?.dataset.busy;
    say("The score did not arrive: see whether hardbars serve still runs, then drop it again.");
  };
  request.send(body);
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

// The clock of an item of tonight: started and stopped by hand, and sent along,
// in whole minutes, when the item is ticked off.
const clocks = new Map(); // by the item's key: {spent, since}, in milliseconds

function elapsed(clock) {
  return clock ? clock.spent + (clock.since ? Date.now() - clock.since : 0) : 0;
}

function showClock(item) {
  const button = item.querySelector(".clock");
  const clock = clocks.get(item.dataset.item);
  const seconds = Math.floor(elapsed(clock) / 1000);
  const time = `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
  button.textContent = clock?.since ? `${time} of ${item.dataset.minutes} min · stop` : clock ? `${time} · go on` : "Start the clock";
  button.setAttribute("aria-pressed", String(Boolean(clock?.since)));
}

function addClocks() {
  for (const item of main.querySelectorAll("[data-item]:not(.done)")) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "clock";
    item.append(button);
    button.addEventListener("click", () => {
      const clock = clocks.get(item.dataset.item);
      clocks.set(item.dataset.item, { spent: elapsed(clock), since: clock?.since ? 0 : Date.now() });
      showClock(item);
    });
    showClock(item);
  }
}

main.addEventListener("submit", (event) => {
  const key = event.target.elements.item?.value;
  if (clocks.has(key) && event.target.elements.done.value === "yes") {
    const minutes = document.createElement("input");
    minutes.type = "hidden";
    minutes.name = "minutes";
    minutes.value = Math.max(1, Math.round(elapsed(clocks.get(key)) / 60000));
    event.target.append(minutes);
    clocks.delete(key);
  }
}, { capture: true });
main.addEventListener("content", addClocks);
setInterval(() => {
  for (const item of main.querySelectorAll("[data-item]:not(.done)")) {
    if (clocks.get(item.dataset.item)?.since) {
      showClock(item);
    }
  }
}, 1000);
addClocks();
