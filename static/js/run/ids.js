// Ids made on the device. crypto.randomUUID is missing on plain http; getRandomValues is not.

/** A UUID of version 7 (RFC 9562, section 5.7): milliseconds first, so ids sort by their making. */
export function uuid7(wallMs, randomBytes = crypto.getRandomValues(new Uint8Array(16))) {
  const bytes = Uint8Array.from(randomBytes);
  for (let place = 5, rest = wallMs; place >= 0; place -= 1, rest = Math.floor(rest / 256)) {
    bytes[place] = rest % 256;
  }
  bytes[6] = 0x70 | (bytes[6] & 0x0f);
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}
