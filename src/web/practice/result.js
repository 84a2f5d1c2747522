// How a run went: the verdict, the questions beside the rule, the curve and the views.

const COLOURS = ["red", "green"];
const SLIPS = {
  swap: "Right lens, but the sides were not swapped.",
  fog: "Right lens, but the eye was not fogged first.",
  larger: "Right lens, but the letters were not larger.",
};

/** Dioptres with sign and a true minus, from thousandths; zero has no sign. */
function dioptres(thousandths) {
  const hundredths = Math.round(Math.abs(thousandths) / 10);
  const sign = hundredths === 0 ? "" : thousandths < 0 ? "−" : "+";
  return `${sign}${(hundredths / 100).toFixed(2)}\u202fD`;
}

const lens = (clicks) => dioptres(clicks * practice.click);
const plural = (count, word) => `${count} ${word}${count === 1 ? "" : "s"}`;

/** What the rule wants next, in the balance's words. */
function nextStep({ want, moved }) {
  if (want.end) return `The rule ends here. ${ended(want.end)}`;
  const fog = want.throughPlus ? ` ${practice.throughPlus}` : "";
  return `${because(want.why, moved)} Lens ${lens(want.clicks)}.${fog}`;
}

/** A "0.00 D" stays in where the rule keeps the manifest's own lens. */
const ended = (end) => end.words.replace("{lens}", end.clicks === null ? "" : lens(end.clicks));

/** The sentence that a run comes to, and why. */
function verdict(level, patient, run, held, own) {
  const asked = run.asked.length;
  if (run.done === "unequal") {
    if (patient.dimmer === undefined) {
      return ["These fields are equal.", "Both have the same brightness. The balance can go on."];
    }
    return ["Right: the fields are unequal.", `${dimmed(patient)} You said so after ${plural(asked, "question")}.`];
  }
  if (patient.dimmer !== undefined) {
    return ["The fields were unequal.", `${dimmed(patient)} Look at the fields before the first question, and say so.`];
  }
  const first = held.remarks.findIndex((remark) => remark.departed);
  if (first >= 0) return [`You left the rule at question ${first + 1}.`, ownEnd(own)];
  if (!held.want.end) {
    return [asked === 0 ? "Nothing was asked." : "By the rule so far, but the rule goes on.", nextStep(held)];
  }
  const slips = held.remarks.filter((remark) => remark.slip).length;
  const lensOf = held.want.end.clicks;
  if (run.done === "lens" && lensOf === null) return ["By the rule, but the rule leaves no lens in here.", ended(held.want.end)];
  if (run.done !== "lens" && lensOf !== null) return ["By the rule, but the rule does leave a lens in.", ended(held.want.end)];
  if (run.done === "lens" && lensOf !== run.clicks) return ["By the rule, but the rule leaves another lens in.", ended(held.want.end)];
  return [slips ? `By the rule, with ${plural(slips, "slip")}.` : "By the rule, to the end.", ended(held.want.end)];
}

function dimmed({ dimmer }) {
  return `The ${COLOURS[dimmer]} field is too dim, so answers lean to ${COLOURS[1 - dimmer]}, here by about one click.`;
}

const ownEnd = (own) => `By the rule, in ${plural(own.asked.length, "question")}: ${ended(own.end)}`;

function remarkWords(remark) {
  if (remark.want.end) return "The rule had already ended.";
  if (remark.slip) return SLIPS[remark.slip];
  return `${remark.departed ? `Rule: ${lens(remark.want.clicks)}. ` : ""}${because(remark.want.why, remark.moved)}`;
}

/** The figures, each with what it is. */
function figures(level, patient, run, held, own) {
  const right = held.remarks.filter((remark) => !remark.departed && !remark.slip).length;
  const off = (clicks) => dioptres(patient.start + clicks * practice.click - sightOf(level).balance);
  const used = [run.hints ? plural(run.hints, "hint") : "", run.peeks ? `${plural(run.peeks, "look")} at the view` : ""].filter(Boolean).join(", ");
  const yours = run.done === "lens" ? run.clicks : 0;
  const rules = own.end.clicks ?? 0;
  return [
    [`${right} of ${run.asked.length}`, `questions by the rule${used ? `; ${used}` : ""}`],
    [run.done === "lens" ? lens(run.clicks) : "manifest", `your lens: ${off(yours)} from balance`],
    [own.end.clicks === null ? "manifest" : lens(rules), `the rule’s lens: ${off(rules)} from balance`],
    [off(0), "the manifest refraction, from balance (+ is too much plus)"],
  ];
}

function showResult(level, patient, run) {
  const held = heldAgainst(level, run.asked), own = walk(level, patient);
  const [sentence, reason] = verdict(level, patient, run, held, own);
  byId("verdict").textContent = sentence;
  byId("reason").textContent = reason;
  byId("figures").replaceChildren(...figures(level, patient, run, held, own).map(([number, words]) => {
    const group = element("div", "");
    group.append(element("dd", number), element("dt", words));
    return group;
  }));
  byId("walked").tBodies[0].replaceChildren(...run.asked.map((question, number) => {
    const remark = held.remarks[number];
    const row = element("tr", "", remark.departed ? "left" : remark.slip ? "slip" : "");
    row.append(element("td", `${number + 1}`), element("td", lens(question.clicks)),
      element("td", practice.short[question.answer]), element("td", remarkWords(remark)));
    return row;
  }));
  const path = own.asked.map(({ clicks, answer }) => `${lens(clicks)} ${practice.short[answer]}`);
  byId("own").textContent = `The rule’s own run with this patient: ${path.join(", ")}. ${ended(own.end)}`;
  const marks = [["manifest", 0], ["yours", run.done === "lens" ? run.clicks : 0], ["rule’s", own.end.clicks ?? 0]]
    .map(([name, clicks]) => ({ name, clicks, lensError: patient.start + clicks * practice.click }));
  curve(level, marks);
  views(level, patient, marks);
}

/* The curve */

const BOX = { left: 48, right: 528, top: 56, bottom: 226 };

function shape(name, attributes, text) {
  const made = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  if (text !== undefined) made.textContent = text;
  return made;
}

function curve(level, marks) {
  const sight = sightOf(level), plot = sight.curve;
  const count = plot.clarity[0].length, to = plot.from + (count - 1) * plot.step;
  const most = Math.ceil(Math.max(...plot.clarity.slice(0, 2).flat()) / 200) * 200;
  const x = (lensError) => BOX.left + ((Math.max(plot.from, Math.min(to, lensError)) - plot.from) / (to - plot.from)) * (BOX.right - BOX.left);
  const y = (clarity) => BOX.bottom - (clarity / most) * (BOX.bottom - BOX.top);
  const parts = [];
  for (let lensError = plot.from; lensError <= to; lensError += 500) {
    parts.push(shape("line", { x1: x(lensError), x2: x(lensError), y1: BOX.top, y2: BOX.bottom, class: "grid" }),
      shape("text", { x: x(lensError), y: BOX.bottom + 18, class: "middle" }, dioptres(lensError).replace("\u202fD", "")));
  }
  for (let clarity = 0; clarity <= most; clarity += most / 2) {
    parts.push(shape("text", { x: BOX.left - 8, y: y(clarity) + 4, class: "end" }, (clarity / 1000).toFixed(1)));
  }
  parts.push(shape("text", { x: (BOX.left + BOX.right) / 2, y: BOX.bottom + 38, class: "middle" }, "lens error, D (+ is too much plus)"),
    shape("text", { x: BOX.left - 40, y: BOX.top - 10 }, "clarity"));
  COLOURS.forEach((name, field) => parts.push(...side(plot, name, field, x, y)));
  parts.push(...stand(x(sight.balance), "balance", "balance", 44, marks.some(({ lensError }) => x(lensError) > x(sight.balance) && x(lensError) < x(sight.balance) + 70)));
  // Marks that meet share a line and a label.
  const met = new Map();
  for (const { name, lensError } of marks) met.set(lensError, [...(met.get(lensError) ?? []), name]);
  [...met].forEach(([lensError, names], row) => parts.push(...stand(x(lensError), names.join(", "), "mark", 12 + 16 * (row % 2), lensError < sight.balance)));
  byId("curve").replaceChildren(...parts);
  byId("curve-says").textContent = `Clarity of ${practice.line[0]} letters with a pupil of ${sight.pupil}`;
}

/** A side's line, its marks every quarter dioptre, and its name. */
function side(plot, name, field, x, y) {
  const values = plot.clarity[field];
  const points = values.map((value, place) => [x(plot.from + place * plot.step), y(value)]);
  const every = 250 / plot.step;
  const marked = points.filter((_, place) => place % every === 0).map(([across, down]) => (field === 0
    ? shape("circle", { cx: across, cy: down, r: 3, class: name })
    : shape("rect", { x: across - 3, y: down - 3, width: 6, height: 6, class: name })));
  // The name stands beside the outer flank, at three fifths of the best.
  const best = Math.max(...values), high = (value) => value >= 0.6 * best;
  const [across, down] = points[field === 0 ? values.findLastIndex(high) : values.findIndex(high)];
  const label = shape("text", { x: across + (field === 0 ? 10 : -10), y: down, class: field === 0 ? name : `${name} end` }, name);
  return [shape("polyline", { points: points.map((point) => point.join(",")).join(" "), class: name }), ...marked, label];
}

/** A line with its name, on its left where that is asked for or the edge is near. */
function stand(across, text, name, top, toLeft) {
  const near = across > BOX.right - 90 || (toLeft && across > BOX.left + 60);
  return [
    shape("line", { x1: across, x2: across, y1: top - 8, y2: BOX.bottom, class: name }),
    shape("text", { x: across + (near ? -6 : 6), y: top, class: near ? `${name} end` : name }, text),
  ];
}

function views(level, patient, marks) {
  byId("views").replaceChildren(...marks.map(({ name, clicks, lensError }) => {
    const figure = element("figure", ""), canvas = element("canvas", "");
    [canvas.width, canvas.height] = [300, 90];
    canvas.setAttribute("role", "img");
    canvas.setAttribute("aria-label", `view through the lens of ${name}`);
    paintView(canvas, level, patient, lensError, true);
    figure.append(canvas, element("figcaption", `${name} ${lens(clicks)}: lens error ${dioptres(lensError)}`));
    return figure;
  }));
}
