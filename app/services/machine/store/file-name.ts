// Names of files made of what people call things.

/** Names that Windows keeps for itself (Microsoft, "Naming Files, Paths, and Namespaces"). */
const KEPT = /^(con|prn|aux|nul|com\d|lpt\d)$/i;

/**
 * A title without the signs that file names cannot hold on some system; never empty. Letters with marks are one sign
 * (NFC), as file services write them: else one name would be two folders.
 */
export function fileName(title: string): string {
  const name = title
    .normalize('NFC')
    .replace(/[\\/:*?"<>|\u0000-\u001f]/g, ' ')
    .replace(/\s+/g, ' ')
    .replace(/^[. ]+|[. ]+$/g, '')
    .slice(0, 80)
    .trim();
  return name === '' || KEPT.test(name) ? `Rungwise ${name}`.trim() : name;
}

/** The name itself, or with the first number that makes it new: "Ferry Lights (2)". */
export function freeName(name: string, isTaken: (name: string) => boolean): string {
  let free = name;
  for (let n = 2; isTaken(free); n++) free = `${name} (${n})`;
  return free;
}
