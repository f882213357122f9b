// How a room and a place in it are written in the address: `#/charts/ID/edit`.

/** What follows `#/`, decoded: the room's id first. */
export function readHash(hash: string): readonly string[] {
  return hash
    .replace(/^#?\/?/, '')
    .split('/')
    .filter((part) => part !== '')
    .map(decode);
}

/** The parts of an address as the text behind its page, "#/climb/ID". */
export const writeHash = (parts: readonly string[]): string =>
  `#/${parts.map((part) => encodeURIComponent(part.toWellFormed())).join('/')}`;

/** A hash typed by hand may hold a lone `%`; it then stands for itself. */
function decode(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}
