//! Wall and panel of an examination in real browsers.

use super::Desk;
use super::browser::Browser;
use super::hall::Hall;

/// A room whose screen the browser has.
pub(crate) const ROOM: &str = "name = \"Larkspur Eye Rooms, room 1 (made up)\"\n[viewing]\ndistance_mm = 3200\n\
    [screen]\npixels = [1920, 1080]\npitch_mm = 0.2745\n\
    [luminance]\nred = 52\ngreen = 178\nblue = 19\nwhite = 249\nblack = 0.25\n[tone]\ngamma = 2.2\n";

pub(crate) const SCREEN: [u32; 2] = [1920, 1080];

/// A room with a coarse screen, so that measuring its pictures is quick.
pub(crate) fn coarse(mirror: bool) -> String {
    ROOM.replace("[1920, 1080]", "[1280, 720]")
        .replace("0.2745", "0.3")
        .replace("[screen]", &format!("mirror = {mirror}\n[screen]"))
}

/// A server that examines in a room, with further arguments.
pub(crate) fn begun(room: &str, more: &str) -> (Desk, Hall) {
    let desk = Desk::new();
    desk.write("room.toml", room);
    let hall = Hall::begin(&desk, &format!("--room room.toml {more}"));
    (desk, hall)
}

/// Opens the page of a role in a browser that may have been there before, by a code of its own.
pub(crate) fn enter(hall: &mut Hall, role: &str, browser: &Browser) {
    let pass = hall.enter(role);
    browser.visit(&format!("{}/{role}", hall.origin), Some((&pass.name, &pass.value)));
}

/// A wall on a screen of its own; none where there is no browser.
pub(crate) fn wall(hall: &mut Hall, pixels: [u32; 2]) -> Option<Browser> {
    let browser = Browser::open(pixels, 1.0)?;
    enter(hall, "wall", &browser);
    Some(browser)
}

/// A panel of a size, which shows its first state.
pub(crate) fn panel(hall: &mut Hall, pixels: [u32; 2]) -> Option<Browser> {
    let browser = Browser::open(pixels, 1.0)?;
    enter(hall, "panel", &browser);
    browser.wait_for(STATE);
    Some(browser)
}

/// That a panel shows a state.
pub(crate) const STATE: &str = "return document.body?.dataset.state > 0";

/// That its wall shows what the step asks for.
pub(crate) const READY: &str = "return document.getElementById('wall')?.dataset.ready === 'true'";

pub(crate) fn stage(panel: &Browser) -> String {
    panel.script("return document.body.dataset.stage").as_str().unwrap().into()
}

/// Taps a control of the panel when it is there and the wall is ready; the step has changed then.
pub(crate) fn tap(panel: &Browser, selector: &str) {
    panel.wait_for(READY);
    panel.wait_for(&format!(
        "const e = document.querySelector('{selector}'); return e !== null && !e.closest('[hidden]')"
    ));
    let step = panel.script("return document.body.dataset.state").as_str().unwrap().to_owned();
    panel.click(selector);
    panel.wait_for(&format!("return document.body.dataset.state !== '{step}'"));
}

/// Fills fields of the panel's form and sends it.
pub(crate) fn fill(panel: &Browser, fields: &[(&str, &str)]) {
    panel.script("document.querySelector('#form details').open = true");
    for (name, value) in fields {
        let chosen = format!("#form [name={name}][value=\"{value}\"]");
        let is_chosen = panel.script(&format!("return document.querySelector('{chosen}') !== null"));
        if is_chosen == true && *name != "lines-above" {
            panel.click(&chosen);
        } else {
            panel.type_in(&format!("#form [name={name}]"), value);
        }
    }
    tap(panel, "#form [data-do=start]");
}

/// What cannot be read or named of a page: contrast by WCAG 2.2, 1.4.3 (4.5 : 1), names by 4.1.2, width by 1.4.10.
pub(crate) const READABLE: &str = r#"
    const faults = [];
    const linear = (code) => { const c = code / 255; return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4; };
    const luminance = ([r, g, b]) => 0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b);
    const codes = (colour) => colour.match(/[\d.]+/g).map(Number);
    const ground = (e) => {
        for (let at = e; at; at = at.parentElement) {
            const found = codes(getComputedStyle(at).backgroundColor);
            if (found.length < 4 || found[3] > 0) return found;
        }
        return [255, 255, 255];
    };
    for (const e of document.querySelectorAll('body *')) {
        if (e.getClientRects().length === 0 || e.closest('[hidden], script, style, .spoken')) continue;
        const says = [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim() !== '');
        if (says) {
            const [one, other] = [codes(getComputedStyle(e).color), ground(e)].map(luminance).sort((a, b) => b - a);
            const ratio = (one + 0.05) / (other + 0.05);
            if (ratio < 4.5) faults.push(`${ratio.toFixed(2)} : 1 of ${e.tagName} ${e.textContent.trim()}`);
        }
        if (e.matches('button, a') && !(e.textContent.trim() || e.getAttribute('aria-label'))) faults.push(`no name: ${e.outerHTML}`);
        if (e.matches('input, select') && !(e.labels?.length || e.getAttribute('aria-label'))) faults.push(`no label: ${e.outerHTML}`);
    }
    if (document.documentElement.scrollWidth > innerWidth) faults.push(`wider than the window: ${document.documentElement.scrollWidth}`);
    return faults;
"#;
