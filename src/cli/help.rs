//! What stands below a command's flags in its help: what the flags alone do not say, and an example that runs.
//!
//! The README has the job in its order; what only some need, and only while they hold the command, stands here, each fact once.

use super::columns;
use crate::balance::words::Said;
use crate::balance::{EndPoint, Procedure};

/// Paragraphs about a command, in lines of a terminal; its example is the last line.
pub(super) fn after(about: &str, example: &str) -> String {
    format!("{}\n\nExample: evenfield {example}", columns::folded(about))
}

/// Below `evenfield room`.
pub(super) const ROOM: &str = r#"A room file holds what is known of a room. Only distance, pixels and size must be there; what is not is assumed, and every number that follows says so. Change it with `evenfield room set`, which keeps comments, or with an editor. This one has everything:

  name = "Quillhaven practice, room 1 (made up)"

  [viewing]
  distance_mm = 3200.0      # from eye to screen, through the mirror
  mirror = false

  [screen]
  pixels = [1920, 1080]
  size_mm = [527.0, 296.5]  # or diagonal_in = 23.8, or pitch_mm = 0.2745
  size_claimed = false      # true: the size is what the screen says of itself
  # profile = "screen.icc"  # embedded in charts; the path counts from here

  [luminance]               # cd/m2 at full drive, each alone, black included
  red = 52.0
  green = 178.0
  blue = 19.0
  white = 250.0
  black = 0.25
  meter_percent = 3.0       # how good one reading of a coloured field is
  # matched_by_eye = true   # found on the setup sheet; in [tone] too
  # match_open = true       # it was the last step of its strip: choose again
  # claimed = true          # the screen’s word; in [tone], [primaries] too

  [tone]                    # leave out: the sRGB curve
  gamma = 2.2               # or steps of white, from 0 to 255:
  # steps = [[0, 0.25], [128, 54.0], [255, 250.0]]
  # relative = true         # the steps are shares of full light, from 0 to 1

  [primaries]               # leave out: a broad LCD, from memory
  red = { peak_nm = 615.0, fwhm_nm = 45.0 }
  green = { peak_nm = 538.0, fwhm_nm = 60.0 }
  # or spectrum = "red.csv", or chromaticity = [0.64, 0.33]
  # or for both: kind = "broad-lcd", "narrow-lcd" or "oled"

  [ambient]                 # the room’s light on the screen
  illuminance_lux = 4.0
  screen_reflectance = 0.02

  [match]                   # both fields as `room verify --keep` has them
  codes = [254, 145]        # red, green; readings count for these alone
  red = 47.1                # cd/m2, the room’s light included
  green = 46.8
  meter_percent = 3.0
  date = "2026-03-31"
  again_after_days = 180    # leave out: examinations never remind of metering

Sizes that are given in several ways must agree within 1 %. A spectrum is a CSV file with the header wavelength_nm,power, rising by 1 to 10 nm. What is not in the file is worked out where it can be: the third primary from white and the other two, shares of white from four chromaticities, both ends from the steps. A key that is not known is refused, with the nearest one that is."#;

/// Below `evenfield room new`.
pub(super) const ROOM_NEW: &str = "\
The width of the lit picture, held to a steel rule, is the best size. The distance is the way of the light, from the eye to the mirror and from the mirror to the screen. A size from a data sheet (--diagonal, --pitch) is rounded.

What a screen says of itself (--edid) counts as claimed until you hold a rule to the picture. Of 400 real screens’ claims about one in seven contradicts itself; some name a shape, such as 16 × 9, for a size. Then no file is written: measure, and add --measured-width, which settles it.

A profile (--icc) is embedded in charts. It passes the codes through unchanged only where the system uses the same profile for that screen. Test it: show full-red.png of `evenfield room patches`, take a screenshot or a photograph of it next to a picture without a profile, or better read both with the meter. If they differ, leave the profile out. Charts name such files without their folders, each with a CRC-32 sum by which it is recognised, which is no proof.

--force does not overwrite a file that holds measurements; --discard-measurements does.";

/// Below `evenfield room screens`.
pub(super) const ROOM_SCREENS: &str = "\
Each line names the connector, the preferred pixels, the claimed size, and the file for `evenfield room new --edid`.";

/// Below `evenfield room sheet`.
pub(super) const ROOM_SHEET: &str = "\
The sheet has a bar to measure, the outline of a bank card to prove the size, greys between stripes that tell the gamma, and a strip of nine borders between red and green. Show it full screen, at 100 %, and put what you find into the room file with `evenfield room set`.

Steps count from the room that the sheet was made for. Make the sheet again and choose again, until step 5 is the faintest, after two or three rounds. Where step 1 or 9 was the faintest, the match may lie beyond the strip, and the next sheet is centred there.

An eye is taken to find equal brightness to 5 % and a gamma to 0.1, both assumed; findings that rest on it say by eye.";

/// Below `evenfield room patches`.
pub(super) const ROOM_PATCHES: &str = "\
They are the two fields of the charts, each primary at full drive, and steps of white down to black. Show them with the viewer that shows the charts. Hold the meter at the patient’s eye, looking through the mirror if there is one, in the dark room.

Readings of full red, green, blue, white and black go into the room file with `evenfield room set`, those of the two fields with `evenfield room verify --keep`. Steps of white go under [tone] with an editor, see `evenfield room --help`; without them the tone curve is assumed, and with it the light of the dimmer code.";

/// Below `evenfield room verify`.
pub(super) const ROOM_VERIFY: &str = "\
Pass: the fields are equal within 2 %, however far the meter errs. FAIL, with exit 1: they differ by more, however far it errs; then it says which code would match. Cannot be told: the meter is coarser than the question, which is usual, since 2 % takes a meter that is good to 0.7 %.

Readings of the two fields themselves are the best evidence of their match. With --keep they count in reports, charts and checks as long as the fields have the same codes; after that every text says that they are of other codes, and you read again. Make the patches anew whenever the codes have changed. The dated line in the log is kept in any case.";

/// Below `evenfield chart`.
pub(super) const CHART: &str = "\
A name of a standard line means its exact 0.1 logMAR step: 20/40 is 0.3 logMAR, 20/32 is 0.2. Other names are taken literally: 20/30 and 6/9 are a MAR of 1.5′. A bare 0.5 is refused, since it could be decimal or logMAR. MAR is the finest detail that an eye tells apart, in minutes of arc, and logMAR its logarithm.

Charts for examination are PNG: it is proved to the pixel, and shown full screen, at 100 %, by a viewer that neither scales nor colours. SVG and PDF are for slides and print. In a room with a mirror the whole picture is mirrored once; the labels are for the examiner, who reads them on the screen itself.

A code is the number from 0 to 255 that a program sends for one colour of a pixel; the tone curve says how much light the screen makes of it. White serves the acuity check before and after.";

/// Below `evenfield check`.
pub(super) const CHECK: &str = "\
It finds the fields and the letters in the picture, measures heights, gaps and strokes to a few hundredths of a pixel from their smoothed edges, reads the letters and holds every part of their shape, looks for what should not be there, and compares both fields.

What the file says of itself holds where no flag says otherwise; what neither says is not judged. A copy from another program has lost that text: name the room and the line.

A page that evenfield page wrote is not measured: with --room it is held against that room file, and every value that has changed since is told.

An SVG or a PDF is measured by its paths, in millimetres. A file with anything but filled paths is refused. Copies that qpdf, Ghostscript or librsvg saved are measured, since their paths survive; poppler’s are refused, since it clips. A picture has at most 67 million pixels (twice an 8K screen) in at most 256 MiB.

No standard has a clause for coloured fields. Size within 5 % and letters of at most 15 % of their field’s light are borrowed from the chart-display standard, ISO 10938:2016, read in excerpts; that is no claim of conformity. With --json each finding names its source.

Exit 0: done, and nothing failed; a warning does not change it. 1: done, and a finding fails. 2: not done; one sentence says why and what to do.";

/// Below `evenfield near`.
pub(super) const NEAR: &str = "\
The first page is the chart: red and green side by side, each field named with its ink, the same letters on white with their names, M units and about which N they are; a bank card’s outline and a bar of 100 mm prove the print. Print in colour and at 100 %, never fit to page. A PDF or an SVG is measured by its paths as soon as it is written.

How much light inks give back only your eye can tell. The second page has eighteen pairs: find under your lamp the one whose border is hardest to see, and print again with its name, such as --matched-step G6. How many dioptres lie between two inks under a lamp is not known.

Red-green at near checks an add; it does not find one. Put in the distance correction with the add, and ask one eye at a time. In an eye that no longer accommodates, red calls for a quarter less plus, green for a quarter more; where both are equal the add suits this distance. An eye that still accommodates focuses a little behind the page (it lags) and sees green clearer; whoever adds plus until both are equal gives it too much. The result holds for that distance only (40 cm is 2.50 D).";

/// Below `evenfield page`.
pub(super) const PAGE: &str = "\
Open it on the exam screen in an ordinary browser: f is full screen, ? shows all keys, the question, and what each kind of eye’s first answers ask for next. s and l, or a presenter’s remote, show smaller and larger lines, x swaps the sides, b is dark, i shows the examiner’s strip, which marks sides that are not as the page opened. No key with which an answer is noted in the terminal does anything here. The page stores nothing and uses no network.

Letters have the size and the codes of the room’s charts, at exact device pixels, whatever the system’s scaling. If the browser sees another screen or a zoom, the chart goes dark and says why, until you set that right or hold a bank card to an outline (k). Fields, sides and the dark change at most once in 0.7 s, and held keys are ignored, since alternating red and green can provoke seizures.

A browser may change colours on a wide-gamut screen: press p for patches to measure with a meter, and for a strip of borders to match by eye, shown by the page itself. The page cannot detect night colour, HDR or automatic brightness.

#line=0.3&fields=white&strip=on behind its address sets how it opens.";

/// Below `evenfield view`.
pub(super) const VIEW: &str = "\
A lens error is the power in place minus the power that focuses for the test distance; plus is too much plus. Green light focuses in front of red light, so too much plus spoils the green letters first, and too much minus the red ones. In this model a wider pupil shows a quarter dioptre more plainly, which is why the room is dark. From 4 mm of pupil on the model’s eyes have the spherical aberration of ordinary ones; single eyes have others besides and gain less.

A sweep goes in steps of 0.05 D or finer.

It is a model of one still eye: no accommodation, no astigmatism, no scatter, no neural adaptation, nothing of colour vision itself.";

/// Below `evenfield curve`.
pub(super) const CURVE: &str = "\
Clarity is how much of the contrast of the letters is left, from 0 to 1: it counts the frequencies that letters are read from, up to the first at which blur takes all contrast away. In a picture a line ends where its letters can no longer be read, at the level that is named.

Behind 3 mm the lines of red and green cross steeply near nought: one click to either side and the model’s answer is plain. White letters are best a little to minus of that, where green is. Behind 5 mm the crossing is steeper still: half a dioptre off, the clearer side has three to five times the other’s contrast. Behind 1.6 mm, as behind a small aperture, both lines are so broad that one click hardly moves the answer.

Balance is where both sides are as far from their own best. The lines themselves cross a little to plus, since diffraction takes more from red; measured eyes do not balance there (--cross-checks says where it would be).

It is a model of one still eye: no accommodation, no astigmatism, no scatter, no neural adaptation, nothing of colour vision itself. Where white is best is known to ±0.1 D only and is never to be added to a prescription.

--evidence holds the model against figures that were measured on eyes and set no constant, and says which agree: among them just noticed blur, acuity behind 5 mm, the pupil with the best acuity in bright and in dim light. Those that do not are not tuned away: the model reads smaller letters behind 2 mm than eyes did, and its depth of focus grows too much with the letters.";

/// Below `evenfield deck`.
pub(super) const DECK: &str = "\
The slides are for a dark room: the aims, why green focuses in front of red, what the patient sees, why the room is dark and why a small aperture makes the answer faint, target, question, what each answer asks for next, the end points, fog, the ways of asking and where lenses end by each, a worked run, how sure an end is, the midpoint on white, far and near, red and green at near, three riddles with answers, how far the model may be trusted, what spoils the test, an examination that goes wrong and how that is noticed, setting up a small room, cautions. Views, curves and figures are computed for your screen.

As HTML, which needs no network: arrow keys, space or a click turn slides, F fills the screen, N opens a second window with the speaker’s notes, the next title and the time, and #3 behind the address opens the third slide. Slides with much red or green change no faster than a chart does. In an SVG words are words and figures are groups, so a drawing program can change them.

--quiz has ten questions about the room and the balance, and its key gives the reason for each answer. --card has on its face this room’s figures, the kind of eye, the question, and what each answer asks for next in that kind of eye; on its back how each way of asking goes on, the end point, cautions.";

/// Below `evenfield practice`.
pub(super) const PRACTICE: &str = "\
The patients’ lens error is hidden. The learner changes the lens a click at a time, asks, swaps sides, fogs, and finishes. Then the run is compared with the rule question by question, with the curve, the lenses and what the patient saw; the result prints on one page. The page works by keys (?) and by touch, and uses no network.

Nine levels go from sure answers to a room that nobody checked. Each procedure has one: customary, from plus, bracket, adaptive and midpoint; so have a small aperture, an eye that accommodates, and a patient who names sides since the colours are not told apart. Each says what it teaches and by which rule it is passed. They can be taken in any order; the next one is suggested, and progress stays in the browser. In the first levels the page says what comes next and why, later on asking, at last only afterwards.

#patient=7 behind the address gives everybody the same patient. A learner’s score is a code of twelve signs, to read out or hand in. The teacher types it under Check a code in a copy made with the same class, seed and room: any single wrong sign and any two neighbours that changed places are found. It is no examination, since the page holds its own key and a code can be forged.

Simulated patients are no evidence about real eyes. The page goes by the tables that `evenfield balance --transitions` prints, in the same words.";

/// Below `evenfield font`.
pub(super) const FONT: &str = "\
The size of the font is the height of its letters. It is for slides and handouts, never for examination: what shows a font draws its edges.";

/// Below `evenfield exam`.
pub(super) const EXAM: &str = "\
The wall goes to the patient’s screen: open its address there in an ordinary browser, type the code, click once so that it fills the screen. The panel is yours: a second window of the same machine, a tablet or a phone. Each window takes a code of its own; the terminal shows the next one, and so does the panel under Options. A code serves once and for ten minutes; five wrong ones close the door for a minute. A second panel watches until it takes over. Without --room the panel sets a room up; its file is written into the folder in which the program was begun.

No answer counts unless the wall shows what was asked. The wall says what it has really drawn, its codes read back from its own pixels, and the record keeps that. Is it covered, asleep, cut off, zoomed or on another screen, then it is dark, the panel says why, and a touch says that it did not count. Acuity on white is scored letter by letter, 0.02 logMAR each, and written as you wrote the acuity before.

The arrow keys, r, g, backspace and digits do the same as in a terminal; a presenter’s remote answers left, right and (period) the same. Under Options: the wall dark between questions until the lens is in; the patient’s own three buttons, which you confirm; how acuities are written; a code for another window; the wall on a second screen of the same machine, where the browser can place it. Home leads to the records, each as its page and as a PDF, and to what there is to teach with.

With --record every answer is on disk before it counts, and FILE.bookmark keeps what is no answer: the options, that the lens is in, the letters on the wall, those that were marked. Begin the program again within half an hour, give each window its new code, and everything stands where it stood, the finished examination too; later it is offered. Not brought back: a room that is being set up, what is typed but not sent, what a patient pressed and you did not confirm. Without --record nothing is kept.

The server listens on this machine only. With --lan the terminal shows the panel’s address with a code as a picture for a tablet’s camera. On a plain network whoever shares it can read along: use one of your own, or add --tls-cert and --tls-key, and everything goes by TLS. The certificate must name the printed addresses, such as 127.0.0.1 and 192.168.1.20; a terminal’s balance cannot lead such a wall. A tablet over a plain network may let its screen sleep. Nothing leaves the machine, and no identity is stored.

With --practise a simulated patient says what is clearer and what can be read, and the learner taps it on the panel and sets the lenses. Once something is chosen the panel tells where balance lay, how far from it the lens is, and whether the 95 % interval holds it; before the next patient it counts both over all eyes so far.";

/// Below `evenfield balance`; how each way goes and what each end point is are told in the words in which they are offered.
pub(super) fn balance() -> String {
    let told = |name: &str, said: Said| format!("  {name}: {}\n", said.how);
    let ways: String = Procedure::ALL.map(|one| told(one.name(), one.said())).concat();
    let ends: String = EndPoint::ALL.map(|one| told(one.key(), one.said())).concat();
    format!("WAYS OF ASKING\n{ways}\nEND POINTS\n{ends}\n{BALANCE}")
}

const BALANCE: &str = "\
In a terminal it asks for what is missing and goes by single keys: the arrow to the side to which the patient points, or r and g for a colour that is named; down for no difference, up where the patient cannot tell, which is never no difference. A patient with a colour defect is asked by side, by arrows only. A held key counts once; backspace takes the last entry back; esc stops, and --resume goes on later, in the same room. Whenever the chart must change, it says how and names the key of the page (`evenfield page`).

The adaptive way needs a computer at every question, and pays where the chart follows, as in an exam room. The wall card, the lesson and the page to practise on teach the others, for who asks by hand.

What decides is asked once more with sides swapped and new letters, except in a bracket, whose two ends confirm each other, and in the adaptive way, which weighs every answer with the sides that it was given by. Answers that contradict each other three times, or that twice stay on their side when the colours change sides, end as not decided; in the adaptive way they widen the interval instead. Where that way is answered red in every lens, or green in every one, balance lies beyond them all: nothing is decided, and the refraction is to be checked.

THE MIDPOINT ON WHITE also stands beside red-green: once an eye’s result is shown, 7 (on the panel Look for the midpoint on white as well) looks for it, and both results and what they come to together are shown. More than half a dioptre apart, one of them was misled, and it is said which ways there are. It takes 11 to 14 questions, new letters each time, and is refused where an eye accommodates, which clears minus by itself. Its middle is where white is clearest, by the model 0.14 D to minus of balance behind 1.4 mm.

BEHIND A SMALL APERTURE an end of a bracket more than half a dioptre from the manifest is asked for a second time, from the start. It stands only if both agree within a click, and the record shows both.

AN EYE THAT ACCOMMODATES (children, and adults up to about 45) is blurred with plus first, by half a dioptre, and answers count only as plus is taken away. At half a dioptre of minus the run stops: begin again from plus, relax accommodation by local rule, or keep the manifest. A bracket is refused, and the midpoint too.

WHERE ACUITY IS POOR a step of the lens is larger, but in the adaptive way: for 20/x about x/100 dioptres from one side of balance to the other (common practice, no source), so 0.50 D at a time at 20/100 and 1.00 D at 20/200. Where no letters two lines larger fit the screen, the eye is refused.

AFTERWARDS, ON WHITE, a letter or two fewer is within what a repeat changes by chance, so it overturns nothing; three or four are read a second time; five, or three confirmed, and the manifest stands. More minus in an eye that accommodates must gain as many. Every result is given twice, for the distance of the chart and for far away, exact and to the nearest quarter, and nothing is chosen unless the examiner does.

HOW SURE. The estimate takes all answers, also those of a second series, and weighs each by how likely patients give it with balance here or there. Before the first one balance is taken to lie where the model has it for an eye whose manifest was refined on white, with an SD of 0.35 D, and of a dioptre in one eye of twenty. Much of that is assumed: the pupil (1.6 mm behind a small aperture, 5 mm in an eye that accommodates, 3 mm in others), how far manifests are wrong, how patients differ, and that one answer in ten is “cannot tell” whatever is seen; a colour defect is left out. Of the room it takes what the record holds, distance, luminance and the dioptres between red and green, so a record says the same anywhere. Where the lens left in is within a click of balance with less than two thirds, it calls that lens doubtful; where the answers hardly narrowed it, it says little more than the manifest did; where one colour was clearer in every lens, balance is not known (in JSON null).

REFRACTIONS are read as people write them: -1.25 -0.50 x 180, −1.25/+0.50×180, -1,25 -0,50 10, plano -0.50x90, -1.25 DS, with an eye in front (OD, OS, R, L). What can mean two things is refused: a number without its sign, and @, which some put before the axis and others before the meridian that has the power. With --intended each result says as intended, or by how much not, as the spherical equivalent for far away; nothing proposes to correct what was meant, and eyes that are meant for different distances are not to be made equal.

BOTH EYES. The comparison fogs both by +1.00 D, by prism or by covering one and then the other, and adds 0.25 D to the clearer eye until both are alike; never equal, and the eye that leads keeps the clearer picture. It serves eyes that accommodate. It is better left out, and says so, where neither does, where best acuities differ by more than a line, and in monovision.

IN A SCRIPT every value is a flag. --answers alone asks for the first question. With --json too few answers are no error; it prints where the run stands: stage by name; next, the lens to set and what to ask (sphere_d, line, red, why, blur_first_d; for the midpoint seeks in place of red and why), or null once no question follows; and for each eye its estimate (balance_d, low_d, high_d, and within_a_click from 0 to 1) and left_in_d, both in sphere at the distance of the chart. Flags for what follows the questions wait until these are at their end. The left eye follows in the record of the right one: --record r.jsonl --resume --eye left …, then --resume --apart cover --compared left,same --both-sphere 20/20,20/25 --both-acuity 20/20 --framed 0. What is left out is named by its absence from --done, and a flag that nothing takes is refused. In JSON, both and near have what was found, ends_with the lens that each eye ends with, all_runs what several runs of an eye come to together.

A RECORD is lines of JSON, one for each event, written before it counts. No name is asked for. Times (local, with their offset) and labels can identify a person: follow local law. --show and the page tell if a line was cut or changed, and where an older version of the procedure asked otherwise than today’s; lines missing at the end look like an examination that is not finished. Two programs may write into one record. It says when the room’s fields were last metered and how long ago.

HANDED OVER. In the lines to paste, at the end of what --show says, ± is half of the 95 % interval, the change is in spherical equivalent, and the acuity is the one that was read through just this lens, or none. No text in a table becomes a formula. The PDF carries its record within it, and --show reads it back. FHIR is release 4: a bundle of observations, and a VisionPrescription whose status is draft, of what was chosen for far away. Codes stand only where their meaning was seen in a published list; the rest is text.

THE TRIAL lets patients go through each way of asking on your screen, in some minutes. They differ in how wide their same is, how much their judgement wavers, how clear letters have to be, in pupil and in a leaning to one side; their manifests were refined on white. Patients who are none of what the estimate believes are tried too, and manifests of which one in twenty is a dioptre off; the table says how much worse it gets. They are no evidence about real eyes.";
