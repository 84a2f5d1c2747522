// The line to the server, which opens again by itself.
import { later } from "./page.js";

/** After how many milliseconds a lost line is opened again. */
const AGAIN_MS = 500;

/**
 * What a window does with its line: when it opens, when a message comes, and when it is lost; where it says false then, the
 * line is not opened again.
 * @typedef {{ opened: () => void, message: (message: any) => void, lost: () => boolean | void }} Line
 */

/**
 * Opens the line of a wall or of a panel, and gives the function that sends on it; what is sent while it is lost is lost.
 * @param {"wall" | "panel"} role
 * @param {Line} line
 * @returns {(message: object) => void}
 */
export function connected(role, line) {
  // By this the server knows whether the page is still the one that it gives out.
  const page = /** @type {HTMLScriptElement | null} */ (document.querySelector("script:not([type])"))?.nonce ?? "";
  /** @type {WebSocket | undefined} */
  let socket;
  // A server that answers but opens no line was begun anew, and wants a code: its page says so.
  let hasOpened = false;
  const askForPage = () => fetch(location.pathname).then(() => location.reload(), () => {});
  const dial = () => {
    const address = new URL(`/socket?as=${role}&page=${page}`, location.href);
    address.protocol = address.protocol.replace("http", "ws");
    socket = new WebSocket(address);
    socket.onopen = () => {
      hasOpened = true;
      line.opened();
    };
    socket.onmessage = ({ data }) => line.message(JSON.parse(data));
    socket.onclose = () => {
      const again = line.lost() !== false;
      if (again && !hasOpened) void askForPage();
      if (again) later(AGAIN_MS, dial);
      hasOpened = false;
    };
  };
  dial();
  return (message) => {
    if (socket?.readyState === WebSocket.OPEN) socket.send(JSON.stringify(message));
  };
}
