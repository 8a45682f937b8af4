// Passkeys: the one part of signing in that a browser cannot do without a script. A form marked
// data-passkey="add" or "sign-in" stays hidden until this browser can; the mailed code needs none.
"use strict";

const octets = (text) =>
  Uint8Array.from(atob(text.replace(/-/g, "+").replace(/_/g, "/")), (c) => c.charCodeAt(0));
const letters = (buffer) =>
  btoa(String.fromCharCode(...new Uint8Array(buffer)))
    .replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
const withOctets = (list) => (list || []).map((one) => ({ ...one, id: octets(one.id) }));

function answerOf(credential) {
  const response = {};
  for (const name of ["clientDataJSON", "attestationObject", "authenticatorData", "signature", "userHandle"]) {
    if (credential.response[name]) response[name] = letters(credential.response[name]);
  }
  return {
    id: credential.id,
    rawId: letters(credential.rawId),
    type: credential.type,
    response,
    clientExtensionResults: credential.getClientExtensionResults(),
  };
}

async function added(form) {
  const asked = JSON.parse(form.dataset.options).publicKey;
  const publicKey = {
    ...asked,
    challenge: octets(asked.challenge),
    user: { ...asked.user, id: octets(asked.user.id) },
    excludeCredentials: withOctets(asked.excludeCredentials),
  };
  return navigator.credentials.create({ publicKey });
}

async function signedIn(form) {
  const answer = await fetch(form.action, { headers: { Accept: "application/json" } });
  if (!answer.ok) throw new Error(String(answer.status));
  const asked = (await answer.json()).publicKey;
  const publicKey = {
    ...asked,
    challenge: octets(asked.challenge),
    allowCredentials: withOctets(asked.allowCredentials),
  };
  return navigator.credentials.get({ publicKey });
}

function listen(form) {
  const isAdding = form.dataset.passkey === "add";
  const words = form.querySelector("[data-passkey-words]");
  form.hidden = false;
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    words.hidden = true;
    try {
      const credential = await (isAdding ? added(form) : signedIn(form));
      form.elements.credential.value = JSON.stringify(answerOf(credential));
      form.submit();
    } catch {
      words.hidden = false;
    }
  });
}

const isNumber = /^[\d.]+$|^\[/.test(location.hostname);
if (window.PublicKeyCredential && !isNumber) {
  document.querySelectorAll("form[data-passkey]").forEach(listen);
} else {
  document.querySelectorAll("[data-passkey-none]").forEach((one) => { one.hidden = false; });
}
