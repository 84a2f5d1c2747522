// The patient and the rule, as the tables have them. All numbers are whole: thousandths of a dioptre, and thousandths of
// log10(red/green), as in Rust, so that both come to the same answers.

const RED = 0, GREEN = 1, SAME = 2, UNSURE = 3;

const sightOf = (level) => practice.sights[level.sight];
const ruleOf = (level) => practice.rules[level.rule];

/** What accommodation leaves of a lens error. */
function left(level, lensError, fromPlus) {
  if (level.takesUp === null || fromPlus) return lensError;
  const [slope, most] = level.takesUp;
  return lensError + Math.min(most, Math.floor((Math.max(0, -lensError) * slope) / 1000));
}

/** What a patient says to a question: its number from 0, the lens in clicks, whether from plus, whether larger. */
function answerOf(level, patient, { number, clicks, fromPlus, larger }) {
  const chance = number % patient.jitter.length;
  const lapse = patient.lapses.find(([at]) => at === chance);
  if (lapse) return lapse[1];
  const lensError = patient.start + clicks * practice.click + patient.offset;
  const seen = left(level, lensError, fromPlus) + patient.jitter[chance];
  const sight = sightOf(level);
  const ratios = sight.ratios[larger ? 1 : 0];
  const place = Math.floor((seen - sight.from + sight.step / 2) / sight.step);
  const ratio = ratios[Math.max(0, Math.min(ratios.length - 1, place))];
  if (ratio === null) return UNSURE;
  const judged = ratio + patient.lean + patient.noise[chance];
  return judged > level.sameWithin ? RED : judged < -level.sameWithin ? GREEN : SAME;
}

/** What the rule does in a state: an end, or a lens with its reason. */
function wanted(level, at) {
  const code = ruleOf(level).steps[at];
  if (code < 0) return { end: ruleOf(level).ends[-1 - code] };
  return { why: code & 15, clicks: ((code >> 4) & 63) - 32, throughPlus: code >= 1024 };
}

const after = (level, at, answer) => ruleOf(level).next[4 * at + answer];

/** Why the rule asks a lens, in the balance's words. */
function because(why, moved) {
  const words = practice.because[why];
  return words[Math.max(0, Math.min(words.length - 1, moved + practice.mostMoved))];
}

/** The rule's own run with a patient. */
function walk(level, patient) {
  const asked = [];
  let at = 0;
  for (;;) {
    const want = wanted(level, at);
    if (want.end) return { asked, end: want.end };
    const before = asked.at(-1);
    const fromPlus = want.throughPlus || (before !== undefined && before.clicks > want.clicks);
    const larger = want.why === practice.couldNotTell;
    const answer = answerOf(level, patient, { number: asked.length, clicks: want.clicks, fromPlus, larger });
    asked.push({ clicks: want.clicks, answer });
    at = after(level, at, answer);
  }
}

/**
 * Holds questions against the rule. The rule waits for its own lens: a question with another one is a departure, and the
 * rule still wants what it wanted. A right lens without what belongs to it is a slip, and the rule goes on.
 */
function heldAgainst(level, asked) {
  let at = 0, before = null;
  const remarks = [];
  for (const question of asked) {
    const want = wanted(level, at);
    const remark = { departed: false, slip: null, want, moved: want.end ? 0 : want.clicks - (before?.clicks ?? 0) };
    if (want.end || want.clicks !== question.clicks) {
      remark.departed = true;
    } else {
      if (want.why === practice.sidesSwapped && before && question.redLeft === before.redLeft) remark.slip = "swap";
      else if (want.throughPlus && !question.fog) remark.slip = "fog";
      else if (want.why === practice.couldNotTell && !question.larger) remark.slip = "larger";
      at = after(level, at, question.answer);
    }
    remarks.push(remark);
    before = question;
  }
  const want = wanted(level, at);
  return { remarks, want, moved: want.end ? 0 : want.clicks - (before?.clicks ?? 0) };
}
