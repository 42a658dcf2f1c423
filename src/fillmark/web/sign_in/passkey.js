// Making a passkey on this device, and signing in by one. The buttons show only where the browser and the address can.
/** @type {(text: string) => Uint8Array} */
const bytes = (text) => Uint8Array.from(atob(text.replaceAll("-", "+").replaceAll("_", "/")), (letter) => letter.charCodeAt(0));
/** @type {(buffer: ArrayBuffer | null | undefined) => string | undefined} */
const text = (buffer) => (buffer ? btoa(String.fromCharCode(...new Uint8Array(buffer))).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "") : undefined);

/** @type {(form: HTMLFormElement, path: string, body?: string) => Promise<any>} */
async function send(form, path, body = "") {
  const token = /** @type {HTMLInputElement} */ (form.querySelector("[name=csrfmiddlewaretoken]")).value;
  const headers = { "X-CSRFToken": token, "Content-Type": "application/json" };
  const answer = await (await fetch(path, { method: "POST", headers, body, credentials: "same-origin" })).json();
  if (answer.error) throw new Error(answer.error);
  return answer;
}

/** @type {(asked: any) => any} */
const withBytes = (asked) => ({
  ...asked,
  challenge: bytes(asked.challenge),
  ...(asked.user && { user: { ...asked.user, id: bytes(asked.user.id) } }),
  excludeCredentials: (asked.excludeCredentials ?? []).map((/** @type {any} */ one) => ({ ...one, id: bytes(one.id) })),
});

/** @type {(made: any) => string} */
function told({ id, rawId, type, response }) {
  const { clientDataJSON, attestationObject, authenticatorData, signature, userHandle } = response;
  const parts = { clientDataJSON, attestationObject, authenticatorData, signature, userHandle };
  const said = Object.fromEntries(Object.entries(parts).map(([name, buffer]) => [name, text(buffer)]));
  return JSON.stringify({ id, rawId: text(rawId), type, response: said });
}

/** @type {(form: HTMLFormElement) => Promise<void>} */
async function go(form) {
  const problem = /** @type {HTMLElement} */ (form.querySelector("[data-problem]"));
  problem.hidden = true;
  try {
    const publicKey = withBytes(await send(form, /** @type {string} */ (form.dataset.ask)));
    const made = await (publicKey.user ? navigator.credentials.create({ publicKey }) : navigator.credentials.get({ publicKey }));
    location.assign((await send(form, form.action, told(made))).next);
  } catch (fault) {
    const { name, message } = /** @type {Error} */ (fault);
    const words = { NotAllowedError: "Nothing was done: the device was not asked to the end.", InvalidStateError: "This device has a passkey already." };
    problem.textContent = words[/** @type {keyof words} */ (name)] ?? message;
    problem.hidden = false;
  }
}

const isNamed = !/^[\d.]+$|^\[/.test(location.hostname);
if (isNamed && globalThis.isSecureContext && globalThis.PublicKeyCredential) {
  for (const form of /** @type {NodeListOf<HTMLFormElement>} */ (document.querySelectorAll("form[data-passkey]"))) {
    form.hidden = false;
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      go(form);
    });
  }
}
