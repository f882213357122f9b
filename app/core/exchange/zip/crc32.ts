// The check sum of ZIP files: CRC-32 with the reflected polynomial EDB88320 (ISO 3309; from memory).

const TABLE = Uint32Array.from({ length: 256 }, (_, byte) => {
  let rest = byte;
  for (let bit = 0; bit < 8; bit++) rest = rest & 1 ? (rest >>> 1) ^ 0xedb88320 : rest >>> 1;
  return rest;
});

/** The check sum of ZIP entries, 0 to 2^32 − 1. */
export function crc32(bytes: Uint8Array): number {
  let sum = 0xffffffff;
  for (const byte of bytes) sum = (sum >>> 8) ^ TABLE[(sum ^ byte) & 0xff]!;
  return ~sum >>> 0;
}
