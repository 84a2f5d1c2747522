// A picture of this page is what the tables in `room` say: sizes, places, codes and words come from there.

/** Maximum number of device pixels by which a window and a screen may differ from the room's. */
const NEAR_PX = 2;
const CARD_MM = [85.6, 53.98];
const FIELDS = ["red-green", "white", "red", "green"];

const at = (id) => document.getElementById(id);
const canvas = at("chart");
const context = canvas.getContext("2d", { alpha: false });

const state = {
  line: room.target, threshold: null, fields: "red-green", redLeft: room.redLeft, draw: 0,
  one: null, dark: false, strip: false, turned: false, help: false, patch: null,
  card: null, scale: 1, measured: false, changed: -Infinity, unknown: [],
};

/* Device pixels */

const ratio = () => window.devicePixelRatio;
const screenPixels = () => [screen.width * ratio(), screen.height * ratio()].map(Math.round);
const near = (one, other) => one.every((value, axis) => Math.abs(value - other[axis]) <= NEAR_PX);
const fits = () => state.measured || near(screenPixels(), room.pixels);
/** The picture: the room's pixels, or those of a screen that was measured with a card. */
const picture = () => (state.measured ? screenPixels() : room.pixels);

/* The letters: Rust's outlines, filled by exact area */

/** Coverage of an outline at a scale in pixels a unit, from a place within a pixel; signed areas summed along rows. */
function filled(letter, [across, down], [offsetX, offsetY]) {
  const width = Math.ceil(5 * across + offsetX) + 2, height = Math.ceil(5 * down + offsetY) + 1;
  const sums = new Float64Array(width * height);
  for (const contour of letter.contours) {
    const count = contour.length / 2;
    for (let index = 0; index < count; index += 1) {
      const next = (index + 1) % count;
      line(sums, width, contour[2 * index] * across + offsetX, contour[2 * index + 1] * down + offsetY,
        contour[2 * next] * across + offsetX, contour[2 * next + 1] * down + offsetY);
    }
  }
  for (let row = 0; row < height; row += 1) {
    let sum = 0;
    for (let column = 0; column < width; column += 1) {
      sum += sums[row * width + column];
      sums[row * width + column] = Math.min(1, Math.abs(sum));
    }
  }
  return { width, height, coverage: sums };
}

/** Adds an edge: in each row it crosses, how its height divides among the columns it passes and those to the right. */
function line(sums, width, x0, y0, x1, y1) {
  if (y0 === y1) return;
  const sign = y0 < y1 ? 1 : -1;
  if (sign < 0) [x0, y0, x1, y1] = [x1, y1, x0, y0];
  const slope = (x1 - x0) / (y1 - y0);
  for (let row = Math.floor(y0); row < y1; row += 1) {
    const top = Math.max(y0, row), bottom = Math.min(y1, row + 1);
    if (bottom <= top) continue;
    const from = x0 + (top - y0) * slope, to = x0 + (bottom - y0) * slope;
    const left = Math.min(from, to), right = Math.max(from, to);
    const high = sign * (bottom - top);
    const first = Math.floor(left), last = Math.floor(right);
    const start = row * width;
    if (first === last) {
      const inside = 1 - ((left + right) / 2 - first);
      sums[start + first] += high * inside;
      sums[start + first + 1] += high * (1 - inside);
      continue;
    }
    // The edge spends an equal share of its height on each unit of its width.
    const share = high / (right - left);
    let before = 0;
    for (let column = first; column <= last; column += 1) {
      const enter = Math.max(left, column), leave = Math.min(right, column + 1);
      const passed = share * (leave - enter);
      const covered = passed * (1 - ((enter + leave) / 2 - column));
      // What earlier columns passed covers this one whole.
      sums[start + column] += covered + before;
      before = passed - covered;
    }
    sums[start + last + 1] += before;
  }
}

/** Where a row of letters stands on a field: as Rust laid it out, or in the middle of a measured screen. */
function placed(entry, fieldWidth, height, fieldCount) {
  const layout = fieldCount === 2 ? entry.two : entry.one;
  if (!layout) return null;
  if (!state.measured) return { ...layout, unit: entry.unit };
  const unit = entry.unit.map((pixels) => pixels * state.scale);
  let count = layout.count;
  while (count > 0 && (2 * count + 1) * 5 * unit[0] > fieldWidth) count -= 1;
  if (count === 0 || 3 * 5 * unit[1] > height || unit[0] < room.leastStroke) return null;
  const left = Math.round((fieldWidth - (2 * count - 1) * 5 * unit[0]) / 2);
  return { left, top: Math.round((height - 5 * unit[1]) / 2), count, unit };
}

const shown = () => room.lines.filter((entry) => {
  const [width, height] = picture();
  return placed(entry, Math.floor(width / 2), height, 2) !== null;
});

/** The fields from the patient's left: their paint and where they begin. */
function fields(width) {
  const names = state.fields === "red-green" ? (state.redLeft ? ["red", "green"] : ["green", "red"]) : [state.fields];
  const seam = Math.floor(width / 2);
  return names.map((name, index) => ({
    name, left: index * seam, width: names.length === 1 ? width : index === 0 ? seam : width - seam,
  }));
}

function letters() {
  const entry = room.lines[state.line];
  const all = entry.draws[state.draw % entry.draws.length];
  const two = state.fields === "red-green";
  return { entry, all: two ? all.two : all.one };
}

function draw() {
  const [width, height] = picture();
  if (canvas.width !== width || canvas.height !== height) [canvas.width, canvas.height] = [width, height];
  canvas.style.width = `${width / ratio()}px`;
  canvas.style.height = `${height / ratio()}px`;
  const lit = fits() && !state.dark && state.card === null;
  canvas.hidden = !lit;
  if (!lit) return;
  if (state.patch !== null) {
    patch(width, height);
    return;
  }
  const flip = (left, size) => (room.mirror ? width - left - size : left);
  const { entry, all } = letters();
  for (const field of fields(width)) {
    const paint = room.paints[field.name];
    context.fillStyle = `rgb(${paint.codes})`;
    context.fillRect(flip(field.left, field.width), 0, field.width, height);
    const count = fields(width).length;
    const place = placed(entry, count === 2 ? Math.floor(width / 2) : width, height, count);
    if (place === null) continue;
    const alone = state.one !== null;
    all.slice(0, place.count).forEach((index, number) => {
      if (alone && state.one % place.count !== number) return;
      // The letters of a row have gaps of their own width; one alone stands in the middle of its field.
      const middle = Math.round((Math.floor(width / count) - 5 * place.unit[0]) / 2);
      const x = field.left + (alone ? middle : place.left + number * 10 * place.unit[0]);
      const whole = Math.floor(x);
      const glyph = filled(room.letters[index], place.unit, [x - whole, 0]);
      const image = painted(glyph, paint, room.mirror);
      context.putImageData(image, flip(whole, glyph.width), place.top);
    });
  }
}

/** How many codes begin above a coverage: the code whose light is nearest, by Rust's table. */
function coded(edges, share) {
  let low = 0, high = edges.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (share < edges[middle]) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** A letter's pixels. */
function painted({ width, height, coverage }, paint, mirrored) {
  const image = context.createImageData(width, height);
  for (let row = 0; row < height; row += 1) {
    for (let column = 0; column < width; column += 1) {
      const share = coverage[row * width + (mirrored ? width - 1 - column : column)];
      const pixel = 4 * (row * width + column);
      for (let channel = 0; channel < 3; channel += 1) {
        const edges = paint.edges[channel];
        image.data[pixel + channel] = edges ? coded(edges, share) : 0;
      }
      image.data[pixel + 3] = 255;
    }
  }
  return image;
}

/** Plain pictures to hold a meter to, and the strip of borders for the eye, along this page's own path. */
function patch(width, height) {
  const { codes, strip } = room.patches[state.patch];
  if (!strip) {
    context.fillStyle = `rgb(${codes})`;
    context.fillRect(0, 0, width, height);
    return;
  }
  context.fillStyle = "#050607";
  context.fillRect(0, 0, width, height);
  const slot = Math.floor(width / strip.length);
  strip.forEach(([red, green], index) => {
    context.fillStyle = `rgb(${red})`;
    context.fillRect(index * slot + 8, Math.floor(height / 3), slot - 16, Math.floor(height / 6));
    context.fillStyle = `rgb(${green})`;
    context.fillRect(index * slot + 8, Math.floor(height / 3) + Math.floor(height / 6), slot - 16, Math.floor(height / 6));
    // The steps' names, as on the setup sheet.
    context.fillStyle = "#c8cbcd";
    context.font = `${Math.floor(height / 36)}px sans-serif`;
    context.textAlign = "center";
    context.fillText(`${index + 1}`, (index + 0.5) * slot, Math.floor((height * 2) / 3) + Math.floor(height / 18));
  });
}

/* What stands beside the chart */

const key = (act) => keyOf(room.keys, act);

function reason() {
  if (fits()) return "";
  const [width, height] = screenPixels();
  return `This page is for a screen of ${room.pixels.join(" × ")} pixels; the browser sees ${width} × ${height}.\n`
    + `Zoom to 100 % (Ctrl and 0). If this is another screen, make a page for it, or press ${key("card")} and measure it with a bank card.`;
}

function notices() {
  const said = [];
  const [width, height] = picture();
  if (innerWidth * ratio() < width - NEAR_PX || innerHeight * ratio() < height - NEAR_PX) {
    said.push(`Not full screen: the letters keep their size, but the picture is cut off. Press ${key("full_screen")} for full screen`);
  }
  if (matchMedia("(color-gamut: p3)").matches) {
    said.push(`Wide-gamut screen: the browser may change colours. Measure the patches of this page (${key("patches")}) with a meter`);
  }
  if (state.unknown.length > 0) said.push(`The address has settings that this page does not know, so they are ignored: ${state.unknown.join(", ")}`);
  if (state.measured) said.push("Size measured with your card, colours of another screen: brightness is not matched");
  return said;
}

/** Where the colours lie; marked where that is not as the page opened. */
function sides() {
  if (state.fields !== FIELDS[0]) return element("span", state.fields);
  const words = state.redLeft ? "red left, green right" : "green left, red right";
  return element(state.redLeft === room.redLeft ? "span" : "b", `${words}, as the patient sees it`);
}

function strip() {
  const { entry, all } = letters();
  const fieldCount = state.fields === FIELDS[0] ? 2 : 1;
  const [width, height] = picture();
  const place = placed(entry, fieldCount === 2 ? Math.floor(width / 2) : width, height, fieldCount);
  const row = all.slice(0, place ? place.count : 0).map((index) => room.letters[index].name);
  const named = state.one === null ? row.join(" ") : row[state.one % row.length];
  const threshold = state.threshold === null ? "" : ` · threshold ${room.lines[state.threshold].name}`;
  const now = element("p", "", "now");
  now.append(element("b", `${entry.name}${entry.coarse ? " (coarse)" : ""}`), element("span", named), sides(),
    element("span", `target ${room.lines[target()].name}${threshold}`), element("span", `${key("help")} help`, "quiet"));
  const { question, beforeAsking, supervision, notApproved } = room.said;
  const asked = fieldCount === 1 ? [element("p", room.acuity)]
    : [element("p", beforeAsking), element("p", `“${question}”`, "question"), element("p", room.rule)];
  at("strip").replaceChildren(now, ...asked, element("p", `${supervision} ${notApproved}`, "quiet"));
}

/** For each kind of eye the first lens, and what each answer asks for next. */
function firstSteps() {
  const table = element("table", ""), head = table.createTHead().insertRow(), body = table.createTBody();
  head.append(...["Eye: procedure", "First lens", ...room.answers.map((answer) => `Answer: ${answer}`)].map((words) => element("th", words)));
  for (const { eyes, procedure, first, next } of room.firstSteps) {
    body.insertRow().append(...[`${eyes}: ${procedure}`, first, ...next].map((words) => element("td", words)));
  }
  return table;
}

function section(title, words) {
  const made = element("div", "");
  made.append(element("h1", title), ...words.map((text) => element("p", text)));
  return made;
}

function help() {
  const { question, bySide, noDifference, beforeAsking, seizures, supervision, notApproved } = room.said;
  const words = element("div", "", "words"), [place, ...notes] = room.notes;
  words.append(
    section("The question", [beforeAsking, `“${question} ${noDifference}”`, `With a colour vision defect: “${bySide} ${noDifference}”`, place]),
    section("Cautions", [seizures, ...notes, `${supervision} ${notApproved}`]),
  );
  const after = element("h1", "After the first question");
  after.append(element("span", room.stepsHoldFor));
  at("help").replaceChildren(element("h1", "Keys"), keyList(room.keys), after, firstSteps(), words);
}

function card() {
  const box = at("card");
  box.hidden = state.card === null;
  if (state.card === null) return;
  box.textContent = `Hold a bank card here. Press ${key("more")} and ${key("less")} until it fits, ${key("take")} to keep the size, ${key("leave")} to leave.`;
  const pixels = state.card / ratio();
  box.style.width = `${pixels}px`;
  box.style.height = `${(pixels * CARD_MM[1]) / CARD_MM[0]}px`;
  box.style.borderRadius = `${(pixels * 3.18) / CARD_MM[0]}px`;
}

function render() {
  draw();
  const why = state.card === null ? reason() : "";
  at("reason").hidden = why === "";
  at("reason").textContent = why;
  const said = why === "" && state.card === null && !state.dark ? notices() : [];
  at("notice").hidden = said.length === 0;
  at("notice").textContent = said.join(" · ");
  strip();
  at("strip").hidden = !state.strip || state.dark;
  at("strip").classList.toggle("turned", state.turned);
  at("help").hidden = !state.help;
  card();
  const { entry } = letters();
  const what = state.dark ? "dark" : state.patch === null ? `${entry.name}, ${state.fields}` : room.patches[state.patch].name;
  canvas.setAttribute("aria-label", what);
  if (at("spoken").textContent !== what) at("spoken").textContent = what;
}

/* What the keys do */

/** Whether fields, sides or the dark may change now. */
function calm() {
  const now = performance.now();
  if (now - state.changed < CALM_MS) return false;
  state.changed = now;
  return true;
}

function step(by) {
  const able = shown().map((entry) => room.lines.indexOf(entry));
  const here = able.findIndex((index) => index >= state.line);
  const next = able[Math.max(0, Math.min(able.length - 1, (here < 0 ? able.length - 1 : here) + by))];
  if (next !== undefined) state.line = next;
}

/** Two lines above the threshold that the examiner set, as far as the room shows it; else the customary line. */
const target = () => (state.threshold === null ? room.target : Math.max(0, state.threshold - 2));

function threshold(by) {
  const from = state.threshold === null ? Math.min(room.lines.length - 1, room.target + 2) : state.threshold + by;
  state.threshold = Math.max(0, Math.min(room.lines.length - 1, from));
  state.line = target();
}

function show(name) {
  if (FIELDS.includes(name) && state.fields !== name && calm()) {
    state.fields = name;
    state.patch = null;
  }
}

function nextPatch() {
  if (!calm()) return;
  state.patch = state.patch === null ? 0 : state.patch + 1 < room.patches.length ? state.patch + 1 : null;
}

function grow(by) {
  if (state.card !== null) state.card = Math.max(100, state.card + by);
}

function accept() {
  if (state.card === null) return;
  state.scale = (state.card / CARD_MM[0]) * room.pitch[0];
  state.measured = Math.abs(state.scale - 1) > 0.005 || !near(screenPixels(), room.pixels);
  state.card = null;
  step(0);
}

function leave() {
  if (state.help) state.help = false;
  else if (state.card !== null) state.card = null;
  else if (state.patch !== null && calm()) state.patch = null;
}

/** What each act of the table does. */
const ACTS = {
  next: () => step(1),
  before: () => step(-1),
  smaller: () => step(1),
  larger: () => step(-1),
  target: () => { state.line = target(); },
  threshold_smaller: () => threshold(1),
  threshold_larger: () => threshold(-1),
  numbered: (number) => show(FIELDS[number - 1]),
  swap_sides: () => { if (calm()) state.redLeft = !state.redLeft; },
  new_letters: () => { state.draw += 1; },
  one_letter: () => { state.one = state.one === null ? 0 : state.one + 1; },
  whole_line: () => { state.one = null; },
  dark: () => { if (calm()) state.dark = !state.dark; },
  strip: () => { state.strip = !state.strip; },
  turn_strip: () => { state.turned = !state.turned; },
  full_screen: whole,
  patches: nextPatch,
  card: () => { state.card = Math.round(CARD_MM[0] / room.pitch[0]); },
  more: () => grow(1),
  less: () => grow(-1),
  take: accept,
  help: () => { state.help = !state.help; },
  leave,
};

function whole() {
  const done = document.fullscreenElement ? document.exitFullscreen() : document.documentElement.requestFullscreen();
  done.catch(() => {});
}

/** In the dark only these do anything, so that nothing bright is one step away but what was there. */
const IN_THE_DARK = ["dark", "strip", "help", "leave"];
/** While help lies over the chart only these do, and other keys scroll it. */
const IN_HELP = ["full_screen", "help", "leave"];

const allowed = (act) => (!state.dark || IN_THE_DARK.includes(act)) && (!state.help || IN_HELP.includes(act));

addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const found = keyed(room.keys, event.key);
  if (!found || !allowed(found.act)) return;
  event.preventDefault();
  // What a held key repeats does nothing.
  if (event.repeat) return;
  ACTS[found.act](Number(event.key));
  render();
  if (state.help) at("help").focus();
});
addEventListener("resize", render);
addEventListener("mousemove", () => {
  document.body.style.cursor = "default";
  clearTimeout(window.hideCursor);
  window.hideCursor = setTimeout(() => { document.body.style.cursor = "none"; }, 2000);
});

/** `#line=0.3&fields=white&red=right&strip=on` sets how the page opens. */
function preset() {
  const asked = new URLSearchParams(location.hash.slice(1));
  // An empty value would be the number 0.
  const line = asked.get("line") || "none";
  const index = room.lines.findIndex((entry) => entry.name === line || Math.abs(entry.logMar - Number(line)) < 0.01);
  const known = {
    line: () => { state.line = index; return index >= 0; },
    fields: (name) => { state.fields = name; return FIELDS.includes(name); },
    red: (side) => { state.redLeft = side === "left"; return ["left", "right"].includes(side); },
    strip: (shown) => { state.strip = shown === "on"; return ["on", "off"].includes(shown); },
  };
  for (const [key, value] of asked) {
    const before = { line: state.line, fields: state.fields, redLeft: state.redLeft, strip: state.strip };
    if (!known[key]?.(value)) {
      Object.assign(state, before);
      state.unknown.push(`${key}=${value}`);
    }
  }
}

preset();
help();
render();
