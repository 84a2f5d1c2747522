// The wall in a window of its own.

/** Whether the browser can tell where other screens are. */
export const knowsScreens = "getScreenDetails" in window;

/** Where a window would fill a screen that is not this one; nothing where there is none, or it may not be known. */
async function elsewhere() {
  try {
    // @ts-expect-error No types have it yet.
    const { screens, currentScreen } = await window.getScreenDetails();
    const other = screens.find((/** @type {object} */ one) => one !== currentScreen);
    return other ? `popup,left=${other.availLeft},top=${other.availTop},width=${other.availWidth},height=${other.availHeight}` : "";
  } catch {
    return "";
  }
}

/** Opens the wall, on another screen if that is wished for and there is one. @param {boolean} onSecond */
export async function openWall(onSecond) {
  window.open("/wall", "evenfield-wall", onSecond ? await elsewhere() : "");
}
