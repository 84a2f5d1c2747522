// What both pages share. Which keys there are, how they are written and what is said of them comes from Rust's table.

/** Fields, sides, pictures and the dark change at most once in this time: alternating red and green can provoke seizures. */
const CALM_MS = shared.calmMs;

function element(tag, text, name) {
  const made = document.createElement(tag);
  made.textContent = text;
  if (name) made.className = name;
  return made;
}

/** The row of a key that was pressed; letters count in either case. */
const keyed = (keys, pressed) => keys.find(({ names }) => names.some((name) => name.toLowerCase() === pressed.toLowerCase()));

/** How the key of an act is written. */
const keyOf = (keys, act) => keys.find((key) => key.act === act).shown;

/** All keys with what is said of them. */
function keyList(keys) {
  const list = element("dl", "", "keys");
  for (const { shown, words } of keys) {
    const pair = element("div", "");
    pair.append(element("dt", shown), element("dd", words));
    list.append(pair);
  }
  return list;
}
