// Hands a file to the user: the browser's download, or the save dialog where the host shows one.

/** A name that every file system takes: letters, digits, spaces and dashes of the title. */
export function fileName(title: string, ending: string): string {
  const plain = title
    .normalize('NFC')
    .replace(/[^\p{L}\p{N} _-]+/gu, ' ')
    .trim()
    .replace(/\s+/g, ' ')
    .slice(0, 80);
  return `${plain || 'chart'}${ending}`;
}

/** Hands a file to the browser's downloads. @param name with its ending. @param type its media type */
export function saveFile(name: string, content: BlobPart, type: string): void {
  const url = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  // The download has been handed over by the next turn of the event loop; a minute is ample.
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

/** The sign before the decimals in the language of this browser or system. */
export const decimalSign = (): string =>
  new Intl.NumberFormat(navigator.language)
    .formatToParts(0.5)
    .find(({ type }) => type === 'decimal')?.value ?? '.';
