// Endings of the files this program opens; `builder.json` tells the systems the same ones.

/** A chart, a task sheet, a practice report; then MusicXML. */
export const FILE_ENDINGS = ['rungchart', 'rungsheet', 'rungreport', 'musicxml', 'mxl'] as const;
