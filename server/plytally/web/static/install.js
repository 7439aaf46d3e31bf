// Reads the code and the fingerprint behind '#': they never leave the phone by themselves.
const parts = new URLSearchParams(location.hash.slice(1));
const code = parts.get("code");
const expected = parts.get("ca");
const shown = document.getElementById("fingerprint");

if (code) {
  document.getElementById("code").textContent = code;
  document.getElementById("no-code").hidden = true;
}
if (expected && shown && shown.textContent.replace(/\s/g, "") !== expected) {
  document.getElementById("differs").hidden = false;
}
