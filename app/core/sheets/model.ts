// What a sheet of chords and words is read into: sections with their lines, chords on characters, bars guessed.
import type { BarLine } from '../chart/notation/bar-lines.ts';

/** A chord over a line of words. */
export interface PlacedChord {
  /** As charts write it: "Bm" for a typed "Hm" or "h". */
  readonly symbol: string;
  /** As it stands in the sheet. */
  readonly typed: string;
  /** The character of the words it stands over, from 0; beyond the last one it follows the words. */
  readonly at: number;
  /** What the sheet says to the player beside it. */
  readonly remark?: string;
}

export interface DraftBar {
  readonly chords: readonly string[];
  /** What is sung in it, with a hyphen at the end where a word goes on in the next bar. */
  readonly words: string;
  /** For the player. */
  readonly remark?: string;
  /** Nobody wrote a bar line here: it can be moved, joined, split and held. */
  readonly guessed: boolean;
  /** Repeats and endings that its bar lines carry. */
  readonly before?: BarLine;
  readonly after?: BarLine;
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
  /** The section whose bars it has, where the sheet says so: "Solo: same as head", "Verse 3 = Verse 1". */
  readonly like?: string;
  /** Strokes as typed, where it has its own. */
  readonly strum?: string;
  /** Notes for the player. */
  readonly remarks: readonly string[];
  readonly lines: readonly SheetLine[];
}

/** A shape that stands beside the name of its chord. */
export interface SheetShape {
  /** As charts write it. */
  readonly symbol: string;
  /** From string 6 to string 1: "x32010". */
  readonly frets: string;
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
  /** The note that the tempo counts, as charts write it, where it is told. */
  readonly counted?: string;
  readonly meter?: string;
  readonly feel?: string;
  /** As typed where no name of the trade was found: perhaps none that a chart can have. */
  readonly tuning?: string;
  /** Strokes as typed, for all sections without their own. */
  readonly strum?: string;
  /** Of the guitar it is for, where it says another number than six. */
  readonly strings?: number;
  /** In the order of the sheet; of one chord perhaps several. */
  readonly shapes: readonly SheetShape[];
  /** Names of sections in the order in which they are played, where a line says so. */
  readonly form?: readonly string[];
  /** In the order of the sheet; one that is only named is played again as it stands above. */
  readonly sections: readonly SheetSection[];
  readonly leftOut: readonly LeftOut[];
}
