// The digest of Springcase in the browser, equal to `springcase.digest` (see digest.json).
// The offline capture takes this file over when it is built; until then the tests run it.

const LARGEST_DEPTH = 100;

export class Refused extends Error {}

export async function digest(value) {
  const bytes = new TextEncoder().encode(canonicalText(value));
  const hash = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return "sha256:" + Array.from(hash, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

export function canonicalText(value, depth = 0) {
  if (depth > LARGEST_DEPTH) throw new Refused("digest-too-deep");
  if (value === null) return "null";
  if (typeof value === "boolean") return value ? "true" : "false";
  if (typeof value === "string") return quote(value);
  if (typeof value === "number") {
    if (!Number.isInteger(value)) throw new Refused("digest-float");
    if (!Number.isSafeInteger(value)) throw new Refused("digest-integer-too-large");
    return String(value);
  }
  if (Array.isArray(value)) {
    return "[" + value.map((item) => canonicalText(item, depth + 1)).join(",") + "]";
  }
  if (Object.getPrototypeOf(value) !== Object.prototype) throw new Refused("digest-type");
  return objectText(value, depth);
}

function objectText(value, depth) {
  const normal = new Map();
  for (const [key, item] of Object.entries(value)) {
    const name = key.normalize("NFC");
    if (normal.has(name)) throw new Refused("digest-keys-equal");
    normal.set(name, item);
  }
  const names = [...normal.keys()].sort(byCodePoint);
  const members = names.map((name) => quote(name) + ":" + canonicalText(normal.get(name), depth + 1));
  return "{" + members.join(",") + "}";
}

function quote(text) {
  // A lone surrogate has no UTF-8; with the u flag it is the only thing this class matches.
  if (/\p{Surrogate}/u.test(text)) throw new Refused("digest-surrogate");
  return JSON.stringify(text.normalize("NFC"));
}

// The built-in sort compares UTF-16 units and would put U+1F600 before U+FF5E.
function byCodePoint(first, second) {
  const left = Array.from(first, (sign) => sign.codePointAt(0));
  const right = Array.from(second, (sign) => sign.codePointAt(0));
  const shared = Math.min(left.length, right.length);
  for (let place = 0; place < shared; place += 1) {
    if (left[place] !== right[place]) return left[place] - right[place];
  }
  return left.length - right.length;
}
