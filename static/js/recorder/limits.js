// What a recording may take: of the device, of the server, and of the room beside the marks.

export const MB = 1024 * 1024;
const BITS_PER_S = { sound: 64_000, video: 1_000_000 };
// Marks are kept in the same storage: they must never find it full.
const KEPT_FREE_BYTES = 50_000_000;
// A run may well go over its slot.
const SPARE = 1.5;
// So long before the limit a recording ends: what is under way must still fit.
const END_BEFORE_S = 5;

/** What a MediaRecorder is asked for. */
export const RATES = { audioBitsPerSecond: BITS_PER_S.sound, videoBitsPerSecond: BITS_PER_S.video };

/** How many bytes a recording of a run of a slot of `slotS` may come to, gone well over. */
export function expectedBytes(kind, slotS) {
  return bytesPerS(kind) * slotS * SPARE;
}

/** Whether a recording of so many bytes has come so near to the limit that it is to end. */
export function isNearLimit(kind, sizeBytes, mostBytes) {
  return sizeBytes > mostBytes - bytesPerS(kind) * END_BEFORE_S;
}

/** After how many seconds a recording reaches a limit; null where a run, gone well over, does not. */
export function limitReachedS(kind, mostBytes, slotS) {
  const seconds = Math.max(0, mostBytes / bytesPerS(kind) - END_BEFORE_S);
  return seconds < slotS * SPARE ? seconds : null;
}

function bytesPerS(kind) {
  return Math.ceil((BITS_PER_S[kind] + (kind === "video" ? BITS_PER_S.sound : 0)) / 8);
}

/** Whether the browser would keep `bytes` more beside what marks may need; also where it tells not. */
export async function hasRoomFor(bytes) {
  const { quota, usage } = (await navigator.storage?.estimate?.()) ?? {};
  return quota === undefined || quota - usage >= bytes + KEPT_FREE_BYTES;
}
