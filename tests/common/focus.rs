//! The way of the focus through a panel's controls, by the tab key.

use serde_json::{Value, json};

use super::browser::Browser;
use super::windows::stage;

/// Where the focus is: what has it, where it lies on the page, and what cannot be seen of it.
const FOCUS: &str = "
    const e = document.activeElement;
    // What lies over the page is itself the last place, so that the arrows move it.
    if (e === null || e === document.body || e.tagName === 'DIALOG' || 'focused' in e.dataset) return null;
    const box = e.getBoundingClientRect(), style = getComputedStyle(e), faults = [];
    const named = e.id || e.dataset.do || e.dataset.answer || e.dataset.act || e.name || e.tagName;
    const name = `${named} ${e.dataset.value ?? ''} ${e.innerText ?? e.value ?? ''}`;
    if (e.closest('[hidden]') || box.width === 0 || box.height === 0) faults.push('hidden');
    if (box.bottom <= 0 || box.top >= innerHeight || box.right <= 0 || box.left >= innerWidth) faults.push('out of the window');
    if (style.outlineStyle === 'none' || parseFloat(style.outlineWidth) < 2) faults.push(`no outline: ${style.outline}`);
    e.dataset.focused = '';
    const down = scrollY + (e.closest('dialog')?.scrollTop ?? 0);
    return { name, top: box.top + down, bottom: box.bottom + down, left: box.left, faults };
";

/// What can be reached by keys and was not; of radio buttons one of a name stands for all.
const UNREACHED: &str = "
    const all = [...document.querySelectorAll('button, input, select, summary, a[href]')];
    const over = document.querySelector('dialog[open]');
    const seen = all.filter((e) => e.checkVisibility() && !e.closest('dialog:not([open])') && (over === null || over.contains(e)));
    const reached = (e) => 'focused' in e.dataset || (e.type === 'radio' && document.querySelector(`[name=\"${e.name}\"][data-focused]`));
    const missed = seen.filter((e) => !reached(e)).map((e) => e.outerHTML);
    document.querySelectorAll('[data-focused]').forEach((e) => delete e.dataset.focused);
    return missed;
";

/// Goes through all controls with the tab key; says how many there are.
pub(crate) fn tab_through(panel: &Browser) -> usize {
    panel.script("document.getElementById('head').focus(); document.querySelectorAll('details').forEach((e) => { e.open = true; }); scrollTo(0, 0)");
    panel.press(TAB);
    tab_on(panel)
}

const TAB: &str = "\u{e004}";

/// The same from the control on that has the focus.
pub(crate) fn tab_on(panel: &Browser) -> usize {
    const MOST: usize = 80;
    let stage = stage(panel);
    let mut places: Vec<Value> = Vec::new();
    for _ in 0..MOST {
        let focus = panel.script(FOCUS);
        if focus.is_null() {
            break;
        }
        assert_eq!(focus["faults"], json!([]), "{stage}: {focus}");
        // Each lies below the one before, or in its row and to the right of it.
        if let Some(before) = places.last() {
            let number = |of: &Value, name: &str| of[name].as_f64().unwrap();
            let below = number(&focus, "top") >= number(before, "bottom") - 1.0;
            let right = number(&focus, "left") > number(before, "left");
            assert!(below || right, "{stage}: {before} comes before {focus}");
        }
        places.push(focus);
        panel.press(TAB);
    }
    assert!(places.len() < MOST, "{stage}: the focus never leaves the page");
    assert_eq!(panel.script(UNREACHED), json!([]), "{stage}");
    places.len()
}
