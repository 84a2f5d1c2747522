// The door: a code is asked for once, and a window that has given it goes on to its page.

/** @param {string} id */
const at = (id) => /** @type {HTMLElement} */ (document.getElementById(id));

/** What Rust hands to the door. @type {{ as: string, noAnswer: string }} */
const table = JSON.parse(at("table").textContent ?? "");

const field = /** @type {HTMLInputElement} */ (at("code"));

/** Why a code was refused, in a sentence; nothing where it was taken. @param {string} code @returns {Promise<string>} */
async function refusalOf(code) {
  try {
    const answer = await fetch("/door", {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ code, as: table.as }),
    });
    const text = await answer.text();
    return text ? JSON.parse(text).refused ?? "" : "";
  } catch {
    return table.noAnswer;
  }
}

/** @param {string} code */
async function knock(code) {
  const refused = await refusalOf(code);
  if (refused === "") location.replace(`/${table.as}`);
  at("refused").textContent = refused;
  field.setAttribute("aria-invalid", `${refused !== ""}`);
  field.focus();
}

addEventListener("submit", (sent) => {
  sent.preventDefault();
  void knock(field.value);
});

/** Takes the code that the address brings, and leaves it there no longer. */
function takeBrought() {
  const brought = decodeURIComponent(location.hash.slice(1));
  if (brought === "") return;
  history.replaceState(null, "", location.pathname);
  void knock(brought);
}

addEventListener("hashchange", takeBrought);
field.focus();
takeBrought();
