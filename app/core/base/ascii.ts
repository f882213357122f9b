// Bytes as the text they spell where a format has nothing but ASCII there: names of blocks, heads of files.

/** One character for each byte. @param bytes few: they are handed over as arguments */
export const asciiText = (bytes: Uint8Array): string => String.fromCharCode(...bytes);
