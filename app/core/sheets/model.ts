// What a sheet of chords and words is read into: sections with their lines, chords on characters, bars guessed.

/** A chord over a line of words. */
export interface PlacedChord {
  /** As charts write it: "Bm" for a typed "Hm" or "h". */
  readonly symbol: string;
  /** As it stands in the sheet. */
  readonly typed: string;
  /** The character of the words it stands over, from 0; beyond the last one it follows the words. */
  readonly at: number;
}

export interface DraftBar {
  readonly chords: readonly string[];
  /** What is sung in it, with a hyphen at the end where a word goes on in the next bar. */
  readonly words: string;
  /** Nobody wrote a bar line here: it can be moved, joined, split and held. */
  readonly guessed: boolean;
}

export interface SheetLine {
  /** Of the sheet, from 1. */
  readonly line: number;
  readonly words: string;
  readonly chords: readonly PlacedChord[];
  readonly bars: readonly DraftBar[];
  /** How often the line is played in a row. */
  readonly times: number;
}

export interface SheetSection {
  /** As the sheet calls it, without its signs. */
  readonly name: string;
  /** Was the name found, or made up for lines that have none? */
  readonly named: boolean;
  readonly times: number;
  readonly lines: readonly SheetLine[];
}

export interface LeftOut {
  readonly line: number;
  readonly text: string;
  readonly why: string;
}

export interface Sheet {
  /** How it names notes, where not internationally. */
  readonly names?: 'german';
  readonly title?: string;
  readonly by?: string;
  readonly key?: string;
  readonly capo?: number;
  readonly tempo?: number;
  readonly meter?: string;
  /** In the order of the sheet; one that is only named is played again as it stands above. */
  readonly sections: readonly SheetSection[];
  readonly leftOut: readonly LeftOut[];
}
